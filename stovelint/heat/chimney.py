"""Gas cooling along a flue, the face of its wall, and the temperature at which water settles there.

All functions work on arrays that broadcast and have no state.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from stovelint.heat.arrays import Floats, Numbers

# IAPWS-IF97, region 4, saturation temperature from pressure (the "backward" equation), n1 to n10.
# Recalled; the tests hold them against CoolProp and against the three points that the release
# prints for the checking of programs (also recalled).
_N1, _N2, _N3 = 0.11670521452767e4, -0.72421316703206e6, -0.17073846940092e2
_N4, _N5, _N6 = 0.12020824702470e5, -0.32325550322333e7, 0.14915108613530e2
_N7, _N8, _N9 = -0.48232657361591e4, 0.40511340542057e6, -0.23855557567849
_N10 = 0.65017534844798e3

LEAST_VAPOUR_Pa = 611.213
"""Saturation pressure at 0 degC: drier gas leaves frost and no dew."""
MOST_VAPOUR_Pa = 22.064e6
ZERO_C_K = 273.15


def water_dew_point_C(x_h2o: Numbers, pressure_Pa: Numbers) -> Floats:
    """Temperature at which water begins to settle from flue gas (degC).

    Saturation temperature of the vapour's own pressure x p, by IAPWS-IF97 region 4:
    with b = (x p / 1 MPa)^(1/4), E = b^2 + n3 b + n6, F = n1 b^2 + n4 b + n7,
    G = n2 b^2 + n5 b + n8, D = 2 G / (-F - (F^2 - 4 E G)^(1/2)),
    T = {n10 + D - [(n10 + D)^2 - 4 (n9 + n10 D)]^(1/2)} / 2.

    x_h2o: mole fraction of vapour in the wet gas, -, 0..1; pressure_Pa: of the gas, Pa; they
    broadcast. Range: x p from 611 Pa (0 degC; drier gas is given as 0 degC, which no warm face is
    below) to 22 MPa. Water alone: acids and tar of smouldering wood settle at higher temperatures.
    Source: IAPWS-IF97 (recalled), referee in the tests: CoolProp.

    >>> print(f"{water_dew_point_C(0.088, 101325.0):.1f}")
    43.6
    >>> print(f"{water_dew_point_C(0.0, 101325.0):.1f}")
    0.0
    """
    vapour = np.clip(np.asarray(x_h2o, dtype=np.float64) * pressure_Pa, LEAST_VAPOUR_Pa,
                     MOST_VAPOUR_Pa)  # fmt: skip
    b = np.sqrt(np.sqrt(vapour * 1e-6))
    e = b * b + _N3 * b + _N6
    f = _N1 * b * b + _N4 * b + _N7
    g = _N2 * b * b + _N5 * b + _N8
    d = 2.0 * g / (-f - np.sqrt(f * f - 4.0 * e * g))
    root = np.sqrt((_N10 + d) ** 2 - 4.0 * (_N9 + _N10 * d))
    return np.asarray(0.5 * (_N10 + d - root) - ZERO_C_K)


def cooling_number(
    u_W_m2K: Numbers, inner_area_m2: Numbers, mass_flow_kg_s: Numbers, cp_J_kgK: Numbers
) -> Floats:
    """How often the gas could give its heat to the wall of a flue (-).

    K = U A / (m cp), A the inner area, perimeter times length.

    u_W_m2K: from gas to surroundings, on the inner area, W/m2K; inner_area_m2: m2;
    mass_flow_kg_s: kg/s, > 0; cp_J_kgK: J/kgK, > 0; all broadcast.
    Source: energy balance of plug flow (exact); in EN 13384-1 by the same letter (recalled).

    >>> print(f"{cooling_number(2.0, 3.39, 0.03, 1060.0):.3f}")
    0.213
    """
    return np.asarray(u_W_m2K * inner_area_m2 / (np.asarray(mass_flow_kg_s) * cp_J_kgK))


def cooled_C(
    t_in_C: Numbers, t_around_C: Numbers, cooling: Numbers
) -> tuple[Floats, Floats]:
    """Gas at the end of a flue, and its mean along the flue (degC, degC).

    T_out = T_u + (T_in - T_u) exp(-K); T_mean = T_u + (T_in - T_u) (1 - exp(-K)) / K.

    t_in_C, t_around_C: degC; cooling: K of `cooling_number`, -, >= 0; all broadcast. Holds for
    one U and one cp along the flue and no heat stored in its wall. Source: exact solution.

    >>> out, mean = cooled_C(200.0, 0.0, np.array([0.0, 1.0]))
    >>> out.round(1).tolist(), mean.round(1).tolist()
    ([200.0, 73.6], [200.0, 126.4])
    """
    around = np.asarray(t_around_C, dtype=np.float64)
    k = np.asarray(cooling, dtype=np.float64)
    step = t_in_C - around
    some = np.maximum(k, 1e-12)  # (1 - exp(-K)) / K is 1 to the last digit there
    return around + step * np.exp(-k), around - step * np.expm1(-some) / some


def inner_face_C(
    t_gas_C: Numbers, t_around_C: Numbers, u_W_m2K: Numbers, film_W_m2K: Numbers
) -> Floats:
    """Inner face of a flue wall that has warmed through (degC).

    T_face = T_gas - (U / h) (T_gas - T_u): the gas film's share of the resistance.

    t_gas_C, t_around_C: degC; u_W_m2K: from gas to surroundings, film_W_m2K: from gas to face,
    both on the inner area, W/m2K, U <= h; all broadcast. No heat stored: a wall that is still
    warming up is colder. Source: resistances in series (exact).

    >>> print(f"{inner_face_C(150.0, 0.0, 2.0, 12.0):.1f}")
    125.0
    """
    gas = np.asarray(t_gas_C, dtype=np.float64)
    return np.asarray(gas - u_W_m2K / np.asarray(film_W_m2K) * (gas - t_around_C))
