"""The way of the gas from the firebox to the chimney."""

from __future__ import annotations

import pytest

from stovelint.heat.network import Bell, Plug, Pocket, Stirred
from stovelint.hotmap.ways import GasWays, gas_ways
from stovelint.hotmap.zones import Room, rooms
from tests.hotmap.plans import Tree, built, demo, plain, with_


def ways(tree: Tree) -> tuple[GasWays, dict[str, Room]]:
    build = built(tree)
    chambers = rooms(build)
    return gas_ways(build, chambers), chambers


def test_the_demo_plan_from_fire_to_chimney() -> None:
    found, chambers = ways(demo())
    assert [type(way) for way in found.ways] == [Stirred, Plug, Bell, Pocket]
    assert found.flow == (1.0, 1.0, 1.0, 0.0)
    assert found.exits == ((2, 1.0),) and found.has_riser and found.unsolved == ()
    fire, riser, bell, bench = found.ways
    assert isinstance(fire, Stirred) and fire.inlets == () and fire.heat_share == "firebox"
    assert isinstance(riser, Plug) and riser.inlets == ((0, 1.0),)
    assert isinstance(bell, Bell) and bell.inlets == ((1, 1.0),)
    assert isinstance(bench, Pocket)
    bands = chambers["bell"].zones
    # the riser ends at 1.2 m: the jet passes two bands of 150 mm below the crown cell
    assert bands[1].high_m == pytest.approx(1.5) and bands[1].low_m == pytest.approx(1.2)
    assert bell.drawn == pytest.approx((0.0, 1.0) + (0.0,) * (len(bands) - 2))
    middles = [0.5 * (z.low_m + z.high_m) for z in bands]
    assert bell.reach == pytest.approx([1.65 / (a - b) for a, b in zip(middles, middles[1:])])
    # a flue at 150 mm has its lower edge 50 mm above the floor: all of the bell is swept
    assert bell.outlet == len(bands) - 1 and bands[-1].low_m < 0.15 < bands[-1].high_m
    # the bench opens at 150 mm, by 600 cm2
    assert bench.from_zone == bands[bell.outlet].index and bench.area_m2 == 0.06
    assert bench.height_m == pytest.approx(0.06**0.5)


def test_heat_of_the_riser_is_released_in_its_first_two_thirds() -> None:
    found, chambers = ways(demo())
    riser = found.ways[1]
    assert isinstance(riser, Plug)
    assert sum(riser.heat_weights) == pytest.approx(1.0)
    # 0.5625 m of the 0.75 m that burn lie in the first of two equal zones
    assert riser.heat_weights == pytest.approx((0.75, 0.25))
    assert [z.length_m for z in chambers["riser"].zones] == pytest.approx([0.5625, 0.5625])


def test_gas_that_comes_in_at_the_crown_passes_nothing() -> None:
    found, _ = ways(plain())
    bell = found.ways[1]
    assert isinstance(bell, Bell) and not any(bell.drawn) and not found.has_riser


@pytest.mark.parametrize("hair_mm", [-1e-5, 0.0, 1e-5])
def test_a_hair_on_an_edge_of_bands_changes_no_band(hair_mm: float) -> None:
    """The riser of the demo plan ends where two bands meet, at 1.2 m; in inches it may be a hair
    more or less."""
    at = ("chambers", "riser", "size", "height")
    tree = with_(
        demo(), (at, f"{1125 + hair_mm:.5f} mm"),
        (("chambers", "bell", "leaves_at"), f"{300 + hair_mm:.5f} mm"),
        (("chambers", "bench", "opens_to", "bell", "at"), f"{300 + hair_mm:.5f} mm"),
    )  # fmt: skip
    found, chambers = ways(tree)
    bell, bench, bands = found.ways[2], found.ways[3], chambers["bell"].zones
    assert isinstance(bell, Bell) and isinstance(bench, Pocket)
    assert bell.drawn == pytest.approx((0.0, 1.0) + (0.0,) * (len(bands) - 2), abs=1e-6)
    assert bands[bell.outlet].low_m == pytest.approx(0.2)
    assert bench.from_zone == next(z.index for z in bands if abs(z.low_m - 0.3) < 1e-6)


def test_a_port_that_says_how_high_it_is_sets_where_the_gas_leaves() -> None:
    at = ("chambers", "bell", "leads_to")
    tree = with_(plain(), (at, {"chimney": {"at": "700 mm"}}),
                 (("chambers", "bell", "leaves_at"), None))  # fmt: skip
    found, chambers = ways(tree)
    bell = found.ways[1]
    assert isinstance(bell, Bell)
    assert chambers["bell"].zones[bell.outlet].low_m == pytest.approx(0.6)  # its lower edge


def test_gas_that_comes_in_at_the_floor_passes_all_bands() -> None:
    at = ("chambers", "firebox", "leads_to", "bell", "at")
    found, chambers = ways(with_(plain(), (at, "0 mm")))
    bell = found.ways[1]
    assert isinstance(bell, Bell)
    bands = chambers["bell"].zones
    below = bands[0].low_m - bands[-1].low_m
    expected = [0.0] + [(z.high_m - z.low_m) / below for z in bands[1:]]
    assert bell.drawn == pytest.approx(expected)


def with_two_flues(tree: Tree, *, join: bool) -> Tree:
    """The bell's gas goes 3 to 1 through two flues, which join in a third or end apart."""
    size = {"length": "1 m", "width": "200 mm", "height": "200 mm"}
    flue = {"kind": "flue-run", "size": size, "bottom": "0 mm"}
    wall = {
        "kind": "wall", "faces": "room",
        "layers": [{"material": "clay-brick-common", "thickness": "102 mm"}],
    }  # fmt: skip
    ends = "last" if join else "chimney"
    changes: list[tuple[tuple[str | int, ...], object]] = [
        (("chambers", "bell", "leads_to"), {"long": {"share": "75 %"}, "short": {"share": "25 %"}}),
        (("chambers", "bell", "leaves_at"), None),
        (("chambers", "long"), {**flue, "leads_to": ends}),
        (("chambers", "short"), {**flue, "leads_to": ends}),
        (("parts", "long-wall"), {**wall, "bounds": "long"}),
        (("parts", "short-wall"), {**wall, "bounds": "short"}),
    ]
    if join:
        changes += [
            (("chambers", "last"), {**flue, "leads_to": "chimney"}),
            (("parts", "last-wall"), {**wall, "bounds": "last"}),
        ]
    return with_(tree, *changes)


def test_shares_multiply_along_splits_and_add_at_joins() -> None:
    found, _ = ways(with_two_flues(plain(), join=True))
    assert found.flow == pytest.approx((1.0, 1.0, 0.75, 0.25, 1.0))
    last = found.ways[4]
    assert isinstance(last, Plug) and last.inlets == ((2, 1.0), (3, 1.0))
    assert found.exits == ((4, 1.0),)


def test_two_ends_share_the_chimney() -> None:
    found, _ = ways(with_two_flues(plain(), join=False))
    assert found.exits == ((2, 1.0), (3, 1.0))
    leaving = sum(found.flow[way] * share for way, share in found.exits)
    assert leaving == pytest.approx(1.0)  # nothing is lost and nothing made


def test_order_follows_the_gas_not_the_file() -> None:
    tree = with_two_flues(plain(), join=True)
    turned = {**tree, "chambers": dict(reversed(tree["chambers"].items()))}
    found, _ = ways(turned)
    assert sorted(found.flow) == pytest.approx([0.25, 0.75, 1.0, 1.0, 1.0])
    for position, way in enumerate(found.ways):
        assert not isinstance(way, Pocket)
        assert all(source < position for source, _ in way.inlets)


def test_two_fireboxes_are_one_too_many() -> None:
    tree = plain()
    second = {**tree["chambers"]["firebox"], "leads_to": "bell"}
    found, _ = ways(with_(tree, (("chambers", "oven-fire"), second)))
    (told,) = found.unsolved
    assert told.subject == "chambers" and "2 chambers are fireboxes" in told.reason
