"""From stakes, cases and grade to the level of a finding."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal, Mapping

if TYPE_CHECKING:
    from stovelint.rule.finding import Measure

Stakes = Literal["danger", "breakage", "performance", "advice"]
Likelihood = Literal["possible", "likely", "certain"]
Level = Literal["note", "warning", "error"]

STAKES: tuple[Stakes, ...] = ("danger", "breakage", "performance", "advice")
RANK: Mapping[Level, int] = {"note": 0, "warning": 1, "error": 2}

# Cases out of 32 from which each word is used; other ensemble sizes are scaled.
FROM_CASES: tuple[tuple[Likelihood, int], ...] = (("certain", 31), ("likely", 16), ("possible", 2))
FULL = 32

BY_CASES: Mapping[tuple[Stakes, Likelihood], Level | None] = {
    ("danger", "possible"): "warning",
    ("danger", "likely"): "error",
    ("danger", "certain"): "error",
    ("breakage", "possible"): "note",
    ("breakage", "likely"): "warning",
    ("breakage", "certain"): "error",
    ("performance", "possible"): None,
    ("performance", "likely"): "note",
    ("performance", "certain"): "warning",
    ("advice", "possible"): None,
    ("advice", "likely"): "note",
    ("advice", "certain"): "note",
}

BY_CLAUSE: Mapping[Stakes, Level] = {
    "danger": "error",
    "breakage": "error",
    "performance": "warning",
    "advice": "note",
}

# Nothing but danger may hold a plan on a number that nobody could open.
WEAK_GRADES = frozenset({"recalled", "practice"})


def likelihood(past: int, of: int) -> Likelihood | None:
    """The word for `past` of `of` cases; None below 2 in 32.

    Args:
        past: cases past the limit.
        of: cases computed.

    >>> likelihood(31, 32), likelihood(16, 32), likelihood(2, 32), likelihood(1, 32)
    ('certain', 'likely', 'possible', None)

    Source: own choice of words; never a probability.
    """
    for word, cases in FROM_CASES:
        if past * FULL >= cases * of:
            return word
    return None


def level_of(stakes: Stakes, measure: Measure) -> Level | None:
    """Level of one comparison, or None where it does not count.

    A computed value goes by its cases, a clause by its stakes alone. What rests on a recalled
    number or on common practice stops at a warning, except where there is danger.

    Args:
        stakes: of the finding.
        measure: the value found, beside the limit it was compared with.

    Source: own choice, stated in README.md under "How to read a finding".
    """
    level = _by_cases(stakes, measure)
    return "warning" if held_back(stakes, measure) else level


def held_back(stakes: Stakes, measure: Measure) -> bool:
    """Whether only the grade of its limit keeps a comparison from a higher level."""
    weak = measure.limit is not None and measure.limit.source.grade in WEAK_GRADES
    return weak and stakes != "danger" and _by_cases(stakes, measure) == "error"


def _by_cases(stakes: Stakes, measure: Measure) -> Level | None:
    if measure.limit is None or not measure.past:
        return None
    if measure.exact:
        return BY_CLAUSE[stakes]
    word = likelihood(measure.past, measure.cases)
    return None if word is None else BY_CASES[stakes, word]
