"""Lying parts: caps over a chamber, and floors and bases under it as one stack."""

from __future__ import annotations

import math

from stovelint.build import Part
from stovelint.heat.network import ROOM
from stovelint.hotmap.arches import arched
from stovelint.hotmap.cavity import Beyond, beyond, is_far_side
from stovelint.hotmap.cutting import AMBIENT, Cutting
from stovelint.hotmap.patches import BOTTOM_KINDS, TOP_KINDS, Patch
from stovelint.hotmap.records import Unsolved
from stovelint.hotmap.stack import Leaf
from stovelint.hotmap.zones import Room, stretch, zone_at
from stovelint.quantity import format_length


def cut_top(c: Cutting, part: Part, room: Room) -> None:
    others = [
        p for p in c.build.parts.values()
        if p is not part and p.kind in TOP_KINDS and room.chamber.name in p.bounds
        and not is_far_side(c.build, p)
    ]  # fmt: skip
    far = beyond(c, part)
    if far is None:
        return
    behind = c.rooms.get(far.faces)
    stack = c.stack([part], far.faces == "ground", far.layers, lying=True)
    length = room.plan_m2 / room.perimeter_m
    form = arched(part, room)
    if form is None:
        return c.cannot(
            part, f"a rise of {format_length(part.rise_m or 0.0)} is more than half its span",
            "check `rise`, or draw the upright part of it as a wall",
        )  # fmt: skip
    if room.lying:
        start, end = part.along_m or (0.0, room.length_m)
        width = room.plan_m2 / room.length_m
        pieces = [
            (zone, max(0.0, min(zone.high_m, end) - max(zone.low_m, start)) * width * form.area)
            for zone in room.zones
        ]
    else:
        stated = sum(p.area_m2 or 0.0 for p in others)
        rest = max(room.plan_m2 - stated, 0.0) / (1 + sum(p.area_m2 is None for p in others))
        drawn = part.area_m2 if part.area_m2 is not None else rest * form.area
        pieces = [(room.zones[0], drawn)]
    top = room.top_m
    for zone, area in pieces:
        if area <= 1e-6:
            continue
        cold = AMBIENT.get(far.faces, ROOM)
        if behind is not None:
            level = top + sum(leaf.thickness_m for leaf in stack)
            cold = zone_at(behind, level).index
        where = stretch(zone.low_m, zone.high_m, along=True) if room.lying else "span"
        c.patches.append(
            Patch(
                parts=(part.name, *far.parts), chamber=room.chamber.name, where=where,
                from_m=top, to_m=top, leaves=stack, hot_zone=zone.index,
                cold=cold, area_m2=area, growth_per_m=form.growth_per_m,
                bulge=form.bulge, hot_film="ceiling",
                cold_film="floor" if cold >= 0 else "ceiling", hot_height_m=length,
                cold_height_m=length, jet=room.banded,
                along_m=(zone.low_m, zone.high_m) if room.lying else None,
                closed_by=far.surrounding,
            )
        )  # fmt: skip


def cut_bottom(c: Cutting, room: Room) -> None:
    """The floor of a chamber: its `floor` parts on its `base` parts, as one stack."""
    name = room.chamber.name
    parts = [
        p for kind in BOTTOM_KINDS for p in c.build.parts.values()
        if p.kind == kind and name in p.bounds
    ]  # fmt: skip
    parts.sort(key=lambda p: is_far_side(c.build, p))  # what closes a cavity lies under it
    if not parts:
        if room.chamber.kind in ("firebox", "bell", "bench", "oven", "barrel"):
            c.unsolved.append(
                Unsolved(
                    path=room.chamber.path, subject=name,
                    reason="no part closes its bottom, so heat downwards is not reckoned",
                    remedy=f"add a part of kind floor or base that bounds {name}",
                )
            )  # fmt: skip
        return
    closing = [p for p in parts if not is_far_side(c.build, p)]
    open_below = [p for p in closing if p.faces == "cavity"]
    far = beyond(c, (open_below or closing or parts)[-1])
    if far is None:
        return
    faces = far.faces
    behind = c.rooms.get(faces)
    parts = [p for p in parts if p.name not in far.parts]
    stack = c.stack(parts, faces == "ground", far.layers, lying=True)
    footprint = sum(_footprint(c, r) for r in c.rooms.values() if r.chamber.inside == name)
    length = room.plan_m2 / room.perimeter_m
    total = room.plan_m2 if room.lying else max(room.plan_m2 - footprint, 0.05 * room.plan_m2)
    stated = [p.area_m2 for p in parts if p.bounds == (name,) and p.area_m2 is not None]
    if stated:
        total = stated[-1]
    zones = room.zones if room.lying else (room.zones[-1],)
    for zone in zones:
        area = total * zone.length_m / room.length_m if room.lying else total
        where = f"under {name}"
        if room.lying:
            where += f", {stretch(zone.low_m, zone.high_m, along=True)}"
        cold = AMBIENT.get(faces, ROOM)
        if behind is not None:
            cold = zone_at(behind, room.bottom_m - sum(x.thickness_m for x in stack)).index
        for share, word, leaves in _ways_down(c, parts, far, stack):
            c.patches.append(
                Patch(
                    parts=(*(p.name for p in parts), *far.parts), chamber=name,
                    where=where + word, from_m=room.bottom_m, to_m=room.bottom_m, leaves=leaves,
                    hot_zone=zone.index, cold=cold, area_m2=share * area, growth_per_m=0.0,
                    hot_film="floor", cold_film="ceiling" if cold >= 0 else "floor",
                    hot_height_m=length, cold_height_m=length, jet=False,
                    along_m=(zone.low_m, zone.high_m) if room.lying else None,
                    closed_by=far.surrounding,
                )
            )  # fmt: skip


def _ways_down(
    c: Cutting, parts: list[Part], far: Beyond, stack: tuple[Leaf, ...]
) -> list[tuple[float, str, tuple[Leaf, ...]]]:
    """(share of the area, word for people, leaves): one way, or over a joist and between joists.

    What spreads sideways round a joist is in the joist's own conductivity (`heat.joists`).
    """
    joists = next(
        (x.joists for p in parts for x in p.layers if x.joists is not None),
        next((x.joists for _, x in far.layers if x.joists is not None), None),
    )
    between = c.stack(parts, far.faces == "ground", far.layers, True, True) if joists else ()
    if joists is None or not between:
        return [(1.0, "", stack)]
    return [
        (joists.share, ", over a joist", stack), (1.0 - joists.share, ", between joists", between),
    ]  # fmt: skip


def _footprint(c: Cutting, room: Room) -> float:
    """Plan area of a chamber that stands in another, with the walls that stand in there too, if
    it has a floor."""
    name = room.chamber.name
    if not any(p.kind in BOTTOM_KINDS and name in p.bounds for p in c.build.parts.values()):
        return 0.0
    walls = [
        sum(layer.thickness_m for layer in p.layers)
        for p in c.build.parts.values()
        if p.kind == "wall" and name in p.bounds and p.faces == room.chamber.inside
    ]
    thickness = max(walls, default=0.0)
    corners = math.pi if room.chamber.size.diameter_m else 4.0
    return room.plan_m2 + room.perimeter_m * thickness + corners * thickness**2
