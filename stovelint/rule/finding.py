"""What a rule may yield: a finding, or that it could not judge."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from stovelint.place import Path
from stovelint.rule.level import RANK, Level, level_of

if TYPE_CHECKING:
    from typing import Iterable

    from stovelint.rule.level import Stakes
    from stovelint.rule.limits import Limit
    from stovelint.rule.moves import Move

Unit = Literal["degC", "K", "m", "h", "count", "strain"]


@dataclass(frozen=True, kw_only=True, slots=True)
class Note:
    """One further fact. Figures stay numbers, so that a report can write them in its units."""

    text: str
    """A sentence with `{}` where each value goes."""
    values: tuple[tuple[float, Unit], ...] = ()
    limits: tuple[Limit, ...] = ()
    """What the sentence cites, so that a report can list where it comes from."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Measure:
    """One value that was found, beside the limit it was compared with."""

    what: str
    """The quantity, in a word or two: `peak`, `mean`, `distance`."""
    where: str
    """Where on the part: `span`, `course 4`, `behind brick`; empty when there is only one."""
    unit: Unit
    low: float
    mid: float
    high: float
    limit: Limit | None
    """None: a value that is only told, not judged."""
    past: int
    """Cases past the limit; for an exact value 1 or 0."""
    cases: int
    exact: bool
    """True for a drawn size held against a clause: it has no likelihood."""
    counts: bool
    """True when enough cases are past the limit for the rule to speak."""
    worst: tuple[int, ...] = ()
    """Numbers of the least favourable cases, worst first: where a change is tried before all."""
    path: Path = ()
    """Layer that was looked at; empty where it is the part or surrounding as a whole."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Finding:
    """One thing that should change, and why."""

    rule: str
    stakes: Stakes
    subject: str
    """Name of the part or surrounding."""
    path: Path
    """What in the build file causes it."""
    walk_to: str
    """Where a mason finds it: `bell / course 4 / hot face`."""
    found: str
    """What is there, as a noun: `bare concrete-normal-siliceous`."""
    measures: tuple[Measure, ...]
    why: str
    notes: tuple[Note, ...]
    """Further facts, computed or read, one sentence each."""
    moves: tuple[Move, ...]
    """Changes worth trying; only what recomputes clean is ever printed as a remedy."""

    @property
    def lead(self) -> Measure:
        """The comparison that decides the level: highest level, then most cases."""
        return max(
            (m for m in self.measures if m.limit is not None),
            key=lambda m: (-1 if (at := level_of(self.stakes, m)) is None else RANK[at], m.past),
        )

    @property
    def level(self) -> Level | None:
        """The level of the deciding comparison; None: too few cases for these stakes."""
        return level_of(self.stakes, self.lead)

    @property
    def judged(self) -> tuple[Limit, ...]:
        """Every limit that the finding holds something against, each once, in order."""
        return _once(m.limit for m in self.measures if m.limit is not None)

    @property
    def limits(self) -> tuple[Limit, ...]:
        """Those, and after them what its notes cite."""
        return _once((*self.judged, *(limit for note in self.notes for limit in note.limits)))


@dataclass(frozen=True, kw_only=True, slots=True)
class NotJudged:
    """The rule applies but cannot say: data missing, or outside a table."""

    rule: str
    stakes: Stakes
    subject: str
    path: Path
    reason: str
    remedy: str
    """The line to add to the build file."""

    @property
    def level(self) -> Level:
        """A danger that could not be judged is a warning."""
        return "warning" if self.stakes == "danger" else "note"


Outcome = Finding | NotJudged


def _once(limits: Iterable[Limit]) -> tuple[Limit, ...]:
    return tuple({limit.name: limit for limit in limits}.values())
