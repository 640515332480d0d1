"""What is refused in TOML and JSON: at its place, with a remedy, as it is in YAML."""

from __future__ import annotations

from pathlib import Path

import pytest
import tomli

from stovelint.errors import BuildFileError
from stovelint.place import Mistake
from stovelint.source import read_plan
from stovelint.source.formats import parse_text
from stovelint.source.scan import MAX_DEPTH, MOST_VALUES
from stovelint.source.text import MAX_BYTES


def refused(name: str, text: str) -> tuple[Mistake, ...]:
    try:
        return parse_text(name, text, name).mistakes
    except BuildFileError as error:
        return tuple(one for one in error.mistakes if isinstance(one, Mistake))


def told(name: str, text: str) -> list[tuple[str, str]]:
    found = refused(name, text)
    assert all(one.remedy for one in found)
    return [(one.span.label().partition(":")[2], one.message) for one in found]


@pytest.mark.parametrize(
    ("text", "label", "says"),
    [
        ('{"a": 1, "a": 2}', "1:10", "already given in line 1"),
        ('{"a": 1,\n "b": {"c": 1,\n "c": 2}}', "3:2", "already given in line 2"),
        ('{"a": NaN}', "1:7", "number NaN can be read in more than one way"),
        ('{"a": [1, -Infinity]}', "1:11", "number -Infinity can be read"),
        ('{"a": ' + "1" * 5000 + "}", "1:7", "is longer than any plan needs"),
        ('{"a": 1e999}', "1:7", "is too large"),
        ('{"a": 010}', "1:7", "is no number of JSON"),
        ('{"a": 0x1F}', "1:7", "is no number of JSON"),
        ('{"a": 60 mm}', "1:7", "`60 mm` has no quotes"),
        ('{"a": yes}', "1:7", "`yes` has no quotes"),
        ("{'a': 1}", "1:2", "double quotes"),
        ("{a: 1}", "1:2", "double quotes"),
        ('{"a": 1,}', "1:8", "a comma stands before the closing `}`"),
        ('{"a": [1,\n]}', "1:9", "a comma stands before the closing `]`"),
        ('{"a": 1 "b": 2}', "1:9", "a comma is missing"),
        ('{"a" 1}', "1:6", "a colon is missing"),
        ('{"a":}', "1:6", "a value is missing"),
        ('{"a": [1}', "1:9", "still open"),
        ('{"a": {"b": 1}', "1:15", "`{` of line 1 is closed"),
        ('{"a": "b', "1:7", "never closed"),
        ('{"a": "b\n"}', "1:7", "never closed"),
        ('{"a": "\t"}', "1:8", "a tab stands within a text"),
        ('{"a": "\\x"}', "1:8", "a backslash"),
        ('{"a": "\\u12"}', "1:8", "a backslash"),
        ('{"a": "\\u001b[2J"}', "1:7", "an escape stands for a sign that cannot be seen"),
        ('{"\\u001b": 1}', "1:2", "an escape stands for a sign that cannot be seen"),
        ('{"a": "\\ud800"}', "1:7", "an escape stands for a sign that cannot be seen"),
        ('{"a": "\\ude00\\ud83d"}', "1:7", "an escape stands for a sign that cannot be seen"),
        ('{"a\\nb": 1}', "1:2", "several lines"),
        ('{"a": 1} {}', "1:10", "nothing can follow"),
        ('{"a": 1 /* b */}', "1:9", "a comment begins here"),
        ('// a\n{"a": 1}', "1:1", "a comment begins here"),
        ("[1]", "1:1", "not a record in braces"),
        ("\n 5", "2:2", "not a record in braces"),
        ("null", "1:1", "no plan"),
        ("", "1:1", "no plan"),
        (" \n", "1:1", "no plan"),
        ("{}", "1:1", "no plan"),
    ],
)
def test_json_is_refused_at_its_place(text: str, label: str, says: str) -> None:
    ((where, message),) = told("kiln.heater.json", text)
    assert where == label and says in message


@pytest.mark.parametrize(
    ("text", "label", "says"),
    [
        ("a = 1\na = 2\n", "2:1", "already given in line 1"),
        ("[a]\nb = 1\n\n[a]\n", "4:2", "already given in line 1"),
        ("a = 1\n[a.b]\n", "2:2", "already given in line 1"),
        ("a.b = 1\n[a]\n", "2:2", "already given in line 1"),
        ("[a.b]\n[a]\nb.c = 1\n", "3:1", "already given in line 1"),
        ("a = {b = 1}\n[a.c]\n", "2:2", "already given in line 1"),
        ("a = {b = 1, b = 2}\n", "1:13", "already given in line 1"),
        ("a = []\n[[a]]\n", "2:3", "already given in line 1"),
        ("[[a]]\n[a]\n", "2:2", "already given in line 1"),
        ("a = nan", "1:5", "number nan can be read in more than one way"),
        ("a = [-inf]", "1:6", "number -inf can be read"),
        ("a = 0x1F", "1:5", "number 0x1F can be read"),
        ("a = 1_000", "1:5", "number 1_000 can be read"),
        ("a = 010", "1:5", "number 010 can be read"),
        ("a = 1_0.5", "1:5", "number 1_0.5 can be read"),
        ("a = " + "1" * 5000, "1:5", "is longer than any plan needs"),
        ("a = 1e999", "1:5", "is too large"),
        ("a = 1.", "1:5", "has no quotes"),
        ("a = 60 mm # c", "1:5", "`60 mm` has no quotes"),
        ("a = [60 mm, 1]", "1:6", "`60 mm` has no quotes"),
        ("a = 4-1/2\"", "1:5", "has no quotes"),
        ("a = yes", "1:5", "`yes` has no quotes"),
        ("a = null", "1:5", "no word for nothing"),
        ("a = 2027-06-30", "1:5", "`2027-06-30` is a date"),
        ("a = 2027-06-30 07:32:00", "1:5", "`2027-06-30 07:32:00` is a date"),
        ("a = 2027-13-45", "1:5", "is a date"),
        ("a = 07:32:00", "1:5", "a time of day"),
        ("a = 'b", "1:5", "never closed"),
        ("a = '''b\n", "1:5", "three quotation marks"),
        ('a = "\\q"', "1:6", "a backslash"),
        ('a = "\\ud800"', "1:6", "a backslash"),
        ('a = "\\u001b[2J"', "1:5", "an escape stands for a sign that cannot be seen"),
        ('"\\u001b" = 1', "1:1", "an escape stands for a sign that cannot be seen"),
        ('"a\\nb" = 1', "1:1", "several lines"),
        ("a", "1:2", "`=` is missing"),
        ("a: 1", "1:2", "this is not TOML"),
        ("a: 1\nb:\n  c: 'x'\n", "1:2", "this is not TOML"),
        ("a: 1\nb = 2", "1:2", "`=` is missing"),
        ("a =", "1:4", "a value is missing"),
        ("= 1", "1:1", "a key cannot begin with `=`"),
        ("a. = 1", "1:4", "a key cannot begin with `=`"),
        ("[a", "1:3", "not closed"),
        ("[[a]", "1:4", "not closed"),
        ("[]", "1:2", "a key cannot begin with `]`"),
        ("a = [1, 2", "1:10", "`[` of line 1 is closed"),
        ("a = [1 2]", "1:6", "has no quotes"),
        ("a = 1 b = 2", "1:5", "has no quotes"),
        ("a = true, b", "1:9", "something follows"),
        ("a = {b}", "1:7", "`=` is missing"),
        ("", "1:1", "no plan"),
        ("# only this\n", "1:1", "no plan"),
    ],
)
def test_toml_is_refused_at_its_place(text: str, label: str, says: str) -> None:
    ((where, message),) = told("kiln.heater.toml", text)
    assert where == label and says in message


def test_all_mistakes_of_a_file_are_told_at_once() -> None:
    text = "title = Kiln Cottage\n[site]\nroom = 20 degC\nroom = 0x1F\n\n[parts\nb = 1 2\n"
    assert [label for label, _ in told("kiln.heater.toml", text)] == [
        "1:9", "3:8", "4:8", "6:7", "7:5"
    ]
    text = '{"a": NaN, "a": 1, "b": "\\u0007", "c": 99999999999999999}'
    assert len(told("kiln.heater.json", text)) == 4


@pytest.mark.parametrize(
    ("name", "text"),
    [
        ("a.yaml", "a: {b: 1, c: 2}\na: {b: 3, d: 4}\n"),
        ("a.json", '{"a": {"b": 1, "c": 2}, "a": {"b": 3, "d": 4}}'),
        ("a.toml", "a = {b = 1, c = 2}\na = {b = 3, d = 4}\n"),
        ("a.toml", "[a]\nb = 1\nc = 2\n[a]\nb = 3\nd = 4\n"),
    ],
)
def test_of_two_alike_the_first_stands_with_its_place(name: str, text: str) -> None:
    source = parse_text(name, text, name)
    assert source.tree == {"a": {"b": 1, "c": 2}} and len(source.mistakes) == 1
    assert set(source.places.entries) == {(), ("a",), ("a", "b"), ("a", "c")}
    span = source.places.value(("a", "b"))
    assert text[span.start.offset : span.end.offset] == "1"


@pytest.mark.parametrize("ends", ["\n", "\r\n"])
def test_what_only_the_library_refuses_is_refused_where_it_stopped(
    ends: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """An older library may know less than the scanner."""
    text = f"a = 1{ends}b = 2{ends}c = 3{ends}"
    at = text.replace("\r\n", "\n").index("= 3")

    def stops(given: str, **_: object) -> None:
        raise tomli.TOMLDecodeError("no", given.replace("\r\n", "\n"), at)

    monkeypatch.setattr("tomli.loads", stops)
    ((where, message),) = told("kiln.heater.toml", text)
    assert where == "3:3" and "cannot be read as TOML" in message


@pytest.mark.parametrize(
    ("name", "fits", "deeper"),
    [
        ("a.yaml", "{a: " * MAX_DEPTH + "1" + "}" * MAX_DEPTH, "{a: " * 41),
        ("a.json", '{"a":' * MAX_DEPTH + "1" + "}" * MAX_DEPTH, '{"a":' * 41 + "1" + "}" * 41),
        ("a.toml", "a = " + "{a = " * 39 + "1" + "}" * 39, "a = " + "{a = " * 40 + "1" + "}" * 40),
        ("a.toml", "a = " + "[" * 39 + "]" * 39, "a = " + "[" * 40 + "]" * 40),
        ("a.toml", ".".join("a" * 40) + " = 1", ".".join("a" * 41) + " = 1"),
        ("a.toml", "[" + ".".join("a" * 39) + "]", "[" + ".".join("a" * 40) + "]"),
        ("a.toml", "[[" + ".".join("a" * 38) + "]]", "[[" + ".".join("a" * 39) + "]]"),
    ],
)
def test_nesting_is_bounded_alike_in_every_format(name: str, fits: str, deeper: str) -> None:
    assert told(name, fits) == []
    ((_, message),) = told(name, deeper)
    assert message == "things are nested more than 40 deep"


@pytest.mark.parametrize("times", [1_000, 100_000])
@pytest.mark.parametrize(
    ("name", "piece"),
    [("a.json", "["), ("a.json", '{"a":'), ("a.toml", "["), ("a.toml", "{a="), ("a.toml", "a."),
     ("a.toml", '["]",')],
)  # fmt: skip
def test_nesting_far_too_deep_is_no_crash(name: str, piece: str, times: int) -> None:
    begin = "a = " if piece[0] in "[{" and name == "a.toml" else ""
    ((_, message),) = told(name, begin + piece * times)
    assert message == "things are nested more than 40 deep"


@pytest.mark.parametrize(
    ("name", "text"),
    [
        ("a.yaml", "a: [" + "1," * MOST_VALUES + "]"),
        ("a.json", '{"a": [' + "1," * MOST_VALUES + "1]}"),
        ("a.toml", "a = [" + "1," * MOST_VALUES + "]"),
        ("a.toml", "".join(f"[a{n}]\n" for n in range(MOST_VALUES + 1))),
        ("a.toml", "[[a]]\n" * MOST_VALUES),
    ],
)
def test_a_file_of_too_many_values_is_refused(name: str, text: str) -> None:
    ((_, message),) = told(name, text)
    assert message == f"the file holds more than {MOST_VALUES} values"


def test_half_a_sign_goes_no_further_than_the_reader() -> None:
    """No encoding can write it, so that whoever repeats it would break."""
    for name, text in (
        ("a.json", '{"a": "\\ud800", "\\udfff": {"\\udfffb": 1}}'),
        ("a.yaml", 'a: "\\ud800"\n"\\udfff": 1\n'),
    ):
        for one in refused(name, text):
            assert f"{one}".encode("utf-8")
        if name == "a.json":
            source = parse_text(name, text, name)
            assert f"{source.tree}".encode("utf-8") and len(source.mistakes) == 3
            assert list(source.places.entries) and f"{[*source.places.entries]}".encode("utf-8")


def test_numbers_are_refused_alike_in_every_format() -> None:
    """A number that one format takes has the same value in the others, or is refused there."""
    for number in ("1", "-1", "0", "-0", "2.5", "1e3", "1E3", "0.1e-2", "+1", "123456789012345",
                   "1234567890123456", "0.12345678901234", "1e400", "00", "010", "1_0", "0x1",
                   "-1.5e+3"):  # fmt: skip
        found: list[object] = []
        for name, text in (("a.yaml", f"a: {number}\n"), ("a.toml", f"a = {number}\n"),
                           ("a.json", f'{{"a": {number}}}')):  # fmt: skip
            try:
                source = parse_text(name, text, name)
            except BuildFileError:
                continue
            if not source.mistakes and isinstance(source.tree["a"], (int, float)):
                found.append((type(source.tree["a"]), source.tree["a"]))
        assert len(set(found)) <= 1, (number, found)


def test_a_place_is_found_even_if_the_scanner_found_none(monkeypatch: pytest.MonkeyPatch) -> None:
    """It would be our fault; but not one that hangs."""
    monkeypatch.setattr("stovelint.source.json._raw", lambda *_: {})
    assert parse_text("a.json", '{"a": 1}', "a.json").places.value(("a",)).label() == "a.json:1:1"


def test_a_good_plan_is_not_scanned_until_a_place_is_asked_for(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    def scanned(text: str, file: str) -> None:
        raise AssertionError("scanned")

    monkeypatch.setattr("stovelint.source.json.scan_json", scanned)
    monkeypatch.setattr("stovelint.source.toml.scan_toml", scanned)
    for name, text in (("a.json", '{"a": 4.5}'), ("a.toml", "a = 4.5")):
        source = parse_text(name, text, name)
        assert source.tree == {"a": 4.5}
        with pytest.raises(AssertionError, match="scanned"):
            source.places.value(("a",))


@pytest.mark.parametrize("ending", [".heater.toml", ".heater.json"])
@pytest.mark.parametrize(
    ("data", "label", "says"),
    [
        (b"\x89PNG\r\n\x1a\n\x00", "1:1", "is not UTF-8"),
        (b'a = "\xff"', "1:6", "byte 0xff here is not UTF-8"),
        ("a = 1".encode("utf-16"), "1:1", "UTF-16"),
        (b"a = 1\rb = 2\r", "1:6", "lone carriage return"),
        (b"a = 1\x00", "1:6", "U+0000"),
        (b"a = '\x1b[2J'", "1:6", "U+001B"),
        ('a = "\u202e"'.encode(), "1:6", "U+202E"),
        ("a = 1\ufeff".encode(), "1:6", "U+FEFF"),
        (b" " * (MAX_BYTES + 1), "1:1", "larger than the 1048576 bytes"),
    ],
)
def test_bytes_that_are_no_text_are_refused_in_every_format(
    ending: str, data: bytes, label: str, says: str, tmp_path: Path
) -> None:
    plan = tmp_path / f"kiln{ending}"
    plan.write_bytes(data)
    with pytest.raises(BuildFileError) as refusal:
        read_plan(str(plan), "kiln")
    first = refusal.value.mistakes[0]
    assert isinstance(first, Mistake) and first.remedy
    assert first.span.label() == f"kiln:{label}" and says in first.message
