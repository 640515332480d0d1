"""Where everything stands in a JSON text, and every mistake of it; without recursion.

Source: RFC 8259. Only text that something must be located in is scanned: the data of a good file
comes from the library.
"""

from __future__ import annotations

import re
from typing import Any

from stovelint.place import Path
from stovelint.quantity.numbers import shown
from stovelint.source.record import Point
from stovelint.source.scalars import OddNumber, odd, plain
from stovelint.source.scan import MAX_DEPTH, Scan, Stop
from stovelint.source.text import halves_out

_BLANK = re.compile(r"[ \t\r\n]*")
_TEXT = re.compile(r'"[^"\\\n]*(?:\\[^\n][^"\\\n]*)*"')
_RUN = re.compile(r'[^\s,:\[\]{}"]+')
_MORE = re.compile(r"[ \t]+[^\s,:\[\]{}\"#/][^,\]}\n]*")
"""What goes on in the line after a bare value: `60 mm`."""
_NUMBER = re.compile(r"-?(?:0|[1-9][0-9]*)(?:\.[0-9]+)?(?:[eE][-+]?[0-9]+)?")
_LIKE_NUMBER = re.compile(r"[-+.]?[0-9][0-9A-Za-z_.+-]*")
_NO_NUMBER = frozenset(("NaN", "Infinity", "-Infinity"))
_WORDS: dict[str, bool | None] = {"true": True, "false": False, "null": None}
_ESCAPE = re.compile(r"\\(u[0-9a-fA-F]{4}|[^\n])")
_SIGNS = {'"': '"', "\\": "\\", "/": "/", "b": "\b", "f": "\f", "n": "\n", "r": "\r", "t": "\t"}
_COMMENTS = ("//", "/*", "#")


class _Level:
    """One record or list that is still open; `live`: its places are kept."""

    __slots__ = ("key", "key_at", "live", "node", "path", "seen", "start")

    def __init__(self, node: Any, path: Path, start: int, live: bool) -> None:
        self.node = node
        self.path = path
        self.start = start
        self.live = live
        self.key = ""
        self.key_at: tuple[Point, Point] | None = None
        self.seen: dict[str, int] = {}


class _Scanner(Scan):
    def __init__(self, text: str, file: str) -> None:
        super().__init__(text, file)
        self.levels: list[_Level] = []
        self.at = 0

    def path(self) -> Path:
        """Of what is being read."""
        if not self.levels:
            return ()
        top = self.levels[-1]
        return top.path if top.key_at is None else (*top.path, top.key)

    def read(self) -> None:
        try:
            self.blank()
            self.value_or_open()
            while self.levels:
                self.blank()
                self.step()
            self.blank()
            if self.at < len(self.text):
                raise self.stop(
                    self.at, (), "nothing can follow the end of the plan",
                    "keep one plan in a file: check braces, and what stands after the last one",
                )  # fmt: skip
        except Stop:
            self.root = None

    def blank(self) -> None:
        hit = _BLANK.match(self.text, self.at)
        self.at = self.at if hit is None else hit.end()

    def sign(self) -> str:
        """The sign ahead; empty at the end of the text."""
        sign = self.text[self.at : self.at + 1]
        if sign and self.text.startswith(_COMMENTS, self.at):
            raise self.stop(
                self.at, self.path(), "a comment begins here, and JSON has none",
                "delete it, say it under `notes`, or keep the plan as YAML or TOML",
            )  # fmt: skip
        return sign

    def step(self) -> None:
        """One entry of the record or list on top, or its end."""
        top = self.levels[-1]
        listed = isinstance(top.node, list)
        close = "]" if listed else "}"
        sign = self.sign()
        first = not top.node and not top.seen
        if sign == close:
            self.at += 1
            self.levels.pop()
            self.filed(top.node, top.start, self.at)
            return
        if not first:
            if sign != ",":
                raise self.no_comma(top, sign, close)
            comma = self.at
            self.at += 1
            self.blank()
            if self.sign() == close:
                message = f"a comma stands before the closing `{close}`"
                raise self.stop(comma, top.path, message, "delete the comma")
        if not listed:
            self.key(top)
        self.value_or_open()

    def no_comma(self, top: _Level, sign: str, close: str) -> Stop:
        opened = "[" if close == "]" else "{"
        if not sign:
            line = self.point(top.start)[0] + 1
            message = f"the file ends before the `{opened}` of line {line} is closed"
            return self.stop(self.at, top.path, message, f"close it with `{close}`")
        if sign in "]}":
            message = f"`{sign}` stands where the `{opened}` before it is still open"
            remedy = f"close with `{close}` what `{opened}` opened"
            return self.stop(self.at, top.path, message, remedy)
        message = "a comma is missing before this"
        return self.stop(self.at, top.path, message, "put a comma after the entry before")

    def key(self, top: _Level) -> None:
        start = self.at
        sign = self.sign()
        if not sign:
            raise self.no_comma(top, sign, "}")
        if sign != '"':
            raise self.stop(
                start, top.path, "a key in double quotes belongs here",
                'write keys as "title": with the quotes',
            )  # fmt: skip
        top.key_at = None
        text, end = self.quoted()
        key = self.look_at(start, end, (*top.path, halves_out(text)), text, key=True)
        top.key = key
        top.key_at = (self.point(start), self.point(end))
        path = (*top.path, key)
        if key in top.seen:
            self.given_twice(start, end, path, key, top.seen[key])
        self.blank()
        if self.sign() != ":":
            raise self.stop(self.at, path, "a colon is missing after the key", "put `:` here")
        self.at += 1
        self.blank()

    def value_or_open(self) -> None:
        start, sign = self.at, self.sign()
        path = self.path()
        self.counted(start, path)
        if sign in ("{", "["):
            if len(self.levels) == MAX_DEPTH:
                raise self.too_deep(start, path)
            live = True
            if self.levels:
                top = self.levels[-1]
                if isinstance(top.node, list):
                    path = (*top.path, len(top.node))
                live = top.live and (top.key_at is None or top.key not in top.seen)
            node: Any = {} if sign == "{" else []
            self.levels.append(_Level(node, path, start, live))
            self.at += 1
        elif sign == '"':
            text, end = self.quoted()
            self.filed(self.look_at(start, end, path, text), start, end)
        else:
            self.bare(start, sign, path)

    def bare(self, start: int, sign: str, path: Path) -> None:
        """A number or a word."""
        hit = _RUN.match(self.text, start)
        if hit is None:
            message = "a value is missing here"
            if not sign:
                message = "the file ends where a value belongs"
            raise self.stop(
                start, path, message, "write text in double quotes, a number, true or false"
            )
        word = hit.group()
        self.at = hit.end()
        more = _MORE.match(self.text, self.at)
        if more is not None:
            word += more.group().rstrip()
            self.at = start
            raise self.stop(
                start, path, f"`{shown(word)}` has no quotes around it",
                "put text and quantities in double quotes", start + len(word),
            )  # fmt: skip
        value: Any = None
        if word in _WORDS:
            value = _WORDS[word]
        elif word in _NO_NUMBER:
            fault = odd(word)
            self.note(start, self.at, path, fault.message, fault.remedy)
        elif _NUMBER.fullmatch(word) is not None:
            try:
                value = plain(word)
            except OddNumber as fault:
                self.note(start, self.at, path, fault.message, fault.remedy)
        elif _LIKE_NUMBER.fullmatch(word) is not None:
            self.at = start
            raise self.stop(
                start, path, f"`{shown(word)}` is no number of JSON",
                "write it in plain decimal digits, or put text in double quotes", hit.end(),
            )  # fmt: skip
        else:
            self.at = start
            raise self.stop(
                start, path, f"`{shown(word)}` has no quotes around it",
                "put text and quantities in double quotes", hit.end(),
            )  # fmt: skip
        self.filed(value, start, self.at)

    def quoted(self) -> tuple[str, int]:
        """The text in quotes that begins here, and where it ends."""
        start = self.at
        hit = _TEXT.match(self.text, start)
        if hit is None:
            raise self.stop(
                start, self.path(), "a quotation mark was opened and never closed",
                "close it in the same line; a line break within a text is written \\n",
            )  # fmt: skip
        self.at = hit.end()
        body = hit.group()[1:-1]
        tab = body.find("\t")
        if tab >= 0:
            at = start + 1 + tab
            self.note(at, at + 1, self.path(), "a tab stands within a text", "write \\t, or blanks")
        return (body if "\\" not in body else self.unescaped(body, start + 1)), self.at

    def unescaped(self, body: str, start: int) -> str:
        def sign(hit: re.Match[str]) -> str:
            name = hit.group(1)
            if len(name) == 5:
                return chr(int(name[1:], 16))
            if name not in _SIGNS:
                at = start + hit.start()
                raise self.stop(
                    at, self.path(), "a backslash is followed by what means nothing after it",
                    "write two backslashes, or delete it", at + 2,
                )  # fmt: skip
            return _SIGNS[name]

        text = _ESCAPE.sub(sign, body)
        # Two escapes may stand for one sign beyond 16 bits; what stays alone is refused as unseen.
        return text.encode("utf-16", "surrogatepass").decode("utf-16", "surrogatepass")

    def filed(self, value: Any, start: int, end: int) -> None:
        """File a finished value in the level that is open."""
        ends = self.point(start), self.point(end)
        if not self.levels:
            self.root = value
            self.raw[()] = (None, None, *ends)
            return
        top = self.levels[-1]
        if isinstance(top.node, list):
            if top.live:
                self.raw[(*top.path, len(top.node))] = (None, None, *ends)
            top.node.append(value)
            return
        if top.key not in top.seen and top.key_at is not None:
            top.seen[top.key] = top.key_at[0][0]
            top.node[top.key] = value
            if top.live:
                self.raw[(*top.path, top.key)] = (*top.key_at, *ends)
        top.key_at = None


def scan_json(text: str, file: str) -> Scan:
    """Tree, places and mistakes of a JSON text.

    >>> found = scan_json('{"title": "Kiln Cottage"}', "kiln.heater.json")
    >>> found.root, found.raw[("title",)][2]
    ({'title': 'Kiln Cottage'}, (0, 10, 10))
    """
    scanner = _Scanner(text, file)
    scanner.read()
    return scanner
