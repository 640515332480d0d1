"""Where everything stands in a TOML text, and every mistake of it; without recursion.

Only text that something must be located in is scanned: the data of a good file comes from the
library.
"""

from __future__ import annotations

from typing import Any

from stovelint.place import Path
from stovelint.source.record import Point
from stovelint.source.scan import MAX_DEPTH, Scan, Stop
from stovelint.source.toml_tables import INLINE, Record, Tables
from stovelint.source.toml_text import BLANK, GAPS, Part

Place = tuple[Record, Part | None]
"""Where a value goes: a record and a key (none: passed over), or a list."""


class _Scanner(Tables):
    def __init__(self, text: str, file: str) -> None:
        super().__init__(text, file)
        self.sound = True

    def read(self) -> None:
        self.skip(GAPS)
        self.top.start = self.top.end = self.at
        while self.at < len(self.text):
            begun = self.at
            try:
                self.statement()
            except Stop:
                # The next line is read all the same, so that all mistakes are told at once.
                self.sound = False
                if self.full or self.text.find("\n", begun, self.at) >= 0:
                    break  # or something that goes over several lines is open
                over = self.text.find("\n", self.at)
                self.at = len(self.text) if over < 0 else over
            self.skip(GAPS)
        if self.sound:
            self.root = self.top.node
        for record in self.all:
            if record.live:
                key = record.key_at
                keys = (None, None) if key is None else (self.point(key[0]), self.point(key[1]))
                self.raw[record.path] = (*keys, self.point(record.start), self.point(record.end))

    def statement(self) -> None:
        if self.text.startswith("[", self.at):
            self.header()
        else:
            self.entry(self.here)
        self.skip(BLANK)
        sign = self.text[self.at : self.at + 1]
        if sign and sign not in "\r\n#":
            raise self.stop(
                self.at, self.here.path, "something follows where the line should end",
                "put each key on a line of its own, and text in double quotes",
            )  # fmt: skip

    def entry(self, record: Record) -> None:
        """`key = value`."""
        start = self.at
        parts = self.key_parts(record.path)
        place = self.slot(record, parts, start)
        self.value(place)

    def value(self, place: Place) -> None:
        """Read a value, and whatever is nested in it, into its place."""
        open_ones: list[tuple[Record, Place]] = []
        while True:
            start = self.at
            owner, part = place
            path = self.path_of(place)
            self.counted(start, path)
            sign = self.text[start : start + 1]
            if sign and sign in "[{":
                if len(path) >= MAX_DEPTH:
                    raise self.too_deep(start, path)
                nested = Record([] if sign == "[" else {}, path, INLINE, start, None)
                nested.live = owner.live and (part is not None or isinstance(owner.node, list))
                open_ones.append((nested, place))
                self.at += 1
            else:
                value = self.quoted(path) if sign and sign in "\"'" else self.bare(path)
                if isinstance(value, str):
                    self.look_at(start, self.at, path, value)
                self.filed(place, value, start, None)
            following = self.following(open_ones)
            if following is None:
                return
            place = following

    def following(
        self, open_ones: list[tuple[Record, Place]]
    ) -> Place | None:
        """Close what ends here, and the place of the next value; None: all is closed."""
        while open_ones:
            nested, place = open_ones[-1]
            listed = isinstance(nested.node, list)
            close = "]" if listed else "}"
            first = self.text[self.at - 1 : self.at] in ("[", "{") and self.at == nested.start + 1
            self.skip(GAPS)
            if not first and not self.text.startswith(close, self.at):
                if not self.text.startswith(",", self.at):
                    raise self.not_closed(nested, "[" if listed else "{", close)
                self.at += 1
                self.skip(GAPS)
            if self.text.startswith(close, self.at):
                self.at += 1
                open_ones.pop()
                self.filed(place, nested.node, nested.start, nested)
                continue
            if self.at >= len(self.text):
                raise self.not_closed(nested, "[" if listed else "{", close)
            if listed:
                return nested, None
            start = self.at
            return self.slot(nested, self.key_parts(nested.path), start)
        return None

    def not_closed(self, nested: Record, opened: str, close: str) -> Stop:
        if self.at >= len(self.text):
            line = self.point(nested.start)[0] + 1
            message = f"the file ends before the `{opened}` of line {line} is closed"
            return self.stop(self.at, nested.path, message, f"close it with `{close}`")
        return self.stop(
            self.at, nested.path, f"`,` or `{close}` belongs here",
            "put a comma between the entries, and text in double quotes",
        )  # fmt: skip

    def path_of(self, place: Place) -> Path:
        owner, part = place
        if isinstance(owner.node, list):
            return (*owner.path, len(owner.node))
        return owner.path if part is None else (*owner.path, part[0])

    def filed(
        self, place: Place, value: Any, start: int, nested: Record | None
    ) -> None:
        owner, part = place
        path = self.path_of(place)
        end = self.at
        keys: tuple[Point | None, Point | None] = (None, None)
        if isinstance(owner.node, list):
            owner.node.append(value)
        elif part is None:
            return
        else:
            owner.node[part[0]] = value
            owner.lines[part[0]] = self.point(part[1])[0]
            keys = self.point(part[1]), self.point(part[2])
        self.stretch(owner, end)
        if owner.live:
            self.raw[path] = (*keys, self.point(start), self.point(end))


def scan_toml(text: str, file: str) -> Scan:
    """Tree, places and mistakes of a TOML text.

    >>> found = scan_toml('title = "Kiln Cottage"', "kiln.heater.toml")
    >>> found.root, found.raw[("title",)][2]
    ({'title': 'Kiln Cottage'}, (0, 8, 8))
    """
    scanner = _Scanner(text, file)
    scanner.read()
    return scanner
