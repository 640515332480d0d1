"""What a heater gives to the room over its cycle."""

from __future__ import annotations

from typing import Sequence

import numpy as np

from stovelint.build import Build
from stovelint.heat.network import ROOM, Network
from stovelint.heat.periodic import Solution
from stovelint.hotmap.patches import OPENING_KINDS, Patch
from stovelint.hotmap.records import OutputHeat


def output_heat(
    net: Network, solution: Solution, patches: Sequence[Patch], build: Build
) -> OutputHeat:
    """Heat that leaves the faces to the room, doors and glass apart.

    What room air takes that passes through a wall is counted to the masonry, even over the cycle,
    as only its mean is known.

    Args:
        net: the network of the patches, hot faces first, then the cold ones.
        solution: its cycle.
        patches: in the network's order.
        build: the plan.
    """
    opening = [build.parts[patch.parts[0]].kind in OPENING_KINDS for patch in patches]
    to_room = net.face_zone == ROOM
    through = np.array(opening * 2) & to_room
    given = -solution.q_W_m2 * net.face_area_m2[:, None]
    aired_W = solution.channel_W_m2 @ net.face_area_m2[: net.walls]
    return OutputHeat(
        masonry_W=np.asarray(given[:, to_room & ~through].sum(axis=1) + aired_W[:, None]),
        openings_W=np.asarray(given[:, through].sum(axis=1)),
    )
