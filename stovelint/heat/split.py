"""How gas parts where it has several ways: every way from the split to the join costs the same.

The ways are edges between nodes of one pressure each. Along an edge the gas loses a m^2 to friction
and to single losses and gains a lift by being lighter or heavier than what stands beside it:

    p_tail - p_head + lift = a m^2,        flow into a node = flow out of it.

These equations are the minimum of a convex function of the flows, sum (a m^3/3 - lift m), over the
flows that balance. So there is one solution for any net of ways, branches within branches and
joins of unequal ones included, and a Newton search along balanced flows that only ever goes down
comes to it.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from stovelint.heat.arrays import Floats
    from numpy.typing import NDArray

ROUNDS = 100
HALVINGS = 40
TOE = 1e-5
"""Part of the resistance that goes with m instead of m^2, at the whole flow: it gives the law a
slope at rest, and changes a flow of a tenth by 0.005 %."""
BACK = 1e12
"""Resistance of a way against gas that goes backwards, over that onwards: ways are one-way."""
ENOUGH = 1e-9
"""Last change of a flow, over the whole flow."""


@dataclass(frozen=True, kw_only=True, eq=False)
class Grid:
    """Ways between nodes. All gas comes in at `source` and goes out at `sink`."""

    nodes: int
    tails: NDArray[np.int64]
    heads: NDArray[np.int64]
    """(E,) node that each edge leaves and comes to; along every edge the number grows."""
    source: int
    sink: int


def parted_flows(grid: Grid, resist: Floats, lift_Pa: Floats, total_kg_s: Floats) -> Floats:
    """Flow along every edge (kg/s).

    Args:
        grid: which edges meet where. Every node lies on a way from the source to the sink.
        resist: a, (M, E), Pa/(kg/s)^2, > 0.
        lift_Pa: (M, E), what drives the gas along the edge beside the pressures.
        total_kg_s: (M,), > 0.

    Returns (M, E), kg/s, not below 0: where gas would have to go backwards it stands still (to a
    millionth of what would flow). Source: conservation of mass and of energy along a stream
    (exact for this law); referees in the tests: a hand solution and `scipy`.

    Two equal ways, and one of four times the resistance beside them:

    >>> grid = Grid(nodes=2, tails=np.array([0, 0, 0]), heads=np.array([1, 1, 1]), source=0, sink=1)
    >>> resist, total = np.array([[1e3, 1e3, 4e3]]), np.array([0.05])
    >>> parted_flows(grid, resist, np.zeros((1, 3)), total).round(3).tolist()
    [[0.02, 0.02, 0.01]]
    """
    square = resist * total_kg_s[:, None] ** 2
    inside = np.arange(grid.nodes) != grid.sink
    edges = np.arange(len(grid.tails))
    meets = np.zeros((grid.nodes, len(edges)))
    np.add.at(meets, (grid.tails, edges), 1.0)
    np.add.at(meets, (grid.heads, edges), -1.0)
    meets = meets[inside]
    flow = np.broadcast_to(_even(grid), square.shape).copy()
    content = _content(flow, square, lift_Pa)
    for _ in range(ROUNDS):
        drop, slope = _law(flow, square)
        give = 1.0 / slope
        over = drop - lift_Pa
        normal = (meets * give[:, None, :]) @ meets.T
        pressure = np.linalg.solve(normal, (meets @ (give * over)[:, :, None]))[:, :, 0]
        step = (pressure @ meets - over) * give
        scale = np.ones((len(flow), 1))
        for _ in range(HALVINGS):
            moved = flow + scale * step
            after = _content(moved, square, lift_Pa)
            short = (after > content + 1e-14 * np.abs(content))[:, None]
            if not short.any():
                break
            scale = np.where(short, 0.5 * scale, scale)
        flow, content = moved, after
        if float(np.abs(scale * step).max()) <= ENOUGH:
            break
    return np.maximum(flow, 0.0) * total_kg_s[:, None]


def _even(grid: Grid) -> Floats:
    """Flows that balance, to start from: each node's gas goes evenly to its ways, (E,)."""
    held = np.zeros(grid.nodes)
    held[grid.source] = 1.0
    flow = np.zeros(len(grid.tails))
    for node in range(grid.nodes):
        own = grid.tails == node
        if own.any():
            flow[own] = held[node] / own.sum()
            np.add.at(held, grid.heads[own], flow[own])
    return flow


def _law(flow: Floats, square: Floats) -> tuple[Floats, Floats]:
    """Drop of pressure at a flow (over the whole flow), and its slope."""
    size = np.abs(flow)
    stiff = square * np.where(flow < 0.0, BACK, 1.0)
    line = TOE * square
    return flow * (stiff * size + line), 2.0 * stiff * size + line


def _content(flow: Floats, square: Floats, lift: Floats) -> Floats:
    """What the flows make least, (M,)."""
    stiff = square * np.where(flow < 0.0, BACK, 1.0)
    kept = flow * flow * (stiff * np.abs(flow) / 3.0 + 0.5 * TOE * square)
    return np.asarray((kept - lift * flow).sum(axis=1))
