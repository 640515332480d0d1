"""Vented layers inside parts: which stretches of air follow each other, and what they do.

A layer drawn as a vented gap is a channel: air of the room passes through it. In an upright part
it rises from the part's lower edge to its upper one, so what one band of the wall gives to it
warms the next. In a lying part it changes places at both ends, over the longer side of the chamber
(of the outermost one, where chambers stand in each other) and under the walls on both sides of it,
and each patch is reckoned as if all of the channel lay under a floor as warm as it.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from stovelint.heat.branches import Branches, Channels
from stovelint.heat.channel import channel
from stovelint.heat.gaps import Lie
from stovelint.hotmap.cases import inputs
from stovelint.hotmap.patches import Patch
from stovelint.hotmap.properties import Properties
from stovelint.hotmap.stack import Leaf
from stovelint.hotmap.zones import Room

Floats = NDArray[np.float64]


def is_channel(leaf: Leaf) -> bool:
    """Whether air of the room passes through a leaf."""
    gap = leaf.layer.gap if leaf.layer is not None else None
    return leaf.kind == "air" and gap is not None and gap.kind == "vented"


@dataclass(frozen=True, kw_only=True, eq=False)
class Run:
    """Stretches that the same air passes, in its order, by their place among all channels."""

    at: list[int]
    stretches_m: list[float]
    gap_m: float
    lie: Lie
    ends_m2_m: tuple[float | None, float | None]
    emissivities: tuple[float, float]


def channels_of(
    rooms: dict[str, Room], patches: tuple[Patch, ...], properties: Properties,
    at: dict[str, Floats],
) -> Channels | None:  # fmt: skip
    """The channels of the network; None where no part has one."""
    found = [
        (row, index, leaf)
        for index, patch in enumerate(patches)
        for row, leaf in zip(properties.layers[index], patch.leaves)
        if is_channel(leaf)
    ]
    if not found:
        return None
    layers = np.array([row for row, _, _ in found])
    growth = properties.growth[layers]
    factor = inputs(at)["room_film"]
    runs = _runs(found, rooms, patches, properties)

    def reckon(hot_C: Floats, cold_C: Floats, room_C: Floats) -> Branches:
        result = Branches(*(np.empty_like(hot_C) for _ in range(4)))
        for run in runs:
            own = channel(
                hot_C[:, run.at], cold_C[:, run.at], room_C, run.gap_m, run.stretches_m,
                *run.emissivities, run.lie, run.ends_m2_m, factor,
            )  # fmt: skip
            for whole, part in zip(result, own):
                whole[:, run.at] = part
        return Branches(result.a * growth, result.b * growth, result.d * growth, result.in_C)

    return Channels(
        layers=layers, walls=np.array([index for _, index, _ in found]), reckon=reckon
    )


def assumed(patches: tuple[Patch, ...]) -> list[str]:
    """Sentences for people: channels that the plan calls vented without a word of their ends."""
    lying: dict[str, None] = {}
    upright: dict[str, None] = {}
    for patch in patches:
        for leaf in patch.leaves:
            if not is_channel(leaf) or leaf.part not in patch.parts:
                continue
            assert leaf.layer is not None and leaf.layer.gap is not None
            gap = leaf.layer.gap
            if gap.bottom_m2_m is None or gap.top_m2_m is None:
                (upright if patch.hot_film in ("vertical", "duct") else lying)[leaf.part] = None
    result = [
        f"the vented gap in {part} is taken as open to the room at both ends; shut at either, it "
        "keeps heat in as a closed one"
        for part in lying
    ]
    return result + [
        f"the vented gap in {part} is taken as open to the room along its bottom and its top; shut "
        "at either, it keeps heat in as a closed one"
        for part in upright
    ]


def _runs(
    found: list[tuple[int, int, Leaf]], rooms: dict[str, Room], patches: tuple[Patch, ...],
    properties: Properties,
) -> list[Run]:  # fmt: skip
    groups: dict[tuple[object, ...], list[int]] = {}
    for k, (row, index, leaf) in enumerate(found):
        patch = patches[index]
        assert leaf.layer is not None
        rises = properties.rows[row].orientation == "vertical" and patch.along_m is None
        key = (leaf.part, leaf.layer.path, patch.chamber) if rises else (k,)
        groups.setdefault(key, []).append(k)
    result = []
    for members in groups.values():
        order = sorted(members, key=lambda k: (patches[found[k][1]].from_m, k))
        row, index, leaf = found[order[0]]
        layer = leaf.layer
        assert layer is not None and layer.gap is not None
        lie = properties.rows[row].orientation
        lengths = [
            patches[found[k][1]].to_m - patches[found[k][1]].from_m if lie == "vertical"
            else _across_m(rooms, patches, patches[found[k][1]])
            for k in order
        ]  # fmt: skip
        result.append(
            Run(
                at=order, stretches_m=lengths, gap_m=leaf.thickness_m, lie=lie,
                ends_m2_m=(layer.gap.bottom_m2_m, layer.gap.top_m2_m),
                emissivities=properties.rows[row].emissivities,
            )
        )  # fmt: skip
    return result


def _across_m(rooms: dict[str, Room], patches: tuple[Patch, ...], patch: Patch) -> float:
    """From outside to outside, the longer way."""
    room = rooms[patch.chamber]
    while room.chamber.inside in rooms:
        room = rooms[str(room.chamber.inside)]
    walls = [
        one.thickness_m for one in patches
        if one.chamber == room.chamber.name and one.cold < 0 and one.cold_film == "vertical"
    ]  # fmt: skip
    return max(room.side_m("front"), room.side_m("left")) + 2.0 * max(walls, default=0.0)
