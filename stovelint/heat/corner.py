"""How far the cool of a corner is felt along a wall."""

from __future__ import annotations

from math import pi
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from stovelint.heat.arrays import Floats, Numbers

FELT, FELT_PER_HALF = 1.05, 3.25
"""What the middle of a side feels of the corners, over exp(-b a / t), and its growth with a / t
(a wider wall differs less from its flat side as a whole): fitted to square chambers by finite
elements, a / t of 0.7 to 4.4 (computed, `tests/heat/test_corner.py`)."""
HALVINGS = 40


def decay(hot_biot: Numbers, cold_biot: Numbers) -> Floats:
    """How a disturbance of a wall's steady profile fades along it: exp(-b x / t); returns b (-).

    The least root of (b^2 - B1 B2) sin b = b (B1 + B2) cos b, between 0 and pi: wall of thickness t
    between films of Biot numbers B = h R. Exact for one material.

    hot_biot, cold_biot: > 0, broadcast. Source: separation of variables (Carslaw and Jaeger).

    >>> print(f"{decay(1e9, 1e9):.3f} {decay(3.94, 3.29):.3f}")
    3.142 2.089
    """
    one, two = np.asarray(hot_biot, dtype=np.float64), np.asarray(cold_biot, dtype=np.float64)
    product, total = one * two, one + two
    low = np.zeros(np.broadcast(one, two).shape)
    high = np.full_like(low, pi)
    for _ in range(HALVINGS):
        b = 0.5 * (low + high)
        under = (b * b - product) * np.sin(b) < b * total * np.cos(b)
        low, high = np.where(under, b, low), np.where(under, high, b)
    return np.asarray(0.5 * (low + high))


def felt_at_middle(hot_biot: Numbers, cold_biot: Numbers, half_side: Numbers) -> Floats:
    """How much of the difference between a flat wall and the wall as a whole, its corners reckoned
    in, is left in the middle of a side of a square chamber, in the steady mean (0 to 1).

    (1.05 + 3.25 a / t) exp(-b a / t), at most 1. half_side: a / t, half the inner side over the
    thickness, > 0; the rest as in `decay`; all broadcast. The skin follows within 1 % of its rise
    for a / t above 0.7.

    >>> print(f"{felt_at_middle(3.94, 3.29, 0.87):.2f} {felt_at_middle(3.94, 3.29, 4.0):.4f}")
    0.63 0.0033
    """
    half = np.asarray(half_side, dtype=np.float64)
    near = FELT + FELT_PER_HALF * half
    return np.minimum(near * np.exp(-decay(hot_biot, cold_biot) * half), 1.0)
