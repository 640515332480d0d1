"""Pieces along a wall, a bench and a slab: by hand where a hand can reckon."""

from __future__ import annotations

import math

import numpy as np
import pytest

from stovelint.hotmap.pieces import along_K, decay_length_m, edge_bound_K, largest_rise_K
from stovelint.hotmap.records import PatchHeat, PieceHeat
from tests.rules import make
from tests.rules.make import layer, layer_heat, patch, spread

SLAB = make.part("slab", "cap", [layer("granite", 0.04)])


def at(middle_C: float, low: float, high: float, *, chamber: str = "bell",
       along: tuple[float, float] | None = None) -> tuple[PatchHeat, PieceHeat]:  # fmt: skip
    heat = layer_heat(SLAB.layers[0], spread(90.0), spread(50.0), middle=spread(middle_C))
    return patch(SLAB, [heat], chamber=chamber, from_m=low, to_m=high, along_m=along), heat.piece()


def felt(*places: tuple[PatchHeat, PieceHeat], half_m: float, decay_m: float = 0.06) -> float | None:
    found = along_K([p for p, _ in places], [q for _, q in places], half_m, decay_m)
    return None if found is None else found.high


def test_a_tall_piece_feels_the_whole_step_and_a_low_one_its_slope() -> None:
    low, high = at(60.0, 0.0, 0.2), at(100.0, 0.2, 0.4)  # 40 K over 0.2 m
    assert felt(low, high, half_m=0.3) == pytest.approx(40.0)
    assert felt(low, high, half_m=0.05) == pytest.approx(10.0)


def test_span_and_bearing_edge_even_out_like_a_fin() -> None:
    """1 - 1/cosh(a/l): a = l gives 35.2 % of the step (cosh 1 = 1.5431)."""
    span, edge = at(100.0, 1.5, 1.5), at(60.0, 1.5, 1.5)
    assert felt(span, edge, half_m=0.06) == pytest.approx(40.0 * (1.0 - 1.0 / 1.5430806))
    assert felt(span, edge, half_m=5.0) == pytest.approx(40.0)


def test_under_two_chambers_elevations_do_not_matter() -> None:
    """One slab under firebox and bell, whose floors lie at unlike heights."""
    for bottom in (0.0, 0.14, 0.3):
        one, other = at(90.0, 0.0, 0.0), at(60.0, bottom, bottom, chamber="firebox")
        assert felt(one, other, half_m=5.0) == pytest.approx(30.0)


def test_walls_of_two_chambers_are_no_one_piece() -> None:
    assert felt(at(90.0, 0.0, 0.2), at(30.0, 0.2, 0.4, chamber="bench"), half_m=1.0) is None
    assert felt(at(90.0, 0.0, 0.2), half_m=1.0) is None


def test_stretches_of_a_bench_lie_along_it() -> None:
    near, far = at(80.0, 0.4, 0.4, along=(0.0, 0.6)), at(50.0, 0.4, 0.4, along=(0.6, 1.2))
    assert felt(near, far, half_m=0.3) == pytest.approx(15.0)  # half of 30 K over 0.6 m


def test_no_edge_is_cooler_than_the_room() -> None:
    _, piece = at(85.0, 1.5, 1.5)
    assert edge_bound_K([piece], 5.0, 0.06) == pytest.approx(65.0)
    assert edge_bound_K([at(10.0, 1.5, 1.5)[1]], 5.0, 0.06) == 0.0


def test_how_far_a_step_is_felt() -> None:
    # granite 40 mm thick: (2.66 * 0.04 / 30)^(1/2) = 60 mm
    assert decay_length_m(2.66, 0.04) == pytest.approx(math.sqrt(2.66 * 0.04 / 30.0))


def test_the_rise_of_a_sine() -> None:
    """A sin(w t) rises by 2 A sin(w d / 2) within d at most (addition theorem)."""
    period, samples = 43200.0, 216
    history = 100.0 * np.sin(2.0 * np.pi * np.arange(samples) / samples)[None, :]
    expected = 200.0 * math.sin(math.pi * 900.0 / period)
    # straight lines between samples of 200 s lose 1 - cos(w 100 s), 1e-4 of the sine
    assert float(largest_rise_K(history, period)[0]) == pytest.approx(expected, rel=5e-4)
