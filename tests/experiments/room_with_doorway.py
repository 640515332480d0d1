"""A room with a burner and a measured flow through its doorway, at rest: one stirred zone.

Heat and flow are constant, so the periodic regime of `heat.periodic` is the steady state. The 32
cases take their places from `hotmap.cases`; flow, walls and outer emissivity have ranges of their
own in the fixture.
"""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from stovelint.heat.network import ROOM, Drive, Enclosure, FilmKind, Network, Stirred
from stovelint.heat.periodic import solve
from stovelint.hotmap.cases import between, inputs, places
from tests.experiments import doorway
from tests.experiments.point import Point, fixture, point

CASE = "room-with-doorway"
SAMPLES, PERIOD_S, BEAM = 4, 3600.0, 3.6
FUEL_J_kg, CO2_kg_kg = 50.0e6, 2.75  # methane

Floats = NDArray[np.float64]


def room(data: dict[str, Any], test: dict[str, Any], at: dict[str, Floats]) -> Network:
    """Walls in the order ceiling, sides, floor; one zone."""
    length, width, height = data["room"]["inside_m"]
    plan, around = length * width, 2.0 * (length + width)
    sides = around * height - test["door_width_m"] * test["door_height_m"]
    area = np.array([plan, sides, plan])
    layers = [*data["wall"]["layers"], *data["wall"]["layers"], *data["floor"]["layers"]]
    low, mid, high = data["open"]["k_factor"]
    factor = between(low, mid, high, at["k:fibre"])[:, None]
    r = np.array([x["thickness_m"] / x["k_W_mK"] for x in layers]) / factor
    low, mid, high = data["open"]["outside_emissivity"]
    outside = between(low, mid, high, at["emissivity"])[:, None]
    emissivity = np.concatenate(
        [np.full((len(r), 3), data["open"]["inside_emissivity"]), np.repeat(outside, 3, axis=1)],
        axis=1,
    )

    def properties(hot: Floats, cold: Floats) -> tuple[Floats, Floats]:
        return r, np.full_like(r, 1000.0)  # J/m2K; of no account at rest

    films: list[FilmKind] = ["ceiling", "vertical", "floor"]
    lying = plan / around
    return Network(
        zone_path_m=np.array([BEAM * plan * height / float(area.sum())]), zone_duct=(None,),
        zone_flame=np.zeros(1), ways=(Stirred(zone=0, inlets=(), heat_share="firebox"),),
        way_flow=np.ones(1), exits=((0, 1.0),),
        enclosures=(Enclosure(zones=np.array([0]), shares=np.ones((1, 1))),),
        face_zone=np.array([0, 0, 0, ROOM, ROOM, ROOM]), face_area_m2=np.tile(area, 2),
        face_film=tuple(films * 2), face_height_m=np.tile(np.array([lying, height, lying]), 2),
        face_emissivity=emissivity, jet_faces=(0,),
        layers=((0,), (1,), tuple(range(2, len(layers)))), properties=properties,
    )  # fmt: skip


def gas_C(data: dict[str, Any], test: dict[str, Any], outside_C: float) -> Floats:
    """(M,) temperature of the room at rest."""
    at = places()
    value = inputs(at)
    column = np.ones_like(value["film"])
    shape = np.ones((len(column), SAMPLES))
    low, mid, high = data["open"]["flow_factor"]
    mean = float(np.mean(doorway.measured_kg_s(test)))
    flow = mean * between(low, mid, high, at["damper"])[:, None] * shape
    heat_W = 1000.0 * test["heat_kW"]
    fuel = heat_W / FUEL_J_kg
    co2 = fuel * CO2_kg_kg / 44.0 / (flow / 29.0)
    drive = Drive(
        period_s=PERIOD_S, heat_W=heat_W * shape, flow_kg_s=flow,
        air_ratio=flow / (17.2 * fuel),  # kg air per kg methane at an air ratio of 1
        x_co2=co2, x_h2o=2.0 * co2, burning=np.ones(SAMPLES, dtype=bool),
        flame_emissivity=0.0 * shape, riser_share=0.0 * column, film_factor=value["film"],
        room_film_factor=value["room_film"], jet_factor=value["jet"], peclet=value["peclet"],
        entrainment=value["entrainment"], still_exchange=value["still"],
        room_C=outside_C * column, outdoors_C=outside_C * column, ground_C=outside_C * column,
    )  # fmt: skip
    solution = solve(room(data, test, at), drive)
    if not solution.converged:
        raise ValueError(f"{test['name']}: no rest, {solution.change_K:.1f} K")
    return np.asarray(solution.gas.t_C[:, 0].mean(axis=1), dtype=np.float64)


def points() -> tuple[Point, ...]:
    """Upper layer and mean over the height; rises are over the air that comes in."""
    data = fixture(CASE)
    found = []
    for test in fixture(doorway.CASE)["test"]:
        rows = test["profile"]
        outside = float(np.mean([min(row["door_C"]) for row in rows if row["velocity_m_s"]][-3:]))
        gas = gas_C(data, test, outside)
        heights = np.array([row["z_m"] for row in rows])
        mean = float(np.average(
            np.array([row["room_C"] for row in rows]), weights=np.abs(np.gradient(heights))
        ))  # fmt: skip
        upper = test["upper_layer_C"]
        found.append(point(f"{test['name']}, upper layer", "degC", outside, upper, gas))
        found.append(point(f"{test['name']}, mean of the height", "degC", outside, mean, gas))
    return tuple(found)
