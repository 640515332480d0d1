"""Lengths, elevations, runs, piece sizes and courses.

Exact factors (international yard agreement of 1959): 1 in = 25.4 mm, 1 ft = 12 in. Lengths are
carried as whole numbers until one final division, so a result is the double that is nearest to
the exact value.
"""

from __future__ import annotations

import re

from stovelint.errors import QuantityError
from stovelint.quantity.numbers import BARE, FRACTIONAL, NUMBER, ratio, refused, shown, tidy

_INCH = (254, 10_000)
_FOOT = (3048, 10_000)
# Metres per unit as (numerator, denominator).
_UNITS = {
    "mm": (1, 1000), "cm": (1, 100), "m": (1, 1),
    "in": _INCH, "inch": _INCH, "inches": _INCH, '"': _INCH,
    "ft": _FOOT, "foot": _FOOT, "feet": _FOOT, "'": _FOOT,
}  # fmt: skip

_SIMPLE = re.compile(rf"(-?)({FRACTIONAL}|{NUMBER}) ?([a-z]+|[\"'])")
_FEET_INCHES = re.compile(
    rf"(-?)([0-9]{{1,5}}) ?(?:ft|foot|feet|')[ -]?({FRACTIONAL}|{NUMBER}) ?(?:in|inch|inches|\")"
)
_COURSES = re.compile(r"([a-z][a-z0-9-]*) ([0-9]{1,4})(?: ?- ?([0-9]{1,4}))?")

LENGTH_FORMS = "write 114 mm, 11.4 cm, 1.2 m, 4 1/2 in, 4-1/2\", 2'-6\" or 3 ft 6 in"
RUN_FORMS = "write both ends with a unit, the smaller first: 0-2 m, 0 m to 2 m, 0 ft-6 ft 6 in"
PIECES_FORMS = "write both sides with a unit: 1000 mm x 1100 mm, 18 in x 24 in"
COURSES_FORMS = "write the name of a gauge, then courses counted from 1: brick 1-12, or brick 3"


def _exact_m(plain: str) -> float | None:
    """Metres, sign kept; None when the text is no length."""
    both = _FEET_INCHES.fullmatch(plain)
    if both is not None:
        sign, feet, number = both.groups()
        above, below = ratio(number, plain)
        if above >= 12 * below:
            raise QuantityError(
                f"`{shown(plain)}` has 12 or more inches after the feet",
                "carry them into the feet",
            )
        above += int(feet) * 12 * below
        unit = _INCH
    else:
        one = _SIMPLE.fullmatch(plain)
        if one is None or one.group(3) not in _UNITS:
            return None
        sign, number, word = one.groups()
        unit = _UNITS[word]
        if "/" in number and unit is not _INCH:
            return None
        above, below = ratio(number, plain)
    metres = above * unit[0] / (below * unit[1])
    return -metres if sign and metres else metres


def parse_elevation_m(text: str) -> float:
    """Height above the datum, m; negative below it.

    >>> parse_elevation_m("-8 in"), parse_elevation_m("1650 mm")
    (-0.2032, 1.65)
    """
    value = _exact_m(tidy(text, LENGTH_FORMS))
    if value is None:
        raise refused(text, "a length", LENGTH_FORMS)
    return value


def parse_length_m(text: str) -> float:
    """A length, m, not negative.

    >>> parse_length_m("4 1/2 in"), parse_length_m("2'-6\\""), parse_length_m("114 mm")
    (0.1143, 0.762, 0.114)
    >>> parse_length_m("114 mm 3 in")
    Traceback (most recent call last):
    ...
    stovelint.errors.QuantityError: `114 mm 3 in` is not a length; write 114 mm, 11.4 cm, 1.2 m, \
4 1/2 in, 4-1/2", 2'-6" or 3 ft 6 in
    """
    value = parse_elevation_m(text)
    if value < 0.0:
        raise QuantityError(f"`{shown(text)}` is less than nothing", LENGTH_FORMS)
    return value


def parse_run_m(text: str) -> tuple[float, float]:
    """A stretch of a run, from its start, m.

    >>> parse_run_m("0-2 m"), parse_run_m("0 ft-6 ft 6 in")
    ((0.0, 2.0), (0.0, 1.9812))
    """
    plain = tidy(text, RUN_FORMS)
    if _exact_m(plain) is not None:
        raise QuantityError(f"`{shown(text)}` is one length, not a run", RUN_FORMS)
    ends = _ends(plain)
    if len(ends) != 1:
        raise refused(text, "a run", RUN_FORMS)
    if not ends[0][0] < ends[0][1]:
        raise QuantityError(f"`{shown(text)}` does not end after it begins", RUN_FORMS)
    return ends[0]


def _ends(plain: str) -> list[tuple[float, float]]:
    """Each way to cut the text into two lengths; an inch fraction or 2'-6" holds hyphens too."""
    found = []
    for cut in re.finditer(r" to | ?- ?", plain):
        left, right = plain[: cut.start()], plain[cut.end() :]
        end = None if right.startswith("-") else _exact_m(right)
        if end is None or left.startswith("-"):
            continue
        if BARE.fullmatch(left) is not None:
            one = _SIMPLE.fullmatch(right)
            left += " m" if left == "0" else " " + one.group(3) if one is not None else ""
        start = _exact_m(left)
        if start is not None:
            found.append((start, end))
    return found


def parse_pieces_m(text: str) -> tuple[float, float]:
    """Length and breadth of one piece, m.

    >>> parse_pieces_m("1000 mm x 1100 mm"), parse_pieces_m("450 x 300 mm")
    ((1.0, 1.1), (0.45, 0.3))
    """
    first, cross, second = tidy(text, PIECES_FORMS).partition("x")
    first, second = first.strip(), second.strip()
    if cross and BARE.fullmatch(first) is not None:
        one = _SIMPLE.fullmatch(second)
        first += " " + one.group(3) if one is not None else ""
    sides = _exact_m(first), _exact_m(second)
    if sides[0] is None or sides[1] is None or min(sides[0], sides[1]) <= 0.0:
        raise refused(text, "a piece size", PIECES_FORMS)
    return sides[0], sides[1]


def parse_courses(text: str) -> tuple[str, int, int]:
    """Gauge, first and last course, counted from 1 at the datum.

    >>> parse_courses("brick 1-12"), parse_courses("block 3")
    (('brick', 1, 12), ('block', 3, 3))
    """
    found = _COURSES.fullmatch(tidy(text, COURSES_FORMS))
    if found is None:
        raise refused(text, "a range of courses", COURSES_FORMS)
    gauge, first, last = found.groups()
    courses = int(first), int(last or first)
    if not 1 <= courses[0] <= courses[1]:
        raise QuantityError(
            f"`{shown(text)}` counts from below 1 or downwards", COURSES_FORMS
        )
    return gauge, *courses
