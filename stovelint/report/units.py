"""Numbers for people, in the units they asked for. Every report formats through here."""

from __future__ import annotations

from typing import TYPE_CHECKING, Callable, Literal, Mapping

if TYPE_CHECKING:
    from stovelint.rule.finding import Measure
    from stovelint.rule.limits import Limit

Units = Literal["si", "us"]
MOST_DECIMALS = 9


def temperature(value_C: float, units: Units, decimals: int = 0) -> str:
    """`324 degC` or `615 degF`.

    >>> temperature(324.4, "si"), temperature(324.4, "us")
    ('324 degC', '616 degF')
    """
    if units == "si":
        return f"{_round(value_C, decimals)} degC"
    return f"{_round(value_C * 1.8 + 32.0, decimals)} degF"


def difference(value_K: float, units: Units, decimals: int = 0) -> str:
    """`77 K` or `139 F deg`: a difference has no zero point.

    >>> difference(77.0, "si"), difference(77.0, "us")
    ('77 K', '139 F deg')
    """
    if units == "si":
        return f"{_round(value_K, decimals)} K"
    return f"{_round(value_K * 1.8, decimals)} F deg"


def length(value_m: float, units: Units, decimals: int = 0) -> str:
    """`914 mm`, `1.65 m` from 10 m on, or inches with a decimal.

    >>> length(0.9144, "si"), length(0.9144, "us"), length(0.0127, "us")
    ('914 mm', '36 in', '0.5 in')
    """
    if units == "si":
        return f"{_round(value_m * 1000.0, decimals)} mm"
    return f"{_trim(value_m / 0.0254, decimals + 1)} in"


def hours(value_h: float, units: Units, decimals: int = 0) -> str:
    """`5.5 h`."""
    return f"{_trim(value_h, decimals + 1)} h"


def mass(value_kg: float, units: Units) -> str:
    """`10 kg` or `22 lb`.

    >>> mass(10.0, "si"), mass(10.0, "us")
    ('10 kg', '22 lb')
    """
    return f"{_trim(value_kg, 1)} kg" if units == "si" else f"{_trim(value_kg / 0.45359237, 1)} lb"


def count(value: float, units: Units, decimals: int = 0) -> str:
    """A plain number."""
    return _trim(value, decimals)


WRITERS: Mapping[str, Callable[[float, Units, int], str]] = {
    "degC": temperature,
    "K": difference,
    "m": length,
    "h": hours,
    "count": count,
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
