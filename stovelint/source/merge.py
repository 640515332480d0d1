"""JSON Merge Patch, RFC 7396: one tree changed by another.

A map of the patch changes the map it meets entry by entry; `null` takes an entry away; all else,
a list too, takes the place of what was there whole.
"""

from __future__ import annotations

from typing import Any, Iterator

from stovelint.place import Path


def merge(target: Any, patch: Any) -> Any:
    """`target` with `patch` applied. Neither is changed; what the patch leaves alone is shared.

    Source: RFC 7396, section 2 (procedure), here without recursion.

    >>> merge({"cap": {"kind": "cap", "area": "1 m2"}}, {"cap": {"area": None}, "door": {}})
    {'cap': {'kind': 'cap'}, 'door': {}}
    """
    if not isinstance(patch, dict):
        return patch
    top: dict[str, Any] = dict(target) if isinstance(target, dict) else {}
    waiting = [(top, patch)]
    while waiting:
        into, changes = waiting.pop()
        for key, value in changes.items():
            if value is None:
                into.pop(key, None)
            elif isinstance(value, dict):
                here = into.get(key)
                into[key] = inner = dict(here) if isinstance(here, dict) else {}
                waiting.append((inner, value))
            else:
                into[key] = value
    return top


def idle(target: Any, patch: Any) -> Iterator[tuple[Path, tuple[str, ...]]]:
    """Every `null` of a patch that takes nothing away: its path, and what stands there instead.

    >>> list(idle({"cap": {"area": "1 m2"}}, {"cap": {"aera": None}}))
    [(('cap', 'aera'), ('area',))]
    """
    waiting: list[tuple[Path, Any, Any]] = [((), target, patch)]
    while waiting:
        path, here, changes = waiting.pop()
        if not isinstance(changes, dict):
            continue
        known = here if isinstance(here, dict) else {}
        for key, value in changes.items():
            if value is None and key not in known:
                yield (*path, key), tuple(known)
            elif isinstance(value, dict):
                waiting.append(((*path, key), known.get(key), value))
