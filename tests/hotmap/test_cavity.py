"""Parts that face a cavity: the far side said by a second part or by a surrounding, or not."""

from __future__ import annotations

from typing import Any

import pytest

from stovelint.errors import HeatError
from stovelint.hotmap.compute import Solver, hot_map
from stovelint.hotmap.records import CycleHeat
from tests.hotmap.plans import CATALOGUE, Tree, built, cycle, patch, plain, with_

BRICK = {"material": "clay-brick-common", "thickness": "102 mm"}
GAP = {"gap": "30 mm", "kind": "closed"}
PLANK = {"material": "softwood", "thickness": "28 mm"}


def faced(**facing: object) -> Tree:
    tree = plain()
    tree["parts"]["bell-wall"]["faces"] = "cavity"
    tree["parts"]["shell"] = {
        "kind": "facing", "bounds": "bell", "faces": "room", "layers": [GAP, BRICK], **facing
    }  # fmt: skip
    return tree


def on_bearers(at: str = "below", **gap: object) -> Tree:
    tree = plain()
    base: Any = tree["parts"]["base"]
    base["faces"] = "cavity"
    base["layers"] = base["layers"][:2]
    tree["surroundings"] = {"planks": {"at": at, "distance": "40 mm", "layers": [PLANK], **gap}}
    return tree


def means(heat: CycleHeat, part: str) -> list[float]:
    return [
        depth.mean_C.mid for one in heat.of_part(part) for layer in one.layers
        for depth in (layer.hot, layer.cold)
    ]  # fmt: skip


def test_a_facing_beyond_a_cavity_is_one_wall_with_it() -> None:
    """Exact: wall, gap and facing drawn apart or as one part are the same wall."""
    apart = cycle(faced())
    path = ("parts", "bell-wall", "layers")
    together = cycle(with_(plain(), (path, [BRICK, GAP, BRICK])))
    both = zip(apart.of_part("bell-wall"), apart.of_part("shell"), together.of_part("bell-wall"))
    for core, shell, whole in both:
        assert (core.where, core.area_m2) == (shell.where, shell.area_m2)
        layers = (*core.layers, *shell.layers)
        for one, two in zip(layers, whole.layers, strict=True):
            assert one.hot.peak_C.mid == pytest.approx(two.hot.peak_C.mid, abs=1e-6)
    assert means(apart, "bell-cap") == pytest.approx(means(together, "bell-cap"))


def test_a_base_under_a_cavity_is_one_stack_with_it() -> None:
    tree = on_bearers()
    tree["surroundings"] = {}
    tree["parts"]["slab"] = {
        "kind": "base", "bounds": ["firebox", "bell"], "faces": "ground",
        "layers": [{"gap": "40 mm", "kind": "closed"}, BRICK],
    }  # fmt: skip
    apart = cycle(tree)
    together = plain()
    base: Any = together["parts"]["base"]
    base["faces"] = "ground"
    base["layers"] = [*base["layers"][:2], {"gap": "40 mm", "kind": "closed"}, BRICK]
    one = cycle(together)
    assert means(apart, "base")[:4] == pytest.approx(means(one, "base")[:4])
    assert patch(apart, "slab", "under bell").layers[1].cold.mean_C.mid == pytest.approx(
        patch(one, "base", "under bell").layers[3].cold.mean_C.mid
    )


@pytest.mark.parametrize("kind", ["closed", "vented"])
def test_a_floor_below_a_cavity_is_warmed_through_it(kind: str) -> None:
    """Exact: the same as the gap and the planks drawn in the base itself."""
    heat = cycle(on_bearers(gap={"kind": kind}))
    (planks,) = heat.combustibles
    drawn = plain()
    base: Any = drawn["parts"]["base"]
    base["layers"] = [*base["layers"][:2], {"gap": "40 mm", "kind": kind}, PLANK]
    wood = patch(cycle(drawn), "base", "under firebox").layers[-1].hot
    assert planks.surrounding == "planks" and planks.seen_part == "base"
    assert planks.seen_where == "under firebox"  # the hotter of the two
    assert planks.mean_C.mid == pytest.approx(wood.mean_C.mid, abs=1e-6)
    assert planks.peak_C.mid == pytest.approx(wood.peak_C.mid, abs=1e-6)
    assert planks.covered is (kind == "closed")
    skin = patch(heat, "base", "under firebox").layers[-1].cold
    assert planks.skin_peak_C.mid == pytest.approx(skin.peak_C.mid)
    assert planks.skin_mean_C.mid > planks.surface_mean_C.mid == planks.mean_C.mid


def test_a_wall_behind_one_side_closes_that_side_only() -> None:
    tree = plain()
    wall: Any = tree["parts"]["bell-wall"]
    tree["parts"]["bell-back"] = {**wall, "sides": ["back"], "faces": "cavity"}
    wall["sides"] = ["front", "left", "right"]
    tree["surroundings"] = {
        "studs": {"at": "back", "distance": "60 mm", "layers": [PLANK]},
        "boards": {"at": "left", "distance": "60 mm", "gap": {"kind": "closed"}, "layers": [PLANK]},
    }
    heat = cycle(tree)
    of = {(c.surrounding, c.seen_part): c for c in heat.combustibles}
    assert ("studs", "bell-back") in of and ("studs", "firebox-wall") not in of
    assert ("boards", "bell-wall") in of and ("boards", "bell-back") not in of
    close_by = of["boards", "bell-wall"]
    # near a wall that faces the room its gas keeps its warmth: up to a tenth of the rise
    closed = of["studs", "bell-back"].mean_C.mid
    assert abs(closed - close_by.mean_C.mid) < 0.11 * (closed - 20.0)


@pytest.mark.parametrize(
    ("part", "says", "remedy"),
    [("base", "far side is not said", "surrounding below"),
     ("bell-cap", "far side is not said", "surrounding above"),
     ("bell-wall", "far side is not said", "facing")],
)  # fmt: skip
def test_a_cavity_with_nothing_said_is_not_judged(part: str, says: str, remedy: str) -> None:
    tree = plain()
    tree["parts"][part]["faces"] = "cavity"
    try:
        found = hot_map(built(tree), CATALOGUE, states=("usual",), members=1).unsolved
    except HeatError as failed:  # of a wall round all of the bell
        assert says in str(failed)
        return
    (case,) = [one for one in found if one.subject == part]
    assert case.path == ("parts", part) and says in case.reason
    assert remedy in case.remedy and "kind: closed" in case.remedy


def test_a_facing_that_closes_half_of_it_is_no_far_side() -> None:
    with pytest.raises(HeatError, match="shell closes only a part of the cavity"):
        cycle(faced(to="0.9 m"))


def test_what_closes_a_cavity_is_part_of_the_heat() -> None:
    """A surrounding may change without the heat being computed anew, but not this one."""
    solver = Solver(CATALOGUE, states=("usual",), members=1)
    one = solver(built(on_bearers())).cycles["usual"].combustibles[0]
    thick = on_bearers()
    thick["surroundings"]["planks"]["layers"] = [{**PLANK, "thickness": "150 mm"}]
    two = solver(built(thick)).cycles["usual"].combustibles[0]
    assert two.mean_C.mid > one.mean_C.mid + 5.0
