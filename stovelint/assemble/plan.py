"""The whole plan, floor by floor, and all mistakes of all floors in one list."""

from __future__ import annotations

from typing import Any, Iterable

from stovelint.assemble.chambers import read_chambers
from stovelint.assemble.firing import read_damper, read_firings, read_fuel, read_site
from stovelint.assemble.links import check_nesting, check_parts
from stovelint.assemble.parts import read_gauges, read_parts
from stovelint.assemble.reader import Record, Sheet
from stovelint.assemble.surroundings import read_surroundings, read_variances
from stovelint.assemble.ways import check_ways
from stovelint.build import Build
from stovelint.place import Mistake, Places
from stovelint.schema import mistakes as schema_mistakes


def read_build(
    tree: dict[str, Any], places: Places, before: Iterable[Mistake] = ()
) -> tuple[Build | None, tuple[Mistake, ...]]:
    """The build, or all the mistakes of the tree, in the order of the file.

    `before`: mistakes of earlier floors; a later floor that stumbles over the same place keeps
    silent.
    """
    earlier = list(before)
    taken = {mistake.path for mistake in earlier}
    shape = [one for one in schema_mistakes(tree, places) if one.path not in taken]
    sheet = Sheet(places)
    build = _assemble(Record(sheet, tree, ()), sheet)
    broken = {mistake.path for mistake in shape}
    sense = [
        one
        for one in sheet.mistakes
        if one.path not in taken
        and not any(one.path[:length] in broken for length in range(1, len(one.path) + 1))
    ]
    found = _once([*earlier, *shape, *sense])
    return (None, found) if found else (build, ())


def _once(mistakes: list[Mistake]) -> tuple[Mistake, ...]:
    """In the order of the file, each once."""
    kept: list[Mistake] = []
    for mistake in sorted(mistakes, key=Mistake.sort_key):
        if not kept or mistake != kept[-1]:
            kept.append(mistake)
    return tuple(kept)


def _assemble(plan: Record, sheet: Sheet) -> Build | None:
    by_others = plan.child("by_others")
    others = {} if by_others is None else {
        key: by_others.text(key) for key in by_others.data
    }  # fmt: skip
    site = read_site(plan)
    firing = plan.child("firing")
    gauges_m = read_gauges(plan)
    chambers = read_chambers(plan)
    parts = read_parts(plan, chambers, gauges_m)
    surroundings = read_surroundings(plan)
    variances = read_variances(plan)
    check_ways(sheet, chambers, others)
    check_nesting(sheet, chambers)
    check_parts(plan, parts, chambers, gauges_m)
    if firing is None:
        return None
    return Build(
        title=plan.text("title"),
        drawing=plan.maybe_text("drawing"),
        jurisdiction=plan.maybe_text("jurisdiction"),
        by_others=others,
        site=site,
        fuel=read_fuel(firing),
        firings=read_firings(firing),
        damper=read_damper(firing),
        gauges_m=gauges_m,
        chambers=chambers,
        parts=parts,
        surroundings=surroundings,
        variances=variances,
    )
