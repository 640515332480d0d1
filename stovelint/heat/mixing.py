"""Acceleration of the passes (Anderson): where to look next, from where the last passes led.

Next point: g - dG gamma, with gamma the least squares of the last change on the last changes'
differences, each member by itself. Besides its own last differences a member may use those of a
case like it that was solved before (`Secants`): what moves slowly is the same in both. As they
are not quite its own, their use is held back by a small ridge.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

MEMORY = 5
RIDGE_OWN, RIDGE_LENT = 1e-5, 0.1
"""On the differences scaled to one: below the own ones' rounding, and the share by which another
case's answer to the same step may differ."""
LOWEST_C, HIGHEST_C = -60.0, 2200.0


@dataclass(frozen=True, kw_only=True, eq=False)
class Secants:
    """Differences between passes of one solved case, (K, all unknowns) and (K, faces' change)."""

    points: Floats
    steps: Floats


class Mixer:
    """The mixing of M members. Points are (M, unknowns), faces first; only the faces' change
    counts in the fit (the gas follows them)."""

    def __init__(self, lent: Secants | None) -> None:
        self.lent = lent
        if lent is not None:
            self.scale = 1.0 / np.maximum(np.linalg.norm(lent.steps, axis=1), 1e-30)
            self.lent_steps = lent.steps * self.scale[:, None]
            self.lent_normal = self.lent_steps @ self.lent_steps.T
        self.points: Floats | None = None
        self.steps: Floats | None = None
        self.inner: Floats
        self.mixed: Floats
        """Products of the own differences with each other and with the lent ones."""
        self.last: tuple[Floats, Floats] | None = None
        self.count = 0
        self.memory = MEMORY

    def widen(self, memory: int) -> None:
        """Start anew, with this many differences to remember from now on."""
        self.memory = memory
        self.points = self.steps = None
        self.forget()

    def forget(self) -> None:
        """Start anew: the map has changed."""
        self.count, self.last = 0, None

    def keep(self, rows: NDArray[np.int64]) -> None:
        """Go on with these members only."""
        if self.points is not None and self.steps is not None:
            self.points, self.steps = self.points[rows], self.steps[rows]
            self.inner, self.mixed = self.inner[rows], self.mixed[rows]
        if self.last is not None:
            self.last = (self.last[0][rows], self.last[1][rows])

    def newest(self) -> tuple[Floats, Floats] | None:
        """The last difference of the first member, points and steps."""
        if self.points is None or self.steps is None or self.count == 0:
            return None
        place = (self.count - 1) % self.memory
        return self.points[0, place].copy(), self.steps[0, place].copy()

    def next(self, whole: Floats, rest: Floats) -> Floats:
        """Where to look next. `whole` (M, unknowns): where the pass led; `rest` (M, faces): the
        change of the faces in it."""
        lent = 0 if self.lent is None else len(self.scale)
        if self.last is not None:
            self._remember(whole - self.last[0], rest - self.last[1], lent)
        self.last = (whole, rest)
        own = min(self.count, self.memory)
        if own + lent == 0:
            return whole
        normal = np.empty((len(whole), lent + own, lent + own))
        right = np.empty((len(whole), lent + own, 1))
        if lent:
            normal[:, :lent, :lent] = self.lent_normal
            normal[:, range(lent), range(lent)] += RIDGE_LENT**2
            right[:, :lent, 0] = rest @ self.lent_steps.T
        if own:
            assert self.steps is not None
            steps, inner = self.steps[:, :own], self.inner[:, :own, :own]
            size = 1.0 / np.maximum(np.sqrt(np.einsum("mii->mi", inner)), 1e-30)
            normal[:, lent:, lent:] = inner * size[:, :, None] * size[:, None, :]
            diagonal = range(lent, lent + own)
            normal[:, diagonal, diagonal] += RIDGE_OWN**2
            right[:, lent:, 0] = (steps @ rest[:, :, None])[:, :, 0] * size
            if lent:
                mixed = self.mixed[:, :own] * size[:, :, None]
                normal[:, lent:, :lent] = mixed
                normal[:, :lent, lent:] = mixed.transpose(0, 2, 1)
        gamma = np.linalg.solve(normal, right)[:, :, 0]
        ahead = whole.copy()
        if lent:
            assert self.lent is not None
            ahead -= (gamma[:, :lent] * self.scale) @ self.lent.points
        if own:
            assert self.points is not None
            weights = (gamma[:, lent:] * size)[:, None, :]
            ahead -= np.matmul(weights, self.points[:, :own])[:, 0]
        return np.clip(ahead, LOWEST_C, HIGHEST_C, out=ahead)

    def _remember(self, point: Floats, step: Floats, lent: int) -> None:
        """One more difference of each member, in the place of the oldest."""
        if self.points is None or self.steps is None:
            m = len(point)
            self.points = np.empty((m, self.memory, point.shape[1]))
            self.steps = np.empty((m, self.memory, step.shape[1]))
            self.inner = np.empty((m, self.memory, self.memory))
            self.mixed = np.empty((m, self.memory, lent))
        place = self.count % self.memory
        self.count += 1
        self.points[:, place], self.steps[:, place] = point, step
        own = min(self.count, self.memory)
        products = (self.steps[:, :own] @ step[:, :, None])[:, :, 0]
        self.inner[:, place, :own] = self.inner[:, :own, place] = products
        if lent:
            self.mixed[:, place] = step @ self.lent_steps.T
