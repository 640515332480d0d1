"""How far things grow when heated, what room that leaves, and how thick a joint takes it up."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from stovelint.heat.arrays import Floats, Numbers

JOINT_GIVES = (0.3, 0.5)
"""Share of its thickness that a blanket joint gives and comes back (common practice, no source)."""


def growth_m(
    length_m: Numbers, alpha_1_K: Numbers, mean_C: Numbers, built_C: Numbers
) -> Floats:
    """Free growth of a length from the temperature at which it was built in, m.

    dL = alpha L (T - T_built).

    length_m: m; alpha_1_K: mean expansion between the two, 1/K; mean_C: mean over the length and
    through the thickness, degC; built_C: degC; all broadcast.
    Source: definition of linear expansion.

    >>> print(f"{growth_m(1.2, 7e-6, 220.0, 20.0) * 1000:.1f} mm")
    1.7 mm
    """
    rise = np.asarray(mean_C, dtype=np.float64) - built_C
    return np.asarray(length_m * np.asarray(alpha_1_K, dtype=np.float64) * rise)


def gap_left_m(gap_m: Numbers, inner_m: Numbers, outer_m: Numbers = 0.0) -> Floats:
    """What is left of the gap between two things of which one stands inside the other, m.

    gap - (inner - outer) / 2: each grows from its middle, so half of it to each side. Negative:
    the inner one presses by as much.

    gap_m: as built, on each side; inner_m, outer_m: growth of the whole length of each, m.

    >>> print(f"{gap_left_m(0.004, 0.0013, 0.0005) * 1000:.1f} mm")
    3.6 mm
    """
    return np.asarray(gap_m - 0.5 * (np.asarray(inner_m, dtype=np.float64) - outer_m))


def joint_m(moves_m: Numbers, gives: Numbers) -> Floats:
    """Thickness of a joint that must take up a movement, m: what moves over the share it gives.

    moves_m: m; gives: share of its thickness that it can lose and get back, 0 to 1; a blanket
    `JOINT_GIVES`.

    >>> print(f"{joint_m(0.0017, 0.3) * 1000:.1f} mm")
    5.7 mm
    """
    return np.asarray(np.asarray(moves_m, dtype=np.float64) / gives)
