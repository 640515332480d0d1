"""What every scanner keeps while it walks a text: the tree, the places, the mistakes."""

from __future__ import annotations

from bisect import bisect_right
from typing import Any

from stovelint.place import MOST_MISTAKES, Mistake, Path
from stovelint.quantity.numbers import shown
from stovelint.source.record import Point, Raw, span_of
from stovelint.source.text import halves_out, unseen

MAX_DEPTH = 40
"""Deepest nesting that is read, in every format; a plan needs 8."""

MOST_VALUES = 100_000
"""Values of one file, records and lists included; the largest plan that the schema allows has half
as many."""
TOO_MANY = (
    f"the file holds more than {MOST_VALUES} values",
    "check that this is the right file: a plan has some hundred",
)


class Stop(Exception):
    """Reading cannot go on; the mistake is already noted."""


class Scan:
    """A text under a scanner's eyes.

    `raw` holds the places by path; `root` the tree, or None where there is none to go on with.
    """

    def __init__(self, text: str, file: str) -> None:
        self.text = text
        self.file = file
        self.raw: dict[Path, Raw] = {}
        self.mistakes: list[Mistake] = []
        self.root: Any = None
        self.values = 0
        self._begins = [0]
        at = text.find("\n")
        while at >= 0:
            self._begins.append(at + 1)
            at = text.find("\n", at + 1)

    def point(self, offset: int) -> Point:
        """Line, column, offset; as `record.point_at`, without counting anew each time."""
        line = bisect_right(self._begins, offset) - 1
        return line, offset - self._begins[line], offset

    def note(self, start: int, end: int, path: Path, message: str, remedy: str) -> None:
        """A mistake between two offsets; with too many of them, reading ends."""
        span = span_of(self.file, self.point(start), self.point(end))
        self.mistakes.append(Mistake(span=span, path=path, message=message, remedy=remedy))
        if self.full:
            raise Stop

    @property
    def full(self) -> bool:
        """Whether there are more mistakes, or values, than anyone reads in one go."""
        return len(self.mistakes) > 2 * MOST_MISTAKES or self.values > MOST_VALUES

    def stop(self, start: int, path: Path, message: str, remedy: str, end: int = -1) -> Stop:
        """Note a mistake (of one character, if nothing is said) after which nothing makes sense."""
        if end < 0:
            end = start + (self.text[start : start + 1] not in ("", "\r", "\n"))
        self.note(start, end, path, message, remedy)
        return Stop()

    def counted(self, start: int, path: Path) -> None:
        """Count one more value, which begins at `start`."""
        self.values += 1
        if self.values > MOST_VALUES:
            raise self.stop(start, path, *TOO_MANY)

    def too_deep(self, start: int, path: Path) -> Stop:
        """The refusal of a bracket, brace or key that leads too deep."""
        message = f"things are nested more than {MAX_DEPTH} deep"
        return self.stop(start, path, message, "take brackets and braces out")

    def given_twice(self, start: int, end: int, path: Path, key: str, line: int) -> None:
        """A key that was already given; `line` counts from 0."""
        message = f"key `{shown(key)}` was already given in line {line + 1}"
        self.note(start, end, path, message, "keep one of the two")

    def look_at(self, start: int, end: int, path: Path, text: str, *, key: bool = False) -> str:
        """Note what no text, or no key, may hold; the text as later floors can take it."""
        if key and "\n" in text:
            self.note(start, end, path, "this key runs over several lines", "write it on one line")
            return halves_out(text)
        if unseen(text):
            self.note(
                start, end, path,
                "an escape stands for a sign that cannot be seen", "write the text without it",
            )  # fmt: skip
            return halves_out(text)
        return text


def plain_tree(tree: object) -> bool:
    """Whether a library's tree holds only what needs no second look: no text that cannot be seen,
    no key over several lines, no whole number too long, no date, no nesting too deep; and not too
    many values.

    >>> plain_tree({"title": "Kiln Cottage"}), plain_tree({"title": chr(27)})
    (True, False)
    """
    ahead: list[tuple[object, int]] = [(tree, 1)]
    values = 0
    while ahead:
        node, depth = ahead.pop()
        values += 1
        if isinstance(node, str):
            if unseen(node):
                return False
        elif isinstance(node, dict):
            if depth > MAX_DEPTH:
                return False
            for key, inner in node.items():
                if "\n" in key or unseen(key):
                    return False
                ahead.append((inner, depth + 1))
        elif isinstance(node, list):
            if depth > MAX_DEPTH:
                return False
            ahead.extend((inner, depth + 1) for inner in node)
        elif isinstance(node, int):
            if not -(10**13) < node < 10**13:
                return False
        elif node is not None and not isinstance(node, float):
            return False
    return values <= MOST_VALUES
