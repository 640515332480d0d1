"""The way of the gas: chambers in the order of flow, their shares, pockets, exits."""

from __future__ import annotations

import math
from dataclasses import dataclass

from stovelint.build import Build
from stovelint.heat.network import Bell, Plug, Pocket, Stirred, Way
from stovelint.hotmap.records import Unsolved
from stovelint.hotmap.zones import EDGE_M, Room, zone_at

BURNOUT = 2.0 / 3.0
"""Part of a riser's length over which the gas burns out (judgement)."""


@dataclass(frozen=True, kw_only=True, eq=False)
class GasWays:
    ways: tuple[Way, ...]
    flow: tuple[float, ...]
    exits: tuple[tuple[int, float], ...]
    has_riser: bool
    unsolved: tuple[Unsolved, ...]


def gas_ways(build: Build, rooms: dict[str, Room]) -> GasWays:
    """Order the chambers from the firebox to the chimney, then the pockets behind openings.

    Shares multiply along splits and add at joins. A chamber that nothing feeds and that opens to
    no other is a closed cavity: it exchanges by radiation and still air only.
    """
    pockets = {
        name for name, room in rooms.items()
        if room.chamber.opens_to and not room.chamber.leads_to and not _feeders(build, name)
    }  # fmt: skip
    fires = [n for n, r in rooms.items() if r.chamber.kind == "firebox"]
    unsolved = []
    if len(fires) != 1:
        unsolved.append(
            Unsolved(
                path=("chambers",), subject="chambers",
                reason=f"{len(fires)} chambers are fireboxes and the heat is reckoned for one",
                remedy="describe one firebox; give a second heater a file of its own",
            )
        )  # fmt: skip
    order = [name for name in _in_order(build, rooms) if name not in pockets]
    index = {name: i for i, name in enumerate(order)}
    flow = [0.0] * len(order)
    ways: list[Way] = []
    exits: list[tuple[int, float]] = []
    has_riser = False
    for i, name in enumerate(order):
        room = rooms[name]
        inlets = tuple(
            (index[feeder], share) for feeder, share in _feeders(build, name) if feeder in index
        )
        if name in fires[:1]:
            flow[i] = 1.0
        else:
            flow[i] = sum(flow[way] * share for way, share in inlets)
        zones = tuple(zone.index for zone in room.zones)
        if room.chamber.kind == "bell":
            ways.append(
                Bell(
                    zones=zones, inlets=inlets, mouth=_mouth(build, rooms, name),
                    outlet=_outlet(room),
                )
            )  # fmt: skip
        elif len(zones) == 1:
            lit = name in fires[:1]
            ways.append(
                Stirred(zone=zones[0], inlets=inlets, heat_share="firebox" if lit else "none")
            )
        else:
            weights = (0.0,) * len(zones)
            if room.chamber.kind == "riser" and not has_riser:
                weights, has_riser = _burnout(room), True
            ways.append(Plug(zones=zones, inlets=inlets, heat_weights=weights))
        for port in room.chamber.leads_to:
            if port.to not in index:
                exits.append((i, port.share))
        if room.chamber.kind == "chimney" and inlets:
            exits.append((i, 1.0))
    for name in sorted(pockets):
        room = rooms[name]
        port = room.chamber.opens_to[0]
        if port.to not in rooms:
            continue
        behind = rooms[port.to]
        level = port.at_m if port.at_m is not None else room.bottom_m + 0.5 * room.height_m
        zone = behind.zones[-1] if behind.lying else zone_at(behind, level)
        area = port.area_m2 if port.area_m2 is not None else 0.5 * room.section_m2
        ways.append(
            Pocket(
                zones=tuple(z.index for z in room.zones), from_zone=zone.index, area_m2=area,
                height_m=min(math.sqrt(area), room.height_m),
            )
        )  # fmt: skip
        flow.append(0.0)
    return GasWays(
        ways=tuple(ways), flow=tuple(flow), exits=tuple(exits), has_riser=has_riser,
        unsolved=tuple(unsolved),
    )  # fmt: skip


def _feeders(build: Build, name: str) -> list[tuple[str, float]]:
    return [
        (other.name, port.share)
        for other in build.chambers.values() for port in other.leads_to if port.to == name
    ]  # fmt: skip


def _in_order(build: Build, rooms: dict[str, Room]) -> list[str]:
    """Chambers such that every one comes after all that feed it (the file's order otherwise)."""
    order: list[str] = []
    waiting = list(rooms)
    while waiting:
        ready = [
            n for n in waiting if all(f in order or f not in rooms for f, _ in _feeders(build, n))
        ]
        if not ready:  # a circle; the build file's own check refuses it
            return order + waiting
        order.append(ready[0])
        waiting.remove(ready[0])
    return order


def _mouth(build: Build, rooms: dict[str, Room], name: str) -> int:
    """Band where the gas comes in: the top of a riser that stands in the bell; 0 at the crown."""
    room = rooms[name]
    levels = []
    for feeder, _ in _feeders(build, name):
        source = rooms.get(feeder)
        if source is None:
            continue
        port = next(p for p in source.chamber.leads_to if p.to == name)
        if port.at_m is not None:
            levels.append(port.at_m)
        elif source.chamber.inside == name and not source.lying:
            levels.append(source.top_m)
    if not levels:
        return 0
    return _band_under(room, min(levels))


def _outlet(room: Room) -> int:
    level = room.chamber.leaves_at_m
    return len(room.zones) - 1 if level is None else _band_under(room, level)


def _band_under(room: Room, level_m: float) -> int:
    """Position of the highest band that reaches below an elevation (the lowest if none does).

    On the edge between two bands the lower one, however the edge was rounded.
    """
    return next(
        (i for i, z in enumerate(room.zones) if z.low_m < level_m - EDGE_M), len(room.zones) - 1
    )  # fmt: skip


def _burnout(room: Room) -> tuple[float, ...]:
    """Share of the riser's heat in each zone: even over the first part of its length."""
    start, end = room.bottom_m, room.bottom_m + BURNOUT * room.height_m
    lengths = [max(0.0, min(z.high_m, end) - max(z.low_m, start)) for z in room.zones]
    return tuple(length / sum(lengths) for length in lengths)
