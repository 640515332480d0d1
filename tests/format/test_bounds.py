"""Files that are far too much of something: refused, and with work that grows like the file."""

from __future__ import annotations

import copy
import sys
from typing import Any

import pytest

from stovelint.assemble import assemble
from stovelint.errors import BuildFileError
from stovelint.place import MOST_MISTAKES, Mistake, Places, shortened
from stovelint.schema import schema_text
from stovelint.schema.reword import MOST_FOUND, list_mistakes
from stovelint.schema.trim import WIDEST, trimmed
from stovelint.source.formats import parse_text
from stovelint.source.text import refuse
from tests.format.damage import TREE
from tests.fuzz.writing import as_json, as_toml, as_yaml


def mistakes(text: str, name: str) -> tuple[Mistake, ...]:
    try:
        assemble(parse_text(name, text, name))
    except BuildFileError as error:
        return tuple(one for one in error.mistakes if isinstance(one, Mistake))
    return ()


def copies(key: str, count: int) -> dict[str, Any]:
    """The example with so many of one thing."""
    tree = copy.deepcopy(TREE)
    first = next(iter(tree[key].values()))
    tree[key] = {**tree[key], **{f"copy-{n}": first for n in range(count - len(tree[key]))}}
    return tree


@pytest.mark.parametrize(
    ("key", "most"), [("parts", 200), ("chambers", 60), ("surroundings", 100), ("variances", 100)]
)
def test_more_than_any_heater_has_is_refused_with_the_number(key: str, most: int) -> None:
    said = f"`{key}` has more than {most} entries"
    for count in (most, most + 1):
        text = as_json(copies(key, count))
        told = [one for one in mistakes(text, "plan.json") if one.message == said]
        assert len(told) == count - most
        for one in told:
            assert one.path == (key,) and one.remedy.startswith(f"keep at most {most}")


def test_a_record_that_no_schema_bounds_is_refused_before_it_is_trimmed() -> None:
    """What `trimmed` leaves out is never needed: a wider record or list has been refused."""
    assert trimmed(TREE) is TREE
    wide = {"parts": {f"p{n}": [1] * (WIDEST + 1) for n in range(3)}}
    assert [len(one) for one in trimmed(wide)["parts"].values()] == [WIDEST] * 3
    for path in (("chambers", "bell", "leads_to"), ("chambers", "bell", "opens_to"), ("by_others",),
                 ("coursing", "gauges"), ("site",), ("firing", "usual")):  # fmt: skip
        tree = copy.deepcopy(TREE)
        inner: Any = tree
        for step in path[:-1]:
            inner = inner[step]
        inner[path[-1]] = {f"n{number}": {} for number in range(WIDEST + 1)}
        assert mistakes(as_json(tree), "plan.json"), path
    for key in ("bounds", "between", "sides", "layers"):
        tree = copy.deepcopy(TREE)
        part = next(iter(tree["parts"].values()))
        part[key] = [f"n{number}" for number in range(WIDEST + 1)]
        assert mistakes(as_json(tree), "plan.json"), key


@pytest.mark.parametrize("count", [1, 3, MOST_MISTAKES, MOST_MISTAKES + 1, MOST_MISTAKES + 50])
def test_so_many_mistakes_are_told_and_the_rest_is_counted(count: int) -> None:
    text = "\n" * count
    found = [refuse("plan", text, count - 1 - n, "m", "r") for n in range(count)]
    told = shortened([*found, found[0]])
    lines = [one.span.start.line for one in told]
    assert lines[:MOST_MISTAKES] == list(range(min(count, MOST_MISTAKES))), "in order, each once"
    if count > MOST_MISTAKES:
        assert len(told) == MOST_MISTAKES + 1
        assert f"at least {count - MOST_MISTAKES} more" in told[-1].message
    else:
        assert len(told) == count


def test_no_more_is_looked_for_than_can_be_told() -> None:
    part = {"layers": [{f"thicknes{k}": 1 for k in range(100)} for _ in range(30)]}
    tree = {"parts": {f"p{n}": part for n in range(20)}}
    source = parse_text("a.json", as_json(tree), "a.json")
    found = list_mistakes(source.tree, source.places, schema_text())
    assert MOST_MISTAKES < len(found) <= MOST_FOUND + WIDEST


def _deeds(text: str, name: str) -> int:
    """How many functions are called until a file is refused: work, whatever the machine."""
    calls = 0

    def count(frame: object, event: str, argument: object) -> None:
        nonlocal calls
        calls += event in ("call", "c_call")

    sys.setprofile(count)
    try:
        found = mistakes(text, name)
    finally:
        sys.setprofile(None)
    assert found
    return calls


def _many_parts(count: int) -> dict[str, Any]:
    part = {"kind": "wal", "layers": [{"material": "brik"}]}
    return {"parts": {f"p{n}": part for n in range(count)}}


GROWING: dict[str, tuple[str, Any]] = {
    "unknown keys, yaml": ("a.yaml", lambda n: as_yaml({f"titel{k}": 1 for k in range(n)})),
    "unknown keys, json": ("a.json", lambda n: as_json({f"titel{k}": 1 for k in range(n)})),
    "unknown keys, toml": ("a.toml", lambda n: as_toml({f"titel{k}": 1 for k in range(n)})),
    "parts, yaml": ("a.yaml", lambda n: as_yaml(_many_parts(n))),
    "parts, json": ("a.json", lambda n: as_json(_many_parts(n))),
    "parts, toml": ("a.toml", lambda n: as_toml(_many_parts(n))),
    "wrong names": ("a.json", lambda n: as_json({**TREE, "chambers": {
        **TREE["chambers"], **{f"c{k}": {"kind": "bell", "inside": f"d{k}"} for k in range(n)}}})),
    "one in the other": ("a.json", lambda n: as_json({**TREE, "chambers": {
        **TREE["chambers"],
        **{f"c{k}": {"kind": "bell", "inside": f"c{k + 1}"} for k in range(n)}}})),
    "one list": ("a.json", lambda n: as_json({"parts": [None, {}, [], "a"] * n})),
    "one key again": ("a.json", lambda n: "{" + ",".join(['"a":1'] * n) + "}"),
    "tables again": ("a.toml", lambda n: "[a]\n" * n),
    "anchors": ("a.yaml", lambda n: "a:\n" + "- &x 1\n" * n),
}  # fmt: skip
SIZE = 2000


@pytest.mark.parametrize("case", GROWING)
def test_work_grows_no_faster_than_the_file(case: str) -> None:
    """Twice the size may take twice the work; work that goes with the square takes four times."""
    name, text = GROWING[case]
    mistakes(text(10), name)  # what is loaded once
    once, twice = _deeds(text(SIZE), name), _deeds(text(2 * SIZE), name)
    assert twice < 2.5 * once


def test_the_count_of_work_sees_a_square(monkeypatch: pytest.MonkeyPatch) -> None:
    """The measure itself: a look-up that goes through all places takes four times the work."""
    name, text = GROWING["one key again"]

    def slow(found: list[Mistake]) -> tuple[Mistake, ...]:
        size = text_size[0]
        for number in range(size * size // 20):
            abs(number)
        return tuple(found)

    text_size = [0]
    monkeypatch.setattr("stovelint.source.json.shortened", slow)
    counts = []
    for size in (SIZE, 2 * SIZE):
        text_size[0] = size
        counts.append(_deeds(text(size), name))
    assert counts[1] > 2.5 * counts[0]


def test_a_place_is_found_from_any_depth() -> None:
    source = parse_text("a.json", '{"a": {"b": 1}}', "a.json")
    assert isinstance(source.places, Places)
    assert source.places.value(("a", *("x" for _ in range(1000)))).label() == "a.json:1:2"
