"""A hook is handed its files shuffled, and might be handed them in several calls."""

from __future__ import annotations

import json
import shutil
from itertools import permutations
from pathlib import Path
from typing import Any, Sequence

import pytest

from stovelint.cli import main
from tests.cli.test_cli import BARE, CLEAR

NAMES = ("a/bare.heater.yaml", "b.heater.yaml", "c/clear.heater.yaml")
Said = pytest.CaptureFixture[str]


@pytest.fixture
def plans(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    for name, content in zip(NAMES, (BARE, None, CLEAR), strict=True):
        path = tmp_path / name
        path.parent.mkdir(exist_ok=True)
        if content is None:
            path.write_text("format: 1\ntitle: no heater at all\n", encoding="utf-8")
        else:
            shutil.copy(content, path)
    monkeypatch.chdir(tmp_path)


def told(said: Said, *words: str) -> str:
    assert main(["review", *words]) in (0, 1, 2)
    shown = said.readouterr()
    assert shown.err == ""
    return shown.out


def answers(said: Said, names: Sequence[str]) -> list[Any]:
    found = json.loads(told(said, "--as", "json", "--", *names))["plans"]
    assert isinstance(found, list)
    return found


@pytest.mark.usefixtures("plans")
def test_no_order_changes_a_byte(capsys: Said) -> None:
    shutil.copy("c/clear.heater.yaml", "a/bare.heater.yaml")  # quick, for it is asked often
    reports = {told(capsys, "--", *names) for names in list(permutations(NAMES))[::2]}
    (only,) = reports
    assert only.endswith("\n3 plans: 2 clear, 1 could not be reviewed\n")


@pytest.mark.usefixtures("plans")
def test_no_split_changes_what_is_said_of_a_plan(capsys: Said) -> None:
    whole = answers(capsys, NAMES)
    assert [plan["outcome"] for plan in whole] == ["revise", "could not be reviewed", "clear"]
    assert answers(capsys, NAMES[2:1:-1]) == whole[2:]
    assert answers(capsys, NAMES[1::-1]) == whole[:2]
