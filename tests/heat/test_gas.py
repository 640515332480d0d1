"""Heat content of flue gas against tables and against adiabatic flame temperatures."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from stovelint.heat import fuel, gas
from tests.heat.close import close

CANTERA = "Cantera 3.2.0, gri30, dry wood as CHON with dry air of N2, O2 and Ar"
T_ROWS = np.array([20, 60, 100, 200, 300, 400, 500, 600, 700, 800, 900], dtype=float)


def test_flue_gas_specific_heat_rows() -> None:
    close(
        gas.cp_J_kgK(T_ROWS, 2.95),
        [1025.5, 1033.3, 1041.3, 1062.4, 1086.0, 1112.1, 1139.9, 1167.7, 1193.0, 1213.4, 1231.6],
        within=0.0025,
        because="polynomials good to 0.3 % each, errors of opposite sign in the mix",
        source=CANTERA + ", air ratio 2.95",
    )


def test_rich_and_lean_gas_and_wet_wood() -> None:
    t = np.array([100.0, 400.0, 800.0, 1200.0, 1500.0])
    for ratio, moisture, expected in (
        (1.0, 0.15, [1089.5, 1186.5, 1309.3, 1389.8, 1432.4]),
        (2.0, 0.15, [1054.1, 1131.9, 1238.8, 1306.6, 1342.3]),
        (4.0, 0.15, [1033.9, 1100.7, 1198.7, 1259.1, 1290.9]),
        (2.95, 0.25, [1048.3, 1120.0, 1222.8, 1287.5, 1321.9]),
    ):
        close(
            gas.cp_J_kgK(t, ratio, moisture),
            expected,
            within=0.004,
            because="polynomials good to 0.3 %, errors of opposite sign in the mix",
            source=CANTERA,
        )


def test_endless_air_is_air() -> None:
    close(
        gas.cp_J_kgK(T_ROWS, 1.0e6),
        [1006, 1008, 1011, 1025, 1045, 1069, 1092, 1115, 1136, 1154, 1171],
        within=0.005,
        because="fitted to 0.3 % of gri30; CoolProp's real air 0.2 % above it",
        source="CoolProp 8.0.0, Air",
    )


def flame_C(air_ratio: float, share_of_heat: float) -> float:
    """Temperature at which the gas holds this share of the heating value (from 25 degC)."""
    heat = fuel.net_calorific_J_kg("hardwood", 0.15) / fuel.flue_gas_kg_kg(
        "hardwood", 0.15, air_ratio
    )
    t = np.linspace(0.0, 1600.0, 3201)
    above_25 = gas.enthalpy_J_kg(t, air_ratio) - gas.enthalpy_J_kg(25.0, air_ratio)
    return float(np.interp(share_of_heat * heat, above_25, t))


@pytest.mark.parametrize(
    ("air_ratio", "adiabatic_C", "lossy_C"),
    [(1.5, 1482, 1086), (2.0, 1202, 877), (2.5, 1013, 738), (2.95, 888, 646), (3.5, 774, 562),
     (4.0, 693, 503)],
)
def test_flame_temperatures_without_dissociation(
    air_ratio: float, adiabatic_C: float, lossy_C: float
) -> None:
    close(
        [flame_C(air_ratio, 1.0), flame_C(air_ratio, 0.7)],
        [adiabatic_C, lossy_C],
        within=0.0075,
        because="fitted to 0.3 %; at 1.5 dissociation, left out, takes 0.45 %",
        source="combustion table, " + CANTERA + " in equilibrium",
    )


@given(
    t=st.floats(-20.0, 1500.0), ratio=st.floats(1.0, 8.0), moisture=st.floats(0.0, 0.5)
)
def test_heat_content_is_the_integral_of_specific_heat(
    t: float, ratio: float, moisture: float
) -> None:
    step = 1.0
    slope = (
        gas.enthalpy_J_kg(t + step, ratio, moisture) - gas.enthalpy_J_kg(t - step, ratio, moisture)
    ) / (2.0 * step)
    assert abs(slope / gas.cp_J_kgK(t, ratio, moisture) - 1.0) < 1e-5
    assert gas.enthalpy_J_kg(0.0, ratio, moisture) == 0.0


def test_broadcasts_members_against_time() -> None:
    t = np.linspace(0.0, 1000.0, 7)
    ratio = np.array([[1.5], [3.0]])
    w = np.array([[0.1], [0.3]])
    both = gas.cp_J_kgK(t, ratio, w)
    assert both.shape == (2, 7)
    assert np.array_equal(both[1], gas.cp_J_kgK(t, 3.0, 0.3))
