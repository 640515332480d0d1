"""What a review hands on: findings with their levels, open questions, and the outcome."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal, Mapping, Protocol

from stovelint.errors import NOT_REVIEWED
from stovelint.hold import USUAL, holds
from stovelint.rule.level import RANK
from stovelint.variance import STALE

if TYPE_CHECKING:
    from stovelint.build import Build, Variance
    from stovelint.hold import Hold
    from stovelint.hotmap.records import HotMap
    from stovelint.place import Path, Span
    from stovelint.rule.finding import Finding, Measure, NotJudged
    from stovelint.rule.level import Level, Stakes
    from stovelint.variance import Weighed

Verdict = Literal["clear", "as noted", "revise"]


class Solve(Protocol):
    """Computes the heat of a changed plan, over all cases or only those numbered (from 0)."""

    def __call__(self, build: Build, cases: tuple[int, ...] | None = None) -> HotMap: ...



Standing = Literal["new", "worse", "unchanged"]
"""Against an older revision; `worse`: it stood there at a lower level, well nearer to its limit, or
accepted."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Related:
    """A further place that has to do with a finding: what also set it, in this file or a base."""

    span: Span
    path: Path
    words: str


@dataclass(frozen=True, kw_only=True, slots=True)
class Item:
    """One finding, with its level and its place in the file."""

    finding: Finding
    level: Level
    span: Span
    accepted: Variance | None = None
    related: tuple[Related, ...] = ()
    standing: Standing | None = None
    """None: the plan was not compared with an older revision."""
    before: Item | None = None
    """Of a worse one: how it stood there."""


@dataclass(frozen=True, kw_only=True, slots=True)
class OpenQuestion:
    """What could not be judged, once, with every rule that asks for it."""

    rules: tuple[str, ...]
    """Empty when the heat itself could not be computed and no rule asked."""
    stakes: Stakes
    subject: str
    path: Path
    span: Span
    reason: str
    remedy: str
    level: Level
    accepted: Variance | None = None
    standing: Standing | None = None
    before: OpenQuestion | None = None
    """As for an `Item`."""
    blind: bool = False
    """True where nothing is known of a whole firing, so that anything may stand behind it."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Weakened:
    """A claim of the plan or of the settings that asks for less than in the older revision."""

    what: str
    """A sentence: what stood there, and what stands there now."""
    remedy: str
    stakes: Stakes
    level: Level
    span: Span
    path: Path


@dataclass(frozen=True, kw_only=True, slots=True)
class Crash:
    """A rule that broke. The others still ran, but the review is not complete."""

    rule: str
    message: str
    searching: bool = False
    """True when it is the search for remedies that broke: no rule then, and nothing unjudged."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Run:
    """What one rule said about one plan, and everything it looked at."""

    rule: str
    findings: tuple[Finding, ...]
    unjudged: tuple[NotJudged, ...]
    looks: Mapping[str, list[Measure]]
    """By subject; a comparison in a finding and one that was fine alike."""
    crash: Crash | None

    @property
    def idle(self) -> bool:
        """Whether the plan holds nothing that this rule is about."""
        return not (self.findings or self.unjudged or self.looks or self.crash)


@dataclass(frozen=True, kw_only=True, slots=True)
class Review:
    """The whole answer for one plan."""

    file: str
    build: Build
    items: tuple[Item, ...]
    open: tuple[OpenQuestion, ...]
    crashes: tuple[Crash, ...]
    assumptions: tuple[str, ...]
    asked: tuple[str, ...] = ()
    """Rules that were to judge the plan."""
    left_out: tuple[str, ...] = ()
    """Rules of the book that were not asked; then this is no full review."""
    not_applicable: tuple[str, ...] = ()
    """Rules that found nothing of theirs in the plan: no comparison, no word."""
    variances: tuple[Weighed, ...] = ()
    hold: Hold = USUAL
    on: str | None = None
    """Day of the review, where it was given."""
    based_on: tuple[str, ...] = ()
    """Names of the files that the plan changes, the nearest first."""
    shop: tuple[str, ...] = ()
    """What the shop's settings have to do with it: sentences for the head of a report."""
    since: str | None = None
    """The older revision with which it was compared, as it was given."""
    file_before: str | None = None
    """Name of the plan in that revision; None: it was not there, or nothing was compared."""
    not_compared: str = ""
    """Why all counts as new, though the plan was there: it could not be reviewed there."""
    gone: tuple[Item, ...] = ()
    """Findings of the older revision that are there no more, with their places in it."""
    weakened: tuple[Weakened, ...] = ()

    @property
    def verdict(self) -> Verdict:
        """The outcome in plan-review words. What was accepted is noted and holds nothing, nor
        does what stood in the older revision alike; a variance to look at weighs like advice to
        consider."""
        said: list[tuple[Stakes, Level, bool]] = [
            (i.finding.stakes, i.level, i.accepted is None and i.standing != "unchanged")
            for i in self.items
        ]
        said += [
            (q.stakes, q.level, q.accepted is None and q.standing != "unchanged")
            for q in self.open
        ]
        said += [(w.stakes, w.level, True) for w in self.weakened]
        said += [
            ("advice", "note", not one.known) for one in self.variances if one.state in STALE
        ]
        if any(counts and holds(self.hold, stakes, level) for stakes, level, counts in said):
            return "revise"
        agreed = any(item.accepted is not None for item in self.items)
        agreed = agreed or any(question.accepted is not None for question in self.open)
        noted = agreed or any(
            RANK[level] > RANK["note"] or holds(self.hold, stakes, level)
            for stakes, level, _ in said
        )
        return "as noted" if noted else "clear"

    @property
    def dangers_accepted(self) -> int:
        """How many dangers, found or open, a variance accepts."""
        agreed = [i.finding.stakes for i in self.items if i.accepted is not None]
        agreed += [q.stakes for q in self.open if q.accepted is not None]
        return agreed.count("danger")

    @property
    def status(self) -> int:
        """Exit status: 0 clear or as noted, 1 revise, 2 a rule broke."""
        return NOT_REVIEWED if self.crashes else int(self.verdict == "revise")
