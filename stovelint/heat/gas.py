"""Heat content of flue gas at constant pressure, nothing dissociated."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from stovelint.heat.arrays import Floats, Numbers

# Specific heat in J/kgK, polynomials in t / 1000 degC, lowest power first. Least squares of this
# project on Cantera 3.2.0 (gri30 species data), every 10 K, -20..1600 degC, largest error 0.3 %.
# Dry air with its argon: O2 0.20946, N2 0.78084, Ar 0.0097 mol/mol.
_PRODUCTS = (1037.044372, 292.188725, 154.065052, -221.566044, 63.971706)
"""Gas of dry hardwood burned with exactly the air it needs."""
_AIR = (1001.215819, 55.307844, 423.847604, -408.753734, 113.670064)
_VAPOUR = (1856.307292, 291.838650, 745.727213, -517.256397, 107.535063)

_PRODUCTS_KG = 0.996 + 5.966  # per kg of dry hardwood: wood without ash, and its air
_AIR_KG = 5.966


def _mean(c: tuple[float, ...]) -> tuple[float, ...]:
    """Coefficients of the mean of a polynomial between 0 and x."""
    return tuple(value / (power + 1) for power, value in enumerate(c))


_PRODUCTS_MEAN, _VAPOUR_MEAN, _AIR_MEAN = _mean(_PRODUCTS), _mean(_VAPOUR), _mean(_AIR)


def _mixed(air_ratio: Numbers, moisture: Numbers) -> tuple[Floats, Floats, Floats]:
    """Mass shares in the gas: products of the dry wood, vapour from its moisture, excess air."""
    w = np.asarray(moisture, dtype=np.float64)
    vapour = w / (1.0 - w)
    excess = _AIR_KG * (np.asarray(air_ratio, dtype=np.float64) - 1.0)
    per_kg = 1.0 / (_PRODUCTS_KG + vapour + excess)
    return _PRODUCTS_KG * per_kg, vapour * per_kg, excess * per_kg


def _horner(c: tuple[float, ...], x: Floats) -> Floats:
    return c[0] + x * (c[1] + x * (c[2] + x * (c[3] + x * c[4])))


def cp_J_kgK(t_C: Numbers, air_ratio: Numbers, moisture: Numbers = 0.15) -> Floats:
    """Specific heat of flue gas (J/kgK).

    Mass mix of three ideal gases: products of dry wood with just enough air, vapour of the wood's
    moisture, excess air; each a polynomial of the fourth degree in t (largest error 0.3 %).

    t_C: degC, -20..1600; air_ratio: -, >= 1 (very large: air); moisture: wet basis, -, 0..0.6;
    all broadcast. Softwood differs by less than 0.5 %. Frozen composition: above 1500 degC and
    below an air ratio of 1.5 real gas dissociates and takes up more heat.
    Source: species data of gri30 through Cantera 3.2.0 (computed).

    >>> print(f"{cp_J_kgK(500.0, 2.95):.0f}")
    1140
    """
    x = np.asarray(t_C, dtype=np.float64) * 0.001
    products, vapour, excess = _mixed(air_ratio, moisture)
    return products * _horner(_PRODUCTS, x) + vapour * _horner(_VAPOUR, x) + excess * _horner(
        _AIR, x
    )


def enthalpy_J_kg(t_C: Numbers, air_ratio: Numbers, moisture: Numbers = 0.15) -> Floats:
    """Heat content of flue gas above 0 degC (J/kg), water as vapour.

    h = integral of `cp_J_kgK` from 0 degC, exact for its polynomials. Same arguments and range.

    >>> print(f"{enthalpy_J_kg(500.0, 2.95) / 500.0:.0f}")
    1077
    """
    t = np.asarray(t_C, dtype=np.float64)
    x = t * 0.001
    products, vapour, excess = _mixed(air_ratio, moisture)
    return t * (
        products * _horner(_PRODUCTS_MEAN, x)
        + vapour * _horner(_VAPOUR_MEAN, x)
        + excess * _horner(_AIR_MEAN, x)
    )
