"""Bases on the ground and walls to the open: the soil column, and weather."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.linalg import solve_banded

from stovelint.heat.films import outside_film_W_m2K
from stovelint.hotmap.compute import Solver
from stovelint.hotmap.layerheat import Run
from stovelint.hotmap.patches import Patch
from stovelint.hotmap.stack import SOIL_M
from tests.heat.close import close
from tests.hotmap.plans import CATALOGUE, Tree, built, cycle, patch, plain

Floats = NDArray[np.float64]
SOIL_K = 2.0
"""W/mK, default class of ISO 13370 (recalled)."""


def on_ground() -> Tree:
    tree = plain()
    base: Any = tree["parts"]["base"]
    base["faces"] = "ground"
    base["layers"][2] = {"material": "concrete-normal-siliceous", "thickness": "120 mm"}
    return tree


def under_bell() -> tuple[Run, int, Patch]:
    plan, runs = Solver(CATALOGUE, states=("usual",), members=1).runs(built(on_ground()))
    (index,) = [i for i, p in enumerate(plan.patches) if p.where == "under bell"]
    return next(iter(runs.values())), index, plan.patches[index]


def test_the_mean_is_a_series_down_to_the_mean_ground() -> None:
    """One metre of soil to 10 degC; q R of every leaf adds up to the whole step."""
    run, index, one = under_bell()
    assert one.leaves[-1].kind == "soil" and one.leaves[-1].thickness_m == 1.0
    r = run.solution.r_m2K_W[0, list(run.net.layers[index])]
    close(r[-1], 1.0 / 1.75, within=0.001, because="one metre, divided by hand",
          source="conductivity of soil in the catalogue (EN 12524, read)")  # fmt: skip
    flow = run.solution.q_W_m2[0, index].mean()
    step = run.solution.faces_C[0, index].mean() - 10.0
    close(flow * r.sum(), step, within=0.01, source="plane wall series", because="0.1 K of passes")


def test_a_slab_goes_on_warming_for_weeks_up_to_the_periodic_mean() -> None:
    """The regime after many firings is the end of the warming, never passed on the way. The
    column of the base is stepped from a cold start, its hot face held to its history: after two
    days the slab is far from warm, after three months it is there."""
    run, index, one = under_bell()
    rows = list(run.net.layers[index])
    r, c = run.solution.r_m2K_W[0, rows], run.solution.c_J_m2K[0, rows]
    cells = [3, 8, 6, 40]
    fine_r = np.concatenate([np.full(n, x / n) for n, x in zip(cells, r)])
    fine_c = np.concatenate([np.full(n, x / n) for n, x in zip(cells, c)])
    hot = run.solution.faces_C[0, index]
    period, n = run.drive.period_s, len(hot)
    dt = period / n
    between = 2.0 / (fine_r[:-1] + fine_r[1:])
    band = np.zeros((3, len(fine_r)))
    band[1] = fine_c / dt
    band[1, :-1] += between
    band[1, 1:] += between
    band[1, 0] += 2.0 / fine_r[0]
    band[1, -1] += 2.0 / fine_r[-1]
    band[0, 1:] = band[2, :-1] = -between
    t = np.full(len(fine_r), 10.0)
    top = cells[0] + cells[1]
    daily = []
    for _ in range(180):  # twelve hours each
        mean = 0.0
        for value in hot:
            right = fine_c / dt * t
            right[0] += 2.0 / fine_r[0] * value
            right[-1] += 2.0 / fine_r[-1] * 10.0
            t = solve_banded((1, 1), band, right)
            mean += (fine_r[top] * t[top - 1] + fine_r[top - 1] * t[top]) / (
                fine_r[top] + fine_r[top - 1]
            ) / n  # fmt: skip
        daily.append(mean)
    heat = cycle(on_ground())
    slab = patch(heat, "base", "under bell").layers[2]
    assert slab.layer.material == "concrete-normal-siliceous"
    final = slab.hot.mean_C.mid
    assert daily == sorted(daily) and daily[-1] < final + 0.1
    close(daily[-1] - 10.0, final - 10.0, within=0.01, source="ninety days stepped through",
          because="0.1 K of passes in some 20")  # fmt: skip
    assert daily[4] - 10.0 < 0.6 * (final - 10.0)  # two days
    assert daily[28] - 10.0 < 0.95 * (final - 10.0)  # two weeks


@pytest.mark.parametrize("side_m", [0.8, 1.2, 1.6])
def test_the_column_keeps_more_back_than_ground_that_spreads(side_m: float) -> None:
    """The safe side for wood over a slab, by two textbook ways to reckon with heat that spreads
    under one heater: a disc of equal area on insulated ground, S = 2 D (exact), and ISO 13370
    with B' = A / (P/2), d_t = 0.2 m (recalled). The column gives a third to all of their heat."""
    column = SOIL_K / SOIL_M
    disc = SOIL_K * 2.0 * math.sqrt(4.0 / math.pi) / side_m
    b = side_m / 2.0
    iso = 2.0 * SOIL_K / (math.pi * b + 0.2) * math.log(math.pi * b / 0.2 + 1.0)
    for spreads in (disc, iso):
        assert 0.3 * spreads < column < spreads


def test_faces_to_the_open_are_taken_in_calm_weather() -> None:
    """The hottest weather for wood is none: without wind a face at 30 degC passes some 9 W/m2K
    outdoors; ISO 6946 takes 25 with 4 m/s of wind (recalled), and 5 of rays alone."""
    calm = float(outside_film_W_m2K(30.0, 0.0, 0.9, 1.0, "vertical"))
    assert 5.0 < calm < 11.0 < 25.0


def test_a_wall_to_the_open_is_cooler_than_one_to_the_room() -> None:
    tree = plain()
    wall: Any = tree["parts"]["bell-wall"]
    tree["parts"]["bell-back"] = {**wall, "sides": ["back"], "faces": "outdoors"}
    wall["sides"] = ["front", "left", "right"]
    heat = cycle(tree)
    for inner, outer in zip(heat.of_part("bell-wall"), heat.of_part("bell-back"), strict=True):
        one, two = inner.layers[-1].cold.mean_C.mid, outer.layers[-1].cold.mean_C.mid
        assert 10.0 < one - two < 20.0  # of the 20 K between room and outdoors
    assert heat.energy_gap < 1e-3
