"""The walls' answer, all walls of a heater at once."""

from __future__ import annotations

import numpy as np
import pytest

from stovelint.heat.layers import chain, harmonics_rad_s, layer_admittance
from stovelint.heat.walls import Walls
from tests.heat.small import Wall, network

STONE, BED, BRICK, BLOCK = (0.013, 6.1e4), (0.009, 1.5e4), (0.131, 1.5e5), (0.2, 1.0e5)
"""R (m2K/W) and C (J/m2K) of layers such as 30 mm granite, 8 mm mortar, 102 mm brick."""
ALIKE = 1e-12  # rounding: both use the same exact formulas


@pytest.mark.parametrize(
    "stacks",
    [
        ((BRICK,), (BLOCK,)),
        ((STONE, BRICK),),
        ((STONE, BRICK), (BLOCK,)),
        ((BLOCK,), (BRICK, STONE), (STONE, BED, BRICK)),
        ((STONE, BED, BRICK), (BED, BRICK, STONE), (BLOCK, BED)),
    ],
)
def test_walls_of_several_layers_answer_as_their_chain(
    stacks: tuple[tuple[tuple[float, float], ...], ...],
) -> None:
    """Whatever walls of other make stand beside it, each wall's admittance is that of its own
    layers joined one by one: granite on brick takes up heat otherwise than brick on granite."""
    omega = harmonics_rad_s(43200.0, 16)
    net = network([Wall(layers=stack) for stack in stacks])
    solved = Walls(net, omega)
    solved.renew(np.full((1, 2 * len(stacks)), 100.0), np.full((1, 2 * len(stacks)), 10.0))
    for wall, stack in enumerate(stacks):
        alone = chain([layer_admittance(np.array([r]), np.array([c]), omega) for r, c in stack])
        for part, expected in zip(solved.wall, alone):
            np.testing.assert_allclose(part[:, wall], expected, rtol=ALIKE)


def test_a_wall_turned_round_swaps_its_sides() -> None:
    """A of one way is D of the other, and they are far apart for unlike layers: an exact rule."""
    omega = harmonics_rad_s(43200.0, 16)
    net = network([Wall(layers=(STONE, BED, BRICK)), Wall(layers=(BRICK, BED, STONE))])
    solved = Walls(net, omega)
    solved.renew(np.full((1, 4), 100.0), np.full((1, 4), 10.0))
    a, _, d = solved.wall
    np.testing.assert_allclose(a[0, 0], d[0, 1], rtol=ALIKE)
    assert np.abs(a[0, 0, 1:] / d[0, 0, 1:] - 1.0).min() > 0.1
