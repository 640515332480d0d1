"""What every plan that the schema lets pass must end in, and whether it did.

Either a refusal whose every mistake is located and says what to do; or a survey and a review in
which every number is finite, and what could not be reckoned is an open question with its line.
"""

from __future__ import annotations

import dataclasses
import json
import math
import re
import time
import warnings
from dataclasses import dataclass
from typing import Literal

import numpy as np

from stovelint.assemble import assemble
from stovelint.build import Build
from stovelint.errors import BuildFileError, HeatError
from stovelint.hotmap.compute import Solver
from stovelint.hotmap.records import HotMap, LayerHeat, Spread
from stovelint.place import Mistake, Places
from stovelint.report.answer import Answer
from stovelint.report.machine import machine_report
from stovelint.report.mistakes import mistakes_text
from stovelint.report.survey import survey_text
from stovelint.report.text import text_report
from stovelint.review import check_materials, objector, review
from stovelint.rulebook import load
from stovelint.source.yaml import parse
from stovelint.variance import check_variances
from tests.drawn.pen import CATALOGUE, Tree

BOOK = load()
ASKED = [rule.name for rule in BOOK]
FILE = "drawn.heater.yaml"
COLDEST, HOTTEST = -80.0, 2300.0
"""degC: no climate is colder, no wood fire hotter (adiabatic, without dissociation)."""
NO_NUMBER = re.compile(r"(?<![A-Za-z])[+-]?(nan|inf|infinity)(?![A-Za-z])", re.IGNORECASE)

Ending = Literal["refused", "heat refused", "not judged", "some judged", "judged"]


@dataclass(frozen=True, kw_only=True, slots=True)
class Verdict:
    """How one plan ended, and what is wrong with that."""

    ending: Ending
    faults: tuple[str, ...]
    """What must not be; empty when all is well."""
    said: str
    """The first sentence that says why there is less than a full answer."""
    seconds: float
    """Processor time."""


def text_of(tree: Tree) -> str:
    """The plan as text: JSON is YAML, and every entry then has a line of its own."""
    return json.dumps(tree, indent=1) + "\n"


def numbers(value: object, name: str = "hot map", seen: set[int] | None = None) -> list[str]:
    """Every number below a record that is not finite, by its name. Spreads must be in order."""
    seen = set() if seen is None else seen
    if isinstance(value, (float, np.floating)):
        return [] if math.isfinite(value) else [f"{name} is {value}"]
    if value is None or isinstance(value, (str, int, bool)) or id(value) in seen:
        return []
    seen.add(id(value))
    if isinstance(value, np.ndarray):
        return [] if np.isfinite(value).all() else [f"{name} is not finite"]
    found: list[str] = []
    if isinstance(value, Spread):
        if not (value.floor <= value.values + 1e-9).all():
            found.append(f"{name} has its floor above its values")
        found += numbers((value.low, value.mid, value.high), name, seen)
    if isinstance(value, LayerHeat):
        deep = (value.hot, value.hot_zone, value.middle, value.cold, value.piece(),
                value.hours_above_121_C, value.unjudged, value.beyond_table)  # fmt: skip
        for depth in deep[:4]:
            assert not isinstance(depth, (str, tuple)) and depth is not None
            peak = getattr(depth, "peak_C")
            if not COLDEST < peak.low <= peak.high < HOTTEST:
                found.append(f"{name} peaks at {peak.low} to {peak.high} degC")
        return found + numbers(deep, name, seen)
    if isinstance(value, dict):
        pairs = [(str(key), inner) for key, inner in value.items()]
    elif dataclasses.is_dataclass(value):
        fields = dataclasses.fields(value)
        pairs = [(field.name, getattr(value, field.name)) for field in fields]
    elif hasattr(value, "__len__") and hasattr(value, "__getitem__"):
        pairs = [(str(i), value[i]) for i in range(len(value))]
    else:
        return []
    for key, inner in pairs:
        found += numbers(inner, f"{name} / {key}", seen)
    return found


def _unlocated(mistakes: tuple[object, ...]) -> list[str]:
    return [
        f"no place or no remedy: {one}" for one in mistakes
        if not (isinstance(one, Mistake) and one.path and one.message and one.remedy)
    ]  # fmt: skip


def _pages(build: Build, hot: HotMap, places: Places) -> list[str]:
    """Review and survey as they are printed; faults of the review itself."""
    result = review(
        file=FILE, places=places, build=build, hot=hot, catalogue=CATALOGUE, rules=BOOK
    )
    answer = Answer(file=FILE, review=result)
    texts = [
        text_report(result, {}), machine_report([answer], asked=ASKED, left_out=()),
        survey_text(build, hot, CATALOGUE, objector(BOOK, build, hot, CATALOGUE)),
    ]  # fmt: skip
    faults = [f"{crash.rule} broke: {crash.message}" for crash in result.crashes]
    faults += [
        f"open question without place or remedy: {q}" for q in result.open
        if not (q.path and q.remedy and q.span.start.line >= 0)
    ]  # fmt: skip
    for text in texts:
        found = NO_NUMBER.search(text)
        if found:
            faults.append(f"printed: {text[max(0, found.start() - 60) : found.end() + 20]!r}")
    return faults


def examine(text: str, *, members: int = 2, full: bool = True) -> Verdict:
    """One plan, from its text.

    Args:
        text: of the build file.
        members: cases that are computed.
        full: look at every depth and print the pages; otherwise only how the plan ends.
    """
    start = time.process_time()

    def ended(ending: Ending, faults: list[str], said: str) -> Verdict:
        return Verdict(
            ending=ending, faults=tuple(faults), said=said, seconds=time.process_time() - start
        )

    with warnings.catch_warnings():
        warnings.simplefilter("error")
        try:
            source = parse(text, FILE)
            build = assemble(
                source,
                lambda b, p: (
                    *check_materials(b, CATALOGUE, p), *check_variances(b, ASKED, p)
                ),
            )  # fmt: skip
        except BuildFileError as error:
            mistakes_text(FILE, [m for m in error.mistakes if isinstance(m, Mistake)])
            first = error.mistakes[0]
            said = first.message if isinstance(first, Mistake) else str(first)
            return ended("refused", _unlocated(error.mistakes), said)
        try:
            hot = Solver(CATALOGUE, members=members)(build)
        except HeatError as error:
            faults = [] if getattr(error, "path", ()) else [f"not located: {error}"]
            return ended("heat refused", faults, str(error))
        faults = numbers(hot) if full else []
        if full:
            faults += _pages(build, hot, source.places)
        unsettled = [one.reason for one in hot.unsolved if "did not settle" in one.reason]
        said = unsettled[0] if unsettled else "; ".join(one.reason for one in hot.unsolved)
        if not hot.cycles:
            return ended("not judged", faults, said)
        return ended("some judged" if unsettled else "judged", faults, said)
