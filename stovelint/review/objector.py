"""Whether a rule would object to another material at a place, at the heat as computed."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Callable, Iterable

from stovelint.review.judge import run_rule

if TYPE_CHECKING:
    from stovelint.build import Build, Layer, Part
    from stovelint.catalogue import Catalogue
    from stovelint.hotmap.records import HotMap
    from stovelint.place import Path
    from stovelint.rule.level import Stakes
    from stovelint.rulebook import Rule

# What the survey must not offer, whatever the hold chosen for a review.
WEIGHTY: tuple[Stakes, ...] = ("danger", "breakage")


def objector(
    rules: Iterable[Rule], build: Build, hot: HotMap, catalogue: Catalogue
) -> Callable[[Part, Layer, tuple[str, str], str], bool]:
    """A question to ask of every place: would a rule object to this material here?

    The heat stays as computed for the plan as drawn, so the answer is a first sieve, not a
    recomputation. Args as for `review`.
    """
    book = tuple(rules)
    known: dict[tuple[Path, tuple[str, str], str], bool] = {}

    def objects(part: Part, layer: Layer, where: tuple[str, str], material: str) -> bool:
        key = (layer.path, where, material)
        if key not in known:
            other = replace(layer, material=material)
            layers = tuple(other if one is layer else one for one in part.layers)
            # Only this part, at this place: nothing else can answer for it.
            alone = replace(build, parts={part.name: replace(part, layers=layers)}, surroundings={})
            here = _only(hot, part.name, where)
            known[key] = any(
                found.path[: len(layer.path)] == layer.path
                for rule in book
                for found in run_rule(rule, build=alone, hot=here, catalogue=catalogue).findings
                if found.level is not None and found.stakes in WEIGHTY
            )
        return known[key]

    return objects


def _only(hot: HotMap, part: str, where: tuple[str, str]) -> HotMap:
    """The hot map of one place."""
    cycles = {
        state: replace(
            cycle,
            patches=tuple(
                p for p in cycle.patches if p.part == part and (p.chamber, p.where) == where
            ),
            combustibles=(),
        )
        for state, cycle in hot.cycles.items()
    }
    return replace(hot, cycles=cycles)
