"""A layer as pieces feel it: difference through a piece, along it, and how fast it is heated.

Along a piece the neighbours warm each other. Over a step in its surroundings a plate of thickness
t that passes h to both sides together evens out like a fin, over the length
l = (k t / h)^(1/2): the middle of a piece that reaches the half size a beyond the step differs
from its edge by

    dT (1 - 1 / cosh(a / l))

of the whole step dT (fin with a held end and a free one; textbook heat conduction, recalled).
"""

from __future__ import annotations

import math
from itertools import combinations
from typing import Sequence

import numpy as np
from numpy.typing import NDArray

from stovelint.hotmap.profile import Profile, spread
from stovelint.hotmap.records import PatchHeat, PieceHeat, Spread

Floats = NDArray[np.float64]

RISE_WITHIN_S = 900.0
ROOM_C = 20.0
SIDES_W_M2K = 30.0
"""What a piece passes to both sides together: about 20 to hot gas with its radiation, 10 to a room
(judgement; the length it enters goes by its square root)."""


def piece_heat(insides: list[Profile], top_m: float, bottom_m: float) -> PieceHeat:
    """One layer between two depths of a patch, over all damper states that were run."""
    through, rise, middle = [], [], []
    for inside in insides:
        hot, cold = inside.at(top_m), inside.at(bottom_m)
        through.append(np.asarray(np.abs(hot - cold).max(axis=1)))
        rise.append(largest_rise_K(hot, inside.period_s))
        middle.append(inside.at(0.5 * (top_m + bottom_m)))
    return PieceHeat(
        through_K=spread(through, 0.0), rise_K=spread(rise, 0.0), middle_C=tuple(middle)
    )


def largest_rise_K(history_C: Floats, period_s: float, within_s: float = RISE_WITHIN_S) -> Floats:
    """Largest rise within a quarter of an hour, K, (members,); straight lines between samples.

    Args:
        history_C: (members, samples) over one cycle, which goes on from its end to its start.
        period_s: length of the cycle, s.

    >>> largest_rise_K(np.array([[20.0, 20.0, 50.0, 35.0]]), 3600.0).tolist()
    [30.0]
    >>> largest_rise_K(np.array([[20.0, 20.0, 50.0, 35.0]]), 3600.0, 450.0).tolist()
    [15.0]
    """
    steps = within_s * history_C.shape[1] / period_s
    whole = int(steps)
    part = steps - whole
    later = (1.0 - part) * np.roll(history_C, -whole, axis=1)
    later += part * np.roll(history_C, -whole - 1, axis=1)
    return np.asarray((later - history_C).max(axis=1))


def along_K(
    patches: Sequence[PatchHeat], pieces: Sequence[PieceHeat], half_m: float, decay_m: float
) -> Spread | None:
    """Largest difference along a piece between its middle and an edge, at one time, K.

    Between courses of one chamber's wall, and between stretches of a bench, the difference of two
    places counts in full when they are up to half a piece apart, and by their mean slope when they
    are further apart. Between the span of a slab and its bearing edge, and between what lies under
    two chambers, it counts as that of a fin (see above).

    Args:
        patches: where one layer lies, each with its piece in `pieces`.
        half_m: half of a piece along the way that is compared, m.
        decay_m: the length l, m.

    None where no two patches can be compared.
    """
    if not any(_share(a, b, half_m, decay_m) for a, b in combinations(patches, 2)):
        return None
    runs = []
    for run in range(len(pieces[0].middle_C)):
        worst = np.zeros(pieces[0].middle_C[run].shape[0])
        for (here, one), (there, other) in combinations(zip(patches, pieces), 2):
            share = _share(here, there, half_m, decay_m)
            apart = np.abs(one.middle_C[run] - other.middle_C[run]).max(axis=1)
            worst = np.maximum(worst, share * apart)
        runs.append(worst)
    return spread(runs, 0.0)


def decay_length_m(k_W_mK: float, thickness_m: float) -> float:
    """(k t / h)^(1/2), m: how far along a plate a step in its surroundings is felt.

    >>> round(decay_length_m(2.4, 0.05), 3)
    0.063
    """
    return math.sqrt(k_W_mK * thickness_m / SIDES_W_M2K)


def edge_bound_K(pieces: Sequence[PieceHeat], half_m: float, decay_m: float) -> float:
    """What `along_K` cannot pass between the middle of a slab and an edge at room temperature."""
    hottest = max(float(middle.max()) for piece in pieces for middle in piece.middle_C)
    return max(hottest - ROOM_C, 0.0) * _fin(half_m, decay_m)


def _fin(half_m: float, decay_m: float) -> float:
    return 1.0 - 1.0 / math.cosh(min(half_m / decay_m, 50.0))


def _share(one: PatchHeat, other: PatchHeat, half_m: float, decay_m: float) -> float:
    """How much of the difference between two patches a piece can feel."""
    same = one.chamber == other.chamber
    if one.along_m is not None and other.along_m is not None and same:
        return _within(abs(sum(one.along_m) - sum(other.along_m)) / 2.0, half_m)
    lying = (one.from_m == one.to_m, other.from_m == other.to_m)
    if all(lying):  # one slab over or under both: how far apart they are is not drawn
        return _fin(half_m, decay_m)
    if any(lying) or not same:
        return 0.0
    return _within(abs(one.from_m + one.to_m - other.from_m - other.to_m) / 2.0, half_m)


def _within(apart_m: float, half_m: float) -> float:
    return min(1.0, half_m / apart_m) if apart_m > 1e-9 else 0.0
