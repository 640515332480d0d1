"""Draught of warm gas in rising and falling stretches, and what the way of the gas takes from it.

Pressures in Pa, positive where they drive the gas onwards. Arrays over members M, elements E and
samples N; every function broadcasts and has no state.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from stovelint.heat.films import GRAVITY, ZERO_C_K, air_film_properties

if TYPE_CHECKING:
    from stovelint.heat.arrays import Floats, Numbers

SEA_LEVEL_Pa = 101325.0
DENSITY_K = 353.0
"""Density times temperature of air at sea level, kg K/m3 (ideal gas, 29 g/mol). Flue gas of wood is
within 2 % (29.0 to 29.6 g/mol dry, less with vapour)."""
LAMINAR, TURBULENT = 2300.0, 4000.0
"""Reynolds numbers between which the friction factor is straight, as the film in a flue is."""
ROUNDS = 16
"""Rounds for the flow that a draught carries; where friction is laminar each halves the error."""


def air_pressure_Pa(altitude_m: Numbers) -> Floats:
    """Air pressure at a height above the sea (Pa).

    p = 101325 (1 - 2.25577e-5 z)^5.25588, the standard atmosphere up to 11 km.

    altitude_m: m, -500..6000. Weather moves it by some 3 %. Source: ISO 2533 (recalled), referee
    in the tests: `fluids`.

    >>> print(f"{air_pressure_Pa(195.0):.0f}")
    99004
    """
    share = 1.0 - 2.25577e-5 * np.asarray(altitude_m, dtype=np.float64)
    return np.asarray(SEA_LEVEL_Pa * share**5.25588)


def density_kg_m3(t_C: Numbers, pressure_Pa: Numbers) -> Floats:
    """Density of air or flue gas (kg/m3): 353 / T at sea level, in proportion to pressure.

    t_C: degC, > -273; pressure_Pa: Pa; they broadcast. Ideal gas of 29 g/mol, good to 2 % for
    flue gas of wood. Source: gas law.

    >>> print(f"{density_kg_m3(20.0, 101325.0):.3f}")
    1.204
    """
    kelvin = np.asarray(t_C, dtype=np.float64) + ZERO_C_K
    return np.asarray(DENSITY_K / kelvin * (pressure_Pa / SEA_LEVEL_Pa))


def static_draught_Pa(
    rise_m: Numbers, t_outdoors_C: Numbers, t_gas_C: Numbers, pressure_Pa: Numbers
) -> Floats:
    """What a stretch of gas drives by being lighter than the air outdoors (Pa).

    353 g H (1 / T_a - 1 / T_m) p / p0: positive where warm gas rises, negative where it sinks.

    rise_m: m, > 0 upwards in the direction of flow; t_outdoors_C, t_gas_C: degC, the means over the
    stretch; pressure_Pa: air pressure of the place; all broadcast.
    Source: hydrostatics of two columns (exact for ideal gas of one composition).

    >>> print(f"{static_draught_Pa(6.0, 0.0, np.array(120.0), 101325.0):.1f}")
    23.2
    """
    lighter = density_kg_m3(t_outdoors_C, pressure_Pa) - density_kg_m3(t_gas_C, pressure_Pa)
    return np.asarray(GRAVITY * rise_m * lighter)


def friction_factor(reynolds: Numbers, relative_roughness: Numbers) -> Floats:
    """Friction factor of a flue, Darcy's (-).

    From Re 4000 up Colebrook and White, f^(-1/2) = -2 log10(e/3.7 + 2.51 / (Re f^(1/2))), solved
    by repeated substitution; up to Re 2300 laminar, 64 / Re; straight between them.

    reynolds: -, > 0; relative_roughness: e, roughness over diameter, -, 0..0.05; they broadcast.
    Up to Re 2300 exact for round pipes (a square takes 57 / Re).
    Source: Colebrook 1939 (recalled), referee in the tests: `fluids`.

    >>> print(f"{friction_factor(9081.0, 0.0111):.4f} {friction_factor(1000.0, 0.0111):.3f}")
    0.0447 0.064
    """
    re = np.asarray(reynolds, dtype=np.float64)
    stirred = np.maximum(re, TURBULENT)
    rough = np.asarray(relative_roughness, dtype=np.float64) / 3.7
    root = np.full(np.broadcast_shapes(stirred.shape, rough.shape), 5.0)  # f^(-1/2)
    for _ in range(12):
        root = -2.0 * np.log10(rough + 2.51 / stirred * root)
    turbulent = 1.0 / (root * root)
    calm = 64.0 / np.minimum(re, LAMINAR)
    share = np.clip((re - LAMINAR) / (TURBULENT - LAMINAR), 0.0, 1.0)
    return np.asarray(calm + share * (turbulent - calm))


def widening(area_ratio: Numbers) -> Floats:
    """Loss of a sudden widening, in velocity heads of the narrow side (-): (1 - A1/A2)^2.

    area_ratio: narrow over wide area, -, 0..1; 0 is the outlet into open air, which takes the
    whole velocity head. Source: Borda and Carnot, momentum balance (exact for even velocity).

    >>> print(f"{widening(0.25):.4f} {widening(0.0):.0f}")
    0.5625 1
    """
    rest = 1.0 - np.asarray(area_ratio, dtype=np.float64)
    return rest * rest


def narrowing(area_ratio: Numbers) -> Floats:
    """Loss of a sudden, sharp narrowing, in velocity heads of the narrow side (-): (1 - A2/A1)/2.

    area_ratio: narrow over wide area, -, 0..1; 0 is a sharp inlet from the open room, 0.5.
    Published forms differ by up to 0.13. Source: handbook form (recalled: Crane), referee in the
    tests: `fluids`.

    >>> print(f"{narrowing(0.25):.3f} {narrowing(0.0):.1f}")
    0.375 0.5
    """
    return 0.5 * (1.0 - np.asarray(area_ratio, dtype=np.float64))


def sharp_bend(angle_deg: Numbers) -> Floats:
    """Loss of a turn without rounding, in velocity heads (-).

    0.42 sin(a/2) + 2.56 sin^3(a/2): 1.2 for a right angle.

    angle_deg: by how much the gas turns, degrees, 0..150. Masonry turns with a rounded inside take
    a third to a half of it. Source: Rennels and Hudson, Pipe Flow (recalled), referee in the
    tests: `fluids`.

    >>> print(f"{sharp_bend(90.0):.2f}")
    1.20
    """
    half = np.sin(np.radians(0.5 * np.asarray(angle_deg, dtype=np.float64)))
    return np.asarray(0.42 * half + 2.56 * half**3)


@dataclass(frozen=True, kw_only=True, eq=False)
class Resistances:
    """The elements of a way of the gas, in any order; each of shape (E,) except the flow."""

    zeta: Floats
    """Single losses, in velocity heads at `area_m2`."""
    length_m: Floats
    """Of flue that rubs; 0 where there is none."""
    diameter_m: Floats
    """Hydraulic diameter."""
    area_m2: Floats
    flow_share: Floats
    """Flow through the element over the whole gas flow; broadcasts to (M, E, N)."""
    roughness_m: float


def losses_Pa(
    way: Resistances, flow_kg_s: Floats, t_C: Floats, pressure_Pa: Numbers
) -> Floats:
    """Pressure that each element takes, (M, E, N), Pa.

    (zeta + f L / D) G^2 / (2 rho), G = m / A, f by `friction_factor` at Re = G D / mu.

    way: the elements; flow_kg_s: whole gas flow, (M, N), kg/s, >= 0; t_C: gas in each element,
    (M, E, N), degC, -20..1200; pressure_Pa: air pressure of the place, Pa.
    Viscosity is that of air, 3 to 5 % above flue gas (0.5 % in f). Single losses are those of
    Re > 1e4; slower gas loses more, but then little in all.
    Source: Darcy and Weisbach (definition).

    >>> way = Resistances(zeta=np.zeros(1), length_m=np.array([6.0]), diameter_m=np.array([0.18]),
    ...                   area_m2=np.array([0.0254]), flow_share=np.ones((1, 1)), roughness_m=0.002)
    >>> loss = losses_Pa(way, np.array([[0.0525]]), np.array([[[150.0]]]), 101325.0)
    >>> print(loss.round(1).tolist())
    [[[3.6]]]
    """
    per_area = flow_kg_s[:, None, :] * way.flow_share / way.area_m2[:, None]
    density = density_kg_m3(t_C, pressure_Pa)
    viscosity = air_film_properties(t_C)[0] * density_kg_m3(t_C, SEA_LEVEL_Pa)
    diameter = way.diameter_m[:, None]
    reynolds = np.maximum(per_area * diameter / viscosity, 1e-3)
    f = friction_factor(reynolds, way.roughness_m / diameter)
    heads = way.zeta[:, None] + f * way.length_m[:, None] / diameter
    return np.asarray(heads * per_area * per_area / (2.0 * density))


def carried_share(
    way: Resistances, draught_Pa: Floats, flow_kg_s: Floats, t_C: Floats, pressure_Pa: Numbers
) -> Floats:
    """Flow that the draught can carry over the flow that was assumed, (M, N), -.

    The s at which `losses_Pa` of s times the flow add up to the draught, temperatures held; 0 where
    the draught pushes back. By s <- s (draught / losses)^(1/2), repeated.

    draught_Pa: static draught of the whole way, (M, N), Pa; the rest as in `losses_Pa`, with
    flow_kg_s > 0. Source: fixed point of the balance.

    >>> way = Resistances(zeta=np.array([2.0]), length_m=np.zeros(1), diameter_m=np.ones(1),
    ...                   area_m2=np.ones(1), flow_share=np.ones((1, 1)), roughness_m=0.002)
    >>> flow, t = np.array([[1.2]]), np.array([[[20.0]]])
    >>> four_times = 4.0 * losses_Pa(way, flow, t, 101325.0).sum(axis=1)
    >>> carried_share(way, four_times, flow, t, 101325.0).round(3).tolist()
    [[2.0]]
    """
    pull = np.maximum(draught_Pa, 0.0)
    share = np.ones(np.broadcast_shapes(pull.shape, flow_kg_s.shape))
    for _ in range(ROUNDS):
        taken = losses_Pa(way, np.maximum(share, 1e-6) * flow_kg_s, t_C, pressure_Pa).sum(axis=1)
        share = np.maximum(share, 1e-6) * np.sqrt(pull / taken)
    return share
