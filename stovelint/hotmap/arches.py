"""Domes and barrel vaults over a chamber: their inner area, and how their walls widen outwards."""

from __future__ import annotations

import math
from typing import NamedTuple

from stovelint.build import Part
from stovelint.hotmap.patches import Bulge
from stovelint.hotmap.zones import Room


class Form(NamedTuple):
    """What a cap's shape does to its patch."""

    area: float
    """Inner area over the plan area it covers."""
    growth_per_m: float
    """One over the inner radius; 0 when flat."""
    bulge: Bulge


def arched(part: Part, room: Room) -> Form | None:
    """Form of a cap; None where it rises more than half its span, which no round shape does.

    A dome is a part of a sphere on a round of the chamber's plan area, a vault a part of a round
    over its narrower way (in a lying chamber, over its width). With half span a and rise h the
    radius is R = (a^2 + h^2) / 2h; inner area over plan: dome 1 + (h/a)^2, vault R t / a, where t
    is half the arc's angle. Exact; the ends of a vault are walls and are drawn as such.
    """
    if part.shape is None:
        return Form(1.0, 0.0, "flat")
    if part.shape == "dome":
        half = math.sqrt(room.plan_m2 / math.pi)
    else:
        size = room.chamber.size
        sides = [side for side in (size.width_m, None if room.lying else size.depth_m) if side]
        half = 0.5 * (size.diameter_m or min(sides))
    rise = half if part.rise_m is None else part.rise_m
    if rise > half * (1.0 + 1e-6):
        return None
    radius = (half * half + rise * rise) / (2.0 * rise)
    if part.shape == "dome":
        return Form(1.0 + (rise / half) ** 2, 1.0 / radius, "dome")
    arc = 2.0 * math.atan2(rise, half)
    return Form(radius * arc / half, 1.0 / radius, "round")
