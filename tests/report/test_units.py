"""Numbers for people. Factors: 1 in = 25.4 mm and 1 lb = 0.45359237 kg exactly (1959 agreement)."""

from __future__ import annotations

import pytest

from stovelint.hotmap.zones import stretch
from stovelint.quantity import Units
from stovelint.report import units as u
from stovelint.report.lines import both_ends, table, wrap
from tests.report.make import limit, measure


# T16 and T22 of codes.md: 150 / 200 / 350 degF are 65.6 / 93.3 / 176.7 degC; 117 F deg are 65.0 K.
@pytest.mark.parametrize(
    ("value", "units", "text"),
    [
        (65.556, "us", "150 degF"), (93.333, "us", "200 degF"), (176.667, "us", "350 degF"),
        (93.333, "si", "93 degC"), (-0.2, "si", "0 degC"), (-17.778, "us", "0 degF"),
    ],
)  # fmt: skip
def test_temperature(value: float, units: Units, text: str) -> None:
    assert u.temperature(value, units) == text


def test_a_difference_has_no_zero_point() -> None:
    assert u.difference(65.0, "us") == "117 Fahrenheit degrees" and u.difference(65.0, "si") == "65 K"


@pytest.mark.parametrize(
    ("value_m", "units", "text"),
    [
        (0.914, "si", "914 mm"), (0.1016, "us", "4 in"), (0.1143, "us", "4 1/2 in"),
        (0.0, "si", "0 mm"),
    ],
)
def test_length(value_m: float, units: Units, text: str) -> None:
    assert u.length(value_m, units) == text


@pytest.mark.parametrize(
    ("low_m", "high_m", "along", "si", "us"),
    [
        (0.9, 1.2, False, "0.90 to 1.20 m", "35 to 47 in"),
        (0.668, 0.672, False, "0.668 to 0.672 m", "26.3 to 26.5 in"),
        (0.668, 0.66801, False, "0.66800 to 0.66801 m", "26.299 to 26.300 in"),
        (-0.4, -0.2, False, "-0.40 to -0.20 m", "-16 to -8 in"),
        (0.0, 0.6, True, "0.0 to 0.6 m along", "0 to 24 in along"),
        (0.0, 0.04, True, "0.00 to 0.04 m along", "0 to 2 in along"),
    ],
)  # fmt: skip
def test_a_stretch_has_two_ends(
    low_m: float, high_m: float, along: bool, si: str, us: str
) -> None:
    """A band of 4 mm between two cuts read `0.67 to 0.67 m`."""
    made = stretch(low_m, high_m, along=along)
    assert (made, u.place(made, "si"), u.place(made, "us")) == (si, si, us)


@pytest.mark.parametrize(
    ("mm", "us"),
    [("6.35", "1/4 in"), ("6.4", "1/4 in"), ("6.3", "1/4 in"), ("12.7", "1/2 in"),
     ("9.5", "3/8 in"), ("25.4", "1 in"), ("20", "0.79 in"), ("25", "0.98 in")],
)  # fmt: skip
def test_what_is_left_under_a_bearing_is_in_the_readers_units(mm: str, us: str) -> None:
    said = f"50 mm of it on cap, squeezed to {mm} mm at the bearing"
    assert u.remedy(said, "us") == f"50 mm of it on cap, squeezed to {us} at the bearing"
    assert u.remedy(said, "si") == said


def test_a_strain_is_the_same_in_all_units() -> None:
    # 0.15 per mille: 0.15 mm on a metre, or 0.15 thousandths of an inch on an inch.
    assert u.strain(0.00015, "si") == u.strain(0.00015, "us") == "0.15 per mille"
    assert (u.strain(0.0001, "si"), u.strain(0.0023184, "si")) == ("0.1 per mille", "2.32 per mille")


def test_hours_mass_and_counts_drop_empty_decimals() -> None:
    assert (u.hours(12.0, "si"), u.hours(1.333, "si")) == ("12 h", "1.3 h")
    assert (u.mass(10.0, "si"), u.mass(10.0, "us"), u.count(2.0, "si")) == ("10 kg", "22 lb", "2")


@pytest.mark.parametrize(
    ("high", "text"),
    [(120.0, "110 degC (100 to 120)"), (93.4, "110 degC (100 to 93.4)"),
     (93.04, "110 degC (100 to 93.04)"), (93.0004, "110 degC (100 to 93.0004)")],
)  # fmt: skip
def test_digits_grow_until_value_and_limit_differ(high: float, text: str) -> None:
    assert u.spread(measure(100.0, 110.0, high, limit(value=93.0)), "si") == text


def test_what_keeps_its_limit_needs_no_digits() -> None:
    assert u.spread(measure(92.6, 92.8, 93.0, limit(value=93.0), past=0), "si") == "93 degC"


def test_a_distance_that_is_short_by_a_hair_shows_it() -> None:
    clear = limit("MH-CLR36", 914.0, "mm", sense="at least")
    short = measure(0.9139, 0.9139, 0.9139, clear, past=1, exact=True)
    assert (u.spread(short, "si"), u.limit_value(clear, "si")) == ("913.9 mm", "at least 914 mm")


def test_both_ends_keeps_the_columns_of_its_left_end() -> None:
    left, first = "bell / course 4 / " * 5 + "hot face", "    at        "
    lines = both_ends(left, "kiln.heater.yaml:57:9", first=first, rest=" " * 14)
    assert lines[0].startswith("    at        bell / course 4") and max(map(len, lines)) <= 100
    assert lines[-1] == "kiln.heater.yaml:57:9".rjust(100)
    assert both_ends("a", "b", width=10) == ["a        b"]


def test_wrap_keeps_a_long_word_whole() -> None:
    assert wrap("x" * 30, first="  ", rest="    ", width=20) == ["  " + "x" * 30]
    assert wrap("", first="  at  ", rest="") == ["  at"]


def test_an_empty_table_is_no_line() -> None:
    assert table([]) == []
