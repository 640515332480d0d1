"""A second solver: one firebox and its walls, stepped through time until the days repeat.

Shares nothing with the package: own finite volumes, own gas, own films, own radiation. Film
correlation as published (Churchill and Chu), air by Sutherland's and the standard atmosphere's
formulas, heat content of the gas by the NIST Shomate equations, gas radiation by Leckner.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import sqrt
from typing import Callable, Sequence

import numpy as np
from numpy.typing import NDArray
from scipy.linalg import solve_banded

from tests.heat.leckner import emissivity

Floats = NDArray[np.float64]

SIGMA = 5.670374419e-8
ZERO = 273.15

# Shomate cp = A + B x + C x2 + D x3 + E / x2 in J/molK, x = T / 1000 K (NIST webbook, recalled),
# each as (from K, coefficients); molar masses in kg/mol.
SHOMATE: dict[str, tuple[tuple[float, tuple[float, ...]], ...]] = {
    "N2": (
        (0.0, (28.98641, 1.853978, -9.647459, 16.63537, 0.000117)),
        (500.0, (19.50583, 19.88705, -8.598535, 1.369784, 0.527601)),
    ),
    "O2": (
        (0.0, (31.32234, -20.23531, 57.86644, -36.50624, -0.007374)),
        (700.0, (30.03235, 8.772972, -3.988133, 0.788313, -0.741599)),
    ),
    "CO2": (
        (0.0, (24.99735, 55.18696, -33.69137, 7.948387, -0.136638)),
        (1200.0, (58.16639, 2.720074, -0.492289, 0.038844, -6.447293)),
    ),
    "H2O": ((0.0, (30.09200, 6.832514, 6.793435, -2.534480, 0.082139)),),
    "Ar": ((0.0, (20.786, 0.0, 0.0, 0.0, 0.0)),),
}
AIR = {"N2": 0.7808, "O2": 0.2095, "Ar": 0.0097}
MOLAR = {"Ar": 39.948e-3, "N2": 28.0134e-3, "O2": 31.9988e-3, "CO2": 44.0095e-3, "H2O": 18.0153e-3}


def cp_J_kgK(t_C: float, moles: dict[str, float]) -> float:
    kelvin = t_C + ZERO
    x = kelvin / 1000.0
    total = 0.0
    for name, n in moles.items():
        a, b, c, d, e = [row for start, row in SHOMATE[name] if kelvin >= start][-1]
        total += n * (a + b * x + c * x * x + d * x**3 + e / (x * x))
    return float(total / sum(n * MOLAR[name] for name, n in moles.items()))


def heat_content(moles: dict[str, float]) -> Callable[[float], float]:
    """J/kg over 0 degC, tabulated every 5 K from -50 to 1800 degC."""
    t = np.arange(-50.0, 1800.0, 5.0)
    cp = np.array([cp_J_kgK(float(one), moles) for one in t])
    h = np.concatenate([[0.0], np.cumsum(2.5 * (cp[1:] + cp[:-1]))])
    h -= np.interp(0.0, t, h)
    return lambda t_C: float(np.interp(t_C, t, h))


def plate_W_m2K(t_gas: float, t_face: float, height: float) -> float:
    """Churchill and Chu for a vertical plate, air at the film temperature."""
    kelvin = 0.5 * (t_gas + t_face) + ZERO
    mu = 1.458e-6 * kelvin**1.5 / (kelvin + 110.4)
    k = 2.64638e-3 * kelvin**1.5 / (kelvin + 245.4 * 10.0 ** (-12.0 / kelvin))
    cp = cp_J_kgK(kelvin - ZERO, AIR)
    nu, prandtl = mu * kelvin / 352.98, mu * cp / k
    rayleigh = 9.80665 * abs(t_gas - t_face) * height**3 * prandtl / (kelvin * nu * nu)
    root = 0.825 + 0.387 * rayleigh ** (1.0 / 6.0) / (1.0 + (0.492 / prandtl) ** 0.5625) ** (8 / 27)
    return float(root * root * k / height)


@dataclass(frozen=True, kw_only=True)
class Slab:
    """A homogeneous wall of the firebox, room behind it."""

    area_m2: float
    thickness_m: float
    k_W_mK: float
    rho_cp_J_m3K: float
    emissivity: float
    cells: int = 24


@dataclass(frozen=True, kw_only=True)
class Day:
    """Histories of the last cycle, one value per step; `faces` (steps, slabs), degC."""

    times_s: Floats
    gas_C: Floats
    hot_C: Floats
    skin_C: Floats
    taken_J: float
    carried_J: float
    released_J: float


class Box:
    """The firebox: gas without inertia between slabs, heat and flow given over time."""

    def __init__(
        self, slabs: Sequence[Slab], moles: dict[str, float], path_m: float, room_C: float,
        height_m: float, glow: tuple[float, float] | None, darker: float = 1.0,
    ) -> None:  # fmt: skip
        """glow: mole fractions of CO2 and H2O that radiate; None: clear gas.
        darker: factor on the gas's emissivity and absorptivity."""
        self.darker = darker
        self.slabs, self.room, self.height = slabs, room_C, height_m
        self.heat, self.path, self.glow = heat_content(moles), path_m, glow
        self.areas = [slab.area_m2 for slab in slabs]
        self.whole = sum(self.areas)
        self.black = sum(s.area_m2 * s.emissivity for s in slabs) / self.whole

    def gas_glow(self, t_gas: float, t_wall: float) -> tuple[float, float]:
        """Leckner's emissivity, and the absorptivity from it by Hottel's rule."""
        if self.glow is None:
            return 0.0, 0.0
        gas_K, wall_K = max(t_gas + ZERO, 400.0), max(t_wall + ZERO, 400.0)
        e = emissivity(gas_K, self.path, *self.glow)
        a = emissivity(wall_K, self.path * wall_K / gas_K, *self.glow) * sqrt(gas_K / wall_K)
        return self.darker * e, self.darker * a

    def fluxes(self, t_gas: float, faces: Sequence[float]) -> list[float]:
        """W/m2 into each slab: convection, and exchange of all with all and with the gas."""
        mean = sum(a * t for a, t in zip(self.areas, faces)) / self.whole
        e, a = self.gas_glow(t_gas, mean)
        own = [SIGMA * (t + ZERO) ** 4 for t in faces]
        sent = sum(s.area_m2 * s.emissivity * p for s, p in zip(self.slabs, own)) / self.whole
        gas = e * SIGMA * (t_gas + ZERO) ** 4
        arriving = (gas + (1.0 - a) * sent) / (1.0 - (1.0 - a) * (1.0 - self.black))
        return [
            plate_W_m2K(t_gas, t, self.height) * (t_gas - t) + s.emissivity * (arriving - p)
            for s, t, p in zip(self.slabs, faces, own)
        ]

    def gas_C(self, heat_W: float, flow: float, faces: Sequence[float], near: float) -> float:
        """Secant on m (h - h_room) + sum A q = Q."""

        def rest(t: float) -> float:
            taken = sum(a * q for a, q in zip(self.areas, self.fluxes(t, faces)))
            return flow * (self.heat(t) - self.heat(self.room)) + taken - heat_W

        a, b = near, near + 5.0
        fa, fb = rest(a), rest(b)
        for _ in range(40):
            if abs(fb) < 0.05 or fb == fa:
                break
            a, b, fa = b, max(b - fb * (b - a) / (fb - fa), self.room - 20.0), fb
            fb = rest(b)
        return b


def run(
    box: Box, period_s: float, step_s: float, heat_W: Callable[[float], float],
    flow_kg_s: Callable[[float], float], days: int,
) -> Day:  # fmt: skip
    """Implicit steps, the film at the hot face by Newton from its own slope, two rounds each."""
    fields = [np.full(slab.cells, 120.0) for slab in box.slabs]
    t_gas = 150.0
    count = round(period_s / step_s)
    gas, hot, skin = (np.empty((count, n)) for n in (1, len(fields), len(fields)))
    taken = carried = released = 0.0
    faces = [120.0] * len(fields)
    outer = [60.0] * len(fields)
    for day in range(days):
        taken = carried = released = 0.0
        for i in range(count):
            time = (i + 1) * step_s
            q_in, flow = heat_W(time), flow_kg_s(time)
            new = fields
            for _ in range(2):
                t_gas = box.gas_C(q_in, flow, faces, t_gas)
                q = box.fluxes(t_gas, faces)
                lifted = box.fluxes(t_gas, [t + 1.0 for t in faces])
                steep = [max(a - b, 1.0) for a, b in zip(q, lifted)]
                new = []
                for n, slab in enumerate(box.slabs):
                    film = plate_W_m2K(box.room, outer[n], box.height) + slab.emissivity * SIGMA * (
                        (outer[n] + ZERO) ** 2 + (box.room + ZERO) ** 2
                    ) * (outer[n] + box.room + 2.0 * ZERO)
                    field, faces[n], outer[n], q[n] = stepped(
                        slab, fields[n], step_s, q[n], steep[n], faces[n], film, box.room
                    )
                    new.append(field)
            fields = new
            gas[i, 0], hot[i], skin[i] = t_gas, faces, outer
            taken += step_s * sum(a * x for a, x in zip(box.areas, q))
            carried += step_s * flow * (box.heat(t_gas) - box.heat(box.room))
            released += step_s * q_in
    return Day(
        times_s=np.linspace(step_s, period_s, count), gas_C=gas[:, 0], hot_C=hot, skin_C=skin,
        taken_J=taken, carried_J=carried, released_J=released,
    )  # fmt: skip


def stepped(
    slab: Slab, field: Floats, step_s: float, q: float, steep: float, face_C: float, film: float,
    room_C: float,
) -> tuple[Floats, float, float, float]:  # fmt: skip
    """One implicit step: (cells, hot face, skin, heat into the face)."""
    n = slab.cells
    size = slab.thickness_m / n
    half, between = 2.0 * slab.k_W_mK / size, slab.k_W_mK / size
    store = slab.rho_cp_J_m3K * size / step_s
    # face: q - steep (T - face) = half (T - cell)
    inlet = half * steep / (half + steep)
    drive = (q + steep * face_C) / steep
    outlet = half * film / (half + film)
    band = np.zeros((3, n))
    band[0, 1:] = band[2, :-1] = -between
    band[1] = store + 2.0 * between
    band[1, 0] += inlet - between
    band[1, -1] += outlet - between
    right = store * field
    right[0] += inlet * drive
    right[-1] += outlet * room_C
    cells = np.asarray(solve_banded((1, 1), band, right), dtype=np.float64)
    face = (q + steep * face_C + half * cells[0]) / (half + steep)
    skin = (half * cells[-1] + film * room_C) / (half + film)
    return cells, float(face), float(skin), float(half * (face - cells[0]))
