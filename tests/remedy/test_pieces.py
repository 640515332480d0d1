"""Stone cut, set loose or taken from another quarry: the edits, and what the search makes of them."""

from __future__ import annotations

from typing import Any

from stovelint.remedy.edits import apply, candidates, trade_sizes
from stovelint.rule.moves import Cut, Loosen, Swap

LAYER = ("parts", "bench-top", "layers", 0)


def plan(**more: str) -> dict[str, Any]:
    layer = {"material": "granite", "thickness": "40 mm", **more}
    return {"parts": {"bench-top": {"layers": [layer]}}}


def changed(tree: dict[str, Any], index: int, move: Cut | Loosen | Swap) -> dict[str, Any]:
    candidate = candidates(move, tree, trade_sizes())[index]
    layer: dict[str, Any] = apply(tree, candidate.edits)["parts"]["bench-top"]["layers"][0]
    return layer


def test_pieces_get_smaller_from_the_largest_that_is_smaller_than_drawn() -> None:
    tree = plan(pieces="600 mm x 400 mm")
    sizes = [c.size for c in candidates(Cut(layer=LAYER), tree, trade_sizes())]
    assert sizes[0] == "450 mm x 450 mm" and sizes[-1] == "100 mm x 100 mm"
    assert changed(tree, 0, Cut(layer=LAYER)) == {**plan()["parts"]["bench-top"]["layers"][0],
                                                  "pieces": "450 mm x 450 mm"}  # fmt: skip
    assert changed(tree, -1, Cut(layer=LAYER, loosen=True))["set"] == "loose"


def test_stone_drawn_without_pieces_may_be_cut_to_any() -> None:
    found = candidates(Cut(layer=LAYER), plan(), trade_sizes())
    assert [c.size for c in found] == list(trade_sizes()["pieces"].sizes)


def test_a_bonded_layer_is_set_loose() -> None:
    tree = plan(set="bonded")
    assert changed(tree, 0, Loosen(layer=LAYER))["set"] == "loose"
    assert tree["parts"]["bench-top"]["layers"][0]["set"] == "bonded"  # the tree itself stays


def test_another_stone_keeps_the_thickness_first() -> None:
    found = candidates(Swap(layer=LAYER, use="soapstone"), plan(), trade_sizes())
    assert [c.size for c in found] == ["40 mm", "50 mm", "2 1/2 in", "100 mm"]
    assert changed(plan(), 0, Swap(layer=LAYER, use="soapstone")) == {
        "material": "soapstone", "thickness": "40 mm",
    }  # fmt: skip
    assert all(c.other_material for c in found)
    assert candidates(Swap(layer=LAYER, use="soapstone"), plan(material="soapstone"),
                      trade_sizes()) == ()  # fmt: skip
