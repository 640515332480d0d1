"""Levels follow product wording: stakes, cases of 32, clause, and the cap that grades put on."""

from __future__ import annotations

import pytest

from stovelint.rule import Level, Limit, Measure, Source, Stakes, level_of, likelihood
from stovelint.rule.limits import Grade


def limit(grade: Grade = "read") -> Limit:
    return Limit(
        name="x", key="X", value=100.0, unit="degC", sense="at most", meaning="x", scope="x",
        source=Source(title="t", edition="e", clause="c", grade=grade),
    )  # fmt: skip


def measure(past: int, cases: int = 32, *, exact: bool = False, grade: Grade = "read") -> Measure:
    return Measure(
        what="peak", where="", unit="degC", low=0.0, mid=0.0, high=0.0, limit=limit(grade),
        past=past, cases=cases, exact=exact, counts=past > 0,
    )  # fmt: skip


@pytest.mark.parametrize(
    ("past", "of", "word"),
    [
        (0, 32, None), (1, 32, None), (2, 32, "possible"), (15, 32, "possible"),
        (16, 32, "likely"), (30, 32, "likely"), (31, 32, "certain"), (32, 32, "certain"),
        (0, 1, None), (1, 1, "certain"), (1, 8, "possible"), (4, 8, "likely"), (7, 8, "likely"),
        (8, 8, "certain"), (3, 64, None), (4, 64, "possible"), (61, 64, "likely"),
        (62, 64, "certain"),
    ],
)  # fmt: skip
def test_likelihood_words_at_their_edges(past: int, of: int, word: str | None) -> None:
    assert likelihood(past, of) == word


@pytest.mark.parametrize(
    ("stakes", "past", "level"),
    [
        ("danger", 1, None), ("danger", 2, "warning"), ("danger", 15, "warning"),
        ("danger", 16, "error"), ("danger", 32, "error"),
        ("breakage", 2, "note"), ("breakage", 16, "warning"), ("breakage", 30, "warning"),
        ("breakage", 31, "error"),
        ("performance", 15, None), ("performance", 16, "note"), ("performance", 31, "warning"),
        ("advice", 15, None), ("advice", 16, "note"), ("advice", 32, "note"),
    ],
)  # fmt: skip
def test_level_by_stakes_and_cases(stakes: Stakes, past: int, level: Level | None) -> None:
    assert level_of(stakes, measure(past)) == level


@pytest.mark.parametrize(
    ("stakes", "level"),
    [("danger", "error"), ("breakage", "error"), ("performance", "warning"), ("advice", "note")],
)
def test_a_clause_goes_by_its_stakes_alone(stakes: Stakes, level: Level) -> None:
    assert level_of(stakes, measure(1, 1, exact=True)) == level
    assert level_of(stakes, measure(0, 1, exact=True)) is None


@pytest.mark.parametrize(
    ("grade", "breakage"),
    [
        ("read", "error"), ("second-hand", "error"), ("computed", "error"),
        ("recalled", "warning"), ("practice", "warning"),
    ],
)  # fmt: skip
def test_weak_grades_hold_nothing_but_danger(grade: Grade, breakage: Level) -> None:
    assert level_of("breakage", measure(32, grade=grade)) == breakage
    assert level_of("danger", measure(32, grade=grade)) == "error"
