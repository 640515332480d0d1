"""Acceleration of the passes (Anderson): where to look next, from where the last passes led."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

MEMORY = 5
LOWEST_C, HIGHEST_C = -60.0, 2200.0


class Mixer:
    """Anderson acceleration of the passes, each member by itself.

    Next point: g - dG gamma, with gamma the least squares of the last change on the last changes'
    differences. Only the faces, at the evaluated samples, count in the fit (the gas follows them).
    """

    def __init__(self, faces: int, chosen: Ints) -> None:
        self.faces, self.chosen = faces, chosen
        self.forget()

    def forget(self) -> None:
        self.history: list[Floats] = []
        self.steps: list[Floats] = []
        self.last: tuple[Floats, Floats] | None = None

    def next(
        self, before_C: Floats, faces_C: Floats, zones_C: Floats
    ) -> tuple[Floats, Floats]:
        m, cut = faces_C.shape[0], faces_C[0].size
        whole = np.concatenate([faces_C.reshape(m, -1), zones_C.reshape(m, -1)], axis=1)
        rest = (faces_C[..., self.chosen] - before_C[..., self.chosen]).reshape(m, -1)
        if self.last is not None:
            self.history.append(whole - self.last[0])
            self.steps.append(rest - self.last[1])
            del self.history[:-MEMORY], self.steps[:-MEMORY]
        self.last = (whole, rest)
        if self.history:
            steps = np.stack(self.steps, axis=1)
            normal = steps @ steps.transpose(0, 2, 1)
            trace = np.einsum("mii->m", normal)
            depth = range(len(self.steps))
            normal[:, depth, depth] += (1e-10 * trace + 1e-30)[:, None]
            gamma = np.linalg.solve(normal, steps @ rest[:, :, None])
            whole = whole.copy()
            for i, step in enumerate(self.history):
                whole -= gamma[:, i] * step
            np.clip(whole, LOWEST_C, HIGHEST_C, out=whole)
        return whole[:, :cut].reshape(faces_C.shape), whole[:, cut:].reshape(zones_C.shape)
