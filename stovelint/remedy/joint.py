"""Changes that put several findings right, made all at once: one change to each thing."""

from __future__ import annotations

from typing import Iterable

from stovelint.place import Path
from stovelint.quantity import parse_length_m
from stovelint.remedy.rows import Edit


def joint_edits(changes: Iterable[tuple[Edit, ...]]) -> tuple[Edit, ...]:
    """The first change of each part or surrounding; of two that differ only in size, the larger.

    A blanket that keeps a slab may be thinner than the one that keeps the bar in it: both want the
    same blanket, and the thicker one serves both.

    Args:
        changes: the edits of one change each, the most important first.
    """
    made: dict[Path, tuple[Edit, ...]] = {}
    for edits in changes:
        by_thing: dict[Path, list[Edit]] = {}
        for edit in edits:
            by_thing.setdefault(edit.path[:2], []).append(edit)
        for thing, own in by_thing.items():
            before = made.get(thing)
            if before is None or _is_larger(tuple(own), before):
                made[thing] = tuple(own)
    return tuple(edit for edits in made.values() for edit in edits)


def _is_larger(own: tuple[Edit, ...], before: tuple[Edit, ...]) -> bool:
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
