"""The plume over a fire that burns freely at the foot of a chamber: what it draws along."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from stovelint.heat.arrays import Floats, Numbers

_AIR = (9.81, 1.204, 1.006)  # m/s2, kg/m3, kJ/kgK of air at 20 degC
AIR_K = 293.15
_FAR = 0.196 * (_AIR[0] * _AIR[1] ** 2 / (_AIR[2] * AIR_K)) ** (1.0 / 3.0)
_HEAT = _AIR[0] ** 0.5 * _AIR[2] * _AIR[1] * AIR_K  # kW/m^(5/2), 1112
_NEAR = 2.9 * _FAR / _HEAT ** (2.0 / 3.0)
_DOWN = -1.02  # of the fire's diameter: where plume and flames begin, for a fire without heat
_ORIGIN, _TIPS = 1.4 / _HEAT**0.4, 3.7 / _HEAT**0.4  # m/kW^(2/5)


def flame_height_m(heat_W: Numbers, diameter_m: Numbers) -> Floats:
    """Mean height of the flames over the base of a fire that burns freely (m), at least 0.

    L = 0.224 Q^(2/5) - 1.02 D, Q in kW: all the heat released.

    heat_W: W, >= 0; diameter_m: of a round fire of the same area, m, > 0; broadcast. Range:
    Q / D^(5/2) of 7 to 700 kW/m^(5/2), in air of a room. Source: Heskestad, as in the reference
    manual of a public zone model (read).

    >>> print(f"{flame_height_m(100e3, 0.5):.2f}")
    0.90
    """
    kW = np.asarray(heat_W, dtype=np.float64) * 1e-3
    return np.asarray(np.maximum(_TIPS * kW**0.4 + _DOWN * np.asarray(diameter_m), 0.0))


def plume_flow_kg_s(
    heat_W: Numbers, rays: Numbers, height_m: Numbers, diameter_m: Numbers
) -> Floats:
    """Gas that rises in the plume at a height over the base of the fire (kg/s).

    Above the flames 0.0713 Qc^(1/3) (z - z0)^(5/3) + 0.00193 Qc, with z0 = 0.085 Q^(2/5) - 1.02 D
    and Qc = (1 - rays) Q, the heat the gas carries, in kW; below their tips in proportion to the
    height. Nil without heat and at the base.

    heat_W: all the heat released, W, >= 0; rays: share of it that leaves as radiation, -;
    height_m: m, >= 0; diameter_m: m, > 0; all broadcast. For surroundings of 20 degC; what is
    drawn from gas of T kelvin is 293 / T of it (density, and the plume's buoyancy). A fire in the
    open: at a wall 0.63, in a corner 0.40 of it. Source: Heskestad, as in the reference manual of
    a public zone model (read).

    >>> print(f"{plume_flow_kg_s(100e3, 0.3, 2.0, 0.5):.2f}")
    1.05
    """
    kW = np.asarray(heat_W, dtype=np.float64) * 1e-3
    carried = (1.0 - np.asarray(rays, dtype=np.float64)) * kW
    height = np.asarray(height_m, dtype=np.float64)
    tips = flame_height_m(heat_W, diameter_m)
    origin = _ORIGIN * kW**0.4 + _DOWN * np.asarray(diameter_m)
    at = np.maximum(height, tips)
    free = _FAR * np.cbrt(carried) * np.maximum(at - origin, 0.0) ** (5.0 / 3.0) + _NEAR * carried
    share = np.where(height < tips, height / np.maximum(tips, 1e-9), 1.0)
    return np.asarray(np.where(height > 0.0, free * share, 0.0), dtype=np.float64)
