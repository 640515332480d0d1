"""A round pipe in a mass of cob or under a floor: heat by its shape factor, not as through walls.

Every piece of the pipe keeps one patch per part of the mass. Together they take the heat of the
pipe's true girth, each the share that leaves through its face (`heat.shapes.buried_pipe`). The way
to a face is drawn as a sector of the round mass that holds as much heat back, its layers stretched
to that radius, so that the steady flow is that of the shape factor and what is near the pipe warms
first; leaves are cut so that none widens by more than half. A film on a face works on 2 pi times
the depth of the axis, as far as it moves the shape factor (d ln rho / dz = 1 / z).
"""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Sequence

from stovelint.heat.network import GROUND
from stovelint.heat.shapes import Mass, buried_pipe
from stovelint.hotmap.cutting import Cutting
from stovelint.hotmap.patches import TOP_KINDS, UPRIGHT_KINDS, Patch
from stovelint.hotmap.records import Unsolved
from stovelint.hotmap.stack import Leaf
from stovelint.hotmap.zones import Room, Zone
from stovelint.quantity import format_length

LEAST_COVER = 0.5
"""Of the mass over the pipe's radius: with less the shape factor is off by more than 1 %."""
WIDEST = 1.5
"""Width of a leaf's cold side over that of its hot side."""
LAG_M = 0.08
"""Conductivity of cob over a room's film, 0.8 W/mK over 10 W/m2K (computed)."""
DIRECTIONS = ("front", "back", "below", "above")
"""As left, right, below and above of `Mass`."""


def bury(c: Cutting, room: Room) -> None:
    """Give the patches of a round buried pipe its shape factor, in place."""
    size = room.chamber.size
    if room.chamber.kind != "buried-pipe" or not size.diameter_m:
        return  # a pipe of four sides is cut as a flue run
    radius = 0.5 * size.diameter_m
    own = [p for p in c.patches if p.chamber == room.chamber.name]
    others = [p for p in c.patches if p.chamber != room.chamber.name]
    result: list[Patch] = []
    for zone in room.zones:
        here = [p for p in own if p.hot_zone == zone.index]
        found = _around(c, here)
        least = min((thick for thick, _ in found.values()), default=math.inf)
        if least < LEAST_COVER * radius or not found:
            c.unsolved.append(
                Unsolved(
                    path=room.chamber.path, subject=room.chamber.name,
                    reason="less of a mass than half the pipe's radius lies on one side of it, and "
                    "such a way of the heat is not known",
                    remedy="cover it by more, or draw it as a flue-run with walls",
                )
            )  # fmt: skip
            return _put(c, others)
        result += _sectors(zone, radius, found)
        placed = {id(patch) for _, patches in found.values() for patch in patches}
        result += [  # its far end stays a flat disc
            replace(patch, area_m2=min(patch.area_m2, math.pi * radius**2))
            for patch in here if id(patch) not in placed
        ]  # fmt: skip
    _put(c, [*others, *result])


def _put(c: Cutting, patches: list[Patch]) -> None:
    c.patches[:] = patches


def _around(c: Cutting, here: list[Patch]) -> dict[str, tuple[float, list[Patch]]]:
    """By direction: thickness of the mass, and its patches, the widest first. Ends are left out."""
    found: dict[str, list[Patch]] = {}
    for patch in here:
        part = c.build.parts[patch.parts[0]]
        if part.kind in TOP_KINDS:
            sides: tuple[str, ...] = ("above",)
        elif part.kind in UPRIGHT_KINDS:
            sides = tuple(s for s in part.sides or DIRECTIONS[:2] if s in DIRECTIONS)
        else:
            sides = ("below",)
        for side in sides:
            found.setdefault(side, []).append(patch)
    result = {}
    for side, patches in found.items():
        patches.sort(key=lambda p: -p.area_m2)
        result[side] = (_drawn_m(patches[0]), patches)
    return result


def _drawn_m(patch: Patch) -> float:
    """Thickness of the mass; the soil under it is no part of it and only follows."""
    return sum(leaf.thickness_m for leaf in patch.leaves if leaf.kind != "soil")


def _sectors(
    zone: Zone, radius: float, found: dict[str, tuple[float, list[Patch]]]
) -> list[Patch]:
    depths = [
        radius + found[side][0] if side in found else math.inf for side in DIRECTIONS
    ]
    factor, shares = buried_pipe(2.0 * radius, Mass(*depths))
    outer = radius * math.exp(2.0 * math.pi / factor)
    area = 2.0 * math.pi * radius * zone.length_m
    taken: dict[int, tuple[Patch, float]] = {}
    for side, share in zip(DIRECTIONS, shares):
        if side not in found:
            continue
        patches = found[side][1]
        whole = sum(p.area_m2 for p in patches)
        for patch in patches:
            _, before = taken.get(id(patch), (patch, 0.0))
            taken[id(patch)] = (patch, before + share * area * patch.area_m2 / whole)
    result = []
    for patch, own in taken.values():
        stretch = (outer - radius) / _drawn_m(patch)
        result.append(
            replace(
                patch, area_m2=own, bulge="round", stretch=stretch,
                growth_per_m=stretch / radius, corners_per_m=None,
                cold_to_hot=1.0 + _drawn_m(patch) / radius,
                leaves=_sliced(patch.leaves, stretch / radius),
            )
        )  # fmt: skip
    return result


def buried_sentences(patches: Sequence[Patch]) -> list[str]:
    """How buried pipes were reckoned, for people; one sentence per part over one."""
    told: dict[tuple[str, str], str] = {}
    for patch in patches:
        if patch.cold_to_hot is None or (patch.parts[-1], patch.chamber) in told:
            continue
        if patch.cold == GROUND:
            continue
        radius = patch.stretch / patch.growth_per_m
        outer = radius + patch.stretch * _drawn_m(patch)
        depth = radius + _drawn_m(patch)
        factor = 2.0 * math.pi / math.log(outer / radius)
        told[patch.parts[-1], patch.chamber] = (
            f"{patch.chamber} lies {format_length(round(depth, 3))} deep in {patch.parts[-1]}: its "
            f"heat was reckoned by the shape factor of a pipe in a mass ({factor:.2f} for each "
            "metre, all faces together); the cold face told is a mean, and right over the pipe it "
            f"rises up to {over_mean(depth):.1f} times as far over the room"
        )
    return list(told.values())


def over_mean(depth_m: float, lag_m: float = LAG_M) -> float:
    """Rise of a face right over a pipe, over the rise that its effective width shows (-).

    (z / y) ln(1 + 2 y / z), y = k / h: a line source under a face whose film is drawn as so much
    more of the mass. Source: image of a line source.

    >>> print(f"{over_mean(0.25):.2f} {over_mean(1e3):.2f}")
    1.55 2.00
    """
    return depth_m / lag_m * math.log(1.0 + 2.0 * lag_m / depth_m)


def _sliced(leaves: tuple[Leaf, ...], growth_per_m: float) -> tuple[Leaf, ...]:
    """Leaves cut at equal ratios of their widths, at most WIDEST each."""
    result = []
    for leaf in leaves:
        inner = 1.0 + growth_per_m * leaf.depth_m
        ratio = 1.0 + growth_per_m * leaf.thickness_m / inner
        count = max(1, math.ceil(math.log(ratio) / math.log(WIDEST) - 1e-9))
        if leaf.kind not in ("solid", "soil"):
            count = 1
        widths = [inner * ratio ** (i / count) for i in range(count + 1)]
        for low, high in zip(widths, widths[1:]):
            result.append(
                replace(
                    leaf, depth_m=(low - 1.0) / growth_per_m,
                    thickness_m=(high - low) / growth_per_m,
                )
            )  # fmt: skip
    return tuple(result)
