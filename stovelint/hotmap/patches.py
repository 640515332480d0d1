"""Patches: pieces of wall, cap or base that see like conditions on both sides."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal, Mapping

from stovelint.build import Part
from stovelint.heat.network import FilmKind
from stovelint.heat.shapes import EDGE
from stovelint.hotmap.stack import Leaf
from stovelint.hotmap.zones import Room, ends_m

UPRIGHT_KINDS = ("wall", "door", "glass", "facing", "partition", "lintel")
OPENING_KINDS = ("door", "glass")
Bulge = Literal["flat", "round", "dome"]
TOP_KINDS = ("cap", "bench-top", "cook-plate")
BOTTOM_KINDS = ("floor", "base")


@dataclass(frozen=True, kw_only=True, slots=True)
class Patch:
    """One wall of the network, and what it is called. Lengths m, areas m2."""

    parts: tuple[str, ...]
    """The parts whose layers it holds, hot side first."""
    chamber: str
    where: str
    from_m: float
    to_m: float
    leaves: tuple[Leaf, ...]
    hot_zone: int
    cold: int
    """Zone index, or ROOM, OUTDOORS, GROUND."""
    area_m2: float
    growth_per_m: float
    """Widening of the heat's way with depth: area at depth x over hot area = 1 + growth x."""
    hot_film: FilmKind
    cold_film: FilmKind
    hot_height_m: float
    cold_height_m: float
    jet: bool
    along_m: tuple[float, float] | None = None
    """Where it lies along a lying chamber; None in upright ones."""
    closed_by: str | None = None
    """The surrounding that closes the cavity it faces, whose layers it then holds too."""
    corners_per_m: float | None = None
    """Widening of the body itself, whose corners count in full; None: as the heat's way."""
    bulge: Bulge = "flat"
    """What widens: corners between flat sides, a round wall, or a dome (by the square)."""
    stretch: float = 1.0
    """Way of the heat over the drawn thickness (`hotmap.buried`)."""
    cold_to_hot: float | None = None
    """Area that works on the cold side, over the hot area, where it is not that of the widening."""

    @property
    def thickness_m(self) -> float:
        return sum(leaf.thickness_m for leaf in self.leaves)

    @property
    def cold_ratio(self) -> float:
        if self.cold_to_hot is not None:
            return self.cold_to_hot
        return (1.0 + self.growth_per_m * self.thickness_m) ** (2 if self.bulge == "dome" else 1)

    @property
    def flat_sides(self) -> bool:
        """Whether it is corners that widen it, so that the middle of its sides is hotter."""
        return self.bulge == "flat" and self.growth_per_m > 0.0

    @property
    def half_side(self) -> float:
        """Half the inner side of a square chamber with these corners, over the thickness."""
        return EDGE / (self.growth_per_m * self.thickness_m)

    def leads(self, leaf: Leaf) -> float:
        """Area that a leaf leads heat through, over the hot area: exact for round and dome."""
        inner, outer = self._widths(leaf)
        if self.bulge == "dome":
            return inner * outer
        if self.bulge == "round" and outer > inner:
            return (outer - inner) / math.log(outer / inner) / self.stretch
        return 0.5 * (inner + outer)

    def holds(self, leaf: Leaf) -> float:
        """Mean area of a leaf over the hot area, for what it holds."""
        inner, outer = self._widths(leaf)
        if self.bulge == "dome":
            return (inner * inner + inner * outer + outer * outer) / 3.0
        return 0.5 * (inner + outer) * self.stretch

    def _widths(self, leaf: Leaf) -> tuple[float, float]:
        ends = (leaf.depth_m, leaf.depth_m + leaf.thickness_m)
        return 1.0 + self.growth_per_m * ends[0], 1.0 + self.growth_per_m * ends[1]


def span_of(part: Part, room: Room, gauges_m: Mapping[str, float]) -> tuple[float, float]:
    """Elevations of an upright part: its courses, its from/to, or the chamber's whole height."""
    low, high = ends_m(part, gauges_m)
    return (
        low if low is not None else room.bottom_m, high if high is not None else room.top_m
    )  # fmt: skip
