"""Memory that is freed and asked for again a thousand times in one solution."""

from __future__ import annotations

from functools import cache

import numpy as np

BLOCK_BYTES = 32_000_000
"""Below 32 MiB, beyond which the C library learns nothing from a block."""


@cache
def keep_freed_memory() -> None:
    """Let the C library keep what is freed, instead of giving it back to the system at once.

    The arrays of a solution are of some hundred kilobytes, which the GNU C library takes from the
    system one by one and gives back one by one; every time the system fills them with noughts. It
    learns from the largest block of this kind that is freed to keep all smaller ones, so one large
    block, never touched, is asked for and freed before the first solution. Elsewhere it is nothing.
    Source: `M_MMAP_THRESHOLD` in the manual page mallopt(3). Safe to call often.
    """
    np.empty(BLOCK_BYTES, dtype=np.uint8)
