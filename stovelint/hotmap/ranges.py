"""A figure over the cases of an ensemble and over the range of a material at once."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Callable, Sequence

import numpy as np
from numpy.typing import NDArray

from stovelint.catalogue import Triple

Floats = NDArray[np.float64]


@dataclass(frozen=True, kw_only=True)
class Range:
    """Lowest case with the material's low end, median with its typical, highest with its high."""

    low: float
    mid: float
    high: float


def middle(values: Floats) -> float:
    """The median, (members,).

    >>> middle(np.array([4.0, 1.0, 2.0])), middle(np.array([4.0, 1.0]))
    (2.0, 2.5)
    """
    ordered = np.sort(values)  # np.median would import masked arrays
    half = ordered.size // 2
    return float(0.5 * (ordered[half] + ordered[-1 - half]))


def ranged(runs: Sequence[Sequence[Floats]]) -> Range:
    """Of the low, typical and high values of every case, (members,) each, for each damper state."""
    typical = np.max([run[1] for run in runs], axis=0)
    return Range(
        low=min(float(run[0].min()) for run in runs), mid=middle(typical),
        high=max(float(run[2].max()) for run in runs),
    )  # fmt: skip


def by_ends(runs: Sequence[Floats], of: Callable[[Floats, int], Floats]) -> Range:
    """`of` (values of the cases, end of the material's ranges: 0 low, 1 typical, 2 high)."""
    return ranged([[of(values, end) for end in range(3)] for values in runs])


def end_of(triple: Triple, end: int) -> float:
    """The low (0), typical (1) or high (2) figure."""
    return (triple.low, triple.typical, triple.high)[end]
