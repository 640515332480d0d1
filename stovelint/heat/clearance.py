"""What a hot skin does to a wall, ceiling or floor near it, and what that does to the skin.

Steady balances: put in the mean skin for the long-term temperature of a combustible, the peak
skin for the bound that a light wall reaches at once (a heavy one lags and stays below it).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal, NamedTuple

import numpy as np

from stovelint.heat.films import (
    GRAVITY,
    ZERO_C_K,
    air_film_properties,
    radiation_W_m2K,
    vertical_wall_W_m2K,
)
from stovelint.heat.gaps import Lie, gap_convection_W_m2K

if TYPE_CHECKING:
    from stovelint.heat.arrays import Floats, Numbers

Kind = Literal["vented", "closed"]
Side = Literal["beside", "above", "below"]

_AIR_K_KG_M3 = 353.0  # density times temperature of air at 101325 Pa
_AIR_CP = 1008.0  # J/kgK
_DISCHARGE = 0.65  # of an opening (recalled; usual for sharp edges)
_LIES: dict[Side, Lie] = {"beside": "vertical", "above": "hot_below", "below": "hot_above"}
_PASSES = 8
"""Enough for 0.05 K; a test compares with twenty-five times as many."""


class Neighbour(NamedTuple):
    """What a surrounding gets: temperatures in degC, all of the broadcast shape."""

    face_C: Floats
    """Its surface towards the heater."""
    covered_C: Floats
    """Behind the covering layers: the face of the combustible itself."""
    air_C: Floats
    """Mean of the air in the gap."""
    flux_W_m2: Floats
    """What leaves the skin."""
    air_kg_s_m: Floats
    """Air through the gap per metre of width; 0 where there is none."""


def view_share(gap_m: Numbers, width_m: Numbers, height_m: Numbers) -> Floats:
    """How much of the view of a point on the wall, opposite the middle, the heater fills (-).

    Element to a parallel rectangle, four quarters: with a = w/2/g, b = h/2/g,
    F = (2/pi) [A atan(b/(1 + a^2)^(1/2)) + B atan(a/(1 + b^2)^(1/2))], A = a/(1 + a^2)^(1/2),
    B = b/(1 + b^2)^(1/2). Falls from 1 (touching) as 1/distance^2: past 0.1 (about 1.7 times the
    root of the area away) the wall is any far wall.

    gap_m, width_m, height_m: m, > 0, broadcast. Source: exact view factor (recalled, Siegel and
    Howell; a test integrates it).

    >>> print(f"{view_share(0.05, 1.0, 1.8):.2f} {view_share(1.0, 1.0, 1.8):.2f}")
    0.99 0.34
    """
    a = 0.5 * np.asarray(width_m, dtype=np.float64) / gap_m
    b = 0.5 * np.asarray(height_m, dtype=np.float64) / gap_m
    root_a, root_b = np.sqrt(1.0 + a * a), np.sqrt(1.0 + b * b)
    share: Floats = (2.0 / np.pi) * (
        a / root_a * np.arctan(b / root_a) + b / root_b * np.arctan(a / root_b)
    )
    return share


def vent_flow_kg_s_m(
    t_air_C: Numbers,
    t_room_C: Numbers,
    gap_m: Numbers,
    height_m: Numbers,
    bottom_area_m2_m: Numbers | None,
    top_area_m2_m: Numbers | None,
) -> Floats:
    """Air that rises through a gap by its own buoyancy, per metre of width (kg/s m).

    353 g H |1/T_room - 1/T_air| = (G^2 / 2 rho)[1/(C A_bottom)^2 + 1/(C A_top)^2]
    + 12 mu H G / (rho gap^3), C = 0.65; solved in closed form. No opening counts for more than the
    gap itself; None = open along the whole edge; 0 at either end = no flow.

    t_air_C: mean in the gap, degC; gap_m, height_m: m, > 0; *_area_m2_m: m2 per metre, >= 0; all
    broadcast. Against the one measured heated cavity at hand this kind of balance gives 45-70 %
    of the flow: the neighbour then comes out too warm, not too cool.
    Source: stack effect and orifice (naturally vented cavity, engineering reference of a public
    building simulator, read), plane Poiseuille flow; discharge coefficient recalled.

    >>> print(f"{vent_flow_kg_s_m(40.0, 20.0, 0.05, 1.8, None, None):.3f}")
    0.038
    """
    air_K = np.asarray(t_air_C, dtype=np.float64) + ZERO_C_K
    room_K = np.asarray(t_room_C, dtype=np.float64) + ZERO_C_K
    gap = np.asarray(gap_m, dtype=np.float64)
    bottom = gap if bottom_area_m2_m is None else np.minimum(bottom_area_m2_m, gap)
    top = gap if top_area_m2_m is None else np.minimum(top_area_m2_m, gap)
    rho = _AIR_K_KG_M3 / air_K
    pressure = _AIR_K_KG_M3 * GRAVITY * height_m * np.abs(1.0 / room_K - 1.0 / air_K)
    shut = (bottom <= 0.0) | (top <= 0.0)
    safe_bottom, safe_top = np.where(shut, 1.0, bottom), np.where(shut, 1.0, top)
    square = (1.0 / safe_bottom**2 + 1.0 / safe_top**2) / (2.0 * rho * _DISCHARGE**2)
    nu = air_film_properties(t_air_C)[0]
    line = 12.0 * nu * height_m / gap**3
    flow = 2.0 * pressure / (line + np.sqrt(line * line + 4.0 * square * pressure))
    return np.where(shut, 0.0, flow)


def surrounding_face_C(
    t_skin_C: Numbers,
    t_room_C: Numbers,
    gap_m: Numbers,
    height_m: Numbers,
    emissivity_skin: Numbers,
    emissivity_wall: Numbers,
    kind: Kind,
    bottom_area_m2_m: Numbers | None,
    top_area_m2_m: Numbers | None,
    r_cover_m2K_W: Numbers,
    r_behind_m2K_W: Numbers,
    t_behind_C: Numbers | None = None,
    view: Numbers = 1.0,
    side: Side = "beside",
) -> Neighbour:
    """Temperatures of a surrounding near a heater's skin.

    Surface of the surrounding (T_w), skin T_s, room T_r, space behind T_b:
    F h_r (T_s - T_w) + (1 - F) h_rr (T_r - T_w) + convection = (T_w - T_b) / (R_cover + R_behind).

    * vented, beside: convection = h_w (T_a - T_w); the air enters at T_r, takes heat from both
      faces on its way, T_a its mean (exponential along the height), flow by `vent_flow_kg_s_m`;
      films by Churchill and Chu, not below those of laminar flow between plates (Nu 7.54 on
      2 gap).
    * closed, and every level gap ("above": the surrounding is over the heater, "below": under
      it): convection = h_a (T_s - T_w), `gap_convection_W_m2K`. No credit for air that flows
      through a level gap.

    t_*_C: degC; gap_m: m, > 0; height_m: of the skin, m; emissivity_*: -, 0 < e <= 1;
    *_area_m2_m: open area per metre of width, None = open along the edge (vented only);
    r_cover_m2K_W: layers in front of the combustible, >= 0; r_behind_m2K_W: the combustible and
    what is behind, with the far film, > 0; t_behind_C: None = as the room; view: `view_share`, 1
    for a wall close by. All broadcast. A gap of 0 is contact: layers in series, not this function.
    Fixed number of passes (8). Skin 20..400 degC. Source: heat balances; correlations in
    `films` and `gaps`.

    >>> wall = surrounding_face_C(100, 20, 0.05, 1.8, 0.9, 0.9, "vented", None, None, 0.0, 3.33)
    >>> print(f"{wall.face_C:.0f}")
    77
    """
    skin = np.asarray(t_skin_C, dtype=np.float64)
    room = np.asarray(t_room_C, dtype=np.float64)
    behind = room if t_behind_C is None else np.asarray(t_behind_C, dtype=np.float64)
    seen = np.asarray(view, dtype=np.float64)
    out = 1.0 / (np.asarray(r_cover_m2K_W, dtype=np.float64) + r_behind_m2K_W)
    pair = 1.0 / (1.0 / emissivity_skin + 1.0 / emissivity_wall - 1.0)
    flowing = kind == "vented" and side == "beside"
    face = 0.5 * (skin + room)
    air = 0.5 * (face + room)
    flow = np.zeros_like(face)
    for _ in range(_PASSES):
        across = seen * radiation_W_m2K(skin, face, pair)
        to_room = (1.0 - seen) * radiation_W_m2K(face, room, emissivity_wall)
        if flowing:
            plates = 3.77 * air_film_properties(air)[1] / gap_m
            at_skin = np.maximum(vertical_wall_W_m2K(air, skin, height_m), plates)
            at_face = np.maximum(vertical_wall_W_m2K(air, face, height_m), plates)
            flow = vent_flow_kg_s_m(air, room, gap_m, height_m, bottom_area_m2_m, top_area_m2_m)
            both = at_skin + at_face
            units = both * height_m / np.maximum(_AIR_CP * flow, 1e-9)
            far = (at_skin * skin + at_face * face) / both
            air = far - (room - far) * np.expm1(-units) / units
        else:  # one conductance from face to face: two equal films with the air between them
            carried = gap_convection_W_m2K(skin, face, gap_m, height_m, _LIES[side])
            at_skin = at_face = 2.0 * carried
            air = 0.5 * (skin + face)
        face = (across * skin + to_room * room + at_face * air + out * behind) / (
            across + to_room + at_face + out
        )
    flux = (
        seen * radiation_W_m2K(skin, face, pair) * (skin - face)
        + (1.0 - seen) * radiation_W_m2K(skin, room, emissivity_skin) * (skin - room)
        + at_skin * (skin - air)
    )
    covered = face - out * (face - behind) * r_cover_m2K_W
    return Neighbour(face, covered, air, flux, flow)


def effective_outside_film_W_m2K(
    t_skin_C: Numbers,
    t_room_C: Numbers,
    gap_m: Numbers,
    height_m: Numbers,
    emissivity_skin: Numbers,
    emissivity_wall: Numbers,
    kind: Kind,
    bottom_area_m2_m: Numbers | None,
    top_area_m2_m: Numbers | None,
    r_behind_m2K_W: Numbers,
    view: Numbers = 1.0,
    side: Side = "beside",
) -> Floats:
    """Film that the skin feels in front of a surrounding, referred to the room (W/m2K).

    h = flux / (T_s - T_r) of `surrounding_face_C` with the space behind as warm as the room. It is
    what stands in for `films.outside_film_W_m2K`: about half of it at 50 mm, which is why a skin
    near a wall runs hotter than one that faces the room.

    Arguments as in `surrounding_face_C`; r_behind_m2K_W: everything behind the face. A skin within
    0.5 K of the room is evaluated at 0.5 K above it.

    >>> h = effective_outside_film_W_m2K(60, 20, 0.09, 1.8, 0.9, 0.9, "vented", None, None, 3.33)
    >>> print(f"{h:.1f}")
    5.9
    """
    skin = np.asarray(t_skin_C, dtype=np.float64)
    room = np.asarray(t_room_C, dtype=np.float64)
    skin = np.where(np.abs(skin - room) < 0.5, room + 0.5, skin)
    flux = surrounding_face_C(
        skin, room, gap_m, height_m, emissivity_skin, emissivity_wall, kind,
        bottom_area_m2_m, top_area_m2_m, 0.0, r_behind_m2K_W, None, view, side,
    ).flux_W_m2
    film: Floats = flux / (skin - room)
    return film
