"""Numbers for people, in the units they asked for. Every report formats through here."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Callable, Mapping

from stovelint.quantity import (
    Units,
    format_duration,
    format_length,
    format_mass,
    format_temperature,
    format_temperature_step,
)

if TYPE_CHECKING:
    from stovelint.rule.finding import Measure
    from stovelint.rule.limits import Limit

MOST_DECIMALS = 9
PA_PER_PSI = 6894.757
STRETCH = re.compile(r"(-?\d+\.\d+) to (-?\d+\.\d+) m\b")
"""How the heat map names a stretch of a wall or a run."""
SQUEEZED = re.compile(r"(\bsqueezed to )(\d+(?:\.\d+)?) mm\b")
"""What is left of a soft layer, as the remedy search writes it."""
SAID = re.compile(r"(?:(-?\d+(?:\.\d+)?) to )?(-?\d+(?:\.\d+)?) (degC|kg)\b")
"""Figures in sentences that were made before the units were known."""


def temperature(value_C: float, units: Units, decimals: int = 0) -> str:
    """`324 degC` or `615 degF`."""
    return format_temperature(value_C, units, decimals)


def difference(value_K: float, units: Units, decimals: int = 0) -> str:
    """`77 K` or `139 Fahrenheit degrees`: a difference has no zero point."""
    return format_temperature_step(value_K, units, decimals)


def length(value_m: float, units: Units, decimals: int = 0) -> str:
    """`914 mm`, `1.65 m`, `4 1/2 in`; with decimals plain millimetres or inches.

    >>> length(0.9139, "si"), length(0.9139, "si", 1), length(0.9139, "us", 1)
    ('914 mm', '913.9 mm', '35.98 in')
    """
    if decimals == 0:
        return format_length(value_m, units)
    if units == "si":
        return f"{_trim(value_m * 1000.0, decimals)} mm"
    return f"{_trim(value_m / 0.0254, decimals + 1)} in"


def remedy(text: str, units: Units) -> str:
    """What to do, the thickness that is left under a bearing in the reader's units.

    That one is our own figure; the sizes of the trade stay as they are sold, also in metric.

    >>> remedy("1/2 in blanket on the hot side of cap, squeezed to 6.35 mm at the bearing", "us")
    '1/2 in blanket on the hot side of cap, squeezed to 1/4 in at the bearing'
    >>> remedy("50 mm loose perlite in base", "us")
    '50 mm loose perlite in base'
    """
    if units == "si":
        return text
    return SQUEEZED.sub(lambda found: found[1] + _sixteenths(float(found[2]) / 25.4), text)


def _sixteenths(inches: float) -> str:
    """A length as a rule shows it; decimals where no mark lies near."""
    near = round(inches * 16.0) / 16.0
    return length(near * 0.0254, "us") if abs(near - inches) < 0.005 else f"{_trim(inches, 2)} in"


def place(name: str, units: Units) -> str:
    """The name of a place, with the stretch that it may hold in the reader's units.

    >>> place("0.90 to 1.20 m", "us"), place("under bench, 0.0 to 0.6 m along", "us")
    ('35 to 47 in', 'under bench, 0 to 24 in along')
    >>> place("0.668 to 0.672 m", "us"), place("-0.40 to -0.20 m", "us")
    ('26.3 to 26.5 in', '-16 to -8 in')
    """
    if units == "si":
        return name
    return STRETCH.sub(lambda found: _inches(float(found[1]), float(found[2])), name)


def _inches(low_m: float, high_m: float) -> str:
    for decimals in range(MOST_DECIMALS):
        low, high = (_round(end / 0.0254, decimals) for end in (low_m, high_m))
        if low != high:
            break
    return f"{low} to {high} in"


def sentence(text: str, units: Units) -> str:
    """A sentence of the heat map, its temperatures and masses in the reader's units.

    >>> sentence("known at 20 degC only; used up to 285 degC; 2 x 8 kg", "us")
    'known at 68 degF only; used up to 545 degF; 2 x 17.6 lb'
    >>> sentence("known from 400 to 1200 degC", "us")
    'known from 752 to 2192 degF'
    """
    if units == "si":
        return text

    def told(found: re.Match[str]) -> str:
        write = temperature if found[3] == "degC" else mass
        first = "" if found[1] is None else write(float(found[1]), units).split(" ")[0] + " to "
        return first + write(float(found[2]), units)

    return SAID.sub(told, text)


def hours(value_h: float, units: Units, decimals: int = 0) -> str:
    """`5.5 h`."""
    return f"{_trim(value_h, decimals + 1)} h"


def mass(value_kg: float, units: Units) -> str:
    """`10 kg` or `22 lb`."""
    return format_mass(value_kg, units)


def duration(time_s: float) -> str:
    """`80 min` or `12 h`."""
    return format_duration(time_s)


def small_unit(units: Units) -> str:
    """Unit of `small_length`."""
    return "mm" if units == "si" else "in"


def small_length(value_m: float, units: Units) -> str:
    """A movement, without its unit: tenths of a millimetre, thousandths of an inch.

    >>> small_length(0.00184, "si"), small_length(0.00184, "us"), small_length(-1e-6, "si")
    ('1.8', '0.072', '0.0')
    """
    if units == "si":
        return _round(value_m * 1000.0, 1)
    return _round(value_m / 0.0254, 3)


def stress_unit(units: Units) -> str:
    """Unit of `stress`."""
    return "MPa" if units == "si" else "psi"


def stress(value_Pa: float, units: Units) -> str:
    """A stress to two digits, without its unit.

    >>> stress(506e3, "si"), stress(13.12e6, "si"), stress(506e3, "us")
    ('0.51', '13', '73')
    """
    value = value_Pa / (1e6 if units == "si" else PA_PER_PSI)
    size = abs(value)
    if size >= 100.0:
        return f"{float(f'{value:.2g}'):.0f}"
    return _round(value, 0 if size >= 10.0 else 1 if size >= 1.0 else 2)


def count(value: float, units: Units, decimals: int = 0) -> str:
    """A plain number."""
    return _trim(value, decimals)


def strain(value: float, units: Units, decimals: int = 0) -> str:
    """`0.59 per mille`: a length over a length, the same in all units."""
    return f"{_trim(value * 1000.0, decimals + 2)} per mille"


WRITERS: Mapping[str, Callable[[float, Units, int], str]] = {
    "degC": temperature,
    "K": difference,
    "m": length,
    "h": hours,
    "count": count,
    "strain": strain,
}


def decimals_apart(measure: Measure, units: Units) -> int:
    """Digits that keep a value and the limit it is past from printing alike.

    >>> # 93.4 against 93 must not read "93 degC; may take 93 degC".
    """
    write = WRITERS[measure.unit]
    if measure.limit is None or not measure.past:
        return 0
    # What is past the limit is the unfavourable end; the middle may lie on the good side.
    worst = measure.low if measure.limit.sense == "at least" else measure.high
    for decimals in range(MOST_DECIMALS):
        if write(worst, units, decimals) != write(measure.limit.base, units, decimals):
            return decimals
    return MOST_DECIMALS


def spread(measure: Measure, units: Units) -> str:
    """`324 degC (272 to 387)`, or the bare value of a drawn size."""
    write, decimals = WRITERS[measure.unit], decimals_apart(measure, units)
    middle = write(measure.mid, units, decimals)
    if measure.exact or measure.low == measure.high:
        return middle
    low, high = (
        write(end, units, decimals).split(" ")[0] for end in (measure.low, measure.high)
    )
    return middle if low == high else f"{middle} ({low} to {high})"


def limit_value(limit: Limit, units: Units) -> str:
    """The limit with the digits its source prints."""
    text = WRITERS[limit.base_unit](limit.base, units, 0)
    return text if limit.sense == "at most" else f"at least {text}"


def _round(value: float, decimals: int) -> str:
    text = f"{value:.{decimals}f}"
    return text[1:] if float(text) == 0.0 and text.startswith("-") else text


def _trim(value: float, decimals: int) -> str:
    text = _round(value, decimals)
    return text.rstrip("0").rstrip(".") if "." in text else text
