"""The project's own workflows: pinned, with few rights, and nothing in them for a stranger."""

from __future__ import annotations

import re

import pytest

from tests.hook.hardened import faults, pins, read
from tests.tree import ROOT

FOLDER = ROOT / ".github" / "workflows"
FLOWS = {path.name: path.read_text(encoding="utf-8") for path in sorted(FOLDER.iterdir())}


def test_there_is_one_for_changes_and_one_for_releases() -> None:
    assert list(FLOWS) == ["check.yml", "release.yml"]


@pytest.mark.parametrize("name", FLOWS)
def test_nothing_is_wrong_with_it(name: str) -> None:
    assert faults(FLOWS[name]) == []


def test_a_change_is_checked_by_the_one_script() -> None:
    flow = read(FLOWS["check.yml"])
    assert flow["on"] == {"push": {"branches": ["main"]}, "pull_request": None}
    (job,) = flow["jobs"].values()
    assert [step["run"] for step in job["steps"] if "run" in step] == ["bash .ci/run"]
    assert "permissions" not in job and "environment" not in job


def test_only_what_uploads_may_speak_for_the_repository() -> None:
    jobs = read(FLOWS["release.yml"])["jobs"]
    assert {name for name, job in jobs.items() if "permissions" in job} == {"upload"}
    assert jobs["upload"]["permissions"] == {"id-token": "write"}
    assert jobs["upload"]["needs"] == "build"
    runs = [step["run"] for step in jobs["build"]["steps"] if "run" in step]
    assert runs[1:] == ["bash .ci/run", "bash .ci/build dist"], "checked before it is built"


def test_one_version_of_each_is_in_use_everywhere() -> None:
    known: dict[str, set[str]] = {}
    for text in FLOWS.values():
        for use, version in pins(text):
            known.setdefault(use.split("@")[0], set()).add(f"{use} {version}")
    assert len(known) >= 5 and all(len(found) == 1 for found in known.values()), known


SPOILED = {
    "not pinned by its hash": (r"actions/checkout@\w{40}", "actions/checkout@v6"),
    "no version beside the hash": (r" # v6\.0\.2", ""),
    "a use is written in a way that hides it": (r"uses: (actions/checkout.*)", r'"uses": \1'),
    "started by pull_request_target": (r"  pull_request:", "  pull_request_target:"),
    "rights at the top are not": (r"  contents: read", "  contents: write"),
    "no concurrency": (r"concurrency:\n(  .*\n)+", ""),
    "no timeout": (r" +timeout-minutes.*\n", ""),
    "may write packages": (r"(    runs-on.*)", r"\1\n    permissions: {packages: write}"),
    "rights without limit": (r"(    runs-on.*)", r"\1\n    permissions: write-all"),
    "runs something of it": (r"(    runs-on.*)", r"\1\n    permissions: {id-token: write}"),
    "into a script": (r"bash \.ci/run", "echo ${{ github.event.pull_request.title }}"),
    "leaves the token": (r"persist-credentials: false", "fetch-depth: 0"),
    "needs a secret": (r"bash \.ci/run", "bash .ci/run # ${{ secrets.KEY }}"),
}


@pytest.mark.parametrize("fault", SPOILED)
def test_each_fault_would_be_seen(fault: str) -> None:
    pattern, instead = SPOILED[fault]
    good = FLOWS["check.yml"]
    spoiled = re.sub(pattern, instead, good, count=1)
    assert spoiled != good
    assert any(fault in found for found in faults(spoiled)), faults(spoiled)
