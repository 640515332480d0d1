"""Chambers cut into gas zones: bands of a bell, pieces of a duct or bench, one of a firebox."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Mapping

from stovelint.build import Build, Chamber, Part

CROWN_M = 0.15
"""Height of the crown cell, fixed so that the cap does not drift with the number of bands."""
BAND_M = 0.30
"""Tallest band; bands are also cut where parts begin and end."""
NEAREST_CUT_M = 0.08
HALF_PORT_M = 0.10
"""Half the height of a usual flue opening: the gas leaves a bell over the port's lower edge, which
lies this far below the elevation that the plan gives (judgement)."""
PIECE_M = 0.60
"""Longest piece of a lying chamber: the first metre of a bench is then told from the rest."""

EDGE_M = 1e-6
"""Elevations nearer than this are one: sums of courses and of inches end in other digits."""

UPRIGHT = ("firebox", "riser", "bell", "oven", "barrel", "chimney")
SINGLE = ("firebox", "oven", "barrel")
HEARTH_BAND_M, FEWEST_BANDS = 0.20, 3
"""Tallest band of a firebox whose fire burns freely, and the fewest that tell layers apart."""


def stretch(low_m: float, high_m: float, *, along: bool) -> str:
    """The name of a stretch of a wall or a run, with digits enough that it has two ends.

    >>> stretch(0.9, 1.2, along=False), stretch(0.668, 0.672, along=False)
    ('0.90 to 1.20 m', '0.668 to 0.672 m')
    """
    least = 1 if along else 2
    for decimals in range(least, 7):
        low, high = f"{low_m:.{decimals}f}", f"{high_m:.{decimals}f}"
        if low != high:
            break
    return f"{low} to {high} m along" if along else f"{low} to {high} m"


@dataclass(frozen=True, kw_only=True, slots=True)
class Zone:
    """One gas zone. Upright: elevations `low_m`..`high_m`; lying: `low_m`..`high_m` along it."""

    index: int
    chamber: str
    low_m: float
    high_m: float

    @property
    def length_m(self) -> float:
        return self.high_m - self.low_m


@dataclass(frozen=True, kw_only=True, slots=True)
class Room:
    """A chamber's inside as the solver needs it. Sizes in m, m2, m3; zones from top or inlet on."""

    chamber: Chamber
    zones: tuple[Zone, ...]
    plan_m2: float
    """Floor area inside, without what stands in it subtracted."""
    perimeter_m: float
    """Of that floor."""
    height_m: float
    bottom_m: float

    @property
    def banded(self) -> bool:
        """Whether its zones lie one over another in one space: a bell, or a free fire's chamber."""
        return self.chamber.kind == "bell" or self.chamber.fire == "open"

    @property
    def lying(self) -> bool:
        return self.chamber.kind not in UPRIGHT

    @property
    def top_m(self) -> float:
        return self.bottom_m + self.height_m

    @property
    def length_m(self) -> float:
        size = self.chamber.size
        return size.length_m if self.lying and size.length_m else self.height_m

    @property
    def hydraulic_diameter_m(self) -> float:
        """4 A / P of the cross-section the gas passes."""
        size = self.chamber.size
        if size.diameter_m:
            return size.diameter_m
        if self.lying:
            width = size.width_m or 0.0
            return 2.0 * width * self.height_m / (width + self.height_m)
        return 4.0 * self.plan_m2 / self.perimeter_m

    @property
    def section_m2(self) -> float:
        """Area of the cross-section the gas passes."""
        size = self.chamber.size
        if size.diameter_m:
            return math.pi / 4.0 * size.diameter_m**2
        return (size.width_m or 0.0) * self.height_m if self.lying else self.plan_m2

    def side_m(self, side: str) -> float:
        """Horizontal length of one side: a share of the round for a cylinder."""
        size = self.chamber.size
        if size.diameter_m and not self.lying:
            return self.perimeter_m / 4.0
        if self.lying:
            length, width = size.length_m or 0.0, size.width_m or size.diameter_m or 0.0
            return length if side in ("front", "back") else width
        return (size.width_m if side in ("front", "back") else size.depth_m) or 0.0

    @property
    def sides(self) -> tuple[str, ...]:
        """Sides a part without `sides` covers. A bench's other end is its opening."""
        return ("front", "back", "end") if self.lying else ("front", "back", "left", "right")


def _bands(chamber: Chamber, bottom: float, height: float, cuts: list[float]) -> list[float]:
    """Edges of a bell's bands from the top down."""
    top = bottom + height
    crown = top - min(CROWN_M, height / 3.0)
    edges = [crown, bottom]
    for cut in cuts:
        if all(abs(cut - edge) >= NEAREST_CUT_M for edge in edges) and bottom < cut < crown:
            edges.append(cut)
    edges.sort(reverse=True)
    result = [top]
    for upper, lower in zip(edges, edges[1:]):
        pieces = max(1, math.ceil((upper - lower) / BAND_M - 1e-9))
        result.extend(upper - (upper - lower) * i / pieces for i in range(pieces))
    result.append(bottom)
    return result


def _even(length: float, longest: float) -> list[float]:
    pieces = max(1, math.ceil(length / longest - 1e-9))
    return [length * i / pieces for i in range(pieces + 1)]


def ends_m(part: Part, gauges_m: Mapping[str, float]) -> tuple[float | None, float | None]:
    """Elevations where a part begins and ends, by its courses or as stated; None: not said."""
    if part.courses is None:
        return part.from_m, part.to_m
    gauge = gauges_m[part.courses.gauge]
    return (part.courses.first - 1) * gauge, part.courses.last * gauge


def outlet_m(bell: Chamber) -> float | None:
    """Elevation down to which the gas of a bell sinks before it leaves; None: to its floor."""
    levels = [port.at_m for port in bell.leads_to if port.at_m is not None]
    if bell.leaves_at_m is not None:
        levels.append(bell.leaves_at_m)
    return min(levels) - HALF_PORT_M if levels else None


def mouth_m(build: Build, bell: str) -> float | None:
    """Elevation where the gas comes into a bell: the port that is drawn, or the top of a riser
    that stands in it; None: at the crown."""
    levels = []
    for chamber in build.chambers.values():
        for port in chamber.leads_to:
            if port.to != bell:
                continue
            if port.at_m is not None:
                levels.append(port.at_m)
            elif chamber.inside == bell and chamber.kind in UPRIGHT:
                size = chamber.size
                levels.append(chamber.bottom_m + (size.height_m or size.diameter_m or 0.0))
    return min(levels) if levels else None


def rooms(build: Build) -> dict[str, Room]:
    """All chambers with their zones, in the order of the file.

    A chimney is solved only when a part of the plan bounds it.
    """
    bounded = {name for part in build.parts.values() for name in part.bounds}
    result: dict[str, Room] = {}
    count = 0
    for name, chamber in build.chambers.items():
        if chamber.kind == "chimney" and name not in bounded:
            continue
        size = chamber.size
        lying = chamber.kind not in UPRIGHT
        height = size.height_m or size.diameter_m or 0.0
        if lying:
            width = size.width_m or size.diameter_m or 0.0
            length = size.length_m or 0.0
            plan, perimeter = length * width, 2.0 * (length + width)
        elif size.diameter_m:
            plan, perimeter = math.pi / 4.0 * size.diameter_m**2, math.pi * size.diameter_m
        else:
            width, depth = size.width_m or 0.0, size.depth_m or 0.0
            plan, perimeter = width * depth, 2.0 * (width + depth)
        bottom = chamber.bottom_m
        if chamber.kind == "bell":
            parts = {
                z
                for part in build.parts.values()
                if name in part.bounds or part.faces == name
                for z in ends_m(part, build.gauges_m)
                if z is not None
            }
            ports = {z for z in (outlet_m(chamber), mouth_m(build, name)) if z is not None}
            cuts = [*sorted(parts), *sorted(ports)]  # where both are near, the part's end counts
            edges = _bands(chamber, bottom, height, cuts)
            spans = [(low, high) for high, low in zip(edges, edges[1:])]
        elif chamber.fire == "open":
            count_bands = max(FEWEST_BANDS, math.ceil(height / HEARTH_BAND_M - 1e-9))
            levels = [bottom + height * (1.0 - i / count_bands) for i in range(count_bands + 1)]
            spans = [(low, high) for high, low in zip(levels, levels[1:])]
        elif chamber.kind in SINGLE:
            spans = [(bottom, bottom + height)]
        elif lying:
            ends = _even(size.length_m or 0.0, PIECE_M)
            spans = list(zip(ends, ends[1:]))
        else:
            ends = _even(height, PIECE_M)
            spans = [(bottom + low, bottom + high) for low, high in zip(ends, ends[1:])]
        zones = tuple(
            Zone(index=count + i, chamber=name, low_m=low, high_m=high)
            for i, (low, high) in enumerate(spans)
        )
        count += len(zones)
        result[name] = Room(
            chamber=chamber, zones=zones, plan_m2=plan, perimeter_m=perimeter, height_m=height,
            bottom_m=bottom,
        )  # fmt: skip
    return result


def zone_at(room: Room, level_m: float) -> Zone:
    """The zone of an upright chamber at an elevation (its nearest one beyond the ends).

    On the edge between two zones the upper one, however the edge was rounded.
    """
    if room.lying:
        return room.zones[0]

    def off(zone: Zone) -> float:
        away = max(zone.low_m - level_m, level_m - zone.high_m)
        return away if away > EDGE_M else 0.0

    return min(room.zones, key=off)
