"""Metal that leads heat through a layer: ties through insulation, the webs of tees in a cap.

Either is a factor on the conductivity of its slice, at the warmth of insulated masonry: metal and
neighbours change little between there and the extremes. The heat's own ways are in `heat.fins`.
"""

from __future__ import annotations

from typing import Mapping, NamedTuple, Sequence

import numpy as np

from stovelint.build import FiringState, Ties
from stovelint.catalogue.catalogue import Catalogue
from stovelint.catalogue.curve import Curve
from stovelint.heat.fins import tie, web_in_slab
from stovelint.hotmap.patches import Patch
from stovelint.hotmap.records import CycleHeat, LayerHeat
from stovelint.hotmap.stack import Leaf

AT_C = 200.0
"""At which conductivities are read (judgement: between a skin and the hot face of a core)."""
INTO_M = 0.050
"""How deep a tie is let in where the plan does not say (common practice, no source)."""
AIR_W_mK = 0.05
"""Of what is beside a layer where no body is: a tie's end in air holds on to nothing."""


FADES = 2.0
"""What a web's end stands over its surroundings fades through what is left of the layer with
exp(-2 x / web): 1.3 to 2.6 by finite elements (computed, `tests/hotmap/test_bridges.py`)."""


class Bridge(NamedTuple):
    """What the metal in one slice does."""

    factor: float
    """On the conductivity of the slice."""
    over: float
    """Rise of the cold side over where the metal ends, over the fall across the layer (steady)."""


def bridge(leaves: Sequence[Leaf], place: int, catalogue: Catalogue) -> Bridge:
    """Of the slice at a place in a stack; (1, 0) without metal or where a table is missing."""
    leaf = leaves[place]
    layer = leaf.layer
    own = _conductivity_W_mK(leaf.material, catalogue)
    if layer is None or own is None or leaf.kind != "solid":
        return Bridge(1.0, 0.0)
    if layer.ties is not None:
        ties = layer.ties
        metal = _conductivity_W_mK(ties.material, catalogue)
        if metal is None:
            return Bridge(1.0, 0.0)
        into = INTO_M if ties.into_m is None else ties.into_m
        sides = [
            (_conductivity_W_mK(beside.material, catalogue) or AIR_W_mK, beside.thickness_m)
            if beside is not None else (AIR_W_mK, 0.0)
            for beside in (
                leaves[place - 1] if place > 0 else None,
                leaves[place + 1] if place + 1 < len(leaves) else None,
            )
        ]
        (k_hot, _), (k_cold, deep) = sides
        one = tie(ties.diameter_m, leaf.thickness_m, into, metal, k_hot, k_cold)
        flow = float(one.through_W_K)
        over = flow / float(one.cold_end_W_K)
        if deep > into:  # the skin is told: a source that deep under a face that keeps heat
            over = min(over, flow / (2.0 * np.pi * k_cold * (deep - into)))
        over = min(over, _held_by_its_layer(ties, leaf.thickness_m, metal, own))
        return Bridge(1.0 + flow / ties.each_m**2 * leaf.thickness_m / own, over)
    if layer.tees is not None and place_in_layer(leaves, place) == 0:
        tees = layer.tees
        metal = _conductivity_W_mK(tees.material, catalogue)
        if metal is None:
            return Bridge(1.0, 0.0)
        web = web_in_slab(tees.thick_m, leaf.thickness_m, tees.each_m, metal, own)
        factor = float(web.conductance_W_m2K) * leaf.thickness_m / own
        rest = layer.thickness_m - leaf.thickness_m
        fall = leaf.thickness_m / factor
        felt = float(np.exp(-FADES * rest / leaf.thickness_m))
        return Bridge(factor, float(web.tip) * fall / (fall + rest) * felt)
    return Bridge(1.0, 0.0)


def _held_by_its_layer(
    ties: Ties, thickness_m: float, metal_W_mK: float, own_W_mK: float
) -> float:
    """How far a tie's end may stand over its layer at most, over the fall across the layer.

    A rod in a steady fall, its hot end as warm as the layer there, its cold end holding on to
    nothing: `s / d tanh(d / s)`, `s = sqrt(k A / g)`; the layer keeps it with `g`, from the rod to
    half way to the next, `2 pi k / ln(each / diameter)`."""
    section = 0.25 * np.pi * ties.diameter_m**2
    g = 2.0 * np.pi * own_W_mK / np.log(max(ties.each_m / ties.diameter_m, 1.1))
    along = float(np.sqrt(metal_W_mK * section / g)) / thickness_m
    return along * float(np.tanh(1.0 / along))


def place_in_layer(leaves: Sequence[Leaf], place: int) -> int:
    """The how-manieth slice of its layer it is, from 0."""
    first = next(i for i, leaf in enumerate(leaves) if leaf.layer is leaves[place].layer)
    return place - first


def bridge_sentences(
    patches: Sequence[Patch], catalogue: Catalogue, cycles: Mapping[FiringState, CycleHeat]
) -> list[str]:
    """What ties and tees do, for people; one sentence per layer that has them."""
    found: dict[tuple[str, int], tuple[float, float, str]] = {}
    for patch in patches:
        for place, leaf in enumerate(patch.leaves):
            layer = leaf.layer
            if layer is None or leaf.part is None or (layer.ties is None and layer.tees is None):
                continue
            if place_in_layer(patch.leaves, place) != 0:
                continue
            one = bridge(patch.leaves, place, catalogue)
            key = (leaf.part, id(layer))
            if key in found or one.factor == 1.0:
                continue
            metal, word = (
                (layer.ties, "ties") if layer.ties is not None else (layer.tees, "tees")
            )
            assert metal is not None
            said = f"{word} of {metal.material} in the {layer.material} of {leaf.part}"
            found[key] = (one.factor, one.over, said)
    sentences = []
    for (part, layer_id), (factor, over, said) in found.items():
        falls = [
            float((heat.hot.mean_C.values - heat.cold.mean_C.values).max())
            for cycle in cycles.values() for heat in _of(cycle, part, layer_id)
        ]
        hotter = over * max([0.0, *falls])
        more = 100.0 * (factor - 1.0)
        figure = "less than 1" if more < 1.0 else f"{more:.2g}"
        sentences.append(
            f"{said} lead {figure} % more heat through as deep as they go; where "
            f"one ends the cold side's mean is up to about {hotter:.0f} K over what is told"
        )
    return sentences


def _of(cycle: CycleHeat, part: str, layer_id: int) -> list[LayerHeat]:
    return [
        heat for patch in cycle.of_part(part) for heat in patch.layers
        if id(heat.layer) == layer_id
    ]


def _conductivity_W_mK(name: str | None, catalogue: Catalogue) -> float | None:
    curve: Curve | None = catalogue.get(name).conductivity if name else None
    return None if curve is None else float(np.interp(AT_C, curve.points_C, curve.values))
