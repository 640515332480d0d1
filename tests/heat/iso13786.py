"""ISO 13786 transfer matrices, written out as in the standard: referee for the admittances.

Shares nothing with the package. Formulas recalled (the standard's scope read); cosh and sinh
overflow for thick layers, which is why the package does not work this way.
"""

from __future__ import annotations

from math import cos, cosh, pi, sin, sinh, sqrt
from typing import NamedTuple, Sequence

import numpy as np
from numpy.typing import NDArray

Matrix = NDArray[np.complex128]


class Solid(NamedTuple):
    thickness_m: float
    k_W_mK: float
    rho_kg_m3: float
    cp_J_kgK: float


class Film(NamedTuple):
    r_m2K_W: float


def matrix(layer: Solid | Film, period_s: float) -> Matrix:
    if isinstance(layer, Film):
        return np.array([[1.0, -layer.r_m2K_W], [0.0, 1.0]], dtype=np.complex128)
    d, k, rho, c = layer
    delta = sqrt(k * period_s / (pi * rho * c))
    xi = d / delta
    ch, sh, co, si = cosh(xi), sinh(xi), cos(xi), sin(xi)
    z11 = ch * co + 1j * sh * si
    z12 = -delta / (2.0 * k) * (sh * co + ch * si + 1j * (ch * si - sh * co))
    z21 = -k / delta * (sh * co - ch * si + 1j * (sh * co + ch * si))
    return np.array([[z11, z12], [z21, z11]], dtype=np.complex128)


def wall(layers: Sequence[Solid | Film], period_s: float) -> Matrix:
    """Matrix of the whole wall, layers given from the inner side outwards."""
    total: Matrix = np.eye(2, dtype=np.complex128)
    for layer in layers:
        total = matrix(layer, period_s) @ total
    return total
