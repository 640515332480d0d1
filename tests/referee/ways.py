"""The way of the gas: all zones in one set of linear equations for the enthalpy they give on.

Zone z takes in f_z of gas, mixed from its feeders, and gives on

    H_z = a_z (sum W_zj H_j + w_z H_room) + (1 - a_z) H_eq,   a = exp(-g / (f cp)), stirred
                                                              chambers a = 1 / (1 + g / (f cp))

with g (W/K) what its faces and its radiation take per kelvin, and H_eq the enthalpy at which they
would take nothing. A bell is fed at its crown; the jet on its way up has drawn gas along from the
bands it passed (0.6 of its own flow); gas sinks, and neighbouring bands exchange as much as a
dispersion of Peclet number 2 carries over the distance of their middles, plus what free
convection stirs in a bell at rest (design page on heat; numbers are the model's middle case).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from tests.referee.fire import RISER_SHARE, Moment
from tests.referee.geometry import Heater, zone_near
from tests.referee.read import Chamber
from tests.referee.sizes import mouth, outlet, section

Floats = NDArray[np.float64]

PECLET, ENTRAINED, STILL, STILL_STEP = 2.0, 0.6, 0.06, 0.2
BURNOUT = 2.0 / 3.0
DISCHARGE, LEAST = 0.7, 1e-6
AIR_CP = 1030.0
"""Of the air that goes in and out of an opening, J/kgK."""


def wander(steps: float) -> float:
    """The share r of the sinking flow that goes one band up, so that one band down with the odds
    1 + r against r spreads like a dispersion: 2 r (1 + r) = x (1 + 2 r), by Newton's rule."""
    r = steps
    for _ in range(60):
        r -= (2.0 * r * (1.0 + r) - steps * (1.0 + 2.0 * r)) / (2.0 + 4.0 * r - 2.0 * steps)
    return r


@dataclass(frozen=True, kw_only=True)
class Way:
    chamber: str
    kind: Literal["stirred", "plug", "bell"]
    zones: list[int]
    flow: float
    """Share of the whole gas."""
    feeds: list[tuple[int, float]]
    """(zone that the gas comes from, part of this way's gas); empty: room air."""
    leaves: int
    """The zone it leaves from."""
    reach: list[float]
    drawn: list[float]


@dataclass(frozen=True, kw_only=True)
class Opening:
    """A two-way opening to zones in a row behind it."""

    mouth: int
    zones: list[int]
    area: float
    height: float

    def W_K(self, t_mouth: float, t_first: float) -> float:
        """Doorway law (Incropera-type, recalled): m = C/3 A rho sqrt(g H dT / T)."""
        kelvin = 0.5 * (t_mouth + t_first) + 273.15
        step = abs(t_mouth - t_first) + 0.5
        speed = math.sqrt(9.81 * self.height * step / kelvin)
        return DISCHARGE / 3.0 * self.area * 353.0 / kelvin * speed * AIR_CP


@dataclass(frozen=True, kw_only=True, eq=False)
class Passed:
    t_C: Floats
    exit_C: float
    exit_W: float


class Ways:
    def __init__(self, heater: Heater) -> None:
        self.heater = heater
        self.count = len(heater.zones)
        chambers = {n: heater.plan.chambers[n] for n in heater.of}
        fed = {p.to for c in chambers.values() for p in c.leads_to}
        blind = [n for n, c in chambers.items() if c.opens_to and not c.leads_to and n not in fed]
        self.ways: list[Way] = []
        self.burnout = np.zeros(self.count)
        """Share of the riser's heat."""
        self.fire = next(heater.of[n][0] for n, c in chambers.items() if c.kind == "firebox")
        self._string([n for n in chambers if n not in blind], chambers)
        self.openings = [self._opening(chambers[n]) for n in sorted(blind)]
        placed = {w.chamber: w for w in self.ways}
        self.exits: list[tuple[int, float]] = []
        for name, way in placed.items():
            for port in chambers[name].leads_to:
                if port.to not in placed:
                    self.exits.append((way.leaves, port.share * way.flow))
            if chambers[name].kind == "chimney" and way.feeds:
                self.exits.append((way.leaves, way.flow))

    def _string(self, waiting: list[str], chambers: dict[str, Chamber]) -> None:
        placed: dict[str, Way] = {}
        while waiting:
            name = next(
                n for n in waiting
                if all(f in placed or f not in waiting for f in _feeders(chambers, n))
            )  # fmt: skip
            waiting.remove(name)
            c, zones = chambers[name], self.heater.of[name]
            gas = {f: s * placed[f].flow for f, s in _feeders(chambers, name).items()}
            flow = 1.0 if zones[0] == self.fire else sum(gas.values())
            leaves = zones[-1]
            low = outlet(c)
            if c.kind == "bell" and low is not None:
                leaves = zone_near(self.heater, name, low)
            kind: Literal["stirred", "plug", "bell"] = "stirred" if len(zones) == 1 else "plug"
            if c.kind == "bell":
                kind = "bell"
            if c.kind == "riser" and kind == "plug" and not self.burnout.any():
                self._burn_out(c, zones)
            placed[name] = Way(
                chamber=name, kind=kind, zones=zones, flow=flow, leaves=leaves,
                feeds=[(placed[f].leaves, part / flow) for f, part in gas.items() if flow],
                reach=self._reach(c, zones), drawn=self._drawn(c, zones),
            )  # fmt: skip
        self.ways = list(placed.values())

    def _burn_out(self, c: Chamber, zones: list[int]) -> None:
        end = c.bottom + BURNOUT * c.height
        for z in zones:
            zone = self.heater.zones[z]
            self.burnout[z] = max(0.0, min(zone.high, end) - zone.low) / (BURNOUT * c.height)

    def _reach(self, c: Chamber, zones: list[int]) -> list[float]:
        middles = [0.5 * (self.heater.zones[z].low + self.heater.zones[z].high) for z in zones]
        return [c.height / (a - b) for a, b in zip(middles, middles[1:])]

    def _drawn(self, c: Chamber, zones: list[int]) -> list[float]:
        """Part of what the jet carries along that each band gives: by the height it rises there."""
        level = mouth(self.heater.plan, c.name) if c.kind == "bell" else None
        if level is None:
            return [0.0] * len(zones)
        spans = [self.heater.zones[z] for z in zones]
        heights = [0.0, *(max(0.0, s.high - max(s.low, level)) for s in spans[1:])]
        whole = sum(heights)
        return [h / whole if whole > 1e-6 else 0.0 for h in heights]

    def _opening(self, c: Chamber) -> Opening:
        port = c.opens_to[0]
        behind = self.heater.plan.chambers[port.to]
        level = port.at if port.at is not None else c.bottom + 0.5 * c.height
        zone = self.heater.of[port.to][-1] if behind.lying else (
            zone_near(self.heater, port.to, level)
        )
        area = port.area if port.area is not None else 0.5 * section(c)
        return Opening(
            mouth=zone, zones=self.heater.of[c.name], area=area,
            height=min(math.sqrt(area), c.height),
        )  # fmt: skip

    def flows(self) -> Floats:
        """Share of the whole gas that passes each zone."""
        share = np.zeros(self.count)
        for way in self.ways:
            share[way.zones] = way.flow
        return share

    def solve(
        self, now: Moment, t_C: Floats, g: Floats, t_eq: Floats, convective: Floats, room_C: float
    ) -> Passed:
        """Zones' temperatures for given exchange. `t_C`: about where; `convective`: W/K, the part
        of g that is convection at faces."""
        n = self.count
        mix, from_room, f = np.zeros((n, n)), np.zeros(n), np.full(n, LEAST)
        stirred = np.zeros(n, dtype=np.bool_)
        cp = now.caloric.cp(t_C)
        for way in self.ways:
            m = max(now.flow_kg_s * way.flow, LEAST)
            inlet = np.zeros(n + 1)
            for zone, part in way.feeds:
                inlet[zone] += part
            if not way.feeds:
                inlet[n] = 1.0
            if way.kind == "bell":
                self._bell(way, m, inlet, convective, cp, mix, from_room, f)
                continue
            stirred[way.zones[0]] = way.kind == "stirred"
            f[way.zones] = m
            mix[way.zones[0]], from_room[way.zones[0]] = inlet[:n], inlet[n]
            for before, z in zip(way.zones, way.zones[1:]):
                mix[z, before] = 1.0
        heat = self.burnout * now.heat_W * RISER_SHARE
        heat[self.fire] += now.heat_W * (1.0 - (RISER_SHARE if self.burnout.any() else 0.0))
        units = g / (f * cp)
        a = np.where(stirred, 1.0 / (1.0 + units), np.exp(-units))
        gas = now.caloric
        h_room = float(gas.h(np.asarray(room_C)))
        balance = gas.h(t_C) + cp * (t_eq + heat / g - t_C)
        right = a * from_room * h_room + (1.0 - a) * balance
        h = np.linalg.solve(np.eye(n) - a[:, None] * mix, right)
        result = t_eq + (heat + f * (mix @ h + from_room * h_room - h)) / g
        for opening in self.openings:
            result[opening.zones] = self._behind(opening, t_C, result[opening.mouth], g, t_eq)
        leaving = sum(part * h[zone] for zone, part in self.exits)
        return Passed(
            t_C=result, exit_C=float(gas.t(np.asarray(leaving))),
            exit_W=now.flow_kg_s * (float(leaving) - h_room),
        )  # fmt: skip

    def _bell(
        self, way: Way, m: float, inlet: Floats, convective: Floats, cp: Floats, mix: Floats,
        from_room: Floats, f: Floats,
    ) -> None:  # fmt: skip
        """Fill in the rows of one bell: gas balances of its bands."""
        zones, n = way.zones, len(way.zones)
        carried = [ENTRAINED * m * part for part in way.drawn]
        up = m + sum(carried)  # reaches the crown
        stir = STILL * STILL_STEP * convective[zones].sum() / cp[zones].mean()
        swap = [max(wander(r / PECLET) * m + r * stir, LEAST) for r in way.reach]
        last = zones.index(way.leaves)
        amounts = np.zeros((n, len(inlet)))
        amounts[0] += m * inlet
        for z, part in zip(zones, carried):
            amounts[0, z] += part
        sinking = up
        for i in range(n - 1):
            sinking -= carried[i] + (m if i == last else 0.0)
            amounts[i + 1, zones[i]] += sinking + swap[i]
            amounts[i, zones[i + 1]] += swap[i]
        for i, z in enumerate(zones):
            f[z] = amounts[i].sum()
            mix[z], from_room[z] = amounts[i, :-1] / f[z], amounts[i, -1] / f[z]

    def _behind(
        self, opening: Opening, t_C: Floats, t_mouth: float, g: Floats, t_eq: Floats
    ) -> Floats:
        zones = opening.zones
        k = opening.W_K(float(t_C[opening.mouth]), float(t_C[zones[0]]))
        matrix = np.diag(g[zones])
        right = g[zones] * t_eq[zones]
        matrix[0, 0] += k
        right[0] += k * t_mouth
        for i in range(len(zones) - 1):
            matrix[[i, i + 1], [i, i + 1]] += k
            matrix[[i, i + 1], [i + 1, i]] -= k
        return np.asarray(np.linalg.solve(matrix, right))


def _feeders(chambers: dict[str, Chamber], name: str) -> dict[str, float]:
    found: dict[str, float] = {}
    for other, c in chambers.items():
        for port in c.leads_to:
            if port.to == name:
                found[other] = found.get(other, 0.0) + port.share
    return found
