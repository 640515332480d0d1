"""Several changes made at once: one to each thing, the thicker of two alike."""

from __future__ import annotations

from stovelint.remedy.edits import apply
from stovelint.remedy.joint import joint_edits, on_top
from stovelint.remedy.places import drawn, moved
from stovelint.remedy.rows import Edit

CAP, WALL = ("parts", "cap"), ("parts", "wall")


def blanket(size: str, material: str = "aes-blanket-128", index: int = 0) -> tuple[Edit, ...]:
    left = Edit(path=(*CAP, "bearing"), value={"width": "100 mm", "insulation": f"half of {size}"})
    layer = {"material": material, "thickness": size, "held": "edges pinched"}
    return (Edit(path=(*CAP, "layers", index), value=layer, insert=True), left)


def thickness(size: str) -> tuple[Edit, ...]:
    return (Edit(path=(*WALL, "layers", 0, "thickness"), value=size),)


def test_the_thicker_of_two_blankets_serves_both() -> None:
    # 1/2 in is 12.7 mm, 1 in 25.4: by size, not by the letters.
    for order in ((blanket("1/2 in"), blanket("1 in")), (blanket("1 in"), blanket("1/2 in"))):
        assert joint_edits(order) == blanket("1 in")
    assert joint_edits([thickness("2 in"), thickness("1 1/2 in")]) == thickness("2 in")
    assert joint_edits([thickness("50 mm"), thickness("2 in")]) == thickness("2 in")


def needles(index: int = 0) -> tuple[Edit, ...]:
    path = (*CAP, "layers", index, "reinforcement")
    return (Edit(path=path, value={"kind": "stainless-needles"}),)


def test_what_is_not_alike_gives_way_to_the_first() -> None:
    first = blanket("1/2 in")
    # Another material in the same place, and another place that wants the same bearing.
    for other in (blanket("2 in", "calcium-silicate-insulation"), blanket("2 in", index=1)):
        assert joint_edits([first, other]) == first
    for name in ("pieces", "set"):  # no thickness: nothing to be larger in
        one, two = (
            (Edit(path=(*WALL, "layers", 0, name), value=value),) for value in ("a 1", "b 2")
        )
        assert joint_edits([one, two]) == one
    loose = (Edit(path=(*WALL, "layers", 0, "set"), value="loose"),)
    assert joint_edits([thickness("2 in"), loose]) == thickness("2 in")  # one layer, one change


def test_each_layer_of_a_part_may_have_its_change_and_none_misses_its_layer() -> None:
    """Paths are those of the plan as drawn, so what is put in comes last, the cold side first."""
    plan = {
        "parts": {"cap": {"bearing": "100 mm", "layers": [{"name": "slab"}, {"name": "skin"}]}}
    }
    board = (Edit(path=(*CAP, "layers", 1), value={"name": "board"}, insert=True),)
    edits = joint_edits([blanket("1 in"), needles(0), board, needles(1)])
    assert [e.path[3] for e in edits if e.insert] == [1, 0]
    after = apply(plan, edits)["parts"]["cap"]["layers"]
    assert [(one.get("name"), "reinforcement" in one) for one in after] == [
        (None, False), ("slab", True), ("board", False), ("skin", True),
    ]  # fmt: skip
    for path, name in (((*CAP, "layers", 0, "set"), "slab"), ((*CAP, "layers", 1), "skin")):
        there = moved(path, edits)
        assert after[there[3]]["name"] == name and there[4:] == path[4:]
        assert drawn(there, edits) == path
    assert drawn((*CAP, "layers", 0), edits) is drawn((*CAP, "layers", 2), edits) is None
    assert moved((*CAP, "bearing"), edits) == drawn((*CAP, "bearing"), edits) == (*CAP, "bearing")


def test_on_top_of_others_a_change_keeps_those_that_do_not_clash() -> None:
    base = joint_edits([thickness("2 in"), needles(1)])
    assert on_top(base, needles(0)) == (*thickness("2 in"), *needles(1), *needles(0))
    assert on_top(base, needles(1)) == (*thickness("2 in"), *needles(1))  # its own, once
    assert on_top(needles(1), needles(1)) == needles(1)
    assert on_top((), blanket("1 in")) == blanket("1 in")


def test_changes_to_different_things_are_all_made_in_order() -> None:
    both = (*thickness("2 in"), *blanket("1 in"))
    assert joint_edits([thickness("2 in"), blanket("1 in")]) == both
    assert joint_edits([both, blanket("2 in")]) == (*thickness("2 in"), *blanket("2 in"))
    assert joint_edits([]) == ()
