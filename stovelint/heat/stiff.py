"""The local correction that lets the passes converge where films swing and walls are light.

The Robin condition of a pass uses one film coefficient per face for the whole cycle. In a firebox
the true one is many times that while the fire burns, and behind it may lie a light wall (an
insulating riser, a pane of glass): the plain pass then overshoots. Here the excess
g(t) = h(t) - film is taken in by each wall by itself: with Z the wall's answer in time to a heat
flow at its faces, the plain change r is replaced by the delta that solves

    delta + Z * (g delta) = r

exactly inside the window of samples where g is large. This only changes the way to the solution,
not the solution: where r = 0, delta = 0.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from stovelint.heat.layers import Admittance

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

WINDOW_SHARE = 0.12
"""Samples count as the window where g passes this share of its largest value."""
NEEDS_HELP = 0.4
"""A wall is corrected when the rows of Z g sum to more than this (1: the plain pass diverges)."""


class LocalFix:
    """Corrections for the walls that need one; the same for all members (from their mean)."""

    def __init__(
        self, wall: Admittance, film: Floats, ratio: Floats, local_film: Floats
    ) -> None:
        """Args: `wall` (M, W, H) admittances; `film` (M, 2W) Robin films; `ratio` (2W,) face area
        over hot-face area; `local_film` (2W, N) film at each sample, mean of the members."""
        w, n = wall[0].shape[1], local_film.shape[1]
        robin = (film * ratio).mean(axis=0)
        a, b, d = (part.mean(axis=0) for part in wall)
        left, right = a + robin[:w, None], d + robin[w:, None]
        scale = 1.0 / (left * right - b * b)
        excess = (local_film - film.mean(axis=0)[:, None]) * ratio[:, None]
        span = np.abs(excess).max(axis=0)
        self.window: Ints = np.flatnonzero(span > WINDOW_SHARE * span.max())
        k = len(self.window)
        g = np.concatenate([excess[:w, self.window], excess[w:, self.window]], axis=1)
        answers = [np.fft.irfft(z, n=n, axis=-1) for z in (right * scale, b * scale, left * scale)]
        lag = (np.arange(n)[:, None] - self.window[None, :]) % n
        inside = lag[self.window]
        reach = np.maximum(
            (np.abs(answers[0][:, inside]) @ np.abs(g[:, :k, None]))[..., 0].max(axis=1),
            (np.abs(answers[2][:, inside]) @ np.abs(g[:, k:, None]))[..., 0].max(axis=1),
        )
        self.walls: Ints = np.flatnonzero(reach > NEEDS_HELP)
        z11, z12, z22 = (z[self.walls][:, lag] for z in answers)
        whole = np.concatenate(
            [np.concatenate([z11, z12], axis=2), np.concatenate([z12, z22], axis=2)], axis=1
        ) * g[self.walls][:, None, :]  # fmt: skip
        rows = np.concatenate([self.window, n + self.window])
        block = whole[:, rows, :].copy()
        block[:, range(2 * k), range(2 * k)] += 1.0
        self.matrix = whole @ np.linalg.inv(block)

    def apply(self, change: Floats) -> None:
        """Replace the plain change (M, 2W, N) by the corrected one, in place."""
        if not len(self.walls):
            return
        w, n = change.shape[1] // 2, change.shape[2]
        hot, cold = self.walls, w + self.walls
        seen = np.concatenate(
            [change[:, hot][..., self.window], change[:, cold][..., self.window]], axis=2
        )
        less = np.matmul(self.matrix, seen.transpose(1, 2, 0)).transpose(2, 0, 1)
        change[:, hot] -= less[..., :n]
        change[:, cold] -= less[..., n:]
