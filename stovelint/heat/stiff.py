"""What lets the passes converge where films swing, walls are light and zones are closed.

The Robin condition of a pass uses one film coefficient per face for the whole cycle, and takes the
gas and the other faces of a zone as they were. Two things then go slowly or not at all:

- In a firebox the true film is many times its mean while the fire burns, and behind it may lie a
  light wall (an insulating riser, a pane of glass): the plain pass overshoots. The excess
  g(t) = h(t) - film is taken in by each wall by itself, with Z the wall's answer in time:
  delta + Z * (g delta) = r, solved exactly in the window of samples where g is large.
- The faces of a zone with little flow follow each other: when all rise together no heat flows.
  With kappa(t) the share of a face's loss that the zone gives back, and w the weights of the
  faces, delta_i + Z_i * (g_i delta_i - h_i kappa sum w_j delta_j) = r_i is solved for each
  closed zone.

Both only change the way to the solution: where r = 0, delta = 0.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from stovelint.heat.layers import Admittance
from stovelint.heat.sampling import Fill

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

WINDOW_SHARE = 0.12
"""Samples count as the window where g passes this share of its largest value."""
FIXED_FILM_W_m2K = 1e3
WIDEST_WINDOW = 40
NEEDS_HELP = 0.8
"""A wall is corrected when the rows of Z g sum to more than this (1: the plain pass diverges)."""


class Correction:
    """Corrections of the plain change; one set for all members, from films that bound theirs."""

    def __init__(
        self, wall: Admittance, film: Floats, ratio: Floats, local_film: Floats,
        groups: list[tuple[Ints, Floats, Floats]], fill: Fill,
    ) -> None:  # fmt: skip
        """Args: `wall` (M, W, H) admittances; `film` (M, 2W) Robin films; `ratio` (2W,) face area
        over hot-face area; `local_film` (2W, N) film at each sample. `groups`: per closed zone its
        faces (F,), their weights (F,) summing to 1, and kappa (S,) at the `chosen` samples, which
        `fill` carries to all; or kappa (S, S), where what comes back at one time (row) is a share
        of the change at others. The groups are solved at the chosen samples only.
        """
        w, n, chosen = wall[0].shape[1], local_film.shape[1], fill.chosen
        mean_film = film.mean(axis=0)
        robin = mean_film * ratio
        a, b, d = (part.mean(axis=0) for part in wall)
        left, right = a + robin[:w, None], d + robin[w:, None]
        scale = 1.0 / (left * right - b * b)
        excess = (local_film - mean_film[:, None]) * ratio[:, None]
        excess[mean_film > FIXED_FILM_W_m2K] = 0.0  # the ground's: a fixed temperature
        span = np.abs(excess).max(axis=0)
        seen = span[chosen]
        strong = chosen[seen > WINDOW_SHARE * seen.max()]
        strong = strong[np.argsort(-span[strong], kind="stable")[:WIDEST_WINDOW]]
        self.window: Ints = np.sort(strong)
        k = len(self.window)
        g = np.concatenate([excess[:w, self.window], excess[w:, self.window]], axis=1)
        answers = [np.fft.irfft(z, n=n, axis=-1) for z in (right * scale, b * scale, left * scale)]
        lag = (chosen[:, None] - self.window[None, :]) % n
        at = np.searchsorted(chosen, self.window)
        inside = lag[at]
        # films that are not numbers have no window: the pass then says that it has not converged
        reach = np.maximum(
            (np.abs(answers[0][:, inside]) @ np.abs(g[:, :k, None]))[..., 0]
            .max(axis=1, initial=0.0),
            (np.abs(answers[2][:, inside]) @ np.abs(g[:, k:, None]))[..., 0]
            .max(axis=1, initial=0.0),
        )
        self.walls: Ints = np.flatnonzero(reach > NEEDS_HELP)
        z11, z12, z22 = (z[self.walls][:, lag] for z in answers)
        half = len(chosen)
        whole = np.empty((len(self.walls), 2 * half, 2 * k))
        at_hot, at_cold = g[self.walls, None, :k], g[self.walls, None, k:]
        np.multiply(z11, at_hot, out=whole[:, :half, :k])
        np.multiply(z12, at_hot, out=whole[:, half:, :k])
        np.multiply(z12, at_cold, out=whole[:, :half, k:])
        np.multiply(z22, at_cold, out=whole[:, half:, k:])
        block = whole[:, np.concatenate([at, half + at]), :]
        block[:, range(2 * k), range(2 * k)] += 1.0
        self.matrix = whole @ np.linalg.inv(block)
        self.chosen, self.at, self.fill = chosen, at, fill
        self.groups = [
            self._group(answers, faces, weights, kappa, local_film * ratio[:, None], robin, w)
            for faces, weights, kappa in groups
        ]  # fmt: skip

    def _group(
        self, answers: list[Floats], faces: Ints, weights: Floats, kappa: Floats,
        local: Floats, robin: Floats, w: int,
    ) -> tuple[Ints, Floats, Floats]:  # fmt: skip
        """(faces, weights, X (F, S, S)) with the group's extra change X @ (weighted change)."""
        n, chosen = local.shape[1], self.chosen
        # of the circle of lags only the rows that are looked at: of all it would be N by N
        seen = (chosen[:, None] - np.arange(n)) % n
        inside = (self.window[:, None] - np.arange(n)) % n
        spread = np.empty((len(faces), len(chosen), len(chosen)))
        matrix_T = self.fill.all(np.eye(len(chosen))).T
        position = {int(wall): i for i, wall in enumerate(self.walls)}
        open_film = np.zeros(n, dtype=bool)
        open_film[self.window] = True
        for i, face in enumerate(faces):
            wall, cold = int(face) % w, int(face) >= w
            own = np.where(open_film & (wall in position), local[face], robin[face])
            if kappa.ndim == 2:
                drive = own[:, None] * self.fill.all(kappa.T).T
            else:
                drive = (own * self.fill.all(kappa))[:, None] * matrix_T
            z = answers[2 if cold else 0][wall][seen] @ drive
            if wall in position:
                matrix = self.matrix[position[wall]]
                cross = answers[1][wall][inside] @ drive
                same = z[self.at]  # of the rows that are looked at, those in the window
                both = np.concatenate([cross, same] if cold else [same, cross], axis=0)
                half = len(chosen)
                z -= (matrix[half:] if cold else matrix[:half]) @ both
            spread[i] = z
        total = np.tensordot(weights, spread, axes=1)
        return faces, weights, spread @ np.linalg.inv(np.eye(len(chosen)) - total)

    def apply(self, change: Floats) -> None:
        """Replace the plain change (M, 2W, S) by the corrected one, in place."""
        w = change.shape[1] // 2
        if len(self.walls):
            hot, cold = self.walls, w + self.walls
            seen = np.concatenate(
                [change[:, hot][..., self.at], change[:, cold][..., self.at]], axis=2
            )
            less = np.matmul(self.matrix, seen.transpose(1, 2, 0)).transpose(2, 0, 1)
            half = len(self.chosen)
            change[:, hot] -= less[..., :half]
            change[:, cold] -= less[..., half:]
        for faces, weights, extra in self.groups:
            together = np.tensordot(change[:, faces], weights, axes=(1, 0))
            change[:, faces] += np.matmul(extra, together.T).transpose(2, 0, 1)
