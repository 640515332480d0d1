"""Who had a hand in a finding of a plan that several files make up, and how reports tell it."""

from __future__ import annotations

import json
from dataclasses import replace
from functools import cache
from typing import Any

import pytest

from stovelint.assemble import Loaded, load
from stovelint.place import Path
from stovelint.report.answer import Answer
from stovelint.report.hands import hands_fields
from stovelint.report.machine import machine_report
from stovelint.report.text import text_report
from stovelint.review import Item
from stovelint.review.related import MOST, related
from stovelint.rule import Note
from tests.format.shelves import Memory
from tests.report import make
from tests.tree import ROOT

KIT = "kit-core.heater.yaml"
BOX = "signal-box.heater.yaml"
CLAUSE = make.measure(0.15, 0.15, 0.15, make.limit("X", 0.9, "m", sense="at least"), exact=True)


@cache
def studio(name: str = BOX) -> Loaded:
    return load(str(ROOT / "fixtures" / "based-on" / name), name)


def item(path: Path, *, where: str = "", note: str = "", exact: bool = False) -> Item:
    """A finding of the studio."""
    measure = replace(CLAUSE if exact else make.measure(1, 2, 300, make.limit()), where=where)
    finding = replace(
        make.finding(measure, notes=(Note(text=note),) if note else ()), path=path
    )
    places = studio().source.places
    span = places.value(path)
    return Item(
        finding=finding, level="error", span=span,
        related=related(finding, span, studio().build, places),
    )  # fmt: skip


def line(name: str, text: str) -> int:
    """Number of the only line of a file that begins so, blanks aside."""
    lines = (ROOT / "fixtures" / "based-on" / name).read_text(encoding="utf-8").split("\n")
    (number,) = (n for n, one in enumerate(lines, start=1) if one.strip().startswith(text))
    return number


def told(one: Item) -> list[tuple[str, str, int]]:
    """Path, file and line of each related place."""
    return [
        ("/".join(map(str, r.path)), r.span.file, r.span.start.line + 1) for r in one.related
    ]


def test_a_part_of_the_plan_in_a_chamber_of_the_kit() -> None:
    cap = item(("parts", "bell-cap", "layers", 0, "material"))
    assert cap.span.file == BOX
    assert told(cap) == [
        ("parts/bell-cap", KIT, line(KIT, "bell-cap:")),
        ("chambers/bell", KIT, line(KIT, "bell:")),
        ("firing", KIT, line(KIT, "firing:")),
    ]
    assert {one.words for one in cap.related} == {f"set here by {KIT}"}


def test_what_stands_in_the_kit_and_became_wrong_by_the_plan() -> None:
    wall = item(
        ("surroundings", "wall-behind", "distance"), where="opposite bell-wall-high 1.28 to 1.43 m"
    )
    assert wall.span.file == KIT
    assert told(wall) == [
        ("parts/bell-wall-high", BOX, line(BOX, "bell-wall-high:")),
        ("firing/hardest/loads", BOX, line(BOX, "hardest:")),
    ]


def test_a_part_named_in_a_note_counts_like_one_with_figures() -> None:
    note = "bell-wall-high holds {0} of solid masonry"
    wall = item(("surroundings", "wall-behind", "distance"), note=note, exact=True)
    assert told(wall)[0] == ("parts/bell-wall-high", BOX, line(BOX, "bell-wall-high:"))
    longer = item(("surroundings", "wall-behind", "distance"), where="bell-wall-higher", exact=True)
    assert [path for path, _, _ in told(longer)] == ["based_on"]


def test_a_clause_does_not_rest_on_the_firing() -> None:
    path: Path = ("parts", "bell-cap", "layers", 0)
    assert "firing" in [where for where, _, _ in told(item(path))]
    assert "firing" not in [where for where, _, _ in told(item(path, exact=True))]


def test_a_change_of_the_chamber_is_told_of_a_part_of_the_kit() -> None:
    base = item(("parts", "bell-base", "layers", 0), exact=True)
    assert told(base) == [("chambers/bell/size/height", BOX, line(BOX, "bell: {size"))]


def test_what_nobody_changed_points_to_where_it_was_taken_over() -> None:
    front = item(("parts", "firebox-front", "layers", 2), exact=True)
    assert told(front) == [("based_on", BOX, line(BOX, "based_on:"))]
    assert front.related[0].words == f"taken over here from {KIT}"


def test_the_nearest_change_comes_first_and_three_are_enough() -> None:
    wall = item(("parts", "bell-wall", "area"))
    assert wall.span.file == BOX
    kit = item(("parts", "bell-wall", "layers", 0), where="bell-wall-high and bell-base")
    assert [path for path, _, _ in told(kit)] == [
        "parts/bell-wall/courses", "parts/bell-wall/area", "parts/bell-wall-high",
    ]  # fmt: skip
    assert len(kit.related) == MOST


def test_among_the_changes_of_a_record_the_nearest_comes_first() -> None:
    kit = (ROOT / "fixtures" / "based-on" / KIT).read_text(encoding="utf-8")
    patch = f"based_on: {KIT}\nchambers: {{firebox: {{size: {{width: 330 mm}}, " + (
        "leads_to: {riser: {area: 180 cm2}}}}\n"
    )
    two = load(BOX, shelf=Memory({KIT: kit, BOX: patch}))
    path = ("chambers", "firebox", "leads_to", "riser", "at")
    finding = replace(make.finding(CLAUSE), path=path)
    hands = related(finding, two.source.places.value(path), two.build, two.source.places)
    assert ["/".join(map(str, one.path)) for one in hands] == [
        "chambers/firebox/leads_to/riser/area", "chambers/firebox/size/width",
    ]  # fmt: skip


def test_a_plan_of_one_file_has_none() -> None:
    kit = studio(KIT)
    finding = make.finding(make.measure(1, 2, 300, make.limit()))
    span = kit.source.places.value(finding.path)
    assert related(finding, span, kit.build, kit.source.places) == ()


# -- reports ------------------------------------------------------------------------------------


def test_the_text_names_each_hand_once() -> None:
    cap = item(("parts", "bell-cap", "layers", 0, "material"))
    assert hands_fields(cap) == [
        ("also set", f"bell-cap at {KIT}:{line(KIT, 'bell-cap:')}:3; "
                     f"bell at {KIT}:{line(KIT, 'bell:')}:3; "
                     f"firing at {KIT}:{line(KIT, 'firing:')}:1"),
    ]  # fmt: skip
    front = item(("parts", "firebox-front", "layers", 2), exact=True)
    assert hands_fields(front) == [
        ("based on", f"taken over as it is at {BOX}:{line(BOX, 'based_on:')}:11")
    ]
    gone = replace(cap.related[0], path=("site", "altitude"), words=f"taken away here by {KIT}")
    ((_, said),) = hands_fields(replace(cap, related=(gone,)))
    assert said.startswith("altitude taken away at ")
    assert hands_fields(make.item(cap.finding)) == []


def test_the_text_report_tells_the_base_and_the_hands() -> None:
    review = replace(
        make.review(item(("parts", "bell-cap", "layers", 0))), based_on=("kits/a", "kits/b")
    )
    lines = text_report(review, {}).split("\n")
    assert "based on: kits/a, kits/b" in lines
    (where,) = (n for n, one in enumerate(lines) if one.startswith("    at    "))
    assert lines[where + 1].startswith("    also set  bell-cap at ")
    assert "based on" not in text_report(make.review(), {})


@pytest.mark.parametrize("one", [True, False])
def test_the_report_for_machines_has_them_all(one: bool) -> None:
    from tests.report.test_machine import faults

    found = item(("parts", "bell-cap", "layers", 0))
    found = found if one else make.item(found.finding)
    review = replace(make.review(found), based_on=(KIT,) if one else ())
    made: Any = json.loads(
        machine_report([Answer(file=BOX, review=review)], asked=[], left_out=[])
    )
    assert faults(made) == []
    (plan,) = made["plans"]
    assert plan["based_on"] == ([KIT] if one else [])
    hands = plan["findings"][0]["related"]
    if not one:
        assert hands == []
        return
    assert [hand["place"]["pointer"] for hand in hands] == [
        "/parts/bell-cap", "/chambers/bell", "/firing",
    ]  # fmt: skip
    assert hands[0]["place"]["path"] == KIT and hands[0]["words"] == f"set here by {KIT}"
