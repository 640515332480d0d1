"""Walls with air passing inside: their mean, their swing, and the heat that leaves on the way."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.linalg import solve_banded
from scipy.optimize import root

from stovelint.heat import walls as module
from stovelint.heat.branches import (
    Branches, Channels, Steady, between_C, given_W_m2, offsets_C, steady_channel, steady_joined,
    steady_layer,
)  # fmt: skip
from stovelint.heat.channel import channel
from stovelint.heat.layers import harmonics_rad_s
from stovelint.heat.network import Network
from stovelint.heat.passes import Passes
from stovelint.heat.periodic import Solution, first_guess, solve
from stovelint.heat.walls import Walls
from tests.heat.close import close
from tests.heat.small import Wall, drive, network

Floats = NDArray[np.float64]
BRICK, SOIL, WOOD = (0.131, 1.5e5), (0.2, 2.5e5), (0.2, 4.0e4)
H1, H2, RAYS, AWAY, IN_C = 4.0, 3.0, 5.0, 6.0, 15.0
"""Films on both faces of a channel, rays across it, and what its air carries off, all W/m2K."""


def star() -> tuple[float, float, float]:
    """a, b, d of a star of three conductances with rays from face to face: elimination by hand."""
    total = H1 + H2 + AWAY
    return RAYS + H1 - H1**2 / total, RAYS + H1 * H2 / total, RAYS + H2 - H2**2 / total


def of(value: float) -> Floats:
    return np.array([value])


def wall() -> list[Steady]:
    a, b, d = (of(x) for x in star())
    return [steady_layer(of(0.131)), steady_channel(a, b, d, of(IN_C)), steady_layer(of(0.2))]


def by_nodes(film_1: float, film_2: float, gas: float, room: float) -> Floats:
    """Both faces, both faces of the channel and its air, from one balance per node."""
    r1, r2 = 0.131, 0.2

    def lack(t: Floats) -> list[float]:
        hot, one, air, two, cold = t
        return [
            film_1 * (gas - hot) - (hot - one) / r1,
            (hot - one) / r1 - H1 * (one - air) - RAYS * (one - two),
            H1 * (one - air) + H2 * (two - air) - AWAY * (air - IN_C),
            H2 * (air - two) + RAYS * (one - two) - (two - cold) / r2,
            (two - cold) / r2 - film_2 * (cold - room),
        ]

    found = root(lack, np.full(5, 50.0), tol=1e-12)
    assert found.success
    return np.asarray(found.x)


def same(found: float, expected: float, within: float = 1e-9) -> None:
    close(found, expected, within=within, because="two exact ways of one sum",
          source="node by node with scipy")  # fmt: skip


def test_a_steady_wall_with_a_channel_against_its_nodes() -> None:
    hot, one, air, two, cold = by_nodes(12.0, 9.0, 300.0, 22.0)
    first, middle, last = wall()
    whole = steady_joined(steady_joined(first, middle), last)
    t1, t2 = of(hot), of(cold)
    same(float((whole.a * t1 - whole.b * t2 - whole.s1)[0]), 12.0 * (300.0 - hot))
    same(float((whole.b * t1 - whole.d * t2 + whole.s2)[0]), 9.0 * (cold - 22.0))
    same(float(given_W_m2(whole, t1, t2)[0]), AWAY * (air - IN_C))
    same(float(between_C(first, steady_joined(middle, last), t1, t2)[0]), one)
    same(float(between_C(steady_joined(first, middle), last, t1, t2)[0]), two)
    more_1, more_2 = offsets_C(whole, of(12.0), of(9.0))
    left, right = whole.a + 12.0, whole.d + 9.0
    scale = 1.0 / (left * right - whole.b**2)
    plain_1 = (right * 12.0 * 300.0 + whole.b * 9.0 * 22.0) * scale
    plain_2 = (whole.b * 12.0 * 300.0 + left * 9.0 * 22.0) * scale
    same(float((plain_1 + more_1)[0]), hot)
    same(float((plain_2 + more_2)[0]), cold)


def test_without_air_the_joined_wall_is_a_series() -> None:
    total = steady_joined(steady_layer(of(0.3)), steady_layer(of(0.5)))
    for part in (total.a, total.b, total.d):
        same(float(part[0]), 1.0 / 0.8)
    assert float(total.s1[0]) == float(total.s2[0]) == 0.0


def aired(
    net: Network, layers: list[int], walls: list[int], *, fixed: bool = True, gap_m: float = 0.05
) -> Network:
    """The network with channels in these layers, either of fixed conductances or of real air."""

    def reckon(hot: Floats, cold: Floats, room: Floats) -> Branches:
        if fixed:
            a, b, d = star()
            ones = np.ones_like(hot)
            return Branches(a * ones, b * ones, d * ones, IN_C * ones)
        each = [
            channel(hot[:, [k]], cold[:, [k]], room, gap_m, [1.0], 0.9, 0.9, "vertical",
                    (None, None))
            for k in range(hot.shape[1])
        ]  # fmt: skip
        return Branches(*(np.concatenate([c[i] for c in each], axis=1) for i in range(4)))

    return replace(
        net, channels=Channels(layers=np.array(layers), walls=np.array(walls), reckon=reckon)
    )


N = 96
HUMP = 1.0 - np.cos(np.arange(N) * np.pi / 12.0)
HEAT = np.where(np.arange(N) < 24, 7000.0 * HUMP, 0.0)
FLOW = 0.002 + 0.012 * HEAT / HEAT.max()
STACKS = [
    Wall(layers=(BRICK, (0.16, 0.0), WOOD), area_m2=1.2),
    Wall(layers=(BRICK,), area_m2=0.8),
    Wall(layers=((0.08, 9e4), SOIL, (0.16, 0.0), WOOD), area_m2=0.5),
]


def solved(*, fixed: bool, members: int = 1) -> tuple[Network, Solution]:
    net = aired(network(STACKS, members=members), [1, 6], [0, 2], fixed=fixed)
    heat = np.linspace(0.8, 1.2, members)[:, None] * HEAT if members > 1 else HEAT[None]
    solution = solve(net, drive(heat, np.tile(FLOW, (members, 1))))
    assert solution.converged
    return net, solution


def test_the_cycle_with_a_channel_against_time_steps() -> None:
    """The wall with a channel, driven by the faces' own heat flows as found, stepped by finite
    volumes until the days repeat: its two faces come back, moment by moment."""
    net, solution = solved(fixed=True)
    w, period, steps = 0, 43200.0, 1440
    w2 = net.walls + w
    q = [np.fft.irfft(np.fft.rfft(x), n=steps) * steps / N
         for x in (solution.q_W_m2[0, w], solution.q_W_m2[0, w2])]  # fmt: skip
    faces = [solution.faces_C[0, w], solution.faces_C[0, net.walls + w]]
    cells = 30
    r = np.concatenate([np.full(cells, BRICK[0] / cells), np.full(cells, WOOD[0] / cells)])
    c = np.concatenate([np.full(cells, BRICK[1] / cells), np.full(cells, WOOD[1] / cells)])
    a, b, d = star()
    n, dt = 2 * cells, period / steps
    # faces of the channel taken out of the balance: each is half a cell away from its cell
    g1, g2 = 2.0 / r[cells - 1], 2.0 / r[cells]
    inner = np.linalg.inv(np.array([[a + g1, -b], [-b, d + g2]]))
    matrix = np.diag(c / dt)
    for i in range(n - 1):
        if i == cells - 1:
            continue
        g = 2.0 / (r[i] + r[i + 1])
        matrix[[i, i + 1], [i, i + 1]] += g
        matrix[i, i + 1] -= g
        matrix[i + 1, i] -= g
    own = np.diag([g1, g2])
    block = own - own @ inner @ own
    matrix[cells - 1 : cells + 1, cells - 1 : cells + 1] += block
    source = own @ inner @ np.array([(a - b) * IN_C, (d - b) * IN_C])
    banded = np.zeros((3, n))
    for k in (-1, 0, 1):
        banded[1 - k, max(k, 0) : n + min(k, 0)] = np.diag(matrix, k)
    t = np.full(n, 60.0)
    found = np.empty((2, steps))
    for _ in range(15):
        for i in range(steps):
            right = c / dt * t
            right[0] += q[0][i]
            right[-1] += q[1][i]
            right[cells - 1 : cells + 1] += source
            t = solve_banded((1, 1), banded, right)
            found[:, i] = t[0] + q[0][i] * r[0] / 2, t[-1] + q[1][i] * r[-1] / 2
    for ours, theirs in zip(faces, found):
        close(ours, theirs[:: steps // N], within=0.6, unit="K", source="time steps",
              because="the passes stop at 0.1 K; steps of 30 s, 0.3 K")  # fmt: skip


@pytest.mark.parametrize("fixed", [True, False])
def test_all_heat_is_accounted_for(fixed: bool) -> None:
    """Heat released = chimney + faces + what the channels' air took, within 0.1 %."""
    net, solution = solved(fixed=fixed, members=3)
    out = net.face_zone < 0
    faces = -(solution.q_W_m2[:, out].mean(axis=2) @ net.face_area_m2[out])
    air = solution.channel_W_m2 @ net.face_area_m2[: net.walls]
    released = np.linspace(0.8, 1.2, 3) * HEAT.mean()
    chimney = solution.gas.exit_W.mean(axis=1)
    assert (air > 0.05 * released).all()
    assert (solution.channel_W_m2[:, 1] == 0.0).all()  # no channel there
    close(faces + air + chimney, released, within=0.001, source="the first law",
          because="what may be left unaccounted")  # fmt: skip
    assert solution.energy_gap < 0.001


def test_a_member_alone_is_the_same_in_company() -> None:
    """Members are set down one by one; their channels must go with them."""
    _, three = solved(fixed=False, members=3)
    heat = 1.2 * HEAT[None]
    net = aired(network(STACKS), [1, 6], [0, 2], fixed=False)
    alone = solve(net, drive(heat, FLOW[None]))
    close(three.faces_C[2].mean(axis=1), alone.faces_C[0].mean(axis=1), within=0.3, unit="K",
          because="each stops within the tolerance", source="the case by itself")  # fmt: skip
    close(three.branches[2], alone.branches[0], within=0.01, source="the case by itself",
          because="air within 0.3 K of it")  # fmt: skip
    close(three.channel_W_m2[2, [0, 2]], alone.channel_W_m2[0, [0, 2]], within=0.01,
          because="air within 0.3 K of it", source="the case by itself")  # fmt: skip


def test_a_wall_with_a_channel_of_real_air_rests_in_balance() -> None:
    """Mean of the channel's faces from the wall's own films, found anew by scipy: what the rounds
    of properties leave is under 0.3 K."""
    net, solution = solved(fixed=False)
    hot, cold = (float(solution.faces_C[0, i].mean()) for i in (0, net.walls))

    def lack(t: Floats) -> list[float]:
        one, two = t
        c = channel(np.array([[one]]), np.array([[two]]), np.array([[20.0]]), 0.05, [1.0], 0.9,
                    0.9, "vertical", (None, None))  # fmt: skip
        a, b, d, into = (float(x[0, 0]) for x in c[:4])
        return [
            (hot - one) / BRICK[0] - (a * one - b * two - (a - b) * into),
            (b * one - d * two + (d - b) * into) - (two - cold) / WOOD[0],
        ]

    found = root(lack, [hot, cold])
    assert found.success
    a, b, d, into = solution.branches[0, :, 0]
    expected = channel(found.x[:1, None], found.x[1:, None], np.array([[20.0]]), 0.05, [1.0], 0.9,
                       0.9, "vertical", (None, None))  # fmt: skip
    for ours, theirs in zip((a, b, d), expected[:3]):
        close(float(ours), float(theirs[0, 0]), within=0.003, source="scipy's root of the balance",
              because="rounds of properties, films move by 1 % in 5 K")  # fmt: skip
    assert into == 20.0


def test_rounds_of_properties_are_enough(monkeypatch: pytest.MonkeyPatch) -> None:
    def faces() -> Floats:
        net = aired(network(STACKS), [1, 6], [0, 2], fixed=False)
        walls = Walls(net, harmonics_rad_s(43200.0, N), np.array([[20.0]]))
        t = np.array([[320.0, 90.0, 250.0, 40.0, 60.0, 35.0]])
        walls.renew(t, np.full((1, 6), 10.0))
        return walls.given_W_m2(t)[0, [0, 2]]

    few = faces()
    monkeypatch.setattr(module, "BRANCHED_ROUNDS", 60)
    close(few, faces(), within=0.005, source="ten times as many rounds",
          because="half a per cent of the heat to the air")  # fmt: skip


def test_one_renewal_finds_what_many_find() -> None:
    """Walls with channels settle their properties in one renewal, however few rounds others need."""
    net = aired(network(STACKS), [1, 6], [0, 2], fixed=False)
    walls = Walls(net, harmonics_rad_s(43200.0, N), np.array([[20.0]]))
    t = np.array([[320.0, 90.0, 250.0, 40.0, 60.0, 35.0]])
    found = []
    for _ in range(12):
        walls.renew(t, np.full((1, 6), 10.0))
        found.append(walls.given_W_m2(t)[0, [0, 2]])
    close(found[0], found[-1], within=0.005, source="twelve renewals one after the other",
          because="half a per cent of the heat to the air")  # fmt: skip


def test_boundaries_of_a_wall_with_a_channel_hang_together() -> None:
    """From the hot face to the cold one, each layer begins where the one before ends."""
    net = aired(network(STACKS), [1, 6], [0, 2])
    walls = Walls(net, harmonics_rad_s(43200.0, N), np.array([[20.0]]))
    walls.renew(np.array([[320.0, 90.0, 250.0, 40.0, 60.0, 35.0]]), np.full((1, 6), 10.0))
    for first, last, hot, cold in ((0, 2, 320.0, 40.0), (3, 3, 90.0, 60.0), (4, 7, 250.0, 35.0)):
        assert walls.upper[0, first] == hot and walls.lower[0, last] == pytest.approx(cold)
        assert np.array_equal(walls.upper[0, first + 1 : last + 1], walls.lower[0, first:last])
        assert (np.diff([hot, *walls.lower[0, first : last + 1]]) < 0.0).all()


def test_heat_to_the_channels_is_that_of_the_faces_handed_out() -> None:
    """Also after few passes, when much is still added to the faces' spectrum."""
    net = aired(network(STACKS), [1, 6], [0, 2])
    what = drive(HEAT[None], FLOW[None])
    work = Passes(net, what, first_guess(net, what), None, None, near=False)
    assert work.run(30.0)[0] > 1
    found = work.found()
    assert np.abs(work.ahead @ work.fill.mean).max() > 0.1
    expected = work.walls.given_W_m2(found.faces_C.mean(axis=2))
    np.testing.assert_allclose(found.channel_W_m2, expected, rtol=1e-9)
