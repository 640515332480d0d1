"""A port near the hot layer: what it draws from the crown, and that no heat is lost by it."""

from __future__ import annotations

import math

import numpy as np
import pytest

from stovelint.heat.bands import C_REF, Exchange
from stovelint.heat.gaspath import _short_kg_s, _still_kg_s
from stovelint.heat.network import Bell
from stovelint.heat.shortcut import hot_share
from tests.heat.close import close
from tests.heat.small import FIREBOX, drive
from tests.heat.test_gaspath import gas, heater, settled


def bell(outlet: int = 2, drop_m: float = 0.25) -> Bell:
    return Bell(
        zones=(1, 2, 3), inlets=((0, 1.0),), reach=(3.0, 3.0), drawn=(0.0, 0.0, 0.0),
        outlet=outlet, drop_m=drop_m,
    )  # fmt: skip


T_C = np.array([[[700.0], [600.0], [420.0], [300.0]]])
FLOW = np.array([[0.05]])


def test_a_port_draws_its_share_from_the_crown() -> None:
    """Of 50 g/s at 300 degC, 353 / 573.15 kg/m3: the volume it draws decides the share."""
    share = float(hot_share(0.05 * 573.15 / 353.0, 0.25, 600.0, 300.0))
    assert 0.05 < share < 0.95
    close(_short_kg_s(bell(), T_C, FLOW), [[0.05 * share]], within=1e-12,
          because="a product by hand", source="share of a port, tested on its own")  # fmt: skip


def test_a_port_at_the_crown_or_out_of_reach_makes_no_short_circuit() -> None:
    assert _short_kg_s(bell(outlet=0), T_C, FLOW).tolist() == [[0.0]]
    assert _short_kg_s(bell(drop_m=math.inf), T_C, FLOW).tolist() == [[0.0]]


@pytest.mark.parametrize("outlet", [1, 2])
@pytest.mark.parametrize("drop_m", [0.15, 0.25, math.inf])
def test_no_heat_is_lost_on_the_short_way(drop_m: float, outlet: int) -> None:
    net = heater([FIREBOX, bell(outlet, drop_m)], 4, (1.0, 1.0), ((1, 1.0),))
    g, walls = np.array([5.0, 12.0, 9.0, 7.0]), np.array([400.0, 200.0, 120.0, 80.0])
    found, taken, step = settled(net, drive([[15e3]], 0.05, peclet=3.0), gas(1e-3), g, walls)
    assert step < 1e-6
    close(taken + float(found.exit_W[0, 0]), 15e3, within=1e-6, because="settled to a millionth",
          source="first law of thermodynamics")  # fmt: skip


def test_the_short_way_brings_the_exit_nearer_to_the_crown() -> None:
    g, walls = np.array([0.5, 12.0, 9.0, 7.0]), np.array([400.0, 200.0, 120.0, 80.0])
    exits = []
    for drop_m in (0.1, 0.25, math.inf):
        net = heater([FIREBOX, bell(2, drop_m)], 4, (1.0, 1.0), ((1, 1.0),))
        found, _, _ = settled(net, drive([[15e3]], 0.05, peclet=50.0), gas(1e-3), g, walls)
        exits.append(float(found.exit_C[0, 0]))
    assert exits[0] > exits[1] + 1.0 and exits[1] > exits[2] + 1.0


def test_exchange_without_flow_is_a_share_of_what_convection_carries() -> None:
    """A tenth of sum(h A) / cp between layers a fifth of the height apart: a fifth of that between
    layers a whole height apart."""
    g = np.array([50.0, 5.0, 4.0, 3.0])[None, :, None]
    exchange = Exchange(g=2.0 * g, t_eq=g, g_convective=g)
    found = _still_kg_s(bell(), exchange, drive([[0.0]], 0.0, still_exchange=0.1))
    close(found, [[0.1 * 0.2 * 12.0 / C_REF]], within=1e-12, because="a product by hand",
          source="meaning of still_exchange")  # fmt: skip
