"""A small review with one of everything, for the reports."""

from __future__ import annotations

from stovelint.place import Mark, Path, Span
from stovelint.remedy import Effect, Proposal
from stovelint.review import Crash, Item, OpenQuestion, Review
from stovelint.rule import Finding, Level, Limit, Measure, Note, Source, Stakes
from stovelint.rule.limits import Grade
from tests.rules import make

FILE = "kiln.heater.yaml"


def span(line: int = 56, column: int = 8) -> Span:
    start = Mark(line=line, column=column, offset=0)
    return Span(file=FILE, start=start, end=start)


def limit(key: str = "CON-175", value: float = 175.0, unit: str = "degC", *, grade: Grade = "read",
          meaning: str = "in excursions", sense: str = "at most") -> Limit:  # fmt: skip
    return Limit(
        name=key, key=key, value=value, unit=unit,
        sense="at most" if sense == "at most" else "at least", meaning=meaning, scope="x",
        source=Source(title="a standard", edition="2001", clause="1.2", grade=grade),
    )  # fmt: skip


def measure(
    low: float, mid: float, high: float, held: Limit | None, *, what: str = "peak", where: str = "",
    past: int = 32, exact: bool = False,
) -> Measure:  # fmt: skip
    return Measure(
        what=what, where=where, unit=held.base_unit if held else "degC", low=low, mid=mid,
        high=high, limit=held, past=past, cases=32, exact=exact, counts=past > 0,
    )  # fmt: skip


def finding(
    *measures: Measure, stakes: Stakes = "breakage", notes: tuple[Note, ...] = ()
) -> Finding:
    return Finding(
        rule="cap-insulation", stakes=stakes, subject="bell-cap",
        path=("parts", "bell-cap", "layers", 0), walk_to="bell / cap / hot face",
        found="bare concrete", measures=measures, why="it cracks across the span", notes=notes,
        moves=(),
    )  # fmt: skip


def item(of: Finding, level: Level = "error", line: int = 56) -> Item:
    return Item(finding=of, level=level, span=span(line))


def question(path: Path = ("surroundings", "studs"), *rules: str) -> OpenQuestion:
    return OpenQuestion(
        rules=rules, stakes="danger", subject=str(path[-1]), path=path, span=span(80),
        reason="the gap is not described", remedy="say how it is open", level="warning",
    )  # fmt: skip


def review(
    *items: Item, open: tuple[OpenQuestion, ...] = (), crashes: tuple[Crash, ...] = (),
    assumptions: tuple[str, ...] = (), title: str = "Kiln Cottage",
) -> Review:  # fmt: skip
    from dataclasses import replace

    build = replace(make.build(), title=title, by_others={"chimney": "mason", "air": "owner"})
    return Review(
        file=FILE, build=build, items=items, open=open, crashes=crashes, assumptions=assumptions
    )


def proposal(
    *figures: Measure, effects: tuple[Effect, ...] = (), brings: tuple[tuple[str, str], ...] = (),
    passes: bool = True, on_top: bool = False,
) -> Proposal:  # fmt: skip
    return Proposal(
        text="1 in blanket under it" if passes else "no blanket up to 4 in passes alone",
        passes=passes, edits=(), figures=figures, effects=effects, brings=brings, on_top=on_top,
    )  # fmt: skip
