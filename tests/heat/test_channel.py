"""Air that passes through a wall: against an independent balance, and exact cases."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.integrate import quad
from scipy.optimize import brentq

from stovelint.heat import channel as module
from stovelint.heat.channel import Channel, channel, level_flow_kg_s_m
from stovelint.heat.clearance import vent_flow_kg_s_m
from stovelint.heat.films import vertical_wall_W_m2K
from stovelint.heat.gaps import Lie, gap_resistance_m2K_W
from tests.heat.close import close

Floats = NDArray[np.float64]
SIGMA = 5.670374419e-8


def k_air(t_C: float) -> float:
    """W/mK, between the rows of a table (CoolProp 8.0.0, computed); 0.1 % off in between."""
    return float(np.interp(t_C, [20.0, 60.0, 100.0], [0.02587, 0.02875, 0.03155]))


def one(value: float) -> Floats:
    return np.array([[value]])


def near(found: float, expected: float, within: float, because: str) -> None:
    """`within` in the unit of the values."""
    close(found, expected, within=within, unit="of the value", source="the same balance made apart",
          because=f"allowed for: {because}")  # fmt: skip


def of(
    hot: float, cold: float, gap: float, length: float, lie: Lie = "vertical",
    ends: tuple[float | None, float | None] = (None, None), factor: float = 1.0,
) -> Channel:  # fmt: skip
    return channel(one(hot), one(cold), one(20.0), gap, [length], 0.9, 0.8, lie, ends, factor)


def fluxes(c: Channel, hot: float, cold: float) -> tuple[float, float]:
    """W/m2 from the hot face, and into the cold face."""
    a, b, d, into = (float(x[0, 0]) for x in (c.a_W_m2K, c.b_W_m2K, c.d_W_m2K, c.in_C))
    return a * hot - b * cold - (a - b) * into, b * hot - d * cold + (d - b) * into


@pytest.mark.parametrize("lie", ["vertical", "hot_above", "hot_below"])
@pytest.mark.parametrize("ends", [(0.0, None), (None, 0.0)])
def test_shut_at_one_end_it_is_the_closed_gap(
    lie: Lie, ends: tuple[float | None, float | None]
) -> None:
    """Exact: no flow leaves the formulas of the closed gap, with the channel's own height."""
    c = of(120.0, 70.0, 0.03, 1.7, lie, ends)
    closed = 1.0 / float(gap_resistance_m2K_W(120.0, 70.0, 0.03, 0.9, 0.8, 1.7, lie))
    for found in (c.a_W_m2K, c.b_W_m2K, c.d_W_m2K):
        near(float(found[0, 0]), closed, 1e-9, "an identity")
    assert float(c.flow_kg_s_m[0, 0]) == 0.0


def balance(
    hot: float, cold: float, room: float, length: float, h_hot: float, h_cold: float, flow: float
) -> tuple[float, float, float]:
    """(mean of the air, heat from the hot face W/m2, into the cold face) by adding up the air's
    way in thin slices, radiation written out."""
    far = (h_hot * hot + h_cold * cold) / (h_hot + h_cold)
    rate = (h_hot + h_cold) / (1008.0 * flow)

    def air(x: float) -> float:
        return float(far + (room - far) * np.exp(-rate * x))

    mean = quad(air, 0.0, length)[0] / length
    rays = SIGMA * ((hot + 273.15) ** 4 - (cold + 273.15) ** 4) / (1 / 0.9 + 1 / 0.8 - 1)
    return mean, rays + h_hot * (hot - mean), rays - h_cold * (cold - mean)


@pytest.mark.parametrize(("gap", "length"), [(0.05, 1.8), (0.2, 0.6), (0.02, 2.5)])
def test_an_upright_channel_against_a_root_finder(gap: float, length: float) -> None:
    """The same laws of film and flow, the balance itself made otherwise: the mean of the air is
    looked for by bisection and its way integrated. 0.1 K and 0.5 W/m2: k of air within 0.2 %."""
    hot, cold, room = 110.0, 65.0, 20.0

    def laws(mean: float) -> tuple[float, float, float]:
        least = 3.77 * k_air(mean) / gap
        h1 = max(float(vertical_wall_W_m2K(mean, hot, length)), least)
        h2 = max(float(vertical_wall_W_m2K(mean, cold, length)), least)
        return h1, h2, float(vent_flow_kg_s_m(mean, room, gap, length, None, None))

    found = brentq(
        lambda t: balance(hot, cold, room, length, *laws(t))[0] - t, room + 0.5, hot - 0.5
    )
    mean, q_hot, q_cold = balance(hot, cold, room, length, *laws(found))
    c = of(hot, cold, gap, length)
    near(float(c.air_C[0, 0]), mean, 0.1, "K; k of air")
    for ours, theirs in zip(fluxes(c, hot, cold), (q_hot, q_cold)):
        near(ours, theirs, 0.5, "W/m2; k of air")


@pytest.mark.parametrize("lie", ["vertical", "hot_above"])
def test_what_the_faces_lose_the_air_carries_off(lie: Lie) -> None:
    """Exact: (q1 - q2) L = G cp (out - in), cp of air 1008 J/kgK."""
    c = of(150.0, 60.0, 0.04, 1.2, lie)
    q_hot, q_cold = fluxes(c, 150.0, 60.0)
    out, into, flow = (float(x[0, 0]) for x in (c.out_C, c.in_C, c.flow_kg_s_m))
    assert flow > 0.0 and into == 20.0
    near((q_hot - q_cold) * 1.2, flow * 1008.0 * (out - into), 0.05, "W/m; the last pass")


def test_cut_into_stretches_it_is_the_same_channel() -> None:
    """Exact: the air leaves three stretches as it leaves one, and each starts as the last ended."""
    whole = of(90.0, 50.0, 0.05, 1.8)
    hot, cold = np.full((1, 3), 90.0), np.full((1, 3), 50.0)
    cut = channel(hot, cold, one(20.0), 0.05, [0.3, 0.6, 0.9], 0.9, 0.8, "vertical", (None, None))
    near(float(cut.out_C[0, 2]), float(whole.out_C[0, 0]), 0.3, "K; films see their own air")
    assert np.allclose(cut.in_C[0, 1:], cut.out_C[0, :2], atol=0.01)
    mean = float(cut.air_C[0] @ [0.3, 0.6, 0.9]) / 1.8
    near(mean, float(whole.air_C[0, 0]), 0.3, "K, as above")


def test_laminar_film_between_plates() -> None:
    """Nu 7.54 on twice the gap (textbook): h = 3.77 k / d on each face, where the gap is narrow."""
    c = of(60.0, 60.0, 0.008, 0.05)
    a, b, d = (float(x[0, 0]) for x in (c.a_W_m2K, c.b_W_m2K, c.d_W_m2K))
    assert a == pytest.approx(d)
    rays = 4 * SIGMA * 333.15**3 / (1 / 0.9 + 1 / 0.8 - 1)
    h = a + b - 2 * rays  # h1 = h2 = h, so A + B = 2 hr + h
    air = float(c.air_C[0, 0])
    near(h, 3.77 * k_air(air) / 0.008, 0.005 * h, "0.5 %: k of air read off a table")


def test_a_level_channel_moves_what_its_ends_exchange() -> None:
    """Two short limits and the law between, per end: doorway V = (C/3) e (g e drho/rho)^(1/2) with
    C 0.65 (Brown and Solvason 1962, recalled), plane Poiseuille flow of two streams of half the
    gap over half the length each. 1 %: nu of air from a table."""
    g, rho, lighter = 9.80665, 353.0 / 323.15, 353.0 / 293.15 - 353.0 / 323.15
    short = float(level_flow_kg_s_m(50.0, 20.0, 0.2, 1e-6, None, None))
    doorway = rho * 0.65 / 3.0 * 0.2 * (g * 0.2 * lighter / rho) ** 0.5
    near(short, 2.0 * doorway, 0.001 * doorway, "friction is 0.1 % there")
    nu = 17.95e-6  # at 50 degC
    narrow = float(level_flow_kg_s_m(50.0, 20.0, 0.004, 2.0, None, None))
    slow = 0.5 * lighter * g * 0.004 * 0.004**3 / (96.0 * nu * 2.0)
    near(narrow, 2.0 * slow, 0.02 * slow, "inertia is under 1 %")

    def lack(flow: float) -> float:
        inertia = 9.0 * flow**2 / (2.0 * rho * 0.65**2 * 0.05**2)
        return inertia + 96.0 * nu * flow * 1.0 / 0.05**3 - 0.5 * lighter * g * 0.05

    law = brentq(lack, 0.0, 1.0)
    near(float(level_flow_kg_s_m(50.0, 20.0, 0.05, 1.0, None, None)), 2 * law, 0.01 * law, "nu")


def test_ends_of_a_level_channel() -> None:
    both = float(level_flow_kg_s_m(50.0, 20.0, 0.05, 1.0, None, None))
    assert float(level_flow_kg_s_m(50.0, 20.0, 0.05, 1.0, 0.5, 0.05)) == both  # the gap's
    less = float(level_flow_kg_s_m(50.0, 20.0, 0.05, 1.0, 0.02, 0.02))
    mixed = float(level_flow_kg_s_m(50.0, 20.0, 0.05, 1.0, 0.02, None))
    near(mixed, 0.5 * (both + less), 1e-9 * both, "each end by itself")
    assert 0.0 < less < both
    assert float(level_flow_kg_s_m(50.0, 20.0, 0.05, 1.0, 0.0, None)) == 0.0
    assert float(level_flow_kg_s_m(50.0, 20.0, 0.05, 1.0, None, 0.0)) == 0.0
    assert float(level_flow_kg_s_m(20.0, 20.0, 0.05, 1.0, None, None)) == 0.0


def test_a_level_channel_against_the_sum_of_its_slices() -> None:
    c = of(110.0, 50.0, 0.05, 0.9, "hot_above")
    flow, air = float(c.flow_kg_s_m[0, 0]), float(c.air_C[0, 0])
    law = float(level_flow_kg_s_m(air, 20.0, 0.05, 0.9, None, None))
    near(flow, law, 1e-4 * law, "the last pass")
    h = 3.77 * k_air(air) / 0.05
    mean, q_hot, q_cold = balance(110.0, 50.0, 20.0, 0.9, h, h, flow)
    near(air, mean, 0.2, "K; k of air read off a table")
    for ours, theirs in zip(fluxes(c, 110.0, 50.0), (q_hot, q_cold)):
        near(ours, theirs, 1.0, "W/m2, as above")


def test_more_film_takes_more_heat_but_not_more_rays() -> None:
    one_fold, two_fold = of(90.0, 50.0, 0.05, 1.8), of(90.0, 50.0, 0.05, 1.8, factor=2.0)
    taken = [fluxes(c, 90.0, 50.0)[0] - fluxes(c, 90.0, 50.0)[1] for c in (one_fold, two_fold)]
    assert 1.2 * taken[0] < taken[1] < 2.0 * taken[0]
    still = [of(90.0, 50.0, 0.05, 1.8, "hot_above", (0.0, 0.0), f) for f in (1.0, 2.0)]
    rays = SIGMA * (363.15**4 - 323.15**4) / (1 / 0.9 + 1 / 0.8 - 1) / 40.0
    closed = [float(c.b_W_m2K[0, 0]) - rays for c in still]
    near(closed[1], 2.0 * closed[0], 1e-6, "W/m2K; doubled exactly")


def test_enough_passes(monkeypatch: pytest.MonkeyPatch) -> None:
    cases = [(300.0, 100.0, 0.03, 2.0), (60.0, 21.0, 0.1, 0.5), (25.0, 22.0, 0.02, 1.0)]
    found = [of(*case) for case in cases]
    monkeypatch.setattr(module, "PASSES", 10 * module.PASSES)
    for c, case in zip(found, cases):
        near(float(c.air_C[0, 0]), float(of(*case).air_C[0, 0]), 0.01, "K")


def test_no_difference_no_heat() -> None:
    c = of(20.0, 20.0, 0.05, 1.0)
    assert np.isfinite([float(x[0, 0]) for x in c]).all()
    assert fluxes(c, 20.0, 20.0) == pytest.approx((0.0, 0.0), abs=1e-9)


def test_air_colder_than_the_room_flows_too() -> None:
    """A level channel under a cold floor: out at the bottom of its ends instead of the top. The
    density difference of 20 K is the same to 7 %, that of the colder air."""
    cold = float(level_flow_kg_s_m(0.0, 20.0, 0.2, 1e-6, None, None))
    warm = float(level_flow_kg_s_m(20.0, 0.0, 0.2, 1e-6, None, None))
    assert cold > 0.0
    close(cold / warm, (293.15 / 273.15) ** 0.5, within=1e-3,
          because="an orifice passes the root of density times the same difference",
          source="doorway flow, Brown and Solvason 1962 (recalled)")  # fmt: skip
