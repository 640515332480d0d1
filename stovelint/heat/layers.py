"""Layered one-dimensional conduction under a periodic regime, harmonic by harmonic.

A homogeneous layer is known to a periodic flow only by its resistance R = d/k (m2K/W) and its
heat capacity per area C = rho c d (J/m2K). With gamma = sqrt(i omega R C) the heat flow densities
at its two faces follow from the two face temperatures (flow counted from face 1 to face 2):

    q1 = A t1 - B t2,   q2 = B t1 - D t2,   A = D = (gamma/R) coth gamma,  B = (gamma/R)/sinh gamma

This is the admittance form of the ISO 13786 transfer matrix (A = -Z11/Z12, B = -1/Z12,
D = -Z22/Z12, where det Z = 1 has been used). It is chosen because a chain of admittances neither
overflows nor cancels for thick layers and fast harmonics, where products of cosh do.
Formulas: ISO 13786 (scope read; formulas recalled, checked against exact solutions in the tests).
"""

from __future__ import annotations

from typing import Sequence

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Complexes = NDArray[np.complex128]
Admittance = tuple[Complexes, Complexes, Complexes]
"""(A, B, D) of one layer or of a chain, each of shape (..., harmonics), W/m2K."""


def harmonics_rad_s(period_s: float, samples: int) -> Floats:
    """Angular frequencies of the real Fourier transform of `samples` points over one period.

    Returns shape (samples // 2 + 1,), rad/s; the first is 0 (the mean).

    >>> harmonics_rad_s(2.0, 4).round(3).tolist()
    [0.0, 3.142, 6.283]
    """
    return 2.0 * np.pi / period_s * np.arange(samples // 2 + 1, dtype=np.float64)


def layer_admittance(r_m2K_W: Floats, c_J_m2K: Floats, omega_rad_s: Floats) -> Admittance:
    """Admittance of homogeneous layers.

    Args: `r_m2K_W` > 0 and `c_J_m2K` >= 0 of equal shape S (C = 0: a pure resistance such as an
    air gap); `omega_rad_s` shape (H,) whose first entry is 0. Returns arrays of shape S + (H,).
    Valid for any thickness and frequency; relative rounding error below 1e-9 for |gamma| > 1e-4,
    and below that the layer is taken as a pure resistance (its error is then |gamma|^2/6).
    """
    root = np.sqrt(0.5 * r_m2K_W * c_J_m2K)[..., None] * np.sqrt(omega_rad_s)
    thin = root < 1e-4
    xi = np.where(thin, 1.0, root)
    # exp(-(1 + i) xi) by the tangent of the half angle: numpy's sine and cosine cost ten times that
    half = np.tan(0.5 * xi)
    tan2 = half * half
    decay = np.exp(-xi)
    decay /= 1.0 + tan2
    wave = np.empty(xi.shape, dtype=np.complex128)
    np.multiply(decay, 1.0 - tan2, out=wave.real)
    half *= -2.0
    np.multiply(decay, half, out=wave.imag)
    square = wave * wave
    inverse_r = (1.0 / r_m2K_W)[..., None]
    scale = 1.0 - square
    np.divide((1.0 + 1.0j) * (xi * inverse_r), scale, out=scale)
    square += 1.0
    a = np.multiply(scale, square, out=square)
    wave *= scale
    b = np.multiply(wave, 2.0, out=wave)
    if thin.any():
        flat = np.broadcast_to(inverse_r, a.shape)
        a[thin] = flat[thin]
        b[thin] = flat[thin]
    return a, b, a


def joined(first: Admittance, second: Admittance) -> Admittance:
    """Admittance of two layers (or chains) in contact, `first` on the side of face 1."""
    a1, b1, d1 = first
    a2, b2, d2 = second
    inverse = d1 + a2
    np.divide(1.0, inverse, out=inverse)
    one, two = b1 * inverse, np.multiply(b2, inverse, out=inverse)
    across = one * b2
    one *= b1
    two *= b2
    return np.subtract(a1, one, out=one), across, np.subtract(d2, two, out=two)


def chain(layers: Sequence[Admittance]) -> Admittance:
    """Admittance of layers in contact, given in order from face 1 to face 2."""
    total = layers[0]
    for layer in layers[1:]:
        total = joined(total, layer)
    return total


def face_response(
    wall: Admittance, film_1: Floats, film_2: Floats
) -> tuple[Complexes, Complexes, Complexes, Complexes]:
    """Answer of a wall between two films (Robin conditions) to what drives it, per harmonic.

    With q1 = film_1 (drive_1 - t1) and q2 = film_2 (t2 - drive_2), returns (r11, r12, r21, r22) of
    t1 = r11 drive_1 + r12 drive_2, t2 = r21 drive_1 + r22 drive_2. `film_*` (W/m2K) have the shape
    of the wall without its harmonics axis.
    """
    a, b, d = wall
    h1, h2 = film_1[..., None], film_2[..., None]
    left, right = a + h1, d + h2
    scale = left * right
    scale -= b * b
    np.divide(1.0, scale, out=scale)
    left *= scale
    left *= h2
    right *= scale
    right *= h1
    scale *= b
    return right, scale * h2, scale * h1, left


def face_temperatures(
    wall: Admittance, film_1: Floats, drive_1: Complexes, film_2: Floats, drive_2: Complexes
) -> tuple[Complexes, Complexes]:
    """Face temperatures of a wall between two films; `drive_*` (degC) of the wall's full shape.

    See `face_response`.
    """
    r11, r12, r21, r22 = face_response(wall, film_1, film_2)
    return r11 * drive_1 + r12 * drive_2, r21 * drive_1 + r22 * drive_2


def inner_temperature(
    before: Admittance, after: Admittance, t1: Complexes, t2: Complexes
) -> Complexes:
    """Temperature at the plane between two chains, from the temperatures of the outer faces."""
    return (before[1] * t1 + after[1] * t2) / (before[2] + after[0])


def areal_heat_capacity_J_m2K(wall: Admittance, omega_rad_s: float) -> tuple[Floats, Floats]:
    """ISO 13786 areal heat capacities of the two sides: |Y11 - Y12| / omega at one harmonic."""
    a, b, d = wall
    return np.abs(a - b) / omega_rad_s, np.abs(d - b) / omega_rad_s
