"""Temperatures at a depth against exact steady and periodic solutions."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray

from stovelint.hotmap.profile import Profile, Slice, depth_heat, hours_above, spread
from tests.heat.close import close

Floats = NDArray[np.float64]

PERIOD = 43200.0
N = 96
TIME = np.arange(N) * PERIOD / N
LAYERS = ((0.114, 1.1, 2.0e6), (0.010, 0.18, 1.0e3), (0.102, 0.7, 1.5e6))
"""Thickness (m), conductivity (W/mK), heat capacity (J/m3K), hot side first."""


def slices(layers: tuple[tuple[float, float, float], ...] = LAYERS) -> list[Slice]:
    found, top = [], 0.0
    for d, k, c in layers:
        found.append(
            Slice(top_m=top, thickness_m=d, r_m2K_W=np.array([d / k]), c_J_m2K=np.array([d * c]))
        )
        top += d
    return found


def wave(mean: float, swing: float, turns: int = 1, late: float = 0.0) -> Floats:
    return np.asarray(mean + swing * np.sin(2.0 * np.pi * turns * TIME / PERIOD - late))[None, :]


def test_the_mean_falls_with_the_resistance_passed() -> None:
    profile = Profile(slices(), wave(300.0, 80.0), wave(60.0, 5.0, late=1.0), PERIOD)
    total = sum(d / k for d, k, _ in LAYERS)
    passed = 0.0
    top = 0.0
    for d, k, _ in LAYERS:
        for share in (0.0, 0.3, 1.0):
            exact = 300.0 - 240.0 * (passed + share * d / k) / total
            close(profile.at(top + share * d).mean(), exact, within=1e-6,
                  because="closed form, rounding only",
                  source="series of plane layers, steady")  # fmt: skip
        passed, top = passed + d / k, top + d


@pytest.mark.parametrize("turns", [1, 3, 12])
def test_a_swing_inside_one_slab_is_the_exact_one(turns: int) -> None:
    """T(x) = [T1 sinh g(L - x) + T2 sinh g x] / sinh g L, g = (i w c / k)^(1/2)."""
    d, k, c = LAYERS[0]
    hot, cold = wave(0.0, 100.0, turns), wave(0.0, 20.0, turns, 0.7)
    profile = Profile(slices(LAYERS[:1]), hot, cold, PERIOD)
    g = np.sqrt(2j * np.pi * turns / PERIOD * c / k)
    for depth in (0.01, 0.05, 0.1):
        amplitude = (
            100.0 * np.sinh(g * (d - depth)) + 20.0 * np.exp(-0.7j) * np.sinh(g * depth)
        ) / np.sinh(g * d)
        exact = (amplitude * np.exp(2j * np.pi * turns * TIME / PERIOD)).imag
        assert np.abs(profile.at(depth)[0] - exact).max() < 1e-6  # rounding of 100 K


def test_a_swing_through_layers_meets_the_heat_equation() -> None:
    """Heat flow is the same on both sides of a joint, by central differences of 0.1 mm."""
    profile = Profile(slices(), wave(300.0, 80.0), wave(60.0, 5.0, late=1.0), PERIOD)
    step = 1e-4
    top = 0.0
    for (d, k, _), (_, k_next, _) in zip(LAYERS, LAYERS[1:]):
        top += d
        before = k * (profile.at(top - 2 * step) - profile.at(top - step)) / step
        after = k_next * (profile.at(top + step) - profile.at(top + 2 * step)) / step
        # what 0.3 mm of brick store in the swing is 2 % of the flow
        assert np.abs(before - after).max() < 0.03 * np.abs(before).max()


def test_faces_are_returned_as_given() -> None:
    hot, cold = wave(300.0, 80.0), wave(60.0, 5.0)
    profile = Profile(slices(), hot, cold, PERIOD)
    assert np.array_equal(profile.at(0.0), hot) and np.array_equal(profile.at(0.226), cold)


def test_a_cycle_is_told_by_peak_mean_swing_and_time() -> None:
    profile = Profile(slices(), wave(300.0, 80.0), wave(60.0, 5.0), PERIOD)
    heat = depth_heat([profile], 0.0)
    assert heat.peak_C.mid == pytest.approx(380.0)
    assert heat.mean_C.mid == pytest.approx(300.0)
    assert heat.swing_K.mid == pytest.approx(160.0)
    assert heat.peak_at_s == PERIOD / 4.0
    assert depth_heat([profile], 0.05).peak_at_s > PERIOD / 4.0  # deeper is later


def test_hours_above_a_temperature() -> None:
    """300 + 80 sin > 340 for a third of the cycle: 4 h of 12, to the width of a sample."""
    profile = Profile(slices(), wave(300.0, 80.0), wave(60.0, 5.0), PERIOD)
    found = hours_above([profile], 0.0, 340.0)
    close(found.mid, 4.0, within=0.07, because="two ends of a sample of 0.125 h",
          source="sine above one half of its crest")  # fmt: skip
    assert hours_above([profile], 0.0, 400.0).high == 0.0


def test_two_damper_ends_make_an_envelope() -> None:
    found = spread([np.array([1.0, 5.0, 3.0]), np.array([2.0, 4.0, 9.0])])
    assert found.values.tolist() == [2.0, 5.0, 9.0] and found.floor.tolist() == [1.0, 4.0, 3.0]
    assert (found.low, found.mid, found.high) == (1.0, 5.0, 9.0)
    assert found.cases == 3 and found.cases_above(5.0) == 1  # strictly above


def test_the_mean_at_a_depth_is_that_of_its_history() -> None:
    """Two layers: the short way and the whole transform must agree (same linear equations)."""
    rng = np.random.default_rng(7)
    hot, cold = rng.uniform(50.0, 300.0, (3, 48)), rng.uniform(20.0, 60.0, (3, 48))
    slices = [
        Slice(top_m=0.0, thickness_m=0.03, r_m2K_W=np.array([0.02, 0.03, 0.04]),
              c_J_m2K=np.full(3, 5e4)),
        Slice(top_m=0.03, thickness_m=0.10, r_m2K_W=np.array([0.2, 0.1, 0.15]),
              c_J_m2K=np.full(3, 1.5e5)),
    ]  # fmt: skip
    profile = Profile(slices, hot, cold, PERIOD)
    for depth_m in (0.0, 0.015, 0.03, 0.08, 0.13):
        whole = profile.at(depth_m).mean(axis=1)
        assert np.allclose(profile.mean_at(depth_m), whole, rtol=0.0, atol=1e-9)
