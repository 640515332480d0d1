"""Chambers with their sizes and ways."""

from __future__ import annotations

from dataclasses import replace
from typing import cast

from stovelint.assemble import bounds
from stovelint.assemble.reader import NAN, Record
from stovelint.build import Chamber, ChamberKind, Declared, Port, Size

UPRIGHT = ("firebox", "riser", "bell", "oven", "barrel", "chimney")
LYING = ("bench", "flue-run", "buried-pipe")
KINDS = (*UPRIGHT, *LYING)
TURNING = ("riser", "flue-run", "bench", "buried-pipe", "chimney")
"""Kinds in which the gas is fast enough for its turns to count."""
RESERVED = ("room", "outdoors", "ground", "cavity")
"""Words that `faces` uses for what is no chamber."""

SHARES_TOLERANCE = 0.0101
"""Shares in whole percent may miss the whole by a percent (33, 33 and 33 %); they are then
scaled to it."""


def read_chambers(plan: Record) -> dict[str, Chamber]:
    chambers = {name: _read_chamber(name, record) for name, record in plan.entries("chambers")}
    _check_air_inlets(plan, chambers)
    _check_fires(plan, chambers)
    return {
        name: _seated(chamber, chambers) if chamber.kind == "chimney" else chamber
        for name, chamber in chambers.items()
    }


def _seated(chimney: Chamber, chambers: dict[str, Chamber]) -> Chamber:
    """A chimney without a `bottom` begins where the gas enters it, else at the datum."""
    if chimney.bottom_m != float("-inf"):
        return chimney
    inlets = [
        port.at_m
        for chamber in chambers.values()
        for port in chamber.leads_to
        if port.to == chimney.name and port.at_m is not None
    ]
    return replace(chimney, bottom_m=min(inlets, default=0.0))


def _read_chamber(name: str, record: Record) -> Chamber:
    kind = record.text("kind")
    if name in RESERVED:
        record.sheet.note(
            record.path, f"`{name}` cannot name a chamber",
            "`faces` uses that word: choose another", at_key=True,
        )  # fmt: skip
    declared = _read_declared(record)
    size = _read_size(record, kind, declared)
    absent = float("-inf") if kind == "chimney" else NAN
    if kind != "chimney" and not record.has("bottom"):
        message = f"`bottom` is missing in `{name}`"
        record.note("bottom", message, "add the elevation of its floor, for instance 0 mm")
    leaves_at_m = record.maybe("leaves_at", bounds.ELEVATION)
    return Chamber(
        name=name,
        kind=cast(ChamberKind, kind),
        size=size,
        bottom_m=record.number("bottom", bounds.ELEVATION, absent),
        inside=record.maybe_text("inside"),
        leads_to=_read_ways(record, leaves_at_m),
        opens_to=_read_openings(record),
        leaves_at_m=leaves_at_m,
        declared=declared,
        bends=_read_bends(record, kind),
        air_inlet_m2=record.maybe("air_inlet", bounds.PORT),
        fire="open" if record.maybe_text("fire") == "open" else None,
        path=record.path,
    )


def _read_bends(record: Record, kind: str) -> int | None:
    if not record.has("bends"):
        return None
    if kind in KINDS and kind not in TURNING:
        message = f"`bends` in `{record.path[-1]}`: gas is too slow in a {kind} to count its turns"
        remedy = f"give it in a {', '.join(TURNING[:-1])} or {TURNING[-1]}"
        record.note("bends", message, remedy, True)
    return record.whole("bends", 1)


def _check_air_inlets(plan: Record, chambers: dict[str, Chamber]) -> None:
    """Where there is no firebox at all, that alone is told."""
    if not any(chamber.kind == "firebox" for chamber in chambers.values()):
        return
    for name, record in plan.entries("chambers"):
        kind = chambers[name].kind
        if kind in KINDS and kind != "firebox" and record.has("air_inlet"):
            message = f"`air_inlet` in `{name}`: only the firebox draws air from the room"
            record.note("air_inlet", message, "move it to the firebox, or delete it", True)


def _check_fires(plan: Record, chambers: dict[str, Chamber]) -> None:
    for name, record in plan.entries("chambers"):
        kind = chambers[name].kind
        if kind in KINDS and kind != "firebox" and record.has("fire"):
            message = f"`fire` in `{name}`: only a firebox has one"
            remedy = "make the chamber in which the fire burns `kind: firebox`, or delete it"
            record.note("fire", message, remedy, True)


def _read_declared(record: Record) -> Declared | None:
    inner = record.child("declared")
    if inner is None:
        return None
    return Declared(
        wall_C=inner.number("wall", bounds.HOT),
        exit_C=inner.number("exit", bounds.HOT),
        source=inner.text("source"),
        path=inner.path,
    )


def _read_size(record: Record, kind: str, declared: Declared | None) -> Size:
    size = record.child("size")
    if size is None:
        if declared is None and not record.has("size"):
            message = f"`size` is missing in `{record.path[-1]}`"
            record.note("size", message, f"add it: {_needs(kind)}")
        return Size()
    _check_size(size, kind)
    return Size(
        width_m=size.maybe("width", bounds.ACROSS),
        depth_m=size.maybe("depth", bounds.ACROSS),
        height_m=size.maybe("height", bounds.LONG),
        length_m=size.maybe("length", bounds.LONG),
        diameter_m=size.maybe("diameter", bounds.ACROSS),
    )


def _needs(kind: str) -> str:
    if kind in LYING:
        return "length, and width and height or diameter"
    return "height, and width and depth or diameter"


def _check_size(size: Record, kind: str) -> None:
    """Every kind has one axis, and across it either a diameter or two sides."""
    if kind not in UPRIGHT and kind not in LYING:
        return
    axis = "length" if kind in LYING else "height"
    sides: tuple[str, ...] = ("width", "height" if kind in LYING else "depth")
    named = f"{kind} `{size.path[-2]}`"
    for key in size.data:
        if key in ("width", "depth", "height", "length") and key not in (axis, *sides):
            size.note(key, f"{named} has no `{key}`", f"give {_needs(kind)}", at_key=True)
    if size.has("diameter"):
        for key in sides:
            if size.has(key):
                message = f"{named} has both `diameter` and `{key}`"
                size.note(key, message, "keep the diameter or the sides", at_key=True)
        sides = ()
    for key in (axis, *sides):
        if not size.has(key):
            message = f"the size of {named} lacks `{key}`"
            size.note(key, message, f"give {_needs(kind)}")


def _read_ways(record: Record, leaves_at_m: float | None) -> tuple[Port, ...]:
    """One-way ports. A lone way takes all the gas and lies at `leaves_at` unless it says where."""
    lone = record.maybe_text("leads_to")
    if lone is not None:
        path = record.at("leads_to")
        return (Port(to=lone, share=1.0, area_m2=None, at_m=leaves_at_m, path=path),)
    ways = list(record.entries("leads_to"))
    several = len(ways) > 1
    parts_itself = several and not any(way.has("share") for _, way in ways)
    ports = []
    shares = []
    for to, way in ways:
        if several and not way.has("area" if parts_itself else "share"):
            lacks = "neither share nor area" if parts_itself else "no share"
            message = f"the way to `{to}` has {lacks}, and there are {len(ways)} ways"
            remedy = "add `share` to each way, 100 % together"
            if parts_itself:
                remedy += ", or `area` to each: the gas then parts by what each way costs it"
            way.note("share", message, remedy)
        at_m = way.maybe("at", bounds.ELEVATION)
        shares.append(way.number("share", bounds.SHARE, NAN if several else 1.0))
        ports.append(
            Port(
                to=to,
                share=None,
                area_m2=way.maybe("area", bounds.PORT),
                at_m=leaves_at_m if at_m is None and not several else at_m,
                path=way.path,
            )
        )
    if parts_itself:
        return tuple(ports)
    total = sum(shares)
    if ports and abs(total - 1.0) > SHARES_TOLERANCE:
        message = f"the shares of `{record.path[-1]}` are {100 * total:.4g} % together"
        record.note("leads_to", message, "make them 100 %", at_key=True)
    return tuple(replace(port, share=share / total) for port, share in zip(ports, shares))


def _read_openings(record: Record) -> tuple[Port, ...]:
    """Two-way ports: no share of the gas leaves for good, so theirs is nought."""
    return tuple(
        Port(
            to=to,
            share=0.0,
            area_m2=opening.number("area", bounds.PORT),
            at_m=opening.maybe("at", bounds.ELEVATION),
            path=opening.path,
        )
        for to, opening in record.entries("opens_to")
    )
