"""Where everything stands in a TOML text, and every mistake of it; without recursion.

Source: TOML 1.1. Only text that something must be located in is scanned: the data of a good file
comes from the library. A table reaches from where it is first named to the end of the last value
in it; its key is the part of the header, or of the dotted key, that names it.
"""

from __future__ import annotations

from typing import Any

from stovelint.place import Path
from stovelint.source.record import Point
from stovelint.source.scan import MAX_DEPTH, Scan, Stop
from stovelint.source.toml_text import BLANK, GAPS, Part, Tokens

IMPLIED, HEADED, DOTTED, INLINE = "implied", "headed", "dotted", "inline"
"""How a record came to be: named on the way to another, by a header, by a dotted key, in braces."""


class _Record:
    """One record, or one list (`node` is then a list) with the records that headers appended."""

    __slots__ = (
        "end", "inner", "key_at", "kind", "lines", "live", "node", "outer", "path", "start"
    )  # fmt: skip

    def __init__(
        self, node: Any, path: Path, kind: str, start: int, outer: _Record | None
    ) -> None:
        self.node = node
        self.path = path
        self.kind = kind
        self.key_at: tuple[int, int] | None = None
        self.start = start
        self.end = start
        self.outer = outer
        self.live = True
        self.inner: dict[str, _Record] = {}
        self.lines: dict[str, int] = {}
        """The line of every key, from 0."""


class _Scanner(Tokens):
    def __init__(self, text: str, file: str) -> None:
        super().__init__(text, file)
        self.top = _Record({}, (), HEADED, 0, None)
        self.here = self.top
        self.all = [self.top]
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

    def header(self) -> None:
        start = self.at
        listed = self.text.startswith("[[", start)
        close = "]]" if listed else "]"
        self.at += len(close)
        self.here = self.lost()
        parts = self.key_parts(())
        if not self.text.startswith(close, self.at):
            path = tuple(part[0] for part in parts)
            raise self.stop(self.at, path, "the header is not closed", f"close it with `{close}`")
        self.at += len(close)
        outer = self.top
        for part in parts[:-1]:
            inner = self.descend(outer, part, start)
            if inner is None:
                return
            outer = inner
        name = self.appended if listed else self.opened
        made = name(outer, parts[-1], start)
        if made is not None:
            self.here = made
            self.stretch(made, self.at)

    def lost(self) -> _Record:
        """A record that leads nowhere, for what stands under a header that was refused."""
        record = _Record({}, (), HEADED, self.at, None)
        record.live = False
        return record

    def made(self, outer: _Record, part: Part, kind: str, start: int) -> _Record:
        """A new record under a key that is free."""
        key, key_start, key_end = part
        if len(outer.path) + 1 >= MAX_DEPTH:
            raise self.too_deep(key_start, outer.path)
        self.counted(key_start, outer.path)
        record = _Record({}, (*outer.path, key), kind, start, outer)
        record.key_at = (key_start, key_end)
        record.live = outer.live
        outer.node[key] = record.node
        outer.inner[key] = record
        outer.lines[key] = self.point(key_start)[0]
        self.all.append(record)
        return record

    def taken(self, outer: _Record, part: Part) -> None:
        key, start, end = part
        self.given_twice(start, end, (*outer.path, key), key, outer.lines[key])

    def descend(self, outer: _Record, part: Part, start: int) -> _Record | None:
        """The record that a header names on its way; of a list of records the last one."""
        if part[0] not in outer.lines:
            return self.made(outer, part, IMPLIED, start)
        inner = outer.inner.get(part[0])
        if inner is None or inner.kind == INLINE:
            self.taken(outer, part)
            return None
        if isinstance(inner.node, list):
            return inner.inner[str(len(inner.node) - 1)]
        return inner

    def opened(self, outer: _Record, part: Part, start: int) -> _Record | None:
        """`[a.b]`."""
        if part[0] not in outer.lines:
            return self.made(outer, part, HEADED, start)
        inner = outer.inner.get(part[0])
        if inner is None or inner.kind != IMPLIED:
            self.taken(outer, part)
            return None
        inner.kind = HEADED
        inner.key_at = part[1:]
        outer.lines[part[0]] = self.point(part[1])[0]
        return inner

    def appended(self, outer: _Record, part: Part, start: int) -> _Record | None:
        """`[[a.b]]`."""
        if part[0] not in outer.lines:
            listed = self.made(outer, part, HEADED, start)
            listed.node = outer.node[part[0]] = []
        else:
            found = outer.inner.get(part[0])
            if found is None or not isinstance(found.node, list):
                self.taken(outer, part)
                return None
            listed = found
        place = len(listed.node)
        if len(listed.path) + 1 >= MAX_DEPTH:
            raise self.too_deep(part[1], listed.path)
        self.counted(part[1], listed.path)
        item = _Record({}, (*listed.path, place), HEADED, start, listed)
        item.live = listed.live
        listed.node.append(item.node)
        listed.inner = {str(place): item}
        self.all.append(item)
        return item

    def stretch(self, record: _Record, end: int) -> None:
        """Whatever holds a value reaches to its end."""
        inside: _Record | None = record
        while inside is not None:
            inside.end = max(inside.end, end)
            inside = inside.outer

    def entry(self, record: _Record) -> None:
        """`key = value`."""
        start = self.at
        parts = self.key_parts(record.path)
        place = self.slot(record, parts, start)
        self.value(place)

    def slot(self, record: _Record, parts: list[Part], start: int) -> tuple[_Record, Part | None]:
        """Read the `=`; the record and key that the value goes to (no key: it is passed over)."""
        if not self.text.startswith("=", self.at):
            path = (*record.path, *(part[0] for part in parts))
            raise self.stop(self.at, path, "`=` is missing after the key", "write `key = value`")
        self.at += 1
        self.skip(BLANK)
        outer = record
        for part in parts[:-1]:
            if part[0] not in outer.lines:
                outer = self.made(outer, part, DOTTED, start)
                continue
            inner = outer.inner.get(part[0])
            if inner is None or inner.kind not in (DOTTED, IMPLIED) or isinstance(inner.node, list):
                self.taken(outer, part)
                return outer, None
            inner.kind = DOTTED
            outer = inner
        if parts[-1][0] in outer.lines:
            self.taken(outer, parts[-1])
            return outer, None
        return outer, parts[-1]

    def value(self, place: tuple[_Record, Part | None]) -> None:
        """Read a value, and whatever is nested in it, into its place."""
        open_ones: list[tuple[_Record, tuple[_Record, Part | None]]] = []
        while True:
            start = self.at
            owner, part = place
            path = self.path_of(place)
            self.counted(start, path)
            sign = self.text[start : start + 1]
            if sign and sign in "[{":
                if len(path) >= MAX_DEPTH:
                    raise self.too_deep(start, path)
                nested = _Record([] if sign == "[" else {}, path, INLINE, start, None)
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
        self, open_ones: list[tuple[_Record, tuple[_Record, Part | None]]]
    ) -> tuple[_Record, Part | None] | None:
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

    def not_closed(self, nested: _Record, opened: str, close: str) -> Stop:
        if self.at >= len(self.text):
            line = self.point(nested.start)[0] + 1
            message = f"the file ends before the `{opened}` of line {line} is closed"
            return self.stop(self.at, nested.path, message, f"close it with `{close}`")
        return self.stop(
            self.at, nested.path, f"`,` or `{close}` belongs here",
            "put a comma between the entries, and text in double quotes",
        )  # fmt: skip

    def path_of(self, place: tuple[_Record, Part | None]) -> Path:
        owner, part = place
        if isinstance(owner.node, list):
            return (*owner.path, len(owner.node))
        return owner.path if part is None else (*owner.path, part[0])

    def filed(
        self, place: tuple[_Record, Part | None], value: Any, start: int, nested: _Record | None
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
