"""The walls' linear answer to what drives their faces, with properties at their own temperature."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from stovelint.heat.branches import (
    Branches, Steady, between_C, given_W_m2, offsets_C, steady_channel, steady_joined, steady_layer,
)  # fmt: skip
from stovelint.heat.layers import Admittance, Complexes, face_response, joined, layer_admittance
from stovelint.heat.network import Network
from stovelint.heat.sampling import Fill, seen_at

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

BRANCHED_ROUNDS = 6
"""Of properties with channels, whose air moves the boundaries; a test compares with many more."""
BLOCK = 16
"""Members answered at once: their arrays then stay in the processor's cache."""


class Walls:
    """The walls' linear answer: admittances and the Robin films, renewed as k(T) settles."""

    def __init__(self, net: Network, omega: Floats, room_C: Floats | None = None) -> None:
        """`omega` of the harmonics, rad/s; `room_C` (M, 1) of the air that passes channels."""
        self.net, self.omega, self.room_C = net, omega, room_C
        self.branches: Branches | None = None
        self.aside: dict[int, Steady] = {}
        """The walls with channels, in the mean."""
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
        hot, cold = np.split(film * self.ratio, 2, axis=1)
        self.robin = face_response(self.wall, hot, cold)
        self.aside = {wall: self._steady(wall)[-1] for wall in self._with_channels()}
        self.offset_K = {
            wall: offsets_C(whole, hot[:, wall], cold[:, wall])
            for wall, whole in self.aside.items()
        }

    def _admittance(self) -> Admittance:
        """Of every wall, its layers joined."""
        total: Admittance | None = None
        for rows in self.rows:
            layer = layer_admittance(self.r[:, rows], self.c[:, rows], self.omega)
            layer = self._branched(layer, rows)
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
        channels = self._with_channels()
        for _ in range(2 if not channels else BRANCHED_ROUNDS):
            for wall, rows in enumerate(self.net.layers):
                index = list(rows)
                part = np.cumsum(r[:, index], axis=1)
                fall = (hot[:, wall] - cold[:, wall])[:, None] * part / part[:, -1:]
                lower[:, index] = hot[:, wall, None] - fall
                upper[:, index[1:]] = lower[:, index[:-1]]
                upper[:, index[0]] = hot[:, wall]
                if wall in channels and self.branches is not None:
                    self._aside(wall, hot[:, wall], cold[:, wall], upper, lower)
            r, c = self._at(upper, lower)
            if channels:
                self.r = r
                self.branches = self._branches()
        return r, c

    def _with_channels(self) -> tuple[int, ...]:
        channels = self.net.channels
        return () if channels is None else tuple(dict.fromkeys(channels.walls.tolist()))

    def _branches(self) -> Branches:
        """What the channels do at the boundaries known, for the members that are left."""
        channels = self.net.channels
        assert channels is not None and self.room_C is not None
        at = channels.layers
        found = channels.reckon(self.upper[:, at], self.lower[:, at], self.room_C)
        return found if self.members is None else Branches(*(p[self.members] for p in found))

    def _branched(self, layer: Admittance, rows: Ints) -> Admittance:
        """The layers, with the channels among them put in their place."""
        channels, branches = self.net.channels, self.branches
        if channels is None or branches is None:
            return layer
        a, b, d = layer[0], layer[1], layer[2].copy()
        for k, row in enumerate(channels.layers):
            for at in np.flatnonzero(rows == row):
                a[:, at] = branches.a[:, k, None]
                b[:, at] = branches.b[:, k, None]
                d[:, at] = branches.d[:, k, None]
        return a, b, d

    def _steady(self, wall: int) -> list[Steady]:
        """The first layer of a wall, the first two, and so on to the whole."""
        result: list[Steady] = []
        for layer in self._layers_of(wall):
            result.append(steady_joined(result[-1], layer) if result else layer)
        return result

    def _layers_of(self, wall: int) -> list[Steady]:
        channels, branches = self.net.channels, self.branches
        assert channels is not None and branches is not None
        place = {int(row): k for k, row in enumerate(channels.layers)}
        return [
            steady_channel(*(part[:, place[row]] for part in branches)) if row in place
            else steady_layer(self.r[:, row])
            for row in self.net.layers[wall]
        ]  # fmt: skip

    def _aside(
        self, wall: int, hot_C: Floats, cold_C: Floats, upper: Floats, lower: Floats
    ) -> None:
        """Means at the layers' boundaries where air takes heat on the way, in place."""
        before, layers, index = self._steady(wall), self._layers_of(wall), self.net.layers[wall]
        after = layers[-1]
        for i in range(len(index) - 2, -1, -1):
            plane = between_C(before[i], after, hot_C, cold_C)
            lower[:, index[i]] = upper[:, index[i + 1]] = plane
            after = steady_joined(layers[i], after)
        lower[:, index[-1]] = cold_C

    def given_W_m2(self, faces_mean_C: Floats) -> Floats:
        """Mean heat that the air in each wall takes, per hot-face area, (M, W)."""
        w = self.net.walls
        given = np.zeros((len(faces_mean_C), w))
        for wall, whole in self.aside.items():
            given[:, wall] = given_W_m2(whole, faces_mean_C[:, wall], faces_mean_C[:, w + wall])
        return given

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
        if self.branches is not None:
            self.branches = Branches(*(part[rows] for part in self.branches))
        self.aside = {
            wall: Steady(*(part[rows] for part in whole)) for wall, whole in self.aside.items()
        }
        self.offset_K = {
            wall: (hot[rows], cold[rows]) for wall, (hot, cold) in self.offset_K.items()
        }

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
            for wall, (more_hot, more_cold) in self.offset_K.items():
                new[:, wall, 0] += more_hot[rows] * fill.samples
                new[:, w + wall, 0] += more_cold[rows] * fill.samples
            if fill.samples % 2 == 0:
                new[..., -1] = new[..., -1].real  # a real history's fastest harmonic has no phase
            after[rows] = seen_at(np.fft.irfft(new, n=fill.samples, axis=-1), fill.chosen)
        return after
