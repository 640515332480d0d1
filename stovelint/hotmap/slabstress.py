"""Bow, pull and chill of one layer from its heat and the figures of its material.

Stresses are those of an uncracked elastic slab: upper bounds.
"""

from __future__ import annotations

import math
from typing import Callable, Sequence

import numpy as np
from numpy.typing import NDArray

from stovelint.catalogue import Material, Triple
from stovelint.heat import slab
from stovelint.hotmap.ranges import Range, by_ends, end_of
from stovelint.hotmap.records import LayerHeat, PatchHeat

Floats = NDArray[np.float64]
Held = Sequence[tuple[PatchHeat, LayerHeat]]
"""A layer of a part, patch by patch."""

POINTS = 7
"""Depths at which a profile is looked at, both faces included."""
POISSON = Triple(low=0.15, typical=0.2, high=0.25, grade="practice", source="brittle solids")
"""Where a material has none of its own."""
CHILL_W_m2K = 20.0
"""What cold air takes from a hot face, with its radiation (judgement: free convection over some
hundreds of kelvin takes 6 to 8, the radiation of a face at 350 degC to a cold room the rest)."""


def straight_K(held: Held) -> list[Floats]:
    """Largest difference of the straight line through a layer over the cycle and its places, K."""
    return _worst(held, lambda profile: np.abs(slab.straight_part_K(profile)))


def bow(held: Held, expansion_1e6_K: Triple, over_m: float) -> Range:
    """How far a free piece of the layer bows over a length, m."""
    thickness = held[0][1].layer.thickness_m
    return by_ends(
        straight_K(held),
        lambda K, end: slab.bow_m(1e-6 * end_of(expansion_1e6_K, end), K, thickness, over_m),
    )


def free(held: Held, material: Material) -> Range | None:
    """Largest tension in the layer free to grow and to bow, Pa; None: a figure is missing."""
    pull = _worst(held, lambda profile: slab.free_plate_Pa(1.0, 1.0, profile, 0.0).max(axis=-1))
    return _stressed(pull, material, 1.0)


def flat(held: Held, material: Material) -> Range | None:
    """Tension in its cooler face when the layer may grow but not bow, Pa."""
    return _stressed(straight_K(held), material, 0.5)


def rim(span: tuple[PatchHeat, LayerHeat], edge: tuple[PatchHeat, LayerHeat],
        material: Material) -> Range | None:  # fmt: skip
    """Tension round the hot middle of a slab of one piece whose edge lies on the wall, Pa.

    The middle and the whole slab as discs of the same area.
    """
    alpha, young = material.expansion_1e6_K, material.youngs_modulus_GPa
    if alpha is None or young is None:
        return None
    spot = math.sqrt(span[0].area_m2 / math.pi)
    whole = math.sqrt((span[0].area_m2 + edge[0].area_m2) / math.pi)
    hotter = [
        np.asarray((middle - cool).max(axis=1))
        for middle, cool in zip(span[1].body().mean_C, edge[1].body().mean_C)
    ]

    def hoop(K: Floats, end: int) -> Floats:
        stiff = 1e9 * end_of(young, end)
        return slab.hot_spot_Pa(stiff, 1e-6 * end_of(alpha, end), K, spot, spot, whole).hoop_Pa

    return by_ends(hotter, hoop)


def chill(held: Held, material: Material) -> Range | None:
    """Sudden chill by air of the layer's hot face from which a first crack may start, K.

    Its back is taken as held and as giving no heat, so that the whole thickness counts as the half
    of a plate met on both faces.
    """
    alpha, young, strength = (
        material.expansion_1e6_K, material.youngs_modulus_GPa, material.flexural_strength_MPa
    )
    curve = material.conductivity
    if alpha is None or young is None or strength is None or curve is None or alpha.low <= 0.0:
        return None
    T = min(max(held[0][1].hot_zone.mean_C.mid, curve.low_C), curve.high_C)
    number = slab.biot(CHILL_W_m2K, held[0][1].layer.thickness_m, float(curve.at(T)))
    share = float(slab.step_share(number))
    nu = material.poisson or POISSON

    def takes(end: int) -> float:
        soft = 2 - end  # what is stiff and grows much takes the least
        per_K = slab.restrained_Pa(
            1e9 * end_of(young, soft), 1e-6 * end_of(alpha, soft), 1.0, end_of(nu, soft)
        )
        return 1e6 * end_of(strength, end) / (share * float(per_K))

    return Range(low=takes(0), mid=takes(1), high=takes(2))


def _stressed(K: list[Floats], material: Material, share: float) -> Range | None:
    alpha, young = material.expansion_1e6_K, material.youngs_modulus_GPa
    nu = material.poisson or POISSON
    if alpha is None or young is None:
        return None
    return by_ends(
        K,
        lambda values, end: share * slab.restrained_Pa(
            1e9 * end_of(young, end), 1e-6 * end_of(alpha, end), values, end_of(nu, end)
        ),
    )


def _worst(held: Held, of: Callable[[Floats], Floats]) -> list[Floats]:
    """Largest over time and places of a figure of the profile, (members,) for each damper state."""
    worst: list[Floats] = []
    for _, one in held:
        depths = np.linspace(0.0, one.thickness_m, POINTS)
        histories = [one.history(float(depth)) for depth in depths]
        for run in range(len(histories[0])):
            profile = np.stack([history[run] for history in histories], axis=-1)
            here = np.asarray(of(profile).max(axis=1))
            if run == len(worst):
                worst.append(here)
            worst[run] = np.maximum(worst[run], here)
    return worst
