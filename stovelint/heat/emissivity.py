"""Radiation of hot flue gas: how black the gas in a chamber is."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from stovelint.heat.films import STEFAN_BOLTZMANN, ZERO_C_K

if TYPE_CHECKING:
    from stovelint.heat.arrays import Floats, Numbers

# Three grey gases, equal partial pressures of water vapour and CO2, 1 atm: absorption in
# 1/(atm m), then the weight as a cubic in T (K), lowest power first.
# Smith, Shen and Friedman, J. Heat Transfer 104 (1982) 602-608. Absorption: project's notes.
# Weights: recalled; they return the notes' eight values to their last digit (a test does).
_THIN = (0.4303, (5.150e-1, -2.303e-4, 0.9779e-7, -1.494e-11))
_MIDDLE = (7.055, (0.7749e-1, 3.399e-4, -2.297e-7, 3.770e-11))
_THICK = (178.1, (1.907e-1, -1.824e-4, 0.5608e-7, -0.5122e-11))


def _weight(c: tuple[float, float, float, float], T_K: Floats) -> Floats:
    return c[0] + T_K * (c[1] + T_K * (c[2] + T_K * c[3]))


def _wsgg(T_K: Floats, path_atm_m: Floats) -> Floats:
    # 1 - exp is as good as expm1 here (results of 0.001 and more) and three times as fast.
    return (
        _weight(_THIN[1], T_K) * (1.0 - np.exp(-_THIN[0] * path_atm_m))
        + _weight(_MIDDLE[1], T_K) * (1.0 - np.exp(-_MIDDLE[0] * path_atm_m))
        + _weight(_THICK[1], T_K) * (1.0 - np.exp(-_THICK[0] * path_atm_m))
    )


def gas_emissivity(
    t_C: Numbers, path_m: Numbers, x_co2: Numbers, x_h2o: Numbers
) -> Floats:
    """Total emissivity of a body of flue gas without soot (-).

    Weighted sum of three grey gases: e = sum a_i(T) [1 - exp(-k_i (x_co2 + x_h2o) L)].

    t_C: gas temperature, degC; path_m: mean beam length L, m (3.6 volume / surface); x_co2,
    x_h2o: mole fractions, -, total pressure 1 atm; all broadcast.
    Range: 600..2400 K and 0.001..10 atm m for H2O:CO2 = 1:1; wood gas has 0.9..1.2. Against
    Leckner's formulas within 8 % from 700 to 1400 K while (x_co2 + x_h2o) L >= 0.03 m. Thinner
    or cooler gas reads high: up to 18 % at 850 K and 0.2 m, 36 % at 600 K and 0.1 m, where
    convection rules. Source: Smith, Shen and Friedman 1982 (weights recalled).

    >>> print(f"{gas_emissivity(700.0, 0.3, 0.0647, 0.0612):.3f}")
    0.120
    """
    T_K = np.asarray(t_C, dtype=np.float64) + ZERO_C_K
    path = np.asarray((x_co2 + x_h2o) * path_m, dtype=np.float64)
    return _wsgg(T_K, path)


def gas_absorptivity(
    t_gas_C: Numbers, t_wall_C: Numbers, path_m: Numbers, x_co2: Numbers, x_h2o: Numbers
) -> Floats:
    """Share of a wall's radiation that the gas absorbs (-).

    Hottel's rule: a = e(T_wall, L T_wall / T_gas) (T_gas / T_wall)^(1/2); equal to the emissivity
    when gas and wall are equally hot.

    t_gas_C, t_wall_C: degC; the rest as in `gas_emissivity`. Source: recalled (Hottel, in
    McAdams, Heat Transmission).

    >>> print(f"{gas_absorptivity(700.0, 400.0, 0.3, 0.0647, 0.0612):.3f}")
    0.158
    """
    gas_K = np.asarray(t_gas_C, dtype=np.float64) + ZERO_C_K
    wall_K = np.asarray(t_wall_C, dtype=np.float64) + ZERO_C_K
    path = (x_co2 + x_h2o) * path_m * wall_K / gas_K
    absorbed: Floats = _wsgg(wall_K, path) * np.sqrt(gas_K / wall_K)
    return absorbed


def gas_to_wall_W_m2(
    t_gas_C: Numbers,
    t_wall_C: Numbers,
    path_m: Numbers,
    x_co2: Numbers,
    x_h2o: Numbers,
    emissivity_wall: Numbers,
) -> Floats:
    """Net radiation from a gas body to the grey wall around it (W/m2, > 0 heats the wall).

    q = (e_wall + 1)/2 sigma [e_gas T_gas^4 - a_gas T_wall^4].

    emissivity_wall: -, 0.8..1 (brick; the factor (e + 1)/2 fails for bright metal); the rest as in
    `gas_absorptivity`. Source: recalled (Hottel).

    >>> print(f"{gas_to_wall_W_m2(700.0, 400.0, 0.3, 0.093, 0.088, 0.9) / 300.0:.1f} W/m2K")
    16.3 W/m2K
    """
    gas_K = np.asarray(t_gas_C, dtype=np.float64) + ZERO_C_K
    wall_K = np.asarray(t_wall_C, dtype=np.float64) + ZERO_C_K
    gas_2, wall_2 = gas_K * gas_K, wall_K * wall_K
    emitted = gas_emissivity(t_gas_C, path_m, x_co2, x_h2o) * (gas_2 * gas_2)
    absorbed = gas_absorptivity(t_gas_C, t_wall_C, path_m, x_co2, x_h2o) * (wall_2 * wall_2)
    grey = 0.5 * (np.asarray(emissivity_wall, dtype=np.float64) + 1.0) * STEFAN_BOLTZMANN
    flux: Floats = grey * (emitted - absorbed)
    return flux
