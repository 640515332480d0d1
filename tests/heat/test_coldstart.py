"""A first small fire along cold walls: heat content, the exponential law, limits."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from stovelint.heat import coldstart, films, gas
from stovelint.heat.coldstart import ColdWalls
from tests.heat.close import close


def walls(**change: Any) -> ColdWalls:
    usual: dict[str, Any] = dict(
        face_C=np.array([[20.0, 10.0]]), area_m2=np.array([1.2, 3.4]),
        height_m=np.array([0.5, 6.0]), section_m2=np.array([0.16, 0.0254]),
        diameter_m=np.array([0.4, 0.18]), flow_share=np.ones((1, 2)), duct=(False, True),
        roughness_m=0.002,
    )  # fmt: skip
    return ColdWalls(**(usual | change))


def along(cold: ColdWalls, start_C: float = 400.0, flow: float = 0.01, factor: float = 1.0) -> Any:
    members = len(cold.face_C)
    return coldstart.along_cold_walls_C(
        cold, np.full(members, start_C), np.full(members, flow), 4.0, 0.15,
        np.full(members, factor),
    )  # fmt: skip


def test_gas_that_holds_a_heat() -> None:
    """Inverse of the heat content; with all of its heat, the adiabatic flame of the notes."""
    for t in (20.0, 300.0, 900.0, 1400.0):
        heat = gas.enthalpy_J_kg(t, 2.0, 0.2) - gas.enthalpy_J_kg(15.0, 2.0, 0.2)
        found = coldstart.gas_with_heat_C(heat, 15.0, 2.0, 0.2)
        close(found, t, within=1e-9, because="Newton's steps come to rest",
              source="enthalpy of the same gas")  # fmt: skip
    # 503 degC: air ratio 4, 30 % of the heat lost; 15.6 MJ/kg over 21.2 kg/kg
    close(coldstart.gas_with_heat_C(0.7 * 15.6e6 / 21.2, 25.0, 4.0, 0.15), 503.0, within=0.01,
          because="heating value and gas mass are given to three digits",
          source="physics notes, table 1.2")  # fmt: skip


def test_one_element_is_the_exponential_law() -> None:
    """By hand, with the film at the mean temperature that is found."""
    cold = walls()
    means, outs = along(cold, factor=0.8)
    flow, t_in = 0.01, 400.0
    for e in range(2):
        face, mean = cold.face_C[0, e], float(means[0, e])
        h = float(films.vertical_wall_W_m2K(mean, face, cold.height_m[e]))
        if e:
            h = max(h, float(films.duct_W_m2K(flow, 0.0254, 0.18, mean, 0.002)))
        k = 0.8 * h * cold.area_m2[e] / (flow * float(gas.cp_J_kgK(mean, 4.0, 0.15)))
        close(outs[0, e], face + (t_in - face) * np.exp(-k), within=2e-3,
              because="the film's last round moves the gas by less than 0.5 K",
              source="exponential law by hand")  # fmt: skip
        close(mean, face + (t_in - face) * (1.0 - np.exp(-k)) / k, within=2e-3,
              because="the film's last round moves the gas by less than 0.5 K",
              source="mean of the exponential law by hand")  # fmt: skip
        t_in = float(outs[0, e])


def test_enough_rounds() -> None:
    cold = walls()
    found = along(cold)[0]
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(coldstart, "WARMING_ROUNDS", 40)
        settled = along(cold)[0]
    assert 0.0 < np.max(np.abs(found - settled)) < 0.5


def test_forced_flow_counts_in_ducts_only() -> None:
    """0.2 kg/s in a flue of 180 mm: forced flow cools more than free convection."""
    still = along(walls(duct=(False, False)), flow=0.2)[1][0, 1]
    forced = along(walls(), flow=0.2)[1][0, 1]
    assert forced < still - 5.0
    rough = along(walls(roughness_m=0.004), flow=0.2)[1][0, 1]
    assert rough < forced


def test_limits() -> None:
    cold = walls()
    _, through = along(walls(duct=(False, False)), flow=1e4)
    assert np.all(np.abs(through - 400.0) < 0.01)
    _, long = along(walls(area_m2=np.array([500.0, 500.0])))
    assert long[0].tolist() == pytest.approx([20.0, 10.0], abs=1e-6)
    half = along(walls(flow_share=np.full((1, 2), 0.5)), flow=0.02)
    assert half[0].tolist() == along(cold)[0].tolist()


def test_members_do_not_mix() -> None:
    two = walls(face_C=np.array([[20.0, 10.0], [25.0, 0.0]]), flow_share=np.ones((2, 2)))
    alone = walls(face_C=np.array([[25.0, 0.0]]))
    assert along(two)[0][1].tolist() == along(alone)[0][0].tolist()
    assert along(two)[0][0].tolist() == along(walls())[0][0].tolist()
