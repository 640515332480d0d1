"""TOML text -> plain tree and places: the data by the library, the places when asked for."""

from __future__ import annotations

import re
from functools import partial

import tomli

from stovelint.errors import BuildFileError
from stovelint.place import Path, Places, shortened
from stovelint.source.record import LazyEntries, Raw, Source, Tree
from stovelint.source.scalars import OddNumber, odd, plain
from stovelint.source.scan import plain_tree
from stovelint.source.text import refuse
from stovelint.source.toml_places import scan_toml

_OTHER_NUMBERS = re.compile(r"\b0[xob][0-9A-Fa-f]|[0-9]_[0-9]")
"""Whole numbers that the library would read and readers of other formats would not."""
_DOTS = 30
_LONG_RUN = re.compile(r"[0-9]{16}")


def parse(text: str, file: str, *, bom: bool = False) -> Source:
    """Tree and places of one TOML text; a good one is scanned only when a place is asked for.

    Args: `file`: name for messages.
    Errors: `BuildFileError` when there is no tree to go on with.

    >>> source = parse('title = "Kiln Cottage"', "kiln.heater.toml")
    >>> source.tree, source.places.value(("title",)).label()
    ({'title': 'Kiln Cottage'}, 'kiln.heater.toml:1:9')
    """
    stopped_at: int | None = None
    if not _wants_a_look(text):
        tree, stopped_at = _loaded(text)
        if tree and plain_tree(tree):
            entries = LazyEntries(file, partial(_raw, text, file))
            return Source(file=file, text=text, bom=bom, tree=tree, places=Places(entries=entries))
    found = scan_toml(text, file)
    mistakes = sorted(found.mistakes, key=lambda one: one.sort_key())
    if not mistakes and stopped_at is None:
        stopped_at = _loaded(text)[1]
    if found.root and (mistakes or stopped_at is None):
        return Source(
            file=file, text=text, bom=bom, tree=found.root,
            places=Places(entries=LazyEntries(file, found.raw)), mistakes=tuple(mistakes),
        )  # fmt: skip
    if not mistakes:
        message, remedy = "the file holds no plan", "begin with `format = 1` and `title = ...`"
        if stopped_at is not None:
            message = "from here on the text cannot be read as TOML"
            remedy = "check quotes, brackets and the line above"
        mistakes.append(refuse(file, text, min(stopped_at or 0, len(text)), message, remedy))
    raise BuildFileError(shortened(mistakes))


def _raw(text: str, file: str) -> dict[Path, Raw]:
    return scan_toml(text, file).raw


def _wants_a_look(text: str) -> bool:
    """Whether the text holds what the library reads otherwise than the scanner, or not in a
    reasonable time; a false alarm costs some milliseconds."""
    if _OTHER_NUMBERS.search(text) is not None or _LONG_RUN.search(text) is not None:
        return True
    return any(line.count(".") > _DOTS for line in text.split("\n"))


def _float(text: str) -> float:
    value = plain(text)
    if isinstance(value, float):
        return value
    raise odd(text)


def _loaded(text: str) -> tuple[Tree | None, int | None]:
    """The library's tree (None: it must be looked at), and where the library stopped."""
    try:
        return tomli.loads(text, parse_float=_float), None
    except tomli.TOMLDecodeError as fault:
        # Its places count a break of two signs as one.
        lines = text.replace("\r\n", "\n").count("\n", 0, fault.pos)
        return None, fault.pos + (lines if "\r\n" in text else 0)
    except (OddNumber, ValueError):
        return None, None
    except RecursionError:
        return None, 0
