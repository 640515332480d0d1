"""SARIF from the command line: a real plan under an odd name, and its fixes made by a reader."""

from __future__ import annotations

import json
import os
import shutil
from pathlib import Path
from typing import Any
from urllib.parse import unquote_to_bytes

import pytest

from stovelint.cli import main
from stovelint.remedy.edits import apply
from stovelint.remedy.rows import Edit
from stovelint.source import read_plan
from tests.report import sarif_rules
from tests.tree import RULES

Node = dict[str, Any]
PLAN = RULES / "cap-insulation" / "fails" / "bare-slate.heater.yaml"
NAME = b"a;b %\n[c](1)\xe9.heater.yaml"


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A repository with a plan whose name no shell, URI or line of text would take as it is."""
    root = tmp_path_factory.mktemp("r\u00e9po")
    (root / ".git").mkdir()
    (root / "plans").mkdir()
    shutil.copy(PLAN, root / "plans" / os.fsdecode(NAME))
    return root


@pytest.fixture(scope="module")
def logs(folder: Path) -> dict[str, Node]:
    """The same plan told in both forms, from the folder in which it lies."""
    found = {}
    before = os.getcwd()
    os.chdir(folder / "plans")
    try:
        for form in ("sarif", "sarif-upload"):
            assert main(["review", ".", "--as", form, "--out", f"{form}.sarif"]) == 1
            found[form] = json.loads(Path(f"{form}.sarif").read_text(encoding="ascii"))
    finally:
        os.chdir(before)
    return found


def test_it_keeps_all_rules(logs: dict[str, Node]) -> None:
    for log in logs.values():
        assert sarif_rules.broken(log) == []
    assert not list(sarif_rules.host_open(logs["sarif-upload"]))


def test_the_name_comes_back_byte_for_byte(logs: dict[str, Node]) -> None:
    for log in logs.values():
        (artifact,) = log["runs"][0]["artifacts"]
        assert unquote_to_bytes(artifact["location"]["uri"]) == b"plans/" + NAME


def test_hosts_get_as_many_as_are_to_be_shown(logs: dict[str, Node]) -> None:
    told = logs["sarif"]["runs"][0]["results"]
    fails = [one for one in told if one["kind"] == "fail"]
    assert len(fails) == 3 and len(told) > 3
    shown = logs["sarif-upload"]["runs"][0]["results"]
    assert [one["message"] for one in shown] == [one["message"] for one in fails]


def made(text: str, replacements: list[Node]) -> str:
    """What a reader makes of a fix that knows nothing but lines and columns."""
    lines = text.splitlines(keepends=True)
    starts = [0]
    for line in lines:
        starts.append(starts[-1] + len(line))
    for one in sorted(
        replacements, key=lambda one: one["deletedRegion"]["startLine"], reverse=True
    ):
        region = one["deletedRegion"]
        start = starts[region["startLine"] - 1] + region["startColumn"] - 1
        end = starts[region["endLine"] - 1] + region["endColumn"] - 1
        text = text[:start] + one["insertedContent"]["text"] + text[end:]
    return text


def test_each_fix_is_the_change_that_was_recomputed(
    logs: dict[str, Node], tmp_path: Path
) -> None:
    text = PLAN.read_text(encoding="utf-8")
    tree = read_plan(str(PLAN)).tree
    seen = 0
    for result in logs["sarif"]["runs"][0]["results"]:
        tried = result.get("properties", {}).get("remedies", ())
        passing = [one["edits"] for one in tried if one["passes"] and one["edits"]]
        fixes = result.get("fixes", ())
        assert len(fixes) == len(passing)
        for fix, patch in zip(fixes, passing):
            (change,) = fix["artifactChanges"]
            plan = tmp_path / f"{seen}.heater.yaml"
            plan.write_text(made(text, change["replacements"]), encoding="utf-8")
            edits = tuple(edit(one, tree) for one in patch)
            assert read_plan(str(plan)).tree == apply(tree, edits) != tree
            seen += 1
    assert seen >= 4


def test_the_way_of_the_heat_gets_cooler_outwards(logs: dict[str, Node]) -> None:
    flows = [
        one["codeFlows"][0]["threadFlows"][0]["locations"]
        for one in logs["sarif"]["runs"][0]["results"]
        if "codeFlows" in one
    ]
    assert len(flows) == 3
    for steps in flows:
        peaks = [float(one["state"]["peak"]["text"].split()[0]) for one in steps]
        assert len(peaks) == 2 and peaks[0] > peaks[1] > 20.0
        assert "slate" in steps[0]["location"]["message"]["text"]


def edit(patch: Node, tree: Node) -> Edit:
    """One operation of the JSON Patch that stands among the figures."""
    path: list[str | int] = []
    node: Any = tree
    for step in patch["path"].split("/")[1:]:
        key: str | int = int(step) if isinstance(node, list) else step
        path.append(key)
        there = isinstance(node, list) and int(key) < len(node) or key in node
        node = node[key] if there else None
    inside = isinstance(path[-1], int)
    return Edit(
        path=tuple(path), value=patch["value"], insert=inside and patch["op"] == "add"
    )


def test_two_calls_give_the_same_bytes(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(folder / "plans")
    assert main(["review", ".", "--as", "sarif", "--out", "again.sarif"]) == 1
    assert Path("again.sarif").read_bytes() == Path("sarif.sarif").read_bytes()
