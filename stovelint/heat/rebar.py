"""A steel bar that grows more than the concrete around it: a thick ring under inner pressure."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np

if TYPE_CHECKING:
    from stovelint.heat.arrays import Floats, Numbers


class RingStress(NamedTuple):
    """Stress where bar and concrete meet (Pa); negative = the bar shrinks away (no bond)."""

    pressure_Pa: Floats
    """Radial, on both."""
    hoop_Pa: Floats
    """Largest tension in the cover, at the bar."""


def mismatch_strain(
    alpha_bar_1_K: Numbers,
    t_bar_C: Numbers,
    alpha_cover_1_K: Numbers,
    t_cover_C: Numbers,
    t_made_C: Numbers,
) -> Floats:
    """Free growth of the bar beyond that of its cover (-).

    e = alpha_bar (T_bar - T_made) - alpha_cover (T_cover - T_made). Over a length L a loose bar
    pushes e L / 2 out of each end.

    alpha_*: mean expansion from t_made_C up, 1/K; t_*_C: degC; t_made_C: when the casting set; all
    broadcast. Source: definition of linear expansion.

    >>> print(f"{mismatch_strain(12e-6, 170.0, 7e-6, 170.0, 20.0) * 1e6:.0f} per million")
    750 per million
    """
    made = np.asarray(t_made_C, dtype=np.float64)
    free: Floats = alpha_bar_1_K * (t_bar_C - made) - alpha_cover_1_K * (t_cover_C - made)
    return free


def ring_stress(
    mismatch: Numbers,
    diameter_m: Numbers,
    cover_m: Numbers,
    E_cover_Pa: Numbers,
    poisson_cover: Numbers = 0.2,
    E_bar_Pa: Numbers = 200.0e9,
    poisson_bar: Numbers = 0.3,
) -> RingStress:
    """Stress of an uncracked, elastic ring of concrete round a bar that wants to be larger.

    Lame, with a the radius of the bar, b = a + cover, c = (b^2 + a^2) / (b^2 - a^2):
    p = e / [(1 - nu_bar)/E_bar + (c + nu_cover)/E_cover],  hoop = c p.

    mismatch: e, -, from `mismatch_strain`; diameter_m, cover_m: m, > 0; E_*: Pa; poisson_*: -; all
    broadcast. Elastic upper bound: creep and fine cracks relieve it; the ring is taken round and
    free outside, so the least cover counts. Negative e: the bar comes loose, values only show how
    far. Source: recalled (Timoshenko and Goodier, thick ring); rows in the tests.

    >>> p, hoop = ring_stress(750e-6, 0.012, 0.030, 20e9)
    >>> print(f"{p / 1e6:.1f} MPa {hoop / 1e6:.1f} MPa")
    11.3 MPa 11.9 MPa
    """
    shape = _ring_shape(diameter_m, cover_m)
    give = (1.0 - poisson_bar) / E_bar_Pa + (shape + poisson_cover) / E_cover_Pa
    pressure = np.asarray(mismatch, dtype=np.float64) / give
    return RingStress(pressure, shape * pressure)


def cracking_mismatch(
    strength_Pa: Numbers,
    diameter_m: Numbers,
    cover_m: Numbers,
    E_cover_Pa: Numbers,
    poisson_cover: Numbers = 0.2,
    E_bar_Pa: Numbers = 200.0e9,
    poisson_bar: Numbers = 0.3,
) -> Floats:
    """Mismatch at which the hoop tension at the bar reaches the tensile strength (-).

    e = (strength / c) [(1 - nu_bar)/E_bar + (c + nu_cover)/E_cover], the inverse of `ring_stress`.
    Divided by the difference of expansions it is the temperature rise that starts a crack.

    strength_Pa: tensile strength, Pa; the rest as in `ring_stress`. First cracking, not spalling.

    >>> print(f"{cracking_mismatch(3e6, 0.012, 0.030, 20e9) / 5e-6:.0f} K")
    38 K
    """
    shape = _ring_shape(diameter_m, cover_m)
    give = (1.0 - poisson_bar) / E_bar_Pa + (shape + poisson_cover) / E_cover_Pa
    strain: Floats = strength_Pa / shape * give
    return strain


def _ring_shape(diameter_m: Numbers, cover_m: Numbers) -> Floats:
    inner = 0.5 * np.asarray(diameter_m, dtype=np.float64)
    outer = inner + cover_m
    a2, b2 = inner * inner, outer * outer
    return (b2 + a2) / (b2 - a2)
