"""The passes of the periodic regime, over the members that have not come to rest yet."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Callable

import numpy as np
from numpy.typing import NDArray

from stovelint.heat.gaspath import GasPass
from stovelint.heat.heater import Heater, Pass, State
from stovelint.heat.layers import harmonics_rad_s
from stovelint.heat.mixing import HIGHEST_C, LOWEST_C, Mixer, Secants
from stovelint.heat.network import Drive, Network
from stovelint.heat.sampling import (
    Fill, at_samples, looked_at, network_of, seen_at, some_members,
)  # fmt: skip
from stovelint.heat.stiff import Correction
from stovelint.heat.walls import Walls

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

TOLERANCE_K = 0.1
ENERGY_TOLERANCE = 8e-4
CORRECTIONS = 3
SETTLED_K = (np.inf, 20.0, 3.0)
RENEW_BELOW_K, DRIFT_K = 1.0, 0.6
"""Properties are renewed near the end when a face's mean has drifted this far since the last time:
conductivities move by at most 0.2 % per kelvin."""
FIRST_MARGIN, MARGIN = 1.5, 1.1
"""On the films the correction is made for: too high converges slowly, too low not at all."""
MOST_PASSES = 160
SLOW, AGAIN, LONG_MEMORY = 30, 15, 12
"""A heater that has not settled by the first is slow: its corrections were made while its faces
were still far off. From then on films, properties and correction are made anew every so many
passes, and more differences between passes are remembered."""
AT_REST = 0.5
"""Share of the tolerance at which a member is at rest and may be set down."""
SET_DOWN_SHARE = 0.25
"""Of the members left: fewer are not worth the copying."""
LEND_BELOW_K, LENT_MOST = 30.0, 8
"""Differences between passes are lent from where the solution is near, the last ones."""


@dataclass(frozen=True, kw_only=True, eq=False)
class Found:
    """What is known of members at rest, at all N samples. Shapes as in `periodic.Solution`."""

    faces_C: Floats
    gas: GasPass
    irradiation: Floats
    q_W_m2: Floats
    film_W_m2K: Floats
    r_m2K_W: Floats
    c_J_m2K: Floats
    energy_gap: Floats
    """(M,)."""
    channel_W_m2: Floats
    branches: Floats
    """(M, 4, K): a, b, d and in_C of the channels; K 0 where there are none."""


class Passes:
    """The passes. Between two of them the faces are known by their spectrum as the walls last
    answered (`wave`) and, at the chosen samples, by what was then added to it (`ahead`)."""

    def __init__(
        self, net: Network, drive: Drive, start: State, lent: Secants | None,
        chosen: Ints | None, *, near: bool,
    ) -> None:  # fmt: skip
        self.net, self.near = net, near
        chosen = looked_at(drive) if chosen is None else chosen
        self.fill = Fill(chosen, drive.samples)
        self.drive = at_samples(drive, chosen)
        self.released = drive.heat_W.mean(axis=1)
        self.heater = Heater(net, self.drive)
        omega = harmonics_rad_s(drive.period_s, drive.samples)
        self.walls = Walls(net, omega, drive.room_C)
        unknowns = (2 * net.walls + net.zones) * len(chosen)
        self.mixer = Mixer(lent if lent and lent.points.shape[1] == unknowns else None)
        self.columns: list[tuple[Floats, Floats]] = []
        self.renewals = 0
        each = drive.members // start.faces_C.shape[0]
        faces, zones, rays = (
            part if part is None or each == 1 else np.repeat(part, each, axis=0) for part in start
        )
        assert faces is not None and zones is not None  # only the rays may not be known
        self.wave = np.fft.rfft(faces, axis=-1)
        self.state = State(
            seen_at(faces, chosen), seen_at(zones, chosen),
            None if rays is None else seen_at(rays, chosen),
        )
        self.ahead = np.zeros_like(self.state.faces_C)
        self.members: Ints = np.arange(drive.members)
        self.at_rest: list[tuple[Ints, Found]] = []
        self.restless = 0
        """The face that moved most in the last pass."""

    def run(self, enough_K: float) -> tuple[int, float]:
        """Pass after pass until no member changes by more; the passes done and the last change.
        What is not finite at the end has not converged."""
        fill, walls = self.fill, self.walls
        worst = np.inf
        for count in range(1, MOST_PASSES + 1):
            seen = self.heater.evaluate(self.state)
            mean = self.wave[..., 0].real / fill.samples + self.ahead @ fill.mean
            self._renew(mean, seen, worst, count)
            push = seen.q_W_m2 / walls.film[:, :, None]
            push += self.ahead
            after = walls.answer(self.wave, push, fill)
            moved = after - self.state.faces_C
            self.fix.apply(moved)
            # a correction made for other films may throw a face beyond all bounds
            led = self.state.faces_C + moved
            np.clip(led, LOWEST_C, HIGHEST_C, out=led)
            np.subtract(led, self.state.faces_C, out=moved)
            change = np.abs(moved).max(axis=(1, 2))
            worst = float(change.max())
            if np.isfinite(worst):  # what is not finite soon is so everywhere
                self.restless = int(np.abs(moved).max(axis=(0, 2)).argmax())
            np.subtract(led, after, out=self.ahead)
            gap = self._energy_gap(seen)
            steady = np.abs(mean - walls.mean_C).max(axis=1) <= DRIFT_K
            steady &= gap <= ENERGY_TOLERANCE
            done = worst <= enough_K and (bool(steady.all()) or enough_K > TOLERANCE_K)
            if not np.isfinite(worst):
                break
            # also of the last pass: where acceleration leads is nearer than where the pass led
            self._mix(led, moved, seen)
            if worst < LEND_BELOW_K and (column := self.mixer.newest()) is not None:
                self.columns.append(column)
            if done:
                break
            rest = steady & (change <= AT_REST * enough_K)
            if rest.sum() >= SET_DOWN_SHARE * len(rest) and count < MOST_PASSES:
                self._set_down(np.flatnonzero(rest), seen)
                self._keep(np.flatnonzero(~rest))
        self._set_down(np.arange(len(self.members)), seen)
        return count, worst

    def _renew(self, mean_C: Floats, seen: Pass, worst_K: float, count: int) -> None:
        """Properties, Robin films and correction, as the solution is neared."""
        walls = self.walls
        again = count >= SLOW and (count - SLOW) % AGAIN == 0
        if again or self.renewals == 0 or (
            self.renewals < CORRECTIONS - self.near
            and (worst_K < SETTLED_K[self.renewals] or count == 4 * self.renewals)
        ):
            walls.renew(mean_C, seen.films_W_m2K @ self.fill.mean)
            closed = self.renewals > 0 or self.near
            known = State(self.state.faces_C, seen.gas.t_C, seen.irradiation)
            self.fix = Correction(
                walls.wall, walls.film, walls.ratio,
                (MARGIN if closed else FIRST_MARGIN) * self.fill.all(seen.films_W_m2K.max(axis=0)),
                self.heater.groups(known, seen.films_W_m2K) if closed else [], self.fill,
            )  # fmt: skip
            self.renewals += 1
            self.mixer.forget()
            if count == SLOW:
                self.mixer.widen(LONG_MEMORY)
        elif worst_K < RENEW_BELOW_K and np.abs(mean_C - walls.mean_C).max() > DRIFT_K:
            walls.renew(mean_C, walls.film)
            self.mixer.last = None  # the map has moved a little, its slopes hardly

    def _energy_gap(self, seen: Pass) -> Floats:
        """Heat released less what left through faces and chimney, over heat released, (M,)."""
        net, mean = self.net, self.fill.mean
        out = np.flatnonzero(net.face_zone < 0)
        lost = -((seen.q_W_m2[:, out] @ mean) @ net.face_area_m2[out])
        if net.channels is not None:
            lost = lost + self._to_channels_W_m2() @ net.face_area_m2[: net.walls]
        return np.asarray(np.abs(self.released - lost - seen.gas.exit_W @ mean) / self.released)

    def _to_channels_W_m2(self) -> Floats:
        """(M, W) mean heat to the air in the walls."""
        mean = self.wave[..., 0].real / self.fill.samples + self.ahead @ self.fill.mean
        return self.walls.given_W_m2(mean)

    def _mix(self, led_C: Floats, moved_K: Floats, seen: Pass) -> None:
        m, cut, zones_C = len(led_C), led_C[0].size, seen.gas.t_C
        point = np.concatenate([led_C.reshape(m, -1), zones_C.reshape(m, -1)], axis=1)
        point = self.mixer.next(point, moved_K.reshape(m, -1))
        faces = point[:, :cut].reshape(led_C.shape)
        self.ahead += faces - led_C
        self.state = State(faces, point[:, cut:].reshape(zones_C.shape), seen.irradiation)

    def _keep(self, rows: Ints) -> None:
        self.members, self.released = self.members[rows], self.released[rows]
        self.wave, self.ahead = self.wave[rows], self.ahead[rows]
        faces, zones, rays = self.state
        assert rays is not None  # a pass was made
        self.state = State(faces[rows], zones[rows], rays[rows])
        self.net = network_of(self.net, rows)
        self.drive = some_members(self.drive, rows)
        self.heater = Heater(self.net, self.drive)
        self.walls.keep(rows)
        self.mixer.keep(rows)

    def _set_down(self, rows: Ints, seen: Pass) -> None:
        fill, gas = self.fill, seen.gas
        found = Found(
            faces_C=np.fft.irfft(self.wave[rows], n=fill.samples) + fill.all(self.ahead[rows]),
            gas=GasPass(
                t_C=fill.all(gas.t_C[rows]), exit_C=fill.all(gas.exit_C[rows]),
                exit_W=fill.all(gas.exit_W[rows]),
            ),
            irradiation=fill.all(seen.irradiation[rows]), q_W_m2=fill.all(seen.q_W_m2[rows]),
            film_W_m2K=seen.films_W_m2K[rows] @ fill.mean,
            r_m2K_W=self.walls.r[rows], c_J_m2K=self.walls.c[rows],
            energy_gap=self._energy_gap(seen)[rows],
            channel_W_m2=self._to_channels_W_m2()[rows], branches=self._branches()[rows],
        )  # fmt: skip
        self.at_rest.append((self.members[rows], found))

    def _branches(self) -> Floats:
        known = self.walls.branches
        return np.zeros((len(self.members), 4, 0)) if known is None else np.stack(known, axis=1)

    def found(self) -> Found:
        """All members, in order."""
        if len(self.at_rest) == 1:
            return self.at_rest[0][1]
        order = np.argsort(np.concatenate([rows for rows, _ in self.at_rest]))
        parts = [found for _, found in self.at_rest]

        def joined(get: Callable[[Found], Floats]) -> Floats:
            return np.concatenate([get(part) for part in parts])[order]

        return Found(
            faces_C=joined(lambda f: f.faces_C),
            gas=GasPass(
                t_C=joined(lambda f: f.gas.t_C), exit_C=joined(lambda f: f.gas.exit_C),
                exit_W=joined(lambda f: f.gas.exit_W),
            ),
            irradiation=joined(lambda f: f.irradiation), q_W_m2=joined(lambda f: f.q_W_m2),
            film_W_m2K=joined(lambda f: f.film_W_m2K), r_m2K_W=joined(lambda f: f.r_m2K_W),
            c_J_m2K=joined(lambda f: f.c_J_m2K), energy_gap=joined(lambda f: f.energy_gap),
            channel_W_m2=joined(lambda f: f.channel_W_m2), branches=joined(lambda f: f.branches),
        )  # fmt: skip

    def secants(self) -> Secants | None:
        """What this solution can lend: its own last differences (of a single case), or those it
        was lent."""
        if not self.columns:
            return self.mixer.lent
        points, steps = zip(*self.columns[-LENT_MOST:])
        return Secants(points=np.stack(points), steps=np.stack(steps))
