"""Changes of the tree as replacements of text: exact, or not told."""

from __future__ import annotations

from typing import Any

import pytest

from stovelint.remedy import Edit
from stovelint.remedy.edits import apply
from stovelint.remedy.replacements import replaced, replacements
from stovelint.source import Source
from stovelint.source.formats import parse_text
from stovelint.source.yaml import parse

NAME = "kiln.heater.yaml"
BLOCK = """\
parts:
  cap:   # the cap
    kind: cap
    bearing: 100 mm   # all round
    layers:
      # hot side
      - {material: granite, thickness: 40 mm}   # cut

      - material: perlite
        thickness: 50 mm
"""
FLOW = "parts: {cap: {bearing: '100 mm', layers: [ {material: granite,  thickness: 40 mm} ]}}\n"


def tree(text: str) -> dict[str, Any]:
    return parse(text, NAME).tree


def changed(text: str, *edits: Edit) -> str | None:
    source = parse(text, NAME)
    made = replacements(source, edits, tree)
    if made is None:
        return None
    after = replaced(text, made)
    assert tree(after) == apply(source.tree, edits)
    return after


def at(*path: str | int) -> tuple[str | int, ...]:
    return ("parts", "cap", *path)


def test_a_value_is_replaced_and_nothing_else() -> None:
    edit = Edit(path=at("layers", 0, "thickness"), value="60 mm")
    assert changed(BLOCK, edit) == BLOCK.replace("40 mm", "60 mm")
    assert changed(FLOW, edit) == FLOW.replace("40 mm", "60 mm")


def test_a_value_becomes_a_record() -> None:
    edit = Edit(path=at("bearing"), value={"width": "100 mm", "insulation": "6.35 mm"})
    record = "{width: 100 mm, insulation: 6.35 mm}"
    assert changed(BLOCK, edit) == BLOCK.replace("100 mm", record)
    assert changed(FLOW, edit) == FLOW.replace("'100 mm'", record)


@pytest.mark.parametrize("index", [0, 1, 2])
def test_a_layer_gets_a_line_like_its_neighbours(index: int) -> None:
    layer = {"material": "aes-blanket-128", "thickness": "1/2 in"}
    after = changed(BLOCK, Edit(path=at("layers", index), value=layer, insert=True))
    assert after is not None
    new = "      - {material: aes-blanket-128, thickness: 1/2 in}"
    assert [line for line in after.splitlines() if line not in BLOCK.splitlines()] == [new]
    assert len(after.splitlines()) == len(BLOCK.splitlines()) + 1


@pytest.mark.parametrize("index", [0, 1])
def test_a_layer_in_a_list_on_one_line(index: int) -> None:
    layer = {"material": "x", "thickness": "1 in"}
    after = changed(FLOW, Edit(path=at("layers", index), value=layer, insert=True))
    assert after is not None and after.count("\n") == 1 and "granite,  thickness" in after


def test_the_line_ends_of_the_file_are_kept() -> None:
    text = BLOCK.replace("\n", "\r\n")
    after = changed(text, Edit(path=at("layers", 0), value={"material": "x"}, insert=True))
    assert after is not None and after.count("\n") == after.count("\r\n")
    end = text.removesuffix("\r\n")
    after = changed(end, Edit(path=at("layers", 2), value={"material": "x"}, insert=True))
    assert after is not None and after.endswith("\r\n      - {material: x}")


def test_a_key_that_is_new() -> None:
    into_block = Edit(path=at("layers", 1, "mortar"), value="mortar-clay-sand")
    assert changed(BLOCK, into_block) == BLOCK + "        mortar: mortar-clay-sand\n"
    into_flow = Edit(path=at("layers", 0, "set"), value="loose")
    assert changed(BLOCK, into_flow) == BLOCK.replace("40 mm}", "40 mm, set: loose}")


def test_several_edits_at_once_refer_to_the_file_as_it_is() -> None:
    blanket = Edit(path=at("layers", 0), value={"material": "x", "thickness": "1 in"}, insert=True)
    bearing = Edit(path=at("bearing"), value={"width": "100 mm", "insulation": "1/2 in"})
    source = parse(BLOCK, NAME)
    made = replacements(source, (blanket, bearing), tree)
    assert made is not None and len(made) == 2
    assert [one.span.start.line for one in made] == [3, 6]
    assert made[1].span.start == made[1].span.end


def test_an_index_moved_by_an_earlier_edit_is_not_told_wrongly() -> None:
    blanket = Edit(path=at("layers", 0), value={"material": "x"}, insert=True)
    thicker = Edit(path=at("layers", 1, "thickness"), value="60 mm")  # the granite, by then
    assert changed(BLOCK, blanket, thicker) is None
    thicker = Edit(path=at("layers", 0, "thickness"), value="60 mm")
    assert changed(BLOCK, thicker, blanket) is not None


def test_two_edits_of_one_stretch_are_left_alone() -> None:
    one = Edit(path=at("layers", 0), value={"material": "x"}, insert=True)
    assert changed(FLOW, one, one) is None


@pytest.mark.parametrize(
    "value", ["true", "No. 3: x", "12", "1e3", "0x1f", "- x", "a #b", " x", "", "4-1/2\"", "\u00e9",
              "\U0001f525", "null", "{x}", "12:30", "a\nb"],
)  # fmt: skip
def test_odd_words_come_back_as_they_were(value: str) -> None:
    for text in (BLOCK, FLOW):
        assert changed(text, Edit(path=at("bearing"), value=value)) is not None


def test_a_block_is_not_overwritten() -> None:
    assert changed(BLOCK, Edit(path=at("layers", 1), value={"material": "x"})) is None
    assert changed(BLOCK, Edit(path=at("layers", 0), value={"material": "x"})) is not None
    assert changed(BLOCK, Edit(path=at("no", "such"), value="x")) is None
    assert changed("parts:\n", Edit(path=("parts",), value="x")) is None


def test_text_that_reads_otherwise_is_not_told() -> None:
    source = parse(BLOCK, NAME)
    edit = Edit(path=at("bearing"), value="1 in")
    assert replacements(source, (edit,), lambda text: {}) is None
    assert replacements(source, (), tree) is None


def test_a_value_that_stands_in_another_file_is_not_changed_here() -> None:
    source = parse(BLOCK, NAME)
    merged = Source(
        file="patch.heater.yaml", text="based_on: kiln.heater.yaml\n", bom=False,
        tree=source.tree, places=source.places,
    )  # fmt: skip
    edit = Edit(path=at("bearing"), value="1 in")
    assert replacements(merged, (edit,), lambda text: apply(source.tree, (edit,))) is None


JSON = """\
{
  "parts": {
    "cap": {
      "bearing": "100 mm",
      "layers": [
        {"material": "granite", "thickness": "40 mm"},
        {
          "material": "perlite"
        }
      ]
    }
  }
}
"""
TOML = """\
[parts.cap]
bearing = "100 mm"  # all round
layers = [
  {material = "granite", thickness = "40 mm"},  # cut
  {material = "perlite"},
]
"""
BEARING = Edit(path=at("bearing"), value={"width": "100 mm", "insulation": "1/2 in"})
LAYER = {"material": "x", "thickness": "1 in", "cores": True, "count": [1, 2.5]}


@pytest.mark.parametrize("ending, text", [(".json", JSON), (".toml", TOML)])
@pytest.mark.parametrize("edits", [
    (BEARING,),
    (Edit(path=at("layers", 0), value=LAYER, insert=True), BEARING),
    (Edit(path=at("layers", 1), value=LAYER, insert=True),),
    (Edit(path=at("layers", 2), value=LAYER, insert=True),),
    (Edit(path=at("layers", 0, "set"), value="loose"),),
    (Edit(path=at("layers", 0, "material"), value="slate"),),
])  # fmt: skip
def test_other_formats_are_written_in_their_own_way(
    ending: str, text: str, edits: tuple[Edit, ...]
) -> None:
    name = f"kiln.heater{ending}"
    source = parse_text(name, text, name, bom=False)
    made = replacements(source, edits, lambda text: parse_text(name, text, name, bom=False).tree)
    assert made is not None
    after = replaced(text, made)
    assert parse_text(name, after, name, bom=False).tree == apply(source.tree, edits)
    gone = [line for line in text.splitlines() if line not in after.splitlines()]
    assert len(gone) <= len(edits)


def test_a_layer_of_json_gets_a_line_like_its_neighbours() -> None:
    name = "kiln.heater.json"
    source = parse_text(name, JSON, name, bom=False)
    edit = Edit(path=at("layers", 0), value={"material": "x"}, insert=True)
    made = replacements(source, (edit,), lambda text: parse_text(name, text, name, bom=False).tree)
    assert made is not None
    assert '      "layers": [\n        {"material": "x"},\n        {"material": "granite"' in (
        replaced(JSON, made)
    )


def test_a_record_over_several_lines_is_not_written_over() -> None:
    name = "kiln.heater.json"
    source = parse_text(name, JSON, name, bom=False)
    edit = Edit(path=at("layers", 1), value={"material": "x"})
    made = replacements(source, (edit,), lambda text: parse_text(name, text, name, bom=False).tree)
    assert made is None


def test_a_line_of_json_ends_as_the_others_do() -> None:
    name, text = "kiln.heater.json", JSON.replace("\n", "\r\n")
    source = parse_text(name, text, name, bom=False)
    edit = Edit(path=at("layers", 1), value={"material": "x"}, insert=True)
    made = replacements(source, (edit,), lambda text: parse_text(name, text, name, bom=False).tree)
    assert made is not None
    after = replaced(text, made)
    assert after.count("\n") == after.count("\r\n") == text.count("\n") + 1


def test_a_record_of_toml_bears_bare_keys() -> None:
    name = "kiln.heater.toml"
    source = parse_text(name, TOML, name, bom=False)
    made = replacements(
        source, (BEARING,), lambda text: parse_text(name, text, name, bom=False).tree
    )
    assert made is not None
    assert replaced(TOML, made) == TOML.replace(
        '"100 mm"', '{width = "100 mm", insulation = "1/2 in"}'
    )


def test_tables_of_toml_get_no_layer_between_them() -> None:
    text = '[[parts.cap.layers]]\nmaterial = "granite"\n\n[[parts.cap.layers]]\nmaterial = "x"\n'
    name = "kiln.heater.toml"
    source = parse_text(name, text, name, bom=False)
    edit = Edit(path=at("layers", 1), value={"material": "y"}, insert=True)
    made = replacements(source, (edit,), lambda text: parse_text(name, text, name, bom=False).tree)
    assert made is None
