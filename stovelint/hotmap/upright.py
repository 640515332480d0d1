"""Upright parts (walls, doors, partitions) cut by the zones on both of their sides."""

from __future__ import annotations

from stovelint.build import Part
from stovelint.heat.network import ROOM
from stovelint.heat.shapes import EDGE
from stovelint.hotmap.cavity import Beyond, beyond
from stovelint.hotmap.cutting import AMBIENT, Cutting
from stovelint.hotmap.patches import OPENING_KINDS, UPRIGHT_KINDS, Bulge, Patch, span_of
from stovelint.hotmap.zones import Room, Zone, stretch

CORNER = EDGE
"""Conduction shape factor of an edge between two walls, per wall thickness: each corner adds so
much to the mean conducting width. Between films the heat flow of a square chamber's wall comes out
within 3 % of finite elements (a flat wall 6 to 27 % short), the skin in the middle of a side by
`hotmap.middle` too (computed, `tests/heat/test_corner.py`)."""
OUTER_HEIGHT_M = 1.0


def _width(
    c: Cutting, part: Part, room: Room, low: float, high: float, far: Beyond
) -> float:
    """Horizontal length that a wall covers between two elevations."""
    if part.sides:
        return sum(room.side_m(side) for side in part.sides)
    taken: set[str] = set()
    for other in c.build.parts.values():
        if other is part or other.name in far.parts or room.chamber.name not in other.bounds:
            continue
        if other.kind not in UPRIGHT_KINDS or other.kind in OPENING_KINDS or not other.sides:
            continue
        other_low, other_high = span_of(other, room, c.gauges_m)
        if min(high, other_high) - max(low, other_low) > 0.5 * (high - low):
            taken.update(other.sides)
    return sum(room.side_m(side) for side in room.sides if side not in taken)


def _openings(c: Cutting, part: Part, room: Room) -> float:
    """Area of doors and glass that a wall must leave free, m2 (all of the chamber's)."""
    total = 0.0
    for other in c.build.parts.values():
        if other.kind in OPENING_KINDS and room.chamber.name in other.bounds:
            if not part.sides or not other.sides or set(part.sides) & set(other.sides):
                total += other.area_m2 or 0.0
    return total


def cut_upright(c: Cutting, part: Part, room: Room) -> None:
    opening = part.kind in OPENING_KINDS
    if opening and part.area_m2 is None:
        c.cannot(part, "its size is not given", "add its width and height, or its area")
        return
    far = beyond(c, part)
    if far is None:
        return
    low, high = span_of(part, room, c.gauges_m)
    behind = c.rooms.get(far.faces)
    if part.kind == "partition" and behind is not None:  # only where both chambers are
        low, high = max(low, behind.bottom_m), min(high, behind.top_m)
    stack = c.stack([part], far.faces == "ground", far.layers)
    growth = corners = 0.0
    if not room.lying and not opening:
        radius = (room.chamber.size.diameter_m or 0.0) / 2.0
        corners = 1.0 / radius if radius else 8.0 / room.perimeter_m
        growth = corners if radius else CORNER * corners
    bulge: Bulge = "round" if room.chamber.size.diameter_m and growth else "flat"
    pieces = _pieces(c, part, room, low, high, far)
    gross = sum(area for *_, area in pieces)
    if gross <= 0.0:
        c.cannot(part, f"it does not reach {room.chamber.name}", "check its elevations and sides")
        return
    c.claimed[room.chamber.name] = c.claimed.get(room.chamber.name, 0.0) + (
        0.0 if opening else gross
    )
    if part.area_m2 is not None:
        scale = part.area_m2 / gross
    else:
        scale = max(gross - _openings(c, part, room), 0.02 * gross) / gross
    duct = room.chamber.kind in ("riser", "flue-run", "buried-pipe", "chimney")
    for zone, cold, bottom, top, area in pieces:
        where = stretch(bottom, top, along=room.lying)
        along = (bottom, top) if room.lying else None
        if room.lying:  # the piece runs along the chamber; its elevations are the part's
            bottom, top = low, high
        c.patches.append(
            Patch(
                parts=(part.name, *far.parts), chamber=room.chamber.name, where=where,
                from_m=bottom, to_m=top, leaves=stack, hot_zone=zone.index, cold=cold,
                area_m2=area * scale, growth_per_m=growth, hot_film="duct" if duct else "vertical",
                cold_film="vertical", hot_height_m=room.height_m,
                cold_height_m=OUTER_HEIGHT_M if cold < 0 else room.height_m, jet=False,
                along_m=along, corners_per_m=corners, closed_by=far.surrounding, bulge=bulge,
            )
        )  # fmt: skip


def _pieces(
    c: Cutting, part: Part, room: Room, low: float, high: float, far: Beyond
) -> list[tuple[Zone, int, float, float, float]]:
    """(hot zone, cold side, from, to, area): cut by the zones on both sides."""
    result: list[tuple[Zone, int, float, float, float]] = []
    behind = c.rooms.get(far.faces)
    for zone in room.zones:
        if room.lying:
            start, end = part.along_m if part.along_m else (0.0, room.length_m)
            share = max(0.0, min(zone.high_m, end) - max(zone.low_m, start))
            sides = part.sides or room.sides
            area = sum(share * room.height_m for side in sides if side in ("front", "back"))
            if any(side not in ("front", "back") for side in sides) and zone is room.zones[-1]:
                area += room.side_m("end") * room.height_m
            if area > 0.0:
                cold = AMBIENT.get(far.faces, behind.zones[-1].index if behind else ROOM)
                result.append((zone, cold, zone.low_m, zone.high_m, area))
            continue
        bottom, top = max(low, zone.low_m), min(high, zone.high_m)
        if top - bottom < 1e-6:
            continue
        for cold, piece_low, piece_high in _behind(far.faces, behind, bottom, top):
            width = _width(c, part, room, piece_low, piece_high, far)
            if width > 0.0:
                area = width * (piece_high - piece_low)
                result.append((zone, cold, piece_low, piece_high, area))
    return result


def _behind(
    faces: str, behind: Room | None, bottom: float, top: float
) -> list[tuple[int, float, float]]:
    """What the far side of a stretch of wall looks at, by elevation."""
    if behind is None:
        return [(AMBIENT.get(faces, ROOM), bottom, top)]
    if behind.lying or len(behind.zones) == 1:
        return [(behind.zones[0].index, bottom, top)]
    pieces = []
    for index, zone in enumerate(behind.zones):
        # the highest and lowest zones also take what sticks out beyond their chamber
        high = top if index == 0 else min(top, zone.high_m)
        low = bottom if index == len(behind.zones) - 1 else max(bottom, zone.low_m)
        if high - low > 1e-6:
            pieces.append((zone.index, low, high))
    return pieces
