"""Wood floors on joists under a base: over a joist and between joists apart."""

from __future__ import annotations

from typing import Any

import pytest

from stovelint.hotmap.records import CycleHeat
from tests.heat.close import close
from tests.hotmap.plans import Tree, cycle, patch, plain

CEILING = {"material": "gypsum-board", "thickness": "12.5 mm"}


def floor(between: str, *under: object, width: str = "45 mm", faces: str = "room") -> Tree:
    tree = plain()
    base: Any = tree["parts"]["base"]
    base["faces"] = faces
    joists = {"width": width, "spacing": "400 mm", "between": between}
    base["layers"] += [{"material": "softwood", "thickness": "200 mm", "joists": joists}, *under]
    return tree


def boards_C(heat: CycleHeat, where: str) -> float:
    found = patch(heat, "base", where)
    layer = found.layers[2]
    assert layer.layer.material == "softwood" and layer.layer.joists is None
    return layer.hot.mean_C.mid


OVER, BAY = "under firebox, over a joist", "under firebox, between joists"


def test_open_to_below_a_bay_is_the_floor_without_joists() -> None:
    """Exact but for what the joists' share of the area does to the gas."""
    with_joists, without = cycle(floor("open")), cycle(plain())
    close(boards_C(with_joists, BAY), boards_C(without, "under firebox"), within=0.005,
          source="the same floor without joists", because="a tenth of it is warmer")  # fmt: skip
    assert boards_C(with_joists, OVER) > boards_C(with_joists, BAY) + 2.0


def test_areas_are_shared_by_width_over_spacing() -> None:
    heat = cycle(floor("open"))
    over, bay = patch(heat, "base", OVER), patch(heat, "base", BAY)
    close(over.area_m2 / (over.area_m2 + bay.area_m2), 45.0 / 400.0, within=1e-9,
          source="width over spacing", because="the same quotient")  # fmt: skip
    assert over.area_m2 + bay.area_m2 == pytest.approx(0.16)


def test_closed_below_is_warmer_than_open_and_wool_warmer_still() -> None:
    """One-sided: each keeps more heat back than the one before, in the bay and over a joist."""
    plans = (floor("open"), floor("closed", CEILING), floor("mineral-wool", CEILING))
    found = [cycle(tree) for tree in plans]
    for where in (OVER, BAY):
        warm = [boards_C(heat, where) for heat in found]
        assert warm[0] + 5.0 < warm[1] < warm[2] - 20.0, warm
    assert boards_C(found[2], OVER) < boards_C(found[2], BAY) + 5.0  # there the wood is no worse


def test_a_closed_bay_is_drawn_as_its_layers() -> None:
    """Exact: boards, 200 mm of closed air and the ceiling, drawn one by one."""
    drawn = plain()
    base: Any = drawn["parts"]["base"]
    base["layers"] += [{"gap": "200 mm", "kind": "closed"}, CEILING]
    close(boards_C(cycle(floor("closed", CEILING)), BAY), boards_C(cycle(drawn), "under firebox"),
          within=0.005, source="the same layers drawn",
          because="a tenth of it is warmer")  # fmt: skip


def test_a_joist_has_its_top_and_its_underside() -> None:
    heat = cycle(floor("closed", CEILING))
    over, bay = patch(heat, "base", OVER), patch(heat, "base", BAY)
    assert [x.layer.material for x in over.layers] == [
        "clay-brick-common", "perlite-loose", "softwood", "softwood", "gypsum-board"
    ]  # fmt: skip
    joist = over.layers[3]
    assert joist.hot.mean_C.mid == pytest.approx(over.layers[2].cold.mean_C.mid)
    assert joist.hot.mean_C.mid > joist.cold.mean_C.mid + 10.0
    assert [x.layer.material for x in bay.layers] == [
        "clay-brick-common", "perlite-loose", "softwood", "gypsum-board"
    ]  # what is between is no drawn layer


def test_a_crawl_space_cools_the_boards() -> None:
    assert boards_C(cycle(floor("open", faces="outdoors")), OVER) < boards_C(
        cycle(floor("open")), OVER
    )


def test_joists_of_a_surrounding_count_as_wood_all_through() -> None:
    """Over a joist the floor below is warmest, and that is what is told."""
    tree = plain()
    base: Any = tree["parts"]["base"]
    base["layers"] = base["layers"][:2]
    boards = {"material": "softwood", "thickness": "28 mm"}
    below = {"at": "below", "distance": "40 mm", "gap": {"kind": "closed"}, "layers": [boards]}
    tree["surroundings"] = {"bare": below, "joisted": {
        **below, "layers": [boards, {"material": "softwood", "thickness": "200 mm", "joists": {
            "width": "45 mm", "spacing": "400 mm", "between": "open"}}]}}  # fmt: skip
    found = {c.surrounding: c for c in cycle(tree).combustibles if c.seen_part == "base"}
    assert found["joisted"].mean_C.mid > found["bare"].mean_C.mid + 2.0
