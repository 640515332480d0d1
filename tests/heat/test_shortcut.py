"""A port near the hot gas under a crown: the law, its limits, and the balance of a bell."""

from __future__ import annotations

import math

import numpy as np
import pytest

from stovelint.heat.network import Bell, Way
from stovelint.heat.shortcut import LEAST_STEP_K, UNHEEDED, hot_share
from tests.heat.close import close
from tests.heat.small import FIREBOX, drive
from tests.heat.test_gaspath import gas, heater, settled

LAW = "physics notes 3.2, short circuit of a port: exp(-(Fr/2)^2) from its own layer"


def test_by_hand() -> None:
    """V 0.05 m3/s, 0.3 m under gas 100 K hotter than 350 degC (623.15 K):

    Fr^2 = 0.0025 / (9.80665 * 0.00243 * 100 / 623.15) = 0.65372, exp(-0.16343) = 0.84922.
    """
    drawn = 1.0 - 0.84922
    close(hot_share(0.05, 0.3, 450.0, 350.0), (drawn - 0.005) / 0.995, within=1e-4,
          because="the hand reckoning has five digits", source=LAW)  # fmt: skip


def test_share_goes_with_flow_and_against_distance_and_step() -> None:
    """To the same Froude number belongs the same share."""
    base = float(hot_share(0.04, 0.3, 500.0, 300.0))
    same = [
        hot_share(0.04 * 2.0**2.5, 0.6, 500.0, 300.0),  # d^5 against V^2
        hot_share(0.08, 0.3, 1100.0, 300.0),  # four times the step, twice the flow
    ]
    close(same, [base, base], within=1e-9, because="powers of two are exact but for rounding",
          source="similarity, Fr^2 = V^2 T / (g d^5 dT)")  # fmt: skip
    hotter = hot_share(0.04, 0.3, 2.0 * 573.15 - 273.15 + 400.0, 2.0 * 573.15 - 273.15)
    close(hotter, base, within=1e-9, because="twice T and twice dT leave Fr alone",
          source="similarity, Fr^2 = V^2 T / (g d^5 dT)")  # fmt: skip


def test_limits() -> None:
    assert float(hot_share(0.1, 3.0, 600.0, 300.0)) == 0.0  # far below: none, not a trace
    assert float(hot_share(0.05, 0.01, 400.0, 350.0)) == 1.0  # in it: all
    just = math.sqrt(-math.log1p(-UNHEEDED) * 4.0 * 9.80665 * 0.3**5 * 100.0 / 623.15)
    assert float(hot_share(just * (1.0 - 1e-9), 0.3, 450.0, 350.0)) == 0.0
    assert 0.0 < float(hot_share(just * 1.001, 0.3, 450.0, 350.0)) < 2e-5  # no jump
    same = hot_share(0.05, 0.3, 350.0 + LEAST_STEP_K, 350.0)
    assert float(hot_share(0.05, 0.3, 300.0, 350.0)) == float(same)  # no step, no quotient


def bell(drop_m: float, outlet: int = 2) -> Bell:
    return Bell(
        zones=(1, 2, 3), inlets=((0, 1.0),), reach=(3.0, 3.0), drawn=(0.0, 0.0, 0.0), outlet=outlet,
        drop_m=drop_m,
    )  # fmt: skip


@pytest.mark.parametrize("outlet", [1, 2])
@pytest.mark.parametrize("drop_m", [0.05, 0.2, 0.25, 0.5])
def test_a_bell_that_goes_short_keeps_its_heat(drop_m: float, outlet: int) -> None:
    ways: list[Way] = [FIREBOX, bell(drop_m, outlet)]
    what = drive([[9000.0]], 0.015, peclet=1.0, entrainment=0.0)
    net = heater(ways, 4, (1.0, 1.0), ((1, 1.0),))
    g, wall = np.array([1e-9, 4.0, 4.0, 4.0]), np.full(4, 90.0)
    result, taken, step = settled(net, what, gas(), g, wall, rounds=6000)
    assert step < 1e-6
    close(taken + float(result.exit_W[0, 0]), 9000.0, within=1e-6,
          because="the march has come to rest within 1e-6 K", source="first law of thermodynamics"
          )  # fmt: skip


def test_what_leaves_is_mixed_from_crown_and_port() -> None:
    """No mixing between bands, two bands: the crown gives the share s at its outlet temperature,
    the rest passes the lower band, which gets less gas: NTU there grows to g / ((1 - s) m cp)."""
    ways: list[Way] = [
        FIREBOX,
        Bell(zones=(1, 2), inlets=((0, 1.0),), reach=(2.0,), drawn=(0.0, 0.0), outlet=1,
             drop_m=0.15),
    ]  # fmt: skip
    m, cp, wall, g = 0.015, 1100.0, 90.0, 6.0
    net = heater(ways, 3, (1.0, 1.0), ((1, 1.0),))
    what = drive([[9000.0]], m, peclet=1e9)
    result, _, _ = settled(
        net, what, gas(), np.array([1e-9, g, g]), np.full(3, wall), rounds=4000
    )
    t_in, crown, low = (float(t) for t in result.t_C[0, :, 0])
    s = float(hot_share(m * (low + 273.15) / 353.0, 0.15, crown, low))
    assert 0.05 < s < 0.95
    top_out = wall + (t_in - wall) * math.exp(-g / (m * cp))
    low_out = wall + (top_out - wall) * math.exp(-g / ((1.0 - s) * m * cp))
    close(result.exit_C[0, 0], s * top_out + (1.0 - s) * low_out, within=2e-4,
          because="a billionth of mixing is left, and cp grows by 1e-4 J/kgK per kelvin",
          source="two plugs in a row with a bypass")  # fmt: skip


def test_a_port_in_the_crown_and_one_with_no_crown_near_draw_nothing_short() -> None:
    what = drive([[9000.0]], 0.015)
    g, wall = np.array([1e-9, 4.0, 4.0, 4.0]), np.full(4, 90.0)
    for near, far in ((bell(0.05, 0), bell(math.inf, 0)), (bell(9.0), bell(math.inf))):
        found = [
            settled(heater([FIREBOX, b], 4, (1.0, 1.0), ((1, 1.0),)), what, gas(), g, wall)[0]
            for b in (near, far)
        ]
        assert np.array_equal(found[0].t_C, found[1].t_C)
