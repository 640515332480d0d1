"""The scanners of JSON and TOML against the libraries: same data, and a place for all of it.

The referee for a place is the library again: the text of a value's span must read as the value,
that of a key's span as the key.
"""

from __future__ import annotations

import json
from typing import Any

import pytest
import tomli
from hypothesis import given, settings
from hypothesis import strategies as st

from stovelint.place import Path
from stovelint.source.json_places import scan_json
from stovelint.source.record import Point, Raw
from stovelint.source.scan import Scan
from stovelint.source.toml_places import scan_toml
from tests.format.damage import paths
from tests.format.texts import json_texts, toml_texts

HARMLESS = ("cannot be seen", "over several lines")
"""What a reader refuses although the library takes it; the tree is whole all the same."""


def held(tree: Any, path: Path) -> Any:
    for step in path:
        tree = tree[step]
    return tree


def cut(text: str, start: Point, end: Point) -> str:
    for line, column, offset in (start, end):
        before = text[:offset].split("\n")
        assert (line, column) == (len(before) - 1, len(before[-1])), "as an editor counts"
    return text[start[2] : end[2]]


def agrees(found: Scan, tree: Any) -> None:
    assert [m for m in found.mistakes if not any(word in m.message for word in HARMLESS)] == []
    assert found.root == tree
    assert set(found.raw) == {(), *paths(tree)}


def json_places_lead_to_their_text(text: str) -> None:
    tree = json.loads(text)
    found = scan_json(text, "plan")
    agrees(found, tree)
    for path, (key_start, key_end, start, end) in found.raw.items():
        assert json.loads(cut(text, start, end)) == held(tree, path)
        if key_start is not None and key_end is not None:
            assert json.loads(cut(text, key_start, key_end)) == path[-1]
        else:
            assert not path or isinstance(path[-1], int)


def toml_places_lead_to_their_text(text: str) -> None:
    tree = tomli.loads(text)
    found = scan_toml(text, "plan")
    agrees(found, tree)
    for path, raw in found.raw.items():
        key_start, key_end, start, end = raw
        said, value = cut(text, start, end), held(tree, path)
        if key_start is not None and key_end is not None:
            assert list(tomli.loads(f"{cut(text, key_start, key_end)} = 1")) == [path[-1]]
        named_within = key_start is not None and start[2] <= key_start[2]
        if not named_within and not (isinstance(value, dict) and not said.startswith("{")):
            assert tomli.loads(f"x = {said}") == {"x": value}
        else:
            _holds(found.raw, path, raw, headed=said.startswith("["))


def _holds(places: dict[Path, Raw], path: Path, raw: Raw, *, headed: bool) -> None:
    """A table reaches around all that is in it, and no further than its own header."""
    inner = [one for other, one in places.items() if other[:-1] == path and len(other) > len(path)]
    assert all(raw[2][2] <= one[2][2] and one[3][2] <= raw[3][2] for one in inner)
    if path and inner and not headed:
        assert raw[3][2] == max(one[3][2] for one in inner)


@settings(max_examples=120, deadline=None)
@given(json_texts())
def test_json_has_a_place_for_everything(text: str) -> None:
    json_places_lead_to_their_text(text)


@settings(max_examples=120, deadline=None)
@given(toml_texts())
def test_toml_has_a_place_for_everything(text: str) -> None:
    toml_places_lead_to_their_text(text)


@pytest.mark.parametrize(
    "text",
    [
        "a = 1\n[b.c]\nd = 2\n[b]\ne = 3\n",  # a table after the one that belongs to it
        "[[a]]\nb = 1\n[[a]]\n[a.c]\nd = 2\n[[a]]\n",
        "[[a]]\n[[a.b]]\nc = 1\n[[a.b]]\n[a.b.d]\ne = 1\n",
        "a.b = 1\na.c.d = 2\n[a.e]\nf = 3\n",
        "[a.b.c]\nx = 1\n[a]\nb.d = 2\n",
        "a = {b.c = 1, b.d = [{}, {e = 2}], 'f g' = 3}\n",
        "a = { b = 1,\n  # c\n  c = 2,\n}\n",
        'a = """\r\nx\\  \r\n   y\r\n"""\r\nb = 1\r\n',
        "a = '''x''''\nb = \"\"\"y\"\"\"\"\"\n",
        'a = "\\x41\\e[0m\\U0001F525"\n"\\u0062" = 1\n',
        "a = [ # c\n\n 1, [2, [3,],],\n]\n",
        "\t[ a . 'b' ]\t# c\nc\t=\t+1\n",
        "a=-2.5e3\nb=+0\nc=1e5\nd=true#e",
    ],
)
def test_toml_corners(text: str) -> None:
    toml_places_lead_to_their_text(text)


@pytest.mark.parametrize(
    "text",
    [
        '{"a": "\\ud83d\\ude00\\u00e9\\/"}',
        '\r\n{"a"\t:\n[ 1 ,{} , [] ]}\r\n',
        '{"": {"": null}, "\\u0061": 1e5, "b": -0.0}',
        "[1, [2, [3]], true]",
    ],
)
def test_json_corners(text: str) -> None:
    json_places_lead_to_their_text(text)


PIECES = {
    "toml": ["[", "[[", "]", "]]", "{", "}", '"', "'", '"""', "'''", "=", ".", ",", "#", "\n",
             "\r\n", "\\", "\\u0041", "a", "b", "1", "1.5", "true", "-", "+", "e", " ", "[a]\n",
             "[[a]]\n", "[a.b]\n", "a=1\n", "a.b=1\n", "a={b=1}\n", "a=[1,\n2]\n", "\u00e9"],
    "json": ["[", "]", "{", "}", '"', "\\", "\\u0041", "\\ud83d\\ude00", ",", ":", "1", "-", "+",
             "e5", ".", "true", "null", '"a":1,', "\n", "\r\n", " ", "\t", "/", "\u00e9"],
}  # fmt: skip
ONLY_OURS = (*HARMLESS, "more than one way", "longer than any", "a date or a time")


@settings(max_examples=200, deadline=None)
@given(st.lists(st.sampled_from(PIECES["toml"]), max_size=14).map("".join))
def test_toml_is_refused_where_the_library_refuses(text: str) -> None:
    try:
        tree = tomli.loads(text)
    except tomli.TOMLDecodeError:
        assert scan_toml(text, "plan").mistakes
        return
    found = scan_toml(text, "plan")
    left = [m for m in found.mistakes if not any(word in m.message for word in ONLY_OURS)]
    assert left == [] and (found.mistakes or found.root == tree)


@settings(max_examples=200, deadline=None)
@given(st.lists(st.sampled_from(PIECES["json"]), max_size=14).map("".join))
def test_json_is_refused_where_the_library_refuses(text: str) -> None:
    try:
        tree = json.loads(text)
    except json.JSONDecodeError:
        assert scan_json(text, "plan").mistakes
        return
    found = scan_json(text, "plan")
    left = [
        m for m in found.mistakes
        if not any(word in m.message for word in (*ONLY_OURS, "already given"))
    ]  # fmt: skip
    assert left == [] and (found.mistakes or found.root == tree)
