"""Radiation between zones through absorbing gas: conservation and textbook enclosures."""

from __future__ import annotations

import numpy as np
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray

from stovelint.heat.enclosure import symmetric_shares
from stovelint.heat.network import Enclosure, Network
from stovelint.heat.radiation import SIGMA, Radiation, exchange_radiation
from tests.heat.close import close
from tests.heat.small import Wall, network

Floats = NDArray[np.float64]

STEFAN = 5.670374419e-8  # CODATA 2018
CLOSED = 1e-6
"""Both sides are iterated to rounding; what is left stems from the digits of the constant."""


def zones(shares: Floats, apart: bool = False) -> Network:
    """A network of zones that see each other by `shares`; its walls do not matter here."""
    count = len(shares)
    index = [np.array([z]) for z in range(count)] if apart else [np.arange(count)]
    return network(
        [Wall(zone=z) for z in range(count)], zones=count,
        enclosures=[Enclosure(zones=z, shares=shares[np.ix_(z, z)]) for z in index],
    )  # fmt: skip


def settled(
    net: Network, areas: Floats, emissivity: Floats, faces_C: Floats,
    gas_C: Floats | float = 0.0, gas_e: Floats | float = 0.0, gas_a: Floats | float | None = None,
) -> Radiation:  # fmt: skip
    """Rounds without end, from nothing; every zone has one face. Arrays (Z,)."""

    def cell(values: Floats | float) -> Floats:
        return np.broadcast_to(np.asarray(values, dtype=np.float64), areas.shape)[None, :, None]

    emitted = cell(emissivity * STEFAN * (faces_C + 273.15) ** 4)
    power = cell(STEFAN * (np.asarray(gas_C) + 273.15) ** 4)
    a = gas_e if gas_a is None else gas_a
    result = exchange_radiation(
        net, areas, cell(1.0 - emissivity), emitted, cell(gas_e), cell(a), power, emitted
    )
    for _ in range(2000):
        last = result.irradiation
        result = exchange_radiation(
            net, areas, cell(1.0 - emissivity), emitted, cell(gas_e), cell(a), power, last
        )
        if np.abs(result.irradiation - last).max() <= 1e-13 * result.irradiation.max():
            break
    return result


def gains_W(result: Radiation, areas: Floats, emissivity: Floats, faces_C: Floats) -> Floats:
    """Into each face, q = e (H - sigma T^4)."""
    own = STEFAN * (faces_C + 273.15) ** 4
    return np.asarray(areas * emissivity * (result.irradiation[0, :, 0] - own))


numbers = st.floats(0.0, 1.0)


@given(st.integers(1, 6), st.data())
def test_what_the_gas_loses_the_faces_gain(count: int, data: st.DataObject) -> None:
    """Any shares that are reciprocal, any emissivities, absorptivity unlike emissivity."""

    def draw(low: float, high: float) -> Floats:
        size = st.lists(numbers, min_size=count, max_size=count)
        return np.asarray(low + (high - low) * np.array(data.draw(size)))

    seen = np.array(
        data.draw(st.lists(st.lists(st.floats(0.1, 1.0), min_size=count, max_size=count),
                           min_size=count, max_size=count))
    )  # fmt: skip
    areas, emissivity = draw(0.1, 5.0), draw(0.3, 1.0)
    faces_C, gas_C = draw(20.0, 900.0), draw(20.0, 1200.0)
    gas_e, gas_a = draw(0.0, 0.6), draw(0.0, 0.6)
    net = zones(symmetric_shares(seen + seen.T, areas))
    result = settled(net, areas, emissivity, faces_C, gas_C, gas_e, gas_a)
    gained = gains_W(result, areas, emissivity, faces_C).sum()
    lost = result.loss_W.sum()
    scale = (areas * STEFAN * (np.maximum(faces_C, gas_C) + 273.15) ** 4).sum()
    assert abs(gained - lost) <= CLOSED * scale


def test_two_black_zones_exchange_the_difference_of_their_powers() -> None:
    net = zones(np.array([[0.0, 1.0], [1.0, 0.0]]))
    faces = np.array([600.0, 100.0])
    result = settled(net, np.ones(2), np.ones(2), faces)
    close(
        gains_W(result, np.ones(2), np.ones(2), faces)[1],
        STEFAN * (873.15**4 - 373.15**4), within=CLOSED,
        because="exact once the rounds have ended", source="Stefan-Boltzmann law, black planes",
    )  # fmt: skip


def test_grey_parallel_planes() -> None:
    net = zones(np.array([[0.0, 1.0], [1.0, 0.0]]))
    faces, e = np.array([500.0, 50.0]), np.array([0.7, 0.4])
    result = settled(net, np.ones(2), e, faces)
    net_W = STEFAN * (773.15**4 - 323.15**4) / (1.0 / 0.7 + 1.0 / 0.4 - 1.0)
    close(
        gains_W(result, np.ones(2), e, faces), [-net_W, net_W], within=CLOSED,
        because="exact once the rounds have ended",
        source="grey parallel planes, Incropera eq. 13.24 (recalled)",
    )  # fmt: skip


def test_grey_body_in_a_grey_shell() -> None:
    """A convex body of 1 m2 in a shell of 3 m2: F12 = 1, F21 = 1/3, F22 = 2/3."""
    areas, e = np.array([1.0, 3.0]), np.array([0.8, 0.5])
    faces = np.array([400.0, 80.0])
    net = zones(np.array([[0.0, 1.0], [1.0 / 3.0, 2.0 / 3.0]]))
    result = settled(net, areas, e, faces)
    resistance = 0.2 / 0.8 + 1.0 + 0.5 / (0.5 * 3.0)
    net_W = STEFAN * (673.15**4 - 353.15**4) / resistance
    close(
        gains_W(result, areas, e, faces), [-net_W, net_W], within=CLOSED,
        because="exact once the rounds have ended",
        source="two-surface enclosure, Incropera eq. 13.23 (recalled)",
    )  # fmt: skip


def test_grey_gas_in_one_grey_chamber() -> None:
    """Everything the walls send out passes the gas once: planes of emissivity e_gas and e_wall."""
    area, e = np.array([2.5]), np.array([0.8])
    result = settled(zones(np.ones((1, 1))), area, e, np.array([300.0]), 900.0, 0.25)
    net_W = 2.5 * STEFAN * (1173.15**4 - 573.15**4) / (1.0 / 0.25 + 1.0 / 0.8 - 1.0)
    close(
        [result.loss_W.sum(), gains_W(result, area, e, np.array([300.0])).sum()], [net_W, net_W],
        within=CLOSED, because="exact once the rounds have ended",
        source="isothermal grey gas in a grey enclosure, Siegel and Howell (recalled)",
    )  # fmt: skip


def test_hot_gas_in_one_zone_warms_the_next() -> None:
    net = zones(np.array([[0.5, 0.5], [0.5, 0.5]]))
    faces, e = np.array([200.0, 200.0]), np.array([0.9, 0.9])
    together = settled(net, np.ones(2), e, faces, np.array([900.0, 200.0]), np.array([0.2, 0.0]))
    apart = settled(
        zones(np.eye(2), apart=True), np.ones(2), e, faces, np.array([900.0, 200.0]),
        np.array([0.2, 0.0]),
    )  # fmt: skip
    assert gains_W(together, np.ones(2), e, faces)[1] > 100.0
    assert abs(gains_W(apart, np.ones(2), e, faces)[1]) < 1e-6


def test_even_temperatures_exchange_nothing() -> None:
    net = zones(np.array([[0.4, 0.6], [0.2, 0.8]]))
    areas, e, faces = np.array([1.0, 3.0]), np.array([0.5, 0.9]), np.array([350.0, 350.0])
    result = settled(net, areas, e, faces, 350.0, np.array([0.3, 0.1]))
    black = STEFAN * 623.15**4
    assert np.abs(gains_W(result, areas, e, faces)).max() < CLOSED * black
    assert np.abs(result.loss_W).max() < CLOSED * black


def test_the_solvers_own_rounds_end_where_the_settled_ones_do() -> None:
    """Two rounds a pass: what is left shrinks by the square of the reflectance each time."""
    net = zones(np.array([[0.1, 0.9], [0.3, 0.7]]))
    areas, e, faces = np.array([1.0, 3.0]), np.array([0.85, 0.95]), np.array([450.0, 90.0])
    exact = settled(net, areas, e, faces, 800.0, 0.15)
    emitted = (e * STEFAN * (faces + 273.15) ** 4)[None, :, None]
    gas = np.full((1, 2, 1), 0.15)
    power = np.full((1, 2, 1), STEFAN * 1073.15**4)
    args = (net, areas, (1.0 - e)[None, :, None], emitted, gas, gas, power)
    first = exchange_radiation(*args, emitted)
    close(
        first.irradiation, exact.irradiation, within=0.03,
        because="two rounds of reflections up to 0.15 leave their square, 2.3 percent",
        source="the settled rounds above",
    )  # fmt: skip
    second = exchange_radiation(*args, first.irradiation)
    off = np.abs(second.irradiation - exact.irradiation).max()
    assert off < np.abs(first.irradiation - exact.irradiation).max()


def test_the_constant_is_that_of_the_exact_units() -> None:
    """sigma = 2 pi^5 k^4 / (15 h^3 c^2), all three exact since 2019."""
    exact = 2.0 * np.pi**5 * 1.380649e-23**4 / (15.0 * 6.62607015e-34**3 * 299792458.0**2)
    close(SIGMA, exact, within=2e-7, because="the constant is kept to seven digits",
          source="SI brochure, ninth edition: k, h and c (recalled)")  # fmt: skip


def test_a_call_leaves_the_square_of_the_reflectance() -> None:
    """A closed chamber that sees itself: each of two rounds leaves the reflected share."""
    net = zones(np.ones((1, 1)))
    reflectance = 0.3
    settled_W_m2 = 700.0 / (1.0 - reflectance)  # H = emitted + reflectance H
    nothing = np.zeros((1, 1, 1))
    found = exchange_radiation(
        net, np.ones(1), np.full((1, 1, 1), reflectance), np.full((1, 1, 1), 700.0), nothing,
        nothing, nothing, nothing,
    )  # fmt: skip
    close(1.0 - found.irradiation / settled_W_m2, reflectance**2, within=1e-9,
          because="a geometric series, exact", source="docstring of exchange_radiation")  # fmt: skip
