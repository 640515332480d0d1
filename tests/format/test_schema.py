"""The schema itself, and that its two engines never part ways."""

from __future__ import annotations

import json
import subprocess
import sys
from typing import Any, Iterator

import jsonschema  # type: ignore[import-untyped]
import pytest
from hypothesis import given, settings

from stovelint.place import Mistake
from stovelint.quantity import PARSERS
from stovelint.schema import is_valid, mistakes, schema_text
from stovelint.schema.reword import list_mistakes
from stovelint.source.yaml import parse
from tests.format.damage import TREE, damaged
from tests.format.plans import TEXT, at, swapped
from tests.tree import ROOT

SCHEMA: dict[str, Any] = json.loads(schema_text())
PLACES = parse(TEXT, "plan").places


def records(node: Any) -> Iterator[dict[str, Any]]:
    """Every subschema, and everything else that is a map."""
    if isinstance(node, dict):
        yield node
        for inner in node.values():
            yield from records(inner)
    elif isinstance(node, list):
        for inner in node:
            yield from records(inner)


def test_it_is_a_schema_of_its_dialect() -> None:
    jsonschema.Draft202012Validator.check_schema(SCHEMA)
    assert SCHEMA["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    assert SCHEMA["$id"].startswith("https://") and "build-1" in SCHEMA["$id"]


def test_every_record_is_closed_and_every_map_has_name_rules() -> None:
    for node in records(SCHEMA):
        kinds = node.get("type")
        if kinds == "object" or (isinstance(kinds, list) and "object" in kinds):
            if "properties" in node:
                assert node["additionalProperties"] is False, node
            else:
                assert node["propertyNames"] == {"$ref": "#/$defs/name"}, node


@pytest.mark.parametrize("file", sorted(one.name for one in (ROOT / "schemas").glob("*.json")))
def test_every_property_tells_an_editor_what_it_is(file: str) -> None:
    schema = json.loads((ROOT / "schemas" / file).read_text(encoding="utf-8"))
    for node in records(schema):
        properties = node.get("properties")
        if isinstance(properties, dict) and "type" not in properties:
            for key, prop in properties.items():
                target = schema["$defs"].get(prop.get("$ref", "").removeprefix("#/$defs/"), {})
                said = prop.get("description") or target.get("description", "")
                assert len(said) > 8 and said.endswith("."), key


def test_every_kind_of_quantity_has_a_parser_that_reads_the_examples() -> None:
    kinds = set()
    for node in records(SCHEMA):
        kind = node.get("x-quantity")
        if isinstance(kind, str):
            kinds.add(kind)
            for example in node.get("examples", ()):
                PARSERS[kind](example)
    assert kinds == set(PARSERS)


def test_the_example_uses_every_property_but_few() -> None:
    """So that the tests which damage it reach them all."""
    unused = {"declared", "wall", "exit", "source", "shield", "air", "held", "role", "left"}
    unused |= {"joint", "cores", "span", "on", "joists", "spacing", "fire"}
    unused |= {"ties", "into", "tees", "web", "thick", "each", "shape", "rise"}
    unused |= {"based_on"}  # another plan would be read first
    unused |= {"$schema"}  # only editors look at it
    names = {
        key
        for node in records(SCHEMA)
        if isinstance(node.get("properties"), dict)
        for key in node["properties"]
    }
    missing = {name for name in names if f"{name}:" not in TEXT}
    assert missing <= unused


def test_the_demo_plan_and_the_example_are_valid() -> None:
    for path in sorted((ROOT / "fixtures" / "plans").glob("*.heater.yaml")):
        source = parse(path.read_text(encoding="utf-8"), path.name)
        assert is_valid(source.tree), path.name
        assert list_mistakes(source.tree, source.places, schema_text()) == ()
    assert is_valid(TREE)
    assert list_mistakes(TREE, PLACES, schema_text()) == ()


PATCH: dict[str, Any] = {"based_on": "kit-core.heater.yaml", "parts": {"lid": {"area": "1 m2"}}}


@pytest.mark.parametrize(
    ("changes", "fits"),
    [
        ({}, True),  # neither the plan nor a part in it is whole by itself
        ({"format": 1, "title": "Signal Box", "drawing": None}, True),
        ({"parts": {"lid": None}, "firing": {"hardest": None}}, True),
        ({"part": {}}, False),
        ({"format": 2}, False),
        ({"based_on": 1}, False),
        ({"based_on": ""}, False),
        ({"based_on": "../kits/kit-core.heater.json"}, True),
        ({"based_on": "kit-core.yaml"}, False),
        ({"based_on": "/kit-core.heater.yaml"}, False),
        ({"based_on": "~/kit-core.heater.yaml"}, False),
        ({"based_on": "kits\\kit-core.heater.yaml"}, False),
    ],
)
def test_an_editor_takes_a_plan_that_changes_another(changes: dict[str, Any], fits: bool) -> None:
    tree = {**PATCH, **changes}
    assert is_valid(tree) is fits
    assert jsonschema.Draft202012Validator(SCHEMA).is_valid(tree) is fits
    assert not is_valid({key: value for key, value in tree.items() if key != "based_on"})


@settings(max_examples=150)
@given(damaged())
def test_both_engines_agree_on_damaged_plans(tree: dict[str, Any]) -> None:
    listed = list_mistakes(tree, PLACES, schema_text())
    assert is_valid(tree) == (listed == ())
    assert list(listed) == sorted(listed, key=Mistake.sort_key)
    assert mistakes(tree, PLACES) == listed
    for one in listed:
        assert one.message and one.remedy and "\n" not in one.message + one.remedy


@pytest.mark.parametrize(
    ("old", "new", "points_at", "says", "remedy"),
    [
        ("title: Ferry", "titel: Ferry", "titel", "unknown key `titel` in the plan", "`title`"),
        ("courses: block 1-5", "course: block 1-5", "course", "unknown key `course`", "`courses`"),
        ("thickness: 4 mm", "thicknes: 4 mm", "thicknes", "unknown key `thicknes`", "`thickness`"),
        ("charge: 5 kg, ", "", "least", "`charge` is missing in `least`", "12 kg"),
        ("format: 1", "format: 2", "2", "`format` `2` is not known", "write 1"),
        ("wood: softwood", "wood: soft", "soft", "`wood` cannot be `soft`", "mean `softwood`?"),
        ("at: back,", "at: rear,", "rear", "`at` cannot be `rear`", "front, back, left"),
        ("moisture: 18 %", "moisture: 18", "18", "`moisture` has no unit: 18", "18 %"),
        ("moisture: 18 %", "moisture:", "moisture", "`moisture` is empty", "delete the line"),
        ("moisture: 18 %", "moisture: [18 %]", "[18 %]", "is not text", "its unit"),
        ("thickness: 4 mm", "thickness: 4", "4", "`thickness` has no unit: 4", "4 1/2 in"),
        ("loads: 2", "loads: two", "two", "`loads` is not a whole number", "whole number"),
        ("loads: 2", "loads: 0", "0", "`loads` is less than 1", "1 or more"),
        ("loads: 2", "loads: 99", "99", "`loads` is more than 12", "12 or less"),
        ("stud-wall:", "Stud wall:", "Stud wall", "name `Stud wall` cannot", "small letters"),
        ("material: ifb-23", "material: IFB 23", "IFB 23", "cannot be `IFB 23`", "small letters"),
        ("until: 2027-04-30", "until: April", "April", "`until` cannot be", "2027-06-30"),
        ("faces: room\n    courses", "courses", "bell-wall-low", "`faces` is missing",
         "add `faces`"),
        ("    bounds: [firebox, bell, bench]\n", "", "base", "`bounds` or `between` is missing",
         "add"),
        ("between: [firebox, bell]", "between: [bell]", "[bell]", "fewer than 2", "at least 2"),
        ("[front, back, end]", "[back, back]", "[back, back]", "names something twice", "once"),
        ("{gap: 10 mm, kind: closed}", "{gap: 10 mm}", "{gap: 10 mm}", "`kind` is missing",
         "closed"),
        ("    to: 1650 mm", "    courses: brick 15-22", "from", "both `courses` and `from`",
         "keep"),
        ("area: 600 cm2, at: 160 mm", "at: 160 mm", "bell", "`area` is missing", "600 cm2"),
        ("bearing: 4 in", "bearing: 4", "4", "`bearing` has no unit: 4", "unit"),
        ("leads_to: riser", "leads_to: 5", "5", "`leads_to` is not text or a record", "give"),
    ],
)  # fmt: skip
def test_a_fault_is_told_once_at_its_place(
    old: str, new: str, points_at: str, says: str, remedy: str
) -> None:
    if old == "leads_to: riser":
        old = "leads_to: {riser: {area: 180 cm2, at: 500 mm}}"
    text = swapped((old, new))
    source = parse(text, "plan")
    found = mistakes(source.tree, source.places)
    assert len(found) == 1, [one.message for one in found]
    assert says in found[0].message
    assert remedy in found[0].remedy
    if points_at == "bell" or new == "moisture:":
        assert found[0].span.start.line == text[: text.index(new)].count("\n")
    else:
        assert at(text, found[0]) == points_at


def test_both_of_two_that_exclude_each_other() -> None:
    text = swapped(("{gap: 10 mm, kind: closed}", "{gap: 10 mm, material: sand-dry}"))
    source = parse(text, "plan")
    (found,) = mistakes(source.tree, source.places)
    assert "has both `material` and `gap`" in found.message and at(text, found) == "gap"


def test_the_list_is_the_same_under_any_hash_seed() -> None:
    program = (
        "from tests.format.plans import mistakes_of\n"
        "text = open('tests/format/example.heater.yaml', encoding='utf-8').read()\n"
        "text = text.replace('kind', 'knid').replace('thickness', 'thick').replace('mm', '')\n"
        "for m in mistakes_of(text): print(m.span.label(), m.path, m.message, m.remedy)\n"
    )
    told = [
        subprocess.run(
            [sys.executable, "-c", program],
            cwd=ROOT,
            env={"PYTHONHASHSEED": seed, "PYTHONPATH": str(ROOT)},
            capture_output=True,
            check=True,
        ).stdout
        for seed in ("1", "2")
    ]
    assert told[0] == told[1] and told[0].count(b"\n") > 30
