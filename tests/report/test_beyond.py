"""The survey's table of what was used beyond the ends of its own table."""

from __future__ import annotations

from stovelint.quantity import Units
from stovelint.report.beyond import beyond_lines
from tests.rules import make

ONLY = (
    "conductivity of x is known at 20 degC only; used up to {} degC with {} % more spread "
    "(recalled)"
)
BOTH = (
    "specific heat of y is known from 100 to 400 degC; used down to -10 degC with 1 % more spread "
    "(judgement) and up to 500 degC with 7 % more spread (recalled)"
)


def rows(*said: str, units: Units = "si") -> list[list[str]]:
    return [line.split() for line in beyond_lines(said, units)[1:]]


def test_only_the_farthest_step_is_told() -> None:
    assert rows(ONLY.format(98, 3), ONLY.format(230, 9), ONLY.format(120, 4)) == [
        ["conductivity", "of", "x", "20", "230", "9", "%,", "recalled"]
    ]


def test_both_ends_stand_apart_and_the_farthest_down_is_the_coldest() -> None:
    low = ["specific", "heat", "of", "y", "100", "to", "400"]
    assert rows(BOTH, BOTH.replace("-10", "30").replace("500", "450")) == [
        [*low, "-10", "1", "%,", "judgement"], [*low, "500", "7", "%,", "recalled"],
    ]  # fmt: skip


def test_fahrenheit() -> None:
    assert "known at, degF" in beyond_lines([BOTH], "us")[0]
    assert rows(BOTH, units="us")[1][4:8] == ["212", "to", "752", "932"]


def test_what_reads_otherwise_stays_whole() -> None:
    odd = ONLY.format(98, 3) + ", and that is all"
    assert beyond_lines([odd, "z"], "si") == ["beyond a table", "  " + odd[:96].strip(), *(
        beyond_lines([odd], "si")[2:]), "  z"]  # fmt: skip
    assert beyond_lines([odd.replace("98 degC", "98 K")], "us")[0] == "beyond a table"
    assert beyond_lines([], "si") == []


def test_the_catalogue_says_it_that_way() -> None:
    curve = make.CATALOGUE.get("clay-brick-common").conductivity
    assert curve is not None
    said = curve.beyond_sentence("clay-brick-common", "conductivity", 0.0, 300.0)
    assert said is not None
    found = rows(said)
    assert [row[:5] for row in found] == [
        ["conductivity", "of", "clay-brick-common", "20", "0"],
        ["conductivity", "of", "clay-brick-common", "20", "300"],
    ]


def test_lines_stay_on_the_page() -> None:
    said = BOTH.replace("of y", "of " + "stone-" * 15)
    assert max(map(len, beyond_lines([said], "us"))) <= 100
