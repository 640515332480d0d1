"""What lies between two things that grow apart: the gap it keeps, the joint it needs, the slide."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Mapping

import numpy as np
from numpy.typing import NDArray

from stovelint.build import Layer, Part
from stovelint.catalogue.catalogue import Catalogue
from stovelint.heat.movement import JOINT_GIVES, gap_left_m, joint_m
from stovelint.hotmap.ranges import Range, middle, ranged

Floats = NDArray[np.float64]
Strains = tuple[Floats, Floats, Floats]
"""Low, typical, high free strain over the cycle, (members, samples)."""


@dataclass(frozen=True, kw_only=True, eq=False)
class Grown:
    """A length and its strain, for each damper state."""

    length_m: float
    strains: list[Strains]


@dataclass(frozen=True, kw_only=True, eq=False)
class Joint:
    """What lies between two layers of a wall that grow apart."""

    part: str
    inner: str
    outer: str
    between: str
    """`closed gap`, `burnt-out gap` ..., or the material of the joint."""
    drawn_m: float
    left_m: Range
    """On each side at the worst time; negative: the inner layer presses."""
    needs_m: tuple[float, float] | None
    """Thickness of a soft joint for the typical movement, as it gives more or less; None: a gap."""


@dataclass(frozen=True, kw_only=True, eq=False)
class Slide:
    """How far a cap moves on what carries it, at each of its ends."""

    part: str
    on: str
    moves_m: Range


def between(part: Part, known: Mapping[int, Grown], catalogue: Catalogue) -> list[Joint]:
    """What is left between each two neighbours that grow, where a gap or something soft lies.

    Args:
        part: an upright part, whose layers grow from their middle to both sides.
        known: by index of its layers, what grows.
        catalogue: the materials.
    """
    result = []
    for inner, outer in zip(sorted(known), sorted(known)[1:]):
        if outer != inner + 2:
            continue
        one = part.layers[inner + 1]
        gap = one.material is None or one.role == "sacrificial"
        if not gap and not catalogue.get(str(one.material)).soft:
            continue
        left = [
            [
                gap_left_m(one.thickness_m, known[inner].length_m * a, known[outer].length_m * b)
                .min(axis=1)
                for a, b in zip(hot[::-1], cool)
            ]
            for hot, cool in zip(known[inner].strains, known[outer].strains)
        ]  # fmt: skip
        ends = ranged(left)
        # the worst is the least, also of the damper states
        mid = middle(np.min([run[1] for run in left], axis=0))
        moves = max(one.thickness_m - mid, 0.0)
        least, most = (float(joint_m(moves, share)) for share in JOINT_GIVES[::-1])
        result.append(
            Joint(
                part=part.name, inner=str(part.layers[inner].material),
                outer=str(part.layers[outer].material), drawn_m=one.thickness_m,
                between=f"{_kind(one)} gap" if gap else str(one.material),
                left_m=Range(low=ends.low, mid=mid, high=ends.high),
                needs_m=None if gap else (least, most),
            )
        )  # fmt: skip
    return result


def slide(part: str, on: str, cap: Grown, under: list[Strains]) -> Slide:
    """How far each end of a cap moves on the top of its wall, both free.

    Args:
        part, on: names of the cap and of what carries it.
        cap: its layer on the wall.
        under: strain of the wall's top, for each damper state.
    """
    moves = []
    for mine, wall in zip(cap.strains, under):
        low, high = mine[0] - wall[2], mine[2] - wall[0]
        least = np.maximum(np.maximum(low, -high), 0.0)
        most = np.maximum(np.abs(low), np.abs(high))
        every = (least, np.abs(mine[1] - wall[1]), most)
        moves.append([0.5 * cap.length_m * one.max(axis=1) for one in every])
    return Slide(part=part, on=on, moves_m=ranged(moves))


def _kind(layer: Layer) -> str:
    return "burnt-out" if layer.gap is None else layer.gap.kind
