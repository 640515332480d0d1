"""The whole plan, floor by floor, and all mistakes of all floors in one list."""

from __future__ import annotations

from typing import Any, Callable, Iterable

from stovelint.assemble.chambers import read_chambers
from stovelint.assemble.firing import read_damper, read_firings, read_fuel, read_site
from stovelint.assemble.links import check_nesting, check_parts
from stovelint.assemble.parts import read_gauges, read_parts
from stovelint.assemble.reader import Record, Sheet
from stovelint.assemble.surroundings import read_surroundings
from stovelint.assemble.variances import read_variances
from stovelint.assemble.ways import check_ways
from stovelint.build import Build
from stovelint.place import Mistake, Path, Places, shortened
from stovelint.schema import closest
from stovelint.schema import mistakes as schema_mistakes

Check = Callable[[Build, Places], Iterable[Mistake]]
"""What more to look for in a plan whose names are read but whose figures may be missing."""


def read_build(
    tree: dict[str, Any],
    places: Places,
    before: Iterable[Mistake] = (),
    also: Check | None = None,
) -> tuple[Build | None, tuple[Mistake, ...]]:
    """The build, or all the mistakes of the tree, in the order of the file.

    `before`: mistakes of earlier floors; a later floor that stumbles over the same place keeps
    silent. `also`: a later floor's own check; it is asked of a damaged plan as well, so that all
    mistakes come at once, and must pass over empty names.
    """
    earlier = list(before)
    taken = {mistake.path for mistake in earlier}
    shape = [one for one in schema_mistakes(tree, places) if one.path not in taken]
    if earlier or shape:
        from stovelint.schema.trim import trimmed

        tree = trimmed(tree)
    sheet = Sheet(places, (one.path for one in shape))
    build = _assemble(Record(sheet, tree, ()))
    noted = [*sheet.mistakes, *(() if also is None else also(build, places))]
    sense = [one for one in noted if one.path not in taken]
    if shape:
        sense = [one for one in sense if not _follows(one.path, shape, tree)]
    found = shortened([*earlier, *shape, *sense])
    return (None, found) if found else (build, ())


def _follows(path: Path, shape: list[Mistake], tree: dict[str, Any]) -> bool:
    """Whether a mistake only repeats one of shape: at its place or below, or a key that
    is missing because it was misspelt."""
    for one in shape:
        if one.path and path[: len(one.path)] == one.path:
            return True
        if one.path and path[:-1] == one.path[:-1] and not _present(path, tree):
            if closest(str(one.path[-1]), [str(path[-1])]):
                return True
    return False


def _present(path: Path, tree: Any) -> bool:
    here = tree
    for step in path:
        if isinstance(here, list) and isinstance(step, int) and step < len(here):
            here = here[step]
        elif isinstance(here, dict) and step in here:
            here = here[step]
        else:
            return False
    return True


def _assemble(plan: Record) -> Build:
    by_others = plan.child("by_others")
    others = {} if by_others is None else {
        key: by_others.text(key) for key in by_others.data
    }  # fmt: skip
    site = read_site(plan)
    # Without it the schema has spoken, and the rest of the plan is still worth reading.
    firing = plan.child("firing") or Record(plan.sheet, {}, plan.at("firing"))
    gauges_m = read_gauges(plan)
    chambers = read_chambers(plan)
    parts = read_parts(plan, gauges_m)
    surroundings = read_surroundings(plan)
    variances = read_variances(plan)
    check_ways(plan, chambers, others)
    check_nesting(plan, chambers)
    check_parts(plan, parts, chambers, gauges_m or {})
    return Build(
        title=plan.text("title"),
        drawing=plan.maybe_text("drawing"),
        jurisdiction=plan.maybe_text("jurisdiction"),
        by_others=others,
        site=site,
        fuel=read_fuel(firing),
        firings=read_firings(firing),
        damper=read_damper(firing),
        gauges_m=gauges_m or {},
        chambers=chambers,
        parts=parts,
        surroundings=surroundings,
        variances=variances,
    )
