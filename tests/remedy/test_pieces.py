"""Stone cut, set loose or taken from another quarry: the edits, and what the search makes of them."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from stovelint.cli.review import review_command
from stovelint.quantity import PARSERS
from stovelint.remedy.edits import apply, candidates, trade_sizes
from stovelint.rule.moves import Cut, Loosen, Swap
from tests.tree import RULES

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


@pytest.mark.parametrize(
    "spelling",
    [
        "450 mm x 300 mm", "450 x 300 mm", "450x300 mm", "450mm x 300mm", "45 cm x 30 cm",
        "0.45 m x 0.3 m", "450 mm\tx  300 mm", "450 mm\u00d7300 mm", "300 mm x 450 mm",
        "18 in x 12 in", "1'-6\" x 1'", "18 x 12 in", "1 ft 6 in x 1 ft",
    ],
)  # fmt: skip
def test_every_spelling_of_pieces_that_a_plan_may_have_is_cut(spelling: str) -> None:
    """The longer side is 450 mm, or 457.2 mm where it is told in inches."""
    assert PARSERS["pieces"](spelling)  # the plan is accepted
    inches = any(sign in spelling for sign in ("in", "'"))
    first = "450 mm x 450 mm" if inches else "300 mm x 300 mm"
    found = candidates(Cut(layer=LAYER), plan(pieces=spelling), trade_sizes())
    assert [c.size for c in found][0] == first and found[-1].size == "100 mm x 100 mm"


@pytest.mark.parametrize("spelling", ["1000 x 1100 mm", "1000x1100 mm", "1000 mm\tx 1100 mm"])
def test_a_review_of_such_a_plan_keeps_its_findings(spelling: str, tmp_path: Path) -> None:
    """The example of the rule, its pieces spelt another way: once the whole review was lost."""
    text = (RULES / "brittle-stone/fails/uncut-slab.heater.yaml").read_text(encoding="utf-8")
    file = tmp_path / "slab.heater.yaml"
    changed = text.replace("pieces: 1000 mm x 1100 mm", f'pieces: "{spelling}"')
    file.write_text(changed.replace("\t", "\\t"), encoding="utf-8")
    out = tmp_path / "out.txt"
    assert review_command([str(file)], out=str(out)) < 2
    told = out.read_text(encoding="utf-8")
    assert "brittle stone" in told and "granite of bell-cap in pieces of" in told


def test_a_bonded_layer_is_set_loose() -> None:
    tree = plan(set="bonded")
    assert changed(tree, 0, Loosen(layer=LAYER))["set"] == "loose"
    assert tree["parts"]["bench-top"]["layers"][0]["set"] == "bonded"  # the tree itself stays


def test_brick_for_block_is_laid_in_its_own_sizes_and_mortar() -> None:
    block = {"material": "hollow-block-normal", "thickness": "140 mm", "cores": "upright",
             "mortar": "mortar-portland"}  # fmt: skip
    tree = {"parts": {"bench-top": {"layers": [block]}}}
    move = Swap(layer=LAYER, use="brick")
    assert [c.size for c in candidates(move, tree, trade_sizes())] == ["102 mm", "215 mm"]
    assert changed(tree, 0, move) == {
        "material": "clay-brick-common", "thickness": "102 mm", "mortar": "mortar-clay-sand",
    }  # fmt: skip
    thick = {"parts": {"bench-top": {"layers": [{**block, "thickness": "190 mm"}]}}}
    assert [c.size for c in candidates(move, thick, trade_sizes())] == ["215 mm"]


def test_another_stone_keeps_the_thickness_first() -> None:
    found = candidates(Swap(layer=LAYER, use="soapstone"), plan(), trade_sizes())
    assert [c.size for c in found] == ["40 mm", "50 mm", "2 1/2 in", "100 mm"]
    assert changed(plan(), 0, Swap(layer=LAYER, use="soapstone")) == {
        "material": "soapstone", "thickness": "40 mm",
    }  # fmt: skip
    assert all(c.other_material for c in found)
    assert candidates(Swap(layer=LAYER, use="soapstone"), plan(material="soapstone"),
                      trade_sizes()) == ()  # fmt: skip


def test_of_two_layers_of_one_stone_the_words_name_the_one() -> None:
    one = {"material": "granite", "thickness": "60 mm"}
    tree = {"parts": {"bench-top": {"layers": [one, {**one, "set": "bonded"}]}}}
    second = ("parts", "bench-top", "layers", 1)
    for move in (Loosen(layer=second), Cut(layer=second), Swap(layer=second, use="soapstone")):
        assert "layer 2 of bench-top" in candidates(move, tree, trade_sizes())[0].text
    for move in (Loosen(layer=LAYER), Cut(layer=LAYER), Swap(layer=LAYER, use="soapstone")):
        assert "layer" not in candidates(move, plan(), trade_sizes())[0].text
