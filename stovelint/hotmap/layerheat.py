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
from stovelint.hotmap.middle import Middle
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


class Insides:
    """The insides of all patches over some runs: each is made when it is first looked at, and kept
    for whoever asks next."""

    def __init__(self, patches: Sequence[Patch], runs: list[Run]) -> None:
        self.patches, self.runs = patches, runs
        self._wholes: dict[int, list[Profile]] = {}
        self._told: dict[int, list[Profile]] = {}

    def wholes(self, index: int) -> list[Profile]:
        """As `solved_profiles`."""
        if index not in self._wholes:
            self._wholes[index] = solved_profiles(self.patches[index], index, self.runs)
        return self._wholes[index]

    def told(self, index: int) -> list[Profile]:
        """As `profiles`."""
        if index not in self._told:
            self._told[index] = _told(
                self.patches[index], index, self.runs, self.wholes(index)
            )
        return self._told[index]


def profiles(patch: Patch, index: int, runs: list[Run]) -> list[Profile]:
    """The inside of one patch as it is told, one per run: of a wall with corners that of the middle
    of its sides. Where room air passes through the wall it is the wall as a whole."""
    return _told(patch, index, runs, solved_profiles(patch, index, runs))


def _told(patch: Patch, index: int, runs: list[Run], wholes: list[Profile]) -> list[Profile]:
    if not patch.flat_sides:
        return wholes
    return [
        whole if any(s.branch is not None for s in whole.slices)
        else Middle(whole, run, index, patch.half_side)
        for whole, run in zip(wholes, runs)
    ]  # fmt: skip


def solved_profiles(patch: Patch, index: int, runs: list[Run]) -> list[Profile]:
    """The inside of one patch of the network as a whole, one per run."""
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
            Profile(
                slices, faces[:, index], faces[:, run.net.walls + index], run.drive.period_s,
                run.drive.room_C[:, 0],
            )
        )
    return result


def layer_makers(
    patch: Patch, of_part: str, insides: list[Profile], judge: Judge, runs: list[Run],
    wholes: list[Profile] | None = None,
) -> list[Callable[[], LayerHeat]]:  # fmt: skip
    """One maker per layer of the part within the patch's stack, hot side first. `wholes`: the
    patch as it was solved, where `insides` are of a stretch of it."""
    groups: list[tuple[Layer, list[Leaf]]] = []
    rooms = [run.drive.room_C for run in runs]
    for leaf in patch.leaves:
        if leaf.part != of_part or leaf.layer is None:
            continue
        if groups and groups[-1][0] is leaf.layer:
            groups[-1][1].append(leaf)
        else:
            groups.append((leaf.layer, [leaf]))
    solid = insides if wholes is None else wholes
    return [
        _maker(patch, layer, leaves, (insides, solid), judge, rooms) for layer, leaves in groups
    ]


def _maker(
    patch: Patch, layer: Layer, leaves: list[Leaf], of: tuple[list[Profile], list[Profile]],
    judge: Judge, rooms: list[Floats],
) -> Callable[[], LayerHeat]:  # fmt: skip
    insides, wholes = of

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
            body=lambda: body_heat(patch, leaves, wholes, rooms),
            history=lambda depth_m: tuple(i.at(min(top + depth_m, bottom)) for i in insides),
            hours_above=lambda depth_m, limit_C: hours_above(insides, top + depth_m, limit_C),
            judged=judged,
        )  # fmt: skip

    return make


def patch_heat(of: Insides, index: int) -> list[PatchHeat]:
    """One record per part of the patch's stack (a floor on its base gives two)."""
    patch, runs = of.patches[index], of.runs
    wholes, insides = of.wholes(index), of.told(index)
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
            layers=LazyLayers(layer_makers(patch, part, insides, judge, runs, wholes)),
        )
        for part in patch.parts
    ]  # fmt: skip


def judged_depth(layer: LayerHeat, catalogue: Catalogue) -> DepthHeat:
    """Where a layer is judged: wood at its face, masonry a little under it."""
    material = layer.layer.material
    burns = material is not None and catalogue.get(material).combustible
    return layer.hot if burns else layer.hot_zone
