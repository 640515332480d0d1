"""Conduction through all walls at once: finite volumes, implicit in time.

Cells of a wall hold heat C and are joined by conductances; the heat flow from a face passes half
a cell. One implicit stage of length tau solves (C/tau - L) T = C/tau T0 + flows at the faces. The
matrix depends on tau only, so its inverse is kept and a stage costs one product per wall; what
the faces take is linear in their own temperature (q = q0 - s (T - T0)) and closed per wall.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tests.referee.geometry import Wall
from tests.referee.stacks import Leaf, properties

Floats = NDArray[np.float64]

FINE, MIDDLE, COARSE = 0.004, 0.008, 0.016
"""Cells within 60 mm of a face, within 150 mm, deeper; soil: a fifth of its depth, at least."""


def cells_of(leaf: Leaf, whole: float) -> list[float]:
    """Thicknesses of a leaf's cells, hot side first."""
    if leaf.kind == "air":
        return [leaf.thickness]
    result: list[float] = []
    done = 0.0
    while leaf.thickness - done > 1e-9:
        x = leaf.depth + done
        near = min(x, whole - x) if leaf.layer is not None else x
        size = FINE if near < 0.06 else MIDDLE if near < 0.15 else COARSE
        if leaf.layer is None:
            size = max(size, 0.2 * done)
        left = leaf.thickness - done
        pieces = max(2 if not result and leaf.thickness < 2 * FINE else 1, round(left / size))
        result.append(left / pieces)
        done += left / pieces
    return result


@dataclass(frozen=True, eq=False)
class Grid:
    """Cells of one wall; `leaf[i]` the leaf of cell i, `share[i]` its part of that leaf."""

    leaf: list[int]
    share: list[float]
    middle: list[float]
    """Depth of the cells' middles."""


def grid_of(leaves: list[Leaf]) -> Grid:
    whole = leaves[-1].depth + leaves[-1].thickness
    grid = Grid([], [], [])
    for number, leaf in enumerate(leaves):
        x = leaf.depth
        for size in cells_of(leaf, whole):
            grid.leaf.append(number)
            grid.share.append(size / leaf.thickness)
            grid.middle.append(x + 0.5 * size)
            x += size
    return grid


@dataclass(frozen=True, eq=False)
class Stage:
    """Inverse (W, N, N), and the faces' answer (W, 2, 2) to heat flows into them."""

    inverse: Floats
    answer: Floats
    store: Floats
    """C / tau (W, N)."""


class Walls:
    def __init__(self, walls: list[Wall], leaves: list[list[Leaf]]) -> None:
        self.walls, self.leaves = walls, leaves
        self.grids = [grid_of(stack) for stack in leaves]
        self.count = np.array([len(g.leaf) for g in self.grids])
        self.w, self.n = len(walls), int(self.count.max())
        self.last = self.count - 1
        self.rows = np.arange(self.w)
        self.ratio = np.array(
            [1.0 + w.growth * (s[-1].depth + s[-1].thickness) for w, s in zip(walls, leaves)]
        )
        """Area of the cold face over that of the hot face."""

    def set_properties(self, boundaries_C: list[Floats]) -> None:
        """`boundaries_C`: for each wall the cycle's mean at the sides of its leaves."""
        self.c = np.ones((self.w, self.n))
        self.half = np.zeros((self.w, self.n))
        """Resistance of half a cell."""
        for i, (wall, stack, grid) in enumerate(zip(self.walls, self.leaves, self.grids)):
            names = [None, *(leaf.material for leaf in stack), None]
            rc = [
                properties(
                    leaf, wall, float(boundaries_C[i][j]), float(boundaries_C[i][j + 1]),
                    (names[j], names[j + 2]),
                )
                for j, leaf in enumerate(stack)
            ]  # fmt: skip
            for cell, (j, share) in enumerate(zip(grid.leaf, grid.share)):
                self.half[i, cell] = 0.5 * share * rc[j][0]
                self.c[i, cell] = share * rc[j][1]
        joint = self.half[:, :-1] + self.half[:, 1:]
        inside = np.arange(self.n - 1) < self.last[:, None]
        self.g = np.where(inside, 1.0 / np.maximum(joint, 1e-12), 0.0)
        self._stages: dict[float, Stage] = {}

    def stage(self, tau: float) -> Stage:
        key = round(tau, 6)
        if key not in self._stages:
            store = self.c / tau
            matrix = np.zeros((self.w, self.n, self.n))
            low, up = range(self.n - 1), range(1, self.n)
            matrix[:, range(self.n), range(self.n)] = store
            matrix[:, low, low] += self.g
            matrix[:, up, up] += self.g
            matrix[:, low, up] -= self.g
            matrix[:, up, low] -= self.g
            inverse = np.asarray(np.linalg.inv(matrix), dtype=np.float64)
            answer = np.empty((self.w, 2, 2))
            end = (np.zeros(self.w, dtype=np.int64), self.last)
            for a in (0, 1):
                for b in (0, 1):
                    answer[:, a, b] = inverse[self.rows, end[a], end[b]]
                answer[:, a, a] += self.half[self.rows, end[a]]
            answer[:, :, 1] *= self.ratio[:, None]
            self._stages[key] = Stage(inverse, answer, store)
        return self._stages[key]

    def ends(self, cells_C: Floats) -> Floats:
        """First and last cell of each wall (W, 2)."""
        return np.stack([cells_C[:, 0], cells_C[self.rows, self.last]], axis=1)

    def faces(self, cells_C: Floats, q: Floats) -> Floats:
        """Faces (W, 2) for heat flow densities into them, per true area."""
        half = np.stack([self.half[:, 0], self.half[self.rows, self.last] * self.ratio], axis=1)
        return self.ends(cells_C) + half * q

    def steady(self, faces_C: Floats) -> list[Floats]:
        """Profiles without storage between fixed faces, cell by cell."""
        result = []
        for i in range(self.w):
            half = self.half[i, : self.count[i]]
            to_middle = np.cumsum(2.0 * half) - half
            part = to_middle / (2.0 * half.sum())
            result.append(faces_C[i, 0] + (faces_C[i, 1] - faces_C[i, 0]) * part)
        return result

    def sides_of_leaves(self, faces_C: Floats) -> list[Floats]:
        """Mean temperatures at the leaves' sides from the means of the faces."""
        result = []
        for i, grid in enumerate(self.grids):
            r = np.zeros(len(self.leaves[i]) + 1)
            for cell, j in enumerate(grid.leaf):
                r[j + 1] += self.half[i, cell]
            part = np.cumsum(r) / r.sum()
            result.append(faces_C[i, 0] + (faces_C[i, 1] - faces_C[i, 0]) * part)
        return result


class Probe:
    """Temperatures at chosen depths, straight between the nearest middles, sides or faces."""

    def __init__(self, walls: Walls, wall: int, depth: float) -> None:
        grid, stack = walls.grids[wall], walls.leaves[wall]
        self.wall, self.depth = wall, depth
        whole = stack[-1].depth + stack[-1].thickness
        half = walls.half[wall]
        n = len(grid.leaf)
        # nodes: (depth, weights on [hot face, cells ..., cold face])
        nodes: list[tuple[float, dict[int, float]]] = [(0.0, {0: 1.0})]
        for cell in range(n):
            nodes.append((grid.middle[cell], {cell + 1: 1.0}))
            if cell < n - 1 and grid.leaf[cell + 1] != grid.leaf[cell]:
                a, b = half[cell], half[cell + 1]
                side = stack[grid.leaf[cell + 1]].depth
                nodes.append((side, {cell + 1: b / (a + b), cell + 2: a / (a + b)}))
        nodes.append((whole, {n + 1: 1.0}))
        depths = [node[0] for node in nodes]
        place = min(max(int(np.searchsorted(depths, depth)), 1), len(nodes) - 1)
        (x0, w0), (x1, w1) = nodes[place - 1], nodes[place]
        share = (depth - x0) / (x1 - x0)
        self.weights = np.zeros(walls.n + 2)
        for node, part in ((w0, 1.0 - share), (w1, share)):
            for index, weight in node.items():
                # cold face last, whatever the wall's own number of cells
                self.weights[walls.n + 1 if index == n + 1 else index] += part * weight
