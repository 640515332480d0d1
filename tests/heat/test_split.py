"""The gas parts so that every way costs it the same: by hand, and against general solvers."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray
from scipy.optimize import brentq, root

from stovelint.heat.split import BACK, TOE, Grid, parted_flows
from tests.heat.close import close

Floats = NDArray[np.float64]

LINE = "a hundred-thousandth of the loss at full flow goes with m: (TOE / 2) / share of the flow"


def beside(count: int) -> Grid:
    """`count` ways from one node to another."""
    return Grid(
        nodes=2, tails=np.zeros(count, dtype=np.int64), heads=np.ones(count, dtype=np.int64),
        source=0, sink=1,
    )  # fmt: skip


def one(resist: list[float], lift: list[float], total: float, grid: Grid | None = None) -> Floats:
    flows = parted_flows(
        grid or beside(len(resist)), np.array([resist]), np.array([lift]), np.array([total])
    )
    return np.asarray(flows[0])


def test_two_ways_by_hand() -> None:
    """a1 m1^2 - l1 = a2 m2^2 - l2 with m1 + m2 = m: a quadratic equation in m1.

    2000 m1^2 - 0.5 = 8000 (0.05 - m1)^2 + 1: 6000 m1^2 - 800 m1 + 21.5 = 0, so
    m1 = (800 - sqrt(800^2 - 4 * 6000 * 21.5)) / 12000.
    """
    first = (800.0 - (800.0**2 - 4.0 * 6000.0 * 21.5) ** 0.5) / 12000.0
    close(one([2000.0, 8000.0], [0.5, -1.0], 0.05), [first, 0.05 - first], within=1e-4,
          because=LINE, source="quadratic equation solved by hand")  # fmt: skip


def test_without_lift_flows_go_with_the_root_of_the_resistance() -> None:
    found = one([100.0, 400.0, 2500.0], [0.0, 0.0, 0.0], 0.034)
    close(found, 0.034 * np.array([10.0, 5.0, 2.0]) / 17.0, within=1e-4, because=LINE,
          source="m proportional to a^(-1/2), parallel ways")  # fmt: skip


def test_equal_ways_share_evenly_whatever_lifts_both() -> None:
    close(one([300.0, 300.0], [7.0, 7.0], 0.04), [0.02, 0.02], within=1e-9,
          because="only rounding is left", source="symmetry of the two ways")  # fmt: skip


def test_a_way_that_would_run_backwards_stands_still() -> None:
    """100 Pa against it; the other costs 1 Pa with all of the gas."""
    found = one([1e4, 1e4], [0.0, -100.0], 0.01)
    # sqrt(99 / (BACK a)) is what still goes, and the answer says nought for it
    assert found[1] == 0.0
    close(found[0], 0.01, within=1e-5, because="sqrt(99 / 1e16) kg/s against 0.01 is 1e-5",
          source="one-way port, limit of infinite resistance")  # fmt: skip


def test_what_makes_the_law_solvable_is_small() -> None:
    """The law beside the exact one, a (m^2 + TOE m M): at a twentieth of the flow 1e-4 off."""
    found = one([1.0, 19.0**2], [0.0, 0.0], 1.0)
    assert found[1] == pytest.approx(0.05, rel=2.0 * TOE / 0.05)
    assert found[1] < 0.05 and BACK >= 1e9
    # the toe makes the lesser way dearer: (a2/a1) = (m1^2 + TOE m1) / (m2^2 + TOE m2)
    m2 = brentq(
        lambda m: (1.0 - m) * (1.0 - m + TOE) - 361.0 * m * (m + TOE), 0.0, 1.0, xtol=1e-15
    )
    close(found[1], m2, within=1e-8, because="the same law solved by bisection",
          source="scipy brentq on one unknown")  # fmt: skip


@given(
    resist=st.lists(st.floats(1.0, 5.0), min_size=4, max_size=4),
    lift=st.lists(st.floats(-0.2, 0.2), min_size=4, max_size=4), total=st.floats(-2.0, -1.0),
)  # fmt: skip
def test_parallel_ways_agree_with_bisection_on_their_common_pressure(
    resist: list[float], lift: list[float], total: float
) -> None:
    """sum sqrt((p + l) / a) = m grows with p, so p is bracketed and bisection cannot fail."""
    a, b, m = 10.0 ** np.array(resist), np.array(lift), float(10.0**total)

    def short(p: float) -> float:
        return float(np.sqrt(np.maximum(p + b, 0.0) / a).sum()) - m

    p = brentq(short, float(-b.max()), float((a * m * m - b).max()), xtol=1e-13, rtol=1e-14)
    expected = np.sqrt(np.maximum(p + b, 0.0) / a)
    found = one(list(a), lift, m)
    # besides the line (1e-5 of a m^2 at full flow) nothing: flows within 1e-3 of the whole
    assert np.abs(found - expected).max() <= 1e-3 * m
    assert abs(found.sum() - m) <= 1e-4 * m


LADDER = Grid(
    nodes=6, source=0, sink=5,
    tails=np.array([0, 0, 1, 1, 2, 3, 4, 2]), heads=np.array([1, 2, 2, 3, 4, 5, 5, 5]),
)  # fmt: skip
"""A split, a branch that parts again, a cross-over and joins of two and three ways."""


def test_a_net_of_branches_agrees_with_a_general_solver() -> None:
    """All pressures and flows as unknowns of one system for scipy's hybrid method."""
    resist = np.array([900.0, 700.0, 4000.0, 500.0, 800.0, 1200.0, 300.0, 2500.0])
    lift = np.array([1.0, 0.4, 0.1, -0.5, 0.2, 0.9, 0.0, 0.3])
    total = 0.06
    incidence = np.zeros((6, 8))
    for edge, (tail, head) in enumerate(zip(LADDER.tails, LADDER.heads)):
        incidence[tail, edge], incidence[head, edge] = 1.0, -1.0

    def rest(unknown: Floats) -> Floats:
        pressure, flow = np.append(unknown[:5], 0.0), unknown[5:] * total
        drop = resist * flow * np.abs(flow) - lift - pressure @ incidence
        lack = (incidence @ flow)[:5] / total
        lack[0] -= 1.0
        return np.asarray(np.concatenate([lack, drop]))

    start = np.concatenate([np.ones(5), np.full(8, 0.4)])
    solved = root(rest, start, tol=1e-13)
    assert solved.success and (solved.x[5:] > 0.05).all()
    close(one(list(resist), list(lift), total, LADDER), solved.x[5:] * total, within=5e-4,
          because=LINE, source="scipy.optimize.root on all unknowns")  # fmt: skip


def test_each_case_is_solved_as_if_alone() -> None:
    rng = np.random.default_rng(7)  # fixed, so the same every time
    resist, lift = 10.0 ** rng.uniform(2, 4, (5, 8)), rng.normal(0.0, 1.0, (5, 8))
    total = np.array([0.01, 0.02, 0.03, 0.04, 0.05])
    together = parted_flows(LADDER, resist, lift, total)
    for i in range(5):
        alone = one(list(resist[i]), list(lift[i]), float(total[i]), LADDER)
        assert np.abs(together[i] - alone).max() <= 1e-8 * total[i]
        for node in range(1, 5):
            came = together[i][LADDER.heads == node].sum()
            went = together[i][LADDER.tails == node].sum()
            assert abs(came - went) <= 1e-4 * total[i]


def test_nets_far_from_any_heater_still_come_to_rest() -> None:
    """Resistances over four decades and lifts of any size: flows balance, none goes back."""
    rng = np.random.default_rng(11)
    for _ in range(25):
        n = int(rng.integers(3, 12))
        pairs = [(i, i + 1) for i in range(n - 1)]
        for _ in range(int(rng.integers(1, 6))):
            low, high = sorted(int(x) for x in rng.choice(n, 2, replace=False))
            pairs.append((low, high))
        tails, heads = np.array(pairs).T
        grid = Grid(nodes=n, tails=tails, heads=heads, source=0, sink=n - 1)
        resist = 10.0 ** rng.uniform(1, 5, (8, len(pairs)))
        flow = parted_flows(grid, resist, rng.normal(0.0, 5.0, (8, len(pairs))), np.full(8, 0.03))
        assert np.isfinite(flow).all() and (flow >= 0.0).all()
        for node in range(1, n - 1):
            off = flow[:, heads == node].sum(axis=1) - flow[:, tails == node].sum(axis=1)
            assert np.abs(off).max() <= 1e-3 * 0.03
