"""Parts: what they bound, where they are, and their layers."""

from __future__ import annotations

from typing import Literal, Mapping, cast, get_args

from stovelint.assemble import bounds
from stovelint.assemble.layers import read_layers
from stovelint.assemble.reader import NAN, Record
from stovelint.build import Bearing, Courses, Part, PartKind, Side

_RESTING = ("cap", "floor", "cook-plate", "bench-top", "lintel")
"""Kinds of part that span and rest on something."""
_KINDS = get_args(PartKind)


def read_gauges(plan: Record) -> dict[str, float] | None:
    """Course heights by name, m; None where their shape keeps them from being read."""
    if not plan.has("coursing"):
        return {} if plan.sheet.whole("coursing") else None
    coursing = plan.child("coursing")
    gauges = None if coursing is None else coursing.child("gauges")
    if gauges is None:
        return None
    return {name: gauges.number(name, bounds.GAUGE) for name in gauges.data}


def read_parts(
    plan: Record, gauges_m: Mapping[str, float] | None
) -> dict[str, Part]:
    return {name: _read_part(name, record, gauges_m) for name, record in plan.entries("parts")}


def _read_part(name: str, record: Record, gauges_m: Mapping[str, float] | None) -> Part:
    if record.has("between") and not record.has("bounds"):
        pair = record.texts("between")
        bounded, faces = pair[:1], pair[1] if len(pair) > 1 else ""
    else:
        bounded, faces = record.texts("bounds"), record.text("faces")
    from_m = record.maybe("from", bounds.ELEVATION)
    to_m = record.maybe("to", bounds.ELEVATION)
    if from_m is not None and to_m is not None and from_m >= to_m:
        message = f"`{name}` ends at or below where it begins"
        record.note("to", message, "give `to` an elevation above `from`")
    return Part(
        name=name,
        kind=cast(PartKind, record.text("kind")),
        bounds=bounded,
        faces=faces,
        sides=cast("tuple[Side, ...]", record.texts("sides")),
        from_m=from_m,
        to_m=to_m,
        along_m=_read_run(record),
        courses=_read_courses(record, gauges_m),
        area_m2=record.maybe("area", bounds.PART_AREA),
        bearing=_read_bearing(record),
        carried_by=record.maybe_text("carried_by"),
        layers=read_layers(record),
        path=record.path,
        shape=_read_shape(record),
        rise_m=record.maybe("rise", bounds.SPAN),
    )


def _read_shape(record: Record) -> Literal["dome", "vault"] | None:
    kind = record.text("kind")
    for key in ("shape", "rise"):
        if record.has(key) and kind in _KINDS and kind != "cap":
            record.note(key, f"a {kind} has no `{key}`", "delete it; it goes with: cap", True)
    if record.has("rise") and not record.has("shape"):
        record.note("rise", "a flat cap has no rise", "add `shape: dome` or `shape: vault`", True)
    return cast("Literal['dome', 'vault'] | None", record.maybe_text("shape"))


def _read_run(record: Record) -> tuple[float, float] | None:
    run = record.parsed("along", "run")
    if run is None:
        return None
    if run[1] > bounds.LONG.high:
        message = f"`along`: {' '.join(record.text('along').split())} cannot be meant"
        record.note("along", message, "check numbers and units")
        return None
    return float(run[0]), float(run[1])


def _read_courses(record: Record, gauges_m: Mapping[str, float] | None) -> Courses | None:
    found = record.parsed("courses", "courses")
    if found is None:
        return None
    gauge, first, last = found
    if gauges_m is None:
        pass
    elif not gauges_m:
        remedy = f"add `coursing: {{datum: top of base, gauges: {{{gauge}: 75 mm}}}}`"
        record.note("courses", f"there is no gauge `{gauge}`", remedy)
    elif gauge not in gauges_m:
        record.sheet.unknown(record.at("courses"), gauge, "gauge", gauges_m)
    elif gauges_m[gauge] * last > bounds.ELEVATION.high:
        message = f"`courses`: {last} courses of {gauge} cannot be meant"
        record.note("courses", message, "check the courses and the gauge")
    return Courses(gauge=gauge, first=first, last=last, path=record.at("courses"))


def _read_bearing(record: Record) -> Bearing | None:
    if not record.has("bearing"):
        return None
    kind = record.text("kind")
    if kind in _KINDS and kind not in _RESTING:
        message = f"a {kind} has no `bearing`"
        record.note("bearing", message, "delete it; it goes with: " + ", ".join(_RESTING), True)
    inner = record.child("bearing")
    if inner is None:
        width_m = record.number("bearing", bounds.SPAN)
        return Bearing(width_m=width_m, insulation_m=None, path=record.at("bearing"))
    return Bearing(
        width_m=inner.number("width", bounds.SPAN, NAN),
        insulation_m=inner.maybe("insulation", bounds.SMALL),
        path=inner.path,
    )
