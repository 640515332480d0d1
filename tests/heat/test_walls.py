"""The walls' answer, all walls of a heater at once."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.optimize import brentq

from stovelint.heat import walls as module
from stovelint.heat.layers import (
    chain, face_temperatures, harmonics_rad_s, layer_admittance,
)  # fmt: skip
from stovelint.heat.sampling import Fill
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


def test_layers_take_their_properties_at_their_own_boundaries() -> None:
    """Two walls, three layers and one: the mean falls from face to face as the resistances say,
    which here depend on nothing; the hot side of each layer is the cold side of the one before."""
    asked: list[tuple[NDArray[np.float64], NDArray[np.float64]]] = []
    plain = network([Wall(layers=(STONE, BED, BRICK)), Wall(layers=(BLOCK,))])

    def properties(
        hot: NDArray[np.float64], cold: NDArray[np.float64]
    ) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        asked.append((hot.copy(), cold.copy()))
        return plain.properties(hot, cold)

    solved = Walls(replace(plain, properties=properties), harmonics_rad_s(43200.0, 8))
    solved.renew(np.array([[420.0, 90.0, 20.0, 35.0], [300.0, 80.0, 30.0, 60.0]]),
                 np.full((2, 4), 9.0))  # fmt: skip
    r = np.cumsum([0.013, 0.009, 0.131]) / 0.153
    hot, cold = asked[-1]
    for row, (top, bottom) in enumerate(((420.0, 20.0), (300.0, 30.0))):
        planes = top - (top - bottom) * r
        np.testing.assert_allclose(hot[row], [top, *planes[:2], (90.0, 80.0)[row]], rtol=ALIKE)
        np.testing.assert_allclose(cold[row], [*planes, (35.0, 60.0)[row]], rtol=ALIKE)
    np.testing.assert_allclose(solved.r, [[0.013, 0.009, 0.131, 0.2]] * 2)
    np.testing.assert_allclose(solved.c, [[6.1e4, 1.5e4, 1.5e5, 1.0e5]] * 2)


def test_properties_are_settled_over_two_renewals() -> None:
    """Insulation on brick, each better the hotter: two rounds per renewal and two renewals leave
    the boundary within 1 % of where scipy finds it."""
    plain = network([Wall(layers=((0.4, 1e4), (0.15, 1e5)))])

    def properties(
        hot: NDArray[np.float64], cold: NDArray[np.float64]
    ) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        r, c = plain.properties(hot, cold)
        return r / (1.0 + np.array([2e-3, -4e-4]) * (0.5 * (hot + cold) - 20.0)), c

    def lack(plane: float) -> float:
        r, _ = properties(np.array([[500.0, plane]]), np.array([[plane, 40.0]]))
        return float((500.0 - plane) / r[0, 0] - (plane - 40.0) / r[0, 1])

    plane = brentq(lack, 40.0, 500.0)
    solved = Walls(replace(plain, properties=properties), harmonics_rad_s(43200.0, 8))
    for _ in range(2):
        solved.renew(np.array([[500.0, 40.0]]), np.full((1, 2), 9.0))
    assert abs(solved.lower[0, 0] - plane) < 0.01 * (500.0 - 40.0)
    assert solved.upper[0, 1] == solved.lower[0, 0]


def driven(members: int) -> tuple[Walls, NDArray[np.complex128], NDArray[np.float64]]:
    """Walls with cold faces of another size, in as many members as told, all unlike."""
    random = np.random.default_rng(4)
    net = network(
        [Wall(layers=(STONE, BRICK), cold_ratio=1.3, area_m2=0.7), Wall(layers=(BLOCK,))],
        members=members,
    )
    solved = Walls(net, harmonics_rad_s(43200.0, 16))
    solved.renew(50.0 + 200.0 * random.random((members, 4)), 5.0 + random.random((members, 4)))
    faces = 100.0 + 30.0 * random.normal(size=(members, 4, 16))
    return solved, np.fft.rfft(faces, axis=-1), 20.0 * random.normal(size=(members, 4, 16))


def test_what_a_wall_answers_meets_its_films() -> None:
    """film A (drive - face) on either side is what the wall's admittance lets through, for every
    harmonic: films count per area of their own face, admittances per area of the hot one."""
    solved, wave, push = driven(3)
    drive = wave + np.fft.rfft(push, axis=-1)
    found = solved.answer(wave, push, Fill(np.arange(16), 16))
    faces = np.fft.rfft(found, axis=-1)
    np.testing.assert_allclose(faces, wave, rtol=1e-9, atol=1e-9)
    a, b, d = solved.wall
    inside = slice(0, -1)  # of the fastest harmonic only what a real history can hold is kept
    hot, cold = faces[:, :2, inside], faces[:, 2:, inside]
    one = solved.film[:, :2, None] * (drive[:, :2, inside] - hot)
    two = solved.film[:, 2:, None] * np.array([1.3, 1.0])[:, None] * (cold - drive[:, 2:, inside])
    tight = 1e-9 * float(np.abs(one).max())
    np.testing.assert_allclose(one, (a * wave[:, :2] - b * wave[:, 2:])[..., inside], atol=tight)
    np.testing.assert_allclose(two, (b * wave[:, :2] - d * wave[:, 2:])[..., inside], atol=tight)
    whole = face_temperatures(
        solved.wall, solved.film[:, :2], drive[:, :2],
        solved.film[:, 2:] * np.array([1.3, 1.0]), drive[:, 2:],
    )  # fmt: skip
    fastest = np.concatenate(whole, axis=1)[..., -1]
    np.testing.assert_allclose(wave[..., -1], fastest.real, rtol=1e-9)
    assert np.abs(fastest.imag).min() > 0.0


def test_members_answer_in_blocks_as_one_by_one() -> None:
    """More members than fit a block, the last block not full."""
    members = 2 * module.BLOCK + 3
    solved, wave, push = driven(members)
    first = wave.copy()
    found = solved.answer(wave, push, Fill(np.arange(16), 16))
    for member in (0, module.BLOCK - 1, module.BLOCK, members - 1):
        alone, _, _ = driven(members)
        alone.keep(np.array([member]))
        own = first[[member]].copy()
        np.testing.assert_allclose(
            alone.answer(own, push[[member]], Fill(np.arange(16), 16)), found[[member]], rtol=1e-12
        )


def test_walls_kept_for_some_members_know_their_own_properties() -> None:
    """Renewed after others were set down, twice: rows are those of the members that are left."""
    plain = network([Wall(layers=(STONE, BRICK))], members=4)

    def properties(
        hot: NDArray[np.float64], cold: NDArray[np.float64]
    ) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        r, c = plain.properties(hot, cold)
        return r * np.array([[1.0], [2.0], [3.0], [4.0]]), c + hot

    solved = Walls(replace(plain, properties=properties), harmonics_rad_s(43200.0, 8))
    faces = np.array([[400.0, 50.0], [300.0, 40.0], [200.0, 30.0], [100.0, 20.0]])
    films = np.array([[9.0, 8.0], [10.0, 7.0], [11.0, 6.0], [12.0, 5.0]])
    solved.renew(faces, films)
    whole = [x.copy() for x in (*solved.wall, *solved.robin, solved.film, solved.mean_C)]
    solved.keep(np.array([0, 2, 3]))
    solved.keep(np.array([0, 2]))
    for kept, all_of in zip((*solved.wall, *solved.robin, solved.film, solved.mean_C), whole):
        assert np.array_equal(kept, all_of[[0, 3]])
    solved.renew(faces[[0, 3]] + 5.0, films[[0, 3]])
    np.testing.assert_allclose(solved.r[:, 1], [0.131, 4 * 0.131])
    np.testing.assert_allclose(solved.c[:, 0], 6.1e4 + np.array([405.0, 105.0]))
