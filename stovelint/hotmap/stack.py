"""What a patch is made of: the layers of its parts from hot to cold, as leaves of one kind each.

A leaf is a slice with one set of properties: solid material, an air gap, the cored middle of a
hollow unit, or the soil under a base. A hollow unit becomes shell, cored middle, shell; one that
lies in a floor, base or cap with its cores upright has no shell across the heat: its cores are
shafts from face to face.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, Mapping

from stovelint.build import Layer

LeafKind = Literal["solid", "air", "cored", "shaft", "soil"]

# Face shells of hollow units by overall thickness: (up to this thickness m, shell m).
# ASTM C90 minimum face shells 3/4, 1, 1 1/4 in for nominal 4, 6, 8 in and wider (recalled).
FACE_SHELLS_M = ((0.11, 0.019), (0.16, 0.025), (1.0, 0.032))
WEB_SHARE = 0.22
"""Part of the cored middle's plan that is webs, three webs of 25-32 mm on a 390 mm unit:
0.19 to 0.25 (computed from ASTM C90 minimum webs, recalled)."""
SHAFT_SHARE = 0.47
"""Part of a unit's plan that is concrete where heat goes along the cores: two shells of 32 mm on
200 mm, and the webs between them (computed from ASTM C90 minima, recalled)."""
SOIL_M = 1.0
"""Depth of the ground column; 12 h and 24 h waves die within 0.2 m."""
HOLLOW_FAMILY = "concrete-block"


@dataclass(frozen=True, kw_only=True, slots=True)
class Leaf:
    """One slice. `depth_m`: where its hot side lies, from the hot face of the patch."""

    kind: LeafKind
    part: str | None
    layer: Layer | None
    material: str | None
    thickness_m: float
    depth_m: float


def face_shell_m(thickness_m: float) -> float:
    """Face shell of a hollow unit of this overall thickness."""
    return next(shell for limit, shell in FACE_SHELLS_M if thickness_m <= limit)


def leaves(
    layers: list[tuple[str, Layer]], families: Mapping[str, str], on_soil: bool,
    between_joists: bool = False, lying: bool = False,
) -> tuple[Leaf, ...]:  # fmt: skip
    """Slices of the layers (with the part each belongs to), hot side first.

    `families` maps material names to their class. A `sacrificial` layer is gone after the first
    firings and counts as an air gap of its own thickness. Joists are cut through their wood, or
    between them; what is there belongs to no drawn layer.
    """
    result: list[Leaf] = []
    depth = 0.0

    def add(
        kind: LeafKind, part: str | None, layer: Layer | None, material: str | None, d_m: float
    ) -> None:
        nonlocal depth
        result.append(
            Leaf(
                kind=kind, part=part, layer=layer, material=material, thickness_m=d_m,
                depth_m=depth,
            )
        )  # fmt: skip
        depth += d_m

    for part, layer in layers:
        thickness = layer.thickness_m
        if layer.joists is not None and between_joists:
            filling = layer.joists.between
            if filling == "closed":
                add("air", None, None, None, thickness)
            elif filling != "open":
                add("solid", None, None, filling, thickness)
        elif layer.gap is not None or layer.role == "sacrificial":
            add("air", part, layer, None, thickness)
        elif families.get(layer.material or "") == HOLLOW_FAMILY and layer.cores != "filled":
            if lying and layer.cores == "upright":
                add("shaft", part, layer, layer.material, thickness)
                continue
            shell = min(face_shell_m(thickness), thickness / 3.0)
            add("solid", part, layer, layer.material, shell)
            add("cored", part, layer, layer.material, thickness - 2.0 * shell)
            add("solid", part, layer, layer.material, shell)
        elif layer.tees is not None and layer.tees.web_m < thickness:
            add("solid", part, layer, layer.material, layer.tees.web_m)
            add("solid", part, layer, layer.material, thickness - layer.tees.web_m)
        else:
            add("solid", part, layer, layer.material, thickness)
    if on_soil:
        add("soil", None, None, "soil", SOIL_M)
    return tuple(result)
