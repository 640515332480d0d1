"""Where the gas is looked at, and that nothing gets lost between there and all samples."""

from __future__ import annotations

from dataclasses import fields, replace
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray

from stovelint.heat.network import Bell, Drive, Plug, Pocket, Stirred
from stovelint.heat.periodic import solve
from stovelint.heat.sampling import (
    CALM, FEWEST_STEPS, Fill, at_samples, between_samples, looked_at, network_of, some_members,
)  # fmt: skip
from tests.heat.small import Wall, drive, network

Floats = NDArray[np.float64]


def fire(samples: int, burning: int, flow: Floats | float = 0.01) -> Drive:
    """Heat and flames in the first `burning` samples."""
    lit = np.arange(samples) < burning
    return drive(np.where(lit, 5000.0, 0.0), flow, burning=lit)


def test_steps_double_as_said() -> None:
    """128 samples, five burning: six steps of 1, six of 2, then of 4, for 8 is more than 128/27;
    and the last sample of all."""
    assert looked_at(fire(128, 5)).tolist() == [
        0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 12, 14, 16, 18, 20, 22, *range(26, 127, 4), 127
    ]  # fmt: skip


def test_a_step_may_be_just_one_part_in_so_many() -> None:
    """In 108 samples a step of 4 is 1/27 to a hair and allowed; in 107 it is not."""
    assert FEWEST_STEPS == 27
    for samples, longest in ((108, 4), (107, 2)):
        assert np.diff(looked_at(fire(samples, 1))).max() == longest


@given(st.integers(8, 400), st.data())
def test_all_samples_of_the_burn_and_ever_fewer_after_it(samples: int, data: st.DataObject) -> None:
    burning = data.draw(st.integers(1, samples))
    chosen = looked_at(fire(samples, burning))
    assert chosen[:burning].tolist() == list(range(burning))
    assert chosen[-1] == samples - 1
    steps = np.diff(chosen)
    assert steps.min(initial=1) >= 1
    assert steps.max(initial=1) <= max(1.0, samples / FEWEST_STEPS)
    kept = steps[:-1]  # the last one ends where the cycle does
    assert (np.diff(kept) >= 0).all()
    for step in set(kept[:-1].tolist()) - {int(kept.max(initial=0))}:
        assert (kept[burning - 1 :] == step).sum() == CALM or step == 1


def test_a_change_of_the_flow_is_looked_at_too() -> None:
    """The damper of the second member is shut at sample 40: until then nothing is skipped."""
    flow = np.full((2, 128), 0.01)
    flow[1, 40:] = 0.002
    flow[:, 0] = flow[:, -1]
    chosen = looked_at(fire(128, 5, flow[:1]))
    assert 11 not in chosen
    lit = np.arange(128) < 5
    both = drive(np.where(lit, 5000.0, 0.0) * np.ones((2, 1)), flow, burning=lit)
    assert looked_at(both).tolist()[:47] == list(range(47))
    assert 48 in looked_at(both) and 47 not in looked_at(both)
    opened = drive(both.heat_W, 0.012 - flow, burning=lit)
    assert np.array_equal(looked_at(opened), looked_at(both))


CHOICES = (
    [0, 1, 2, 3, 5, 8, 11], [0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11], [0, 4, 11],
    [0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 11], [0, 1, 2, 3, 5, 10], [0, 1, 2, 3, 4, 8], [0, 3, 6, 9],
    [0, 1, 2, 3, 4, 5], [0],
)  # fmt: skip
"""The first sample is always looked at, the last may be left out: from the last one that is looked
at, values then head for the first."""


@pytest.mark.parametrize("chosen", CHOICES)
def test_filled_values_lie_on_straight_lines_round_the_cycle(chosen: list[int]) -> None:
    """numpy's own interpolation with a period."""
    values = np.random.default_rng(3).normal(size=(2, 3, len(chosen)))
    fill = Fill(np.array(chosen), 12)
    whole = fill.all(values)
    assert whole.shape == (2, 3, 12)
    at = np.arange(12)
    for i in np.ndindex(2, 3):
        expected = np.interp(at, chosen, values[i], period=12)
        assert np.abs(whole[i] - expected).max() < 1e-14
    assert np.abs(values @ fill.mean - whole.mean(axis=-1)).max() < 1e-14
    assert np.abs(values @ between_samples(np.array(chosen), 12) - whole).max() < 1e-14
    assert np.array_equal(whole[..., chosen], values)


def test_past_the_last_one_values_head_for_the_first() -> None:
    chosen, values = np.array([1, 2, 6]), np.array([10.0, 40.0, 20.0])
    expected = np.interp(np.arange(12), chosen, values, period=12)
    assert np.abs(values @ between_samples(chosen, 12) - expected).max() < 1e-12


def test_what_is_all_looked_at_needs_no_sum() -> None:
    """Only the part after the first gap is a matrix product: it is what costs."""
    for chosen, first in (([0, 1, 2, 5, 11], 2), ([0, 4, 11], 0), ([0, 1, 2, 3], 3)):
        fill = Fill(np.array(chosen), chosen[-1] + 1)
        assert fill.dense == first + 1
        assert fill.between.shape == (len(chosen) - first, chosen[-1] - first)


@pytest.mark.parametrize("chosen", [[1, 2, 11], [0, 5, 5, 11], [0, 6, 3, 11], [0, 12]])
def test_samples_that_do_not_rise_from_the_first_are_refused(chosen: list[int]) -> None:
    with pytest.raises(ValueError, match="must rise from 0, below 12"):
        Fill(np.array(chosen), 12)
    with pytest.raises(ValueError, match="must rise from 0, below 12"):
        solve(network([Wall()]), drive(np.full((1, 12), 3e3), 0.01), chosen=np.array(chosen))


def two_members() -> Drive:
    """No two numbers of it are alike."""
    count = iter(range(1, 10_000))
    known = drive(np.ones((2, 6)), 0.01)
    changed: dict[str, Any] = {}
    for field in fields(Drive):
        value = getattr(known, field.name)
        if isinstance(value, np.ndarray) and value.dtype == np.float64:
            changed[field.name] = np.array([next(count) for _ in range(value.size)], dtype=float
                                           ).reshape(value.shape)  # fmt: skip
    burning = np.array([True, True, False, True, False, False])
    return replace(known, burning=burning, **changed)


def test_samples_and_members_are_taken_from_everything() -> None:
    known, chosen, rows = two_members(), np.array([0, 3, 5]), np.array([1])
    some, one = at_samples(known, chosen), some_members(known, rows)
    for field in fields(Drive):
        value = getattr(known, field.name)
        if not isinstance(value, np.ndarray):
            assert getattr(some, field.name) == getattr(one, field.name) == value
            continue
        timed = value.shape[-1] == known.samples
        assert np.array_equal(getattr(some, field.name), value[..., chosen] if timed else value)
        membered = value.shape[0] == known.members and value.ndim == 2
        assert np.array_equal(getattr(one, field.name), value[rows] if membered else value)


def test_the_heater_of_some_members_has_their_shares() -> None:
    """Where the gas divides by its own draught every member has shares of its own."""
    share = np.array([[0.3], [0.4], [0.6]])
    ways = (
        Stirred(zone=0, inlets=(), heat_share="firebox"),
        Plug(zones=(1,), inlets=((0, share),), heat_weights=(0.0,)),
        Bell(zones=(2,), inlets=((0, 1.0 - share), (1, 1.0)), reach=(), drawn=(0.0,), outlet=0),
        Pocket(zones=(3,), from_zone=2, area_m2=0.1, height_m=0.3),
    )
    walls = [Wall(zone=z) for z in range(4)]
    plain = network(walls, ways, zones=4, members=3, way_flow=(1.0, 0.3, 1.0, 0.0),
                    exits=((2, 1.0),))  # fmt: skip
    flows = np.stack([np.ones((3, 1)), share, np.ones((3, 1)), np.zeros((3, 1))])
    net = replace(
        plain, way_flow=flows, exits=((1, share), (2, 0.5)),
        face_emissivity=np.arange(24.0).reshape(3, 8),
    )  # fmt: skip
    rows = np.array([2, 0])
    some = network_of(net, rows)
    assert np.array_equal(some.face_emissivity, net.face_emissivity[rows])
    assert np.array_equal(some.way_flow, flows[:, rows])
    first, second, third, fourth = some.ways
    assert first == replace(ways[0]) or isinstance(first, Stirred) and first.inlets == ()
    assert isinstance(second, Plug) and isinstance(third, Bell)
    assert second.inlets[0][0] == 0 and np.array_equal(second.inlets[0][1], share[rows])
    assert np.array_equal(third.inlets[0][1], 1.0 - share[rows])
    assert third.inlets[1] == (1, 1.0)
    assert fourth is ways[3]
    assert some.exits[0][0] == 1 and np.array_equal(some.exits[0][1], share[rows])
    assert some.exits[1] == (2, 0.5)
    fixed = replace(plain, face_emissivity=net.face_emissivity)
    kept = network_of(fixed, rows)
    assert kept.way_flow is fixed.way_flow and kept.ways is fixed.ways
    assert np.array_equal(kept.face_emissivity, net.face_emissivity[rows])
