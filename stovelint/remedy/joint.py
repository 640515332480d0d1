"""Changes that put several findings right, made all at once: one change to each place."""

from __future__ import annotations

from typing import Iterable

from stovelint.place import Path
from stovelint.quantity import parse_length_m
from stovelint.remedy.places import layer_of
from stovelint.remedy.rows import Edit

Change = tuple[Edit, ...]


def joint_edits(changes: Iterable[Change]) -> Change:
    """The first change of each layer, gap between layers, bearing or surrounding; of two that
    differ only in size, the larger.

    A blanket that keeps a slab may be thinner than the one that keeps the bar in it: both want the
    same blanket, and the thicker one serves both. Two layers of one wall may want one change each.

    Args:
        changes: the edits of one change each, the most important first. Every path is that of the
            plan as drawn.

    Returns edits in an order in which one after the other they find what they mean.
    """
    made: dict[Path, list[Change]] = {}
    for edits in changes:
        for thing, own in _by_thing(edits).items():
            before = made.setdefault(thing, [])
            rivals = [i for i, one in enumerate(before) if _clash(one, own)]
            if not rivals:
                before.append(own)
            elif len(rivals) == 1 and _is_larger(own, before[rivals[0]]):
                before[rivals[0]] = own
    return _in_order(edit for several in made.values() for change in several for edit in change)


def on_top(base: Change, own: Change) -> Change:
    """A change with others made before it; of a part where these clash with it, none is kept."""
    mine = _by_thing(own)
    kept = tuple(
        edit
        for thing, others in _by_thing(base).items() if not _clash(others, mine.get(thing, ()))
        for edit in others
    )  # fmt: skip
    return _in_order((*kept, *own)) if kept else own


def _by_thing(edits: Iterable[Edit]) -> dict[Path, Change]:
    things: dict[Path, Change] = {}
    for edit in edits:
        things[edit.path[:2]] = (*things.get(edit.path[:2], ()), edit)
    return things


def _clash(one: Change, other: Change) -> bool:
    return not {_place(edit) for edit in one}.isdisjoint(_place(edit) for edit in other)


def _place(edit: Edit) -> Path:
    """What an edit lays hold of: a layer, the gap before one, or another key of its thing."""
    return (*edit.path, "put in") if edit.insert else layer_of(edit.path) or edit.path[:3]


def _in_order(edits: Iterable[Edit]) -> Change:
    """Within each thing: layers as drawn first, then what is put in, from the cold side on, so that
    nothing moves before it has been found."""

    def turn(edit: Edit) -> tuple[int, int]:
        if edit.insert:
            return 1, -int(edit.path[3])
        return (0, 0) if layer_of(edit.path) else (2, 0)

    return tuple(e for own in _by_thing(edits).values() for e in sorted(own, key=turn))


def _is_larger(own: Change, before: Change) -> bool:
    """Whether both put the same thing in the same place, this one thicker."""
    if [(e.path, e.insert) for e in own] != [(e.path, e.insert) for e in before]:
        return False
    (new, new_m), (old, old_m) = _sized(own[0]), _sized(before[0])
    return new == old and new_m > old_m


def _sized(edit: Edit) -> tuple[object, float]:
    """Material and thickness, m, that an edit sets; 0 where it sets no thickness."""
    if isinstance(edit.value, dict):
        size = edit.value.get("thickness")
        return edit.value.get("material"), 0.0 if size is None else parse_length_m(str(size))
    sets = edit.path[-1] == "thickness"
    return None, parse_length_m(str(edit.value)) if sets else 0.0
