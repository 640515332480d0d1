"""Solved patches as the records that rules and reports read; depths are computed when asked for."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Callable, overload

import numpy as np
from numpy.typing import NDArray

from stovelint.build import Layer
from stovelint.catalogue.catalogue import Catalogue
from stovelint.heat.network import Drive, Network
from stovelint.heat.periodic import Solution
from stovelint.hotmap.body import body_heat
from stovelint.hotmap.patches import Patch
from stovelint.hotmap.pieces import piece_heat
from stovelint.hotmap.profile import Profile, Slice, depth_heat, hours_above, spread
from stovelint.hotmap.properties import Properties
from stovelint.hotmap.records import DepthHeat, LayerHeat, PatchHeat
from stovelint.hotmap.stack import Leaf

Floats = NDArray[np.float64]

Judge = Callable[[Leaf, float, float], tuple[str | None, list[str]]]
"""(leaf, lowest, highest mean degC) -> why it must not be judged, and what to say of its tables."""


@dataclass(frozen=True, kw_only=True, eq=False)
class Run:
    """One damper end, solved for all cases."""

    net: Network
    drive: Drive
    solution: Solution
    properties: Properties


class LazyLayers(Sequence[LayerHeat]):
    """The layers of a patch, each made when first looked at (most are never asked for)."""

    def __init__(self, makers: Sequence[Callable[[], LayerHeat]]) -> None:
        self._makers = makers
        self._made: dict[int, LayerHeat] = {}

    def __len__(self) -> int:
        return len(self._makers)

    @overload
    def __getitem__(self, index: int) -> LayerHeat: ...
    @overload
    def __getitem__(self, index: slice) -> Sequence[LayerHeat]: ...
    def __getitem__(self, index: int | slice) -> LayerHeat | Sequence[LayerHeat]:
        if isinstance(index, slice):
            return [self[i] for i in range(*index.indices(len(self)))]
        place = range(len(self))[index]
        if place not in self._made:
            self._made[place] = self._makers[place]()
        return self._made[place]


def profiles(patch: Patch, index: int, runs: list[Run]) -> list[Profile]:
    """The inside of one patch of the network, one per run."""
    result = []
    for run in runs:
        rows = run.net.layers[index]
        channels = run.net.channels
        place = {} if channels is None else {int(r): k for k, r in enumerate(channels.layers)}
        slices = [
            Slice(
                top_m=leaf.depth_m, thickness_m=leaf.thickness_m,
                r_m2K_W=run.solution.r_m2K_W[:, row], c_J_m2K=run.solution.c_J_m2K[:, row],
                branch=run.solution.branches[:, :, place[row]] if row in place else None,
            )
            for leaf, row in zip(patch.leaves, rows)
        ]  # fmt: skip
        faces = run.solution.faces_C
        result.append(
            Profile(slices, faces[:, index], faces[:, run.net.walls + index], run.drive.period_s)
        )
    return result


def layer_makers(
    patch: Patch, of_part: str, insides: list[Profile], judge: Judge, runs: list[Run]
) -> list[Callable[[], LayerHeat]]:
    """One maker per layer of the part within the patch's stack, hot side first."""
    groups: list[tuple[Layer, list[Leaf]]] = []
    rooms = [run.drive.room_C for run in runs]
    for leaf in patch.leaves:
        if leaf.part != of_part or leaf.layer is None:
            continue
        if groups and groups[-1][0] is leaf.layer:
            groups[-1][1].append(leaf)
        else:
            groups.append((leaf.layer, [leaf]))
    return [_maker(patch, layer, leaves, insides, judge, rooms) for layer, leaves in groups]


def _maker(
    patch: Patch, layer: Layer, leaves: list[Leaf], insides: list[Profile], judge: Judge,
    rooms: list[Floats],
) -> Callable[[], LayerHeat]:  # fmt: skip
    def make() -> LayerHeat:
        top = leaves[0].depth_m
        bottom = leaves[-1].depth_m + leaves[-1].thickness_m

        def judged() -> tuple[str | None, tuple[str, ...]]:
            unjudged: str | None = None
            beyond: list[str] = []
            for leaf in leaves:
                means = [i.mean_at(leaf.depth_m + 0.5 * leaf.thickness_m) for i in insides]
                low, high = min(float(m.min()) for m in means), max(float(m.max()) for m in means)
                why, sentences = judge(leaf, low, high)
                unjudged = unjudged or why
                beyond.extend(s for s in sentences if s not in beyond)
            return unjudged, tuple(beyond)

        return LayerHeat(
            layer=layer, thickness_m=bottom - top,
            at=lambda depth_m: depth_heat(insides, min(top + depth_m, bottom)),
            piece=lambda: piece_heat(insides, top, bottom),
            body=lambda: body_heat(patch, leaves, insides, rooms),
            history=lambda depth_m: tuple(i.at(min(top + depth_m, bottom)) for i in insides),
            hours_above=lambda depth_m, limit_C: hours_above(insides, top + depth_m, limit_C),
            judged=judged,
        )  # fmt: skip

    return make


def patch_heat(patch: Patch, index: int, runs: list[Run]) -> list[PatchHeat]:
    """One record per part of the patch's stack (a floor on its base gives two)."""
    insides = profiles(patch, index, runs)
    rows = dict(zip((id(leaf) for leaf in patch.leaves), runs[0].net.layers[index]))

    def judge(leaf: Leaf, low: float, high: float) -> tuple[str | None, list[str]]:
        return runs[0].properties.judge(rows[id(leaf)], low, high)

    heat = spread([
        run.solution.q_W_m2[:, index].mean(axis=1) * patch.area_m2 * run.drive.period_s / 3.6e6
        for run in runs
    ])  # fmt: skip
    return [
        PatchHeat(
            part=part, chamber=patch.chamber, where=patch.where, from_m=patch.from_m,
            to_m=patch.to_m, along_m=patch.along_m, area_m2=patch.area_m2, heat_in_kWh=heat,
            layers=LazyLayers(layer_makers(patch, part, insides, judge, runs)),
        )
        for part in patch.parts
    ]  # fmt: skip


def judged_depth(layer: LayerHeat, catalogue: Catalogue) -> DepthHeat:
    """Where a layer is judged: wood at its face, masonry a little under it."""
    material = layer.layer.material
    burns = material is not None and catalogue.get(material).combustible
    return layer.hot if burns else layer.hot_zone
