"""Mean temperature of a layer over a cycle, and hours of useful heat."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray

from stovelint.heat.layers import harmonics_rad_s, inner_temperature, layer_admittance
from stovelint.heat.stored import hours_above_share, mean_through_C
from tests.heat.close import close

Floats = NDArray[np.float64]

DAY_S, N = 86400.0, 128
R, C = np.array([0.1, 0.24]), np.array([190e3, 460e3])


def faces(seed: int = 1) -> tuple[Floats, Floats]:
    t = np.arange(N) / N
    hot = 200.0 + 150.0 * np.exp(-(((t - 0.1) / 0.08) ** 2)) + np.array([[0.0], [40.0]])
    cold = 60.0 + 10.0 * np.cos(2.0 * np.pi * (t - 0.3 - 0.01 * seed)) * np.ones((2, 1))
    return hot, cold


def test_mean_is_that_of_the_wave_inside() -> None:
    """Mean over 200 depths, each from the chain of two admittances."""
    hot, cold = faces()
    omega = harmonics_rad_s(DAY_S, N)
    depths = (np.arange(200) + 0.5) / 200.0
    total = np.zeros_like(hot)
    for x in depths:
        parts = [layer_admittance(R * share, C * share, omega) for share in (x, 1.0 - x)]
        wave = inner_temperature(parts[0], parts[1], np.fft.rfft(hot), np.fft.rfft(cold))
        total += np.fft.irfft(wave, n=N) / len(depths)
    close(mean_through_C(hot, cold, R, C, DAY_S), total, within=1e-4,
          because="mid-points of 200 slices", source="wave inside a layer, point by point")


def test_heat_held_changes_by_what_flows_in() -> None:
    """C dT/dt = q1 - q2, harmonic by harmonic, with the flows of the admittance."""
    hot, cold = faces(4)
    omega = harmonics_rad_s(DAY_S, N)
    a, b, d = layer_admittance(R, C, omega)
    t1, t2 = np.fft.rfft(hot), np.fft.rfft(cold)
    flow_in = (a * t1 - b * t2) - (b * t1 - d * t2)
    held = C[:, None] * np.fft.rfft(mean_through_C(hot, cold, R, C, DAY_S))
    inner = slice(1, N // 2)  # the mean does not change; the last harmonic has no derivative
    found, expected = (1j * omega * held)[:, inner], flow_in[:, inner]
    scale = np.abs(expected).max()
    assert np.abs(found - expected).max() < 1e-9 * scale


def test_steady_and_thin_layers_have_the_middle_of_their_faces() -> None:
    hot, cold = faces()
    thin = mean_through_C(hot, cold, np.full(2, 1e-6), np.full(2, 1e-3), DAY_S)
    assert np.abs(thin - 0.5 * (hot + cold)).max() < 1e-9
    mean = mean_through_C(hot, cold, R, C, DAY_S)
    close(mean.mean(axis=1), 0.5 * (hot + cold).mean(axis=1), within=1e-12,
          because="exact for the mean", source="straight line between the faces")  # fmt: skip


def test_a_thick_layer_barely_moves() -> None:
    """Many waves thick: only the mean and 1/z of the swing are left."""
    hot, cold = faces()
    mean = mean_through_C(hot, cold, 1e3 * R, 1e3 * C, DAY_S)
    assert np.ptp(mean) < 0.05 * np.ptp(hot) + 40.0
    assert np.ptp(mean[0]) < 0.01 * np.ptp(hot[0])


def test_hours_by_hand() -> None:
    """Hours 0 to 7: up to 4 at hour 2, then down by 1 an hour: 2 at hour 4, 1.2 at hour 4.8."""
    row = np.array([[1.0, 2.0, 4.0, 3.0, 2.0, 1.0, 1.0, 1.0]])
    hours = [float(hours_above_share(row, 8 * 3600.0, share)[0]) for share in (0.6, 0.5, 0.3)]
    assert hours == pytest.approx([3.6, 4.0, 4.8])
    assert hours_above_share(3.0 * row, 4 * 3600.0, 0.6)[0] == pytest.approx(1.8)


def test_an_output_that_never_falls_lasts_the_whole_cycle() -> None:
    even = np.array([[4.0, 5.0, 4.0, 4.0], [8.0, 8.0, 2.0, 2.0]])
    assert hours_above_share(even, 12 * 3600.0, 0.5).tolist() == pytest.approx([12.0, 5.0])


def test_an_output_that_falls_only_at_the_next_fire() -> None:
    """Peak at hour 2, still 3 at hour 3, and 1 when the next cycle starts: half of 4 between."""
    late = np.array([[1.0, 2.0, 4.0, 3.0]])
    assert hours_above_share(late, 4 * 3600.0, 0.5)[0] == pytest.approx(3.5)


def test_a_peak_at_the_end_of_the_cycle() -> None:
    assert hours_above_share(np.array([[1.0, 2.0, 4.0]]), 3 * 3600.0, 0.5)[0] == pytest.approx(
        2.0 + 2.0 / 3.0
    )
