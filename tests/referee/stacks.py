"""What walls are made of: leaves of one kind each, with properties from the referee's own table."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any, Literal

import numpy as np
import tomli

from tests.referee.films import gap_R
from tests.referee.geometry import SOIL, Wall

SHELLS = ((0.11, 0.019), (0.16, 0.025), (9.0, 0.032))
"""Face shells of hollow units up to that thickness (ASTM C90 minima, recalled)."""
WEBS = 0.22
"""Part of a hollow unit's middle that is web (ASTM C90, recalled)."""
PLAIN = 0.9
"""Emissivity in a cavity where nothing else is said."""
AIR_J_m3K = 1000.0
LIE = {"upright": "upright", "duct": "upright", "faces down": "up", "faces up": "down"}
"""Way of the heat through a wall, by where its hot face looks."""


Kind = Literal["solid", "air", "cored"]
Slice = tuple[Kind, tuple[str, int] | None, str | None, float]


@dataclass(frozen=True, kw_only=True)
class Leaf:
    kind: Kind
    layer: tuple[str, int] | None
    """Part, and number of the layer in it; None: soil."""
    material: str | None
    thickness: float
    depth: float
    """Of its hot side, from the wall's hot face."""


@cache
def table() -> dict[str, Any]:
    return tomli.loads(Path(__file__).with_name("materials.toml").read_text(encoding="utf-8"))


def leaves_of(wall: Wall) -> list[Leaf]:
    slices: list[Slice] = []
    for part in wall.parts:
        for number, layer in enumerate(part.layers):
            key: tuple[str, int] | None = (part.name, number)
            d = layer.thickness
            if layer.material is None:
                slices.append(("air", key, None, d))
            elif table()[layer.material].get("hollow") and not layer.filled:
                shell = min(next(s for upto, s in SHELLS if d <= upto), d / 3.0)
                slices.append(("solid", key, layer.material, shell))
                slices.append(("cored", key, layer.material, d - 2.0 * shell))
                slices.append(("solid", key, layer.material, shell))
            else:
                slices.append(("solid", key, layer.material, d))
    if wall.cold == "ground":
        slices.append(("solid", None, "soil", SOIL))
    result, depth = [], 0.0
    for kind, of, material, d in slices:
        result.append(Leaf(kind=kind, layer=of, material=material, thickness=d, depth=depth))
        depth += d
    return result


def at(points: list[list[float]], t_C: float) -> float:
    return float(np.interp(t_C, [p[0] for p in points], [p[1] for p in points]))


@cache
def hollow_solid(material: str) -> float:
    """Conductivity of a hollow unit's own concrete, so that a 200 mm unit has the resistance of
    its equal solid at 10 degC; found by the rule of false position."""
    target = 0.2 / at(table()[material]["k_W_mK"], 20.0)
    shell = next(s for upto, s in SHELLS if 0.2 <= upto)
    deep = 0.2 - 2.0 * shell
    gap = gap_R(12.0, 8.0, deep, PLAIN, PLAIN, 0.2, "upright")

    def over(k: float) -> float:
        return 2.0 * shell / k + deep / (WEBS * k + (1.0 - WEBS) * deep / gap) - target

    low, high = 0.05, 30.0
    while high - low > 1e-9 * high:
        k = (low * high) ** 0.5
        low, high = (k, high) if over(k) > 0.0 else (low, k)
    return low


def properties(
    leaf: Leaf, wall: Wall, hot_C: float, cold_C: float, beside: tuple[str | None, str | None]
) -> tuple[float, float]:
    """Resistance (m2K/W) and heat capacity (J/m2K) of a leaf per area of the wall's hot face.

    `hot_C`, `cold_C`: means of its two sides over the cycle; `beside`: materials next to it.
    """
    d = leaf.thickness
    wider = leads = 1.0 + wall.growth * (leaf.depth + 0.5 * d)
    if wall.round:  # ln of the radii, instead of the middle one
        inner = 1.0 + wall.growth * leaf.depth
        leads = wall.growth * d / float(np.log1p(wall.growth * d / inner))
    if leaf.kind == "air":
        e = [PLAIN if m is None else float(table()[m]["emissivity"]) for m in beside]
        r = gap_R(hot_C, cold_C, d, e[0], e[1], 0.5, LIE[wall.hot_film])
        return r / leads, AIR_J_m3K * d * wider
    assert leaf.material is not None
    row = table()[leaf.material]
    middle = 0.5 * (hot_C + cold_C)
    k = at(row["k_W_mK"], middle)
    c = row["density_kg_m3"] * at(row["cp_J_kgK"], middle) * d
    if row.get("hollow"):
        k *= hollow_solid(leaf.material) / at(row["k_W_mK"], 20.0)
    if leaf.kind == "cored":
        gap = gap_R(hot_C, cold_C, d, PLAIN, PLAIN, 0.2, LIE[wall.hot_film])
        k, c = WEBS * k + (1.0 - WEBS) * d / gap, WEBS * c
    return d / k / leads, c * wider
