"""`stovelint survey PLAN --why PART`: what it prints, what it refuses, what it must not slow."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from stovelint.cli import main
from tests.cli.test_cli import BARE, CLEAR, ran
from tests.hotmap.plans import PLAIN
from tests.test_import_guard import modules_imported_by
from tests.tree import DEMO, ROOT

Said = pytest.CaptureFixture[str]
OURS = ("stovelint.hotmap.influence", "stovelint.report.why")


def told(said: Said, *arguments: str) -> str:
    assert main(["survey", *arguments]) == 0
    shown = said.readouterr()
    assert shown.err == "" and max(map(len, shown.out.splitlines())) <= 100
    return shown.out


def peaks(text: str) -> set[str]:
    """`329 degC (272 to 382)` and, in a table, `329 (272 to 382)`, without the unit."""
    return set(re.findall(r"\d+ \(\d+ to \d+\)", text.replace(" degC", "")))


def test_one_part_is_explained_with_the_figures_of_the_survey(capsys: Said) -> None:
    whole = told(capsys, str(BARE))
    why = told(capsys, str(BARE), "--why", "bell-cap")
    assert "what moves the heat" in why and "may go" not in why
    peak = re.search(r"hardest firing:.*?peak (\d+) degC (\(\d+ to \d+\))", why, re.S)
    assert peak is not None
    assert f"{peak[1]} {peak[2]}" in peaks(whole.split("\nbell-cap ")[1])
    assert why.count("input, strongest first") == 2


def test_shares_fall_and_make_a_whole(capsys: Said) -> None:
    why = told(capsys, str(BARE), "--why", "bell-cap")
    for state in why.split("strongest first")[1:]:
        rows = [int(x) for x in re.findall(r"[+-]?\d+ +[+-]?\d+ +(\d+) %", state)]
        (rest,) = re.findall(r"share (\d+\.\d) %", state)
        assert len(rows) >= 3 and rows == sorted(rows, reverse=True)
        # each row is rounded to a whole percent
        assert sum(rows) + float(rest) == pytest.approx(100.0, abs=0.5 * len(rows) + 0.05)


@pytest.mark.parametrize("part", ["door", "core-base", "bench-base"])
def test_parts_of_every_kind(part: str, capsys: Said) -> None:
    assert f"\n{part} " in told(capsys, str(ROOT / DEMO), "--why", part)


def test_us_units(capsys: Said) -> None:
    us = told(capsys, str(BARE), "--why", "bell-cap", "--units", "us")
    assert "in Fahrenheit degrees" in us and "degC" not in us and " mm" not in us


def test_a_damper_of_which_nothing_is_said(tmp_path: Path, capsys: Said) -> None:
    plan = tmp_path / "boat-shed.heater.yaml"
    plan.write_text(PLAIN.replace("  damper: {after_burn: tight}\n", ""), encoding="utf-8")
    # it moves what the warm chimney draws out of the bell between two fires
    why = told(capsys, str(plan), "--why", "bell-wall")
    assert "strongest first" in why


@pytest.mark.parametrize(
    ("part", "fault"),
    [
        ("bell-cpa", "no part `bell-cpa` (did you mean bell-cap or bell-wall?); the parts"),
        ("zzz", "there is no part `zzz`; the parts are: "),
        ("", "there is no part ``; the parts are: "),
    ],
)
def test_an_unknown_part_is_refused(part: str, fault: str, capsys: Said) -> None:
    assert main(["survey", str(BARE), "--why", part]) == 2
    shown = capsys.readouterr()
    assert shown.out == "" and shown.err.count("\n") == 1
    assert shown.err.startswith("stovelint: --why: ") and fault in shown.err
    assert "the parts are: " in shown.err and "bell-cap" in shown.err.split("the parts are: ")[1]


def test_a_plan_with_mistakes_is_told_as_ever(tmp_path: Path, capsys: Said) -> None:
    plan = tmp_path / "boat-shed.heater.yaml"
    plan.write_text(PLAIN.replace("80 min", "80"), encoding="utf-8")
    assert main(["survey", str(plan), "--why", "bell-cap"]) == 2
    assert "could not be surveyed" in capsys.readouterr().out


def test_a_part_must_be_named() -> None:
    assert ran("survey", str(CLEAR), "--why").returncode == 2


def test_same_plan_same_bytes() -> None:
    plan = str(ROOT / DEMO)
    one, two = (ran("survey", plan, "--why", "bell-cap").stdout for _ in range(2))
    assert one == two != ""


def test_a_plain_survey_or_review_does_not_pay_for_it() -> None:
    for command in ("survey", "review"):
        assert not modules_imported_by(command, str(CLEAR)) & set(OURS)
    assert set(OURS) <= modules_imported_by("survey", str(CLEAR), "--why", "bell-cap")
