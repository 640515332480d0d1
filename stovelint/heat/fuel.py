"""Wood as a fuel: heating value, air it needs, gas it makes, and how fast a load burns.

Masses are per kilogram of wood *as fired* (moist). Moisture is wet basis: mass of water over mass
of moist wood.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal, NamedTuple

import numpy as np

if TYPE_CHECKING:
    from stovelint.heat.arrays import Floats, Numbers

Kind = Literal["hardwood", "softwood"]

_C, _H, _O, _N = 12.011e-3, 1.008e-3, 15.999e-3, 14.007e-3  # kg/mol
_WATER = 18.015e-3
_AIR_PER_O2 = 4.774  # mol of air per mol of oxygen
_AIR = 28.965e-3
_LATENT_MJ_KG = 2.447  # water at 25 degC
_WATER_PER_HYDROGEN = 9.01  # kg of water from a kilogram of hydrogen


class Wood(NamedTuple):
    """Mass fractions of dry wood, ash included; the sum is 1."""

    carbon: float
    hydrogen: float
    oxygen: float
    nitrogen: float
    ash: float


WOOD: dict[Kind, Wood] = {
    "hardwood": Wood(carbon=0.502, hydrogen=0.060, oxygen=0.433, nitrogen=0.001, ash=0.004),
    "softwood": Wood(carbon=0.526, hydrogen=0.070, oxygen=0.401, nitrogen=0.0, ash=0.003),
}
"""Dry oak and dry pine. Source: ultimate analyses in a public collection of wood-fuel notes
(bioenergylists.org, "practice6"; read)."""


def net_calorific_J_kg(kind: Kind, moisture: Numbers) -> Floats:
    """Lower heating value of moist wood (J/kg as fired).

    GCV = 0.3491 C + 1.1783 H - 0.0151 N - 0.1034 O - 0.0211 ash (MJ/kg dry, mass %);
    NCV = GCV (1 - w) - 2.447 w - 2.447 H/100 * 9.01 (1 - w).

    moisture: w, -, 0..0.6, any shape. Source: formulas read in the same wood-fuel notes as the
    compositions; the GCV formula is good to about 2 % for wood (recalled).

    >>> print(f"{net_calorific_J_kg('hardwood', 0.18) / 3.6e6:.2f} kWh/kg")
    4.16 kWh/kg
    """
    wood = WOOD[kind]
    gross = 100.0 * (
        0.3491 * wood.carbon
        + 1.1783 * wood.hydrogen
        - 0.0151 * wood.nitrogen
        - 0.1034 * wood.oxygen
        - 0.0211 * wood.ash
    )
    dry = gross - _LATENT_MJ_KG * _WATER_PER_HYDROGEN * wood.hydrogen
    w = np.asarray(moisture, dtype=np.float64)
    return 1.0e6 * (dry * (1.0 - w) - _LATENT_MJ_KG * w)


def _moles_per_dry_kg(kind: Kind) -> tuple[float, float, float, float]:
    """Carbon, hydrogen atoms, nitrogen atoms, and oxygen molecules needed (mol/kg dry)."""
    wood = WOOD[kind]
    carbon, hydrogen, nitrogen = wood.carbon / _C, wood.hydrogen / _H, wood.nitrogen / _N
    return carbon, hydrogen, nitrogen, carbon + hydrogen / 4.0 - wood.oxygen / _O / 2.0


def stoichiometric_air_kg_kg(kind: Kind, moisture: Numbers) -> Floats:
    """Dry air that burns a kilogram of moist wood completely (kg/kg as fired).

    n_O2 = n_C + n_H/4 - n_O/2; air = 4.774 n_O2 * 28.965 g/mol * (1 - w).

    moisture: w, -, 0..0.6, any shape. Source: stoichiometry, exact for the composition.

    >>> print(f"{stoichiometric_air_kg_kg('hardwood', 0.15):.2f}")
    5.07
    """
    oxygen = _moles_per_dry_kg(kind)[3]
    return oxygen * _AIR_PER_O2 * _AIR * (1.0 - np.asarray(moisture, dtype=np.float64))


def flue_gas_kg_kg(kind: Kind, moisture: Numbers, air_ratio: Numbers) -> Floats:
    """Flue gas from a kilogram of moist wood (kg/kg as fired), ash left behind.

    gas = 1 - ash (1 - w) + air_ratio * stoichiometric air.

    moisture: w, -; air_ratio: -, >= 1; broadcast. Source: mass balance.

    >>> print(f"{flue_gas_kg_kg('hardwood', 0.15, 2.0):.1f}")
    11.1
    """
    w = np.asarray(moisture, dtype=np.float64)
    return 1.0 - WOOD[kind].ash * (1.0 - w) + air_ratio * stoichiometric_air_kg_kg(kind, w)


def flue_gas_fractions(
    kind: Kind, moisture: Numbers, air_ratio: Numbers
) -> tuple[Floats, Floats]:
    """Mole fractions of CO2 and H2O in the wet flue gas (-, -).

    Complete combustion in dry air. Below an air ratio of 1 the formula has no meaning (burning is
    then incomplete); it is the caller's to keep `air_ratio` >= 1.

    moisture: w, -, 0..0.6; air_ratio: -, >= 1; broadcast. Source: stoichiometry.

    >>> x_co2, x_h2o = flue_gas_fractions("hardwood", 0.15, 2.0)
    >>> print(f"{x_co2:.3f} {x_h2o:.3f}")
    0.093 0.088
    """
    carbon, hydrogen, nitrogen, oxygen = _moles_per_dry_kg(kind)
    w = np.asarray(moisture, dtype=np.float64)
    vapour = hydrogen / 2.0 + w / (1.0 - w) / _WATER
    total = (
        carbon + vapour + nitrogen / 2.0 - oxygen + air_ratio * (oxygen * _AIR_PER_O2)
    )
    return carbon / total, vapour / total


# The burn of one load, in units of burn_s: ramp to A, hump to its crest B, fall to C where the
# flames end, coals fading with e-fold E until the end of the support. Levels are relative to the
# crest.
_A, _B, _C_END, _E, _END = 0.10, 0.45, 0.60, 0.40, 1.80
_LEVEL_A, _LEVEL_C = 0.40, 0.30
_AREA = (
    0.5 * _A * _LEVEL_A
    + (_B - _A) * (1.0 - (1.0 - _LEVEL_A) / 3.0)
    + (_C_END - _B) * (1.0 - (1.0 - _LEVEL_C) / 3.0)
    + _LEVEL_C * _E * (1.0 - float(np.exp(-(_END - _C_END) / _E)))
)
BURN_SUPPORT = _END
"""The burn rate is zero after this many burn_s."""


def burn_shape(t_s: Numbers, burn_s: Numbers) -> Floats:
    """Share of a load's energy released per second (1/s), t_s after it was lit.

    Piecewise: linear ramp over the first 0.1 burn_s, parabolic hump with its crest at 0.45, flames
    out at 0.6, then glowing coals fading exponentially (e-fold 0.4 burn_s), cut off at 1.8. The
    integral over time is exactly 1; the rate is continuous except for the cut-off (1.5 % of the
    crest).

    `burn_s` is the time from the match to the moment a stoker shuts the damper: flames ended at
    0.6 of it, 93 % of the energy is out, the rest glows on. The coals hold 22 % of the energy;
    the crest is 1.7 times the mean between 10 and 90 % released; half of what is released between
    those two is out after 0.35 of the time between them.

    t_s: s, shape (..., time); burn_s: s, > 0, broadcast, e.g. (members, 1). Zero before 0.
    Source: no curve of a masonry heater was readable; the proportions follow eleven open crib
    fire tests (0.27..0.42 for the half point, 1.5..2.1 for crest over mean, e-fold 0.5..0.9 of
    the 10-90 % time; public-domain test data, computed) and a coal share of 20-25 % (practice).

    >>> print(f"{3600 * burn_shape(0.45 * 3600, 3600):.2f}")
    1.89
    >>> print(float(burn_shape(-1.0, 3600)), float(burn_shape(1.81 * 3600, 3600)))
    0.0 0.0
    """
    burn = np.asarray(burn_s, dtype=np.float64)
    tau = np.asarray(t_s, dtype=np.float64) / burn
    ramp = tau * (_LEVEL_A / _A)
    half_width = np.where(tau < _B, (_B - _A) / (1.0 - _LEVEL_A) ** 0.5,
                          (_C_END - _B) / (1.0 - _LEVEL_C) ** 0.5)
    from_crest = (tau - _B) / half_width
    hump = 1.0 - from_crest * from_crest
    coals = _LEVEL_C * np.exp((_C_END - np.clip(tau, _C_END, _END)) / _E)
    rate = np.where(tau < _A, ramp, np.where(tau < _C_END, hump, coals))
    return np.where((tau >= 0.0) & (tau <= _END), rate / (_AREA * burn), 0.0)


def loads_shape(t_s: Numbers, burn_s: Numbers, loads: int, spacing_s: Numbers) -> Floats:
    """Share of the energy of all loads released per second (1/s), equal loads one after another.

    Mean of `burn_shape` shifted by 0, 1, .. loads - 1 times spacing_s; the integral is 1.

    t_s: s, from lighting the first load; burn_s, spacing_s: s, broadcast; loads: whole, >= 1.
    The caller keeps the last coals inside the firing interval or wraps them around.
    Raises ValueError for loads below 1. Source: superposition.

    >>> print(f"{3600 * loads_shape(0.45 * 3600, 3600, 2, 7200):.2f}")
    0.95
    """
    if loads < 1:
        raise ValueError(f"at least one load is burned, not {loads}")
    t = np.asarray(t_s, dtype=np.float64)
    total = burn_shape(t, burn_s)
    for load in range(1, loads):
        total = total + burn_shape(t - load * np.asarray(spacing_s, dtype=np.float64), burn_s)
    return total / loads
