"""A hearth: no heat made or lost, and the limits in which its bands have closed forms."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from stovelint.heat import hearth as module
from stovelint.heat.bands import Caloric, Exchange, Flows, backflow, band_temperatures
from stovelint.heat.gaspath import gas_pass
from stovelint.heat.network import Hearth
from stovelint.heat.periodic import solve
from stovelint.heat.plume import plume_flow_kg_s
from tests.heat.close import close
from tests.heat.small import Wall, drive, network
from tests.heat.test_gaspath import CP, ROOM_C, Floats, gas, heater, many, settled

BANDS = 5
EDGES = (1.0, 0.8, 0.6, 0.4, 0.2, 0.0)


def hearth(
    leaving: tuple[float, ...] = (1.0, 0.0, 0.0, 0.0, 0.0), inlet: int = BANDS - 1
) -> Hearth:
    return Hearth(
        zones=tuple(range(BANDS)), inlets=(), edges_m=EDGES, diameter_m=0.3,
        reach=(float(BANDS),) * (BANDS - 1), inlet=inlet, leaving=leaving,
    )  # fmt: skip


def rays_reach(net_heat: float, rays: float) -> float:
    """What the flames' rays bring to the faces outside the march of the gas."""
    return net_heat * rays


@given(
    g=many(0.5, 60.0, BANDS), walls=many(20.0, 500.0, BANDS), heat=st.floats(0.0, 6e4),
    flow=st.floats(0.004, 0.2), rays=st.floats(0.0, 0.4), peclet=st.floats(0.1, 30.0),
    still=st.floats(0.0, 0.3), plume=st.floats(0.5, 1.5), slope=st.floats(1e-3, 0.3),
    inlet=st.integers(0, BANDS - 1), leaving=many(0.0, 1.0, BANDS),
)  # fmt: skip
def test_no_heat_is_made_or_lost(
    g: list[float], walls: list[float], heat: float, flow: float, rays: float, peclet: float,
    still: float, plume: float, slope: float, inlet: int, leaving: list[float],
) -> None:  # fmt: skip
    total = sum(leaving) + 1e-3
    shares = tuple((x + (1e-3 if i == 0 else 0.0)) / total for i, x in enumerate(leaving))
    net = heater([hearth(shares, inlet)], BANDS, (1.0,), ((0, 1.0),))
    what = drive(
        [[heat]], flow, flame_rays=rays, peclet=peclet, still_exchange=still, plume_factor=plume,
        room_C=ROOM_C,
    )  # fmt: skip
    result, taken, step = settled(net, what, gas(slope), np.array(g), np.array(walls), rounds=4000)
    assert step < 1e-6
    left = heat - rays_reach(heat, rays) - taken - float(result.exit_W[0, 0])
    assert abs(left) <= 1e-6 * heat + 1e-3


def march(what_heat_W: float, flow: float, g: Floats, wall_C: float, **other: float) -> Floats:
    """(BANDS,) temperatures at rest with constant cp."""
    net = heater([hearth()], BANDS, (1.0,), ((0, 1.0),))
    what = drive([[what_heat_W]], flow, room_C=ROOM_C, **other)
    result, _, step = settled(net, what, gas(), g, np.full(BANDS, wall_C), rounds=4000)
    assert step < 1e-6
    return np.asarray(result.t_C[0, :, 0])


def test_without_walls_the_gas_takes_all_that_is_no_ray() -> None:
    """T = T_room + (1 - rays) Q / (m cp) where the gas leaves."""
    found = march(20e3, 0.03, np.full(BANDS, 1e-3), 20.0, flame_rays=0.3, peclet=1e6)
    close(found[0], ROOM_C + 0.7 * 20e3 / (0.03 * CP), within=5e-4,
          because="walls that take a thousandth of a watt per kelvin",
          source="first law of thermodynamics")  # fmt: skip


def test_a_filling_box_at_rest_is_layered_by_its_plume() -> None:
    """Adiabatic, no mixing, all drawn from below: where the plume carries less than the draught
    brings, only fresh air stands; above that, gas of one temperature, that of what leaves."""
    found = march(20e3, 0.03, np.full(BANDS, 1e-3), 20.0, peclet=1e6)
    plume = plume_flow_kg_s(20e3, 0.0, np.array(EDGES), 0.3)
    hot = ROOM_C + 20e3 / (0.03 * CP)
    above = plume[1:] * 293.15 / (float(found.mean()) + 273.15) > 0.03
    assert above[0] and not above[-1]
    close(found[above], np.full(int(above.sum()), hot), within=0.02 * (hot - ROOM_C), unit="K",
          because="a fiftieth of the draught is let mix between bands on purpose",
          source="filling box at rest (Linden 1999, recalled)")  # fmt: skip
    assert found[-1] < ROOM_C + 0.12 * (hot - ROOM_C)


def test_strong_mixing_makes_one_stirred_chamber() -> None:
    """Q = m cp (T - T_room) + G (T - T_wall)."""
    g = np.full(BANDS, 4.0)
    found = march(20e3, 0.03, g, 200.0, peclet=1e-4)
    t = (20e3 + 0.03 * CP * ROOM_C + g.sum() * 200.0) / (0.03 * CP + g.sum())
    close(found, np.full(BANDS, t), within=0.002,
          because="bands exchange a thousand times the draught, not without end",
          source="first law of thermodynamics")  # fmt: skip


def test_without_a_fire_it_is_a_shaft_that_its_draught_rises_through() -> None:
    """No mixing: T_out = T_wall + (T_in - T_wall) exp(-G / (m cp)), from the foot to the top."""
    g = np.full(BANDS, 6.0)
    what = drive([[0.0]], 0.03, room_C=ROOM_C, peclet=1e9)
    net = heater([hearth()], BANDS, (1.0,), ((0, 1.0),))
    result, taken, _ = settled(net, what, gas(), g, np.full(BANDS, 300.0), rounds=4000)
    out = 300.0 + (ROOM_C - 300.0) * math.exp(-g.sum() / (0.03 * CP))
    close(result.exit_C[0, 0], out, within=0.02,
          because="a fiftieth of the draught is let mix between bands on purpose",
          source="heat exchanger with a wall of one temperature (Incropera, recalled)")  # fmt: skip


def test_rays_reach_the_faces_and_no_heat_is_lost_on_the_way() -> None:
    """Constant firing of a whole small heater: what is released leaves through walls and exit."""
    walls = [Wall(zone=z) for z in range(BANDS)]
    net = network(walls, [hearth()], zones=BANDS)
    for rays in (0.0, 0.35):
        solution = solve(net, drive(np.full((1, 8), 9e3), 0.05, flame_rays=rays))
        assert solution.converged
        assert solution.energy_gap < 8e-4
    cool = solve(net, drive(np.full((1, 8), 9e3), 0.05, flame_rays=0.35)).gas.t_C.mean()
    warm = solve(net, drive(np.full((1, 8), 9e3), 0.05, flame_rays=0.0)).gas.t_C.mean()
    assert cool < warm - 5.0


def test_an_exchange_is_made_for_each_band() -> None:
    """A band whose walls are cold and great keeps its gas cold, and no other band at once."""
    net = heater([hearth()], BANDS, (1.0,), ((0, 1.0),))
    what = drive([[20e3]], 0.03, room_C=ROOM_C)
    t = np.full((1, BANDS, 1), 200.0)
    even = np.full((1, BANDS, 1), 5.0)
    greedy = even.copy()
    greedy[0, 2, 0] = 500.0
    eq = np.full((1, BANDS, 1), 50.0)
    one = gas_pass(net, what, gas(), t, Exchange(g=even, t_eq=eq, g_convective=even)).t_C[0, :, 0]
    two = gas_pass(net, what, gas(), t, Exchange(g=greedy, t_eq=eq, g_convective=even)).t_C[0, :, 0]
    assert abs(two[2] - 50.0) < 0.2 * abs(one[2] - 50.0)
    assert two[0] > two[2]


def test_the_fire_gives_what_the_riser_does_not_release() -> None:
    what = drive([[20e3]], 0.03, riser_share=0.25, flame_rays=0.3)
    close(module.fire_heat_W(what), [[15e3]], within=1e-12, because="a product by hand",
          source="share of the riser")  # fmt: skip
    close(module.rays_W(what), [[4.5e3]], within=1e-12, because="a product by hand",
          source="share of the rays")  # fmt: skip


@pytest.mark.parametrize("inlet", range(BANDS))
@pytest.mark.parametrize("heat", [0.0, 2e3, 40e3])
def test_all_gas_is_accounted_for(
    heat: float, inlet: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """In every band comes what goes, and each flow is what the plume, the draught and the mixing
    make of it."""
    seen: list[Flows] = []

    def spy(
        zones: tuple[int, ...], flows: Flows, t_old: Floats, exchange: Exchange, caloric: Caloric
    ) -> tuple[dict[int, Floats], list[Floats]]:
        seen.append(flows)
        return band_temperatures(zones, flows, t_old, exchange, caloric)

    monkeypatch.setattr(module, "band_temperatures", spy)
    leaving = (0.5, 0.2, 0.0, 0.1, 0.2)
    way = hearth(leaving, inlet)
    what = drive([[heat]], 0.03, flame_rays=0.3, plume_factor=1.3, peclet=4.0)
    t = np.array([500.0, 420.0, 350.0, 200.0, 130.0])[None, :, None]
    even = np.full((1, BANDS, 1), 5.0)
    m, still = np.full((1, 1), 0.03), np.full((1, 1), 0.004)
    module.hearth_pass(
        way, t, Exchange(g=even, t_eq=t, g_convective=even), m, np.full((1, 1), 20.0), gas(), what,
        still,
    )  # fmt: skip
    flows = seen[0]
    top, drawn, down, up = (
        np.ravel(x) for x in (flows.top, flows.drawn, flows.down, flows.up)
    )
    fresh = 0.03 * np.eye(BANDS)[inlet]
    into = np.concatenate([top, down]) + np.append(up, 0.0) + fresh
    out = drawn + np.append(down, 0.0) + np.insert(up, 0, 0.0) + 0.03 * np.array(leaving)
    assert np.abs(into - out).max() < 1e-12
    assert top[0] == pytest.approx(drawn.sum(), rel=1e-12)
    plume = plume_flow_kg_s(heat, 0.3, np.array(EDGES), 0.3) * 1.3 * 293.15 / (320.0 + 273.15)
    least = module.LEAST_SHARE * 0.03
    assert module.LEAST_SHARE == 0.02  # judgement: little enough to let a filling box stay layered
    assert drawn[0] == 0.0  # what the plume brings to the top it does not draw from there
    assert np.allclose(drawn[1:], plume[1:-1] - plume[2:] + np.array([0.0, 0.0, 0.0, least]))
    mixed = np.minimum(down, up)
    rest = float(backflow(np.array(BANDS / 4.0))) * np.abs(down - up) + BANDS * 0.004
    assert np.allclose(mixed, np.maximum(rest, least), rtol=1e-12)
