"""The walls' linear answer to what drives their faces, with properties at their own temperature."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from stovelint.heat.layers import Admittance, Complexes, face_response, joined, layer_admittance
from stovelint.heat.network import Network
from stovelint.heat.sampling import Fill

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

BLOCK = 8
"""Members answered at once: their arrays then stay in the processor's cache."""


class Walls:
    """The walls' linear answer: admittances and the Robin films, renewed as k(T) settles."""

    def __init__(self, net: Network, omega: Floats) -> None:
        self.net, self.omega = net, omega
        self.members: Ints | None = None  # all
        counts = np.array([len(l) for l in net.layers])
        self.order = np.argsort(-counts, kind="stable")
        deepest = int(counts.max())
        self.rows = [
            np.array([net.layers[w][depth] for w in self.order if counts[w] > depth])
            for depth in range(deepest)
        ]
        self.ratio = net.face_area_m2 / np.tile(net.face_area_m2[: net.walls], 2)

    def renew(self, faces_mean_C: Floats, film: Floats) -> None:
        """Properties at the layers' means, and the answers that follow. `faces_mean_C`, `film`
        (M, 2W): cycle means, degC and W/m2K."""
        self.film, self.mean_C = film, faces_mean_C
        self.r, self.c = self._properties(faces_mean_C)
        self.wall = self._admittance()
        self.robin = face_response(self.wall, *np.split(film * self.ratio, 2, axis=1))

    def _admittance(self) -> Admittance:
        """Of every wall, its layers joined."""
        total: Admittance | None = None
        for rows in self.rows:
            layer = layer_admittance(self.r[:, rows], self.c[:, rows], self.omega)
            if total is None:
                a, b, d = layer
                # of a single layer a and d are one array, and what follows writes to each
                total = (a, b, d.copy())
                continue
            n = len(rows)
            changed = joined((total[0][:, :n], total[1][:, :n], total[2][:, :n]), layer)
            for whole, new in zip(total, changed):
                whole[:, :n] = new
        assert total is not None
        back = np.empty_like(self.order)
        back[self.order] = np.arange(len(self.order))
        return total[0][:, back], total[1][:, back], total[2][:, back]

    def _properties(self, faces_mean_C: Floats) -> tuple[Floats, Floats]:
        """Two rounds: boundaries from the last resistances, then properties, then again."""
        w = self.net.walls
        hot, cold = faces_mean_C[:, :w], faces_mean_C[:, w:]
        first = not hasattr(self, "r")
        r = np.ones((len(hot), sum(len(l) for l in self.net.layers))) if first else self.r
        upper, lower = np.empty_like(r), np.empty_like(r)
        for _ in range(2):
            for wall, rows in enumerate(self.net.layers):
                index = list(rows)
                part = np.cumsum(r[:, index], axis=1)
                fall = (hot[:, wall] - cold[:, wall])[:, None] * part / part[:, -1:]
                lower[:, index] = hot[:, wall, None] - fall
                upper[:, index[1:]] = lower[:, index[:-1]]
                upper[:, index[0]] = hot[:, wall]
            r, c = self._at(upper, lower)
        return r, c

    def _at(self, upper: Floats, lower: Floats) -> tuple[Floats, Floats]:
        """The network's properties, for the members that are left."""
        if self.members is None:
            self.upper, self.lower = upper, lower
            return self.net.properties(upper, lower)
        self.upper[self.members], self.lower[self.members] = upper, lower
        r, c = self.net.properties(self.upper, self.lower)
        return r[self.members], c[self.members]

    def keep(self, rows: Ints) -> None:
        """Go on with these members only (rows of those that are left)."""
        self.members = rows if self.members is None else self.members[rows]
        self.r, self.c, self.film, self.mean_C = (
            part[rows] for part in (self.r, self.c, self.film, self.mean_C)
        )
        a, b, d = self.wall
        self.wall = (a[rows], b[rows], d[rows])
        one, two, three, four = self.robin
        self.robin = (one[rows], two[rows], three[rows], four[rows])

    def answer(self, wave: Complexes, push_K: Floats, fill: Fill) -> Floats:
        """New faces for the spectrum `wave` (M, 2W, H) of the old ones and what drives them or is
        added to them, `push_K` (M, 2W, S) at the chosen samples.

        Puts the new faces' spectrum into `wave` and returns them at the chosen samples.
        """
        w = self.net.walls
        after = np.empty_like(push_K)
        for first in range(0, len(wave), BLOCK):
            rows = slice(first, first + BLOCK)
            drive = np.fft.rfft(fill.all(push_K[rows]), axis=-1)
            drive += wave[rows]
            hot, cross_hot, cross_cold, cold = (part[rows] for part in self.robin)
            new = wave[rows]
            np.multiply(hot, drive[:, :w], out=new[:, :w])
            new[:, :w] += cross_hot * drive[:, w:]
            np.multiply(cold, drive[:, w:], out=new[:, w:])
            new[:, w:] += cross_cold * drive[:, :w]
            if fill.samples % 2 == 0:
                new[..., -1] = new[..., -1].real  # a real history's fastest harmonic has no phase
            after[rows] = np.fft.irfft(new, n=fill.samples, axis=-1)[..., fill.chosen]
        return after
