"""Screening bounds: outside of them a figure is surely a slip of the pen.

They are ours and wide on purpose, to catch a wrong unit (`1140 m` for `1140 mm`) or a lost
point. They say nothing about what a heater should be like; that is for the rules.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Callable

from stovelint.quantity import (
    format_area,
    format_area_per_length,
    format_duration,
    format_fraction,
    format_length,
    format_mass,
    format_temperature,
)


@dataclass(frozen=True, slots=True)
class Bound:
    """Kind of quantity, lowest and highest value that is believed, and how to show one."""

    kind: str
    low: float
    high: float
    show: Callable[[float], str]

    def text(self) -> str:
        return f"{self.show(self.low)} to {self.show(self.high)}"


THICKNESS = Bound("length", 0.0001, 2.0, format_length)
GAP = Bound("length", 0.0005, 1.0, format_length)
SMALL = Bound("length", 0.0, 0.5, format_length)
BAR = Bound("length", 0.0001, 0.1, format_length)
SPAN = Bound("length", 0.005, 10.0, format_length)
ACROSS = Bound("length", 0.01, 10.0, format_length)
LONG = Bound("length", 0.01, 60.0, format_length)
DISTANCE = Bound("length", 0.0, 20.0, format_length)
GAUGE = Bound("length", 0.01, 1.0, format_length)
ELEVATION = Bound("elevation", -20.0, 60.0, format_length)
ALTITUDE = Bound("elevation", -500.0, 6000.0, format_length)
PORT = Bound("area", 0.0001, 10.0, format_area)
PART_AREA = Bound("area", 0.0001, 200.0, format_area)
VENT = Bound("area-per-length", 0.0, 1.0, format_area_per_length)
CHARGE = Bound("mass", 0.1, 300.0, format_mass)
MOISTURE = Bound("fraction", 0.0, 0.6, format_fraction)
SHARE = Bound("fraction", 0.001, 1.0, format_fraction)
BURN = Bound("duration", 300.0, 172_800.0, format_duration)
INTERVAL = Bound("duration", 600.0, 90 * 86_400.0, format_duration)
CLIMATE = Bound("temperature", -60.0, 60.0, format_temperature)
HOT = Bound("temperature", 0.0, 1500.0, format_temperature)
