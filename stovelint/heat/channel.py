"""A channel of moving air inside a wall or a base: it takes heat out between two layers.

Both faces of the channel give heat to its air by convection and to each other by radiation. The
air comes in as warm as the room (or as it left the stretch below) and warms along its way:

    T_air = T_f - (T_f - T_in) phi,  T_f = (h1 T1 + h2 T2) / (h1 + h2),
    phi = (1 - exp(-N)) / N,  N = (h1 + h2) L / (G cp),

with G the air per metre of width. Seen from its two faces that is a layer with a side branch,

    q1 = A T1 - B T2 - (A - B) T_in,   q2 = B T1 - D T2 + (D - B) T_in,
    A = hr + h1 - h1^2 u, B = hr + h1 h2 u, D = hr + h2 - h2^2 u, u = (1 - phi) / (h1 + h2),

which joins into a wall like any other layer (`layers`, `branches`), the air's own heat capacity
left out.
Without flow u = 1 / (h1 + h2) and A = B = D: a closed gap.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple, Sequence

import numpy as np

from stovelint.heat.clearance import vent_flow_kg_s_m
from stovelint.heat.films import (
    GRAVITY, ZERO_C_K, air_film_properties, radiation_W_m2K, vertical_wall_W_m2K,
)  # fmt: skip
from stovelint.heat.gaps import Lie, gap_convection_W_m2K

if TYPE_CHECKING:
    from stovelint.heat.arrays import Floats, Numbers

AIR_K_KG_M3 = 353.0
"""Density times temperature of air at 101325 Pa."""
AIR_CP_J_KGK = 1008.0
DISCHARGE = 0.65
"""Of an opening (recalled; usual for sharp edges)."""
PLATES = 3.77
"""Half of Nu 7.54: laminar flow between even plates, on twice the gap (textbook, recalled)."""
PASSES = 20
"""Enough for 0.01 K; a test compares with ten times as many."""


class Channel(NamedTuple):
    """What a channel does to its two faces, W/m2K and degC, of the broadcast shape."""

    a_W_m2K: Floats
    b_W_m2K: Floats
    d_W_m2K: Floats
    in_C: Floats
    """Air as it comes in to this stretch."""
    air_C: Floats
    """Its mean along the stretch."""
    out_C: Floats
    flow_kg_s_m: Floats
    """Per metre of width; 0: no air passes."""


def level_flow_kg_s_m(
    t_air_C: Numbers, t_room_C: Numbers, gap_m: Numbers, length_m: Numbers,
    end_m2_m: Numbers | None, other_end_m2_m: Numbers | None,
) -> Floats:  # fmt: skip
    """Air that changes places through both ends of a level channel, per metre of width (kg/s m).

    Nothing draws air along a level channel, but at each open end warm air flows out on top and
    cool air in below. Per end, with e the open height (no more than the gap d):

        |drho| g e / 2 = 9 G^2 / (2 rho C^2 e^2) + 96 nu G L / d^3,  C = 0.65:

    the two-way law of a doorway, V = (C/3) e (g e |drho|/rho)^(1/2), less the friction of two
    streams of half the gap, each over half the length (12 nu G (L/2) / (d/2)^3). No draught of the
    room and none from end to end is counted. With either end shut no credit is given: 0.

    t_air_C: mean in the channel, degC; gap_m, length_m (from end to end): m, > 0; *_m2_m: open
    area of an end per metre of width, None: all of it; all broadcast.
    Source: doorway flow (Brown and Solvason 1962, recalled), plane Poiseuille flow.

    >>> print(f"{level_flow_kg_s_m(50.0, 20.0, 0.05, 1.0, None, None):.4f}")
    0.0028
    """
    air_K = np.asarray(t_air_C, dtype=np.float64) + ZERO_C_K
    room_K = np.asarray(t_room_C, dtype=np.float64) + ZERO_C_K
    gap = np.asarray(gap_m, dtype=np.float64)
    rho = AIR_K_KG_M3 / air_K
    lighter = np.abs(AIR_K_KG_M3 / room_K - rho)
    line = 96.0 * air_film_properties(t_air_C)[0] * length_m / gap**3
    total: Floats = np.zeros(np.broadcast_shapes(rho.shape, line.shape))
    shut = np.zeros(total.shape, dtype=bool)
    for stated in (end_m2_m, other_end_m2_m):
        end = gap if stated is None else np.minimum(stated, gap)
        shut = shut | (end <= 0.0)
        height = np.where(end <= 0.0, gap, end)
        square = 9.0 / (2.0 * rho * DISCHARGE**2 * height**2)
        pressure = 0.5 * lighter * GRAVITY * height
        total = total + 2.0 * pressure / (line + np.sqrt(line * line + 4.0 * square * pressure))
    return np.where(shut, 0.0, total)


def channel(
    t_hot_C: Floats, t_cold_C: Floats, t_room_C: Floats, gap_m: float,
    stretches_m: Sequence[float], emissivity_hot: float, emissivity_cold: float, lie: Lie,
    ends_m2_m: tuple[float | None, float | None], film_factor: Numbers = 1.0,
) -> Channel:  # fmt: skip
    """One channel, cut into stretches that the air passes one after the other.

    Upright ("vertical"): the stretches from the bottom up, flow by `clearance.vent_flow_kg_s_m`
    over their whole height, films by Churchill and Chu. Level: one stretch from end to end, flow by
    `level_flow_kg_s_m`, films those of still air at least. Nowhere less than laminar flow between
    plates, Nu 7.54 on twice the gap. Without flow, the closed gap of `gaps`.

    t_hot_C, t_cold_C: mean of the faces per stretch, degC, shape (M, stretches), -20..1200;
    t_room_C: (M, 1); gap_m: m, > 0; stretches_m: m, > 0; emissivity_*: -, 0 < e <= 1; ends_m2_m:
    open area per metre of width at bottom and top (or the two ends), None: open along the edge;
    film_factor: on convection, broadcast. A fixed number of passes (20).

    >>> one, two, room = (np.array([[t]]) for t in (80.0, 60.0, 20.0))
    >>> c = channel(one, two, room, 0.05, [2.0], 0.9, 0.9, "vertical", (None, None))
    >>> print(f"{c.air_C[0, 0]:.1f} {c.out_C[0, 0]:.1f} {c.flow_kg_s_m[0, 0]:.4f}")
    31.8 41.5 0.0315
    """
    hot, cold = np.asarray(t_hot_C, dtype=np.float64), np.asarray(t_cold_C, dtype=np.float64)
    room = np.broadcast_to(np.asarray(t_room_C, dtype=np.float64), (len(hot), 1))
    lengths = np.asarray(stretches_m, dtype=np.float64)
    whole = float(lengths.sum())
    pair = 1.0 / (1.0 / emissivity_hot + 1.0 / emissivity_cold - 1.0)
    across = radiation_W_m2K(hot, cold, pair)
    still = 2.0 * gap_convection_W_m2K(hot, cold, gap_m, whole, lie)
    air = 0.25 * (hot + cold) + 0.5 * room
    for _ in range(PASSES):
        mean = (air @ lengths / whole)[:, None]
        if lie == "vertical":
            flow = vent_flow_kg_s_m(mean, room, gap_m, whole, *ends_m2_m)
            h_hot = vertical_wall_W_m2K(air, hot, whole)
            h_cold = vertical_wall_W_m2K(air, cold, whole)
        else:
            flow = level_flow_kg_s_m(mean, room, gap_m, whole, *ends_m2_m)
            h_hot = h_cold = still
        plates = PLATES * air_film_properties(air)[1] / gap_m
        moves = flow > 0.0
        h_hot = np.where(moves, np.maximum(h_hot, plates), still) * film_factor
        h_cold = np.where(moves, np.maximum(h_cold, plates), still) * film_factor
        both = h_hot + h_cold
        far = (h_hot * hot + h_cold * cold) / both
        units = both * lengths / np.maximum(AIR_CP_J_KGK * flow, 1e-9)
        spent = -np.expm1(-units)
        phi = np.where(moves, spent / units, 0.0)
        into = np.empty_like(hot)
        left = room[:, 0]
        for k in range(len(lengths)):
            into[:, k] = left
            left = left + (far[:, k] - left) * spent[:, k]
        found = far - (far - into) * phi
        air = 0.5 * (air + found)
    u = (1.0 - phi) / both
    return Channel(
        a_W_m2K=across + h_hot - h_hot * h_hot * u, b_W_m2K=across + h_hot * h_cold * u,
        d_W_m2K=across + h_cold - h_cold * h_cold * u, in_C=into, air_C=found,
        out_C=into + (far - into) * spent, flow_kg_s_m=np.broadcast_to(flow, hot.shape),
    )  # fmt: skip
