"""Witnesses for limits: a scene by which one value is measured and one row decides the verdict.

Each rule's own test file lists them in `WITNESSES`, by row of its `limits.toml`;
`test_every_limit.py` walks every row of every shipped rule and holds it to its witnesses.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Callable

from stovelint.rule import Limit, LimitTable
from stovelint.rulebook import Rule
from tests.rules import make

NUDGE = 0.01
"""A limit that is moved by so much must flip a verdict."""
HAIR = 1e-6
"""Share of the limit by which a value lies just beside it: above any rounding of a drawn size."""


@dataclass(frozen=True, kw_only=True)
class Witness:
    """One place in a rule where one limit decides."""

    says: Callable[[float, Rule], bool]
    """What the rule says of a measured value (in the limit's base unit), as yes or no."""
    reverse: bool = False
    """The row is a share of another limit, so a value is past it on the other side."""
    whole: bool = False
    """Only whole numbers can be measured."""
    tied: tuple[str, ...] = ()
    """Rows of the very same value that take over when this one alone is made laxer."""


def value_of(row: Limit | LimitTable, column: float) -> Limit:
    """A row as the limit that decides, a table at one of its columns."""
    if isinstance(row, Limit):
        return row
    limit = row.limit(column)
    assert limit is not None
    return limit


def outward(limit: Limit, witness: Witness) -> float:
    """+1 where larger values are past the limit, else -1."""
    return 1.0 if (limit.sense == "at most") is not witness.reverse else -1.0


def moved_out(rule: Rule, name: str, witness: Witness, sign: float, out: float) -> Rule:
    """The rule with a row moved by 1 %: laxer for +1, stricter for -1."""
    factor = 1.0 + sign * out * NUDGE
    names = (name, *witness.tied) if sign > 0.0 else (name,)
    for one in names:
        rule = make.moved(rule, one, factor)
    return rule
