"""The middle of flat sides: walls without their corners, stepped through the same days.

The march solves a wall with its corners' share of area, for the heat. What a wall shows is the
middle of a side. When the march has come to rest, every such wall is stepped again with straight
layers of its own temperatures; its faces take what the march's faces took in the same stage, less
or more by that stage's slope for being hotter or colder. The gas does not feel it.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from tests.referee.geometry import EDGE, Wall
from tests.referee.stacks import Leaf
from tests.referee.walls import Walls

Floats = NDArray[np.float64]

STILL_K = 0.01
MOST_DAYS = 200


@dataclass(frozen=True, eq=False)
class Seen:
    """One implicit stage of the march's last day: its length, and of every wall (W, 2) the faces,
    the heat they took (W/m2) and its slope (W/m2K)."""

    tau: float
    faces: Floats
    q: Floats
    slope: Floats


class Sides:
    """`numbers`: the march's walls that have corners; in this order its own."""

    def __init__(
        self, walls: list[Wall], leaves: list[list[Leaf]], seen: list[Seen], gamma: float
    ) -> None:
        self.numbers = [i for i, wall in enumerate(walls) if wall.growth > 0.0 and not wall.round]
        self.gamma = gamma
        self.edges = [EDGE / walls[i].growth for i in self.numbers]
        """Half the mean side of their chamber."""
        picked = np.array(self.numbers, dtype=np.int64)
        self.seen = [
            Seen(tau=s.tau, faces=s.faces[picked], q=s.q[picked], slope=s.slope[picked])
            for s in seen
        ]
        if self.numbers:
            straight = [replace(walls[i], growth=0.0) for i in self.numbers]
            self.walls = Walls(straight, [leaves[i] for i in self.numbers])

    def nodes(self) -> Floats:
        """Hot face, cells and cold face of every side at the end of every step, (steps, W, n)."""
        taus = np.array([s.tau for s in self.seen[1::2]])
        weights = taus / taus.sum()
        ends = [s.faces for s in self.seen[1::2]]
        means = np.asarray(np.tensordot(weights, np.array(ends), axes=1))
        cells: Floats | None = None
        for _ in range(MOST_DAYS):
            sides = self._boundaries(means)
            self.walls.set_properties(sides)
            if cells is None:
                cells = np.zeros((self.walls.w, self.walls.n))
                for i, profile in enumerate(self.walls.steady(means)):
                    cells[i, : len(profile)] = profile
            before = cells
            cells, history = self._day(cells)
            moved = np.asarray(np.tensordot(weights, history[:, :, [0, -1]], axes=1)) - means
            means = means + moved
            if max(np.abs(cells - before).max(), np.abs(moved).max()) < STILL_K:
                return history
        raise AssertionError("the middles of sides have no periodic day")

    def lost(self, own: int) -> float:
        """Share of the lead over the wall as a whole that its middle loses."""
        stack = self.walls.leaves[own]
        thick = stack[-1].depth + stack[-1].thickness
        taus = np.array([s.tau for s in self.seen])
        films = np.tensordot(taus / taus.sum(), np.array([s.slope[own] for s in self.seen]), axes=1)
        through = 2.0 * float(self.walls.half[own, : self.walls.count[own]].sum())
        hot, cold = (float(film) * through for film in films)

        low, high = 0.0, float(np.pi)
        while high - low > 1e-9:
            b = 0.5 * (low + high)
            if np.tan(0.5 * np.pi - b) * b * (hot + cold) > b * b - hot * cold:
                low = b
            else:
                high = b
        x = self.edges[own] / thick
        return min((1.05 + 3.25 * x) * float(np.exp(-b * x)), 1.0)

    def _boundaries(self, means: Floats) -> list[Floats]:
        """Of the leaves, from the faces' means; straight in thickness until there are layers."""
        if hasattr(self.walls, "half"):
            return self.walls.sides_of_leaves(means)
        return [
            hot + (cold - hot) * np.linspace(0.0, 1.0, len(stack) + 1)
            for (hot, cold), stack in zip(means, self.walls.leaves)
        ]

    def _day(self, cells: Floats) -> tuple[Floats, Floats]:
        history = []
        for first, then in zip(self.seen[::2], self.seen[1::2]):
            middle, _ = self._stage(cells, first)
            cells, faces = self._stage(
                cells + (1.0 - self.gamma) / self.gamma * (middle - cells), then
            )
            history.append(np.concatenate([faces[:, :1], cells, faces[:, 1:]], axis=1))
        return cells, np.array(history)

    def _stage(self, start: Floats, seen: Seen) -> tuple[Floats, Floats]:
        """Cells and faces at the end of an implicit stage: face = free + m q, q linear in it."""
        walls = self.walls
        stage = walls.stage(seen.tau)
        base = np.einsum("wij,wj->wi", stage.inverse, stage.store * start)
        whole = np.zeros((walls.w, 2, 2))
        whole[:] = np.eye(2) + stage.answer * seen.slope[:, None, :]
        pull = seen.q + seen.slope * seen.faces
        right = walls.ends(base) + np.einsum("wij,wj->wi", stage.answer, pull)
        faces = np.linalg.solve(whole, right[..., None])[..., 0]
        q = pull - seen.slope * faces
        cells = base + stage.inverse[:, :, 0] * q[:, :1]
        cells = cells + stage.inverse[walls.rows, :, walls.last] * q[:, 1:]
        return cells, faces
