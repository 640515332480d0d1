"""What a slab or lintel carries of its own weight and of a load on it, over its free span.

Edges rest and are free to turn: mortar holds no bending. Elastic and uncracked.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np

if TYPE_CHECKING:
    from stovelint.heat.arrays import Floats, Numbers

GRAVITY_m_s2 = 9.80665
TERMS = 9
"""Terms of the series of a plate; each is smaller than the one before by exp(pi) and more."""
STRIP = 50.0
"""Sides in this proportion: a strip to all digits."""


class Bending(NamedTuple):
    """Stress in the pulled face at mid-span (Pa) and how far it sags there (m)."""

    stress_Pa: Floats
    sag_m: Floats


def weight_Pa(density_kg_m3: Numbers, thickness_m: Numbers) -> Floats:
    """Own weight of a slab on each m2 of it, Pa: rho g t.

    >>> print(f"{weight_Pa(2300.0, 0.060):.0f} Pa")
    1353 Pa
    """
    return np.asarray(GRAVITY_m_s2 * np.asarray(density_kg_m3, dtype=np.float64) * thickness_m)


def one_way(
    load_Pa: Numbers, span_m: Numbers, thickness_m: Numbers, E_Pa: Numbers = np.inf
) -> Bending:
    """Strip, slab or lintel that rests at two ends under an even load.

    sigma = 3 w s^2 / (4 t^2), sag = 5 w s^4 / (32 E t^3); as M = w s^2 / 8, W = t^2 / 6 and
    I = t^3 / 12 for each metre of width.

    load_Pa: w, own weight and what lies on it, Pa (for a lintel: over its width); span_m: s, free
    span, m; thickness_m: t, in the direction of the load, m; E_Pa: Pa (not given: no sag); all
    broadcast. For spans of more than about four thicknesses.
    Source: bending of beams (textbook, exact).

    >>> stress, sag = one_way(2300.0 * 9.80665 * 0.060, 0.9, 0.060, 30e9)
    >>> print(f"{stress / 1e6:.2f} MPa {sag * 1000:.3f} mm")
    0.23 MPa 0.021 mm
    """
    load = np.asarray(load_Pa, dtype=np.float64)
    slender = np.asarray(span_m, dtype=np.float64) / thickness_m
    stress = 0.75 * load * slender**2
    return Bending(stress, np.asarray(5.0 / 32.0 * load * slender**3 * span_m / E_Pa))


def two_way(
    load_Pa: Numbers, sides_m: tuple[Numbers, Numbers], thickness_m: Numbers,
    E_Pa: Numbers = np.inf, poisson: Numbers = 0.2,
) -> Bending:  # fmt: skip
    """Rectangular plate that rests along all four edges under an even load: its middle.

    Levy's series. With s the short side, l the long one, a = m pi l / (2 s), m odd,
    sign = (-1)^((m - 1)/2), f = (a tanh a + 2) / (2 cosh a), g = a tanh a / (2 cosh a):

        M = w s^2 [1/8 + (4/pi^3) sum sign/m^3 (nu g - f)],   sigma = 6 M / t^2
        sag = w s^4 / D [5/384 - (4/pi^5) sum sign/m^5 f],     D = E t^3 / (12 (1 - nu^2))

    sides_m: the two free spans, either first, m; the rest as in `one_way`. Thin plate.
    Source: recalled (Timoshenko and Woinowsky-Krieger, Theory of Plates and Shells, art. 30);
    its printed coefficients are in the tests.

    >>> stress, _ = two_way(1353.0, (0.9, 0.9), 0.060, poisson=0.3)
    >>> print(f"{stress / 6.0 * 0.06**2 / (1353.0 * 0.9**2):.4f}")
    0.0479
    """
    one, other = (np.asarray(side, dtype=np.float64) for side in sides_m)
    short = np.minimum(one, other)
    longer = np.minimum(np.maximum(one, other) / short, STRIP)
    m = 2.0 * np.arange(TERMS) + 1.0
    sign = (-1.0) ** np.arange(TERMS)
    a = 0.5 * np.pi * m * longer[..., None]
    small = np.exp(-a) / (1.0 + np.exp(-2.0 * a))  # 1 / (2 cosh a)
    g = a * np.tanh(a) * small
    f = g + 2.0 * small
    nu = np.asarray(poisson, dtype=np.float64)[..., None]
    moment = 0.125 + 4.0 / np.pi**3 * (sign / m**3 * (nu * g - f)).sum(axis=-1)
    sag = 5.0 / 384.0 - 4.0 / np.pi**5 * (sign / m**5 * f).sum(axis=-1)
    load = np.asarray(load_Pa, dtype=np.float64)
    slender = short / thickness_m
    stiff = E_Pa / (12.0 * (1.0 - np.asarray(poisson, dtype=np.float64) ** 2))
    return Bending(6.0 * moment * load * slender**2, sag * load * slender**3 * short / stiff)


def round_plate(
    load_Pa: Numbers, diameter_m: Numbers, thickness_m: Numbers, poisson: Numbers = 0.2
) -> Floats:
    """Stress in the middle of a round plate that rests all round under an even load, Pa.

    M = (3 + nu) w d^2 / 64, sigma = 6 M / t^2; both directions alike.

    diameter_m: free span, m; the rest as in `one_way`. Source: bending of plates (textbook, exact).

    >>> print(f"{round_plate(3000.0, 0.9, 0.06) / 1e6:.3f} MPa")
    0.203 MPa
    """
    slender = np.asarray(diameter_m, dtype=np.float64) / thickness_m
    return np.asarray(6.0 / 64.0 * (3.0 + poisson) * load_Pa * slender**2)
