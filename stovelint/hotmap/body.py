"""A layer as a body: how much of it there is, how warm it is throughout, what heat it holds."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from stovelint.heat.stored import mean_through_C
from stovelint.hotmap.patches import Patch
from stovelint.hotmap.profile import Profile
from stovelint.hotmap.records import BodyHeat
from stovelint.hotmap.stack import SHAFT_SHARE, WEB_SHARE, Leaf

Floats = NDArray[np.float64]

SOLID_SHARES = {"cored": WEB_SHARE, "shaft": SHAFT_SHARE}
"""Of a leaf's volume, by its kind."""


def body_heat(
    patch: Patch, leaves: list[Leaf], insides: list[Profile], rooms_C: list[Floats]
) -> BodyHeat:
    """Volume, mean temperature and heat of one layer of a patch, over all damper states.

    The heat is that of the wall as it was solved: a corner's outer edge, which stays cool, counts
    in the volume in full and in the heat by the way that heat takes through it.

    Args:
        leaves: the layer's slices.
        insides: the patch's inside, one per damper state.
        rooms_C: room of each state, (members, 1).
    """
    means, heats = [], []
    for inside, room_C in zip(insides, rooms_C):
        mean, heat, thickness = np.zeros_like(inside.hot_C), np.zeros_like(inside.hot_C), 0.0
        for leaf in leaves:
            known = next(s for s in inside.slices if abs(s.top_m - leaf.depth_m) < 1e-12)
            through = mean_through_C(
                inside.at(leaf.depth_m), inside.at(leaf.depth_m + leaf.thickness_m),
                known.r_m2K_W, known.c_J_m2K, inside.period_s,
            )  # fmt: skip
            mean += leaf.thickness_m * through
            thickness += leaf.thickness_m
            if leaf.material is not None:
                heat += known.c_J_m2K[:, None] * patch.area_m2 * (through - room_C)
        means.append(mean / thickness)
        heats.append(heat)
    return BodyHeat(
        volume_m3=sum(_volume_m3(patch, leaf) for leaf in leaves), mean_C=tuple(means),
        held_J=tuple(heats), period_s=insides[0].period_s,
    )  # fmt: skip


def _volume_m3(patch: Patch, leaf: Leaf) -> float:
    if leaf.material is None:
        return 0.0
    widens = patch.holds(leaf)
    if patch.corners_per_m is not None:
        widens = 1.0 + patch.corners_per_m * (leaf.depth_m + 0.5 * leaf.thickness_m)
    area = patch.area_m2 * widens
    return area * leaf.thickness_m * SOLID_SHARES.get(leaf.kind, 1.0)
