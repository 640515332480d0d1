"""A value of a plan's tree as its build file writes it, on one line: YAML, JSON or TOML."""

from __future__ import annotations

import re
from typing import Mapping

WORD = re.compile(r"(?=[^\n]*[A-Za-z])[A-Za-z0-9][A-Za-z0-9 ./%+-]*(?<! )")
"""What may stand in YAML without quotes, also within braces."""
TAKEN = frozenset({"true", "false", "null"})
"""Words that would be read as something else."""
NUMBER = re.compile(r"[0-9.+-]+(?:e[0-9+-]+)?|0[xo][0-9a-f]+", re.IGNORECASE)
BARE_KEY = re.compile("[A-Za-z0-9_-]+")
"""A key that TOML takes without quotes."""


def is_yaml(file: str) -> bool:
    """Whether a build file is YAML, as one is whose name tells no other format.

    >>> is_yaml("kiln.heater.yml"), is_yaml("kiln.heater.JSON")
    (True, False)
    """
    return not file.lower().endswith((".json", ".toml"))


def pair(key: object, text: str, file: str) -> str | None:
    """A key with its written value; None: the key cannot stand there."""
    if not isinstance(key, str) or not WORD.fullmatch(key):
        return None
    if is_yaml(file):
        return f"{key}: {text}"
    if file.lower().endswith(".json"):
        return f"{_quoted(key)}: {text}"
    return f"{key if BARE_KEY.fullmatch(key) else _quoted(key)} = {text}"


def written(value: object, file: str) -> str | None:
    """A value on one line, as the format of the file writes it; None: it cannot be written so."""
    if isinstance(value, str):
        return value if is_yaml(file) and _bare(value) else _quoted(value)
    if isinstance(value, Mapping):
        pairs = [
            None if (text := written(one, file)) is None else pair(key, text, file)
            for key, one in value.items()
        ]
        return None if None in pairs else "{" + ", ".join(map(str, pairs)) + "}"
    if isinstance(value, (list, tuple)):
        found = [written(one, file) for one in value]
        return None if None in found else f"[{', '.join(map(str, found))}]"
    if isinstance(value, bool):
        return "true" if value else "false"
    return repr(value) if isinstance(value, (int, float)) else None


def _bare(text: str) -> bool:
    return (
        WORD.fullmatch(text) is not None
        and text.lower() not in TAKEN
        and NUMBER.fullmatch(text) is None
    )


def _quoted(text: str) -> str:
    r"""In double quotes, with escapes that YAML, JSON and TOML read alike.

    >>> print(_quoted('4 1/2" \u00e9'))
    "4 1/2\" \u00e9"
    """
    signs = []
    for sign in text:
        code = ord(sign)
        if sign in '"\\':
            signs.append("\\" + sign)
        elif 0x20 <= code < 0x7F:
            signs.append(sign)
        elif code < 0x10000:
            signs.append(f"\\u{code:04x}")
        else:  # one above the basic plane: JSON has no escape for it that all three read
            signs.append(sign)
    return '"' + "".join(signs) + '"'
