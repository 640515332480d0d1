"""The one comparison of the handbook tests: no tolerance without a reason."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

WIDEST = 0.20


def close(
    found: ArrayLike,
    expected: ArrayLike,
    *,
    within: float,
    because: str,
    source: str,
    unit: str = "relative",
) -> None:
    """Assert that `found` agrees with `expected`.

    within: the tolerance, relative to `expected` (unit="relative") or in the given unit.
    because: why the tolerance is what it is. source: where `expected` comes from.
    A relative tolerance above 20 % is refused: such a comparison proves nothing; assert a bound
    or an order instead.
    """
    if len(because.split()) < 3 or len(source.split()) < 2:
        raise ValueError("a comparison needs a source and the reason for its tolerance")
    want = np.asarray(expected, dtype=np.float64)
    have = np.asarray(found, dtype=np.float64)
    if unit == "relative":
        if not 0.0 < within <= WIDEST:
            raise ValueError(f"relative tolerance {within:g} is not in (0, {WIDEST:g}]")
        room = within * np.abs(want)
    else:
        if not 0.0 < within <= WIDEST * float(np.max(np.abs(want))):
            raise ValueError(f"tolerance {within:g} {unit} is wider than 20 % of the largest value")
        room = np.full(want.shape, within)
    off = ~(np.abs(have - want) <= room)  # nan counts as off
    if np.any(off):
        raise AssertionError(
            f"found {have} but {source} says {want}, tolerance {within:g} ({unit}; {because})"
        )
