"""A first small fire in a cold heater: gas that cools along walls which have not warmed yet."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from stovelint.heat.chimney import cooled_C, cooling_number
from stovelint.heat.films import duct_W_m2K, vertical_wall_W_m2K
from stovelint.heat.gas import cp_J_kgK, enthalpy_J_kg

if TYPE_CHECKING:
    from stovelint.heat.arrays import Floats, Numbers

WARMING_ROUNDS = 4
"""Rounds for the film at an element's own mean temperature; the fourth moves it under 0.5 K."""
INVERSE_ROUNDS = 6


def gas_with_heat_C(
    heat_J_kg: Numbers, t_air_C: Numbers, air_ratio: Numbers, moisture: Numbers
) -> Floats:
    """Temperature of flue gas that holds a heat above that of the air (degC).

    h(T) = h(T_air) + q with `enthalpy_J_kg`, by Newton's steps.

    heat_J_kg: q, J per kg of gas, 0..3e6; t_air_C: degC; air_ratio: -, >= 1; moisture: wet basis,
    -; all broadcast. Source: energy balance of the gas.

    >>> print(f"{gas_with_heat_C(1.0e5, 20.0, 4.0, 0.15):.1f}")
    117.3
    """
    aim = enthalpy_J_kg(t_air_C, air_ratio, moisture) + heat_J_kg
    t: Floats = aim / cp_J_kgK(t_air_C, air_ratio, moisture)
    for _ in range(INVERSE_ROUNDS):
        off = enthalpy_J_kg(t, air_ratio, moisture) - aim
        t = t - off / cp_J_kgK(t, air_ratio, moisture)
    return t


@dataclass(frozen=True, kw_only=True, eq=False)
class ColdWalls:
    """The elements that the gas passes, in the order of flow; each (E,), faces and flow (M, E)."""

    face_C: Floats
    area_m2: Floats
    """Of the faces along the element."""
    height_m: Floats
    """For free convection."""
    section_m2: Floats
    diameter_m: Floats
    """Cross-section and hydraulic diameter, for forced flow in ducts."""
    flow_share: Floats
    """Flow through the element over the whole gas flow."""
    duct: tuple[bool, ...]
    roughness_m: float


def along_cold_walls_C(
    walls: ColdWalls, t_start_C: Floats, flow_kg_s: Floats, air_ratio: float, moisture: float,
    film_factor: Floats,
) -> tuple[Floats, Floats]:  # fmt: skip
    """Mean and outlet temperature of the gas in each element, both (M, E), degC.

    Element by element the exponential law of `cooled_C` with the film as the only resistance,
    since a wall that is just met has not warmed: free convection at a vertical wall, in ducts
    forced flow where that is more. No gas radiation: a small fire's gas is thin.

    walls: the elements; t_start_C: gas that enters the first, (M,), degC; flow_kg_s: (M,), kg/s,
    > 0; air_ratio, moisture: of the gas, -; film_factor: (M,), on the film, -.
    Source: exponential law; films as in `films`.

    >>> cold = ColdWalls(face_C=np.array([[10.0]]), area_m2=np.array([3.1]),
    ...     height_m=np.array([5.5]), section_m2=np.array([0.0254]), diameter_m=np.array([0.18]),
    ...     flow_share=np.ones((1, 1)), duct=(True,), roughness_m=0.002)
    >>> mean, out = along_cold_walls_C(cold, np.array([60.0]), np.array([0.01]), 4.0, 0.15,
    ...                                np.array([1.0]))
    >>> print(f"{mean[0, 0]:.0f} {out[0, 0]:.0f}")
    39 24
    """
    means, outs = np.empty_like(walls.face_C), np.empty_like(walls.face_C)
    t_in: Floats = np.asarray(t_start_C, dtype=np.float64)
    for element, duct in enumerate(walls.duct):
        face = walls.face_C[:, element]
        flow = flow_kg_s * walls.flow_share[:, element]
        mean = out = t_in
        for _ in range(WARMING_ROUNDS):
            film = vertical_wall_W_m2K(mean, face, walls.height_m[element])
            if duct:
                forced = duct_W_m2K(
                    flow, walls.section_m2[element], walls.diameter_m[element], mean,
                    walls.roughness_m,
                )  # fmt: skip
                film = np.maximum(film, forced)
            capacity = cp_J_kgK(mean, air_ratio, moisture)
            k = cooling_number(film * film_factor, walls.area_m2[element], flow, capacity)
            out, mean = cooled_C(t_in, face, k)
        means[:, element], outs[:, element] = mean, out
        t_in = out
    return means, outs
