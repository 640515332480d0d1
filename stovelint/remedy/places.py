"""Which layer a path of the plan means, before and after a change."""

from __future__ import annotations

from typing import Sequence

from stovelint.place import Path
from stovelint.remedy.rows import Edit


def layer_of(path: Path) -> Path:
    """The layer that a path lies in; empty where the part or surrounding as a whole is meant.

    >>> layer_of(("parts", "cap", "layers", 1, "material")), layer_of(("parts", "cap", "bearing"))
    (('parts', 'cap', 'layers', 1), ())
    """
    return path[:4] if len(path) > 3 and path[2] == "layers" else ()


def alike(one: Path, other: Path) -> bool:
    """Whether two paths of one part may mean the same: one layer, or either means the whole."""
    return not layer_of(one) or not layer_of(other) or layer_of(one) == layer_of(other)


def moved(path: Path, edits: Sequence[Edit]) -> Path:
    """Where something stands after the edits: a layer put in before it moves it on.

    >>> lining = Edit(path=("parts", "wall", "layers", 0), value={}, insert=True)
    >>> moved(("parts", "wall", "layers", 1, "material"), (lining,))
    ('parts', 'wall', 'layers', 2, 'material')
    """
    if not layer_of(path):
        return path
    index = int(path[3])
    before = sum(1 for at in _put_in(path, edits) if at <= index)
    return (*path[:3], index + before, *path[4:])


def drawn(path: Path, edits: Sequence[Edit]) -> Path | None:
    """Where something that stands in the changed plan stood before; None in a layer put in."""
    if not layer_of(path):
        return path
    index, put_in = int(path[3]), _put_in(path, edits)
    lands = [at + sum(1 for other in put_in if other < at) for at in put_in]
    if index in lands:
        return None
    return (*path[:3], index - sum(1 for at in lands if at < index), *path[4:])


def _put_in(path: Path, edits: Sequence[Edit]) -> list[int]:
    """Indices, as drawn, at which layers are put into the part of a path."""
    return [int(e.path[3]) for e in edits if e.insert and e.path[:3] == path[:3]]
