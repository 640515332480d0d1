"""Total emissivity of CO2 and H2O by Leckner: the independent reading for the grey-gas model.

B. Leckner, Combustion and Flame 19 (1972) 33-48, coefficients as tabulated by Modest, Radiative
Heat Transfer (recalled). Shares nothing with the package. Total pressure 1 bar, > 400 K.
"""

from __future__ import annotations

from math import exp, log10

_H2O = (
    (-2.2118, -1.1987, 0.035596),
    (0.85667, 0.93048, -0.14391),
    (-0.10838, -0.17156, 0.045915),
)
_CO2 = (
    (-3.9893, 2.7669, -2.1081, 0.39163),
    (1.2710, -1.1090, 1.0195, -0.21897),
    (-0.23678, 0.19731, -0.19544, 0.044644),
)


def _thin(rows: tuple[tuple[float, ...], ...], t: float, path: float) -> float:
    return exp(
        sum(c * t**j * log10(path) ** i for i, row in enumerate(rows) for j, c in enumerate(row))
    )


def _pressure(a: float, b: float, c: float, effective: float, path_ratio: float) -> float:
    weight = exp(-c * log10(path_ratio) ** 2)
    return 1.0 - (a - 1.0) * (1.0 - effective) / (a + b - 1.0 + effective) * weight


def emissivity(T_K: float, path_m: float, x_co2: float, x_h2o: float) -> float:
    t = T_K / 1000.0
    water_path, carbon_path = 101.325 * x_h2o * path_m, 101.325 * x_co2 * path_m  # bar cm
    a = 2.144 if t < 0.75 else 1.888 - 2.053 * log10(t)
    water = _thin(_H2O, t, water_path) * _pressure(
        a, 1.10 / t**1.4, 0.5, 1.0 + 2.56 * x_h2o / t**0.5, 13.2 * t**2 / water_path
    )
    middle = 0.054 / t**2 if t < 0.7 else 0.225 * t**2
    carbon = _thin(_CO2, t, carbon_path) * _pressure(
        1.0 + 0.1 / t**1.45, 0.23, 1.47, 1.0 + 0.28 * x_co2, middle / carbon_path
    )
    share = x_h2o / (x_h2o + x_co2)
    together = log10(water_path + carbon_path)
    overlap = (
        (share / (10.7 + 101.0 * share) - 0.0089 * share**10.4) * together**2.76
        if together > 0.0
        else 0.0
    )
    return water + carbon - overlap
