"""Splits without stated shares: what each way costs the gas, and how it parts over the burn.

The shares of a case hold for its whole cycle: those of the mean temperatures and the mean flow of
the burn, when nearly all heat is carried. Solved by turns with the heat until both agree.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Callable, Mapping

import numpy as np
from numpy.typing import NDArray

from stovelint.heat.draught import (
    SEA_LEVEL_Pa, air_pressure_Pa, density_kg_m3, friction_factor, narrowing, sharp_bend, widening,
)  # fmt: skip
from stovelint.heat.films import GRAVITY, air_film_properties
from stovelint.heat.heater import DUCT_ROUGHNESS_m
from stovelint.heat.network import Network, Pocket, Share, Way
from stovelint.heat.split import Grid, parted_flows
from stovelint.hotmap.ways import Door, GasWays
from stovelint.hotmap.zones import Room

Floats = NDArray[np.float64]
Temperatures = Callable[[Network], tuple[Floats, Floats, Floats]]
"""A heater with shares -> (zones (M, Z), leaving gas (M,)) degC and flow (M,) kg/s, means of the
burn."""

LEAST_LOSS = 0.02
"""Velocity heads that any port takes (judgement: no joint of masonry is smooth)."""
LOSS = (0.7, 1.0, 1.4)
"""On what the first port of a split takes, and its inverse on the others: handbook losses of sharp
edges scatter by a fifth each way, and masons round them or not (judgement). Moves with the films
inside, which are as little known for the same reason."""
LEAST_SHARE = 1e-3
"""A way with less than this of its chamber's gas stands still; it keeps this much, so that what
lies behind has a temperature."""
FRICTION_ROUNDS = 30
ROUNDS = 16
AGREED = 2e-3
"""Of a chamber's gas: shares that moved less in a turn are found."""
SHORTEST, LONGEST = 0.2, 2.0
"""How far a case may go in one turn, over what the heat of the last turn asks for. Never backwards:
where gas that rises draws more the hotter it is, two states can be, and the search must end in one
that stays, not in the one between them."""


@dataclass(frozen=True, kw_only=True, eq=False)
class Parted:
    """Shares found: `share` (M, doors) of the chamber that each door leaves."""

    net: Network
    share: Floats
    miss: float
    """How much the last turn would still have moved a share."""


def with_shares(net: Network, ways: GasWays, share: Floats) -> Network:
    """The heater with these shares, (M, doors)."""
    columns = [share[:, [i]] for i in range(len(ways.doors))]
    flow: list[Share] = []
    parted: list[Way] = []
    for i, way in enumerate(net.ways):
        if isinstance(way, Pocket):
            flow.append(np.zeros_like(columns[0]))
            parted.append(way)
            continue
        inlets = tuple(
            (door.tail, column)
            for door, column in zip(ways.doors, columns) if door.head == i
        )  # fmt: skip
        start = ways.flow[i] if not inlets else 0.0
        flow.append(sum((flow[tail] * column for tail, column in inlets), np.full_like(
            columns[0], start)))  # fmt: skip
        parted.append(replace(way, inlets=inlets))
    leaving = [
        (door.tail, column) for door, column in zip(ways.doors, columns) if door.head is None
    ]
    ends = {door.tail for door in ways.doors}
    out = [(way, share_) for way, share_ in ways.exits if way not in ends]
    return replace(
        net, ways=tuple(parted), way_flow=np.stack([np.asarray(f) for f in flow]),
        exits=(*leaving, *out),
    )  # fmt: skip


def even(ways: GasWays, members: int) -> Floats:
    """Shares to begin with, (members, doors)."""
    tails = [door.tail for door in ways.doors]
    return np.tile([1.0 / tails.count(tail) for tail in tails], (members, 1))


def part_gas(
    net: Network, ways: GasWays, rooms: Mapping[str, Room], altitude_m: float, share: Floats,
    loss: Floats, heat: Temperatures,
) -> Parted:  # fmt: skip
    """Shares and heat that agree, beginning with `share` (M, doors). `loss` (M,) within LOSS."""
    costs = Costs(ways, rooms, altitude_m)
    miss = np.inf
    reach = np.ones((len(share), 1))
    last: Floats | None = None
    for _ in range(ROUNDS):
        parted = with_shares(net, ways, share)
        zones_C, exit_C, flow_kg_s = heat(parted)
        if not np.isfinite(zones_C).all():
            break
        found = costs.shares(zones_C, exit_C, flow_kg_s, loss)
        ask = found - share
        miss = float(np.abs(ask).max())
        if miss <= AGREED:
            break
        if last is not None:  # Aitken's step, each case by itself
            turned = ask - last
            square = np.maximum((turned * turned).sum(axis=1, keepdims=True), 1e-12)
            ratio = -(last * turned).sum(axis=1, keepdims=True) / square
            reach = np.clip(reach * ratio, SHORTEST, LONGEST)
        share = np.maximum(share + reach * ask, LEAST_SHARE)
        share = share / _sums(ways, share)
        last = ask
    return Parted(net=parted, share=share, miss=miss)


def _sums(ways: GasWays, share: Floats) -> Floats:
    """For each door, the shares of all doors of its chamber together."""
    tails = np.array([door.tail for door in ways.doors])
    together = (tails[:, None] == tails[None, :]).astype(np.float64)
    return np.asarray(share @ together)


class Costs:
    """The ways of a plan as a grid: chambers rub, ports narrow and widen, columns of gas weigh."""

    def __init__(self, ways: GasWays, rooms: Mapping[str, Room], altitude_m: float) -> None:
        self.doors, self.pressure_Pa = ways.doors, float(air_pressure_Pa(altitude_m))
        lit = [i for i, flow in enumerate(ways.flow[: len(ways.names)]) if flow > 0.0]
        node = {way: 2 * place for place, way in enumerate(lit)}
        self.rooms = {way: rooms[ways.names[way]] for way in lit}
        self.lit = lit
        sink = 2 * len(lit)
        ends = [way for way in lit if not any(door.tail == way for door in ways.doors)]
        self.live = [i for i, door in enumerate(ways.doors) if door.tail in node]
        self.grid = Grid(
            nodes=sink + 1, source=min(node[i] for i in lit if ways.flow[i] == 1.0), sink=sink,
            tails=np.array(
                [node[way] for way in lit] + [node[ways.doors[i].tail] + 1 for i in self.live]
                + [node[way] + 1 for way in ends]
            ),
            heads=np.array(
                [node[way] + 1 for way in lit]
                + [self._head(ways.doors[i], node, sink) for i in self.live] + [sink for _ in ends]
            ),
        )  # fmt: skip
        self.ends = len(ends)

    @staticmethod
    def _head(door: Door, node: dict[int, int], sink: int) -> int:
        return sink if door.head is None else node[door.head]

    def shares(
        self, zones_C: Floats, exit_C: Floats, flow_kg_s: Floats, loss: Floats
    ) -> Floats:
        """Shares (M, doors) that cost the same on every way, at zones (M, Z) and leaving gas (M,)
        of these temperatures and a whole flow (M,) of gas; `loss` (M,) as in LOSS."""
        resist, lift, reynolds = self._edges(zones_C, exit_C)
        edges = resist.shape[1]
        chambers = len(self.lit)
        for place, i in enumerate(self.live):
            resist[:, chambers + place] *= loss ** self._favour(i)
        rub = np.array([_rub(room) for room in self.rooms.values()])
        rough = np.array(
            [DUCT_ROUGHNESS_m / room.hydraulic_diameter_m for room in self.rooms.values()]
        )
        flow = np.broadcast_to(flow_kg_s[:, None], (len(flow_kg_s), edges))
        for _ in range(FRICTION_ROUNDS):
            at = np.maximum(flow[:, :chambers] * reynolds, 1.0)
            factor = friction_factor(at, rough)
            full = resist.copy()
            full[:, :chambers] *= factor * rub
            now = parted_flows(self.grid, full, lift, flow_kg_s)
            settled = float(np.abs(now - flow).max()) <= 1e-5 * float(flow_kg_s.max())
            flow = now
            if settled:
                break
        return self._of_chambers(flow[:, chambers : edges - self.ends])

    def _favour(self, door: int) -> int:
        """1 for the first of several doors of a chamber, -1 for the others, 0 for a lone one."""
        own = [i for i, other in enumerate(self.doors) if other.tail == self.doors[door].tail]
        if len(own) == 1:
            return 0
        return 1 if own[0] == door else -1

    def _of_chambers(self, through: Floats) -> Floats:
        share = np.ones((len(through), len(self.doors)))
        tails = np.array([self.doors[i].tail for i in self.live])
        for place, i in enumerate(self.live):
            own = tails == tails[place]
            total = np.maximum(through[:, own].sum(axis=1), 1e-12)
            share[:, i] = np.maximum(through[:, place] / total, LEAST_SHARE)
        for tail in set(tails.tolist()):
            own = np.array([door.tail == tail for door in self.doors])
            share[:, own] /= share[:, own].sum(axis=1, keepdims=True)
        return share

    def _edges(self, zones_C: Floats, exit_C: Floats) -> tuple[Floats, Floats, Floats]:
        """Resistance (of chambers: per f L/D) and lift (M, E), and Reynolds number of the chambers
        per kg/s (M, chambers)."""
        members = len(exit_C)
        resist, lift, reynolds = [], [], []
        for room in self.rooms.values():
            t = zones_C[:, [zone.index for zone in room.zones]].mean(axis=1)
            rho = density_kg_m3(t, self.pressure_Pa)
            viscosity = air_film_properties(t)[0] * density_kg_m3(t, SEA_LEVEL_Pa)
            resist.append(1.0 / (2.0 * rho * room.section_m2**2))
            lift.append(np.zeros(members))
            reynolds.append(room.hydraulic_diameter_m / (room.section_m2 * viscosity))
        for i in self.live:
            door = self.doors[i]
            tail = self.rooms[door.tail]
            head = None if door.head is None else self.rooms[door.head]
            level = level_m(door, tail, head)
            area = port_area_m2(door, tail, head)
            rho = density_kg_m3(_at_level(tail, zones_C, level), self.pressure_Pa)
            resist.append(loss_heads(area, tail, head) / (2.0 * rho * area**2))
            behind = (
                density_kg_m3(exit_C, self.pressure_Pa) * GRAVITY * level if head is None
                else self._weight_Pa(head, zones_C, level)
            )  # fmt: skip
            lift.append(behind - self._weight_Pa(tail, zones_C, level))
        for _ in range(self.ends):
            resist.append(np.ones(members))
            lift.append(np.zeros(members))
        return np.stack(resist, axis=1), np.stack(lift, axis=1), np.stack(reynolds, axis=1)

    def _weight_Pa(self, room: Room, zones_C: Floats, level_m: float) -> Floats:
        """Weight of the gas of a chamber between its floor and a level, (M,); below it negative.

        Beyond its ends the gas counts as that of the end.
        """
        t = zones_C[:, [zone.index for zone in room.zones]]
        if room.lying:
            rho = density_kg_m3(t.mean(axis=1), self.pressure_Pa)
            return np.asarray(GRAVITY * rho * (level_m - room.bottom_m))
        rho = density_kg_m3(t, self.pressure_Pa)
        low, high = min(level_m, room.bottom_m), max(level_m, room.bottom_m)
        lowest = min(zone.low_m for zone in room.zones)
        highest = max(zone.high_m for zone in room.zones)
        sign = 1.0 if level_m >= room.bottom_m else -1.0
        heights = []
        for zone in room.zones:
            foot = -np.inf if zone.low_m == lowest else zone.low_m
            head = np.inf if zone.high_m == highest else zone.high_m
            heights.append(max(0.0, min(high, head) - max(low, foot)))
        return np.asarray(sign * GRAVITY * rho @ np.array(heights))


def _rub(room: Room) -> float:
    """L / D of the way through a chamber."""
    return room.length_m / room.hydraulic_diameter_m


def _at_level(room: Room, zones_C: Floats, level_m: float) -> Floats:
    """Gas where it leaves a chamber, (M,): at that level, or at the end of a lying one."""
    if room.lying:
        return zones_C[:, room.zones[-1].index]
    away = [max(zone.low_m - level_m, level_m - zone.high_m) for zone in room.zones]
    return zones_C[:, room.zones[int(np.argmin(away))].index]


def level_m(door: Door, tail: Room, head: Room | None) -> float:
    """Elevation of a port: as stated, else where such a port usually is.

    A lying chamber is met at half its height; a bell is left at its floor, every other upright
    chamber at its top.
    """
    if door.port.at_m is not None:
        return door.port.at_m
    for room in (tail, head):
        if room is not None and room.lying:
            return room.bottom_m + 0.5 * room.height_m
    return tail.bottom_m if tail.chamber.kind == "bell" else tail.top_m


def port_area_m2(door: Door, tail: Room, head: Room | None) -> float:
    """As stated, else the narrower of the two chambers."""
    if door.port.area_m2 is not None:
        return door.port.area_m2
    return min(room.section_m2 for room in (tail, head) if room is not None)


def loss_heads(area_m2: float, tail: Room, head: Room | None) -> float:
    """Single losses of a port, in velocity heads of its own area: the gas narrows into it and
    widens behind it, and turns at right angles between a lying and an upright chamber."""
    loss = narrowing(min(area_m2 / tail.section_m2, 1.0))
    if head is not None:
        loss = loss + widening(min(area_m2 / head.section_m2, 1.0))
        if head.lying != tail.lying:
            loss = loss + sharp_bend(90.0)
    return max(float(loss), LEAST_LOSS)
