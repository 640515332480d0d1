"""Where ports and openings sit: high or low in a bell."""

from __future__ import annotations

import pytest

from stovelint.heat.network import Bell
from stovelint.hotmap.records import CycleHeat
from stovelint.hotmap.ways import NEAREST_DROP_M, gas_ways
from stovelint.hotmap.zones import CROWN_M, rooms
from tests.hotmap.plans import built, cycle, demo, patch, plain, with_


def leaving(at: str) -> CycleHeat:
    return cycle(with_(plain(), (("chambers", "bell", "leaves_at"), at)))


def drop_m(at: str | None) -> float:
    build = built(with_(plain(), (("chambers", "bell", "leaves_at"), at)))
    bell = gas_ways(build, rooms(build)).ways[1]
    assert isinstance(bell, Bell)
    return bell.drop_m


def test_the_drop_is_from_the_crown_cell_to_the_middle_of_the_port() -> None:
    """The bell is 1.8 m high."""
    assert drop_m("300 mm") == pytest.approx(1.8 - CROWN_M - 0.3)
    assert drop_m("1.4 m") == pytest.approx(1.8 - CROWN_M - 1.4)
    assert drop_m(None) == pytest.approx(1.8 - CROWN_M)  # over the floor
    assert drop_m("1.64 m") == drop_m("1.7 m") == NEAREST_DROP_M


def test_a_port_near_the_crown_lets_hot_gas_go_short() -> None:
    """It leaves the bell hotter, and the bell below it and its floor cooler, with no step between
    a port just under the crown cell and one in it."""
    low, high, crown = leaving("100 mm"), leaving("1.55 m"), leaving("1.65 m")
    for heat in (low, high, crown):
        assert heat.energy_gap <= 1e-3
    assert high.exit_burn_mean_C.mid > low.exit_burn_mean_C.mid + 50.0
    assert high.to_room_share.mid < low.to_room_share.mid - 0.05
    assert abs(high.exit_burn_mean_C.mid - crown.exit_burn_mean_C.mid) < 5.0
    floors = [patch(h, "bell-wall", "0.00").layers[0].hot.peak_C.mid for h in (low, high)]
    assert floors[1] < floors[0] - 20.0


def test_a_bench_that_opens_high_into_the_bell_is_warmer() -> None:
    at = ("chambers", "bench", "opens_to", "bell", "at")
    tops = []
    for level in ("150 mm", "1.4 m"):
        heat = cycle(with_(demo(), (at, level)))
        assert heat.energy_gap <= 1e-3
        tops.append(heat.chamber_peak_C["bench"].mid)
    assert tops[1] > tops[0] + 20.0
