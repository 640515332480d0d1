"""The tables of a TOML text: which record a header or a dotted key means, and which are taken.

Source: TOML 1.1, "Table" and "Array of Tables". A table reaches from where it is first named to the
end of the last value in it; its key is the part of the header, or of the dotted key, that names it.
"""

from __future__ import annotations

import re
from typing import Any

from stovelint.place import Path
from stovelint.source.scan import MAX_DEPTH
from stovelint.source.toml_text import BLANK, Part, Tokens

_ENTRY = re.compile(r"^[ \t]*[A-Za-z0-9_.\"'-]+[ \t]*=", re.MULTILINE)
"""A line that can only be meant as TOML."""
IMPLIED, HEADED, DOTTED, INLINE = "implied", "headed", "dotted", "inline"
"""How a record came to be: named on the way to another, by a header, by a dotted key, in braces."""


class Record:
    """One record, or one list (`node` is then a list) with the records that headers appended."""

    __slots__ = (
        "end", "inner", "key_at", "kind", "lines", "live", "node", "outer", "path", "start"
    )  # fmt: skip

    def __init__(
        self, node: Any, path: Path, kind: str, start: int, outer: Record | None
    ) -> None:
        self.node = node
        self.path = path
        self.kind = kind
        self.key_at: tuple[int, int] | None = None
        self.start = start
        self.end = start
        self.outer = outer
        self.live = True
        self.inner: dict[str, Record] = {}
        self.lines: dict[str, int] = {}
        """The line of every key, from 0."""


class Tables(Tokens):
    """A TOML text and the records that were named in it so far; `here` is the one being filled."""

    def __init__(self, text: str, file: str) -> None:
        super().__init__(text, file)
        self.top = Record({}, (), HEADED, 0, None)
        self.here = self.top
        self.all = [self.top]

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

    def lost(self) -> Record:
        """A record that leads nowhere, for what stands under a header that was refused."""
        record = Record({}, (), HEADED, self.at, None)
        record.live = False
        return record

    def made(self, outer: Record, part: Part, kind: str, start: int) -> Record:
        """A new record under a key that is free."""
        key, key_start, key_end = part
        if len(outer.path) + 1 >= MAX_DEPTH:
            raise self.too_deep(key_start, outer.path)
        self.counted(key_start, outer.path)
        record = Record({}, (*outer.path, key), kind, start, outer)
        record.key_at = (key_start, key_end)
        record.live = outer.live
        outer.node[key] = record.node
        outer.inner[key] = record
        outer.lines[key] = self.point(key_start)[0]
        self.all.append(record)
        return record

    def taken(self, outer: Record, part: Part) -> None:
        key, start, end = part
        self.given_twice(start, end, (*outer.path, key), key, outer.lines[key])

    def descend(self, outer: Record, part: Part, start: int) -> Record | None:
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

    def opened(self, outer: Record, part: Part, start: int) -> Record | None:
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

    def appended(self, outer: Record, part: Part, start: int) -> Record | None:
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
        item = Record({}, (*listed.path, place), HEADED, start, listed)
        item.live = listed.live
        listed.node.append(item.node)
        listed.inner = {str(place): item}
        self.all.append(item)
        return item

    def stretch(self, record: Record, end: int) -> None:
        """Whatever holds a value reaches to its end."""
        inside: Record | None = record
        while inside is not None:
            inside.end = end
            inside = inside.outer

    def slot(self, record: Record, parts: list[Part], start: int) -> tuple[Record, Part | None]:
        """Read the `=`; the record and key that the value goes to (no key: it is passed over)."""
        if not self.text.startswith("=", self.at):
            path = (*record.path, *(part[0] for part in parts))
            if not self.mistakes and self.text.startswith(":", self.at):
                if _ENTRY.search(self.text) is None:
                    at, self.at = self.at, len(self.text)  # else every line would be told
                    raise self.stop(
                        at, path, "this is not TOML: `:` stands for `=` throughout",
                        "write `key = value`, or let the name of YAML end in .yaml",
                    )  # fmt: skip
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
