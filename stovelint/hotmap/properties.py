"""Resistance and heat capacity of every leaf, for every case, at the leaf's own temperature."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from stovelint.catalogue.catalogue import Catalogue
from stovelint.catalogue.curve import Curve
from stovelint.catalogue.records import Material
from stovelint.heat.gaps import Lie, gap_resistance_m2K_W, hollow_core
from stovelint.hotmap.cases import FAMILIES, between
from stovelint.hotmap.bridges import bridge
from stovelint.hotmap.joists import joist_factor
from stovelint.hotmap.patches import Patch
from stovelint.hotmap.stack import SHAFT_SHARE, WEB_SHARE, Leaf, face_shell_m

Floats = NDArray[np.float64]

LIES: dict[str, Lie] = {
    "vertical": "vertical", "duct": "vertical", "ceiling": "hot_below", "floor": "hot_above"
}  # fmt: skip
"""How an air leaf lies, by the film on the hot side of its patch."""
LEAST_R_m2K_W = 1e-6
AIR_C_J_m3K = 1000.0
GAP_EMISSIVITY = 0.9
"""Of mineral faces across a closed gap, where a neighbour has no material of its own."""


def factor(curve: Curve, t_C: Floats, place: Floats) -> Floats:
    """Factor on a curve's typical value at its place between low and high (shape of t_C)."""
    wide = 1.0 + curve.widening(t_C)
    low = np.interp(t_C, curve.points_C, curve.low_factors) / wide
    high = np.interp(t_C, curve.points_C, curve.high_factors) * wide
    return between(low, 1.0, high, place)


def sampled(curve: Curve, t_C: Floats, place: Floats) -> Floats:
    """A curve's value for every case. Beyond the curve's range its end value stands in during the
    search only: `judge` then refuses the layer, so no result rests on it."""
    return np.asarray(np.interp(t_C, curve.points_C, curve.values) * factor(curve, t_C, place))


def _room_conductivity_W_mK(curve: Curve) -> float:
    return float(np.interp(20.0, curve.points_C, curve.values))


def solid_conductivity_W_mK(material: Material) -> float:
    """Conductivity of the concrete of a hollow unit, at room temperature, W/mK.

    The catalogue gives a hollow unit the conductivity of an equal solid (from a measured
    resistance of the 200 mm unit). This solves for the web and shell material that gives the same
    resistance at 10 degC with the geometry used here.
    """
    assert material.conductivity is not None
    target = 0.2 / _room_conductivity_W_mK(material.conductivity)
    shell = face_shell_m(0.2)
    gap = float(
        gap_resistance_m2K_W(
            12.0, 8.0, 0.2 - 2 * shell, GAP_EMISSIVITY, GAP_EMISSIVITY, 0.2, "vertical"
        )
    )
    depth = 0.2 - 2.0 * shell
    low, high = 0.1, 20.0
    for _ in range(60):
        k = 0.5 * (low + high)
        r = 2.0 * shell / k + depth / float(hollow_core(k, 0.0, 0.0, WEB_SHARE, depth, gap)[0])
        low, high = (k, high) if r > target else (low, k)
    return 0.5 * (low + high)


@dataclass(frozen=True, kw_only=True, eq=False)
class LeafRow:
    """A leaf with all that its properties need."""

    leaf: Leaf
    patch: int
    material: Material | None
    hollow_factor: float
    """Conductivity of a hollow unit's own concrete over its equal-solid figure; of a joist what
    makes it pass heat straight down; of a slice with metal in it what that leads; else 1."""
    growth: float
    """Area it leads heat through, over the hot area."""
    holds: float
    """Its mean area over the hot area."""
    orientation: Lie
    emissivities: tuple[float, float]


@dataclass(frozen=True, kw_only=True, eq=False)
class Alike:
    """Leaves that differ in thickness and growth only, evaluated at once."""

    row: LeafRow
    """One of them."""
    at: NDArray[np.int64]
    thickness_m: Floats


def _alike(rows: list[LeafRow]) -> list[Alike]:
    groups: dict[tuple[object, ...], list[int]] = {}
    for i, row in enumerate(rows):
        kind = (row.leaf.material, row.leaf.kind, row.orientation, row.hollow_factor)
        # only what has air in it lies, and only bare air sees its neighbours
        key = (*kind, row.emissivities) if row.material is None else kind
        groups.setdefault(key, []).append(i)
    return [
        Alike(
            row=rows[at[0]], at=np.array(at),
            thickness_m=np.array([rows[i].leaf.thickness_m for i in at]),
        )
        for at in groups.values()
    ]  # fmt: skip


class Properties:
    """All leaves of all patches, in running order; callable as `Network.properties`."""

    def __init__(
        self, patches: tuple[Patch, ...], catalogue: Catalogue, at: dict[str, Floats]
    ) -> None:
        self.at = at
        self.rows: list[LeafRow] = []
        self.layers: list[tuple[int, ...]] = []
        hollow: dict[str, float] = {}
        for index, patch in enumerate(patches):
            first = len(self.rows)
            orientation = LIES[patch.hot_film]
            for place, leaf in enumerate(patch.leaves):
                material = catalogue.get(leaf.material) if leaf.material else None
                scale = 1.0
                if material is not None and material.family == "concrete-block":
                    if leaf.layer is not None and material.name not in hollow:
                        k = solid_conductivity_W_mK(material)
                        assert material.conductivity is not None
                        hollow[material.name] = k / _room_conductivity_W_mK(material.conductivity)
                    scale = hollow[material.name]
                elif leaf.layer is not None and (leaf.layer.ties or leaf.layer.tees):
                    scale = bridge(patch.leaves, place, catalogue).factor
                elif leaf.layer is not None and leaf.layer.joists is not None:
                    scale = joist_factor(patch, place, catalogue)
                self.rows.append(
                    LeafRow(
                        leaf=leaf, patch=index, material=material, hollow_factor=scale,
                        growth=patch.leads(leaf), holds=patch.holds(leaf), orientation=orientation,
                        emissivities=_gap_faces(patch.leaves, place, catalogue),
                    )
                )  # fmt: skip
            self.layers.append(tuple(range(first, len(self.rows))))
        self.growth = np.array([row.growth for row in self.rows])
        self.holds = np.array([row.holds for row in self.rows])
        self.groups = _alike(self.rows)

    def place(self, material: Material) -> Floats:
        """Place of every case on the conductivity of this material's class."""
        family = material.family if material.family in FAMILIES else "other"
        return self.at[f"k:{family}"]

    def __call__(self, t_hot_C: Floats, t_cold_C: Floats) -> tuple[Floats, Floats]:
        r = np.empty_like(t_hot_C)
        c = np.empty_like(t_hot_C)
        for group in self.groups:
            at = group.at
            r[:, at], c[:, at] = self._alike(group, t_hot_C[:, at], t_cold_C[:, at])
        np.maximum(r, LEAST_R_m2K_W, out=r)
        r /= self.growth
        c *= self.holds
        return r, c

    def leaf(self, i: int, t_hot_C: Floats, t_cold_C: Floats) -> tuple[Floats, Floats]:
        """Resistance and heat capacity of leaf i by itself, per its own area, each (members,)."""
        row = self.rows[i]
        one = Alike(row=row, at=np.array([i]), thickness_m=np.array([row.leaf.thickness_m]))
        r, c = self._alike(one, t_hot_C[:, None], t_cold_C[:, None])
        return np.maximum(r[:, 0], LEAST_R_m2K_W), c[:, 0]

    def _alike(self, group: Alike, hot: Floats, cold: Floats) -> tuple[Floats, Floats]:
        """Leaves of one material (or of air), before growth; `hot`, `cold` (M, leaves)."""
        row, d = group.row, group.thickness_m
        if row.material is None:
            gap = gap_resistance_m2K_W(hot, cold, d, *row.emissivities, 0.5, row.orientation)
            return np.asarray(gap), np.broadcast_to(AIR_C_J_m3K * d, hot.shape)
        middle = 0.5 * (hot + cold)
        curve, heat = row.material.conductivity, row.material.specific_heat
        if curve is None or heat is None:
            refused = np.broadcast_to(d, hot.shape)  # by `judge`
            return refused, 1e6 * refused
        place = self.place(row.material)[:, None]
        k = sampled(curve, middle, place) * row.hollow_factor
        per_kg = np.interp(middle, heat.points_C, heat.values)
        density = row.material.density_kg_m3
        heavy = between(density.low, density.typical, density.high, self.at["stored"])[:, None]
        capacity = heavy * per_kg * d
        if row.leaf.kind in ("cored", "shaft"):
            web = WEB_SHARE if row.leaf.kind == "cored" else SHAFT_SHARE
            gap = gap_resistance_m2K_W(
                hot, cold, d, GAP_EMISSIVITY, GAP_EMISSIVITY, 0.2, row.orientation
            )
            middle_k, _ = hollow_core(k, 0.0, 0.0, web, d, gap)
            return d / middle_k, capacity * web
        return d / k, capacity

    def judge(self, i: int, t_low_C: float, t_high_C: float) -> tuple[str | None, list[str]]:
        """Why leaf i must not be judged at these temperatures (or None), and the sentences that
        say which table was left and how."""
        material = self.rows[i].material
        if material is None:
            return None, []
        sentences: list[str] = []
        for label, curve in (
            ("conductivity", material.conductivity), ("specific heat", material.specific_heat)
        ):  # fmt: skip
            if curve is None:
                return f"the catalogue has no {label} for {material.name}", []
            if not curve.covers(t_low_C, t_high_C):
                return (
                    f"{label} of {material.name} is known from {curve.low_C:.0f} to "
                    f"{curve.high_C:.0f} degC, and it sees {t_low_C:.0f} to {t_high_C:.0f} degC",
                    [],
                )
            sentence = curve.beyond_sentence(material.name, label, t_low_C, t_high_C)
            if sentence:
                sentences.append(sentence)
        return None, sentences


def _gap_faces(leaves: tuple[Leaf, ...], place: int, catalogue: Catalogue) -> tuple[float, float]:
    """Emissivities of the faces on both sides of a leaf (only air leaves use them)."""

    def of(index: int) -> float:
        if 0 <= index < len(leaves) and leaves[index].material:
            return catalogue.get(str(leaves[index].material)).emissivity.typical
        return GAP_EMISSIVITY

    return of(place - 1), of(place + 1)
