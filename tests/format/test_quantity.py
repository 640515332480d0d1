"""The grammar of quantities: what is read, exactly, and what is refused with which remedy.

Exact factors: 1 in = 25.4 mm and 1 lb = 0.453 592 37 kg (international yard and pound
agreement, 1959). Expected values are rational numbers, so no tolerance is needed: a result must
be the double nearest to the exact value.
"""

from __future__ import annotations

from fractions import Fraction
from typing import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stovelint.errors import QuantityError
from stovelint.quantity import (
    PARSERS,
    parse_area_m2,
    parse_area_per_length_m2_m,
    parse_courses,
    parse_duration_s,
    parse_elevation_m,
    parse_fraction,
    parse_length_m,
    parse_mass_kg,
    parse_pieces_m,
    parse_run_m,
    parse_temperature_C,
)

INCH = Fraction(254, 10_000)
FOOT = 12 * INCH


@pytest.mark.parametrize(
    ("text", "exact"),
    [
        ("114 mm", Fraction(114, 1000)),
        ("114mm", Fraction(114, 1000)),
        ("11.4 cm", Fraction(114, 1000)),
        ("1.2 m", Fraction(12, 10)),
        ("0 mm", Fraction(0)),
        ("4 1/2 in", Fraction(9, 2) * INCH),
        ('4-1/2"', Fraction(9, 2) * INCH),
        ('4 1/2"', Fraction(9, 2) * INCH),
        ("13 1/2 in", Fraction(27, 2) * INCH),
        ("4 1/2 inches", Fraction(9, 2) * INCH),
        ("1/2 in", INCH / 2),
        ("3/64 in", 3 * INCH / 64),
        ("2.5 in", Fraction(5, 2) * INCH),
        ("3 ft", 3 * FOOT),
        ("2.5 ft", Fraction(5, 2) * FOOT),
        ("3 ft 6 in", 42 * INCH),
        ("3 foot 6 inches", 42 * INCH),
        ("2'-6\"", 30 * INCH),
        ("2' 6\"", 30 * INCH),
        ("2'6\"", 30 * INCH),
        ("2'-6 1/2\"", Fraction(61, 2) * INCH),
        ("2'-6-1/2\"", Fraction(61, 2) * INCH),
        ("5'", 5 * FOOT),
        ("0'-6\"", 6 * INCH),
        ("2\u2032-6\u2033", 30 * INCH),
        ("  114   mm ", Fraction(114, 1000)),
        ("114\u00a0mm", Fraction(114, 1000)),
    ],
)
def test_length_is_exact(text: str, exact: Fraction) -> None:
    assert parse_length_m(text) == float(exact)


@pytest.mark.parametrize(
    ("parse", "text", "exact"),
    [
        (parse_elevation_m, "-8 in", -8 * INCH),
        (parse_elevation_m, "\u22128 in", -8 * INCH),
        (parse_elevation_m, "-2'-6\"", -30 * INCH),
        (parse_area_m2, "600 cm2", Fraction(6, 100)),
        (parse_area_m2, "600 cm\u00b2", Fraction(6, 100)),
        (parse_area_m2, "90 sq in", 90 * INCH**2),
        (parse_area_m2, "1.5 ft2", Fraction(3, 2) * FOOT**2),
        (parse_area_m2, "2500 mm2", Fraction(25, 10_000)),
        (parse_area_per_length_m2_m, "100 cm2/m", Fraction(1, 100)),
        (parse_area_per_length_m2_m, "5 in2/ft", 5 * INCH**2 / FOOT),
        (parse_mass_kg, "12 kg", Fraction(12)),
        (parse_mass_kg, "500 g", Fraction(1, 2)),
        (parse_mass_kg, "26 lb", 26 * Fraction(45_359_237, 10**8)),
        (parse_fraction, "18 %", Fraction(18, 100)),
        (parse_fraction, "3.5%", Fraction(35, 1000)),
        (parse_fraction, "100 %", Fraction(1)),
        (parse_duration_s, "90 min", Fraction(5400)),
        (parse_duration_s, "1.5 h", Fraction(5400)),
        (parse_duration_s, "2 d", Fraction(172_800)),
        (parse_duration_s, "45 s", Fraction(45)),
        (parse_temperature_C, "20 degC", Fraction(20)),
        (parse_temperature_C, "-5 degC", Fraction(-5)),
        (parse_temperature_C, "20 \u00b0C", Fraction(20)),
        (parse_temperature_C, "200 degF", Fraction(5 * (200 - 32), 9)),
        (parse_temperature_C, "-40 degF", Fraction(-40)),
        (parse_temperature_C, "-273.15 degC", Fraction(-27315, 100)),
    ],
)
def test_quantity_is_exact(
    parse: Callable[[str], float], text: str, exact: Fraction
) -> None:
    assert parse(text) == float(exact)


def test_runs_pieces_and_courses() -> None:
    six_and_a_half = float(78 * INCH)
    assert parse_run_m("0-2 m") == parse_run_m("0 m to 2 m") == parse_run_m("0 - 2 m") == (0, 2)
    assert parse_run_m("0 ft-6 ft 6 in") == parse_run_m("0-6'-6\"") == (0, six_and_a_half)
    assert parse_run_m("1'-6\"-6'-6\"") == (float(18 * INCH), six_and_a_half)
    assert parse_run_m("1-4-1/2 in") == (float(INCH), float(Fraction(9, 2) * INCH))
    assert parse_run_m("500 mm-1.2 m") == (0.5, 1.2)
    assert parse_pieces_m("1000 mm x 1100 mm") == parse_pieces_m("1 m\u00d71.1 m") == (1.0, 1.1)
    assert parse_pieces_m("450 x 300 mm") == (0.45, 0.3)
    assert parse_pieces_m("2'-6\" x 3'") == (float(30 * INCH), float(3 * FOOT))
    assert parse_courses("brick 1-12") == parse_courses("brick 1 - 12") == ("brick", 1, 12)
    assert parse_courses("grey-block 3") == ("grey-block", 3, 3)


@pytest.mark.parametrize(
    ("kind", "text", "says"),
    [
        ("length", "114", "no unit"),
        ("length", "4 1/2", "no unit"),
        ("length", "-3", "no unit"),
        ("mass", "12", "no unit"),
        ("fraction", "0.18", "no unit"),
        ("temperature", "20", "no unit"),
        ("length", "11,4 cm", "comma"),
        ("length", "1,140 mm", "comma"),
        ("mass", "2,5 kg", "comma"),
        ("length", "114 mm 3 in", "not a length"),
        ("length", "1 m 20 cm", "not a length"),
        ("length", "5 in 3", "not a length"),
        ("length", "3 ft 6", "not a length"),
        ("length", "3 in 6 ft", "not a length"),
        ("length", "2' 6 mm", "not a length"),
        ("length", "4 1/2 mm", "not a length"),
        ("length", "4 1/2 ft", "not a length"),
        ("length", "114 MM", "not a length"),
        ("length", "114 mil", "not a length"),
        ("length", "114 kg", "not a length"),
        ("length", "mm", "not a length"),
        ("length", ".5 in", "not a length"),
        ("length", "5. in", "not a length"),
        ("length", "1e3 mm", "not a length"),
        ("length", "1e999 mm", "not a length"),
        ("length", "nan mm", "not a length"),
        ("length", "inf m", "not a length"),
        ("length", "1234567890 mm", "not a length"),
        ("length", "+5 mm", "not a length"),
        ("length", "\u0661\u0662 mm\n", "not a length"),
        ("length", "", "no quantity"),
        ("length", "  ", "no quantity"),
        ("length", "2\u2019-6\u201d", "curly quotes"),
        ("length", "-114 mm", "less than nothing"),
        ("length", "2'-12\"", "12 or more inches"),
        ("length", "41/2 in", "between 0 and 1"),
        ("length", "4 3/2 in", "between 0 and 1"),
        ("length", "4 0/2 in", "between 0 and 1"),
        ("length", "1/0 in", "between 0 and 1"),
        ("length", "1/65 in", "finer than 64ths"),
        ("area", "600 cm", "not an area"),
        ("area", "-600 cm2", "less than nothing"),
        ("area-per-length", "100 cm2", "not an area per length"),
        ("mass", "26 lbs oz", "not a mass"),
        ("fraction", "101 %", "more than the whole"),
        ("fraction", "18 percent", "not a percentage"),
        ("duration", "1 h 30 min", "not a duration"),
        ("duration", "90 m", "not a duration"),
        ("temperature", "20 C", "not a temperature"),
        ("temperature", "-274 degC", "colder"),
        ("temperature", "-460 degF", "colder"),
        ("run", "2 m", "one length"),
        ("run", "2'-6\"", "one length"),
        ("run", "4-1/2 in", "one length"),
        ("run", "2-1 m", "does not end after"),
        ("run", "1-1 m", "does not end after"),
        ("run", "1 mm-2", "not a run"),
        ("run", "-1-2 m", "not a run"),
        ("run", "0-1-2 m", "not a run"),
        ("pieces", "450 mm", "not a piece size"),
        ("pieces", "450 mm x 0 mm", "not a piece size"),
        ("pieces", "450 mm x 300 mm x 50 mm", "not a piece size"),
        ("courses", "1-12", "not a range of courses"),
        ("courses", "brick 0-3", "below 1"),
        ("courses", "brick 5-3", "below 1 or downwards"),
        ("courses", "Brick 1-3", "not a range of courses"),
    ],
)
def test_refusals_say_what_and_how(kind: str, text: str, says: str) -> None:
    with pytest.raises(QuantityError) as refusal:
        PARSERS[kind](text)
    assert says in refusal.value.message
    assert refusal.value.remedy
    assert len(refusal.value.message) < 130


@given(st.sampled_from(sorted(PARSERS)), st.text(max_size=25))
def test_any_text_is_read_or_refused(kind: str, text: str) -> None:
    try:
        PARSERS[kind](text)
    except QuantityError:
        pass


_SIGNS = st.text(alphabet="0123456789 /-.,'\"xmkgcftinlbdeCF%2", max_size=14)


@given(st.sampled_from(sorted(PARSERS)), _SIGNS)
def test_any_likely_text_is_finite_or_refused(kind: str, text: str) -> None:
    try:
        value = PARSERS[kind](text)
    except QuantityError:
        return
    numbers = [value] if isinstance(value, float) else value
    assert isinstance(numbers, (list, tuple))
    for number in numbers:
        assert isinstance(number, str) or abs(number) < 1e16


@given(st.integers(0, 99_999), st.integers(0, 11), st.integers(0, 63))
def test_feet_inches_and_64ths_are_exact(feet: int, inches: int, part: int) -> None:
    exact = feet * FOOT + (inches + Fraction(part, 64)) * INCH
    for text in (f"{feet} ft {inches} {part}/64 in", f"{feet}'-{inches}-{part}/64\""):
        if part:
            assert parse_length_m(text) == float(exact)


@given(st.decimals(0, 999_999, places=3), st.sampled_from(["mm", "cm", "m"]))
def test_metric_decimals_are_exact(number: object, unit: str) -> None:
    factor = {"mm": Fraction(1, 1000), "cm": Fraction(1, 100), "m": Fraction(1)}[unit]
    assert parse_length_m(f"{number} {unit}") == float(Fraction(str(number)) * factor)
