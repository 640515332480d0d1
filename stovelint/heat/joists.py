"""A floor on joists: how much the wood of a joist keeps heat back where it lies under the floor.

Beside the joist heat goes through a cavity or into open air, under it through the depth of the
wood. Taken apart from each other, floor over a joist comes out far too warm, for heat spreads
sideways round so narrow a strip. So the plane section of half a bay is solved for its steady
temperatures (finite volumes), and the joist gets the resistance with which heat that goes straight
down makes its top as warm as it is there.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Sequence

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from stovelint.heat.arrays import Floats

CELLS = 8
"""Across half a joist, and through a layer; a test compares with three times as many."""
WIDER = 1.4
"""Each column away from the joist over the last."""
NOTHING_W_mK = 1e-9


def joist_resistance_m2K_W(
    above: Sequence[tuple[float, float]], depth_m: float, k_joist_W_mK: float,
    k_between_W_mK: float | None, below: Sequence[tuple[float, float]], width_m: float,
    spacing_m: float, film_W_m2K: float, cells: int = CELLS,
) -> float:  # fmt: skip
    """Resistance of a joist as heat that goes straight down would need it (m2K/W).

    div(k grad T) = 0 on half a bay: T = 1 on the hot face, a film to T = 0 under the lowest layer,
    no heat across the middles of joist and bay. With T1 over the middle of the joist's top,
    R = T1 / (1 - T1) sum(d/k above) - sum(d/k below) - 1/film.

    above, below: (thickness m, conductivity W/mK) of the layers over and under the joists, hot
    side first; `above` not empty; depth_m of the joists; k_between_W_mK of what is between them, a
    cavity by thickness over its resistance; None: open air, whose film (W/m2K) then reaches the
    floor from below and the sides of the joists; width_m of a joist, spacing_m from middle to
    middle, m. Nought where the joist's top is no warmer than the film alone would leave it.
    Source: heat conduction; referees in the tests: finite elements, two exact limits.

    >>> floor = [(0.1, 0.07), (0.028, 0.13)]
    >>> print(f"{joist_resistance_m2K_W(floor, 0.2, 0.13, 1.2, [], 0.045, 0.4, 8.0):.1f}")
    0.3
    """
    half, bay = 0.5 * width_m, 0.5 * spacing_m
    x = _columns(half, bay, cells)
    rows = [(d, k, k) for d, k in above]
    top = sum(cells for _ in rows)
    rows.append((depth_m, k_joist_W_mK, k_between_W_mK or NOTHING_W_mK))
    rows += [(d, k, k) for d, k in below]
    y = np.concatenate([np.full(cells, d / cells) for d, _, _ in rows])
    joist = np.cumsum(x) < half + 0.1 * x[0]
    k = np.concatenate([
        np.where(joist, one, other) * np.ones((cells, 1)) for _, one, other in rows
    ])  # fmt: skip
    t = _steady(x, y, k, film_W_m2K, top, joist if k_between_W_mK is None else None)
    above_1, below_1 = t[top - 1, 0], t[top, 0]
    upper, lower = 0.5 * y[top - 1] / k[top - 1, 0], 0.5 * y[top] / k[top, 0]
    plane = (above_1 * lower + below_1 * upper) / (upper + lower)
    down = plane / (1.0 - plane) * sum(d / k for d, k in above)
    found = float(down) - sum(d / k for d, k in below) - 1.0 / film_W_m2K
    return max(found, 0.0)


def _columns(half_m: float, bay_m: float, cells: int) -> Floats:
    """Widths: even in the joist, growing beyond it."""
    widths = [half_m / cells] * cells
    left, step = bay_m - half_m, half_m / cells
    while left > 1e-12:
        step = min(step * WIDER, left)
        if left - step < 0.5 * step:
            step = left
        widths.append(step)
        left -= step
    return np.array(widths)


def _steady(
    x: Floats, y: Floats, k: Floats, film: float, top: int, joist: NDArray[np.bool_] | None
) -> Floats:
    """Temperatures of the cells, (rows, columns). `joist`: which columns are joist, where air
    takes the place of the rest from row `top` on."""
    rows, columns = k.shape
    number = np.arange(rows * columns).reshape(rows, columns)
    matrix = np.zeros((rows * columns, rows * columns))
    right = np.zeros(rows * columns)

    def link(one: NDArray[np.int64], two: NDArray[np.int64], g: Floats) -> None:
        np.add.at(matrix, (one, one), g)
        np.add.at(matrix, (two, two), g)
        np.add.at(matrix, (one, two), -g)
        np.add.at(matrix, (two, one), -g)

    r_down = 0.5 * y[:, None] / k
    link(number[:-1].ravel(), number[1:].ravel(), (x / (r_down[:-1] + r_down[1:])).ravel())
    r_side = 0.5 * x / k
    link(number[:, :-1].ravel(), number[:, 1:].ravel(),
         (y[:, None] / (r_side[:, :-1] + r_side[:, 1:])).ravel())  # fmt: skip
    ends = number[0]
    matrix[ends, ends] += x / r_down[0]
    right[ends] += x / r_down[0]
    ends = number[-1]
    matrix[ends, ends] += x / (r_down[-1] + 1.0 / film)
    if joist is not None:
        free = number[top - 1][~joist]
        matrix[free, free] += x[~joist] / (r_down[top - 1][~joist] + 1.0 / film)
        last = int(joist.sum()) - 1
        side = number[top:, last]
        matrix[side, side] += y[top:] / (r_side[top:, last] + 1.0 / film)
    return np.asarray(np.linalg.solve(matrix, right).reshape(rows, columns))
