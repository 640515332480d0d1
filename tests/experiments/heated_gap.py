"""Air that rises through a gap between two warm walls: the flow behind a heater's skin.

Both walls are held at one temperature; air enters through a slot at the foot and leaves over the
whole gap at the top. Flow by `heat.clearance.vent_flow_kg_s_m`, films by `heat.films`, the air's
mean from the heat it takes up: the balance of `clearance.surrounding_face_C`, with both faces
known.
"""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from stovelint.heat.clearance import vent_flow_kg_s_m
from stovelint.heat.films import air_film_properties, vertical_wall_W_m2K
from stovelint.hotmap.cases import inputs, places
from tests.experiments.point import Point, fixture, point

CASE = "gap-between-warm-walls"
AIR_CP = 1008.0  # J/kgK
PLATES = 3.77  # h = 3.77 k / gap: laminar flow between plates, Nu 7.54 on twice the gap
ROUNDS = 60

Floats = NDArray[np.float64]


def flow_kg_s(data: dict[str, Any], gap_m: float, slot_m: float, wall_C: float) -> Floats:
    """Air through the gap for all cases, which differ in film and air temperature."""
    value = inputs(places())
    film = value["film"][:, 0]
    room = data["cavity"]["ambient_C"] + value["room"][:, 0]
    height, width = data["cavity"]["height_m"], data["cavity"]["width_m"]
    slot = slot_m * data["cavity"]["inlet_width_m"] / width
    air = 0.5 * (wall_C + room)
    flow = np.zeros_like(air)
    for _ in range(ROUNDS):
        flow = vent_flow_kg_s_m(air, room, gap_m, height, slot, None)
        plates = PLATES * air_film_properties(air)[1] / gap_m
        h = film * np.maximum(vertical_wall_W_m2K(air, wall_C, height), plates)
        units = 2.0 * h * height / (AIR_CP * np.maximum(flow, 1e-9))
        air = 0.5 * (air + wall_C + (wall_C - room) * np.expm1(-units) / units)
    return np.asarray(flow * width, dtype=np.float64)


def points() -> tuple[Point, ...]:
    """Every gap, slot and wall temperature of the fixture; an error of the flow, not of a rise."""
    data = fixture(CASE)
    found = []
    for series in data["series"]:
        slot = series["slot_m"]
        for gap, row in zip(data["gap_m"], series["as_filed_kg_s"]):
            for wall_C, filed in zip(data["wall_C"], row):
                found.append(point(
                    f"gap {gap:g} m, slot {slot:g} m, walls {wall_C:g} degC", "kg/s", 0.0,
                    filed * data["correction"]["factor"], flow_kg_s(data, gap, slot, wall_C),
                ))  # fmt: skip
    return tuple(found)
