"""Heat content and radiation of flue gas.

Heat content: NIST Shomate equations of the components, with the plan's own wood and moisture.
Radiation: weighted sum of three grey gases, Smith, Shen and Friedman, J. Heat Transfer 104 (1982)
602, water vapour and carbon dioxide at equal pressures (weights recalled); Hottel's rule for the
absorptivity (recalled).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

# cp in J/molK = A + B x + C x2 + D x3 + E / x2, x = T / 1000 K, each valid from that many K.
SHOMATE: dict[str, tuple[tuple[float, tuple[float, ...]], ...]] = {
    "N2": (
        (0.0, (28.98641, 1.853978, -9.647459, 16.63537, 0.000117)),
        (500.0, (19.50583, 19.88705, -8.598535, 1.369784, 0.527601)),
    ),
    "O2": (
        (0.0, (31.32234, -20.23531, 57.86644, -36.50624, -0.007374)),
        (700.0, (30.03235, 8.772972, -3.988133, 0.788313, -0.741599)),
    ),
    "CO2": (
        (0.0, (24.99735, 55.18696, -33.69137, 7.948387, -0.136638)),
        (1200.0, (58.16639, 2.720074, -0.492289, 0.038844, -6.447293)),
    ),
    "H2O": ((0.0, (30.09200, 6.832514, 6.793435, -2.534480, 0.082139)),),
    "Ar": ((0.0, (20.786, 0.0, 0.0, 0.0, 0.0)),),
}
"""NIST Chemistry WebBook (recalled)."""
MOLAR = {"Ar": 39.948e-3, "N2": 28.0134e-3, "O2": 31.9988e-3, "CO2": 44.0095e-3, "H2O": 18.0153e-3}
AIR = {"N2": 0.7808, "O2": 0.2095, "Ar": 0.0097}

GREY_GASES = (
    (0.4303, (5.150e-1, -2.303e-4, 0.9779e-7, -1.494e-11)),
    (7.055, (0.7749e-1, 3.399e-4, -2.297e-7, 3.770e-11)),
    (178.1, (1.907e-1, -1.824e-4, 0.5608e-7, -0.5122e-11)),
)
"""Absorption, 1/(atm m), and weight as a cubic in T (K)."""


def mole_cp_J_kgK(moles: dict[str, float], t_C: Floats) -> Floats:
    x = (t_C + 273.15) / 1000.0
    total = np.zeros_like(x)
    for name, n in moles.items():
        cp = np.zeros_like(x)
        for start, (a, b, c, d, e) in SHOMATE[name]:
            cp = np.where(1000.0 * x >= start, a + b * x + c * x**2 + d * x**3 + e / x**2, cp)
        total += n * cp
    return np.asarray(total / sum(n * MOLAR[name] for name, n in moles.items()))


GRID_C = np.arange(-80.0, 2300.0, 2.0)
_CP = {name: mole_cp_J_kgK({name: 1.0}, GRID_C) for name in SHOMATE}
_H = {
    name: np.concatenate([[0.0], np.cumsum(cp[1:] + cp[:-1])]) for name, cp in _CP.items()
}  # trapezoids of 2 K


@dataclass(frozen=True, eq=False)
class Caloric:
    """Heat content of one mixture, J/kg over -80 degC, as a table."""

    h_J_kg: Floats
    cp_J_kgK: Floats

    @staticmethod
    def of(moles: dict[str, float]) -> Caloric:
        kg = {name: n * MOLAR[name] for name, n in moles.items()}
        whole = sum(kg.values())
        h, cp = np.zeros_like(GRID_C), np.zeros_like(GRID_C)
        for name, mass in kg.items():
            h += mass / whole * _H[name]
            cp += mass / whole * _CP[name]
        return Caloric(h, cp)

    def h(self, t_C: Floats) -> Floats:
        return np.asarray(np.interp(t_C, GRID_C, self.h_J_kg))

    def cp(self, t_C: Floats) -> Floats:
        return np.asarray(np.interp(t_C, GRID_C, self.cp_J_kgK))

    def t(self, h_J_kg: Floats) -> Floats:
        return np.asarray(np.interp(h_J_kg, self.h_J_kg, GRID_C))


def emissivity(t_K: Floats, pressure_path: Floats) -> Floats:
    total = np.zeros_like(t_K)
    for k, (a, b, c, d) in GREY_GASES:
        total += (a + t_K * (b + t_K * (c + t_K * d))) * -np.expm1(-k * pressure_path)
    return total


def absorptivity(t_K: Floats, wall_K: Floats, pressure_path: Floats) -> Floats:
    return np.asarray(emissivity(wall_K, pressure_path * wall_K / t_K) * np.sqrt(t_K / wall_K))
