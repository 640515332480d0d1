"""All other quantities, and the table from the name of a kind to its parser.

Exact factors: 1 in = 25.4 mm; 1 lb = 0.453 592 37 kg (international yard and pound agreement
of 1959). Celsius from Fahrenheit: t_C = (t_F - 32) * 5/9; nothing is colder than -273.15 degC.
"""

from __future__ import annotations

import re
from typing import Callable, Mapping

from stovelint.errors import QuantityError
from stovelint.quantity.lengths import (
    parse_courses,
    parse_elevation_m,
    parse_length_m,
    parse_pieces_m,
    parse_run_m,
)
from stovelint.quantity.numbers import NUMBER, ratio, refused, shown, tidy

AREA_FORMS = "write 600 cm2, 0.06 m2, 90 in2 or 1.5 ft2"
AREA_PER_LENGTH_FORMS = "write 100 cm2/m, 0.01 m2/m or 5 in2/ft"
MASS_FORMS = "write 12 kg, 500 g or 26 lb"
FRACTION_FORMS = "write a percentage between 0 and 100: 18 %"
DURATION_FORMS = "write 90 min, 12 h, 2 d or 45 s, with one unit"
TEMPERATURE_FORMS = "write 20 degC, -5 degC or 200 degF"

_ONE = re.compile(rf"(-?)({NUMBER}) ?(%|°?[A-Za-z][A-Za-z0-9/ ]*)")

# SI units per unit, as (numerator, denominator).
_AREA = {
    "mm2": (1, 1_000_000), "cm2": (1, 10_000), "m2": (1, 1),
    "in2": (64_516, 10**8), "sq in": (64_516, 10**8),
    "ft2": (3048**2, 10**8), "sq ft": (3048**2, 10**8),
}  # fmt: skip
_AREA_PER_LENGTH = {
    "mm2/m": (1, 1_000_000), "cm2/m": (1, 10_000), "m2/m": (1, 1),
    "in2/ft": (64_516, 3048 * 10**4), "sq in/ft": (64_516, 3048 * 10**4),
}  # fmt: skip
_MASS = {"kg": (1, 1), "g": (1, 1000), "lb": (45_359_237, 10**8)}
_FRACTION = {"%": (1, 100)}
_DURATION = {"s": (1, 1), "min": (60, 1), "h": (3600, 1), "d": (86_400, 1)}
_CELSIUS = ("degC", "°C")
_FAHRENHEIT = ("degF", "°F")
ABSOLUTE_ZERO_C = -273.15


def _scaled(
    text: str, units: Mapping[str, tuple[int, int]], what: str, forms: str
) -> float:
    found = _ONE.fullmatch(tidy(text, forms))
    unit = None if found is None else units.get(found.group(3))
    if found is None or unit is None:
        raise refused(text, what, forms)
    above, below = ratio(found.group(2), text)
    if found.group(1) and above:
        raise QuantityError(f"`{shown(text)}` is less than nothing", forms)
    return above * unit[0] / (below * unit[1])


def parse_area_m2(text: str) -> float:
    """An area, m2.

    >>> parse_area_m2("600 cm2"), parse_area_m2("100 in2")
    (0.06, 0.064516)
    """
    return _scaled(text, _AREA, "an area", AREA_FORMS)


def parse_area_per_length_m2_m(text: str) -> float:
    """Open area per metre of width, m2/m.

    >>> parse_area_per_length_m2_m("100 cm2/m"), parse_area_per_length_m2_m("12 in2/ft")
    (0.01, 0.0254)
    """
    return _scaled(text, _AREA_PER_LENGTH, "an area per length", AREA_PER_LENGTH_FORMS)


def parse_mass_kg(text: str) -> float:
    """A mass, kg.

    >>> parse_mass_kg("12 kg"), parse_mass_kg("26 lb")
    (12.0, 11.79340162)
    """
    return _scaled(text, _MASS, "a mass", MASS_FORMS)


def parse_fraction(text: str) -> float:
    """A share of a whole, from 0 to 1, written in percent.

    >>> parse_fraction("18 %")
    0.18
    """
    value = _scaled(text, _FRACTION, "a percentage", FRACTION_FORMS)
    if value > 1.0:
        raise QuantityError(f"`{shown(text)}` is more than the whole", FRACTION_FORMS)
    return value


def parse_duration_s(text: str) -> float:
    """A stretch of time, s.

    >>> parse_duration_s("90 min"), parse_duration_s("12 h")
    (5400.0, 43200.0)
    """
    return _scaled(text, _DURATION, "a duration", DURATION_FORMS)


def parse_temperature_C(text: str) -> float:
    """A temperature, degC.

    >>> parse_temperature_C("-5 degC"), parse_temperature_C("212 degF")
    (-5.0, 100.0)
    """
    found = _ONE.fullmatch(tidy(text, TEMPERATURE_FORMS))
    if found is None or found.group(3) not in (*_CELSIUS, *_FAHRENHEIT):
        raise refused(text, "a temperature", TEMPERATURE_FORMS)
    sign, number, unit = found.groups()
    above, below = ratio(number, text)
    if sign:
        above = -above
    value = above / below if unit in _CELSIUS else 5 * (above - 32 * below) / (9 * below)
    if value < ABSOLUTE_ZERO_C:
        raise QuantityError(f"`{shown(text)}` is colder than anything can be", TEMPERATURE_FORMS)
    return value


PARSERS: Mapping[str, Callable[[str], object]] = {
    "length": parse_length_m,
    "elevation": parse_elevation_m,
    "area": parse_area_m2,
    "area-per-length": parse_area_per_length_m2_m,
    "mass": parse_mass_kg,
    "fraction": parse_fraction,
    "duration": parse_duration_s,
    "temperature": parse_temperature_C,
    "pieces": parse_pieces_m,
    "run": parse_run_m,
    "courses": parse_courses,
}
"""Kind of quantity, as the schema names it -> parser."""
