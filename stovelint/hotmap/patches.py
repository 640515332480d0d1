"""Patches: pieces of wall, cap or base that see like conditions on both sides."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Mapping

from stovelint.build import Part
from stovelint.heat.network import FilmKind
from stovelint.hotmap.stack import Leaf
from stovelint.hotmap.zones import Room, ends_m

UPRIGHT_KINDS = ("wall", "door", "glass", "facing", "partition", "lintel")
OPENING_KINDS = ("door", "glass")
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
    corners_per_m: float | None = None
    """Widening of the body itself, whose corners count in full; None: as the heat's way."""

    @property
    def thickness_m(self) -> float:
        return sum(leaf.thickness_m for leaf in self.leaves)

    @property
    def cold_ratio(self) -> float:
        return 1.0 + self.growth_per_m * self.thickness_m


def span_of(part: Part, room: Room, gauges_m: Mapping[str, float]) -> tuple[float, float]:
    """Elevations of an upright part: its courses, its from/to, or the chamber's whole height."""
    low, high = ends_m(part, gauges_m)
    return (
        low if low is not None else room.bottom_m, high if high is not None else room.top_m
    )  # fmt: skip
