"""What a rule may ask of its scene, and what it gets where there is nothing."""

from __future__ import annotations

from dataclasses import replace

import pytest

from stovelint.errors import RulebookError
from stovelint.hotmap.records import HotMap, Unsolved
from stovelint.rule import Limits, NotJudged, Scene
from stovelint.rule.scene import nearness
from tests.rules import make
from tests.rules.make import CATALOGUE, layer, layer_heat, patch, spread


def scene(hot: HotMap | None = None) -> Scene:
    wall = make.part("wall", "wall", [layer("slate"), layer(gap="closed")], sides=("front", "back"))
    return Scene(
        rule="r", stakes="danger", limits=Limits(rows={}, tables={}), build=make.build([wall]),
        hot=make.hot() if hot is None else hot, catalogue=CATALOGUE,
    )  # fmt: skip


def test_a_limit_that_is_not_in_the_file_is_the_rules_fault() -> None:
    with pytest.raises(RulebookError, match="asks for limit `mean`"):
        scene().limit("mean")
    assert scene().table("sheet-side") is None


def test_parts_by_kind_and_all() -> None:
    assert [p.name for p in scene().parts()] == [p.name for p in scene().parts("wall")] == ["wall"]
    assert list(scene().parts("cap")) == []


def test_gaps_and_what_burns_out_have_no_material() -> None:
    wall = scene().build.parts["wall"]
    assert scene().material(wall.layers[1]) is None
    assert scene().material(replace(wall.layers[0], role="sacrificial")) is None


def test_a_state_that_was_not_solved_has_no_patches() -> None:
    empty = HotMap(cycles={}, unsolved=(), assumptions=())
    wall = scene().build.parts["wall"]
    assert scene(empty).patches(wall, "usual") == ()
    assert isinstance(scene(empty).no_heat(wall), NotJudged)


@pytest.mark.parametrize(
    ("path", "subject", "found"),
    [
        (("parts", "wall"), "wall", True),  # by name
        (("parts",), "everything", True),  # by the path above it
        ((), "the plan", True),
        (("parts", "cap"), "cap", False),
    ],
)
def test_why_a_part_has_no_heat(path: tuple[str, ...], subject: str, found: bool) -> None:
    case = Unsolved(path=path, subject=subject, reason="x", remedy="y")
    wall = scene().build.parts["wall"]
    known = scene(make.hot(unsolved=[case])).unsolved(wall.path, wall.name)
    assert (known == case) is found


def test_a_layer_that_a_patch_does_not_hold() -> None:
    wall = scene().build.parts["wall"]
    held = patch(wall, [layer_heat(wall.layers[0], spread(1.0), spread(1.0))])
    assert scene().layer_heat(held, wall.layers[0]) is held.layers[0]
    assert scene().layer_heat(held, wall.layers[1]) is None


def test_the_way_to_a_place_names_its_sides() -> None:
    wall = scene().build.parts["wall"]
    assert scene().walk_to(wall, "course 3", "hot face") == (
        "bell / course 3 / front, back / hot face"
    )
    assert scene().walk_to(wall, "", "hot face") == "bell / wall / front, back / hot face"


def test_what_is_only_told_is_near_no_limit() -> None:
    told = scene().tell("time", spread(1.0), "h")
    assert nearness(told) == float("-inf") and not told.counts
