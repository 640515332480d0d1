"""A plan whose name starts with a dash is never obeyed as an option."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from stovelint.cli import main
from stovelint.cli.dashes import refuse_doubtful
from stovelint.errors import UsageError
from stovelint.place import PLANS
from tests.cli.test_cli import BARE, CLEAR, ran

DOUBTFUL = (
    "--out=x.heater.yaml",
    "--hold-at=danger.heater.yaml",
    "--rules=inside/x.heater.toml",
    "--settings=x.heater.json",
    "-h.heater.yaml",
    "--help.heater.yaml",
    "-.heater.yaml",
)


@pytest.mark.parametrize("name", DOUBTFUL)
def test_a_name_in_doubt_is_refused_with_both_ways_out(name: str) -> None:
    done = ran("review", str(CLEAR), name)
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr == (
        f"stovelint: {name} may be an option or a plan; for the plan write ./{name}, or -- before "
        "all plans\n"
    )


def test_nothing_is_written_by_the_name_of_a_plan(tmp_path: Path) -> None:
    shutil.copy(CLEAR, tmp_path / "a.heater.yaml")
    shutil.copy(BARE, tmp_path / "--out=a.heater.json")
    before = sorted(path.name for path in tmp_path.iterdir())
    assert ran("review", *before, cwd=tmp_path).returncode == 2
    assert sorted(path.name for path in tmp_path.iterdir()) == before


def test_behind_two_dashes_it_is_a_plan(tmp_path: Path) -> None:
    shutil.copy(BARE, tmp_path / "--hold-at=danger.heater.yaml")
    done = ran("review", "--hold-at", "breakage", "--", "--hold-at=danger.heater.yaml", cwd=tmp_path)
    assert (done.returncode, done.stderr) == (1, "")
    assert "\nplan: --hold-at=danger.heater.yaml\n" in done.stdout


def test_the_name_itself_drives_no_terminal(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["review", "--\x1b[2J.heater.yaml"]) == 2
    said = capsys.readouterr().err
    assert "\x1b" not in said and "\\x1b[2J.heater.yaml may be" in said


@pytest.mark.parametrize(
    "words",
    [
        ["review", "--as", "json", "x.heater.yaml"],
        ["review", "--out=report.json", "x.heater.yaml"],
        ["review", "--", "--out=x.heater.yaml"],
        ["review", "./--out=x.heater.yaml"],
        ["survey", "x.heater.yaml", "--why=cap"],
    ],
)
def test_what_is_plain_passes(words: list[str]) -> None:
    refuse_doubtful(words)


@pytest.mark.parametrize("ending", PLANS)
def test_every_kind_of_plan_may_be_in_doubt(ending: str) -> None:
    with pytest.raises(UsageError):
        refuse_doubtful(["review", f"--since=x{ending}"])
