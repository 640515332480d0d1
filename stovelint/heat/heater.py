"""One pass over the heater: faces and zones in; heat flows into the faces and the new gas out."""

from __future__ import annotations

from typing import Literal, NamedTuple

import numpy as np
from numpy.typing import NDArray

from stovelint.heat.emissivity import gas_absorptivity, gas_emissivity
from stovelint.heat.films import (
    duct_W_m2K, horizontal_W_m2K, outside_film_W_m2K, vertical_wall_W_m2K,
)  # fmt: skip
from stovelint.heat.gas import enthalpy_J_kg
from stovelint.heat.bands import C_REF, Caloric, Exchange
from stovelint.heat.gaspath import GasPass, gas_pass, pocket_conductance_W_K
from stovelint.heat.mixing import HIGHEST_C, LOWEST_C
from stovelint.heat.hearth import rays_W
from stovelint.heat.network import (
    GROUND, OUTDOORS, ROOM, Drive, Hearth, Network, Pocket, Stirred,
)  # fmt: skip
from stovelint.heat.radiation import SIGMA, exchange_radiation

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

INNER = 3
"""Rounds in which the gas comes to rest within a pass."""
LEAST_g_W_K = 1e-9
"""A zone gives its gas at least this much, so that nothing is divided by nought."""
GROUND_FILM_W_m2K = 1e4  # below the soil column: as good as a fixed temperature
CONTACT_W_m2K = 25.0
"""Between a declared core and what is built around it: a slip joint of 3 mm at 150 degC has
0.039 m2K/W (computed, physics notes 4.1; that there is one is practice)."""
STEEPER = 1.25
"""Slope of the outside heat flow over its mean coefficient (free convection and radiation)."""
DUCT_ROUGHNESS_m = 0.002  # brick and mortar (EN 13384-1 practice, recalled)


class State(NamedTuple):
    """Faces (M, 2W, N) and zones (M, Z, S), degC; irradiation of the zones (M, Z, S), W/m2; S the
    samples at which the gas is evaluated."""

    faces_C: Floats
    zones_C: Floats
    irradiation: Floats | None


class Pass(NamedTuple):
    """What one pass finds, at the samples where the gas is evaluated."""

    q_W_m2: Floats
    """(M, 2W, S) into the faces."""
    gas: GasPass
    irradiation: Floats
    """(M, Z, S) W/m2."""
    films_W_m2K: Floats
    """(M, 2W, S) dq/dT of every face."""


class Faces:
    """Index tables of the faces, made once per network."""

    def __init__(self, net: Network) -> None:
        self.gas: Ints = np.flatnonzero(net.face_zone >= 0)
        self.zone = net.face_zone[self.gas]
        self.to_zone = np.zeros((net.zones, len(self.gas)))
        self.to_zone[self.zone, np.arange(len(self.gas))] = net.face_area_m2[self.gas]
        self.zone_area = np.maximum(self.to_zone.sum(axis=1), 1e-9)
        kinds = np.array(net.face_film)
        self.by_film = {
            kind: np.flatnonzero(kinds[self.gas] == kind)
            for kind in ("vertical", "floor", "ceiling", "duct", "contact")
        }
        self.jet = np.flatnonzero(np.isin(self.gas, np.array(net.jet_faces, dtype=np.int64)))
        self.outer = {
            (ambient, kind): np.flatnonzero((net.face_zone == ambient) & (kinds == kind))
            for ambient in (ROOM, OUTDOORS)
            for kind in ("vertical", "floor", "ceiling")
        }
        self.ground: Ints = np.flatnonzero(net.face_zone == GROUND)


OUTER_ORIENTATION: dict[str, Literal["vertical", "up", "down"]] = {
    "vertical": "vertical", "floor": "down", "ceiling": "up"
}  # fmt: skip


class Heater:
    """Evaluates one pass: faces and zones in, heat flows and new zones out."""

    def __init__(self, net: Network, drive: Drive) -> None:
        self.net, self.drive, self.faces = net, drive, Faces(net)
        low = enthalpy_J_kg(np.array(400.0), drive.air_ratio)
        high = enthalpy_J_kg(np.array(1000.0), drive.air_ratio)
        b = 2.0 * (high / 1000.0 - low / 400.0) / 600.0
        self.caloric = Caloric(low / 400.0 - 200.0 * b, b)
        self.emissivity = net.face_emissivity[:, self.faces.gas]
        mean = self.emissivity @ self.faces.to_zone.T / self.faces.zone_area
        self.reflectance = (1.0 - mean)[:, :, None]
        peak = np.maximum(drive.flow_kg_s.max(axis=1, keepdims=True), 1e-9)
        self.jet = 1.0 + (drive.jet_factor - 1.0) * drive.flow_kg_s / peak
        self.flame = net.zone_flame[:, None] * drive.flame_emissivity[:, None, :]
        self.rays = self._flame_rays()
        self.pockets = [way for way in net.ways if isinstance(way, Pocket)]
        burning = np.flatnonzero(drive.burning)
        self.lit: Ints | slice = burning
        """The samples at which it burns; a stretch of them wherever they are one, which is fast."""
        if len(burning) and burning[-1] - burning[0] == len(burning) - 1:
            self.lit = slice(int(burning[0]), int(burning[-1]) + 1)

    def _flame_rays(self) -> tuple[tuple[Ints, Floats], ...]:
        """Zones of each hearth and what its flames send to them directly, (M, 1, N) W/m2 of face:
        a small source in the middle of a chamber, so every face gets as much."""
        result = []
        for way in self.net.ways:
            if isinstance(way, Hearth):
                zones = np.array(way.zones)
                share = rays_W(self.drive) / self.faces.zone_area[zones].sum()
                result.append((zones, np.asarray(share[:, None])))
        return tuple(result)

    def films(self, faces_C: Floats, zones_C: Floats) -> Floats:
        """Convection at the gas-side faces, (M, F, N)."""
        net, drive, f = self.net, self.drive, self.faces
        h = np.empty((faces_C.shape[0], len(f.gas), faces_C.shape[2]))
        for kind, local in f.by_film.items():
            if not len(local):
                continue
            face, zone = f.gas[local], f.zone[local]
            height = net.face_height_m[face][:, None]
            t_face, t_gas = faces_C[:, face], zones_C[:, zone]
            if kind == "vertical":
                h[:, local] = vertical_wall_W_m2K(t_gas, t_face, height)
            elif kind == "contact":
                h[:, local] = CONTACT_W_m2K
            elif kind == "duct":
                h[:, local] = self._duct(local, t_face, t_gas, height)
            else:
                h[:, local] = horizontal_W_m2K(
                    t_gas, t_face, height, "floor" if kind == "floor" else "ceiling"
                )
        if len(f.jet):
            h[:, f.jet] *= self.jet[:, None, :]
        h *= drive.film_factor[:, :, None]
        return h

    def _duct(self, local: Ints, t_face: Floats, t_gas: Floats, height: Floats) -> Floats:
        """Forced flow, but never less than free convection along the duct's own length."""
        free = vertical_wall_W_m2K(t_gas, t_face, height)
        flows = self.way_flow_of_zone()
        for row, position in enumerate(local):
            zone = self.faces.zone[position]
            duct = self.net.zone_duct[zone]
            assert duct is not None  # a face with film "duct" lies in a duct zone
            forced = duct_W_m2K(
                self.drive.flow_kg_s * flows[zone], duct.area_m2, duct.hydraulic_diameter_m,
                t_gas[:, row], DUCT_ROUGHNESS_m,
            )  # fmt: skip
            np.maximum(free[:, row], forced, out=free[:, row])
        return free

    def way_flow_of_zone(self) -> Floats:
        """(Z,) or (Z, M, 1) share of the whole gas that passes each zone."""
        flows = np.zeros((self.net.zones, *self.net.way_flow.shape[1:]))
        for share, way in zip(self.net.way_flow, self.net.ways):
            for zone in (way.zone,) if isinstance(way, Stirred) else way.zones:
                flows[zone] = share
        return flows

    def gas_radiation(self, zones_C: Floats, walls_C: Floats) -> tuple[Floats, Floats]:
        """Emissivity and absorptivity of the zones' gas (with flames), (M, Z, N); nil when out."""
        lit, drive = self.lit, self.drive
        e = np.zeros_like(zones_C)
        a = np.zeros_like(zones_C)
        t, wall = zones_C[:, :, lit], walls_C[:, :, lit]
        path = self.net.zone_path_m[:, None]
        x_c, x_h = drive.x_co2[:, None, lit], drive.x_h2o[:, None, lit]
        through = 1.0 - self.flame[:, :, lit]
        e[:, :, lit] = 1.0 - (1.0 - gas_emissivity(t, path, x_c, x_h)) * through
        own = np.minimum(gas_absorptivity(t, wall, path, x_c, x_h), 0.99)
        a[:, :, lit] = 1.0 - (1.0 - own) * through
        return e, a

    def evaluate(self, state: State) -> Pass:
        """One pass.

        The gas is brought to rest for the given faces by INNER rounds (films held), so that the
        passes have the faces alone as their unknown.
        """
        net, drive, f = self.net, self.drive, self.faces
        t_faces, t_zones, irradiation = state
        h = self.films(t_faces, t_zones)
        at_gas = t_faces[:, f.gas]
        kelvin = at_gas + 273.15
        power = kelvin * kelvin
        power *= power
        power *= SIGMA
        convective, pulled = f.to_zone @ h, f.to_zone @ (h * at_gas)
        convective += LEAST_g_W_K
        wall_C = (f.to_zone @ at_gas) / f.zone_area[:, None]
        emitted = (f.to_zone @ (self.emissivity[:, :, None] * power)) / f.zone_area[:, None]
        for zones, rays_W_m2 in self.rays:
            emitted[:, zones] += rays_W_m2
        rays_in = emitted if irradiation is None else irradiation
        e, a = self.gas_radiation(t_zones, wall_C)
        stiffer = 4.0 * f.zone_area[:, None] * e
        g_convective, pull = convective, pulled
        for _ in range(INNER):
            zone_K = t_zones + 273.15
            zone_power = zone_K * zone_K
            zone_power *= zone_power
            zone_power *= SIGMA
            rays = exchange_radiation(
                net, f.zone_area, self.reflectance, emitted, e, a, zone_power, rays_in
            )
            rays_in = rays.irradiation
            if self.pockets:
                g_convective, pull = convective.copy(), pulled.copy()
            for way in self.pockets:
                k = pocket_conductance_W_K(way, t_zones)
                g_convective[:, way.from_zone] += k
                pull[:, way.from_zone] += k * t_zones[:, way.zones[0]]
            g = np.divide(zone_power, zone_K, out=zone_K)
            g *= stiffer
            t_eq = g * t_zones
            t_eq += pull
            t_eq -= rays.loss_W
            g += g_convective
            t_eq /= g
            gas = gas_pass(
                net, drive, self.caloric, t_zones,
                Exchange(g=g, t_eq=t_eq, g_convective=g_convective),
            )  # fmt: skip
            t_zones = np.clip(gas.t_C, LOWEST_C, HIGHEST_C)
        q, films = np.empty_like(t_faces), np.empty_like(t_faces)
        given = rays_in[:, f.zone]
        given -= power
        given *= self.emissivity[:, :, None]
        carried = gas.t_C[:, f.zone]
        carried -= at_gas
        carried *= h
        carried += given
        q[:, f.gas] = carried
        power /= kelvin
        power *= 4.0 * self.emissivity[:, :, None]
        power += h
        films[:, f.gas] = power
        self._outer(t_faces, q, films)
        return Pass(q, gas, rays_in, films)

    def groups(self, state: State, films: Floats) -> list[tuple[Ints, Floats, Floats]]:
        """The closed zones: faces, weights and the share given back, for `stiff.Correction`.

        A zone gives back what passes through its gas from face to face, and of what its gas takes
        up the part that the flow does not carry away.
        """
        net, f = self.net, self.faces
        wall_C = (f.to_zone @ state.faces_C[:, f.gas]) / f.zone_area[:, None]
        _, a = self.gas_radiation(state.zones_C, wall_C)
        flows = self.way_flow_of_zone()
        result = []
        for zone in np.flatnonzero(net.zone_flame > 0.0):
            local = np.flatnonzero(f.zone == zone)
            faces = f.gas[local]
            if not len(faces):
                continue
            area = net.face_area_m2[faces]
            kelvin = state.faces_C[:, faces] + 273.15
            rays = 4.0 * SIGMA * self.emissivity[:, local, None] * kelvin**3
            taken = a[:, zone, None, :]
            to_gas = (area[:, None] * (films[:, faces] - rays + taken * rays)).sum(axis=1)
            direct = (area[:, None] * (1.0 - taken) * rays).sum(axis=1)
            carried = self.drive.flow_kg_s * flows[zone] * self.caloric.cp(state.zones_C[:, zone])
            back = (direct + to_gas * to_gas / (to_gas + carried)) / (direct + to_gas)
            weights = (area[:, None] * films[:, faces].mean(axis=0)).mean(axis=1)
            result.append((faces, weights / weights.sum(), back.mean(axis=0)))
        return result + self._core_groups(films)

    def _core_groups(self, films: Floats) -> list[tuple[Ints, Floats, Floats]]:
        """As `groups`, of declared cores: their heat is closed over the cycle, so what the faces
        rise by in the mean comes back at all times, (S, S)."""
        net, core, result = self.net, self.drive.core, []
        for share, way in zip(net.way_flow, net.ways):
            if core is not None and isinstance(way, Stirred) and way.heat_share == "core":
                faces = self.faces.gas[self.faces.zone == way.zone]
                weights = net.face_area_m2[faces] * films[:, faces].mean(axis=(0, 2))
                carried = (1.0 - core.gas) * self.drive.flow_kg_s * share * C_REF
                back = weights.sum() / (weights.sum() + (carried @ core.weight).mean())
                even = np.tile(back * core.weight, (len(core.weight), 1))
                result.append((faces, weights / weights.sum(), even))
        return result

    def _outer(self, t_faces: Floats, q: Floats, films: Floats) -> None:
        """Heat flows at the faces towards room, outdoors and ground, in place."""
        drive, net = self.drive, self.net
        for (ambient, kind), index in self.faces.outer.items():
            if not len(index):
                continue
            t = t_faces[:, index]
            air = (drive.room_C if ambient == ROOM else drive.outdoors_C)[:, :, None]
            emissivity = net.face_emissivity[:, index, None]
            height = net.face_height_m[index][:, None]
            total = outside_film_W_m2K(t, air, emissivity, height, OUTER_ORIENTATION[kind])
            total = total * drive.room_film_factor[:, :, None]
            q[:, index] = total * (air - t)
            films[:, index] = STEEPER * total
        if len(self.faces.ground):
            index = self.faces.ground
            q[:, index] = GROUND_FILM_W_m2K * (drive.ground_C[:, :, None] - t_faces[:, index])
            films[:, index] = GROUND_FILM_W_m2K
