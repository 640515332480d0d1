"""Where a survey left the table of a material, and how much wider that made the spread."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Iterable

from stovelint.report import units as u
from stovelint.report.lines import labelled, wrap

if TYPE_CHECKING:
    from stovelint.quantity import Units

TITLE = "beyond a table"
SAID = re.compile(
    r"(?P<property>.+) of (?P<name>\S+) is known "
    r"(?:at (?P<only>-?\d+) degC only|from (?P<low>-?\d+) to (?P<high>-?\d+) degC)"
    r"; used (?P<uses>.+)"
)
"""How the catalogue says it of one property."""
USE = re.compile(r"(up|down) to (-?\d+) degC with (\d+) % more spread \((.+?)\)")


def beyond_lines(sentences: Iterable[str], units: Units) -> list[str]:
    """One line for each property and end of its table, the farthest step only.

    Args:
        sentences: as the catalogue says them, in any order and number; one that reads otherwise
            stays whole.
        units: `si` or `us`.

    >>> said = ["conductivity of cob is known at 20 degC only; used up to 120 degC with 5 % more "
    ...         "spread (judgement)"]
    >>> for line in beyond_lines(said, "si"): print(line)
    beyond a table       known at, degC  used at  spread grows by
    conductivity of cob              20      120  5 %, judgement
    """
    farthest: dict[tuple[str, str, str], tuple[int, str, str]] = {}
    others: set[str] = set()
    for said in sentences:
        found = SAID.fullmatch(said)
        uses = [] if found is None else USE.findall(found["uses"])
        if found is None or " and ".join(_use(*one) for one in uses) != found["uses"]:
            others.add(said)
            continue
        known = tuple(found[end] for end in ("only", "low", "high") if found[end] is not None)
        label = f"{found['property']} of {found['name']}"
        for way, at, percent, grade in uses:
            key = (label, " to ".join(_degrees(end, units) for end in known), way)
            step = int(at) if way == "up" else -int(at)
            if key not in farthest or step > farthest[key][0]:
                farthest[key] = (step, _degrees(at, units), f"{percent} %, {grade}")
    degrees = "degC" if units == "si" else "degF"
    rows = [(label, known, at, more)
            for (label, known, _), (_, at, more) in sorted(farthest.items())]  # fmt: skip
    lines = [TITLE] if others and not rows else []
    if rows:
        head = (TITLE, f"known at, {degrees}", "used at", "spread grows by")
        lines = labelled([head, *rows], right=frozenset({1, 2}))
    for said in sorted(others):
        lines += wrap(u.sentence(said, units), first="  ", rest="    ")
    return lines


def _use(way: str, at: str, percent: str, grade: str) -> str:
    return f"{way} to {at} degC with {percent} % more spread ({grade})"


def _degrees(whole_C: str, units: Units) -> str:
    return u.temperature(float(whole_C), units).split(" ")[0]
