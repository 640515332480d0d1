"""The way of the gas as rises and resistances: levels, sections and flows of the drawn plan."""

from __future__ import annotations

from functools import cache
from math import pi

import numpy as np
import pytest

from stovelint.assemble import load
from stovelint.build import Build
from stovelint.heat.draught import narrowing, sharp_bend, widening
from stovelint.heat.network import Hearth, Network
from stovelint.hotmap.assembly import network
from stovelint.hotmap.cases import places
from stovelint.hotmap.cutplan import cut
from stovelint.hotmap.draughtway import (
    AIR, MOST_WAYS, DraughtWay, Element, chains, draught_way,
)  # fmt: skip
from stovelint.hotmap.properties import Properties
from stovelint.hotmap.zones import Room
from stovelint.hotmap.zones import rooms as rooms_of
from stovelint.source import read_plan
from tests.heat.close import close
from tests.hotmap.plans import CATALOGUE, Tree, built, with_
from tests.tree import ROOT

SIGNAL_BOX = "tests/hotmap/signal-box.heater.yaml"
DRAWN = "drawing of the Signal Box studio, by hand"
SAME = "the same closed form"


def signal_box() -> Tree:
    return dict(read_plan(str(ROOT / SIGNAL_BOX), SIGNAL_BOX).tree)


def posed(build: Build) -> tuple[dict[str, Room], Network]:
    plan = cut(build, CATALOGUE)
    at = places(1)
    properties = Properties(plan.patches, CATALOGUE, at)
    return plan.rooms, network(plan.rooms, plan.patches, plan.ways, properties, CATALOGUE, at)


@cache
def drawn() -> tuple[dict[str, Room], DraughtWay]:
    build = load(str(ROOT / SIGNAL_BOX)).build
    rooms, net = posed(build)
    (chain,) = chains(build, rooms, "chimney")
    return rooms, draught_way(rooms, net, chain, 0.0123)


def risen(rooms: dict[str, Room], way: DraughtWay) -> dict[str, float]:
    owner = {zone.index: name for name, room in rooms.items() for zone in room.zones}
    total: dict[str, float] = {}
    for one in way.rises:
        total[owner[one.zone]] = total.get(owner[one.zone], 0.0) + one.rise_m
    return total


def of(way: DraughtWay, label: str) -> list[Element]:
    return [one for one in way.elements if one.label == label]


def test_gas_rises_and_falls_between_its_ports() -> None:
    """Firebox floor 75 mm, port 195 mm, riser to 1200 mm, down to 150 mm, up to 6150 mm."""
    rooms, way = drawn()
    assert list(risen(rooms, way)) == ["firebox", "riser", "bell", "chimney"]
    close(list(risen(rooms, way).values()), [0.120, 1.005, -1.050, 6.0], within=1e-9,
          because=SAME, source=DRAWN)  # fmt: skip
    assert all(one.rise_m != 0.0 for one in way.rises)


def test_gas_falls_through_the_bands_that_it_passes() -> None:
    rooms, way = drawn()
    bell = rooms["bell"]
    for one in way.rises:
        zone = next((z for z in bell.zones if z.index == one.zone), None)
        if zone is not None:
            low, high = max(zone.low_m, 0.150), min(zone.high_m, 1.2)
            assert one.rise_m == pytest.approx(low - high)
    crown = bell.zones[0].index
    assert crown not in {one.zone for one in way.rises}


def test_resistances_by_hand() -> None:
    rooms, way = drawn()
    flue = pi * 0.09**2
    (inlet,) = of(way, "the air inlet")
    assert (inlet.zone, inlet.zeta, inlet.area_m2) == (AIR, 1.5, 0.0123)
    (throat,) = of(way, "the port from firebox to riser")
    close(throat.zeta, float(narrowing(0.025 / 0.1575) + widening(0.025 / flue)), within=1e-9,
          because=SAME, source=DRAWN)  # fmt: skip
    assert throat.area_m2 == pytest.approx(0.025)
    (mouth,) = of(way, "the port from riser to bell")  # no area: the riser's own
    close([mouth.area_m2, mouth.zeta], [flue, float(widening(flue / 0.752))], within=1e-9,
          because=SAME, source=DRAWN)  # fmt: skip
    (foot,) = of(way, "the port from bell to chimney")
    close(foot.zeta, float(narrowing(0.0254 / 0.752) + widening(0.0254 / flue)), within=1e-9,
          because=SAME, source=DRAWN)  # fmt: skip
    assert foot.zone == rooms["bell"].zones[-1].index
    rubs = of(way, "friction in chimney")
    close(sum(one.length_m for one in rubs), 6.0, within=1e-9, because=SAME, source=DRAWN)
    assert {one.diameter_m for one in rubs} == {0.18} and len(rubs) == 10
    close(sum(one.length_m for one in of(way, "friction in riser")), 1.005, within=1e-9,
          because=SAME, source=DRAWN)  # fmt: skip
    (top,) = of(way, "the mouth of chimney")
    assert top.zeta == 1.0 and top.zone == rooms["chimney"].zones[-1].index
    assert top.area_m2 == pytest.approx(flue)
    assert [one.label for one in way.elements if one.label.startswith("the turn")] == [
        "the turn in riser", "the turn in chimney",
    ]  # fmt: skip
    assert of(way, "the turn in chimney")[0].zeta == pytest.approx(float(sharp_bend(90.0)))
    assert all(float(one.flow_share) == 1.0 for one in way.elements)


def test_gas_leaves_an_open_fire_as_hot_as_the_band_of_its_port() -> None:
    """Not as cool as the air at its floor, which would take less of the draught."""
    build = built(with_(
        signal_box(), (("chambers", "firebox", "fire"), "open"),
        (("chambers", "firebox", "leads_to"), {"riser": {"area": "250 cm2"}}),
    ))  # fmt: skip
    rooms, net = posed(build)
    (chain,) = chains(build, rooms, "chimney")
    way, hearth = draught_way(rooms, net, chain, 0.01), net.ways[0]
    assert isinstance(hearth, Hearth) and hearth.leaving[0] == 1.0
    zones = [zone.index for zone in rooms["firebox"].zones]
    (port,) = [e for e in way.elements if e.label.startswith("the port from firebox")]
    assert len(zones) > 1 and port.zone == zones[0]
    assert [one.zone for one in way.passed if one.room is rooms["firebox"]] == zones


def test_turns_are_as_many_as_the_plan_gives() -> None:
    build = built(with_(signal_box(), (("chambers", "chimney", "bends"), 3),
                        (("chambers", "riser", "bends"), 0)))  # fmt: skip
    rooms, net = posed(build)
    (chain,) = chains(build, rooms, "chimney")
    way = draught_way(rooms, net, chain, 0.01)
    assert of(way, "the turns in chimney")[0].zeta == pytest.approx(3 * float(sharp_bend(90.0)))
    assert not [one for one in way.elements if "riser" in one.label and "turn" in one.label]


def lying(**way_out: str) -> Tree:
    """The bell leads to a flue run under the floor, from there the gas goes up the chimney."""
    run = {
        "kind": "flue-run", "bottom": "100 mm", "leads_to": {"chimney": way_out},
        "size": {"length": "2 m", "width": "200 mm", "height": "240 mm"},
    }  # fmt: skip
    brick = [{"material": "clay-brick-common", "thickness": "102 mm"}]
    wall = {"kind": "wall", "bounds": "run", "faces": "room", "layers": brick}
    return with_(
        signal_box(), (("chambers", "run"), run), (("parts", "run-wall"), wall),
        (("parts", "run-cap"), {**wall, "kind": "cap"}),
        (("chambers", "bell", "leads_to"), {"run": {"area": "254 cm2", "at": "150 mm"}}),
    )  # fmt: skip


def test_a_lying_run_rubs_along_its_length_and_is_left_at_half_its_height() -> None:
    build = built(lying())
    rooms, net = posed(build)
    (chain,) = chains(build, rooms, "chimney")
    way = draught_way(rooms, net, chain, 0.01)
    close(risen(rooms, way)["run"], 0.22 - 0.15, within=1e-9, because=SAME, source=DRAWN)
    close(sum(one.length_m for one in of(way, "friction in run")), 2.0, within=1e-9,
          because=SAME, source=DRAWN)  # fmt: skip
    (onward,) = of(way, "the port from run to chimney")
    close(onward.area_m2, pi * 0.09**2, within=1e-9, because=SAME, source=DRAWN)
    # without a bottom the chimney begins at the datum: from 0.22 m it rises to 6 m
    close(risen(rooms, way)["chimney"], 6.0 - 0.22, within=1e-9, because=SAME, source=DRAWN)


def split(share: str) -> Tree:
    tree = lying(at="220 mm")
    rest = f"{100 - int(share.split()[0])} %"
    tree = with_(tree, (("chambers", "bell", "leads_to"), {
        "run": {"area": "150 cm2", "at": "150 mm", "share": share},
        "chimney": {"area": "100 cm2", "at": "220 mm", "share": rest},
    }))  # fmt: skip
    return tree


def test_each_way_carries_its_share() -> None:
    build = built(split("60 %"))
    rooms, net = posed(build)
    found = {len(chain): draught_way(rooms, net, chain, 0.01)
             for chain in chains(build, rooms, "chimney")}  # fmt: skip
    assert sorted(found) == [3, 4]
    by_run, straight = found[4], found[3]
    shares = {one.label: float(np.asarray(one.flow_share).item()) for one in by_run.elements}
    assert shares["friction in run"] == shares["the port from bell to run"] == 0.6
    assert shares["the port from run to chimney"] == 0.6 and shares["friction in chimney"] == 1.0
    (direct,) = of(straight, "the port from bell to chimney")
    assert float(np.asarray(direct.flow_share).item()) == pytest.approx(0.4)


def test_arrays_of_the_elements() -> None:
    _, way = drawn()
    air = np.array([[0.9, 1.0], [0.8, 0.95]])
    arrays = way.resistances(air)
    assert arrays.zeta.shape == arrays.area_m2.shape == (len(way.elements),)
    assert arrays.flow_share[:, 0].tolist() == air.tolist() and arrays.roughness_m == 0.002
    assert np.all(arrays.flow_share[:, 1:] == 1.0)
    zones = np.arange(2.0 * 40 * 2).reshape(2, 40, 2)
    gas = way.element_gas_C(zones, np.array([[20.0], [22.0]]))
    assert gas[:, 0].tolist() == [[20.0, 20.0], [22.0, 22.0]]
    assert gas[:, -1].tolist() == zones[:, way.elements[-1].zone].tolist()


def test_even_gas_gives_the_draught_of_the_net_rise() -> None:
    """What rises and falls in gas of one temperature leaves the height from inlet to top."""
    _, way = drawn()
    static = way.static_Pa(np.full((1, 40, 1), 150.0), np.array([[0.0]]), 101325.0)
    by_hand = 353.0 * 9.80665 * (6.15 - 0.075) * (1.0 / 273.15 - 1.0 / 423.15)
    close(static, by_hand, within=1e-9, because=SAME, source="hydrostatics of two columns")


def test_too_many_ways_are_not_followed() -> None:
    tree = signal_box()
    halves = {"share": "50 %"}
    names = [f"run-{i}" for i in range(24)]
    changes: list[tuple[tuple[str, ...], object]] = []
    for i, name in enumerate(names):
        onward = [n for n in names[i + 1 : i + 3]] or ["chimney"]
        leads: object = {n: dict(halves) for n in onward} if len(onward) == 2 else onward[0]
        changes.append((("chambers", name), {
            "kind": "flue-run", "bottom": "0 mm", "leads_to": leads,
            "size": {"length": "1 m", "width": "200 mm", "height": "200 mm"},
        }))  # fmt: skip
    changes.append((("chambers", "bell", "leads_to"), names[0]))
    build = built(with_(tree, *changes))
    assert len(chains(build, rooms_of(build), "chimney")) > MOST_WAYS
