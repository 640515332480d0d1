"""Quantities as the trade writes them -> SI floats, and back for people.

A small grammar of our own, since general unit libraries misread `13 1/2 in` and `4-1/2"`. A
unit is always required. Feet with inches are the only mixed form. A prime and a double prime
are read as feet and inch marks; curly quotes are refused, since word processors put them for
either. Numbers have at most nine digits before the point, so nothing overflows.
"""

from __future__ import annotations

from stovelint.quantity.kinds import (
    ABSOLUTE_ZERO_C,
    PARSERS,
    parse_area_m2,
    parse_area_per_length_m2_m,
    parse_duration_s,
    parse_fraction,
    parse_mass_kg,
    parse_temperature_C,
)
from stovelint.quantity.lengths import (
    parse_courses,
    parse_elevation_m,
    parse_length_m,
    parse_pieces_m,
    parse_run_m,
)
from stovelint.quantity.people import (
    Units,
    format_area,
    format_area_per_length,
    format_duration,
    format_fraction,
    format_length,
    format_mass,
    format_temperature,
    format_temperature_step,
)

__all__ = [
    "ABSOLUTE_ZERO_C",
    "PARSERS",
    "Units",
    "format_area",
    "format_area_per_length",
    "format_duration",
    "format_fraction",
    "format_length",
    "format_mass",
    "format_temperature",
    "format_temperature_step",
    "parse_area_m2",
    "parse_area_per_length_m2_m",
    "parse_courses",
    "parse_duration_s",
    "parse_elevation_m",
    "parse_fraction",
    "parse_length_m",
    "parse_mass_kg",
    "parse_pieces_m",
    "parse_run_m",
    "parse_temperature_C",
]
