"""All that a review has to say about one plan, one record each, for reports that show it in place.

The forms for code hosts differ in their syntax and not in what they tell, so each of them is
written from these records.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Literal, Sequence

from stovelint.hold import holds
from stovelint.place import pointer
from stovelint.report import units as u
from stovelint.report.agreed import ACCEPTED, stale
from stovelint.report.lines import way
from stovelint.report.sentences import (
    broke_text, finding_fields, question_fields, rule_words, stakes_text, stale_fields,
)  # fmt: skip
from stovelint.report.standing import WEAKENED, WHOLE, weakened_fields
from stovelint.report.summary import LEVEL_WORDS
from stovelint.report.visible import visible
from stovelint.review.fingerprint import fingerprints, steady_path

if TYPE_CHECKING:
    from stovelint.place import Path, Span
    from stovelint.quantity import Units
    from stovelint.report.answer import Answer
    from stovelint.review import Review
    from stovelint.review.records import Standing
    from stovelint.rule.level import Level, Stakes

Kind = Literal["finding", "open", "weakened", "variance", "mistake", "failure", "broke"]
STOPS: tuple[Kind, ...] = ("mistake", "failure", "broke")
"""With one of these a plan could not be reviewed, or not wholly."""
LISTED: tuple[Kind, ...] = ("finding", "weakened", "variance", "open", "broke")
"""In the correction list; what stands as it stood comes after all that is new."""
OPEN = "open"
Fields = tuple[tuple[str, str], ...]


@dataclass(frozen=True, kw_only=True, slots=True)
class Point:
    """One thing told of a plan. No text in it holds a letter that cannot be seen."""

    kind: Kind
    rules: tuple[str, ...]
    """Whose point it is; empty where no rule is behind it."""
    name: str
    """What it is about, in words: `cap insulation`."""
    where: str
    """Where a mason finds it: `bell / cap / hot face`; may be empty."""
    weight: str
    """`breakage, 32 of 32 cases`; may be empty."""
    level: Level
    stakes: Stakes | None
    span: Span | None
    path: Path
    fields: Fields
    """Statements, each with its label."""
    holds: bool
    """Whether it holds the plan, or keeps it from being reviewed in full."""
    accepted: bool
    standing: Standing | None
    mark: str
    """What it goes by when the file around it is edited; not always different from all others."""
    number: int | None = None
    """Its number in the correction list."""

    @property
    def word(self) -> str:
        """`must change`, `open`, `accepted`, ..."""
        if self.kind in STOPS:
            return "could not be reviewed"
        if self.accepted:
            return ACCEPTED
        return OPEN if self.kind == OPEN else LEVEL_WORDS[self.level]

    @property
    def title(self) -> str:
        """`cap insulation at bell / cap / hot face`."""
        return f"{self.name} at {self.where}" if self.where else self.name

    @property
    def first(self) -> str:
        """The statement that says what is the matter."""
        return self.field("found", "open", "wrong", "broke")

    def field(self, *labels: str) -> str:
        """The first statement under one of the labels; empty where there is none."""
        return next((text for label, text in self.fields if label in labels), "")

    def text(self) -> str:
        """All statements, each on a line of its own behind its label."""
        return "\n".join(f"{label}: {text}" for label, text in self.fields)


def points(answer: Answer, units: Units = "si") -> tuple[Point, ...]:
    """Everything told about one plan, in the order of the correction list.

    Args:
        answer: the plan, answered.
        units: of the figures in its sentences.
    """
    if answer.review is None:
        found = _mistakes(answer)
        return tuple(found) if found or not answer.failure else (_failure(answer.failure),)
    return tuple(_of_review(answer.review, answer, units))


def _of_review(review: Review, answer: Answer, units: Units) -> list[Point]:
    hold = review.hold
    found = [
        Point(
            kind="finding", rules=(item.finding.rule,), name=rule_words(item.finding.rule),
            where=visible(u.place(item.finding.walk_to, units)),
            weight=stakes_text(item.finding), level=item.level, stakes=item.finding.stakes,
            span=item.span, path=item.finding.path,
            fields=_seen(finding_fields(item, answer.proposals.get(index, ()), units)),
            holds=item.accepted is None and item.standing != "unchanged"
            and holds(hold, item.finding.stakes, item.level),
            accepted=item.accepted is not None, standing=item.standing, mark=mark,
        )
        for index, (item, mark) in enumerate(zip(review.items, fingerprints(review)))
    ]  # fmt: skip
    found += [
        Point(
            kind="weakened", rules=(), name=WEAKENED, where=_way(one.path) or WHOLE,
            weight=one.stakes, level=one.level, stakes=one.stakes, span=one.span, path=one.path,
            fields=_seen(weakened_fields(one, units)),
            holds=holds(hold, one.stakes, one.level), accepted=False, standing="new",
            mark=_mark("weakened", pointer(one.path)),
        )
        for one in review.weakened
    ]  # fmt: skip
    found += [
        Point(
            kind="variance", rules=(), name=f"variance {one.variance.name}",
            where=_way(one.variance.path), weight="advice", level="note",
            stakes="advice", span=one.span, path=one.variance.path,
            fields=_seen(stale_fields(one)), holds=holds(hold, "advice", "note"), accepted=False,
            standing=None, mark=_mark("variance", one.variance.name, one.state),
        )
        for one in stale(review)
    ]  # fmt: skip
    found += [
        Point(
            kind="open", rules=one.rules,
            name=", ".join(map(rule_words, one.rules)) or "heat", where=visible(one.subject),
            weight=one.stakes, level=one.level, stakes=one.stakes, span=one.span, path=one.path,
            fields=_seen(question_fields(one, units)),
            holds=one.accepted is None and one.standing != "unchanged"
            and holds(hold, one.stakes, one.level),
            accepted=one.accepted is not None, standing=one.standing,
            mark=_mark("open", one.subject, *steady_path(one.path, review.build)),
        )
        for one in review.open
    ]  # fmt: skip
    found += [
        Point(
            kind="broke", rules=(crash.rule,) if crash.rule else (), name="not complete", where="",
            weight="", level="error", stakes=None, span=None, path=(),
            fields=_seen([("broke", f"{broke_text(crash)}: {crash.message}"), ("do", REPORT)]),
            holds=True, accepted=False, standing=None, mark=_mark("broke", crash.rule),
        )
        for crash in review.crashes
    ]  # fmt: skip
    found.sort(
        key=lambda one: (one.kind == "broke", one.standing == "unchanged", LISTED.index(one.kind))
    )
    return [
        one if one.kind == "broke" else replace(one, number=number)
        for number, one in enumerate(found, start=1)
    ]


REPORT = "this is our fault, not the plan's; please report it together with the plan"


def _mistakes(answer: Answer) -> list[Point]:
    return [
        Point(
            kind="mistake", rules=(), name="build file", where=_way(one.path),
            weight="", level="error", stakes=None, span=one.span, path=one.path,
            fields=_seen([("wrong", one.message), ("do", one.remedy)]), holds=True,
            accepted=False, standing=None, mark=_mark("mistake", pointer(one.path), one.message),
            number=number,
        )
        for number, one in enumerate(
            sorted(answer.mistakes, key=lambda m: m.sort_key()), start=1
        )
    ]  # fmt: skip


def _failure(said: str) -> Point:
    return Point(
        kind="failure", rules=(), name="the plan", where="", weight="", level="error", stakes=None,
        span=None, path=(), fields=_seen([("wrong", said)]), holds=True, accepted=False,
        standing=None, mark=_mark("failure"),
    )  # fmt: skip


def _way(path: Path) -> str:
    return visible(way(path))


def _seen(fields: Sequence[tuple[str, str]]) -> Fields:
    return tuple((label, visible(text)) for label, text in fields)


def _mark(*parts: str) -> str:
    return "\n".join(parts)
