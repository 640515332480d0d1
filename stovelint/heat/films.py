"""Heat transfer by moving gas at a surface: free convection, flow in a flue, the outside skin.

Every function works on arrays that broadcast, has no state, and is cheap enough to be called in
each pass of the periodic solution: the fluid properties are short polynomials whose fit error is
stated here and tested.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

import numpy as np

if TYPE_CHECKING:
    from stovelint.heat.arrays import Floats, Numbers

Facing = Literal["floor", "ceiling"]
Orientation = Literal["vertical", "up", "down"]

ZERO_C_K = 273.15
STEFAN_BOLTZMANN = 5.670374419e-8  # W/m2K4
GRAVITY = 9.80665  # m/s2

# Air at 101325 Pa, x = T / 1000 K, lowest power first. Least squares of this project (relative
# weights, every 10 K, -20..1200 degC) on CoolProp 8.0.0; largest error 0.14 % each.
_NU = (-2.183450565e-6, 22.261850472e-6, 137.916462063e-6, -45.618908784e-6, 10.293015723e-6)
_K = (0.5126424944e-3, 101.037228959e-3, -58.085734285e-3, 30.918025743e-3, -6.726357102e-3)
_PR = (0.8033763734, -0.5788390981, 1.0606801655, -0.7311205813, 0.1759924791)

# The same air folded into the free-convection formulas, with c = g Pr / (T nu^2):
_PLATE = (0.0712551454, 0.2498984908, -0.1465892035, 0.0400600552)  # 0.825 k^(1/2), 0.94 %
_RISE = (0.4797394003, 1.7877350791, -1.6412553401, 0.9145729106, -0.2030265244)
# ... 1 / (0.387 k^(1/2) c^(1/6) / [1 + (0.492/Pr)^(9/16)]^(8/27)), 0.15 %
_QUARTER = (0.4276728367, 1.2231607917, -1.0495066923, 0.5623170409, -0.1220155386)
# ... 1 / (0.54 k c^(1/4)), 0.08 %
_THIRD = (0.1025395429, 1.7799826418, -1.0218960414, 0.5045051931, -0.1033473193)
# ... 1 / (0.15 k c^(1/3)), 0.03 %

# Flue gas of wood at 15 % moisture and air ratio 2.95, x = T / 1000 K: mixture-averaged, this
# project with Cantera 3.2.0 (gri30), -20..1200 degC; largest error 0.24 % and 0.17 %.
_FLUE_MU = (0.8480628180e-6, 67.8827375750e-6, -45.8254699220e-6, 24.9664958110e-6,
            -5.6373106618e-6)
_FLUE_K = (4.2590001395e-3, 73.0765495170e-3, -6.0483342797e-3)
_FLUE_PR = 0.709  # 0.701 to 0.713 over the same range and for air ratios 1 to 4
_FLUE_PR_FACTOR = 12.7 * (_FLUE_PR ** (2.0 / 3.0) - 1.0)


def _quartic(c: tuple[float, float, float, float, float], x: Floats) -> Floats:
    return c[0] + x * (c[1] + x * (c[2] + x * (c[3] + x * c[4])))


def _film_and_step(t_gas_C: Numbers, t_face_C: Numbers) -> tuple[Floats, Floats]:
    """Film temperature in thousands of kelvin, and the temperature step |gas - face| in K."""
    gas = np.asarray(t_gas_C, dtype=np.float64)
    face = np.asarray(t_face_C, dtype=np.float64)
    return (gas + face) * 0.0005 + 0.001 * ZERO_C_K, np.abs(gas - face)


def air_film_properties(t_film_C: Numbers) -> tuple[Floats, Floats, Floats]:
    """Kinematic viscosity (m2/s), conductivity (W/mK) and Prandtl number (-) of air.

    Polynomials of the fourth degree in T, fitted to CoolProp 8.0.0 ("Air", 101325 Pa); largest
    error 0.14 %. Flue gas of wood burned with excess air differs by at most 6 % in viscosity and
    8 % in conductivity (air ratio 2.95; table 2.1 of the project's physics notes, computed).

    t_film_C: any shape, degC, -20..1200 (outside: extrapolated polynomial, not meant to be used).

    >>> nu, k, pr = air_film_properties(100.0)
    >>> print(f"{nu * 1e6:.1f} mm2/s {k * 1e3:.1f} mW/mK {pr:.2f}")
    23.2 mm2/s 31.6 mW/mK 0.70
    """
    x = (np.asarray(t_film_C, dtype=np.float64) + ZERO_C_K) * 0.001
    return _quartic(_NU, x), _quartic(_K, x), _quartic(_PR, x)


def vertical_wall_W_m2K(t_gas_C: Numbers, t_face_C: Numbers, height_m: Numbers) -> Floats:
    """Free convection at a vertical wall, gas or face the hotter one alike (W/m2K).

    Churchill and Chu (1975), all Rayleigh numbers, properties at the film temperature:
    Nu = {0.825 + 0.387 Ra^(1/6) / [1 + (0.492/Pr)^(9/16)]^(8/27)}^2, h = Nu k / H. Written as
    h = (a(T) / H^(1/2) + b(T) |dT|^(1/6))^2 with a, b fitted; within 0.5 % of the full formula
    with the full property tables (0.65 % on walls lower than 0.5 m, near 1200 degC).

    t_gas_C, t_face_C: degC, broadcast, film -20..1200; height_m: m, > 0. The correlation itself
    is good for 0.1 < Ra < 1e12, scatter about 10-15 % (recalled, Incropera). With no step the
    value is that of still gas, 0.68 k / H.
    Source: recalled (Churchill and Chu 1975, handbook form); the project's notes check it.

    >>> print(f"{vertical_wall_W_m2K(20.0, 60.0, 1.5):.2f}")
    4.65
    """
    x, step = _film_and_step(t_gas_C, t_face_C)
    plate = _PLATE[0] + x * (_PLATE[1] + x * (_PLATE[2] + x * _PLATE[3]))
    root = plate / np.sqrt(height_m) + np.sqrt(np.cbrt(step)) / _quartic(_RISE, x)
    return root * root


def horizontal_W_m2K(
    t_gas_C: Numbers, t_face_C: Numbers, length_m: Numbers, face: Facing
) -> Floats:
    """Free convection at a horizontal face under or over gas (W/m2K).

    McAdams (1954) with L = area / perimeter and properties at the film temperature:
    lively side  Nu = max(0.54 Ra^(1/4), 0.15 Ra^(1/3)); lying side  Nu = 0.27 Ra^(1/4).
    The larger of the two lively laws is taken so that h has no jump at Ra = 1e7 (they cross at
    4.7e6; between the two the result is up to 6 % above the usual split).

    face: "floor" = the gas is above the face: lively while the face is hotter than the gas.
          "ceiling" = the gas is below the face: lively while the face is colder than the gas
          (a bell's crown during the burn). The sign is read sample by sample.
    t_gas_C, t_face_C: degC, broadcast, film -20..1200; length_m: m, > 0.
    Range: 1e4 < Ra < 1e11 lively, 1e5 < Ra < 1e11 lying; no step gives 0. Published forms for the
    lively side differ by 45 % (5.2 to 8.1 W/m2K for one 60 degC cap). Source: recalled (McAdams,
    Heat Transmission), referee in the tests: `ht`.

    >>> print(f"{horizontal_W_m2K(20.0, 60.0, 0.5, 'floor'):.2f}")
    5.96
    >>> print(f"{horizontal_W_m2K(20.0, 60.0, 0.5, 'ceiling'):.2f}")
    2.07
    """
    x, step = _film_and_step(t_gas_C, t_face_C)
    quarter = np.sqrt(np.sqrt(step / length_m)) / _quartic(_QUARTER, x)
    lively = np.maximum(quarter, np.cbrt(step) / _quartic(_THIRD, x))
    hotter_face = np.asarray(t_face_C) > np.asarray(t_gas_C)
    is_lively = hotter_face if face == "floor" else ~hotter_face
    return np.where(is_lively, lively, 0.5 * quarter)


def duct_W_m2K(
    mass_flow_kg_s: Numbers,
    flow_area_m2: Numbers,
    hydraulic_diameter_m: Numbers,
    t_gas_C: Numbers,
    roughness_m: Numbers,
) -> Floats:
    """Forced convection of flue gas in a flue, long and rough (W/m2K).

    Re = m D / (A mu). From Re 4000 up Gnielinski (1976),
    Nu = (f/8)(Re - 1000) Pr / (1 + 12.7 (f/8)^(1/2) (Pr^(2/3) - 1)), with the friction factor of
    the rough wall by Haaland (1983); up to Re 2300 laminar, Nu = 3.66; between them linear in Re
    (Gnielinski 2013), so that h is continuous. h = Nu k / D at the bulk gas temperature.

    mass_flow_kg_s: kg/s, >= 0; flow_area_m2: m2; hydraulic_diameter_m: m; t_gas_C: degC,
    -20..1200; roughness_m: m (0.002 fireclay, 0.001 smooth, recalled); all broadcast. Properties
    are those of wood gas at air ratio 2.95; at other ratios k is within 7 %. Range: Re < 5e6,
    roughness/D < 0.05; a rough wall in Gnielinski's formula is an accepted use, not part of its
    own data (f up to 4 times smooth). No entrance or bend effect: a short run transfers more.
    Source: recalled (VDI Heat Atlas; White), referees in the tests: `ht`, `fluids`.

    >>> print(f"{duct_W_m2K(0.0525, 0.0324, 0.18, 400.0, 0.002):.1f}")
    11.1
    """
    x = (np.asarray(t_gas_C, dtype=np.float64) + ZERO_C_K) * 0.001
    diameter = np.asarray(hydraulic_diameter_m, dtype=np.float64)
    per_viscosity = mass_flow_kg_s * diameter / flow_area_m2
    reynolds = per_viscosity / _quartic(_FLUE_MU, x)
    conductivity = _FLUE_K[0] + x * (_FLUE_K[1] + x * _FLUE_K[2])
    stirred = np.maximum(reynolds, 4000.0)
    rough = np.power(np.asarray(roughness_m, dtype=np.float64) / (3.7 * diameter), 1.11)
    # (f/8)^(1/2) from Haaland: f^(-1/2) = -1.8 log10(...)
    root = (-1.0 / (1.8 * np.sqrt(8.0) / np.log(10.0))) / np.log(rough + 6.9 / stirred)
    turbulent = root * root * (stirred - 1000.0) * _FLUE_PR / (1.0 + _FLUE_PR_FACTOR * root)
    share = np.clip((reynolds - 2300.0) / 1700.0, 0.0, 1.0)
    film: Floats = (3.66 + share * (turbulent - 3.66)) * conductivity / diameter
    return film


def radiation_W_m2K(t_face_C: Numbers, t_other_C: Numbers, emissivity: Numbers) -> Floats:
    """Radiation between a face and surroundings (or another face), as a film (W/m2K).

    h_r = e sigma (T1^2 + T2^2)(T1 + T2), exact: q = h_r (T1 - T2). With `emissivity` the exchange
    factor of the pair: the emissivity of a small face in a room, 1/(1/e1 + 1/e2 - 1) between
    parallel planes.

    t_face_C, t_other_C: degC, > -273; emissivity: -, 0..1; all broadcast.
    Source: Stefan-Boltzmann law (CODATA 2018 constant).

    >>> print(f"{40 * radiation_W_m2K(60.0, 20.0, 0.9):.1f}")
    251.8
    """
    one = np.asarray(t_face_C, dtype=np.float64) + ZERO_C_K
    two = np.asarray(t_other_C, dtype=np.float64) + ZERO_C_K
    return STEFAN_BOLTZMANN * emissivity * (one * one + two * two) * (one + two)


def outside_film_W_m2K(
    t_face_C: Numbers,
    t_room_C: Numbers,
    emissivity: Numbers,
    height_m: Numbers,
    orientation: Orientation,
) -> Floats:
    """Convection and radiation from an outer surface to a room, together (W/m2K).

    h = h_c + e sigma (T1^2 + T2^2)(T1 + T2), with h_c by `vertical_wall_W_m2K` or
    `horizontal_W_m2K`, air and room surfaces at the same temperature.

    t_face_C, t_room_C: degC, film -20..1200; emissivity: -, 0..1; height_m: m, the height of a
    vertical face, area / perimeter of a horizontal one; orientation: where the face looks,
    "up" (a cap) or "down" (the underside of a heater on legs). All numbers broadcast.

    >>> print(f"{outside_film_W_m2K(60.0, 20.0, 0.9, 1.75, 'vertical'):.1f}")
    10.9
    """
    if orientation == "vertical":
        convection = vertical_wall_W_m2K(t_room_C, t_face_C, height_m)
    else:
        facing: Facing = "floor" if orientation == "up" else "ceiling"
        convection = horizontal_W_m2K(t_room_C, t_face_C, height_m, facing)
    return convection + radiation_W_m2K(t_face_C, t_room_C, emissivity)
