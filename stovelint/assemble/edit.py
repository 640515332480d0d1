"""Trees with one thing changed, sharing all the rest."""

from __future__ import annotations

from typing import Any

from stovelint.place import Path


def edited(
    tree: dict[str, Any], path: Path, value: object, *, insert: bool = False
) -> dict[str, Any]:
    """A tree with `value` at `path`; the given tree stays as it was.

    Args: `path`: of a map entry (present or new) or of a list item; `insert`: put a new item
    into the list before the one at `path` (its length as the last step: at the end).
    Errors: `KeyError` or `IndexError` where the path leads through nothing.

    >>> edited({"layers": [{"thickness": "60 mm"}]}, ("layers", 0, "thickness"), "80 mm")
    {'layers': [{'thickness': '80 mm'}]}
    >>> edited({"layers": ["slab"]}, ("layers", 0), "blanket", insert=True)
    {'layers': ['blanket', 'slab']}
    """
    if not path:
        raise KeyError("the root of a tree cannot be set")
    top = dict(tree)
    here: Any = top
    for step in path[:-1]:
        inner = here[step]
        here[step] = inner = list(inner) if isinstance(inner, list) else dict(inner)
        here = inner
    last = path[-1]
    if insert:
        if not isinstance(here, list) or not isinstance(last, int) or not 0 <= last <= len(here):
            raise IndexError(f"nothing can be inserted at {path}")
        here.insert(last, value)
    else:
        here[last] = value
    return top
