"""A bake oven with the fire inside: a fire that burns freely, read from a plan."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from stovelint.assemble import assemble
from stovelint.heat.network import Hearth
from stovelint.hotmap.compute import hot_map
from stovelint.hotmap.cutplan import Plan, cut
from stovelint.hotmap.records import CycleHeat
from stovelint.source.yaml import parse
from tests.hotmap.plans import CATALOGUE

TEXT = (Path(__file__).parent / "boat-shed.heater.yaml").read_text(encoding="utf-8")


def plan(text: str = TEXT) -> Plan:
    return cut(assemble(parse(text, "plan")), CATALOGUE)


@cache
def usual(text: str = TEXT) -> CycleHeat:
    build = assemble(parse(text, "plan"))
    return hot_map(build, CATALOGUE, states=("usual",), members=1).cycles["usual"]


def test_it_is_a_hearth_of_at_least_three_bands() -> None:
    (hearth,) = plan().ways.ways
    assert isinstance(hearth, Hearth)
    assert len(hearth.zones) == 3
    assert max(abs(a - b) for a, b in zip(hearth.edges_m, (0.45, 0.30, 0.15, 0.0))) < 1e-12
    # a third of the floor of 0.9 m: 0.9 / 3^(1/2)
    assert abs(hearth.diameter_m - 0.9 / 3.0**0.5) < 1e-12
    assert hearth.inlet == 2


def test_gas_leaves_through_the_height_of_its_port() -> None:
    """A port of 0.2 m round 0.25 m: half of it over the joint at 0.30 m, 0.15 m below it."""
    (hearth,) = plan().ways.ways
    assert isinstance(hearth, Hearth)
    assert max(abs(a - b) for a, b in zip(hearth.leaving, (0.25, 0.75, 0.0))) < 1e-9
    (top,) = plan(TEXT.replace("{chimney: {at: 250 mm}}", "chimney")).ways.ways
    assert isinstance(top, Hearth)
    assert top.leaving == (1.0, 0.0, 0.0)


def test_heat_is_accounted_for_and_the_dome_is_hotter_than_the_wall_at_the_floor() -> None:
    cycle = usual()
    assert cycle.energy_gap < 1e-3
    hot = {(p.part, p.where): p.layers[0].hot.peak_C.mid for p in cycle.patches}
    low, high = hot["wall", "0.00 to 0.15 m"], hot["wall", "0.30 to 0.45 m"]
    assert low < high < hot["dome", "span"]


def test_a_fire_that_fills_its_chamber_leaves_no_layers() -> None:
    """The same oven as a firebox: one zone."""
    stirred = plan(TEXT.replace("    fire: open\n", ""))
    assert len(stirred.rooms["oven"].zones) == 1
