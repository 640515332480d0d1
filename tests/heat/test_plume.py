"""The plume over a fire against its published formula, written out with the air it is made for."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from stovelint.heat.plume import flame_height_m, plume_flow_kg_s
from tests.heat.close import close

SOURCE = "Heskestad, as in the reference manual of a public zone model (read)"
G, CP, RHO, AIR_K = 9.80665, 1.0065, 1.2041, 293.15  # m/s2, kJ/kgK, kg/m3, K: air at 20 degC


def published_kg_s(kW: float, rays: float, height_m: float, diameter_m: float) -> float:
    """As printed: 0.196 (g rho^2 / cp T)^(1/3) Qc^(1/3) Z^(5/3) (1 + 2.9 Qc^(2/3) / (...))."""
    carried = (1.0 - rays) * kW
    shape = kW / (RHO * CP * AIR_K * G**0.5 * diameter_m**2.5)  # Q*
    origin = diameter_m * (-1.02 + 1.4 * shape**0.4)
    tips = diameter_m * (-1.02 + 3.7 * shape**0.4)

    def free(z: float) -> float:
        over = (z - origin) ** (5.0 / 3.0)
        scale = (G**0.5 * CP * RHO * AIR_K) ** (2.0 / 3.0)
        return float(
            0.196 * (G * RHO**2 / (CP * AIR_K)) ** (1.0 / 3.0) * carried ** (1.0 / 3.0) * over
            * (1.0 + 2.9 * carried ** (2.0 / 3.0) / (scale * over))
        )

    return free(height_m) if height_m >= tips else free(tips) * height_m / tips


@pytest.mark.parametrize("kW", [2.5, 62.9, 200.0])
@pytest.mark.parametrize("height_m", [0.3, 1.0, 2.0, 4.3])
@pytest.mark.parametrize("rays", [0.0, 0.3])
def test_plume_is_the_published_one(kW: float, height_m: float, rays: float) -> None:
    diameter = 0.1 if kW < 10.0 else 0.5
    close(plume_flow_kg_s(1e3 * kW, rays, height_m, diameter),
          published_kg_s(kW, rays, height_m, diameter), within=0.002,
          because="air at 20 degC given to one digit more",
          source=SOURCE)  # fmt: skip


@pytest.mark.parametrize(("kW", "diameter_m"), [(100.0, 0.5), (1000.0, 1.0), (20.0, 0.3)])
def test_flames_are_as_high_as_published(kW: float, diameter_m: float) -> None:
    shape = kW / (RHO * CP * AIR_K * G**0.5 * diameter_m**2.5)
    close(flame_height_m(1e3 * kW, diameter_m), diameter_m * (-1.02 + 3.7 * shape**0.4),
          within=0.002, because="air at 20 degC given to one digit more",
          source=SOURCE)  # fmt: skip


def test_a_low_wide_fire_has_no_flames_to_speak_of() -> None:
    assert flame_height_m(1000.0, 1.0) == 0.0
    assert flame_height_m(np.array([0.0, 500e3]), 0.5).tolist()[0] == 0.0


def test_nothing_rises_without_heat_or_at_the_base() -> None:
    assert plume_flow_kg_s(0.0, 0.3, 2.0, 0.5) == 0.0
    assert plume_flow_kg_s(100e3, 0.3, 0.0, 0.5) == 0.0


@given(kW=st.floats(1.0, 500.0), rays=st.floats(0.0, 0.4), diameter=st.floats(0.1, 0.8))
def test_the_plume_grows_on_its_way(kW: float, rays: float, diameter: float) -> None:
    flow = plume_flow_kg_s(1e3 * kW, rays, np.linspace(0.0, 5.0, 101), diameter)
    assert (np.diff(flow) >= -1e-12).all()
    tips = float(flame_height_m(1e3 * kW, diameter))
    if tips > 0.01:  # continuous at the tips
        below, above = plume_flow_kg_s(1e3 * kW, rays, np.array([0.9999, 1.0001]) * tips, diameter)
        assert abs(above - below) < 1e-3 * above
