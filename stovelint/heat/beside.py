"""A stretch of a wall that leads heat otherwise than the whole, under the same gas and rays.

A wall is solved as a whole: what passes its faces takes in corners and edges. Where one stretch is
asked for, the middle of a side above all, its own layers answer to what the faces of the whole
see. What a face takes is known where the whole stands and, by its slope, near it:

    q(T) = q0 + f (T0 - T)

with q0, T0, f (dq/dT, as it varies over the cycle) of the whole. With h the mean of f and F what
the stretch's layers make of a history behind the constant film h, its difference D = T - T0 obeys

    D - F[(1 - f/h) D] = F[T0 + q0/h] - T0,

which is solved in few steps (least residual over the powers of the left side). Where f is constant
the right side is the answer.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from stovelint.heat.layers import Admittance, face_response

Floats = NDArray[np.float64]

ROUNDS = 5
"""Directions in which the difference is sought: with a film that varies tenfold over the cycle, as
in a firebox, 3 % of it are left (`tests/heat/test_beside.py`)."""
ALIKE = 1e-13
"""Share of the largest below which a direction is left out: they become alike when the answer is
found early."""


def beside_C(wall: Admittance, faces_C: Floats, q_W_m2: Floats, slope_W_m2K: Floats) -> Floats:
    """Faces of the stretch over the cycle, degC, shape (M, 2, N): hot, cold.

    Args: `wall` of the stretch, per its own hot-face area, each of shape (M, N // 2 + 1), its faces
    equal in area; `faces_C`, `q_W_m2` (into the wall, per true area) and `slope_W_m2K` (> 0) of the
    whole, (M, 2, N). Source: derived here.
    """
    m, _, n = faces_C.shape
    h = slope_W_m2K.mean(axis=-1)
    r11, r12, r21, r22 = face_response(wall, h[:, 0], h[:, 1])
    direct, cross = np.stack([r11, r22], axis=1), np.stack([r12, r21], axis=1)

    def behind(drive: Floats) -> Floats:
        wave = np.fft.rfft(drive, axis=-1)
        new = direct * wave
        new += cross * wave[:, ::-1]
        return np.fft.irfft(new, n=n, axis=-1)

    varies = 1.0 - slope_W_m2K / h[..., None]
    first = behind(faces_C + q_W_m2 / h[..., None]) - faces_C
    ways = [first]
    for _ in range(ROUNDS):
        ways.append(ways[-1] - behind(varies * ways[-1]))
    whole = np.stack(ways, axis=1).reshape(m, ROUNDS + 1, -1)
    moved = whole[:, 1:]
    square = np.linalg.pinv(moved @ moved.transpose(0, 2, 1), rcond=ALIKE, hermitian=True)
    parts = (square @ moved @ first.reshape(m, -1, 1))[..., 0]
    best = (parts[:, None] @ whole[:, :-1])[:, 0].reshape(faces_C.shape)
    return np.asarray(faces_C + best)
