"""Keys, texts and bare values of TOML: what one token is, where it ends, what it says.

Source: TOML 1.1 (its 1.0 is a part of it).
"""

from __future__ import annotations

import re
from typing import Any

from stovelint.place import Path
from stovelint.quantity.numbers import shown
from stovelint.source.scalars import OddNumber, odd, plain
from stovelint.source.scan import MAX_DEPTH, Scan

BLANK = re.compile(r"[ \t]*")
GAPS = re.compile(r"(?:[ \t\r\n]+|#[^\n]*)*")
"""White space, breaks and comments, as between the entries of a list."""
_BARE_KEY = re.compile(r"[A-Za-z0-9_-]+")
_BASIC = re.compile(r'"[^"\\\n]*(?:\\[^\n][^"\\\n]*)*"')
_LITERAL = re.compile(r"'[^'\n]*'")
_LONG_BASIC = re.compile(r'"""[^"\\]*(?:(?:\\[\s\S]|"{1,2}(?!"))[^"\\]*)*"{3,5}')
_LONG_LITERAL = re.compile(r"'''[^']*(?:'{1,2}(?!')[^']*)*'{3,5}")
_RUN = re.compile(r"[^\s,\[\]{}#=\"']+")
_MORE = re.compile(r"[ \t]+[^\s,\[\]{}#=]|[\"']")
"""What goes on in the line after a bare value."""
_NUMBER = re.compile(r"[-+]?(?:0|[1-9][0-9]*)(?:\.[0-9]+)?(?:[eE][-+]?[0-9]+)?")
_OTHER_NUMBER = re.compile(
    r"0x[0-9A-Fa-f](?:_?[0-9A-Fa-f])*|0o[0-7](?:_?[0-7])*|0b[01](?:_?[01])*|[-+]?(?:inf|nan)"
    r"|[-+]?0[0-9]+(?:\.[0-9]*)?(?:[eE][-+]?[0-9]+)?"
    r"|[-+]?[0-9](?:_?[0-9])*(?:\.[0-9](?:_?[0-9])*)?(?:[eE][-+]?[0-9](?:_?[0-9])*)?"
)
_DAY = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}(?:[Tt][0-9:.]+(?:[Zz]|[-+][0-9:]+)?)?")
_HOUR = re.compile(r"[0-9]{2}:[0-9]{2}[0-9:.]*(?:[Zz]|[-+][0-9]{2}:[0-9]{2})?")
_AFTER_DAY = re.compile(r" [0-9]{2}:[0-9]{2}[0-9:.]*(?:[Zz]|[-+][0-9]{2}:[0-9]{2})?")
_ESCAPE = re.compile(
    r"\\(x[0-9A-Fa-f]{2}|u[0-9A-Fa-f]{4}|U[0-9A-Fa-f]{8}|[ \t]*\r?\n[ \t\r\n]*|[\s\S])"
)
_ESCAPE_OR_BREAK = re.compile(_ESCAPE.pattern + r"|\r\n")
_SIGNS = {
    "b": "\b", "t": "\t", "n": "\n", "f": "\f", "r": "\r", "e": "\x1b", '"': '"', "\\": "\\",
}  # fmt: skip
Part = tuple[str, int, int]
"""One part of a key, and where it stands."""


class Tokens(Scan):
    """A TOML text, and how far it has been read."""

    def __init__(self, text: str, file: str) -> None:
        super().__init__(text, file)
        self.at = 0

    def skip(self, blanks: re.Pattern[str]) -> None:
        hit = blanks.match(self.text, self.at)
        self.at = self.at if hit is None else hit.end()

    def key_parts(self, path: Path) -> list[Part]:
        """`size.width`: its parts. `path` is that of the record the key belongs to."""
        parts: list[Part] = []
        while True:
            self.skip(BLANK)
            start = self.at
            if len(path) + len(parts) >= MAX_DEPTH:
                raise self.too_deep(start, path[:MAX_DEPTH])
            sign = self.text[start : start + 1]
            if sign in ('"', "'") and sign:
                key = self.one_line(path)
            else:
                hit = _BARE_KEY.match(self.text, start)
                if hit is None:
                    raise self.no_key(path)
                key, self.at = hit.group(), hit.end()
            parts.append((key, start, self.at))
            self.look_at(start, self.at, (*path, *(p[0] for p in parts)), key, key=True)
            self.skip(BLANK)
            if not self.text.startswith(".", self.at):
                return parts
            self.at += 1

    def no_key(self, path: Path) -> Exception:
        sign = self.text[self.at : self.at + 1]
        if not sign or sign in "\r\n":
            return self.stop(self.at, path, "a key is missing here", "write `key = value`")
        return self.stop(
            self.at, path, f"a key cannot begin with `{sign}`",
            "write `key = value`; put an unusual key in double quotes",
        )  # fmt: skip

    def quoted(self, path: Path) -> str:
        """The text in quotes, of one line or several, that begins here."""
        if self.text.startswith('"""', self.at):
            return self.several_lines(_LONG_BASIC, path, literal=False)
        if self.text.startswith("'''", self.at):
            return self.several_lines(_LONG_LITERAL, path, literal=True)
        return self.one_line(path)

    def one_line(self, path: Path) -> str:
        start = self.at
        literal = self.text[start] == "'"
        hit = (_LITERAL if literal else _BASIC).match(self.text, start)
        if hit is None:
            raise self.stop(
                start, path, "a quotation mark was opened and never closed",
                'close it in the same line; a longer text stands between """ and """',
            )  # fmt: skip
        self.at = hit.end()
        body = hit.group()[1:-1]
        return body if literal or "\\" not in body else self.unescaped(body, start + 1, path, False)

    def several_lines(self, pattern: re.Pattern[str], path: Path, *, literal: bool) -> str:
        start = self.at
        hit = pattern.match(self.text, start)
        if hit is None:
            raise self.stop(
                start, path, "three quotation marks were opened and never closed",
                "close them with three more",
            )  # fmt: skip
        self.at = hit.end()
        begin = start + 3
        if self.text.startswith(("\n", "\r\n"), begin):
            begin = self.text.index("\n", begin) + 1
        # The library, too, makes one sign of a break before it looks at escapes.
        body = self.text[begin : hit.end() - 3]
        if literal or "\\" not in body:
            return body.replace("\r\n", "\n")
        return self.unescaped(body, begin, path, True)

    def unescaped(self, body: str, start: int, path: Path, several: bool) -> str:
        def sign(hit: re.Match[str]) -> str:
            name = hit.group(1)
            if name is None:
                return "\n"
            if len(name) > 1 and name[0] in "xuU":
                number = int(name[1:], 16)
                if number <= 0x10FFFF and not 0xD800 <= number <= 0xDFFF:
                    return chr(number)
            elif several and "\n" in name:
                return ""
            elif name in _SIGNS:
                return _SIGNS[name]
            at = start + hit.start()
            raise self.stop(
                at, path, "a backslash is followed by what means nothing after it",
                "write two backslashes, or use single quotes", at + 2,
            )  # fmt: skip

        return _ESCAPE_OR_BREAK.sub(sign, body) if several else _ESCAPE.sub(sign, body)

    def bare(self, path: Path) -> Any:
        """A number, `true` or `false`; what is no value of a plan is noted and read as None."""
        start = self.at
        hit = _RUN.match(self.text, start)
        if hit is None:
            sign = self.text[start : start + 1]
            if sign == "#" or not sign or sign.isspace():
                message = "a value is missing here"
            else:
                message = f"a value cannot begin with `{sign}`"
            raise self.stop(start, path, message, "write text in double quotes, or a number")
        word = hit.group()
        self.at = hit.end()
        if _MORE.match(self.text, self.at) and not _DAY.fullmatch(word):
            raise self.no_quotes(start, path)
        if word in ("true", "false"):
            return word == "true"
        if word == "null":
            self.note(
                start, self.at, path, "TOML has no word for nothing",
                "delete the line; a plan that takes an entry of its base away is YAML or JSON",
            )  # fmt: skip
            return None
        if _DAY.fullmatch(word) or _HOUR.fullmatch(word):
            later = _AFTER_DAY.match(self.text, self.at)
            self.at = self.at if later is None else later.end()
            message = f"`{shown(self.text[start : self.at])}` is a date or a time of day"
            self.note(start, self.at, path, message, "put it in double quotes")
            return None
        fault: OddNumber | None = None
        if _NUMBER.fullmatch(word) is not None:
            try:
                return plain(word)
            except OddNumber as long:
                fault = long
        elif _OTHER_NUMBER.fullmatch(word) is not None:
            fault = odd(word)
        if fault is None:
            raise self.no_quotes(start, path)
        self.note(start, self.at, path, fault.message, fault.remedy)
        return None

    def no_quotes(self, start: int, path: Path) -> Exception:
        """`60 mm` without quotes: the mistake most often made."""
        end = start
        while end < len(self.text) and self.text[end] not in ",]}#\n":
            end += 1
        said = self.text[start:end].rstrip()
        self.at = start
        return self.stop(
            start, path, f"`{shown(said)}` has no quotes around it",
            "put text and quantities in double quotes", start + len(said),
        )  # fmt: skip
