"""What every face takes at a moment: convection and radiation from gas and other faces, the gas
itself brought to rest (it has no inertia), and what room, outdoors and ground take outside."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tests.referee import films
from tests.referee.films import SIGMA, ZERO
from tests.referee.fire import Moment
from tests.referee.gas import absorptivity, emissivity
from tests.referee.geometry import DUCTS, Heater
from tests.referee.radiation import bell_exchange, irradiation
from tests.referee.sizes import floor_area, hydraulic, section
from tests.referee.stacks import PLAIN, Leaf, table
from tests.referee.ways import Ways

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

ROUGH = 0.002
"""Of brick and mortar, m (EN 13384-1 practice, recalled)."""
CROWN_JET = 2.5
"""Film of a crown in the full jet, over free convection."""
RISER_FLAME = 0.5
GROUND_FILM = 1e4
REST_K = 0.05


@dataclass(frozen=True, kw_only=True, eq=False)
class Taken:
    """Per true area: `q` (W, 2) into the faces, W/m2, and `slope`, how fast that falls per kelvin
    of the face, all else at rest; then the gas."""

    q: Floats
    slope: Floats
    zones_C: Floats
    exit_C: float
    exit_W: float


class Exchange:
    def __init__(self, heater: Heater, leaves: list[list[Leaf]]) -> None:
        self.heater, self.ways = heater, Ways(heater)
        walls, zones = heater.walls, len(heater.zones)
        self.w, self.z = len(walls), zones
        wide = [1.0 + w.growth * (s[-1].depth + s[-1].thickness) for w, s in zip(walls, leaves)]
        self.area = np.array([[w.area, w.area * x] for w, x in zip(walls, wide)])
        self.black = np.array([[_emissivity(s[0]), _emissivity(s[-1])] for s in leaves])
        inner, outer = [], []
        for i, w in enumerate(walls):
            inner.append(((i, 0), w.hot, w.hot_film, w.hot_length))
            if isinstance(w.cold, str):
                outer.append(((i, 1), w.cold, w.cold_film, w.cold_length))
            else:
                inner.append(((i, 1), w.cold, w.cold_film, w.cold_length))
        self.at = tuple(np.array([s[0] for s in inner]).T)
        self.zone: Ints = np.array([s[1] for s in inner], dtype=np.int64)
        self.length = np.array([s[3] for s in inner])
        self.film = np.array([s[2] for s in inner])
        self.jet = np.array([walls[s[0][0]].jet and s[0][1] == 0 for s in inner])
        self.a, self.e = self.area[self.at], self.black[self.at]
        self.sum = np.zeros((zones, len(inner)))
        self.sum[self.zone, np.arange(len(inner))] = self.a
        self.whole = self.sum.sum(axis=1)
        self.mean_e = self.sum @ self.e / self.whole
        self.out_at = tuple(np.array([s[0] for s in outer]).T)
        self.out_film = np.array([s[2] for s in outer])
        self.out_length = np.array([s[3] for s in outer])
        air = {"room": heater.plan.room, "outdoors": heater.plan.outdoors}
        self.out_air = np.array([air.get(s[1], heater.plan.ground) for s in outer])
        self.ground = np.array([s[1] == "ground" for s in outer])
        self._chambers()

    def _chambers(self) -> None:
        """Beam lengths, ducts, flames, and who sees whom."""
        plan, of = self.heater.plan, self.heater.of
        self.beam, self.flame = np.empty(self.z), np.zeros(self.z)
        self.section, self.diameter = np.ones(self.z), np.ones(self.z)
        self.shares = np.eye(self.z)
        for name, zones in of.items():
            c = plan.chambers[name]
            volume = section(c) * c.length if c.lying else floor_area(c) * c.height
            for other in (plan.chambers[n] for n in of):
                if other.inside == name:
                    volume -= floor_area(other) * min(other.height, c.height)
            around = self.whole[zones].sum() + (2.0 * section(c) if c.kind in DUCTS else 0.0)
            self.beam[zones] = 3.6 * volume / around
            self.section[zones], self.diameter[zones] = section(c), hydraulic(c)
            if c.kind in ("firebox", "riser"):
                self.flame[zones] = 1.0 if c.kind == "firebox" else RISER_FLAME
            if c.kind == "bell":
                spans = [self.heater.zones[z] for z in zones]
                top = self.a[(self.zone == zones[0]) & (self.film == "faces down")].sum()
                low = self.a[(self.zone == zones[-1]) & (self.film == "faces up")].sum()
                bands = self.whole[zones].copy()
                bands[0] -= top
                bands[-1] -= low
                # all of a bell's gas, whatever stands in it, and all of its upright faces
                radius = 2.0 * floor_area(c) * c.height / bands.sum()
                edges = np.array([spans[0].high, *(s.low for s in spans)])
                areas = bell_exchange(edges, radius, bands, float(top), float(low))
                self.shares[np.ix_(zones, zones)] = areas / areas.sum(axis=1, keepdims=True)

    def convection(self, now: Moment, gas: Floats, face: Floats) -> Floats:
        h = films.upright(gas, face, self.length)
        for kind, up in (("faces up", True), ("faces down", False)):
            on = self.film == kind
            h[on] = films.level(gas[on], face[on], self.length[on], up=up)
        on = self.film == "duct"
        if on.any():
            z = self.zone[on]
            flow = now.flow_kg_s * self.ways.flows()[z]
            forced = films.duct(flow, self.section[z], self.diameter[z], gas[on], ROUGH)
            h[on] = np.maximum(h[on], forced)
        h[self.jet] *= 1.0 + (CROWN_JET - 1.0) * now.vigour
        return h

    def take(self, now: Moment, faces_C: Floats, zones_C: Floats) -> Taken:
        """`faces_C` (W, 2); `zones_C` (Z,): where the gas was last."""
        face, zones = faces_C[self.at], zones_C.copy()
        power = SIGMA * (face + ZERO) ** 4
        emitted = self.sum @ (self.e * power) / self.whole
        wall_K = self.sum @ face / self.whole + ZERO
        for _ in range(40):
            h = self.convection(now, zones[self.zone], face)
            kelvin = zones + ZERO
            e, a = np.zeros(self.z), np.zeros(self.z)
            if now.glows:
                path = now.p_co2_h2o * self.beam
                clear = 1.0 - self.flame * now.flame
                e = 1.0 - clear * (1.0 - emissivity(kelvin, path))
                a = 1.0 - clear * (1.0 - np.minimum(absorptivity(kelvin, wall_K, path), 0.99))
            own = e * SIGMA * kelvin**4
            falls, arriving = irradiation(self.shares, emitted, 1.0 - self.mean_e, own, a)
            loss = self.whole * (own - a * arriving)
            convective = self.sum @ h
            steep = 4.0 * self.whole * own / kelvin
            g, pull = convective + steep, self.sum @ (h * face) + steep * zones - loss
            for o in self.ways.openings:
                k = o.W_K(float(zones[o.mouth]), float(zones[o.zones[0]]))
                g[o.mouth] += k
                pull[o.mouth] += k * zones[o.zones[0]]
            g += 1e-9
            new = self.ways.solve(now, zones, g, pull / g, convective, self.heater.plan.room)
            moved = float(np.abs(new.t_C - zones).max())
            zones = np.clip(new.t_C, -70.0, 2250.0)
            if moved < REST_K:
                break
        q, slope = np.empty((self.w, 2)), np.empty((self.w, 2))
        q[self.at] = h * (zones[self.zone] - face) + self.e * (falls[self.zone] - power)
        slope[self.at] = 1.25 * h + 4.0 * self.e * power / (face + ZERO)
        q[self.out_at], slope[self.out_at] = self._outside(faces_C[self.out_at])
        return Taken(q=q, slope=slope, zones_C=zones, exit_C=new.exit_C, exit_W=new.exit_W)

    def _outside(self, face: Floats) -> tuple[Floats, Floats]:
        air, length = self.out_air, self.out_length
        h = films.upright(air, face, length)
        for kind, up in (("faces up", True), ("faces down", False)):
            on = self.out_film == kind
            h[on] = films.level(air[on], face[on], length[on], up=up)
        e = self.black[self.out_at]
        a, b = face + ZERO, air + ZERO
        total = h + e * SIGMA * (a * a + b * b) * (a + b)
        total[self.ground] = GROUND_FILM
        steep = np.where(self.ground, GROUND_FILM, 1.25 * h + 4.0 * e * SIGMA * a**3)
        return total * (air - face), steep


def _emissivity(leaf: Leaf) -> float:
    return PLAIN if leaf.material is None else float(table()[leaf.material]["emissivity"])
