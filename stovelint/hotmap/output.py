"""What a heater gives to the room over its cycle."""

from __future__ import annotations

from typing import Sequence

import numpy as np
from numpy.typing import NDArray

from stovelint.build import Build
from stovelint.heat.network import ROOM, Network
from stovelint.hotmap.patches import OPENING_KINDS, Patch
from stovelint.hotmap.records import OutputHeat

Floats = NDArray[np.float64]


def output_heat(
    net: Network, q_W_m2: Floats, patches: Sequence[Patch], build: Build
) -> OutputHeat:
    """Heat that leaves the faces to the room, doors and glass apart.

    Args:
        net: the network of the patches, hot faces first, then the cold ones.
        q_W_m2: (members, faces, samples) into the faces.
        patches: in the network's order.
    """
    opening = [build.parts[patch.parts[0]].kind in OPENING_KINDS for patch in patches]
    to_room = net.face_zone == ROOM
    through = np.array(opening * 2) & to_room
    given = -q_W_m2 * net.face_area_m2[:, None]
    return OutputHeat(
        masonry_W=np.asarray(given[:, to_room & ~through].sum(axis=1)),
        openings_W=np.asarray(given[:, through].sum(axis=1)),
    )
