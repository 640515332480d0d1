"""Several changes made at once: one to each thing, the thicker of two alike."""

from __future__ import annotations

from stovelint.remedy.joint import joint_edits
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


def test_what_is_not_alike_gives_way_to_the_first() -> None:
    first = blanket("1/2 in")
    needles = (Edit(path=(*CAP, "layers", 0, "reinforcement"), value={"kind": "stainless-needles"}),)
    for other in (blanket("2 in", "calcium-silicate-insulation"), blanket("2 in", index=1), needles):
        assert joint_edits([first, other]) == first
    assert joint_edits([needles, blanket("1 in")]) == needles
    for name in ("pieces", "set"):  # no thickness: nothing to be larger in
        one, two = (
            (Edit(path=(*WALL, "layers", 0, name), value=value),) for value in ("a 1", "b 2")
        )
        assert joint_edits([one, two]) == one


def test_changes_to_different_things_are_all_made_in_order() -> None:
    both = (*thickness("2 in"), *blanket("1 in"))
    assert joint_edits([thickness("2 in"), blanket("1 in")]) == both
    assert joint_edits([both, blanket("2 in")]) == (*thickness("2 in"), *blanket("2 in"))
    assert joint_edits([]) == ()
