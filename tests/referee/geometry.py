"""The heater cut up: gas zones, and the walls between them, room, outdoors and ground.

The rules of the cut are choices of the model (project's design page on heat): a bell in bands of
at most 0.3 m under a crown cell of 0.15 m, cut also where its parts begin and end and where gas
comes in or leaves; lying chambers and risers in even pieces of at most 0.6 m; each corner of an
upright chamber widens the heat's way by 1 - (2/pi) ln 2 of a wall thickness (conduction shape
factor of an edge, exact for long walls, recalled), a round one by its radius.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from typing import Literal

from tests.referee.read import Chamber, Part, Plan
from tests.referee.sizes import all_sides, floor_area, mouth, outlet, perimeter, side

CROWN, BAND, PIECE, APART, SOIL = 0.15, 0.30, 0.60, 0.08, 1.0
EDGE = 1.0 - 2.0 / math.pi * math.log(2.0)
UPRIGHT_PARTS = ("wall", "door", "glass", "facing", "partition", "lintel")
OPENINGS = ("door", "glass")
TOPS = ("cap", "bench-top", "cook-plate")
DUCTS = ("riser", "flue-run", "buried-pipe", "chimney")
AMBIENT = ("room", "outdoors", "ground")

Film = Literal["upright", "duct", "faces up", "faces down"]
"""Where a face looks: sideways, along a duct, up (gas or air above it) or down."""


@dataclass(frozen=True, kw_only=True)
class Zone:
    """`low`, `high`: elevations; along the length in a lying chamber. From top or inlet on."""

    chamber: str
    low: float
    high: float


@dataclass(frozen=True, kw_only=True)
class Wall:
    """One-dimensional stack of the layers of its parts, hot side first, between two gases; `cold`:
    a zone's number or a word of AMBIENT."""

    parts: tuple[Part, ...]
    chamber: str
    low: float
    high: float
    along: tuple[float, float] | None
    hot: int
    cold: int | str
    area: float
    growth: float
    """Area at depth x over hot area is 1 + growth x."""
    hot_film: Film
    cold_film: Film
    hot_length: float
    cold_length: float
    jet: bool
    round: bool = False
    """Whether it widens all round, and not by corners between flat sides."""


@dataclass(frozen=True, kw_only=True)
class Heater:
    plan: Plan
    zones: list[Zone] = field(default_factory=list)
    of: dict[str, list[int]] = field(default_factory=dict)
    """Numbers of a chamber's zones."""
    walls: list[Wall] = field(default_factory=list)


def bell_edges(plan: Plan, bell: Chamber) -> list[float]:
    """From the top down."""
    top, crown = bell.bottom + bell.height, bell.bottom + bell.height - min(CROWN, bell.height / 3)
    touching = [p for p in plan.parts.values() if bell.name in p.bounds or p.faces == bell.name]
    ends = sorted({z for p in touching for z in (p.low, p.high) if z is not None})
    ports = sorted(z for z in (outlet(bell), mouth(plan, bell.name)) if z is not None)
    kept = [bell.bottom, crown]
    for z in ends + ports:
        if bell.bottom < z < crown and min(abs(z - other) for other in kept) >= APART:
            kept.append(z)
    kept.sort()
    edges = [bell.bottom]
    for a, b in zip(kept, kept[1:]):
        n = max(1, math.ceil((b - a) / BAND - 1e-9))
        edges += [a + (b - a) * (i + 1) / n for i in range(n)]
    return [top, *reversed(edges)]


def lay_out(plan: Plan) -> Heater:
    heater = Heater(plan=plan)
    walled = {name for part in plan.parts.values() for name in part.bounds}
    for name, c in plan.chambers.items():
        if c.kind == "chimney" and name not in walled:
            continue
        if c.kind == "bell":
            edges = bell_edges(plan, c)
            spans = list(zip(edges[1:], edges))
        elif c.kind in ("firebox", "oven", "barrel"):
            spans = [(c.bottom, c.bottom + c.height)]
        else:
            start = 0.0 if c.lying else c.bottom
            n = max(1, math.ceil(c.length / PIECE - 1e-9))
            spans = [
                (start + c.length * i / n, start + c.length * (i + 1) / n) for i in range(n)
            ]
        heater.of[name] = list(range(len(heater.zones), len(heater.zones) + len(spans)))
        heater.zones.extend(Zone(chamber=name, low=a, high=b) for a, b in spans)
    for part in plan.parts.values():
        for name in part.bounds:
            if name not in heater.of or part.faces == "cavity":
                continue
            if part.kind in UPRIGHT_PARTS:
                _stand(heater, part, plan.chambers[name])
            elif part.kind in TOPS:
                _cover(heater, part, plan.chambers[name])
    for name in heater.of:
        _floor(heater, plan.chambers[name])
    return heater


def zone_near(heater: Heater, chamber: str, level: float) -> int:
    """The zone of an upright chamber at a level, the upper one on an edge, else the nearest."""
    if heater.plan.chambers[chamber].lying:
        return heater.of[chamber][0]
    for i in heater.of[chamber]:
        if heater.zones[i].low - 1e-6 <= level <= heater.zones[i].high + 1e-6:
            return i
    return min(
        heater.of[chamber],
        key=lambda i: min(abs(heater.zones[i].low - level), abs(heater.zones[i].high - level)),
    )


def _extent(part: Part, c: Chamber) -> tuple[float, float]:
    low = c.bottom if part.low is None else part.low
    return low, c.bottom + c.height if part.high is None else part.high


def _width(plan: Plan, part: Part, c: Chamber, low: float, high: float) -> float:
    """Of a part that does not name its sides: those that no other part claims over most of it."""
    if part.sides:
        return sum(side(c, s) for s in part.sides)
    claimed: set[str] = set()
    for other in plan.parts.values():
        if other is part or c.name not in other.bounds or other.kind not in UPRIGHT_PARTS:
            continue
        a, b = _extent(other, c)
        if other.kind not in OPENINGS and min(b, high) - max(a, low) > 0.5 * (high - low):
            claimed |= set(other.sides)
    return sum(side(c, s) for s in all_sides(c) if s not in claimed)


def _beyond(
    heater: Heater, part: Part, low: float, high: float
) -> list[tuple[int | str, float, float]]:
    """What the far side of a stretch of upright wall looks at. Beyond a chamber's ends its last
    zone counts."""
    zones = heater.of.get(part.faces)
    if zones is None:
        return [(part.faces if part.faces in AMBIENT else "room", low, high)]
    if len(zones) == 1 or heater.plan.chambers[part.faces].lying:
        return [(zones[0], low, high)]
    result: list[tuple[int | str, float, float]] = []
    for i in zones:
        a = low if i == zones[-1] else max(low, heater.zones[i].low)
        b = high if i == zones[0] else min(high, heater.zones[i].high)
        if b - a > 1e-6:
            result.append((i, a, b))
    return result


def _stand(heater: Heater, part: Part, c: Chamber) -> None:
    plan = heater.plan
    low, high = _extent(part, c)
    if part.kind == "partition" and part.faces in heater.of:
        far = plan.chambers[part.faces]
        low, high = max(low, far.bottom), min(high, far.bottom + far.height)
    pieces: list[tuple[int, int | str, float, float, float]] = []
    for i in heater.of[c.name]:
        zone = heater.zones[i]
        if c.lying:
            start, end = part.along or (0.0, c.length)
            sides = part.sides or all_sides(c)
            run = max(0.0, min(end, zone.high) - max(start, zone.low))
            area = c.height * run * sum(s in ("front", "back") for s in sides)
            if i == heater.of[c.name][-1] and any(s not in ("front", "back") for s in sides):
                area += c.width * c.height
            far_zones = heater.of.get(part.faces)
            cold: int | str = far_zones[-1] if far_zones else part.faces
            pieces.append((i, cold, zone.low, zone.high, area))
        elif min(high, zone.high) - max(low, zone.low) > 1e-6:
            for cold, a, b in _beyond(heater, part, max(low, zone.low), min(high, zone.high)):
                pieces.append((i, cold, a, b, (b - a) * _width(plan, part, c, a, b)))
    gross = sum(area for *_, area in pieces)
    holes = sum(
        p.area or 0.0
        for p in plan.parts.values()
        if p.kind in OPENINGS and c.name in p.bounds
        and (not part.sides or not p.sides or set(part.sides) & set(p.sides))
    )  # fmt: skip
    net = part.area if part.area is not None else max(gross - holes, 0.02 * gross)
    opening = part.kind in OPENINGS
    for i, cold, a, b, area in pieces:
        if area <= 0.0:
            continue
        growth = 0.0
        if not opening and not c.lying:
            growth = 2.0 / c.width if c.round else 8.0 * EDGE / perimeter(c)
        heater.walls.append(
            Wall(
                parts=(part,), chamber=c.name, low=low if c.lying else a,
                high=high if c.lying else b, along=(a, b) if c.lying else None, hot=i, cold=cold,
                area=area * net / gross, growth=growth,
                hot_film="duct" if c.kind in DUCTS else "upright", cold_film="upright",
                hot_length=c.height, cold_length=1.0 if isinstance(cold, str) else c.height,
                jet=False, round=c.round and growth > 0.0,
            )
        )  # fmt: skip


def _cover(heater: Heater, part: Part, c: Chamber) -> None:
    others = [
        p for p in heater.plan.parts.values()
        if p is not part and p.kind in TOPS and c.name in p.bounds
    ]  # fmt: skip
    top = c.bottom + c.height
    if c.lying:
        start, end = part.along or (0.0, c.length)
        pieces = [
            (i, c.width * max(0.0, min(end, z.high) - max(start, z.low)))
            for i, z in ((i, heater.zones[i]) for i in heater.of[c.name])
        ]  # fmt: skip
    elif part.area is not None:
        pieces = [(heater.of[c.name][0], part.area)]
    else:
        left = max(floor_area(c) - sum(p.area or 0.0 for p in others), 0.0)
        pieces = [(heater.of[c.name][0], left / (1 + sum(p.area is None for p in others)))]
    cold: int | str = part.faces if part.faces in AMBIENT else "room"
    if part.faces in heater.of:
        over = top + sum(layer.thickness for layer in part.layers)
        cold = zone_near(heater, part.faces, over)
    _lay(heater, c, (part,), pieces, cold, top, down=True)


def _floor(heater: Heater, c: Chamber) -> None:
    plan = heater.plan
    parts = tuple(
        p for kind in ("floor", "base") for p in plan.parts.values()
        if p.kind == kind and c.name in p.bounds and p.faces != "cavity"
    )  # fmt: skip
    if not parts:
        return
    stated = [p.area for p in parts if p.bounds == (c.name,) and p.area is not None]
    total = floor_area(c)
    if not c.lying:
        taken = sum(
            _stands_on(plan, inner) for inner in plan.chambers.values() if inner.inside == c.name
        )
        total = max(total - taken, 0.05 * total)
    if stated:
        total = stated[-1]
    zones = heater.of[c.name] if c.lying else heater.of[c.name][-1:]
    pieces = [
        (i, total * (heater.zones[i].high - heater.zones[i].low) / c.length if c.lying else total)
        for i in zones
    ]
    faces = parts[-1].faces
    cold: int | str = faces if faces in AMBIENT else "room"
    if faces in heater.of:
        under = c.bottom - sum(layer.thickness for p in parts for layer in p.layers)
        cold = zone_near(heater, faces, under)
    _lay(heater, c, parts, pieces, cold, c.bottom, down=False)


def _stands_on(plan: Plan, c: Chamber) -> float:
    """Plan area of a chamber and its walls within another, if it has a floor of its own."""
    own = [p for p in plan.parts.values() if c.name in p.bounds]
    if not any(p.kind in ("floor", "base") for p in own):
        return 0.0
    walls = [p for p in own if p.kind == "wall" and p.faces == c.inside]
    thick = max((sum(layer.thickness for layer in p.layers) for p in walls), default=0.0)
    return floor_area(c) + perimeter(c) * thick + (math.pi if c.round else 4.0) * thick**2


def _lay(
    heater: Heater, c: Chamber, parts: tuple[Part, ...], pieces: list[tuple[int, float]],
    cold: int | str, level: float, *, down: bool,
) -> None:  # fmt: skip
    """A lying stack; `down`: its hot face looks down (a cap), else up (a floor)."""
    length = floor_area(c) / perimeter(c)
    for i, area in pieces:
        if area <= 1e-6:
            continue
        zone = heater.zones[i]
        heater.walls.append(
            Wall(
                parts=parts, chamber=c.name, low=level, high=level,
                along=(zone.low, zone.high) if c.lying else None, hot=i, cold=cold, area=area,
                growth=0.0, hot_film="faces down" if down else "faces up",
                cold_film="faces up" if down else "faces down", hot_length=length,
                cold_length=length, jet=down and c.kind == "bell",
            )
        )  # fmt: skip
