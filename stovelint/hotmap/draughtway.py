"""The way of the gas as a chain of rises and resistances, from air inlet to chimney top."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Sequence

import numpy as np
from numpy.typing import NDArray

from stovelint.build import Build, Port
from stovelint.heat.draught import (
    Resistances, narrowing, sharp_bend, static_draught_Pa, widening,
)  # fmt: skip
from stovelint.heat.heater import DUCT_ROUGHNESS_m
from stovelint.heat.network import Bell, Hearth, Network, Pocket, Share, Stirred
from stovelint.hotmap.parting import level_m, port_area_m2
from stovelint.hotmap.ways import Door
from stovelint.hotmap.zones import Room, Zone

Floats = NDArray[np.float64]

AIR = -1
"""Stands for the zone of what is not gas yet: the air of the room."""
RUNS = ("riser", "flue-run", "bench", "buried-pipe", "chimney")
"""Kinds in which the gas rubs along the wall; in others it is too slow to count."""
MOST_WAYS = 32
"""Ways from fire to chimney that are told apart; no heater has so many flues side by side."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Rise:
    """A stretch of the way in one zone, m upwards in the direction of flow."""

    zone: int
    rise_m: float


@dataclass(frozen=True, kw_only=True, slots=True)
class Element:
    """Something that takes pressure. `label` as a mason would say it."""

    label: str
    zone: int
    zeta: float
    length_m: float
    diameter_m: float
    area_m2: float
    flow_share: Share


@dataclass(frozen=True, kw_only=True, slots=True)
class Passed:
    """A zone that the gas passes, in the order of flow."""

    zone: int
    room: Room
    flow_share: Share


@dataclass(frozen=True, kw_only=True, eq=False)
class DraughtWay:
    """One way of the gas from the air inlet to the chimney's top."""

    rises: tuple[Rise, ...]
    elements: tuple[Element, ...]
    passed: tuple[Passed, ...]

    def resistances(self, air_share: Floats) -> Resistances:
        """Arrays of the elements; `air_share` (M, N): flow of air over flow of gas."""
        members, samples = air_share.shape
        share = np.empty((members, len(self.elements), samples))
        for i, element in enumerate(self.elements):
            share[:, i] = air_share if element.zone == AIR else element.flow_share
        return Resistances(
            zeta=np.array([e.zeta for e in self.elements]),
            length_m=np.array([e.length_m for e in self.elements]),
            diameter_m=np.array([e.diameter_m for e in self.elements]),
            area_m2=np.array([e.area_m2 for e in self.elements]),
            flow_share=share, roughness_m=DUCT_ROUGHNESS_m,
        )  # fmt: skip

    def element_gas_C(self, zones_C: Floats, room_C: Floats) -> Floats:
        """Gas in every element, (M, E, N), from zones (M, Z, N) and the room (M, 1)."""
        air = np.broadcast_to(room_C, zones_C[:, 0].shape)
        return np.stack(
            [air if e.zone == AIR else zones_C[:, e.zone] for e in self.elements], axis=1
        )

    def static_Pa(self, zones_C: Floats, outdoors_C: Floats, pressure_Pa: float) -> Floats:
        """Static draught of the whole way, (M, N)."""
        total = np.zeros_like(zones_C[:, 0])
        for one in self.rises:
            total += static_draught_Pa(one.rise_m, outdoors_C, zones_C[:, one.zone], pressure_Pa)
        return total


def chains(build: Build, rooms: dict[str, Room], chimney: str) -> list[tuple[Port, ...]]:
    """Ways from the firebox to the chimney, each as the ports that it takes.

    More than MOST_WAYS are not followed to their end, but all that were begun are returned.
    """
    (fire,) = (name for name, room in rooms.items() if room.chamber.kind == "firebox")
    found: list[tuple[Port, ...]] = []
    begun: list[tuple[str, tuple[Port, ...]]] = [(fire, ())]
    while begun and len(found) + len(begun) <= MOST_WAYS:
        at, taken = begun.pop(0)
        if at == chimney:
            found.append(taken)
            continue
        begun += [(port.to, (*taken, port)) for port in build.chambers[at].leads_to]
    return found + [taken for _, taken in begun]


def draught_way(
    rooms: dict[str, Room], net: Network, ports: Sequence[Port], inlet_m2: float
) -> DraughtWay:
    """The chain of rises and resistances along these ports, with the flows of a solved network."""
    owner = {zone.index: name for name, room in rooms.items() for zone in room.zones}
    ways = {
        owner[way.zone if isinstance(way, Stirred) else way.zones[0]]: index
        for index, way in enumerate(net.ways)
    }
    names = [_holder(rooms, port) for port in ports] + [ports[-1].to]
    rises: list[Rise] = []
    passed: list[Passed] = []
    elements = [_single("the air inlet", AIR, float(narrowing(0.0) + widening(0.0)), inlet_m2, 1.0)]
    level = rooms[names[0]].bottom_m  # the air comes in at the firebox floor
    for index, name in enumerate(names):
        room, way = rooms[name], net.ways[ways[name]]
        flow: Share = net.way_flow[ways[name]]
        door = (
            Door(tail=ways[name], head=ways[ports[index].to], port=ports[index])
            if index < len(ports) else None
        )  # fmt: skip
        onward = rooms[door.port.to] if door is not None else room
        leaves = level_m(door, room, onward) if door is not None else room.top_m
        stretches = _stretches(room, level, leaves)
        rises += [Rise(zone=zone.index, rise_m=rise) for zone, rise in stretches]
        last = way.zones[way.outlet] if isinstance(way, Bell) else room.zones[-1].index
        out = last
        if isinstance(way, Hearth):  # its plume passes all bands before gas leaves one
            out = way.zones[max(range(len(way.zones)), key=lambda i: way.leaving[i])]
        passed += [
            Passed(zone=zone.index, room=room, flow_share=flow)
            for zone in room.zones if zone.index <= last
        ]  # fmt: skip
        if room.chamber.kind in RUNS:
            elements += _run(room, stretches, flow)
        if door is not None:
            share = _share(net, ways[name], ways[door.port.to])
            elements.append(_port(door, room, onward, out, flow * share))
        else:
            zeta = float(widening(0.0))
            elements.append(_single(f"the mouth of {name}", out, zeta, room.section_m2, flow))
        level = leaves
    return DraughtWay(rises=tuple(rises), elements=tuple(elements), passed=tuple(passed))


def _holder(rooms: dict[str, Room], port: Port) -> str:
    return next(name for name, room in rooms.items() if port in room.chamber.leads_to)


def _share(net: Network, tail: int, head: int) -> Share:
    """Share of one way's gas that goes on to another."""
    way = net.ways[head]
    assert not isinstance(way, Pocket)  # a pocket is on no chain
    return next(share for feeder, share in way.inlets if feeder == tail)


def _stretches(room: Room, start_m: float, end_m: float) -> list[tuple[Zone, float]]:
    """How far the gas rises in each zone between two elevations (downwards negative)."""
    if room.lying or len(room.zones) == 1:
        return [(zone, (end_m - start_m) / len(room.zones)) for zone in room.zones]
    low, high = min(start_m, end_m), max(start_m, end_m)
    sign = 1.0 if end_m > start_m else -1.0
    bottom = min(zone.low_m for zone in room.zones)
    top = max(zone.high_m for zone in room.zones)
    result = []
    for zone in room.zones:
        # the end zones also take what lies beyond the chamber
        lower = -np.inf if zone.low_m == bottom else zone.low_m
        upper = np.inf if zone.high_m == top else zone.high_m
        inside = min(high, upper) - max(low, lower)
        if inside > 0.0:
            result.append((zone, sign * inside))
    return result


def _single(label: str, zone: int, zeta: float, area_m2: float, flow: Share) -> Element:
    return Element(
        label=label, zone=zone, zeta=zeta, length_m=0.0, diameter_m=1.0, area_m2=area_m2,
        flow_share=flow,
    )  # fmt: skip


def _run(room: Room, stretches: list[tuple[Zone, float]], flow: Share) -> list[Element]:
    """Turns at its foot and friction, zone by zone."""
    name = room.chamber.name
    turns = 1 if room.chamber.bends is None else room.chamber.bends
    result = []
    if turns:
        zeta = turns * float(sharp_bend(90.0))
        label = f"the turns in {name}" if turns > 1 else f"the turn in {name}"
        result.append(_single(label, room.zones[0].index, zeta, room.section_m2, flow))
    for zone, rise in stretches:
        result.append(
            Element(
                label=f"friction in {name}", zone=zone.index, zeta=0.0,
                length_m=zone.length_m if room.lying else abs(rise),
                diameter_m=room.hydraulic_diameter_m, area_m2=room.section_m2, flow_share=flow,
            )
        )  # fmt: skip
    return result


def _port(door: Door, room: Room, onward: Room, zone: int, flow: Share) -> Element:
    area = port_area_m2(door, room, onward)
    before, behind = min(area / room.section_m2, 1.0), min(area / onward.section_m2, 1.0)
    zeta = float(narrowing(before) + widening(behind))
    label = f"the port from {room.chamber.name} to {onward.chamber.name}"
    return _single(label, zone, zeta, area, flow)
