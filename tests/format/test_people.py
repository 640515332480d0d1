"""Quantities for people: what is written is read back within half of the last step shown."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stovelint.quantity import (
    Units,
    format_area,
    format_area_per_length,
    format_duration,
    format_fraction,
    format_length,
    format_mass,
    format_temperature,
    format_temperature_step,
    parse_area_m2,
    parse_area_per_length_m2_m,
    parse_duration_s,
    parse_elevation_m,
    parse_fraction,
    parse_mass_kg,
    parse_temperature_C,
)

UNITS = st.sampled_from(["si", "us"])
SLACK = 1e-9
"""Of rounding in binary, beside steps of 1e-4 and more."""


@pytest.mark.parametrize(
    ("length_m", "si", "us"),
    [
        (0.0, "0 mm", "0 in"),
        (0.1143, "114 mm", "4 1/2 in"),
        (0.0125, "12.5 mm", "1/2 in"),
        (0.025, "25 mm", "1 in"),
        (0.9994, "999 mm", "3 ft 3 3/8 in"),
        (0.9996, "1 m", "3 ft 3 3/8 in"),
        (1.65, "1.65 m", "5 ft 4 15/16 in"),
        (3.048, "3.05 m", "10 ft"),
        (-0.2, "-200 mm", "-7 7/8 in"),
        (0.0005, "0.5 mm", "0.02 in"),
    ],
)
def test_lengths(length_m: float, si: str, us: str) -> None:
    assert format_length(length_m) == si
    assert format_length(length_m, "us") == us


def test_a_step_of_temperature_has_no_zero_point() -> None:
    assert format_temperature(0.0, "us") == "32 degF"
    assert format_temperature_step(0.0, "us") == "0 Fahrenheit degrees"
    assert format_temperature(-0.2) == "0 degC"


@given(st.floats(-20.0, 60.0), UNITS)
def test_length_reads_back(length_m: float, units: Units) -> None:
    step_m = 0.01 if units == "si" else 0.0254 / 16.0
    if units == "si" and abs(length_m) < 0.9995:
        step_m = 0.001
    if units == "si" and abs(length_m) < 0.02:
        step_m = 0.0001
    back_m = parse_elevation_m(format_length(length_m, units))
    assert abs(back_m - length_m) <= step_m / 2.0 + SLACK


@given(st.floats(-273.0, 2000.0), UNITS)
def test_temperature_reads_back(t_C: float, units: Units) -> None:
    back_C = parse_temperature_C(format_temperature(t_C, units, 1))
    assert abs(back_C - t_C) <= 0.05 + SLACK


@given(st.floats(0.0, 5000.0), UNITS)
def test_mass_reads_back(mass_kg: float, units: Units) -> None:
    step_kg = (0.1 if mass_kg < 40.0 else 1.0) * (1.0 if units == "si" else 0.4536)
    if units == "si" and mass_kg >= 40.0:
        step_kg = 1.0
    assert abs(parse_mass_kg(format_mass(mass_kg, units)) - mass_kg) <= step_kg / 2.0 + SLACK


@given(st.floats(0.0, 100.0), UNITS)
def test_area_reads_back(area_m2: float, units: Units) -> None:
    if units == "si":
        step_m2 = 0.01 if area_m2 >= 0.09995 else 1e-4 if area_m2 >= 0.01 else 1e-5
    else:
        step_m2 = 0.1 * (0.00064516 if area_m2 < 1.5 * 0.09290304 else 0.09290304)
    assert abs(parse_area_m2(format_area(area_m2, units)) - area_m2) <= step_m2 / 2.0 + SLACK


@given(st.floats(0.0, 1.0), UNITS)
def test_vents_and_shares_read_back(value: float, units: Units) -> None:
    vent = parse_area_per_length_m2_m(format_area_per_length(value, units))
    assert abs(vent - value) <= (5e-6 if units == "si" else 1.1e-4) + SLACK
    assert abs(parse_fraction(format_fraction(value, 1)) - value) <= 5e-4 + SLACK


@given(st.floats(0.0, 90 * 86_400.0))
def test_duration_reads_back(time_s: float) -> None:
    step_s = 1.0
    if time_s >= 120.0:
        step_s = 60.0
    if time_s >= 3 * 3600.0:
        step_s = 360.0
    if time_s >= 3 * 86_400.0:
        step_s = 8640.0
    assert abs(parse_duration_s(format_duration(time_s)) - time_s) <= step_s / 2.0 + SLACK
