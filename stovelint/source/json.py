"""JSON text -> plain tree and places: the data by the library, the places when asked for."""

from __future__ import annotations

import json
from functools import partial
from typing import Any

from stovelint.errors import BuildFileError
from stovelint.place import Path, Places, shortened
from stovelint.source.json_places import scan_json
from stovelint.source.record import LazyEntries, Raw, Source
from stovelint.source.scalars import OddNumber, odd, plain
from stovelint.source.scan import plain_tree
from stovelint.source.text import refuse

_REMEDY = 'begin with `{"format": 1, "title": ...` and end with `}`'


def parse(text: str, file: str, *, bom: bool = False) -> Source:
    """Tree and places of one JSON text; a good one is scanned only when a place is asked for.

    Args: `file`: name for messages.
    Errors: `BuildFileError` when there is no tree to go on with.

    >>> source = parse('{"title": "Kiln Cottage"}', "kiln.heater.json")
    >>> source.tree, source.places.value(("title",)).label()
    ({'title': 'Kiln Cottage'}, 'kiln.heater.json:1:11')
    """
    tree, at = _loaded(text)
    if isinstance(tree, dict) and tree and plain_tree(tree):
        entries = LazyEntries(file, partial(_raw, text, file))
        return Source(file=file, text=text, bom=bom, tree=tree, places=Places(entries=entries))
    if not text.strip():
        raise BuildFileError((refuse(file, text, 0, "the file holds no plan", _REMEDY),))
    found = scan_json(text, file)
    mistakes = sorted(found.mistakes, key=lambda one: one.sort_key())
    if isinstance(found.root, dict) and found.root and (mistakes or at is None):
        return Source(
            file=file, text=text, bom=bom, tree=found.root,
            places=Places(entries=LazyEntries(file, found.raw)), mistakes=tuple(mistakes),
        )  # fmt: skip
    if not mistakes:
        mistakes.append(_no_plan(text, file, found.root, at))
    raise BuildFileError(shortened(mistakes))


def _no_plan(text: str, file: str, root: object, at: int | None) -> Any:
    if root is None and at is None or root == {}:
        return refuse(file, text, 0, "the file holds no plan", _REMEDY)
    if at is None and not isinstance(root, dict):
        start = len(text) - len(text.lstrip())
        return refuse(file, text, start, "the plan is not a record in braces", _REMEDY)
    message = "from here on the text cannot be read as JSON"
    return refuse(file, text, min(at or 0, len(text)), message, "check quotes, commas and brackets")


def _raw(text: str, file: str) -> dict[Path, Raw]:
    return scan_json(text, file).raw


class _Suspect(ValueError):
    """What the library would let pass, or what must be told with its place."""


def _record(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    record = dict(pairs)
    if len(record) < len(pairs):
        raise _Suspect
    return record


def _constant(text: str) -> object:
    raise odd(text)


def _loaded(text: str) -> tuple[Any, int | None]:
    """The library's tree (None: it must be looked at), and where the library stopped."""
    try:
        return json.loads(
            text, object_pairs_hook=_record, parse_constant=_constant, parse_int=plain,
            parse_float=plain,
        ), None  # fmt: skip
    except (_Suspect, OddNumber):
        return None, None
    except json.JSONDecodeError as fault:
        return None, fault.pos
    except RecursionError:
        return None, 0
