"""The periodic regime by harmonic balance: every face's history over one firing cycle.

Unknown: the temperature of every wall face and gas zone on N uniform samples of the cycle. One
pass takes the faces, marches the gas for all samples at once, forms the heat flow into every
face, writes it as a Robin condition with a film coefficient that is constant in time plus the
remainder as forcing, and lets the layered walls answer linearly, harmonic by harmonic. The passes
are accelerated (Anderson, per member) and repeated until no face moves by more than 0.1 K.
There is no loop over time and none over members.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from stovelint.heat.emissivity import gas_absorptivity, gas_emissivity
from stovelint.heat.films import duct_W_m2K, horizontal_W_m2K, outside_film_W_m2K, vertical_wall_W_m2K
from stovelint.heat.gas import enthalpy_J_kg
from stovelint.heat.gaspath import Caloric, Exchange, GasPass, gas_pass, pocket_conductance_W_K
from stovelint.heat.layers import (
    Admittance, face_response, harmonics_rad_s, joined, layer_admittance,
)  # fmt: skip
from stovelint.heat.network import GROUND, OUTDOORS, ROOM, Drive, Network, Pocket
from stovelint.heat.radiation import SIGMA, exchange_radiation
from stovelint.heat.stiff import Correction

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

TOLERANCE_K = 0.1
ENERGY_TOLERANCE = 8e-4
MEMORY = 5
INNER = 2
CALM, FEWEST_STEPS = 6, 27
CORRECTIONS = 3
SETTLED_K = (np.inf, 20.0, 3.0)
RENEW_BELOW_K, DRIFT_K = 1.0, 1.0
"""Properties are renewed near the end when a face's mean has drifted this far since the last time:
conductivities move by at most 0.2 % per kelvin."""
FIRST_MARGIN, MARGIN = 1.5, 1.1
"""On the films the correction is made for: too high converges slowly, too low not at all."""
MOST_PASSES = 120
GROUND_FILM_W_m2K = 1e4  # below the soil column: as good as a fixed temperature
STEEPER = 1.25
"""Slope of the outside heat flow over its mean coefficient (free convection and radiation)."""
LOWEST_C, HIGHEST_C = -60.0, 2200.0


class State(NamedTuple):
    """Faces (M, 2W, N) and zones (M, Z, S), degC; irradiation of the zones (M, Z, S), W/m2; S the
    samples at which the gas is evaluated."""

    faces_C: Floats
    zones_C: Floats
    irradiation: Floats | None


@dataclass(frozen=True, kw_only=True, eq=False)
class Solution:
    """A converged cycle. Temperatures in degC, heat flow densities in W/m2 into the wall."""

    faces_C: Floats
    """(M, 2W, N)."""
    gas: GasPass
    q_W_m2: Floats
    """(M, 2W, N), per true area of the face."""
    r_m2K_W: Floats
    c_J_m2K: Floats
    """(M, layers), per hot-face area."""
    outside_film_W_m2K: Floats
    """(M, 2W) mean over the cycle of the film each face sees."""
    passes: int
    change_K: float
    """The last pass's largest change of a face."""
    energy_gap: float
    """Largest of the members' heat that no account holds, over the heat released."""
    state: State
    """To start a case like this from; all N samples."""

    @property
    def converged(self) -> bool:
        return self.change_K <= TOLERANCE_K and self.energy_gap <= ENERGY_TOLERANCE


class Walls:
    """The walls' linear answer: admittances and the Robin films, renewed as k(T) settles."""

    def __init__(self, net: Network, omega: Floats) -> None:
        self.net, self.omega = net, omega
        counts = np.array([len(l) for l in net.layers])
        self.order = np.argsort(-counts, kind="stable")
        deepest = int(counts.max())
        self.rows = [
            np.array([net.layers[w][depth] for w in self.order if counts[w] > depth])
            for depth in range(deepest)
        ]
        self.ratio = net.face_area_m2 / np.tile(net.face_area_m2[: net.walls], 2)

    def renew(self, faces_mean_C: Floats, film: Floats) -> None:
        """`faces_mean_C`, `film` (M, 2W): cycle means. Evaluates properties at layer means."""
        net, w = self.net, self.net.walls
        r, c = self.r, self.c = self._properties(faces_mean_C)
        total: Admittance | None = None
        for rows in self.rows:
            layer = layer_admittance(r[:, rows], c[:, rows], self.omega)
            if total is None:
                total = layer
                continue
            n = len(rows)
            changed = joined((total[0][:, :n], total[1][:, :n], total[2][:, :n]), layer)
            for whole, new in zip(total, changed):
                whole[:, :n] = new
        assert total is not None
        back = np.empty_like(self.order)
        back[self.order] = np.arange(w)
        self.wall: Admittance = (total[0][:, back], total[1][:, back], total[2][:, back])
        self.film, self.mean_C = film, faces_mean_C
        self.robin = face_response(self.wall, *np.split(film * self.ratio, 2, axis=1))

    def _properties(self, faces_mean_C: Floats) -> tuple[Floats, Floats]:
        """Two rounds: boundaries from the last resistances, then properties, then again."""
        net, w = self.net, self.net.walls
        hot, cold = faces_mean_C[:, :w], faces_mean_C[:, w:]
        layers = sum(len(l) for l in net.layers)
        upper = np.empty((faces_mean_C.shape[0], layers))
        lower = np.empty_like(upper)
        first = not hasattr(self, "r")
        r = c = np.ones_like(upper) if first else self.r
        for _ in range(2 if first else 1):
            for wall, rows in enumerate(net.layers):
                index = list(rows)
                part = np.cumsum(r[:, index], axis=1)
                fall = (hot[:, wall] - cold[:, wall])[:, None] * part / part[:, -1:]
                lower[:, index] = hot[:, wall, None] - fall
                upper[:, index[1:]] = lower[:, index[:-1]]
                upper[:, index[0]] = hot[:, wall]
            r, c = net.properties(upper, lower)
        return r, c

    def answer(self, faces_C: Floats, q_W_m2: Floats) -> Floats:
        """New face histories for the heat flows `q` (M, 2W, N) found at `faces_C`."""
        w, samples = self.net.walls, faces_C.shape[-1]
        drive = np.fft.rfft(faces_C + q_W_m2 / self.film[:, :, None], axis=-1)
        hot, cross_hot, cross_cold, cold = self.robin
        wave = np.empty_like(drive)
        np.multiply(hot, drive[:, :w], out=wave[:, :w])
        wave[:, :w] += cross_hot * drive[:, w:]
        np.multiply(cold, drive[:, w:], out=wave[:, w:])
        wave[:, w:] += cross_cold * drive[:, :w]
        return np.fft.irfft(wave, n=samples, axis=-1)


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
            for kind in ("vertical", "floor", "ceiling", "duct")
        }
        self.jet = np.flatnonzero(np.isin(self.gas, np.array(net.jet_faces, dtype=np.int64)))
        self.outer = {
            (ambient, kind): np.flatnonzero((net.face_zone == ambient) & (kinds == kind))
            for ambient in (ROOM, OUTDOORS)
            for kind in ("vertical", "floor", "ceiling")
        }
        self.ground: Ints = np.flatnonzero(net.face_zone == GROUND)


OUTER_ORIENTATION = {"vertical": "vertical", "floor": "down", "ceiling": "up"}


class Heater:
    """Evaluates one pass: faces and zones in, heat flows and new zones out."""

    def __init__(self, net: Network, drive: Drive) -> None:
        self.net, self.drive, self.faces = net, drive, Faces(net)
        low = enthalpy_J_kg(np.array(400.0), drive.air_ratio)
        high = enthalpy_J_kg(np.array(1000.0), drive.air_ratio)
        b = 2.0 * (high / 1000.0 - low / 400.0) / 600.0
        self.caloric = Caloric(low / 400.0 - 200.0 * b, b)
        self.emissivity = net.face_emissivity[:, self.faces.gas]
        self.reflectance = 1.0 - (self.emissivity @ self.faces.to_zone.T / self.faces.zone_area)[:, :, None]
        peak = np.maximum(drive.flow_kg_s.max(axis=1, keepdims=True), 1e-9)
        self.jet = 1.0 + (drive.jet_factor - 1.0) * drive.flow_kg_s / peak
        self.flame = net.zone_flame[:, None] * drive.flame_emissivity[:, None, :]

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
                t_gas[:, row], 0.002,
            )  # fmt: skip
            np.maximum(free[:, row], forced, out=free[:, row])
        return free

    def way_flow_of_zone(self) -> Floats:
        """(Z,) share of the whole gas that passes each zone."""
        flows = np.zeros(self.net.zones)
        for share, way in zip(self.net.way_flow, self.net.ways):
            for zone in getattr(way, "zones", None) or (way.zone,):  # type: ignore[union-attr]
                flows[zone] = share
        return flows

    def gas_radiation(self, zones_C: Floats, walls_C: Floats) -> tuple[Floats, Floats]:
        """Emissivity and absorptivity of the zones' gas (with flames), (M, Z, N); nil when out."""
        drive, burning = self.drive, self.drive.burning
        e = np.zeros_like(zones_C)
        a = np.zeros_like(zones_C)
        t, wall = zones_C[:, :, burning], walls_C[:, :, burning]
        path = self.net.zone_path_m[:, None]
        x_c, x_h = drive.x_co2[:, None, burning], drive.x_h2o[:, None, burning]
        through = 1.0 - self.flame[:, :, burning]
        e[:, :, burning] = 1.0 - (1.0 - gas_emissivity(t, path, x_c, x_h)) * through
        own = np.minimum(gas_absorptivity(t, wall, path, x_c, x_h), 0.99)
        a[:, :, burning] = 1.0 - (1.0 - own) * through
        return e, a

    def evaluate(self, state: State) -> tuple[Floats, GasPass, Floats, Floats]:
        """Returns q (M, 2W, N), the gas pass, irradiation, and dq/dT of every face (M, 2W, N).

        The gas is brought to rest for the given faces by INNER rounds (films held), so that the
        passes have the faces alone as their unknown.
        """
        net, drive, f = self.net, self.drive, self.faces
        t_faces, t_zones, irradiation = state
        at_gas = t_faces[:, f.gas]
        h = self.films(t_faces, t_zones)
        kelvin = at_gas + 273.15
        square = kelvin * kelvin
        power = SIGMA * square * square
        wall_C = (f.to_zone @ at_gas) / f.zone_area[:, None]
        convective = f.to_zone @ h
        pulled = f.to_zone @ (h * at_gas)
        emitted = (f.to_zone @ (self.emissivity[:, :, None] * power)) / f.zone_area[:, None]
        for _ in range(INNER):
            zone_K = t_zones + 273.15
            zone_power = SIGMA * zone_K**4
            e, a = self.gas_radiation(t_zones, wall_C)
            rays = exchange_radiation(
                net, f.zone_area, self.reflectance, emitted, e, a, zone_power, irradiation
            )
            irradiation = rays.irradiation
            g_convective, pull = convective.copy(), pulled.copy()
            for way in net.ways:
                if isinstance(way, Pocket):
                    k = pocket_conductance_W_K(way, t_zones)
                    g_convective[:, way.from_zone] += k
                    pull[:, way.from_zone] += k * t_zones[:, way.zones[0]]
            stiff = 4.0 * f.zone_area[:, None] * e * zone_power / zone_K
            g = g_convective + stiff + 1e-9
            t_eq = (pull + stiff * t_zones - rays.loss_W) / g
            gas = gas_pass(
                net, drive, self.caloric, t_zones,
                Exchange(g=g, t_eq=t_eq, g_convective=g_convective),
            )  # fmt: skip
            t_zones = np.clip(gas.t_C, LOWEST_C, HIGHEST_C)
        q = np.empty_like(t_faces)
        q[:, f.gas] = h * (gas.t_C[:, f.zone] - at_gas) + self.emissivity[:, :, None] * (
            irradiation[:, f.zone] - power
        )
        films = np.empty_like(t_faces)
        films[:, f.gas] = h + 4.0 * self.emissivity[:, :, None] * (power / kelvin)
        self._outer(t_faces, q, films)
        return q, gas, irradiation, films

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


def looked_at(drive: Drive) -> Ints:
    """Samples at which gas and films are evaluated: all while it burns, then ever fewer.

    After the fire everything fades smoothly, over hours; between two of these samples heat flows
    are taken as straight. Steps double after every CALM samples of a step, up to one part in
    FEWEST_STEPS of the cycle.
    """
    n = drive.samples
    flow = drive.flow_kg_s
    busy = drive.burning | (np.abs(flow - np.roll(flow, 1, axis=1)).max(axis=0) > 1e-9)
    last = int(np.flatnonzero(busy).max())
    chosen = list(range(last + 1))
    step, count, at = 1, 0, last
    while at + step < n:
        at += step
        chosen.append(at)
        count += 1
        if count == CALM and 2 * step <= n / FEWEST_STEPS:
            step, count = 2 * step, 0
    if chosen[-1] != n - 1:
        chosen.append(n - 1)
    return np.array(chosen)


def between_samples(chosen: Ints, samples: int) -> Floats:
    """Matrix (S, N) that carries values at the chosen samples to all, straight in between."""
    matrix = np.zeros((len(chosen), samples))
    for i, (low, high) in enumerate(zip(chosen, [*chosen[1:], chosen[0] + samples])):
        for at in range(low, high):
            share = (at - low) / (high - low)
            matrix[i, at % samples] += 1.0 - share
            matrix[(i + 1) % len(chosen), at % samples] += share
    return matrix


def first_guess(net: Network, drive: Drive, chosen: Ints) -> State:
    """A lukewarm heater, so that the first films are of the right size."""
    m, n = drive.members, drive.samples
    faces = np.full((m, 2 * net.walls, n), 150.0)
    for ambient, value in (
        (ROOM, drive.room_C), (OUTDOORS, drive.outdoors_C), (GROUND, drive.ground_C)
    ):  # fmt: skip
        index = np.flatnonzero(net.face_zone == ambient)
        faces[:, index] = value[:, :, None] + (15.0 if ambient != GROUND else 0.0)
    fire = drive.heat_W / np.maximum(drive.heat_W.max(axis=1, keepdims=True), 1e-9)
    rise = 350.0 + 400.0 * net.zone_flame
    zones = 150.0 + rise[:, None] * fire[:, None, chosen]
    return State(faces, zones, None)


def solve(net: Network, drive: Drive, start: State | None = None) -> Solution:
    """Find the periodic regime. `start` (the `state` of one case like these, or of each) shortens the way.

    Does not raise on failure: look at `converged`. Deterministic: fixed order, no random state.
    """
    m, n, w = drive.members, drive.samples, net.walls
    chosen = looked_at(drive)
    fill = between_samples(chosen, n)
    heater = Heater(net, at_samples(drive, chosen))
    walls = Walls(net, harmonics_rad_s(drive.period_s, n))
    if start is None:
        state = first_guess(net, drive, chosen)
    else:
        faces, zones, rays = start
        assert rays is not None  # a solution's state has them
        each = m if faces.shape[0] == 1 else 1
        state = State(
            np.repeat(faces, each, axis=0), np.repeat(zones[..., chosen], each, axis=0),
            np.repeat(rays[..., chosen], each, axis=0),
        )  # fmt: skip
    mixer = Mixer(2 * w, chosen)
    renewals, change, passes, gap = 0, np.inf, 0, np.inf
    q = films = state.faces_C
    for passes in range(1, MOST_PASSES + 1):
        seen = State(state.faces_C[..., chosen], state.zones_C, state.irradiation)
        q_seen, gas, irradiation, films = heater.evaluate(seen)
        q = q_seen @ fill
        mean = state.faces_C.mean(axis=-1)
        if renewals == 0 or (
            renewals < CORRECTIONS and (change < SETTLED_K[renewals] or passes == 4 * renewals)
        ):
            rest = State(seen.faces_C, gas.t_C, irradiation)
            walls.renew(mean, (films @ fill).mean(axis=-1))
            calm = renewals > 0 or start is not None
            fix = _correction(
                heater, walls, rest, films, chosen, fill, MARGIN if calm else FIRST_MARGIN,
                closed=calm,
            )  # fmt: skip
            renewals += 1
            mixer.forget()
        elif change < RENEW_BELOW_K and np.abs(mean - walls.mean_C).max() > DRIFT_K:
            walls.renew(mean, walls.film)
            mixer.forget()
        moved = walls.answer(state.faces_C, q) - state.faces_C
        fix.apply(moved)
        change = float(np.abs(moved).max())
        if not np.isfinite(change):
            break
        faces = state.faces_C + moved
        if change <= TOLERANCE_K and np.abs(mean - walls.mean_C).max() <= DRIFT_K:
            gap = float(energy_gap(net, drive, q, gas.exit_W @ fill).max())
            if gap <= ENERGY_TOLERANCE:
                state = State(faces, gas.t_C, irradiation)
                break
        state = State(*mixer.next(state, faces, gas.t_C), irradiation)
    whole = GasPass(t_C=gas.t_C @ fill, exit_C=gas.exit_C @ fill, exit_W=gas.exit_W @ fill)
    rays = irradiation @ fill
    return Solution(
        faces_C=state.faces_C, gas=whole, q_W_m2=q, r_m2K_W=walls.r, c_J_m2K=walls.c,
        outside_film_W_m2K=(films @ fill).mean(axis=-1) / STEEPER, passes=passes, change_K=change,
        energy_gap=gap, state=State(state.faces_C, whole.t_C, rays),
    )  # fmt: skip


def at_samples(drive: Drive, chosen: Ints) -> Drive:
    """The same firing at the chosen samples only."""
    return replace(
        drive, heat_W=drive.heat_W[:, chosen], flow_kg_s=drive.flow_kg_s[:, chosen],
        air_ratio=drive.air_ratio[:, chosen], x_co2=drive.x_co2[:, chosen],
        x_h2o=drive.x_h2o[:, chosen], burning=drive.burning[chosen],
        flame_emissivity=drive.flame_emissivity[:, chosen],
    )  # fmt: skip


def energy_gap(net: Network, drive: Drive, q_W_m2: Floats, exit_W: Floats) -> Floats:
    """Heat released less heat that left through faces and chimney, over heat released, (M,)."""
    released = drive.heat_W.mean(axis=1)
    left = net.face_zone < 0
    lost = -(q_W_m2[:, left].mean(axis=2) * net.face_area_m2[left]).sum(axis=1)
    return np.asarray(np.abs(released - lost - exit_W.mean(axis=1)) / released)


def _correction(
    heater: Heater, walls: Walls, rest: State, films: Floats, chosen: Ints, fill: Floats,
    margin: float, *, closed: bool,
) -> Correction:  # fmt: skip
    return Correction(
        walls.wall, walls.film, walls.ratio, margin * (films.max(axis=0) @ fill),
        heater.groups(rest, films) if closed else [], chosen, fill,
    )  # fmt: skip


class Mixer:
    """Anderson acceleration of the passes, each member by itself.

    Next point: g - dG gamma, with gamma the least squares of the last change on the last changes'
    differences. Only the faces, at the evaluated samples, count in the fit (the gas follows them).
    """

    def __init__(self, faces: int, chosen: Ints) -> None:
        self.faces, self.chosen = faces, chosen
        self.forget()

    def forget(self) -> None:
        self.history: list[Floats] = []
        self.steps: list[Floats] = []
        self.last: tuple[Floats, Floats] | None = None

    def next(self, state: State, faces_C: Floats, zones_C: Floats) -> tuple[Floats, Floats]:
        m, cut = faces_C.shape[0], faces_C[0].size
        whole = np.concatenate([faces_C.reshape(m, -1), zones_C.reshape(m, -1)], axis=1)
        rest = (faces_C[..., self.chosen] - state.faces_C[..., self.chosen]).reshape(m, -1)
        if self.last is not None:
            self.history.append(whole - self.last[0])
            self.steps.append(rest - self.last[1])
            del self.history[:-MEMORY], self.steps[:-MEMORY]
        self.last = (whole, rest)
        if self.history:
            steps = np.stack(self.steps, axis=1)
            normal = steps @ steps.transpose(0, 2, 1)
            trace = np.einsum("mii->m", normal)
            depth = range(len(self.steps))
            normal[:, depth, depth] += (1e-10 * trace + 1e-30)[:, None]
            gamma = np.linalg.solve(normal, steps @ rest[:, :, None])
            whole = whole.copy()
            for i, step in enumerate(self.history):
                whole -= gamma[:, i] * step
            np.clip(whole, LOWEST_C, HIGHEST_C, out=whole)
        return whole[:, :cut].reshape(faces_C.shape), whole[:, cut:].reshape(zones_C.shape)
