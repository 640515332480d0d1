"""What is refused before the plan is looked into: located, with a remedy, all of it if possible."""

from __future__ import annotations

from pathlib import Path

import pytest

from stovelint.errors import BuildFileError
from stovelint.place import Mistake
from stovelint.source import read_plan
from stovelint.source.text import MAX_BYTES
from stovelint.source.scan import MAX_DEPTH
from stovelint.source.yaml import parse


def refused(text: str, pure: bool = False) -> tuple[Mistake, ...]:
    try:
        return parse(text, "plan", pure=pure).mistakes
    except BuildFileError as error:
        return tuple(one for one in error.mistakes if isinstance(one, Mistake))


@pytest.mark.parametrize("pure", [False, True])
@pytest.mark.parametrize(
    ("text", "label", "says"),
    [
        ("a: 1\nb: 2\na: 3\n", "plan:3:1", "already given in line 1"),
        ("a: {b: 1, b: 2}\n", "plan:1:11", "already given in line 1"),
        ("a: 1\n'a': 2\n", "plan:2:1", "already given"),
        ("a: &x 1\n", "plan:1:4", "anchor"),
        ("a: &x {b: 1}\n", "plan:1:4", "anchor"),
        ("a: *x\n", "plan:1:4", "alias"),
        ("<<: {a: 1}\n", "plan:1:1", "merges"),
        ("a: !!str 5\n", "plan:1:4", "tag"),
        ("a: !mine {b: 1}\n", "plan:1:4", "tag"),
        ("a: !!python/object:os.system x\n", "plan:1:4", "tag"),
        ("%YAML 1.1\n---\na: yes\n", "plan:1:1", "begins with `%`"),
        ("# c\n%TAG ! tag:x,2000:\n---\na: 1\n", "plan:2:1", "begins with `%`"),
        ("a: 1\n---\nb: 2\n", "plan:2:1", "second plan"),
        ("a: 1\n...\n---\n", "plan:3:1", "second plan"),
        ("1: a\n", "plan:1:1", "not a word"),
        ("true: a\n", "plan:1:1", "not a word"),
        ("~: a\n", "plan:1:1", "not a word"),
        ("? [a, b]\n: c\n", "plan:1:3", "not a word"),
        ("? {a: b}\n: c\n", "plan:1:3", "not a word"),
        ("a: .nan\n", "plan:1:4", "more than one way"),
        ("a: -.INF\n", "plan:1:4", "more than one way"),
        ("a: 010\n", "plan:1:4", "more than one way"),
        ("a: 0o10\n", "plan:1:4", "more than one way"),
        ("a: 0x10\n", "plan:1:4", "more than one way"),
        ("a: 1e999\n", "plan:1:4", "too large"),
        ("a: 1234567890123456\n", "plan:1:4", "longer"),
        ("a:\n\tb: 1\n", "plan:2:1", "a tab stands where"),
        ("a: 1\n\tb: 2\n", "plan:2:1", "a tab stands where"),
        ("a:\n  b: c\n\td: e\n", "plan:3:1", "a tab stands where"),
        ("a: @x\n", "plan:1:4", "cannot begin with `@`"),
        ("a: b: c\n", "plan:1:5", "second `: `"),
        ("a: 1\n b: 2\n", "plan:2:3", "second `: `"),
        ("a:\n   b: 1\n  c: 2\n", "plan:3:3", "not lined up"),
        ("a: [1, 2\nb: 3\n", "plan:2:2", "`[`"),
        ("a: 'x\nb: 1\n", "plan:1:4", "never closed"),
        ('a: "\\q"\n', "plan:1:5", "backslash"),
        ('a: "\\e[31m"\n', "plan:1:4", "cannot be seen"),
        ('"a\\0": 1\n', "plan:1:1", "cannot be seen"),
        ("- a\n- b\n", "plan:1:1", "not `key: value`"),
        ("just text\n", "plan:1:1", "not `key: value`"),
        ("", "plan:1:1", "holds no plan"),
        ("# only a remark\n", "plan:1:1", "holds no plan"),
        ("---\n", "plan:1:1", "holds no plan"),
    ],
)
def test_refused_with_place_and_remedy(text: str, label: str, says: str, pure: bool) -> None:
    mistakes = refused(text, pure)
    assert [one for one in mistakes if one.span.label() == label and says in one.message], [
        (one.span.label(), one.message) for one in mistakes
    ]
    assert all(one.remedy and "\n" not in one.message + one.remedy for one in mistakes)


def test_all_at_once() -> None:
    text = "a: &x {b: *x}\na: 2\n1: 3\nc: 010\n<<: {d: 1}\n"
    assert [one.span.label() for one in refused(text)] == [
        "plan:1:4", "plan:1:11", "plan:2:1", "plan:3:1", "plan:4:4", "plan:5:1",
    ]  # fmt: skip


def test_what_came_before_a_fault_of_syntax_is_told_too() -> None:
    labels = [one.span.label() for one in refused("a: *x\nb: [1\n")]
    assert labels == ["plan:1:4", "plan:3:1"]


@pytest.mark.parametrize("pure", [False, True])
@pytest.mark.parametrize("opening", ["[", "{a: ", "- "])
def test_depth_is_bounded_both_ways(opening: str, pure: bool) -> None:
    """At the limit it is read; one deeper, and 20 000 deeper, it is refused without delay."""
    closing = {"[": "]", "{a: ": "}", "- ": ""}[opening]
    inner = MAX_DEPTH - 1
    fine = "a:\n " + opening * inner + "x" + closing * inner + "\n"
    assert refused(fine, pure) == ()
    for more in (1, 20_000):
        deep = "a:\n " + opening * (inner + more) + "x" + closing * (inner + more) + "\n"
        (mistake,) = refused(deep, pure)
        assert "nested more than 40 deep" in mistake.message


def from_bytes(tmp_path: Path, data: bytes) -> tuple[str, str]:
    file = tmp_path / "kiln.heater.yaml"
    file.write_bytes(data)
    with pytest.raises(BuildFileError) as refusal:
        read_plan(str(file), "kiln.heater.yaml")
    (mistake,) = refusal.value.mistakes
    assert isinstance(mistake, Mistake) and mistake.remedy
    return mistake.span.label(), mistake.message


@pytest.mark.parametrize(
    ("data", "place", "says"),
    [
        (b"a: 1\nb: \xe9\n", "2:4", "0xe9 here is not UTF-8"),
        (b"\xef\xbb\xbfa: \xff\n", "1:4", "0xff here is not UTF-8"),
        ("a: 1\n".encode("utf-16"), "1:1", "UTF-16"),
        (b"a: \x00\n", "1:4", "U+0000"),
        (b"a: 1\nb: \x07\n", "2:4", "U+0007"),
        ("a: x\u2028y\n".encode(), "1:5", "U+2028"),
        ("a: x\u0085y\n".encode(), "1:5", "U+0085"),
        ("a: x\ufeffy\n".encode(), "1:5", "U+FEFF"),
        ("a: x\u202ey\n".encode(), "1:5", "U+202E"),
        ("a: x\u2067y\n".encode(), "1:5", "U+2067"),
        ("a: x\u200by\n".encode(), "1:5", "U+200B"),
        ("a: x\U000e0041y\n".encode(), "1:5", "U+E0041"),
        (b"a: 1\rb: 2\n", "1:5", "carriage return"),
        (b"# " + b"x" * MAX_BYTES, "1:1", "larger than"),
        (b"", "1:1", "holds no plan"),
        (b"\xef\xbb\xbf", "1:1", "holds no plan"),
        (b"\x89PNG\r\n\x1a\n", "1:1", "0x89 here is not UTF-8"),
    ],
)
def test_bytes_that_are_no_text(tmp_path: Path, data: bytes, place: str, says: str) -> None:
    label, message = from_bytes(tmp_path, data)
    assert label == f"kiln.heater.yaml:{place}"
    assert says in message


def test_a_file_of_the_largest_size_is_read(tmp_path: Path) -> None:
    file = tmp_path / "kiln.heater.yaml"
    file.write_bytes(b"a: 1\n#" + b"x" * (MAX_BYTES - 6))
    assert read_plan(str(file)).tree == {"a": 1}


def test_many_unreadable_signs_are_listed_up_to_a_limit(tmp_path: Path) -> None:
    file = tmp_path / "kiln.heater.yaml"
    file.write_bytes(b"a: \x00\nb: \x01\n" + b"\x02" * 500)
    with pytest.raises(BuildFileError) as refusal:
        read_plan(str(file))
    assert len(refusal.value.mistakes) == 20


def test_what_cannot_be_opened(tmp_path: Path) -> None:
    for path, says in (
        (str(tmp_path / "none.heater.yaml"), "no such file"),
        (str(tmp_path), "folder"),
        ("kiln\x00.heater.yaml", "cannot be opened"),
    ):
        with pytest.raises(BuildFileError) as refusal:
            read_plan(path, "plan")
        (mistake,) = refusal.value.mistakes
        assert isinstance(mistake, Mistake)
        assert says in mistake.message and mistake.span.label() == "plan:1:1"


def test_half_a_character_is_refused_by_both_parsers() -> None:
    for pure in (False, True):
        assert refused('a: "\\ud800"\n', pure)
