"""Where things stand: both parsers, all line ends, byte order mark, signs beyond 16 bits.

The referee for positions is the text itself: an offset must lead to the very characters of the
scalar, and line and column must be what an editor counts (code points, LF ends a line).
"""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from ruamel.yaml import YAML

from stovelint.errors import BuildFileError
from stovelint.place import Mark
from stovelint.source import Source, read_plan
from stovelint.source.text import decode
from stovelint.source.yaml import parse
from tests.format.plans import TEXT
from tests.tree import ROOT

ASTRAL = (
    "title: \u00e9\U0001f525 stove # \U0001f9f1\n"
    "notes: {a: [x, \U0001f525y], b: 'q \U0001f525'}\n"
)


def assert_counts_like_an_editor(text: str, mark: Mark) -> None:
    lines = text[: mark.offset].split("\n")
    assert (mark.line, mark.column) == (len(lines) - 1, len(lines[-1]))


def assert_leads_to_its_text(source: Source) -> None:
    for path, entry in source.places.entries.items():
        for span in (entry.value, *([entry.key] if entry.key is not None else [])):
            assert_counts_like_an_editor(source.text, span.start)
            assert_counts_like_an_editor(source.text, span.end)
        node: Any = source.tree
        for step in path:
            node = node[step]
        if entry.key is not None:
            key = source.text[entry.key.start.offset : entry.key.end.offset]
            assert key.strip("'\"") == path[-1]
        if isinstance(node, str):
            value = source.text[entry.value.start.offset : entry.value.end.offset]
            assert value.strip("'\"") == node
        else:
            held = source.text[entry.value.start.offset : entry.value.end.offset]
            assert not held[:1].isspace() and not held[-1:].isspace()


@pytest.mark.parametrize("pure", [False, True])
@pytest.mark.parametrize("text", [TEXT, ASTRAL], ids=["example", "astral"])
@pytest.mark.parametrize("ends", ["\n", "\r\n"], ids=["lf", "crlf"])
def test_every_place_leads_to_its_text(pure: bool, text: str, ends: str) -> None:
    source = parse(text.replace("\n", ends), "plan", pure=pure)
    assert len(source.places.entries) > 5
    assert_leads_to_its_text(source)


def same(text: str) -> None:
    """Both parsers give the same tree and the same places."""
    fast, slow = parse(text, "plan"), parse(text, "plan", pure=True)
    assert fast.tree == slow.tree
    assert dict(fast.places.entries) == dict(slow.places.entries)
    assert fast.mistakes == slow.mistakes


def test_both_parsers_agree_on_the_example() -> None:
    same(TEXT)
    same(TEXT.replace("\n", "\r\n"))
    same(ASTRAL)


@pytest.mark.parametrize(
    "text",
    [
        "a:\nb: 3\n",
        "a: {b, c: }\n",
        "a:\n- 1\n-   - x\n    - y\nb: 2\n",
        "a:\n    b:\n      c: 1\n\n# note\n\nd: 2\n",
        "a: |\n  two\n  lines\nb: >-\n  one\n  line\n",
        'a: "x\\u00e9y"\nb: \'it\'\'s\'\n',
        "? a\n: 1\n",
        "---\na: 1\n...\n",
        "a: 1\na: 2\n&x b: !!str c\nd: *x\n",
        "a: 010\nb: 0x1F\nc: .inf\nd: .NaN\ne: 1e999\nf: 99999999999999999999\n",
    ],
)
def test_both_parsers_agree_on_corners(text: str) -> None:
    same(text)


def test_the_tree_is_what_the_library_loads() -> None:
    """ruamel.yaml's own loader as referee; it makes a date of `until`, which here stays text."""
    loaded = YAML(typ="safe", pure=True).load(TEXT)
    until = loaded["variances"]["cap-for-now"]["until"]
    loaded["variances"]["cap-for-now"]["until"] = until.isoformat()
    assert parse(TEXT, "plan").tree == loaded


def test_a_block_ends_where_its_last_value_ends() -> None:
    text = "a:\n  b: 1\n  c: 22\n\n# about d\nd: 2\n"
    span = parse(text, "plan").places.value(("a",))
    assert text[span.start.offset : span.end.offset] == "b: 1\n  c: 22"


def test_missing_things_are_placed_at_the_nearest_parent() -> None:
    places = parse("a:\n  b: 1\n", "plan").places
    assert places.value(("a", "x", "y")).label() == "plan:1:1"
    assert places.key(("a", "b")).label() == "plan:2:3"
    assert places.value(("a", "b")).label() == "plan:2:6"
    assert places.value(("x",)).label() == "plan:1:1"


def test_the_byte_order_mark_is_kept_aside(tmp_path: Path) -> None:
    file = tmp_path / "kiln.heater.yaml"
    file.write_bytes(b"\xef\xbb\xbftitle: x\r\nnotes: y\r\n")
    source = read_plan(str(file), "kiln.heater.yaml")
    assert source.bom and source.text == "title: x\r\nnotes: y\r\n"
    assert source.places.value(("title",)).label() == "kiln.heater.yaml:1:8"
    assert source.places.value(("notes",)).start.offset == 17


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("1", 1), ("-7", -7), ("+7", 7), ("0", 0), ("1.5", 1.5), (".5", 0.5), ("1e3", 1000.0),
        ("true", True), ("False", False), ("null", None), ("~", None), ("", None),
        ("yes", "yes"), ("no", "no"), ("on", "on"), ("y", "y"), ("TRUE", True), ("tRUE", "tRUE"),
        ("2024-01-02", "2024-01-02"), ("12:30:45", "12:30:45"), ("1_000", "1_000"),
        ("nan", "nan"), ("inf", "inf"), ("114 mm", "114 mm"), ("4-1/2\"", "4-1/2\""),
        ("2'-6\"", "2'-6\""), ("-", None), ("'1'", "1"), ('"true"', "true"), ("0.0", 0.0),
        ("1.", 1.0), ("18 %", "18 %"), ("0b1", "0b1"), ("-.5", -0.5), (".", "."),
    ],
)  # fmt: skip
def test_plain_scalars_mean_what_yaml_1_2_says(text: str, value: object) -> None:
    """YAML 1.2.2, section 10.3.2."""
    if text == "-":
        assert parse("a:\n-\n", "plan").tree == {"a": [None]}
        return
    found = parse(f"a: {text}\n", "plan").tree["a"]
    assert found == value and type(found) is type(value)


LINES = st.lists(
    st.text(alphabet=" \t-:{}[],#&*!|>'\"%@`ab1\u00e9\U0001f525\n", max_size=12), max_size=8
)


@given(LINES)
def test_both_parsers_refuse_or_agree_on_any_text(lines: list[str]) -> None:
    """No crash from either; where both read, they read the same from the same places.

    They differ in what they refuse: the one in C takes tabs in more places, for instance.
    """
    text = "\n".join(lines)
    read = []
    for pure in (False, True):
        try:
            read.append(parse(text, "plan", pure=pure))
        except BuildFileError as error:
            assert error.mistakes
    if len(read) == 2:
        assert read[0].tree == read[1].tree


NAMES = st.from_regex(r"[a-z]{1,6}", fullmatch=True)


@given(st.dictionaries(NAMES, st.text(st.characters(codec="utf-8"), max_size=9), min_size=1))
def test_quoted_texts_come_back(entries: dict[str, str]) -> None:
    lines = [f"{key}: {json.dumps(value, ensure_ascii=False)}" for key, value in entries.items()]
    try:
        source = parse(decode("\n".join(lines).encode(), "plan")[0], "plan")
        wrong = bool(source.mistakes)
    except BuildFileError:
        wrong = True
    # Only signs that cannot be seen are refused, as they are or by their escapes.
    if wrong:
        assert not all(value.isprintable() for value in entries.values())
    else:
        assert source.tree == entries


def test_it_reads_without_the_parser_in_c() -> None:
    program = (
        "import sys\n"
        "sys.modules['_ruamel_yaml'] = None\n"
        "from ruamel.yaml import YAML\n"
        "from stovelint.source import read_plan\n"
        "places = read_plan('tests/format/example.heater.yaml', 'plan').places\n"
        "print(YAML(typ='safe').Parser.__name__, places.value(('parts', 'door', 'area')).label())\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", program],
        cwd=ROOT, env={"PYTHONPATH": str(ROOT)}, capture_output=True, text=True, check=True,
    )  # fmt: skip
    here = parse(TEXT, "plan").places.value(("parts", "door", "area")).label()
    assert done.stdout.split() == ["Parser", here]
