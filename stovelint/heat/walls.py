"""The walls' linear answer to what drives their faces, with properties at their own temperature."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from stovelint.heat.layers import Admittance, face_response, joined, layer_admittance
from stovelint.heat.network import Network

Floats = NDArray[np.float64]


class Walls:
    """The walls' linear answer: admittances and the Robin films, renewed as k(T) settles."""

    def __init__(self, net: Network, omega: Floats) -> None:
        self.net, self.omega = net, omega
        counts = np.array([len(l) for l in net.layers])
        self.order = np.argsort(-counts, kind="stable")
        deepest = int(counts.max())
        self.rows = [
            np.array([net.layers[w][depth] for w in self.order if counts[w] > depth])
            for depth in range(deepest)
        ]
        self.ratio = net.face_area_m2 / np.tile(net.face_area_m2[: net.walls], 2)

    def renew(self, faces_mean_C: Floats, film: Floats) -> None:
        """`faces_mean_C`, `film` (M, 2W): cycle means. Evaluates properties at layer means."""
        net, w = self.net, self.net.walls
        r, c = self.r, self.c = self._properties(faces_mean_C)
        total: Admittance | None = None
        for rows in self.rows:
            layer = layer_admittance(r[:, rows], c[:, rows], self.omega)
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
        back[self.order] = np.arange(w)
        self.wall: Admittance = (total[0][:, back], total[1][:, back], total[2][:, back])
        self.film, self.mean_C = film, faces_mean_C
        self.robin = face_response(self.wall, *np.split(film * self.ratio, 2, axis=1))

    def _properties(self, faces_mean_C: Floats) -> tuple[Floats, Floats]:
        """Two rounds: boundaries from the last resistances, then properties, then again."""
        net, w = self.net, self.net.walls
        hot, cold = faces_mean_C[:, :w], faces_mean_C[:, w:]
        layers = sum(len(l) for l in net.layers)
        upper = np.empty((faces_mean_C.shape[0], layers))
        lower = np.empty_like(upper)
        first = not hasattr(self, "r")
        r = c = np.ones_like(upper) if first else self.r
        for _ in range(2 if first else 1):
            for wall, rows in enumerate(net.layers):
                index = list(rows)
                part = np.cumsum(r[:, index], axis=1)
                fall = (hot[:, wall] - cold[:, wall])[:, None] * part / part[:, -1:]
                lower[:, index] = hot[:, wall, None] - fall
                upper[:, index[1:]] = lower[:, index[:-1]]
                upper[:, index[0]] = hot[:, wall]
            r, c = net.properties(upper, lower)
        return r, c

    def answer(self, faces_C: Floats, q_W_m2: Floats) -> Floats:
        """New face histories for the heat flows `q` (M, 2W, N) found at `faces_C`."""
        w, samples = self.net.walls, faces_C.shape[-1]
        drive = np.fft.rfft(faces_C + q_W_m2 / self.film[:, :, None], axis=-1)
        hot, cross_hot, cross_cold, cold = self.robin
        wave = np.empty_like(drive)
        np.multiply(hot, drive[:, :w], out=wave[:, :w])
        wave[:, :w] += cross_hot * drive[:, w:]
        np.multiply(cold, drive[:, w:], out=wave[:, w:])
        wave[:, w:] += cross_cold * drive[:, :w]
        return np.fft.irfft(wave, n=samples, axis=-1)
