"""Sizes of a chamber that its kind and shape give, and where gas comes in and leaves."""

from __future__ import annotations

import math

from tests.referee.read import Chamber, Plan

HALF_PORT = 0.10
"""The gas leaves over the lower edge of a port, this far below its middle (judgement)."""


def floor_area(c: Chamber) -> float:
    if c.lying:
        return c.length * c.width
    return math.pi / 4.0 * c.width**2 if c.round else c.width * c.depth


def perimeter(c: Chamber) -> float:
    """Of the floor."""
    if c.lying:
        return 2.0 * (c.length + c.width)
    return math.pi * c.width if c.round else 2.0 * (c.width + c.depth)


def section(c: Chamber) -> float:
    """What the gas passes through."""
    if c.round:
        return math.pi / 4.0 * c.width**2
    return c.width * c.height if c.lying else floor_area(c)


def hydraulic(c: Chamber) -> float:
    if c.round:
        return c.width
    wetted = 2.0 * (c.width + c.height) if c.lying else perimeter(c)
    return 4.0 * section(c) / wetted


def side(c: Chamber, name: str) -> float:
    """Horizontal length of one side."""
    if c.lying:
        return c.length if name in ("front", "back") else c.width
    if c.round:
        return perimeter(c) / 4.0
    return c.width if name in ("front", "back") else c.depth


def all_sides(c: Chamber) -> tuple[str, ...]:
    return ("front", "back", "end") if c.lying else ("front", "back", "left", "right")


def mouth(plan: Plan, bell: str) -> float | None:
    """Elevation where gas comes in, if not at the crown: of the port, or the top of a riser."""
    found = []
    for c in plan.chambers.values():
        for port in c.leads_to:
            if port.to == bell and port.at is not None:
                found.append(port.at)
            elif port.to == bell and c.inside == bell and not c.lying:
                found.append(c.bottom + c.height)
    return min(found, default=None)


def outlet(c: Chamber) -> float | None:
    levels = [x for x in (c.leaves_at, *(port.at for port in c.leads_to)) if x is not None]
    return min(levels) - HALF_PORT if levels else None
