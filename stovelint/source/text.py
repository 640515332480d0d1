"""Bytes -> text that every parser counts alike: UTF-8, LF or CRLF, no control characters.

YAML would also break lines at a lone CR and, depending on the parser, at U+0085, U+2028 and
U+2029, which no editor shows. Refusing them keeps line numbers the same for all readers.
"""

from __future__ import annotations

import re

from stovelint.errors import BuildFileError
from stovelint.place import Mistake
from stovelint.source.record import point_at, span_of

MAX_BYTES = 1024 * 1024
"""Largest build file that is read: a plan of some 40 000 lines; ours, to keep hooks quick."""

_UNREADABLE = re.compile(
    "[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u2028\u2029\ud800-\udfff\ufeff\ufffe\uffff"
    # What lets a line read otherwise than it stands, and what takes no room at all.
    "\u202a-\u202e\u2066-\u2069\u200b\u2060-\u2064\U000e0000-\U000e007f]|\r(?!\n)"
)
_HALF = re.compile("[\ud800-\udfff]")
_UTF16_MARKS = (b"\xff\xfe", b"\xfe\xff")
_MOST_SHOWN = 20


def refuse(file: str, text: str, offset: int, message: str, remedy: str) -> Mistake:
    """A mistake at one character of the text (none at the end of a line), belonging to no entry
    of the tree."""
    start = point_at(text, offset)
    end = start
    if text[offset : offset + 1] not in ("", "\n") and not text.startswith("\r\n", offset):
        end = (start[0], start[1] + 1, offset + 1)
    return Mistake(span=span_of(file, start, end), path=(), message=message, remedy=remedy)


def unseen(text: str) -> bool:
    """Whether a text holds characters that cannot be seen: written by escapes, they would reach
    a terminal all the same.

    >>> unseen("\\x1b[31m"), unseen("stove")
    (True, False)
    """
    return _UNREADABLE.search(text) is not None


def halves_out(text: str) -> str:
    """The text with another sign for every half of a pair of UTF-16 that stands alone: no such
    text can be written, so no later floor could even repeat it.

    >>> halves_out("stove" + chr(0xD800)) == "stove" + chr(0xFFFD)
    True
    """
    return _HALF.sub("\ufffd", text)


def decode(data: bytes, file: str) -> tuple[str, bool]:
    """Text of the file and whether it began with a byte order mark.

    Errors: `BuildFileError` for a file that is too large, empty, not UTF-8, or that holds
    characters nobody can see.

    >>> decode(b"title: Kiln Cottage\\n", "kiln.heater.yaml")
    ('title: Kiln Cottage\\n', False)
    """
    if len(data) > MAX_BYTES:
        message = f"the file is larger than the {MAX_BYTES} bytes that are read"
        remedy = "a build file is text of some hundred lines: check that this is the right file"
        raise BuildFileError((refuse(file, "", 0, message, remedy),))
    if data.startswith(_UTF16_MARKS):
        message = "the file is written in UTF-16, not in UTF-8"
        raise BuildFileError((refuse(file, "", 0, message, "save it as UTF-8"),))
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError as fault:
        before = data[: fault.start].decode("utf-8").removeprefix("\ufeff")
        message = f"byte {data[fault.start]:#04x} here is not UTF-8"
        remedy = "save the file as UTF-8, and check that it is text"
        raise BuildFileError((refuse(file, before, len(before), message, remedy),)) from None
    bom = text.startswith("\ufeff")
    if bom:
        text = text[1:]
    if _UNREADABLE.search(text) is not None:
        raise BuildFileError(tuple(_unreadable(text, file)))
    return text, bom


def _unreadable(text: str, file: str) -> list[Mistake]:
    found: list[Mistake] = []
    for hit in _UNREADABLE.finditer(text):
        if len(found) == _MOST_SHOWN:
            break
        sign = hit.group()
        if sign == "\r":
            message = "a line ends with a lone carriage return"
            remedy = "save the file with LF or CRLF line ends"
        else:
            message = f"character U+{ord(sign):04X} cannot be seen and is not read"
            remedy = "delete it, or type the line anew"
        found.append(refuse(file, text, hit.start(), message, remedy))
    return found
