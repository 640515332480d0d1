"""What the search hands on: proposals, what they do elsewhere, and the plan with all of them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from stovelint.remedy.rows import Edit

if TYPE_CHECKING:
    from stovelint.rule.finding import Measure
    from stovelint.rule.level import Level


@dataclass(frozen=True, kw_only=True, slots=True)
class Effect:
    """What a change does somewhere else: the place that warms most."""

    place: str
    by_K: float
    peak_C: float


@dataclass(frozen=True, kw_only=True, slots=True)
class Proposal:
    """One answer of the search."""

    text: str
    passes: bool
    edits: tuple[Edit, ...]
    figures: tuple[Measure, ...]
    """What was found at the subject with the change made."""
    effects: tuple[Effect, ...]
    brings: tuple[tuple[str, str], ...]
    """Findings that are new elsewhere: rule and subject."""
    still: tuple[str, ...] = ()
    """Other rules that spoke at the same part before and do so with the change made."""
    on_top: bool = False
    """True when it passes only together with the changes that put the other findings right."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Together:
    """The plan with the first passing change of every finding made, computed once more."""

    edits: tuple[Edit, ...]
    left: tuple[tuple[str, str, Level], ...]
    """What still speaks: rule, subject, level; notes are left out."""
