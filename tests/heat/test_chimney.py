"""Dew point, cooling along a flue and the face of its wall: tables, exact cases, limits."""

from __future__ import annotations

import fluids
import ht
import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI

from stovelint.heat import chimney, films, fuel
from tests.heat.close import close

NOTES = "physics notes 8 and table 1.2"


def test_dew_point_rows_of_the_notes() -> None:
    """Wood at 15 % moisture, air ratios 1 to 4; the row of section 8 is 43.6 degC at 0.088."""
    close(
        chimney.water_dew_point_C(0.088, 101325.0), 43.6, within=0.05, unit="K",
        because="printed to one decimal", source=NOTES,
    )  # fmt: skip
    ratios = np.array([1.0, 1.2, 1.5, 2.0, 2.5, 2.95, 3.5, 4.0])
    _, x_h2o = fuel.flue_gas_fractions("hardwood", 0.15, ratios)
    close(
        chimney.water_dew_point_C(x_h2o, 101325.0),
        [55.8, 52.6, 48.6, 43.6, 39.6, 36.8, 33.8, 31.6],
        within=0.2, unit="K",
        because="their gas has 0.35 % less mass and argon apart, 0.1 K, and one decimal",
        source=NOTES,
    )  # fmt: skip


@pytest.mark.parametrize("pressure_Pa", [70000.0, 101325.0])
def test_dew_point_is_that_of_steam(pressure_Pa: float) -> None:
    x = np.array([0.0095, 0.02, 0.05, 0.088, 0.162, 0.4, 1.0])
    steam = [PropsSI("T", "P", one * pressure_Pa, "Q", 1, "Water") - 273.15 for one in x]
    close(
        chimney.water_dew_point_C(x, pressure_Pa), steam, within=0.003, unit="K",
        because="the two formulations of IAPWS agree to 2 mK below 100 degC",
        source="CoolProp 8.0.0, saturation of water",
    )  # fmt: skip


def test_points_for_checking_programs() -> None:
    close(
        chimney.water_dew_point_C(1.0, np.array([1e5, 1e6, 1e7])) + 273.15,
        [372.755919, 453.035632, 584.149488],
        within=1e-8,
        because="printed to nine digits",
        source="IAPWS-IF97, table 36 (recalled)",
    )


def test_dry_gas_has_no_dew_over_freezing_and_the_range_ends_at_the_critical_point() -> None:
    assert chimney.LEAST_VAPOUR_Pa == 611.213 and chimney.MOST_VAPOUR_Pa == 22.064e6
    edge = 611.213 / 101325.0
    x = np.array([0.0, 0.5 * edge, edge])
    assert np.all(np.abs(chimney.water_dew_point_C(x, 101325.0)) < 1e-4)
    assert float(chimney.water_dew_point_C(1.02 * edge, 101325.0)) > 0.2
    beyond = chimney.water_dew_point_C(1.0, np.array([22.064e6, 30e6]))
    close(beyond, [373.946, 373.946], within=1e-5, because="six printed digits",
          source="IAPWS critical point, 647.096 K")  # fmt: skip


def test_gas_gives_its_heat_to_the_wall() -> None:
    """Energy: what the gas loses is U A times its mean step over the surroundings."""
    u, area, flow, cp = 2.3, 3.4, 0.03, 1070.0
    k = chimney.cooling_number(u, area, flow, cp)
    close(k, 0.243614, within=1e-5, because="six digits by hand", source="2.3 * 3.4 / 32.1")
    out, mean = chimney.cooled_C(210.0, -4.0, k)
    close(flow * cp * (210.0 - out), u * area * (mean + 4.0), within=1e-12,
          because="both sides of one balance", source="energy of plug flow")  # fmt: skip
    # against marching: 20000 slices of the same flue
    t = 210.0
    for _ in range(20000):
        t -= float(k) / 20000.0 * (t + 4.0)
    close(out, t, within=1e-5, because="explicit steps of 1/20000", source="Euler's steps")


def test_limits_of_cooling() -> None:
    out, mean = chimney.cooled_C(200.0, 20.0, np.array([0.0, 1e-9, 1.0, 700.0]))
    assert out[0] == 200.0 and mean[0] == pytest.approx(200.0, abs=1e-9)
    assert mean[1] == pytest.approx(200.0, abs=1e-6)
    close(out[2], 20.0 + 180.0 / np.e, within=1e-12, because="the same closed form",
          source="definition of e")  # fmt: skip
    close(mean[2], 20.0 + 180.0 * (1.0 - 1.0 / np.e), within=1e-12, because="the same closed form",
          source="integral of exp(-x), 0 to 1")  # fmt: skip
    assert out[3] == pytest.approx(20.0) and mean[3] == pytest.approx(20.0 + 180.0 / 700.0)


def test_face_of_a_wall_warmed_through() -> None:
    """Gas 400 degC h 30, fireclay, gap, brick, room 20 degC h 9.5: U = 1.7241, q = 655.1 W/m2."""
    face = chimney.inner_face_C(400.0, 20.0, 1.7241, 30.0)
    close(face, 400.0 - 655.1 / 30.0, within=2e-5, because="U is given to five digits",
          source="physics notes 4, multilayer steady")  # fmt: skip
    bare = chimney.inner_face_C(150.0, 0.0, 12.0, 12.0)
    assert float(bare) == 0.0  # no wall and no outer film: the face is at outdoors
    assert float(chimney.inner_face_C(150.0, 0.0, 0.0, 12.0)) == 150.0


def test_flue_rows_of_the_notes_and_why_not_dittus_boelter() -> None:
    """Flue Nu 39.7 rough (Gnielinski), 30.4 (Dittus-Boelter) at 400 degC, Re 9081, 2 mm in 0.18 m.

    Dittus and Boelter know no roughness and begin at Re 1e4: a masonry flue lies under it and
    its wall is rough, so that formula gives a quarter too little. The film in use is Gnielinski's.
    """
    friction = fluids.friction_factor(Re=9081.0, eD=0.0111)
    rough = ht.turbulent_Gnielinski(Re=9081.0, Pr=0.709, fd=friction)
    smooth = ht.turbulent_Dittus_Boelter(Re=9081.0, Pr=0.709, heating=False)
    source = "physics notes 8, row flue Nu"
    close(rough, 39.7, within=0.005, because="three digits, Pr 0.701 to 0.713", source=source)
    close(smooth, 30.4, within=0.005, because="three digits, Pr 0.701 to 0.713", source=source)
    in_use = films.duct_W_m2K(0.0525, 0.18**2, 0.18, 400.0, 0.002) * 0.18 / 0.0509
    close(in_use, rough, within=0.015, because="Haaland for Colebrook, gas data 0.5 %",
          source="ht turbulent_Gnielinski with fluids friction_factor")  # fmt: skip
    assert smooth < 0.78 * in_use
