"""Stress and bow of an elastic slab that is not equally hot throughout.

All stresses are those of an uncracked elastic slab, tension positive: upper bounds, as creep and
fine cracks relieve them. Formulas: Timoshenko and Goodier, Theory of Elasticity; Boley and Weiner,
Theory of Thermal Stresses (recalled); rows and finite elements in the tests.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

import numpy as np

if TYPE_CHECKING:
    from stovelint.heat.arrays import Floats, Numbers


class SpotStress(NamedTuple):
    """Stress round a hot spot (Pa); tension positive."""

    radial_Pa: Floats
    hoop_Pa: Floats


def restrained_Pa(
    E_Pa: Numbers, alpha_1_K: Numbers, dT_K: Numbers, poisson: Numbers = 0.2
) -> Floats:
    """Stress of a slab held in both of its directions and made dT colder (-: hotter).

    sigma = E alpha dT / (1 - nu). It is also that of a face which changes by dT so suddenly that
    the rest of the slab has not moved yet.

    E_Pa: Pa; alpha_1_K: 1/K; dT_K: K; poisson: -, below 1; all broadcast.

    >>> print(f"{restrained_Pa(20e9, 7e-6, 100.0) / 1e6:.1f} MPa")
    17.5 MPa
    """
    return np.asarray(E_Pa * np.asarray(alpha_1_K, dtype=np.float64) * dT_K / (1.0 - poisson))


def held_flat_Pa(
    E_Pa: Numbers, alpha_1_K: Numbers, through_K: Numbers, poisson: Numbers = 0.2
) -> Floats:
    """Tension in the cold face of a slab that may grow but must not bow, straight profile.

    sigma = E alpha dT / (2 (1 - nu)); the hot face has as much compression.

    through_K: hot face less cold face, K; the rest as in `restrained_Pa`.

    >>> print(f"{held_flat_Pa(20e9, 7e-6, 150.0) / 1e6:.1f} MPa")
    13.1 MPa
    """
    return 0.5 * restrained_Pa(E_Pa, alpha_1_K, through_K, poisson)


def free_plate_Pa(
    E_Pa: Numbers, alpha_1_K: Numbers, profile_K: Floats, poisson: Numbers = 0.2
) -> Floats:
    """Stress through a slab whose edges are free to grow and to turn, from its profile.

    sigma(z) = E alpha / (1 - nu) [T_mean + 12 z / t^3 int T z dz - T(z)], z from mid-depth. A
    straight profile gives none: the slab only bows.

    Args:
        E_Pa, alpha_1_K, poisson: broadcast against `profile_K` (give arrays a last axis of 1).
        profile_K: (..., points), temperatures at even steps from face to face, both included,
            straight between them; at least 2 points.

    Away from the edges, by about the thickness.

    >>> sigma = free_plate_Pa(20e9, 7e-6, np.array([100.0, 0.0, 0.0]))
    >>> [round(float(s) / 1e6, 2) for s in sigma]
    [-4.38, 4.38, -4.38]
    """
    profile = np.asarray(profile_K, dtype=np.float64)
    z = _depths(profile.shape[-1])
    mean, moment = _moments(profile)
    straight = mean[..., None] + 12.0 * moment[..., None] * z
    return restrained_Pa(E_Pa, alpha_1_K, straight - profile, poisson)


def bow_m(alpha_1_K: Numbers, through_K: Numbers, thickness_m: Numbers, span_m: Numbers) -> Floats:
    """How far the middle of a free slab rises off the chord over a span, m.

    kappa = alpha dT / t, bow = kappa s^2 / 8; the hot side becomes the outer one of the bend.

    through_K: difference of the straight line that fits the profile best (see `straight_part_K`),
    K; thickness_m, span_m: m, > 0. For bows small beside the span.

    >>> print(f"{bow_m(7e-6, 150.0, 0.080, 1.0) * 1000:.1f} mm")
    1.6 mm
    """
    curvature = alpha_1_K * np.asarray(through_K, dtype=np.float64) / thickness_m
    return np.asarray(curvature * span_m * span_m / 8.0)


def straight_part_K(profile_K: Floats) -> Floats:
    """First face less last face of the straight profile that bends a slab as the given one, K.

    -12 / t^2 int T z dz, z from mid-depth towards the last face.

    profile_K: as in `free_plate_Pa`.

    >>> print(f"{straight_part_K(np.array([100.0, 50.0, 0.0])):.1f} K")
    100.0 K
    """
    return -12.0 * _moments(np.asarray(profile_K, dtype=np.float64))[1]


def biot(film_W_m2K: Numbers, half_m: Numbers, k_W_mK: Numbers) -> Floats:
    """Biot number h L / k of a plate (-), L half its thickness where both faces are met.

    >>> print(f"{biot(20.0, 0.03, 1.2):.2f}")
    0.50
    """
    return np.asarray(film_W_m2K * np.asarray(half_m, dtype=np.float64) / k_W_mK)


def step_share(biot_number: Numbers) -> Floats:
    """Largest surface stress of a plate met suddenly by a film, over that of a sudden step (-).

    Manson: 1 / s = 1.5 + 3.25 / Bi - 0.5 exp(-16 / Bi).

    biot_number: h L / k with L half the thickness (both faces met), > 0. A fit to the exact
    series, within about 5 %. Source: recalled (Manson, NACA TN 2933).

    >>> print(f"{step_share(0.5):.3f}", f"{step_share(1e9):.3f}")
    0.125 1.000
    """
    number = np.asarray(biot_number, dtype=np.float64)
    return np.asarray(1.0 / (1.5 + 3.25 / number - 0.5 * np.exp(-16.0 / number)))


def hot_spot_Pa(
    E_Pa: Numbers, alpha_1_K: Numbers, hotter_K: Numbers, spot_m: Numbers, at_m: Numbers,
    slab_m: Numbers = np.inf,
) -> SpotStress:  # fmt: skip
    """Stress at a radius in a round slab whose middle is hotter than the rest, plane stress.

    S = E alpha dT / 2. Inside (r < a): both -S (1 - a^2/b^2). From the rim on:
    radial -S (a^2/r^2 - a^2/b^2), hoop S (a^2/r^2 + a^2/b^2). It tears at the rim, radially.

    Args:
        hotter_K: spot over the rest, K.
        spot_m: radius a of the spot, m.
        at_m: radius r, m; the rim itself counts as outside, where it is pulled.
        slab_m: radius b of a slab that is free at its edge, m, >= a; endless when not given.

    All broadcast. Source: recalled (Timoshenko and Goodier, disc with a hot middle).

    >>> spot = hot_spot_Pa(20e9, 7e-6, 100.0, 0.1, np.array([0.0, 0.1]))
    >>> (spot.hoop_Pa / 1e6).round(1).tolist()
    [-7.0, 7.0]
    """
    half = 0.5 * E_Pa * np.asarray(alpha_1_K, dtype=np.float64) * hotter_K
    a, r = np.asarray(spot_m, dtype=np.float64), np.asarray(at_m, dtype=np.float64)
    outside = r >= a
    near = np.where(outside, (a / np.where(outside, r, a)) ** 2, 1.0)
    edge = (a / slab_m) ** 2
    radial = -half * (near - edge)
    return SpotStress(radial, np.where(outside, half * (near + edge), radial))


def _depths(points: int) -> Floats:
    """Even steps from face to face in thicknesses, 0 at mid-depth."""
    return np.linspace(-0.5, 0.5, points)


def _moments(profile_K: Floats) -> tuple[Floats, Floats]:
    """Mean and int T z dz / t^2 of a profile straight between its points, exactly."""
    z = _depths(profile_K.shape[-1])
    left, right = profile_K[..., :-1], profile_K[..., 1:]
    step = np.diff(z)
    mean = (step * 0.5 * (left + right)).sum(axis=-1)
    # of a product of two straight lines over one step
    product = (2.0 * (left * z[:-1] + right * z[1:]) + left * z[1:] + right * z[:-1]) / 6.0
    return mean, (step * product).sum(axis=-1)
