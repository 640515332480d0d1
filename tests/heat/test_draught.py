"""Draught, friction and single losses: rows of the notes, `fluids`, exact cases and limits."""

from __future__ import annotations

from typing import Any

import fluids
import fluids.fittings as fittings
import numpy as np
import pytest
from fluids.atmosphere import ATMOSPHERE_1976

from stovelint.heat import draught
from stovelint.heat.draught import Resistances
from tests.heat.close import close

NOTES = "physics notes 6"
P0 = 101325.0


def flue(**change: Any) -> Resistances:
    usual: dict[str, Any] = dict(
        zeta=np.zeros(1), length_m=np.array([6.0]), diameter_m=np.array([0.18]),
        area_m2=np.array([np.pi * 0.09**2]), flow_share=np.ones((1, 1)), roughness_m=0.002,
    )  # fmt: skip
    return Resistances(**(usual | change))


def test_pressure_of_the_standard_atmosphere() -> None:
    z = np.array([-400.0, 0.0, 195.0, 1500.0, 3000.0, 6000.0])
    above = 6356766.0 * z / (6356766.0 - z)  # the formula is for geopotential height
    close(draught.air_pressure_Pa(z), [ATMOSPHERE_1976(one).P for one in above], within=2e-5,
          because="constants to six digits", source="fluids ATMOSPHERE_1976")  # fmt: skip
    close(draught.air_pressure_Pa(2000.0), 79495.0, within=2e-5, because="five printed digits",
          source="ISO 2533 table (recalled)")  # fmt: skip
    assert float(draught.air_pressure_Pa(0.0)) == P0 == draught.SEA_LEVEL_Pa


def test_density_of_dry_air() -> None:
    t = np.array([20.0, 100.0, 400.0])
    close(draught.density_kg_m3(t, P0), [1.2046, 0.9459, 0.5242], within=8e-4,
          because="353 for 352.98 and a real gas at 20 degC",
          source="physics notes, air properties")  # fmt: skip
    assert float(draught.density_kg_m3(0.0, P0)) == 353.0 / 273.15
    close(draught.density_kg_m3(20.0, 0.9 * P0) / draught.density_kg_m3(20.0, P0), 0.9,
          within=1e-12, because="proportional to pressure", source="gas law")  # fmt: skip


def test_draught_rows_of_the_notes() -> None:
    """6 m over air at 0 degC: 23.2 Pa at 120 degC mean, 32.2 Pa at 200 degC."""
    found = draught.static_draught_Pa(6.0, 0.0, np.array([120.0, 200.0]), P0)
    close(found, [23.2, 32.2], within=0.002, because="three printed digits", source=NOTES)


def test_draught_changes_sign_and_adds_up() -> None:
    def pull(rise_m: float, gas_C: float, outdoors_C: float = 5.0, p: float = P0) -> float:
        return float(draught.static_draught_Pa(rise_m, outdoors_C, gas_C, p))

    assert pull(3.0, 5.0) == 0.0
    assert pull(3.0, 150.0) > 0.0 > pull(-3.0, 150.0) == -pull(3.0, 150.0)
    assert pull(3.0, -10.0) < 0.0  # colder than outdoors: pushes back
    assert pull(2.0, 150.0) + pull(1.0, 150.0) == pytest.approx(pull(3.0, 150.0), rel=1e-12)
    assert pull(3.0, 150.0, p=0.8 * P0) == pytest.approx(0.8 * pull(3.0, 150.0), rel=1e-12)


def test_friction_row_of_the_notes() -> None:
    close(draught.friction_factor(9081.0, 0.0111), 0.0447, within=0.002,
          because="three printed digits", source="physics notes 8, friction")  # fmt: skip


@pytest.mark.parametrize("roughness", [0.0, 0.001, 0.0111, 0.05])
def test_friction_is_colebrook(roughness: float) -> None:
    re = np.array([4000.0, 9081.0, 3e4, 1e6])
    exact = [fluids.friction_factor(Re=one, eD=roughness) for one in re]
    close(draught.friction_factor(re, roughness), exact, within=1e-7,
          because="the same equation, both solved to the last digits",
          source="fluids friction_factor (Colebrook)")  # fmt: skip


def test_slow_gas_is_laminar_and_nothing_jumps() -> None:
    re = np.array([1.0, 64.0, 2040.0, 2300.0])
    close(draught.friction_factor(re, 0.0111), 64.0 / re, within=1e-12,
          because="the same closed form", source="Hagen and Poiseuille, round pipe")  # fmt: skip
    assert (draught.LAMINAR, draught.TURBULENT) == (2300.0, 4000.0)
    calm, rough = 64.0 / 2300.0, float(draught.friction_factor(4000.0, 0.0111))
    close(draught.friction_factor(2725.0, 0.0111), 0.75 * calm + 0.25 * rough, within=1e-12,
          because="a quarter of the way", source="straight line between the two")  # fmt: skip
    fine = draught.friction_factor(np.linspace(100.0, 8000.0, 20000), 0.0111)
    assert np.all(np.abs(np.diff(fine[2000:])) < 1e-4)


def test_widening_narrowing_and_their_limits() -> None:
    for narrow in (0.05, 0.1, 0.15, 0.19):
        ratio = (narrow / 0.2) ** 2
        close(draught.widening(ratio), fittings.diffuser_sharp(narrow, 0.2), within=1e-9,
              because="the same closed form",
              source="fluids diffuser_sharp (Borda-Carnot)")  # fmt: skip
        close(draught.narrowing(ratio), fittings.contraction_conical_Crane(0.2, narrow, l=1e-9),
              within=1e-6, because="a cone of no length",
              source="fluids contraction_conical_Crane")  # fmt: skip
        # another published form
        assert abs(float(draught.narrowing(ratio)) - fittings.contraction_sharp(0.2, narrow)) < 0.13
    assert float(draught.widening(0.0)) == 1.0 and float(draught.widening(1.0)) == 0.0
    assert float(draught.narrowing(0.0)) == 0.5 and float(draught.narrowing(1.0)) == 0.0
    assert float(draught.narrowing(0.5)) == 0.25
    assert abs(0.5 - fittings.entrance_sharp()) < 0.09


def test_sharp_bends() -> None:
    angles = np.array([20.0, 45.0, 90.0, 120.0])
    close(draught.sharp_bend(angles), [fittings.bend_miter(one) for one in angles], within=3e-3,
          because="coefficients rounded to two decimals",
          source="fluids bend_miter (Rennels)")  # fmt: skip
    assert float(draught.sharp_bend(0.0)) == 0.0


def test_chimney_rows_of_the_notes() -> None:
    """0.0525 kg/s at 150 degC over 6 m: D 0.18 v 2.47 m/s, f 0.043, 3.6 Pa, head 2.6 Pa; D 0.15:
    9.4 and 5.3 Pa."""
    flow, t = np.array([[0.0525]]), np.full((1, 1, 1), 150.0)
    heads, rubs = [], []
    for diameter in (0.18, 0.15):
        size = dict(diameter_m=np.array([diameter]), area_m2=np.array([np.pi / 4 * diameter**2]))
        rubs.append(draught.losses_Pa(flue(**size), flow, t, P0).item())
        one_head = flue(zeta=np.ones(1), length_m=np.zeros(1), **size)
        heads.append(draught.losses_Pa(one_head, flow, t, P0).item())
    close(rubs, [3.6, 9.4], within=0.02, because="two printed digits", source=NOTES)
    close(heads, [2.6, 5.3], within=0.02, because="two printed digits", source=NOTES)
    speed = 0.0525 / (np.pi * 0.09**2 * float(draught.density_kg_m3(150.0, P0)))
    close(speed, 2.47, within=0.003, because="three printed digits", source=NOTES)


def test_losses_by_hand_with_fluids() -> None:
    """Two members, two elements, two samples: a cold inlet and a hot flue, by the book."""
    way = Resistances(
        zeta=np.array([1.5, 0.7]), length_m=np.array([0.0, 4.0]), diameter_m=np.array([1.0, 0.2]),
        area_m2=np.array([0.01, 0.03]), flow_share=np.array([[0.9], [0.5]]), roughness_m=0.002,
    )  # fmt: skip
    flow = np.array([[0.03, 0.06], [0.04, 0.05]])
    t = np.stack([np.full((2, 2), 20.0), np.array([[150.0, 300.0], [200.0, 250.0]])], axis=1)
    found = draught.losses_Pa(way, flow, t, 95000.0)
    assert found.shape == (2, 2, 2)
    for m in range(2):
        for n in range(2):
            for e, (zeta, length, d, area, share) in enumerate(
                [(1.5, 0.0, 1.0, 0.01, 0.9), (0.7, 4.0, 0.2, 0.03, 0.5)]
            ):
                kelvin = t[m, e, n] + 273.15
                rho = 353.0 / kelvin * 95000.0 / P0
                mu = 1.458e-6 * kelvin**1.5 / (kelvin + 110.4)  # Sutherland
                v = flow[m, n] * share / (rho * area)
                f = fluids.friction_factor(Re=rho * v * d / mu, eD=0.002 / d)
                by_hand = (zeta + f * length / d) * rho * v * v / 2.0
                close(found[m, e, n], by_hand, within=0.003,
                      because="viscosity by Sutherland differs by 1 %, a tenth of it in f",
                      source="Darcy-Weisbach with fluids friction_factor")  # fmt: skip


def test_no_flow_costs_nothing() -> None:
    lost = draught.losses_Pa(flue(), np.zeros((1, 2)), np.full((1, 1, 2), 100.0), P0)
    assert lost.tolist() == [[[0.0, 0.0]]]


def test_flow_that_the_draught_carries() -> None:
    way = flue(zeta=np.array([2.5]))
    flow, t = np.array([[0.05, 0.05, 0.05, 0.004]]), np.full((1, 1, 4), 150.0)
    pull = np.array([[5.0, 20.0, 60.0, 0.05]])
    share = draught.carried_share(way, pull, flow, t, P0)
    back = draught.losses_Pa(way, share * flow, t, P0).sum(axis=1)
    close(back, pull, within=1e-5, because="a fixed point, solved", source="its own balance")
    assert share[0, 0] < 1.0 < share[0, 1]
    assert np.all(draught.carried_share(way, np.array([[0.0, -3.0, 0.0, -1.0]]), flow, t, P0) == 0)


def test_all_elements_share_the_draught() -> None:
    """Two heads in one element carry as much as one head in each of two."""
    flow, t, pull = np.array([[0.05]]), np.full((1, 2, 1), 150.0), np.array([[30.0]])
    two = flue(zeta=np.array([1.0, 1.0]), length_m=np.zeros(2), diameter_m=np.full(2, 0.18),
               area_m2=np.full(2, 0.0254), flow_share=np.ones((2, 1)))  # fmt: skip
    one = flue(zeta=np.array([2.0]), length_m=np.zeros(1), area_m2=np.array([0.0254]))
    close(draught.carried_share(two, pull, flow, t, P0),
          draught.carried_share(one, pull, flow, t[:, :1], P0), within=1e-12,
          because="the same sum", source="losses in a row add up")  # fmt: skip


def test_carrying_laminar_flow_settles_too() -> None:
    way = flue(diameter_m=np.array([0.05]))
    flow, t = np.array([[0.002]]), np.full((1, 1, 1), 60.0)
    pull = draught.losses_Pa(way, 0.3 * flow, t, P0).sum(axis=1)
    share = draught.carried_share(way, pull, flow, t, P0)
    close(share, 0.3, within=1e-3, because="each round halves the error of laminar flow",
          source="the flow that the loss was made with")  # fmt: skip
