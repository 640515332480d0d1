"""The heater as arrays: how many there are of everything, and what no index can be."""

from __future__ import annotations

import numpy as np

from stovelint.heat.network import GROUND, OUTDOORS, ROOM
from tests.heat.small import Wall, drive, network


def test_surroundings_are_no_zones_and_not_each_other() -> None:
    """A face looks at a zone when its number is 0 or more."""
    assert len({ROOM, OUTDOORS, GROUND}) == 3
    assert max(ROOM, OUTDOORS, GROUND) < 0


def test_counts() -> None:
    net = network([Wall(layers=((0.1, 1e5), (0.2, 1e5))), Wall(), Wall(zone=1)], zones=2)
    assert (net.walls, net.zones) == (3, 2)
    what = drive(np.ones((4, 7)), 0.01)
    assert (what.members, what.samples) == (4, 7)
