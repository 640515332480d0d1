"""What README.md tells a shop to write is taken by the real framework, and does what it says."""

from __future__ import annotations

import json
import os
import re
import shlex
import sys
from pathlib import Path
from typing import Any, Mapping, Sequence
from xml.etree import ElementTree

import pytest

from stovelint import __version__
from stovelint.cli.arguments import parser
from tests.hook import recipes
from tests.hook.hardened import faults, pins
from tests.hook.scratch import Done, Scratch, own_environment, scratch
from tests.hook.test_installed import BAD, GOOD, MISTAKEN
from tests.hook.test_manifest import OFFERED
from tests.hook.test_workflows import FLOWS, SPOILED

AT = f"v{__version__}"
CALLS = tuple(dict.fromkeys(recipes.calls()))
SHELL = ("bash", "--noprofile", "--norc", "-eo", "pipefail", "-c")
"""As both hosts start a step."""
HERE = os.path.dirname(sys.executable)


# -- what stands there --------------------------------------------------------------------------


def test_every_host_is_there() -> None:
    for host in ("GitHub Actions", "GitLab CI", "Anywhere else", "Jenkins", "Azure Pipelines"):
        assert f"\n**{host}" in recipes.SECTION


def test_the_framework_takes_the_configuration(tmp_path: Path) -> None:
    shop = scratch(tmp_path / "shop", own_environment(tmp_path / "home"))
    shop.write("config.yaml", recipes.CONFIG.encode())
    assert shop.hooks("validate-config", "config.yaml") == Done(status=0, said="")
    (source,) = recipes.data(recipes.CONFIG)["repos"]
    assert source["rev"] == AT
    assert {hook["id"] for hook in source["hooks"]} <= {hook["id"] for hook in OFFERED}


def test_each_hook_is_explained() -> None:
    told = re.findall(r"^\| `(stovelint[\w-]*)` \|", recipes.SECTION, re.M)
    assert told == [hook["id"] for hook in OFFERED]


@pytest.mark.parametrize("call", CALLS)
def test_every_call_is_one_that_the_program_takes(call: str) -> None:
    parser().parse_args(shlex.split(call)[1:])


def test_every_form_that_is_for_hosts_is_in_a_call() -> None:
    used = {match for call in CALLS for match in re.findall(r"--as (\S+)", call)}
    assert used == {"annotations", "markdown", "sarif", "sarif-upload", "codequality", "junit"}


def test_options_for_the_hook_end_in_two_dashes() -> None:
    shown = re.findall(r"`args: \[(.*?)\]`", recipes.SECTION)
    assert len(shown) == 2
    for words in shown:
        *options, end = words.split(", ")
        assert end == "--"
        parser().parse_args(["review", *options, end, "kiln.heater.yaml"])


# -- who may do what ----------------------------------------------------------------------------


def test_nothing_is_wrong_with_the_workflow() -> None:
    assert faults(recipes.ACTIONS) == []
    assert recipes.ACTIONS.count("fetch-depth: 0\n") == 1


def test_only_the_job_that_hands_over_may_write() -> None:
    jobs = recipes.data(recipes.ACTIONS)["jobs"]
    assert "permissions" not in jobs["review"]
    assert jobs["scan"]["permissions"] == {"contents": "read", "security-events": "write"}
    assert "!github.event.pull_request.head.repo.fork" in jobs["scan"]["if"]


def test_what_the_project_uses_itself_is_the_same_version() -> None:
    known = {use.split("@")[0]: pin for text in FLOWS.values() for use, *pin in pins(text)}
    for use, *pin in pins(recipes.ACTIONS):
        assert known.get(use.split("@")[0], pin) == pin


def test_a_spoiled_recipe_would_be_seen() -> None:
    pattern, instead = SPOILED["not pinned by its hash"]
    (fault,) = faults(re.sub(pattern, instead, recipes.ACTIONS, count=1))
    assert fault == "actions/checkout@v6: not pinned by its hash"


def test_the_program_is_pinned_in_every_recipe() -> None:
    whole = "".join(text for _, text in recipes.FENCED.findall(recipes.SECTION))
    named = re.findall(r"https://git\.example/stovelint(\S*)", whole)
    assert [name.strip('"') for name in named] == ["", f"@{AT}", f"@{AT}", f"@{AT}"]
    image = recipes.data(recipes.GITLAB)["heaters"]["image"]
    assert re.fullmatch(r"python:3\.13-bookworm@sha256:[0-9a-f]{64}", image)


def test_no_recipe_looks_for_modules_in_the_checkout() -> None:
    for _, text in recipes.FENCED.findall(recipes.SECTION):
        for line in text.splitlines():
            assert re.search(r"\bpython3?\s+(?!-I )", line) is None or "python-version" in line, line


# -- what they do -------------------------------------------------------------------------------


@pytest.fixture
def change(tmp_path: Path, environment: Mapping[str, str]) -> tuple[Scratch, str]:
    """A change request: two plans before, of which one was bad, and now another that is bad."""
    path = f"{HERE}{os.pathsep}{environment['PATH']}"
    made = scratch(tmp_path / "plans", {**environment, "PATH": path})
    made.stage("old.heater.yaml", BAD)
    made.stage("kiln.heater.yaml", GOOD)
    assert made.commit().status == 0
    base = made.must("git", "rev-parse", "HEAD").strip()
    made.must("git", "checkout", "--quiet", "-b", "change")
    made.stage("kiln.heater.yaml", BAD)
    assert made.commit().status == 0
    return made, base


def steps(shop: Scratch, scripts: Sequence[str], **known: str) -> list[Done]:
    """Run the lines of a recipe as its host would, but for what fetches and installs."""
    there = Scratch(folder=shop.folder, environment={**shop.environment, **known})
    return [there.run(*SHELL, script) for script in scripts if not script.startswith("pip install")]


def runs(job: Mapping[str, Any]) -> list[str]:
    return [step["run"] for step in job["steps"] if "run" in step]


def test_the_workflow_holds_a_bad_change_beside_its_lines(change: tuple[Scratch, str]) -> None:
    shop, base = change
    jobs = recipes.data(recipes.ACTIONS)["jobs"]
    assert jobs["review"]["env"] == {"BASE_SHA": "${{ github.event.pull_request.base.sha }}"}
    known = {"BASE_SHA": base, "GITHUB_STEP_SUMMARY": str(shop.folder.parent / "summary.md")}
    lines, summary = steps(shop, runs(jobs["review"]), **known)
    assert (lines.status, summary.status, summary.said) == (1, 1, "")
    shown = [line for line in lines.said.splitlines() if line.startswith("::error ")]
    assert shown and all("file=kiln.heater.yaml," in line for line in shown)
    page = Path(known["GITHUB_STEP_SUMMARY"]).read_text(encoding="utf-8")
    assert "cap insulation" in page and "kiln.heater.yaml" in page

    (scan,) = steps(shop, runs(jobs["scan"]))
    assert scan.status == 0, scan.said
    (run,) = json.loads((shop.folder / "heaters.sarif").read_text(encoding="utf-8"))["runs"]
    files = {
        result["locations"][0]["physicalLocation"]["artifactLocation"]["uri"]
        for result in run["results"]
    }
    assert files == {"kiln.heater.yaml", "old.heater.yaml"}


def test_the_workflow_lets_pass_what_was_there_before(change: tuple[Scratch, str]) -> None:
    shop, base = change
    shop.stage("kiln.heater.yaml", GOOD + b"# mended\n")
    assert shop.commit().status == 0
    jobs = recipes.data(recipes.ACTIONS)["jobs"]
    known = {"BASE_SHA": base, "GITHUB_STEP_SUMMARY": str(shop.folder.parent / "summary.md")}
    assert [done.status for done in steps(shop, runs(jobs["review"]), **known)] == [0, 0]


def test_a_plan_that_cannot_be_read_stops_the_hand_over_too(change: tuple[Scratch, str]) -> None:
    shop, _ = change
    for name in ("old.heater.yaml", "kiln.heater.yaml"):
        shop.stage(name, MISTAKEN)
    jobs = recipes.data(recipes.ACTIONS)["jobs"]
    (scan,) = steps(shop, runs(jobs["scan"]))
    assert scan.status != 0 and (shop.folder / "heaters.sarif").exists()


def test_the_merge_request_gets_both_reports(change: tuple[Scratch, str]) -> None:
    shop, base = change
    job = recipes.data(recipes.GITLAB)["heaters"]
    assert job["script"][0] == 'pip install "$STOVELINT"' and job["variables"]["GIT_DEPTH"] == 0
    script = "\n".join(job["script"][1:])
    (done,) = steps(shop, [script], CI_MERGE_REQUEST_DIFF_BASE_SHA=base)
    assert done.status == 1, done.said
    reports = job["artifacts"]["reports"]
    entries = json.loads((shop.folder / reports["codequality"]).read_text(encoding="utf-8"))
    assert "kiln.heater.yaml" in {entry["location"]["path"] for entry in entries}
    suites = ElementTree.parse(shop.folder / reports["junit"]).getroot()
    cases = list(suites.iter("testcase"))
    failed = {case.get("file") for case in cases if case.find("failure") is not None}
    assert failed == {"kiln.heater.yaml"}


def test_anywhere_else_a_branch_is_held_against_the_main_one(change: tuple[Scratch, str]) -> None:
    shop, base = change
    shop.must("git", "clone", "--quiet", "--no-checkout", ".", "../elsewhere")
    shop.must("git", "-C", "../elsewhere", "push", "--quiet", "origin", f"{base}:refs/heads/main")
    clone = Scratch(folder=shop.folder.parent / "elsewhere", environment=shop.environment)
    clone.must("git", "checkout", "--quiet", "change")
    fetch, review = recipes.blocks("bash")[1].splitlines()
    clone.must(*SHELL, fetch)
    done = clone.run(*SHELL, review.replace("~/stovelint/bin/", ""))
    assert done.status == 1 and "kiln.heater.yaml" in done.said
