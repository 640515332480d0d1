"""Names that refer to one another, and what must then fit."""

from __future__ import annotations

from typing import Mapping

from stovelint.assemble.chambers import RESERVED
from stovelint.assemble.reader import Record, Sheet
from stovelint.assemble.ways import vertical_m
from stovelint.build import Chamber, Part, Size
from stovelint.quantity import format_length

_SLACK_M = 0.001
"""A millimetre: what unit conversions and rounded figures may differ by."""


def check_nesting(plan: Record, chambers: Mapping[str, Chamber]) -> None:
    """Note a chamber that stands in itself, in nothing, or in one that it does not fit into."""
    sheet, names = plan.sheet, plan.names("chambers")
    told: set[str] = set()
    for chamber in chambers.values():
        outer = chamber.inside
        path = (*chamber.path, "inside")
        if outer is None:
            continue
        if outer == chamber.name:
            sheet.note(path, f"`{outer}` stands in itself", "name the chamber around it")
        elif outer not in names:
            others = [name for name in names if name != chamber.name]
            sheet.unknown(path, outer, "chamber", others)
        elif circle := _circle(chamber.name, chambers):
            if told.intersection(circle):
                continue
            told.update(circle)
            message = f"`{chamber.name}` and `{outer}` stand in one another"
            sheet.note(path, message, "delete one `inside`")
        else:
            _check_fit(sheet, chamber, chambers.get(outer))


def _circle(name: str, chambers: Mapping[str, Chamber]) -> set[str]:
    """All chambers on the circle of `inside` that leads back to `name`; empty when none does."""
    seen: set[str] = set()
    here = chambers[name].inside
    while here is not None and here in chambers and here not in seen:
        seen.add(here)
        if here == name:
            return seen
        here = chambers[here].inside
    return set()


def _check_fit(sheet: Sheet, inner: Chamber, outer: Chamber | None) -> None:
    if outer is None:
        return
    path = (*inner.path, "inside")
    low, high = vertical_m(inner), vertical_m(outer)
    if low is not None and high is not None:
        if low[0] < high[0] - _SLACK_M or low[1] > high[1] + _SLACK_M:
            message = (
                f"`{inner.name}` reaches from {format_length(low[0])} to {format_length(low[1])},"
                f" out of `{outer.name}` ({format_length(high[0])} to {format_length(high[1])})"
            )
            sheet.note(path, message, "check `bottom` and `height` of both")
    footprints = _footprint_m2(inner.size), _footprint_m2(outer.size)
    if footprints[0] is not None and footprints[1] is not None and footprints[0] >= footprints[1]:
        message = f"`{inner.name}` is as wide inside as `{outer.name}` around it, or wider"
        sheet.note(path, message, "check the sizes of both")


def _footprint_m2(size: Size) -> float | None:
    if size.length_m is not None:
        across_m = size.width_m if size.width_m is not None else size.diameter_m
        return None if across_m is None else size.length_m * across_m
    if size.diameter_m is not None:
        return 0.7853981633974483 * size.diameter_m**2
    if size.width_m is None or size.depth_m is None:
        return None
    return size.width_m * size.depth_m


def check_parts(
    plan: Record,
    parts: Mapping[str, Part],
    chambers: Mapping[str, Chamber],
    gauges_m: Mapping[str, float],
) -> None:
    """Note parts of chambers that do not exist, or that lie beyond them."""
    sheet, names = plan.sheet, plan.names("chambers")
    if not names:
        return
    for name, record in plan.entries("parts"):
        part = parts[name]
        pair = record.has("between") and not record.has("bounds")
        key = "between" if pair else "bounds"
        listed = isinstance(record.data.get(key), list)
        for place, bound in enumerate(part.bounds):
            if bound not in names:
                path = (*record.at(key), place) if listed else record.at(key)
                sheet.unknown(path, bound, "chamber", names)
        if part.faces:
            path = (*record.at("between"), 1) if pair else record.at("faces")
            if part.faces in part.bounds:
                sheet.note(
                    path, f"`{part.name}` bounds and faces the same chamber",
                    "say what is on its far side",
                )  # fmt: skip
            elif part.faces not in names and (pair or part.faces not in RESERVED):
                words = names if pair else (*RESERVED, *names)
                sheet.unknown(path, part.faces, "chamber" if pair else "far side", words)
        _check_reach(sheet, part, chambers, gauges_m)


def _check_reach(
    sheet: Sheet, part: Part, chambers: Mapping[str, Chamber], gauges_m: Mapping[str, float]
) -> None:
    bounded = [chambers[name] for name in part.bounds if name in chambers]
    if part.along_m is not None:
        for chamber in bounded:
            length_m = chamber.size.length_m
            path = (*part.path, "along")
            if chamber.kind not in ("bench", "flue-run", "buried-pipe"):
                message = f"`along` is for lying chambers, and `{chamber.name}` stands upright"
                sheet.note(path, message, "use `from` and `to`, or `courses`", True)
            elif length_m is not None and part.along_m[1] > length_m + _SLACK_M:
                message = f"`{part.name}` ends beyond `{chamber.name}`"
                remedy = f"it is {format_length(length_m)} long"
                sheet.note(path, message, remedy)
    low_m, high_m, key = part.from_m, part.to_m, "from"
    if part.courses is not None:
        gauge_m = gauges_m.get(part.courses.gauge)
        if gauge_m is None:
            return
        low_m, high_m = (part.courses.first - 1) * gauge_m, part.courses.last * gauge_m
        key = "courses"
    for chamber in bounded:
        reach = vertical_m(chamber)
        if reach is None:
            continue
        if low_m is not None and low_m >= reach[1]:
            where = f"above the ceiling of `{chamber.name}` at {format_length(reach[1])}"
            sheet.note((*part.path, key), f"`{part.name}` begins {where}", "check the elevations")
        elif high_m is not None and high_m <= reach[0]:
            where = f"below the floor of `{chamber.name}` at {format_length(reach[0])}"
            key = key if part.courses is not None else "to"
            sheet.note((*part.path, key), f"`{part.name}` ends {where}", "check the elevations")
