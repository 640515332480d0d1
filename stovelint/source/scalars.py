"""What a plain YAML scalar means: the core schema of YAML 1.2, less its traps.

Source: YAML 1.2.2, section 10.3.2 (core schema tag resolution). `yes`, `no`, `on`, `off` and
dates are text there. Refused although the core schema knows them: octal and hexadecimal
numbers, leading zeros, infinity and not-a-number, since readers of other YAML versions take
them for something else or the plan has no use for them.
"""

from __future__ import annotations

import re

_STARTS = frozenset("0123456789+-.~nNtTfF")
_WORDS: dict[str, bool | None] = {
    "null": None, "Null": None, "NULL": None, "~": None,
    "true": True, "True": True, "TRUE": True,
    "false": False, "False": False, "FALSE": False,
}  # fmt: skip
_WHOLE = re.compile(r"[-+]?[0-9]+")
_DECIMAL = re.compile(r"[-+]?(\.[0-9]+|[0-9]+(\.[0-9]*)?)([eE][-+]?[0-9]+)?")
_ODD = re.compile(
    r"[-+]?(0[0-9]+(\.[0-9]*)?([eE][-+]?[0-9]+)?|0o[0-7]+|0x[0-9a-fA-F]+|\.(inf|Inf|INF))"
    r"|\.(nan|NaN|NAN)"
)
_MOST_SIGNS = 15
"""A whole number of 15 digits is still exact as a binary double (2**53 is about 9.0e15)."""


class OddNumber(ValueError):
    """A number that different readers take for different things; `remedy` says what to type."""

    def __init__(self, message: str, remedy: str) -> None:
        super().__init__(message)
        self.message = message
        self.remedy = remedy


def odd(text: str) -> OddNumber:
    """The refusal of a number that is not written in plain decimal digits.

    >>> odd("0x1F").message
    'number 0x1F can be read in more than one way'
    """
    return OddNumber(
        f"number {text[:20]} can be read in more than one way",
        "write it in plain decimal digits without a leading zero, or put text in quotes",
    )


def plain(text: str) -> str | int | float | bool | None:
    """Value of a plain scalar.

    >>> plain("114 mm"), plain("1"), plain("2.5"), plain("yes"), plain("true")
    ('114 mm', 1, 2.5, 'yes', True)
    >>> plain("010")
    Traceback (most recent call last):
    ...
    stovelint.source.scalars.OddNumber: number 010 can be read in more than one way
    """
    if not text:
        return None
    if text[0] not in _STARTS:
        return text
    if text in _WORDS:
        return _WORDS[text]
    if _ODD.fullmatch(text) is not None:
        raise odd(text)
    if _DECIMAL.fullmatch(text) is None:
        return text
    if len(text) > _MOST_SIGNS:
        raise OddNumber(f"number {text[:20]} is longer than any plan needs", "write it shorter")
    if _WHOLE.fullmatch(text) is not None:
        return int(text)
    value = float(text)
    if value - value != 0.0:
        raise OddNumber(f"number {text} is too large", "write a number of everyday size")
    return value
