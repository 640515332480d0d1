"""Days after days through all walls at once, until one is like the next.

Each step is the two-stage implicit scheme of Alexander (SIAM J. Numer. Anal. 14 (1977) 1006),
second order and damping the fastest modes; in each stage faces, gas and walls are brought to
agree. Properties are renewed after every day from that day's means. Between days the walls' means
are moved ahead: each wall to the steady profile at which its mean heat flows would cease to
differ, seen from its own faces alone. That only shortens the way; what is handed out is a whole
day of plain steps after which no cell has moved.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from tests.referee.exchange import Exchange, Taken
from tests.referee.fire import Fire, Moment
from tests.referee.geometry import Heater, lay_out
from tests.referee.read import read_plan
from tests.referee.sides import Seen, Sides
from tests.referee.stacks import Leaf, leaves_of
from tests.referee.walls import Probe, Walls

Floats = NDArray[np.float64]

GAMMA = 1.0 - math.sqrt(0.5)
SAME_K = 0.1
AGREE_K = 0.02
FINE_s = 60.0
"""Step while flames burn. Half of it moves no face by more than 0.45 K (0.05 %)."""
MOST_DAYS, MOST_ROUNDS = 40, 30


@dataclass(frozen=True, kw_only=True, eq=False)
class Day:
    """One day (cycle). Histories at the ends of steps: `times_s` (N,), `faces_C` (N, W, 2),
    `probes_C` (N, P), `zones_C` (N, Z), `exit_C` (N,). Means are over time."""

    times_s: Floats
    weights_s: Floats
    faces_C: Floats
    probes_C: Floats
    zones_C: Floats
    exit_C: Floats
    q_J_m2: Floats
    """(W, 2) into the faces over the day, per true area."""
    slope_W_m2K: Floats
    cells_mean_C: Floats
    exit_J: float
    released_J: float


def steps_of(fire: Fire, fine_s: float) -> Floats:
    """Ends of the steps over one cycle: fine while flames burn, then twice, four times ... so."""
    ends: list[float] = []
    f = fire.firing
    flames = (f.loads - 1 + 0.62) * f.burn
    coals = min((f.loads + 0.9) * f.burn, fire.period)
    legs = [(flames, fine_s), (fire.lit_s, 2.0 * fine_s), (fire.lit_s + 8.0 * fine_s, fine_s)]
    legs += [(coals, 2.0 * fine_s), (coals + 1800.0, 4.0 * fine_s), (fire.period, 10.0 * fine_s)]
    now = 0.0
    for end, step in legs:
        end = min(end, fire.period)
        if end - now > 1e-6:
            n = max(1, math.ceil((end - now) / step - 1e-9))
            ends += [now + (end - now) * (i + 1) / n for i in range(n)]
            now = end
    return np.array(ends)


class Secant:
    """Where to look next for x = f(x), from how f answered the last looks: the step along which
    the last changes of f(x) - x, least squares, would have brought it to nothing."""

    def __init__(self) -> None:
        self.looks: list[tuple[Floats, Floats]] = []

    def next(self, x: Floats, f: Floats) -> Floats:
        self.looks = [*self.looks[-3:], (f, f - x)]
        if len(self.looks) == 1:
            return f
        moved = np.array([(f - g).ravel() for g, _ in self.looks[:-1]]).T
        bent = np.array([((f - x) - r).ravel() for _, r in self.looks[:-1]]).T
        part = np.linalg.lstsq(bent, (f - x).ravel(), rcond=1e-8)[0]
        return np.asarray(f - (moved @ part).reshape(f.shape))


class March:
    def __init__(self, heater: Heater, state: str, fine_s: float = FINE_s) -> None:
        self.heater, self.fire = heater, Fire(heater.plan, heater.plan.firings[state])
        self.leaves: list[list[Leaf]] = [leaves_of(wall) for wall in heater.walls]
        self.walls = Walls(heater.walls, self.leaves)
        self.exchange = Exchange(heater, self.leaves)
        self.fine_s = fine_s
        plan = heater.plan
        outside = {"room": plan.room, "outdoors": plan.outdoors, "ground": plan.ground}
        self.faces = np.array(
            [[130.0, outside.get(str(w.cold), 100.0) + 10.0] for w in heater.walls]
        )
        self.zones = np.full(len(heater.zones), 130.0)
        sides = [
            f[0] + (f[1] - f[0]) * np.linspace(0.0, 1.0, len(s) + 1)
            for f, s in zip(self.faces, self.leaves)
        ]
        self.walls.set_properties(sides)
        self.cells = self._spread(self.walls.steady(self.faces))
        self.probes: list[Probe] = []
        self.wanted: list[tuple[int, float]] = []
        self.seen: list[Seen] = []
        """The stages of the last day."""

    def _spread(self, profiles: list[Floats]) -> Floats:
        cells = np.zeros((self.walls.w, self.walls.n))
        for i, profile in enumerate(profiles):
            cells[i, : len(profile)] = profile
        return cells

    def _stage(self, now: Moment, start: Floats, tau: float) -> tuple[Floats, Taken]:
        """Cells after an implicit stage from `start`, and what the faces took then."""
        stage = self.walls.stage(tau)
        base = np.einsum("wij,wj->wi", stage.inverse, stage.store * start)
        ends = self.walls.ends(base)
        face = self.faces
        m = stage.answer
        ahead = Secant()
        for _ in range(MOST_ROUNDS):
            taken = self.exchange.take(now, face, self.zones)
            self.zones = taken.zones_C
            # face = ends + m q, q = alpha - slope face
            alpha = taken.q + taken.slope * face
            a00 = 1.0 + m[:, 0, 0] * taken.slope[:, 0]
            a01 = m[:, 0, 1] * taken.slope[:, 1]
            a10 = m[:, 1, 0] * taken.slope[:, 0]
            a11 = 1.0 + m[:, 1, 1] * taken.slope[:, 1]
            b0 = ends[:, 0] + m[:, 0, 0] * alpha[:, 0] + m[:, 0, 1] * alpha[:, 1]
            b1 = ends[:, 1] + m[:, 1, 0] * alpha[:, 0] + m[:, 1, 1] * alpha[:, 1]
            det = a00 * a11 - a01 * a10
            new = np.stack([(b0 * a11 - a01 * b1) / det, (a00 * b1 - b0 * a10) / det], axis=1)
            q = alpha - taken.slope * new
            if float(np.abs(new - face).max()) < AGREE_K:
                break
            face = ahead.next(face, new)
        else:
            raise AssertionError("faces and gas do not agree")
        self.faces = new
        self.seen.append(Seen(tau=tau, faces=new, q=q, slope=taken.slope))
        rows, last = self.walls.rows, self.walls.last
        cells = base + stage.inverse[:, :, 0] * q[:, :1]
        cells += stage.inverse[rows, :, last] * (self.walls.ratio * q[:, 1])[:, None]
        return cells, Taken(
            q=q, slope=taken.slope, zones_C=taken.zones_C, exit_C=taken.exit_C,
            exit_W=taken.exit_W,
        )  # fmt: skip

    def day(self, fine_s: float) -> Day:
        """One cycle of plain steps from where things stand."""
        ends = steps_of(self.fire, fine_s)
        faces, probes, zones, exits, weights = [], [], [], [], []
        self.seen = []
        taken_J, slope = np.zeros((self.walls.w, 2)), np.zeros((self.walls.w, 2))
        cells_mean = np.zeros_like(self.cells)
        exit_J = released_J = begin = 0.0
        for end in ends:
            dt, before = float(end - begin), self.cells
            tau = GAMMA * dt
            first, then = self.fire.at(begin + tau), self.fire.at(float(end))
            middle, one = self._stage(first, self.cells, tau)
            start = self.cells + (1.0 - GAMMA) / GAMMA * (middle - self.cells)
            self.cells, two = self._stage(then, start, tau)
            for part, taken, now in ((1.0 - GAMMA, one, first), (GAMMA, two, then)):
                taken_J += part * dt * taken.q
                slope += part * dt * taken.slope
                exit_J += part * dt * taken.exit_W
                released_J += part * dt * now.heat_W
            faces.append(self.faces)
            zones.append(two.zones_C)
            exits.append(two.exit_C)
            weights.append(dt)
            nodes = np.concatenate([self.faces[:, :1], self.cells, self.faces[:, 1:]], axis=1)
            probes.append([float(p.weights @ nodes[p.wall]) for p in self.probes])
            cells_mean += dt / self.fire.period * (0.5 * before + 0.5 * self.cells)
            begin = float(end)
        w = np.array(weights)
        return Day(
            times_s=ends, weights_s=0.5 * (w + np.roll(w, -1)), faces_C=np.array(faces),
            probes_C=np.array(probes), zones_C=np.array(zones), exit_C=np.array(exits),
            q_J_m2=taken_J, slope_W_m2K=slope / self.fire.period,
            cells_mean_C=cells_mean, exit_J=exit_J, released_J=released_J,
        )  # fmt: skip

    def run(self, wanted: list[tuple[int, float]]) -> Day:
        """Until a day changes no cell by 0.1 K. `wanted`: (wall, depth) to look at."""
        for number in range(MOST_DAYS):
            fine = 4.0 * self.fine_s if number < 4 else self.fine_s
            self.probes = [Probe(self.walls, wall, depth) for wall, depth in wanted]
            before = self.cells
            day = self.day(fine)
            change = float(np.abs(self.cells - before).max())
            means = np.tensordot(day.weights_s / self.fire.period, day.faces_C, axes=1)
            drift = self._ahead(day, means, move=not (fine == self.fine_s and change < SAME_K))
            if fine == self.fine_s and change < SAME_K and drift < SAME_K:
                return self._with_sides(day)
        raise AssertionError(f"no periodic day after {MOST_DAYS}: {change} K, {drift} K")

    def _with_sides(self, day: Day) -> Day:
        """The day with the middles of sides at the depths looked at, not walls as a whole."""
        sides = Sides(self.heater.walls, self.leaves, self.seen, GAMMA)
        picked = [(n, p) for n, p in enumerate(self.probes) if p.wall in sides.numbers]
        if not picked:
            return day
        nodes = sides.nodes()
        probes = day.probes_C.copy()
        for n, probe in picked:
            own = sides.numbers.index(probe.wall)
            flat = nodes[:, own] @ Probe(sides.walls, own, probe.depth).weights
            lead = float(day.weights_s @ (flat - probes[:, n])) / self.fire.period
            probes[:, n] = flat - sides.lost(own) * lead
        return replace(day, probes_C=probes)

    def _ahead(self, day: Day, means: Floats, *, move: bool) -> float:
        """Move every wall's mean ahead, renew properties; how far a face's mean was moved."""
        walls = self.walls
        q = day.q_J_m2 / self.fire.period
        s = np.maximum(day.slope_W_m2K, 0.1)
        r = 2.0 * np.array([h[: n].sum() for h, n in zip(walls.half, walls.count)])
        # q0 - s0 x0 = (T0 + x0 - T1 - x1)/r and ratio (q1 - s1 x1) = (T1 + x1 - T0 - x0)/r
        step = (means[:, 0] - means[:, 1]) / r
        a00, a01, b0 = s[:, 0] + 1.0 / r, -1.0 / r, q[:, 0] - step
        a11, b1 = walls.ratio * s[:, 1] + 1.0 / r, walls.ratio * q[:, 1] + step
        det = a00 * a11 - a01 * a01
        x = np.stack([(b0 * a11 - a01 * b1) / det, (a00 * b1 - a01 * b0) / det], axis=1)
        walls.set_properties(walls.sides_of_leaves(means + x))
        if move:
            self.cells = self.cells + self._spread(walls.steady(means + x)) - day.cells_mean_C
            self.faces = self.faces + x
        return float(np.abs(x).max())


def referee(path: Path, state: str, fine_s: float = FINE_s) -> March:
    return March(lay_out(read_plan(path)), state, fine_s)
