"""What a read build file is: its text, its plain tree, and where each thing stands."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from stovelint.place import Entry, Mark, Mistake, Path, Places, Span

Tree = dict[str, Any]
"""Maps, lists, text, whole and decimal numbers, booleans and None; every key is text."""

Point = tuple[int, int, int]
"""Line, column, offset: a `Mark` before it is worth building one."""

Raw = tuple[Point | None, Point | None, Point, Point]
"""Start and end of the key (None: no key), start and end of the value."""


class LazyEntries(Mapping[Path, Entry]):
    """Positions kept as plain numbers; records are built only for what is asked.

    A clean plan asks for few of its places, so building them all would cost more than parsing.
    Where the parser gives no positions at all, `raw` is what finds them, called at the first
    look-up.
    """

    __slots__ = ("_file", "_given")

    def __init__(self, file: str, raw: dict[Path, Raw] | Callable[[], dict[Path, Raw]]) -> None:
        self._file = file
        self._given = raw

    @property
    def _raw(self) -> dict[Path, Raw]:
        if not isinstance(self._given, dict):
            self._given = self._given()
            # Look-ups walk up until they find something, so that there must be a root.
            self._given.setdefault((), (None, None, (0, 0, 0), (0, 0, 0)))
        return self._given

    def __getitem__(self, path: Path) -> Entry:
        key_start, key_end, start, end = self._raw[path]
        key = None
        if key_start is not None and key_end is not None:
            key = span_of(self._file, key_start, key_end)
        return Entry(key=key, value=span_of(self._file, start, end))

    def __contains__(self, path: object) -> bool:
        return path in self._raw

    def __iter__(self) -> Iterator[Path]:
        return iter(self._raw)

    def __len__(self) -> int:
        return len(self._raw)


@dataclass(frozen=True, kw_only=True, slots=True)
class Source:
    """One build file as it was read.

    `text` is what the offsets of `places` count in: without the byte order mark (`bom` says
    whether there was one) and with the line breaks of the file. `mistakes` are those that did
    not stop the reading (a key given twice, an alias); a plan with any of them is refused, but
    only after the later floors have added theirs.
    """

    file: str
    text: str
    bom: bool
    tree: Tree
    places: Places
    mistakes: tuple[Mistake, ...] = ()
    path: str = ""
    """From where it was read; empty: from memory."""
    data: bytes = b""
    """What was read there."""
    chain: tuple[Source, ...] = ()
    """Of a plan with `based_on`: each file as it stands by itself, the plan first and then base
    after base. `tree` and `places` are then those of all of them merged, `text` is the plan's."""

    @property
    def files(self) -> tuple[tuple[str, bytes], ...]:
        """Path and content of every file that was read for the plan, its own first."""
        return tuple((one.path, one.data) for one in self.chain or (self,))


def span_of(file: str, start: Point, end: Point) -> Span:
    """The span between two points of `file`."""
    return Span(
        file=file,
        start=Mark(line=start[0], column=start[1], offset=start[2]),
        end=Mark(line=end[0], column=end[1], offset=end[2]),
    )


def point_at(text: str, offset: int) -> Point:
    """Line, column and offset of a character offset; breaks are LF (CRLF holds one LF).

    >>> point_at("a: 1\\r\\nb: 2", 9)
    (1, 3, 9)
    """
    line = text.count("\n", 0, offset)
    return line, offset - (text.rfind("\n", 0, offset) + 1), offset
