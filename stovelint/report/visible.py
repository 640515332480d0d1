r"""Text that came from outside, made harmless wherever a report prints it.

A plan's title, a material's name or the name of a file may hold what drives a terminal, or what a
code host's runner takes for a command in the log of a job: `::` at the beginning of a line, and
`##` before a word in brackets anywhere in it, on standard output and standard error alike.
"""

from __future__ import annotations

import re

COMMAND = re.compile(r"(?<!\S)::+|##(?=\w*\[)")
"""What a runner would begin to read as a command; a blank within is enough to stop that."""
SHORT = {"\n": "\\n", "\r": "\\r", "\t": "\\t"}


def visible(text: str) -> str:
    r"""Each character that cannot be seen as an escape that can.

    The system hands on bytes of a file name that are no UTF-8 as lone surrogates, which no output
    can hold; they come out as the bytes that they are.

    >>> print(visible("Kiln\x1b[31m\n Cottage"), visible("caf\udce9"), visible("\u2028"))
    Kiln\x1b[31m\n Cottage caf\xe9 \u2028
    """
    if text.isprintable():
        return text
    return "".join(c if c.isprintable() else SHORT.get(c) or _escape(ord(c)) for c in text)


def inert(text: str) -> str:
    """The same with nothing in it that a runner would take for a command.

    >>> inert("::error::x"), inert("at a::b :::stop"), inert("5 ##[add-mask]x ## 1")
    (': :error::x', 'at a::b : : :stop', '5 # #[add-mask]x ## 1')
    """
    return COMMAND.sub(lambda found: " ".join(found[0]), text)


def inert_json(text: str) -> str:
    r"""A JSON document that reads the same, and that no runner takes for a command.

    >>> print(inert_json('["##[error]"]'))
    ["#\u0023[error]"]
    """
    return text.replace("##", "#\\u0023")  # within texts only: nowhere else has JSON this letter


def _escape(code: int) -> str:
    if 0xDC80 <= code <= 0xDCFF:  # PEP 383
        code -= 0xDC00
    if code < 0x100:
        return f"\\x{code:02x}"
    return f"\\u{code:04x}" if code < 0x10000 else f"\\U{code:08x}"
