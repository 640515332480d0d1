"""Calls with something of everything that a report for code hosts must be able to tell."""

from __future__ import annotations

from dataclasses import replace

from stovelint.hold import USUAL, Hold
from stovelint.place import Mark, Mistake, Path, Span
from stovelint.report.answer import Answer
from stovelint.report.told import Notice, Told
from stovelint.review import Crash, Item, Review
from stovelint.review.records import Standing, Weakened
from stovelint.rule import Level, Stakes
from tests.report.make import finding, item, limit, measure, proposal, question, review, span
from tests.rules.test_variance import variance

HOT = measure(272.0, 324.0, 387.0, limit(), where="span")
MANY_LEVELS: tuple[tuple[Stakes, Level], ...] = (
    ("breakage", "error"), ("danger", "warning"), ("danger", "error"), ("breakage", "note"),
    ("performance", "warning"), ("advice", "note"),
)  # fmt: skip


def found(
    stakes: Stakes = "breakage", level: Level = "error", *, line: int = 56, accepted: bool = False,
    standing: Standing | None = None, path: Path = ("parts", "bell-cap", "layers", 0),
    text: str = "bare concrete", rule: str = "cap-insulation",
) -> Item:  # fmt: skip
    """One finding."""
    of = replace(finding(HOT, stakes=stakes), path=path, found=text, rule=rule)
    return replace(
        item(of, level, line), accepted=variance() if accepted else None, standing=standing
    )


def told(
    *answers: Answer, notices: tuple[Notice, ...] = (), prefix: str = "", root: str = "",
    hold: Hold = USUAL, since: str | None = None,
) -> Told:  # fmt: skip
    return Told(
        answers=answers, book=(), asked=(), left_out=(), notices=notices, prefix=prefix,
        root=root, hold=hold, since=since,
    )  # fmt: skip


def answered(of: Review, *, file: str = "") -> Answer:
    """The answer with this review; its first finding has a remedy."""
    named = of if not file else _renamed(of, file)
    return Answer(
        file=named.file, review=named, proposals={0: [proposal(HOT)]} if of.items else {}
    )


def everything(
    *, hold: Hold = USUAL, standing: Standing | None = None, crash: bool = False
) -> Review:
    """A review in which all kinds of things are told."""
    items = [
        found(stakes, level, line=10 * n, standing=standing)
        for n, (stakes, level) in enumerate(MANY_LEVELS, start=1)
    ]
    items.append(found("danger", "error", line=90, accepted=True, path=("parts", "a")))
    quiet = replace(
        question(("parts", "b"), "wet-stone"), level="note", stakes="performance",
        reason="its water is not known", standing=standing,
    )  # fmt: skip
    asked = replace(question(("surroundings", "studs"), "combustible-clearance"), standing=standing)
    whole = review(
        *items, open=(asked, quiet),
        crashes=(Crash(rule="brittle-stone", message="it divides by zero"),) if crash else (),
        assumptions=("firing hardest is not given",),
    )  # fmt: skip
    return replace(
        whole, hold=hold, asked=("base-combustible", "brittle-stone", "cap-insulation", "gas-path"),
        not_applicable=("base-combustible",),
    )  # fmt: skip


def mistake(message: str = "no material is called perlit", line: int = 4) -> Mistake:
    return Mistake(
        span=span(line), path=("parts", "bell-cap"), message=message, remedy="write perlite"
    )


def weakened() -> Weakened:
    return Weakened(
        what="a charge of 12 kg stood there, and 8 kg stand there now", remedy="say why",
        stakes="danger", level="warning", span=span(7), path=("firing", "hardest", "charge"),
    )  # fmt: skip


def _renamed(of: Review, file: str) -> Review:
    def moved(at: Span) -> Span:
        return replace(at, file=file)

    return replace(
        of, file=file, items=tuple(replace(i, span=moved(i.span)) for i in of.items),
        open=tuple(replace(q, span=moved(q.span)) for q in of.open),
    )  # fmt: skip


def stretch(file: str, start: tuple[int, int], end: tuple[int, int]) -> Span:
    """From line and column to line and column, all from 0."""
    first, last = (Mark(line=line, column=column, offset=0) for line, column in (start, end))
    return Span(file=file, start=first, end=last)
