"""Parts cut into patches: pieces of wall, cap or base that see like conditions on both sides."""

from __future__ import annotations

from dataclasses import dataclass

from stovelint.build import Build, Layer, Part
from stovelint.heat.network import GROUND, OUTDOORS, ROOM, FilmKind
from stovelint.hotmap.records import Unsolved
from stovelint.hotmap.stack import Leaf, leaves
from stovelint.hotmap.zones import Room, Zone

UPRIGHT_KINDS = ("wall", "door", "glass", "facing", "partition", "lintel")
OPENING_KINDS = ("door", "glass")
TOP_KINDS = ("cap", "bench-top", "cook-plate")
BOTTOM_KINDS = ("floor", "base")
AMBIENT = {"room": ROOM, "outdoors": OUTDOORS, "ground": GROUND}
CORNER = 0.54
"""Conduction shape factor of an edge between two walls, per wall thickness (textbook value,
recalled): each corner adds 0.54 t to the mean conducting width."""
OUTER_HEIGHT_M = 1.0
CLOSED_WITHIN = 0.03
"""Share of a band that may be missing or doubled before it is asked about (openings' edges)."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Patch:
    """One wall of the network, and what it is called. Lengths m, areas m2."""

    parts: tuple[str, ...]
    """The parts whose layers it holds, hot side first."""
    chamber: str
    where: str
    from_m: float
    to_m: float
    leaves: tuple[Leaf, ...]
    hot_zone: int
    cold: int
    """Zone index, or ROOM, OUTDOORS, GROUND."""
    area_m2: float
    growth_per_m: float
    """Widening of the heat's way with depth: area at depth x over hot area = 1 + growth x."""
    hot_film: FilmKind
    cold_film: FilmKind
    hot_height_m: float
    cold_height_m: float
    jet: bool

    @property
    def thickness_m(self) -> float:
        return sum(leaf.thickness_m for leaf in self.leaves)

    @property
    def cold_ratio(self) -> float:
        return 1.0 + self.growth_per_m * self.thickness_m


def span_of(part: Part, room: Room, gauges_m: dict[str, float]) -> tuple[float, float]:
    """Elevations of an upright part: its courses, its from/to, or the chamber's whole height."""
    if part.courses is not None:
        gauge = gauges_m[part.courses.gauge]
        return (part.courses.first - 1) * gauge, part.courses.last * gauge
    low = part.from_m if part.from_m is not None else room.bottom_m
    high = part.to_m if part.to_m is not None else room.top_m
    return low, high


class Cutter:
    """Cuts all parts of a build; collects what could not be placed."""

    def __init__(self, build: Build, rooms: dict[str, Room], families: dict[str, str]) -> None:
        self.build, self.rooms, self.families = build, rooms, families
        self.gauges = dict(build.gauges_m)
        self.unsolved: list[Unsolved] = []
        self.patches: list[Patch] = []
        self.claimed: dict[str, float] = {}
        """Upright area accounted for, per chamber."""

    def cut(self) -> tuple[Patch, ...]:
        for part in self.build.parts.values():
            if part.kind == "hearth-extension":
                continue  # lies outside the gas; judged by its outline, not by heat
            if part.faces == "cavity":
                self._cannot(part, "it faces a cavity", "give the gap as a layer and what lies behind it")
                continue
            for name in part.bounds:
                room = self.rooms.get(name)
                if room is None:
                    continue
                if part.kind in UPRIGHT_KINDS:
                    self._upright(part, room)
                elif part.kind in TOP_KINDS:
                    self._top(part, room)
        for room in self.rooms.values():
            self._bottom(room)
            self._check_closed(room)
        return tuple(self.patches)

    def _cannot(self, part: Part, reason: str, remedy: str) -> None:
        self.unsolved.append(
            Unsolved(path=part.path, subject=part.name, reason=reason, remedy=remedy)
        )

    def _stack(self, parts: list[Part], on_soil: bool) -> tuple[Leaf, ...]:
        layers: list[tuple[str, Layer]] = [(p.name, layer) for p in parts for layer in p.layers]
        return leaves(layers, self.families, on_soil)

    # -- upright parts ---------------------------------------------------------------------

    def _width(self, part: Part, room: Room, low: float, high: float) -> float:
        """Horizontal length that a wall covers between two elevations."""
        if part.sides:
            return sum(room.side_m(side) for side in part.sides)
        taken: set[str] = set()
        for other in self.build.parts.values():
            if other is part or room.chamber.name not in other.bounds:
                continue
            if other.kind not in UPRIGHT_KINDS or other.kind in OPENING_KINDS or not other.sides:
                continue
            other_low, other_high = span_of(other, room, self.gauges)
            if min(high, other_high) - max(low, other_low) > 0.5 * (high - low):
                taken.update(other.sides)
        return sum(room.side_m(side) for side in room.sides if side not in taken)

    def _openings(self, part: Part, room: Room) -> float:
        """Area of doors and glass that a wall must leave free, m2 (all of the chamber's)."""
        total = 0.0
        for other in self.build.parts.values():
            if other.kind in OPENING_KINDS and room.chamber.name in other.bounds:
                if not part.sides or not other.sides or set(part.sides) & set(other.sides):
                    total += other.area_m2 or 0.0
        return total

    def _upright(self, part: Part, room: Room) -> None:
        opening = part.kind in OPENING_KINDS
        if opening and part.area_m2 is None:
            self._cannot(part, "its size is not given", "add its width and height, or its area")
            return
        low, high = span_of(part, room, self.gauges)
        stack = self._stack([part], part.faces == "ground")
        growth = 0.0
        if not room.lying and not opening:
            radius = (room.chamber.size.diameter_m or 0.0) / 2.0
            growth = 1.0 / radius if radius else 8.0 * CORNER / room.perimeter_m
        pieces = self._pieces(part, room, low, high)
        gross = sum(area for *_, area in pieces)
        if gross <= 0.0:
            self._cannot(part, f"it does not reach {room.chamber.name}", "check its elevations and sides")
            return
        self.claimed[room.chamber.name] = self.claimed.get(room.chamber.name, 0.0) + (
            0.0 if opening else gross
        )
        if part.area_m2 is not None:
            scale = part.area_m2 / gross
        else:
            scale = max(gross - self._openings(part, room), 0.02 * gross) / gross
        duct = room.chamber.kind in ("riser", "flue-run", "buried-pipe", "chimney")
        for zone, cold, bottom, top, area in pieces:
            where = self._where(part, room, bottom, top)
            self.patches.append(
                Patch(
                    parts=(part.name,), chamber=room.chamber.name, where=where, from_m=bottom,
                    to_m=top, leaves=stack, hot_zone=zone.index, cold=cold, area_m2=area * scale,
                    growth_per_m=growth, hot_film="duct" if duct else "vertical",
                    cold_film="vertical", hot_height_m=room.height_m,
                    cold_height_m=OUTER_HEIGHT_M if cold < 0 else room.height_m, jet=False,
                )
            )  # fmt: skip

    def _pieces(
        self, part: Part, room: Room, low: float, high: float
    ) -> list[tuple[Zone, int, float, float, float]]:
        """(hot zone, cold side, from, to, area): cut by the zones on both sides."""
        result: list[tuple[Zone, int, float, float, float]] = []
        behind = self.rooms.get(part.faces)
        for zone in room.zones:
            if room.lying:
                start, end = part.along_m if part.along_m else (0.0, room.length_m)
                share = max(0.0, min(zone.high_m, end) - max(zone.low_m, start))
                sides = part.sides or room.sides
                area = sum(share * room.height_m for side in sides if side in ("front", "back"))
                if any(side not in ("front", "back") for side in sides) and zone is room.zones[-1]:
                    area += room.side_m("end") * room.height_m
                if area > 0.0:
                    cold = AMBIENT.get(part.faces, behind.zones[-1].index if behind else ROOM)
                    result.append((zone, cold, zone.low_m, zone.high_m, area))
                continue
            bottom, top = max(low, zone.low_m), min(high, zone.high_m)
            if top - bottom < 1e-6:
                continue
            for cold, piece_low, piece_high in self._behind(part, behind, bottom, top):
                width = self._width(part, room, piece_low, piece_high)
                if width > 0.0:
                    area = width * (piece_high - piece_low)
                    result.append((zone, cold, piece_low, piece_high, area))
        return result

    def _behind(
        self, part: Part, behind: Room | None, bottom: float, top: float
    ) -> list[tuple[int, float, float]]:
        """What the far side of a stretch of wall looks at, by elevation."""
        if behind is None:
            return [(AMBIENT.get(part.faces, ROOM), bottom, top)]
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

    def _where(self, part: Part, room: Room, bottom: float, top: float) -> str:
        if room.lying:
            return f"{bottom:.1f} to {top:.1f} m along"
        return f"{bottom:.2f} to {top:.2f} m"

    # -- lying parts -----------------------------------------------------------------------

    def _top(self, part: Part, room: Room) -> None:
        others = [
            p for p in self.build.parts.values()
            if p is not part and p.kind in TOP_KINDS and room.chamber.name in p.bounds
        ]  # fmt: skip
        behind = self.rooms.get(part.faces)
        stack = self._stack([part], part.faces == "ground")
        length = room.plan_m2 / room.perimeter_m
        if room.lying:
            start, end = part.along_m or (0.0, room.length_m)
            width = room.plan_m2 / room.length_m
            pieces = [
                (zone, max(0.0, min(zone.high_m, end) - max(zone.low_m, start)) * width)
                for zone in room.zones
            ]
        else:
            stated = sum(p.area_m2 or 0.0 for p in others)
            rest = max(room.plan_m2 - stated, 0.0) / (1 + sum(p.area_m2 is None for p in others))
            pieces = [(room.zones[0], part.area_m2 if part.area_m2 is not None else rest)]
        top = room.top_m
        for zone, area in pieces:
            if area <= 1e-6:
                continue
            cold = AMBIENT.get(part.faces, ROOM)
            if behind is not None:
                level = top + sum(leaf.thickness_m for leaf in stack)
                cold = _zone_at(behind, level).index
            where = f"{zone.low_m:.1f} to {zone.high_m:.1f} m along" if room.lying else "span"
            self.patches.append(
                Patch(
                    parts=(part.name,), chamber=room.chamber.name, where=where,
                    from_m=zone.low_m if room.lying else top,
                    to_m=zone.high_m if room.lying else top, leaves=stack, hot_zone=zone.index,
                    cold=cold, area_m2=area, growth_per_m=0.0, hot_film="ceiling",
                    cold_film="floor" if cold >= 0 else "ceiling", hot_height_m=length,
                    cold_height_m=length, jet=room.chamber.kind == "bell",
                )
            )  # fmt: skip

    def _bottom(self, room: Room) -> None:
        """The floor of a chamber: its `floor` parts on its `base` parts, as one stack."""
        name = room.chamber.name
        parts = [
            p for kind in BOTTOM_KINDS for p in self.build.parts.values()
            if p.kind == kind and name in p.bounds and p.faces != "cavity"
        ]  # fmt: skip
        if not parts:
            if room.chamber.kind in ("firebox", "bell", "bench", "oven", "barrel"):
                self.unsolved.append(
                    Unsolved(
                        path=room.chamber.path, subject=name,
                        reason="no part closes its bottom, so heat downwards is not reckoned",
                        remedy=f"add a part of kind floor or base that bounds {name}",
                    )
                )  # fmt: skip
            return
        faces = parts[-1].faces
        behind = self.rooms.get(faces)
        stack = self._stack(parts, faces == "ground")
        footprint = sum(self._footprint(r) for r in self.rooms.values() if r.chamber.inside == name)
        length = room.plan_m2 / room.perimeter_m
        total = room.plan_m2 if room.lying else max(room.plan_m2 - footprint, 0.05 * room.plan_m2)
        zones = room.zones if room.lying else (room.zones[-1],)
        for zone in zones:
            area = total * zone.length_m / room.length_m if room.lying else total
            where = f"under {name}"
            if room.lying:
                where += f", {zone.low_m:.1f} to {zone.high_m:.1f} m along"
            cold = AMBIENT.get(faces, ROOM)
            if behind is not None:
                cold = _zone_at(behind, room.bottom_m - sum(x.thickness_m for x in stack)).index
            self.patches.append(
                Patch(
                    parts=tuple(p.name for p in parts), chamber=name, where=where,
                    from_m=zone.low_m if room.lying else room.bottom_m,
                    to_m=zone.high_m if room.lying else room.bottom_m, leaves=stack,
                    hot_zone=zone.index, cold=cold, area_m2=area, growth_per_m=0.0,
                    hot_film="floor", cold_film="ceiling" if cold >= 0 else "floor",
                    hot_height_m=length, cold_height_m=length, jet=False,
                )
            )  # fmt: skip

    def _footprint(self, room: Room) -> float:
        """Plan area of a chamber that stands in another, with its walls, if it has a floor."""
        name = room.chamber.name
        if not any(p.kind in BOTTOM_KINDS and name in p.bounds for p in self.build.parts.values()):
            return 0.0
        walls = [
            sum(layer.thickness_m for layer in p.layers)
            for p in self.build.parts.values()
            if p.kind == "wall" and name in p.bounds
        ]
        thickness = max(walls, default=0.0)
        return room.plan_m2 + room.perimeter_m * thickness + 4.0 * thickness**2

    def _check_closed(self, room: Room) -> None:
        """Ask about a chamber whose walls leave a hole or overlap."""
        name, kind = room.chamber.name, room.chamber.kind
        if kind == "chimney":
            return
        if room.lying:
            need = sum(room.side_m(side) for side in room.sides) * room.height_m
        else:
            need = room.perimeter_m * room.height_m
        have = self.claimed.get(name, 0.0)
        if abs(have - need) <= CLOSED_WITHIN * need:
            return
        word = "leave open" if have < need else "overlap on"
        self.unsolved.append(
            Unsolved(
                path=room.chamber.path, subject=name,
                reason=f"its walls cover {have:.2f} m2 of {need:.2f} m2: they {word} "
                f"{abs(need - have):.2f} m2",
                remedy=f"give {name} walls for every side and height, once each",
            )
        )  # fmt: skip
        if not any(name in p.bounds and p.kind in TOP_KINDS for p in self.build.parts.values()):
            pass


def _zone_at(room: Room, level_m: float) -> Zone:
    """The zone of an upright chamber at an elevation (its nearest one beyond the ends)."""
    if room.lying:
        return room.zones[0]
    return min(
        room.zones, key=lambda z: max(z.low_m - level_m, level_m - z.high_m, 0.0)
    )
