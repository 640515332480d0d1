"""Convection at surfaces and still air in gaps, as the correlations were published.

Air: viscosity by Sutherland's formula, conductivity by that of the standard atmosphere (ICAO/US
1976), specific heat by the NIST Shomate equations (all recalled). Flue gas: the project's physics
notes, table 2.1 (air ratio 2.95, moisture 15 %; computed with Cantera).
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from tests.referee.gas import AIR, mole_cp_J_kgK

Floats = NDArray[np.float64]

ZERO, GRAVITY, SIGMA = 273.15, 9.80665, 5.670374419e-8

_GRID_C = np.arange(-80.0, 2300.0, 5.0)
_KELVIN = _GRID_C + ZERO
_MU = 1.458e-6 * _KELVIN**1.5 / (_KELVIN + 110.4)
_K_AIR = 2.64638e-3 * _KELVIN**1.5 / (_KELVIN + 245.4 * 10.0 ** (-12.0 / _KELVIN))
_NU_AIR = _MU * _KELVIN / 352.98
_PR_AIR = _MU * mole_cp_J_kgK(AIR, _GRID_C) / _K_AIR

_FLUE_C = np.array([20.0, 60, 100, 200, 300, 400, 500, 600, 700, 800, 900, 1300])
# The last column goes on from 800 to 900 in a straight line.
_FLUE_MU = 1e-6 * np.array(
    [17.4, 19.2, 20.9, 25.0, 28.7, 32.1, 35.4, 38.4, 41.4, 44.2, 46.9, 57.7]
)
_FLUE_K = 1e-3 * np.array([25.3, 28.0, 30.8, 37.6, 44.3, 50.9, 57.4, 63.8, 70.0, 76.1, 82.1, 106.1])
_FLUE_CP = np.array([1032.0, 1040, 1048, 1069, 1093, 1119, 1148, 1176, 1201, 1222, 1240, 1312])


def air(t_C: Floats) -> tuple[Floats, Floats, Floats]:
    """Kinematic viscosity (m2/s), conductivity (W/mK), Prandtl number."""
    at = (t_C - _GRID_C[0]) / 5.0
    low = np.clip(at.astype(np.int64), 0, len(_GRID_C) - 2)
    part = at - low
    nu, k, pr = (
        table[low] + part * (table[low + 1] - table[low]) for table in (_NU_AIR, _K_AIR, _PR_AIR)
    )
    return nu, k, pr


def rayleigh(t_gas: Floats, t_face: Floats, length: Floats) -> tuple[Floats, Floats, Floats]:
    """Rayleigh number, conductivity, Prandtl number, all at the film temperature."""
    film = 0.5 * (t_gas + t_face)
    nu, k, pr = air(film)
    step = np.abs(t_gas - t_face)
    return GRAVITY * step * length**3 * pr / ((film + ZERO) * nu * nu), k, pr


def upright(t_gas: Floats, t_face: Floats, length: Floats) -> Floats:
    """Churchill and Chu (1975) for a vertical plate, all Rayleigh numbers."""
    ra, k, pr = rayleigh(t_gas, t_face, length)
    root = 0.825 + 0.387 * ra ** (1.0 / 6.0) / (1.0 + (0.492 / pr) ** (9.0 / 16.0)) ** (8.0 / 27.0)
    return root * root * k / length


def level(t_gas: Floats, t_face: Floats, length: Floats, *, up: bool) -> Floats:
    """McAdams (1954), length = area / perimeter: lively when a hot face looks up or a cold one
    down (the larger of 0.54 Ra^1/4 and 0.15 Ra^1/3), else 0.27 Ra^1/4."""
    ra, k, _ = rayleigh(t_gas, t_face, length)
    lively = (t_face > t_gas) == up
    nusselt = np.where(
        lively, np.maximum(0.54 * ra**0.25, 0.15 * ra ** (1.0 / 3.0)), 0.27 * ra**0.25
    )
    return nusselt * k / length


def duct(flow: Floats, area: Floats, diameter: Floats, t_gas: Floats, rough: float) -> Floats:
    """Gnielinski (1976) with Colebrook's rough friction from Re 4000, Nu 3.66 to Re 2300, straight
    in Re between (Gnielinski 2013)."""
    mu, k = np.interp(t_gas, _FLUE_C, _FLUE_MU), np.interp(t_gas, _FLUE_C, _FLUE_K)
    pr = mu * np.interp(t_gas, _FLUE_C, _FLUE_CP) / k
    re = flow * diameter / (area * mu)
    full = np.maximum(re, 4000.0)
    x = np.full_like(full, 5.0)  # f^(-1/2)
    for _ in range(8):
        x = -2.0 * np.log10(rough / (3.7 * diameter) + 2.51 * x / full)
    f8 = 0.125 / (x * x)
    turbulent = f8 * (full - 1000.0) * pr / (1.0 + 12.7 * np.sqrt(f8) * (pr ** (2.0 / 3.0) - 1.0))
    share = np.clip((re - 2300.0) / 1700.0, 0.0, 1.0)
    return np.asarray(((1.0 - share) * 3.66 + share * turbulent) * k / diameter)


def gap_R(
    t_hot: float, t_cold: float, width: float, e_hot: float, e_cold: float, height: float, lie: str
) -> float:
    """Resistance of a closed gap, m2K/W. `lie`: of the heat's way: "upright", "up", "down".

    Air: ISO 15099 between upright faces, Hollands (1976) over a hot floor, still under a hot
    ceiling. Radiation: two parallel grey planes.
    """
    ra_, k_, _ = rayleigh(np.asarray(t_hot), np.asarray(t_cold), np.asarray(width))
    ra, k = float(ra_), float(k_)
    nusselt = 1.0
    if lie == "upright":
        if ra > 5e4:
            first = 0.0673838 * ra ** (1.0 / 3.0)
        elif ra > 1e4:
            first = 0.028154 * ra**0.4134
        else:
            first = 1.0 + 1.7596678e-10 * ra**2.2984755
        nusselt = max(1.0, first, 0.242 * (ra * width / height) ** 0.272)
    elif lie == "up" and ra > 1708.0:
        nusselt = 1.0 + 1.44 * (1.0 - 1708.0 / ra) + max((ra / 5830.0) ** (1 / 3) - 1.0, 0.0)
    a, b = t_hot + ZERO, t_cold + ZERO
    rays = SIGMA * (a * a + b * b) * (a + b) / (1.0 / e_hot + 1.0 / e_cold - 1.0)
    return 1.0 / (nusselt * k / width + rays)
