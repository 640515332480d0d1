"""Shortcuts of the passes change no result: who is solved together, what is lent or kept."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from stovelint.heat.layers import harmonics_rad_s
from stovelint.heat.network import Drive
from stovelint.heat.passes import TOLERANCE_K
from stovelint.heat.periodic import Solution, solve
from stovelint.heat.sampling import Fill
from stovelint.heat.walls import Walls
from tests.heat.small import Wall, drive, network

Floats = NDArray[np.float64]

N = 96
SIZES = (0.2, 0.5, 0.9, 1.0, 1.1, 2.0)
"""Heat of the members over that of the fourth: some lie near the start and come to rest early."""
WALLS = (
    Wall(layers=[(0.1, 2e5), (0.3, 1e5)], area_m2=0.8),
    Wall(layers=[(0.002, 8e3)], area_m2=0.1),
)
BOTH_END_K = 2.0 * TOLERANCE_K
"""Each of two ways ends within the tolerance of where both go."""


def fire(sizes: tuple[float, ...]) -> Drive:
    lit = np.sin(np.pi * np.minimum(np.arange(N) / 24.0, 1.0)) ** 2
    heat = np.array(sizes)[:, None] * 4000.0 * lit
    return drive(heat, 0.002 + 0.01 * lit, burning=np.arange(N) <= 24)


def together() -> Solution:
    """All members, from the fourth one's solution and with what that one lends."""
    one = solve(network(WALLS), fire((1.0,)))
    assert one.converged and one.secants is not None
    all_of = solve(
        network(WALLS, members=len(SIZES)), fire(SIZES), one.state, lent=one.secants
    )
    assert all_of.converged
    return all_of


def test_a_member_is_the_same_in_company_and_alone() -> None:
    company = together()
    for row, size in enumerate(SIZES):
        alone = solve(network(WALLS), fire((size,)))
        assert alone.converged
        assert np.abs(company.faces_C[row] - alone.faces_C[0]).max() <= BOTH_END_K, size
        assert abs(company.q_W_m2[row].mean() - alone.q_W_m2[0].mean()) <= 1.0, size


def test_members_differ_so_that_an_order_mixed_up_would_show() -> None:
    company = together()
    peaks = company.faces_C[:, 0].max(axis=1)
    assert (np.diff(peaks) > 10.0 * BOTH_END_K).all()


def test_the_spectrum_kept_between_passes_is_that_of_the_faces_returned() -> None:
    """Of a real history the fastest harmonic of an even number of samples has no phase; kept, it
    would come back as a saw-tooth (door panes swung by 2 K from sample to sample)."""
    walls = Walls(network(WALLS), harmonics_rad_s(43200.0, N))
    mean = np.full((1, 4), 100.0)
    walls.renew(mean, np.full((1, 4), 20.0))
    saw: Floats = 100.0 + 50.0 * np.cos(np.pi * np.arange(N))
    history = np.broadcast_to(saw, (1, 4, N))
    wave = np.fft.rfft(history, axis=-1)
    after = walls.answer(wave, np.zeros((1, 4, N)), Fill(np.arange(N), N))
    assert np.allclose(np.fft.rfft(after, axis=-1), wave, rtol=0.0, atol=1e-9 * np.abs(wave).max())
