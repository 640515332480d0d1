"""The way of the gas: chambers in the order of flow, their shares, pockets, exits."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from stovelint.build import Build, Chamber, Port
from stovelint.heat.network import Bell, Hearth, Plug, Pocket, Stirred, Way
from stovelint.hotmap.records import Unsolved
from stovelint.hotmap.zones import EDGE_M, HALF_PORT_M, Room, mouth_m, outlet_m, zone_at

BURNOUT = 2.0 / 3.0
"""Part of a riser's length over which the gas burns out (judgement)."""
FIRE_SHARE = 1.0 / 3.0
"""Part of its floor that a free fire covers (judgement)."""
NEAREST_DROP_M = 0.02
"""A port nearer to the crown cell draws as one that lies so far below it."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Door:
    """A one-way port between two ways, by position; `head` None: it leads out of the heater."""

    tail: int
    head: int | None
    port: Port


@dataclass(frozen=True, kw_only=True, eq=False)
class GasWays:
    ways: tuple[Way, ...]
    names: tuple[str, ...]
    """The chamber of each way; pockets, which come last, are left out."""
    flow: tuple[float, ...]
    exits: tuple[tuple[int, float], ...]
    has_riser: bool
    unsolved: tuple[Unsolved, ...]
    doors: tuple[Door, ...]
    """All ports, those of one target in the order of its `inlets`; empty where every split has its
    shares. Else `flow` and the shares are even ones, to begin with."""


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
                    zones=zones, inlets=inlets, reach=_reach(room),
                    drawn=_drawn(room, mouth_m(build, name)), outlet=_outlet(room),
                    drop_m=_drop_m(room),
                )
            )  # fmt: skip
        elif room.banded:
            ways.append(_hearth(room, zones, inlets))
        elif len(zones) == 1:
            lit = name in fires[:1]
            fire: Literal["firebox", "core"] = "core" if room.chamber.declared else "firebox"
            ways.append(Stirred(zone=zones[0], inlets=inlets, heat_share=fire if lit else "none"))
        else:
            weights = (0.0,) * len(zones)
            if room.chamber.kind == "riser" and not has_riser:
                weights, has_riser = _burnout(room), True
            ways.append(Plug(zones=zones, inlets=inlets, heat_weights=weights))
        for port in room.chamber.leads_to:
            if port.to not in index:
                exits.append((i, _share(room.chamber, port)))
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
    parts_itself = any(port.share is None for r in rooms.values() for port in r.chamber.leads_to)
    return GasWays(
        ways=tuple(ways), names=tuple(order), flow=tuple(flow), exits=tuple(exits),
        has_riser=has_riser, unsolved=tuple(unsolved),
        doors=_doors(build, index) if parts_itself else (),
    )  # fmt: skip


def _doors(build: Build, index: dict[str, int]) -> tuple[Door, ...]:
    return tuple(
        Door(tail=index[chamber.name], head=index.get(port.to), port=port)
        for chamber in build.chambers.values() if chamber.name in index
        for port in chamber.leads_to
    )  # fmt: skip


def _share(chamber: Chamber, port: Port) -> float:
    """Of the chamber's gas; an even one where the plan leaves it to the gas."""
    return 1.0 / len(chamber.leads_to) if port.share is None else port.share


def _hearth(
    room: Room, zones: tuple[int, ...], inlets: tuple[tuple[int, float], ...]
) -> Hearth:
    """A free fire: air at the foot; the gas leaves through the height of its port, else the top."""
    heights = [zone.high_m - zone.low_m for zone in room.zones]
    levels = [port.at_m for port in room.chamber.leads_to if port.at_m is not None]
    if room.chamber.leaves_at_m is not None:
        levels.append(room.chamber.leaves_at_m)
    passed = [0.0] * len(zones)
    for level in levels:
        for i, zone in enumerate(room.zones):
            high = min(zone.high_m, level + HALF_PORT_M)
            passed[i] += max(0.0, high - max(zone.low_m, level - HALF_PORT_M))
    total = sum(passed)
    leaving = [x / total for x in passed] if total > EDGE_M else [1.0] + [0.0] * (len(zones) - 1)
    edges = [*(zone.high_m - room.bottom_m for zone in room.zones), 0.0]
    return Hearth(
        zones=zones, inlets=inlets, edges_m=tuple(edges),
        diameter_m=math.sqrt(4.0 / math.pi * FIRE_SHARE * room.plan_m2),
        reach=tuple(2.0 * room.height_m / (a + b) for a, b in zip(heights, heights[1:])),
        inlet=len(zones) - 1, leaving=tuple(leaving),
    )  # fmt: skip


def _feeders(build: Build, name: str) -> list[tuple[str, float]]:
    return [
        (other.name, _share(other, port))
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


def _reach(room: Room) -> tuple[float, ...]:
    """At each joint of a bell's bands: its height over the distance between their middles."""
    heights = [zone.high_m - zone.low_m for zone in room.zones]
    return tuple(2.0 * room.height_m / (a + b) for a, b in zip(heights, heights[1:]))


def _drawn(room: Room, mouth: float | None) -> tuple[float, ...]:
    """What each band gives the jet that rises through it: by height, the crown gives nothing."""
    passed = [
        max(0.0, zone.high_m - max(zone.low_m, mouth)) if i and mouth is not None else 0.0
        for i, zone in enumerate(room.zones)
    ]
    total = sum(passed)
    return tuple(height / total for height in passed) if total > EDGE_M else (0.0,) * len(passed)


def _outlet(room: Room) -> int:
    """Position of the band whose lower edge the gas leaves over."""
    level = outlet_m(room.chamber)
    return len(room.zones) - 1 if level is None else room.zones.index(zone_at(room, level))


def _drop_m(room: Room) -> float:
    """From the underside of the crown cell down to the middle of the port the gas leaves by."""
    level = outlet_m(room.chamber)
    port = room.bottom_m if level is None else level + HALF_PORT_M
    return max(room.zones[0].low_m - port, NEAREST_DROP_M)


def _burnout(room: Room) -> tuple[float, ...]:
    """Share of the riser's heat in each zone: even over the first part of its length."""
    start, end = room.bottom_m, room.bottom_m + BURNOUT * room.height_m
    lengths = [max(0.0, min(z.high_m, end) - max(z.low_m, start)) for z in room.zones]
    return tuple(length / sum(lengths) for length in lengths)
