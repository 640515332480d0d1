"""SI floats -> texts for people, in SI or US customary units.

Every text that is written here is read back by the parser of its kind, within half of the last
step that it shows.
"""

from __future__ import annotations

from typing import Literal

Units = Literal["si", "us"]

_M_PER_IN = 0.0254
_M2_PER_IN2 = 0.00064516
_M2_PER_FT2 = 0.09290304
_KG_PER_LB = 0.45359237


def _number(value: float, digits: int) -> str:
    """Fixed decimals, without a sign on zero and without trailing zeros."""
    text = f"{value:.{digits}f}"
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


def format_length(length_m: float, units: Units = "si") -> str:
    """A length: millimetres to 1 m (tenths below 20 mm), then metres; or feet and inches to 1/16.

    >>> format_length(0.1143), format_length(0.0125), format_length(1.65)
    ('114 mm', '12.5 mm', '1.65 m')
    >>> format_length(0.1143, "us"), format_length(0.762, "us"), format_length(1.9812, "us")
    ('4 1/2 in', '30 in', '6 ft 6 in')
    """
    if units == "si":
        size = abs(length_m)
        if size < 0.9995:
            return _number(length_m * 1000.0, 1 if size < 0.02 else 0) + " mm"
        return _number(length_m, 2) + " m"
    sign = "-" if length_m < 0.0 else ""
    sixteenths = round(abs(length_m) / _M_PER_IN * 16.0)
    if sixteenths == 0:
        return _number(length_m / _M_PER_IN, 3) + " in"
    if sixteenths < 16 * 36:
        return f"{sign}{_inches(sixteenths)} in"
    feet, rest = divmod(sixteenths, 16 * 12)
    return f"{sign}{feet} ft" + (f" {_inches(rest)} in" if rest else "")


def _inches(sixteenths: int) -> str:
    whole, rest = divmod(sixteenths, 16)
    below = 16
    while rest and rest % 2 == 0:
        rest, below = rest // 2, below // 2
    if not rest:
        return str(whole)
    return f"{whole} {rest}/{below}" if whole else f"{rest}/{below}"


def format_temperature(t_C: float, units: Units = "si", digits: int = 0) -> str:
    """A temperature.

    >>> format_temperature(324.4), format_temperature(100.0, "us")
    ('324 degC', '212 degF')
    """
    value, unit = (t_C, "degC") if units == "si" else (t_C * 1.8 + 32.0, "degF")
    return f"{_number(value, digits)} {unit}"


def format_temperature_step(dT_K: float, units: Units = "si", digits: int = 0) -> str:
    """A difference of two temperatures, which is no temperature.

    >>> format_temperature_step(77.0), format_temperature_step(10.0, "us")
    ('77 K', '18 Fahrenheit degrees')
    """
    if units == "si":
        return f"{_number(dT_K, digits)} K"
    return f"{_number(dT_K * 1.8, digits)} Fahrenheit degrees"


def format_mass(mass_kg: float, units: Units = "si") -> str:
    """A mass, tenths below 100.

    >>> format_mass(12.0), format_mass(11.79340162, "us"), format_mass(1234.4)
    ('12 kg', '26 lb', '1234 kg')
    """
    value, unit = (mass_kg, "kg") if units == "si" else (mass_kg / _KG_PER_LB, "lb")
    return f"{_number(value, 1 if abs(value) < 100.0 else 0)} {unit}"


def format_area(area_m2: float, units: Units = "si") -> str:
    """An area: small ones in cm2 or in2, larger ones in m2 or ft2.

    >>> format_area(0.06), format_area(1.3456), format_area(0.064516, "us")
    ('600 cm2', '1.35 m2', '100 in2')
    """
    if units == "si":
        if abs(area_m2) < 0.09995:
            return _number(area_m2 * 1e4, 0 if abs(area_m2) >= 0.01 else 1) + " cm2"
        return _number(area_m2, 2) + " m2"
    if abs(area_m2) < _M2_PER_FT2 * 1.5:
        return _number(area_m2 / _M2_PER_IN2, 1) + " in2"
    return _number(area_m2 / _M2_PER_FT2, 1) + " ft2"


def format_area_per_length(area_m2_m: float, units: Units = "si") -> str:
    """Open area per width.

    >>> format_area_per_length(0.01), format_area_per_length(0.0254, "us")
    ('100 cm2/m', '12 in2/ft')
    """
    if units == "si":
        return _number(area_m2_m * 1e4, 1) + " cm2/m"
    return _number(area_m2_m * 0.3048 / _M2_PER_IN2, 1) + " in2/ft"


def format_fraction(fraction: float, digits: int = 0) -> str:
    """A share of a whole, in percent.

    >>> format_fraction(0.18), format_fraction(0.0306, 1)
    ('18 %', '3.1 %')
    """
    return _number(fraction * 100.0, digits) + " %"


def format_duration(time_s: float) -> str:
    """A stretch of time: seconds to 2 min, minutes to 3 h, hours to 3 d, then days.

    >>> format_duration(4800.0), format_duration(43200.0), format_duration(604800.0)
    ('80 min', '12 h', '7 d')
    """
    if time_s < 120.0:
        return _number(time_s, 0) + " s"
    if time_s < 3 * 3600.0:
        return _number(time_s / 60.0, 0) + " min"
    if time_s < 3 * 86_400.0:
        return _number(time_s / 3600.0, 1) + " h"
    return _number(time_s / 86_400.0, 1) + " d"
