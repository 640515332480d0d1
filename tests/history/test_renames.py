"""Which file that is gone stands now under another name."""

from __future__ import annotations

from collections import Counter

import pytest

from stovelint.history import renames
from stovelint.history.renames import renamed

LINES = [f"line number {number:03}\n".encode() for number in range(20)]


def text(*numbers: int) -> bytes:
    return b"".join(LINES[number] for number in numbers)


def test_the_same_content_under_another_name() -> None:
    old = {"a": text(1, 2), "b": text(3, 4)}
    assert renamed({"y": text(3, 4), "x": text(1, 2)}, ["a", "b"], old.get) == {"x": "a", "y": "b"}


def test_one_old_file_is_given_once() -> None:
    old = {"a": text(1, 2, 3, 4)}
    now = {"x": text(1, 2, 3, 4), "y": text(1, 2, 3, 4)}
    assert renamed(now, ["a"], old.get) == {"x": "a"}


@pytest.mark.parametrize(("kept", "same"), [(4, False), (5, True), (6, True)])
def test_half_of_the_lines_make_it_the_same(kept: int, same: bool) -> None:
    old = {"a": text(*range(10))}
    now = {"x": text(*range(kept), *range(10, 20 - kept))}
    assert renamed(now, ["a"], old.get) == ({"x": "a"} if same else {})


def test_the_nearest_wins_and_order_does_not_matter() -> None:
    old = {"a": text(*range(10)), "b": text(*range(2, 12))}
    now = {"x": text(*range(2, 11)), "y": text(*range(1, 10))}
    found = renamed(now, ["a", "b"], old.get)
    assert found == {"x": "b", "y": "a"}
    assert found == renamed(dict(reversed(now.items())), ["b", "a"], old.get)


def test_only_line_ends_changed() -> None:
    old = {"a": text(1, 2, 3)}
    assert renamed({"x": old["a"].replace(b"\n", b"\r\n")}, ["a"], old.get) == {"x": "a"}


def test_what_cannot_be_had_and_what_is_empty_is_no_match() -> None:
    assert renamed({"x": b"", "y": text(1)}, ["a", "b"], {"a": b""}.get) == {}


def test_beyond_many_pairs_only_the_very_same(monkeypatch: pytest.MonkeyPatch) -> None:
    old = {"a": text(1, 2, 3), "b": text(4, 5, 6)}
    now = {"x": text(1, 2, 3), "y": text(4, 5, 7)}
    assert renamed(now, ["a", "b"], old.get) == {"x": "a", "y": "b"}
    monkeypatch.setattr(renames, "MOST_PAIRS", 0)
    assert renamed(now, ["a", "b"], old.get) == {"x": "a"}


def test_no_line_is_looked_at_of_what_is_far_too_long(monkeypatch: pytest.MonkeyPatch) -> None:
    """Files of many lines, put beside many that are gone, would take minutes."""

    class Unmatched(Counter[bytes]):
        def __and__(self, other: Counter[bytes]) -> Counter[bytes]:
            raise AssertionError("lines were matched")

    monkeypatch.setattr(renames, "Counter", Unmatched)
    assert renamed({"x": text(*range(20))}, ["a"], {"a": text(*range(9))}.get) == {}
    with pytest.raises(AssertionError, match="lines were matched"):
        renamed({"x": text(*range(18))}, ["a"], {"a": text(*range(9))}.get)
