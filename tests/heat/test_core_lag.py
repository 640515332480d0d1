"""A declared core: the lag of its face, the course of its gas, and what they are measured by."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from stovelint.heat.core import HOLD_S, QUICKEST, SLOWEST, Core, excess, follows, smoothed
from tests.heat.close import close

Floats = NDArray[np.float64]

N, PERIOD_S = 48, 43200.0
LIT = np.sin(np.pi * np.minimum(np.arange(N) / 8.0, 1.0)) ** 2
HEAT = np.array([[9e3], [1.2e4]]) * LIT + np.array([[0.0], [200.0]])
ROOM_C = np.array([[20.0], [23.0]])


def stepped(heat: Floats, hold_s: float) -> Floats:
    """y' = (x - y) / hold sample by sample, x even within each, until the cycles repeat."""
    fade = np.exp(-PERIOD_S / heat.shape[1] / hold_s)
    y, found = np.zeros(len(heat)), np.empty_like(heat)
    for _ in range(30):
        for at in range(heat.shape[1]):
            y = heat[:, at] + (y - heat[:, at]) * fade
            found[:, at] = y
    return found


def test_the_fire_is_felt_through_a_lag() -> None:
    by_steps = stepped(HEAT, HOLD_S)
    close(smoothed(HEAT, PERIOD_S), by_steps / by_steps.max(axis=1, keepdims=True), within=1e-9,
          because="exact step by step, rounding left", source="first-order lag, stepped")  # fmt: skip
    assert 3600.0 <= HOLD_S <= 7200.0  # "an hour or two"


def test_what_is_felt_never_ends_quite() -> None:
    """A month after a single short fire the logarithm of what is left must still exist."""
    short = np.zeros((1, 64))
    short[0, 3] = 5e4
    late = smoothed(short, 30 * 86400.0)
    assert late.max() == 1.0
    close(late[0, 40], 1e-6, within=1e-9, because="a floor by definition",
          source="a millionth of the crest")  # fmt: skip


def test_gas_leaves_in_proportion_to_heat_per_gas() -> None:
    heat = np.array([[0.0, 500.0, 1000.0, 800.0, 100.0]])
    flow = np.array([[0.0, 0.01, 0.01, 0.005, 0.01]])
    assert follows(heat, flow).tolist() == [[0.0, 0.5, 1.0, 1.0, 0.1]]  # 1.6 is held at 1


def test_the_ends_are_those_of_steel_and_of_half_a_ton() -> None:
    """u fades with HOLD_S, so that u^p fades with HOLD_S / p: a quarter of an hour and 19 h."""
    close([HOLD_S / QUICKEST, HOLD_S / SLOWEST], [900.0, 19 * 3600.0], within=0.02,
          because="rounded to whole numbers", source="meaning of the two ends (judgement)")  # fmt: skip


def test_excess_is_a_ratio_of_rises() -> None:
    one = np.ones((2, 1))
    core = Core(wall_C=120.0 * one, exit_C=300.0 * one, late=one, gas=one, heat_W=one,
                weight=np.ones(1))  # fmt: skip
    face = np.array([[20.0, 145.0, 70.0], [23.0, 60.0, 71.5]])
    close(excess(core, face, ROOM_C), [1.25, 0.5], within=1e-12, because="worked by hand exactly",
          source="125 over 100 K, 48.5 over 97 K")  # fmt: skip
