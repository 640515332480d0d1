"""A room with a burner and a measured flow through its doorway, at rest: a hearth.

Six bands: the air comes in at the floor, to which it falls, and the gas leaves between the
neutral plane and the head of the door.

Heat and flow are constant, so the periodic regime of `heat.periodic` is the steady state. The 32
cases take their places from `hotmap.cases`; flow, walls and outer emissivity have ranges of their
own in the fixture.
"""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from stovelint.heat.network import ROOM, Drive, Enclosure, FilmKind, Hearth, Network
from stovelint.heat.periodic import solve
from stovelint.hotmap.cases import PLUME, between, inputs, places
from tests.experiments import doorway
from tests.experiments.doorway import sill_m
from tests.experiments.point import Point, fixture, point
from tests.experiments.stacked_boxes import leaving, shares

CASE = "room-with-doorway"
BANDS, SAMPLES, PERIOD_S, BEAM = 6, 4, 3600.0, 3.6
FUEL_J_kg, CO2_kg_kg = 50.0e6, 2.75  # methane

Floats = NDArray[np.float64]


def room(data: dict[str, Any], test: dict[str, Any], at: dict[str, Floats]) -> Network:
    """Zones from the top; walls in the order ceiling, sides by band, floor."""
    length, width, height = data["room"]["inside_m"]
    plan, around = length * width, 2.0 * (length + width)
    band, door = height / BANDS, test["door_width_m"]
    sides = np.array([
        around * band - door * max(0.0, min(high, test["head_m"]) - max(high - band, sill_m(test)))
        for high in height - band * np.arange(BANDS)
    ])  # fmt: skip
    area = np.array([plan, *sides, plan])
    layers = [*data["wall"]["layers"] * (1 + BANDS), *data["floor"]["layers"]]
    low, mid, high = data["open"]["k_factor"]
    factor = between(low, mid, high, at["k:fibre"])[:, None]
    r = np.array([x["thickness_m"] / x["k_W_mK"] for x in layers]) / factor
    low, mid, high = data["open"]["outside_emissivity"]
    outside = between(low, mid, high, at["emissivity"])[:, None]
    walls = BANDS + 2
    emissivity = np.concatenate([
        np.full((len(r), walls), data["open"]["inside_emissivity"]),
        np.repeat(outside, walls, axis=1),
    ], axis=1)  # fmt: skip

    def properties(hot: Floats, cold: Floats) -> tuple[Floats, Floats]:
        return r, np.full_like(r, 1000.0)  # J/m2K; of no account at rest

    upright: list[FilmKind] = ["vertical"] * BANDS
    films: list[FilmKind] = ["ceiling", *upright, "floor"]
    lying = plan / around
    edges = height - band * np.arange(BANDS + 1.0) - data["room"]["burner_rim_m"]
    return Network(
        zone_path_m=np.full(BANDS, BEAM * plan * height / float(area.sum())),
        zone_duct=(None,) * BANDS, zone_flame=np.zeros(BANDS),
        ways=(
            Hearth(
                zones=tuple(range(BANDS)), inlets=(), edges_m=tuple(np.maximum(edges, 0.0)),
                diameter_m=data["room"]["burner_m"], reach=(float(BANDS),) * (BANDS - 1),
                inlet=BANDS - 1, leaving=leaving(neutral_m(test), test["head_m"], height, BANDS),
            ),
        ),
        way_flow=np.ones(1), exits=((0, 1.0),),
        enclosures=(Enclosure(zones=np.arange(BANDS), shares=shares(plan, around, height, sides)),),
        face_zone=np.array([0, *range(BANDS), BANDS - 1, *[ROOM] * walls]),
        face_area_m2=np.tile(area, 2), face_film=tuple(films * 2),
        face_height_m=np.tile(np.array([lying, *[height] * BANDS, lying]), 2),
        face_emissivity=emissivity, jet_faces=(0,),
        layers=(*((w,) for w in range(1 + BANDS)), tuple(range(1 + BANDS, len(layers)))),
        properties=properties,
    )  # fmt: skip


def neutral_m(test: dict[str, Any]) -> float:
    """Height at which the flow in the doorway turns, m over the floor."""
    rows = [row for row in test["profile"] if row["velocity_m_s"]]
    speed = np.array([float(np.mean(row["velocity_m_s"])) for row in rows])
    first_in = int(np.flatnonzero(speed < 0.0)[0])
    out, into = speed[first_in - 1], -speed[first_in]
    high, low = rows[first_in - 1]["z_m"], rows[first_in]["z_m"]
    return float(low + (high - low) * into / (into + out))


def gas_C(data: dict[str, Any], test: dict[str, Any], outside_C: float) -> Floats:
    """(M, BANDS) temperatures of the room at rest, from the top."""
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
    low_rays, rays, high_rays = data["open"]["rays"]
    drive = Drive(
        period_s=PERIOD_S, heat_W=heat_W * value["heat"] * shape, flow_kg_s=flow,
        air_ratio=flow / (17.2 * fuel),  # kg air per kg methane at an air ratio of 1
        x_co2=co2, x_h2o=2.0 * co2, burning=np.ones(SAMPLES, dtype=bool),
        flame_emissivity=0.0 * shape, riser_share=0.0 * column, film_factor=value["film"],
        room_film_factor=value["room_film"], jet_factor=value["jet"], peclet=value["peclet"],
        entrainment=value["entrainment"], still_exchange=value["still"],
        room_C=outside_C * column, outdoors_C=outside_C * column, ground_C=outside_C * column,
        flame_rays=between(low_rays, rays, high_rays, at["flame"])[:, None],
        plume_factor=between(*PLUME, at["entrainment"])[:, None],
    )  # fmt: skip
    solution = solve(room(data, test, at), drive)
    if not solution.converged:
        raise ValueError(f"{test['name']}: no rest, {solution.change_K:.1f} K")
    return np.asarray(solution.gas.t_C.mean(axis=2), dtype=np.float64)


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
        height = data["room"]["inside_m"][2]
        tops = height * (1.0 - np.arange(BANDS) / BANDS)
        within = np.clip(tops - test["interface_m"], 0.0, height / BANDS)
        upper = gas @ (within / within.sum())
        found.append(
            point(f"{test['name']}, upper layer", "degC", outside, test["upper_layer_C"], upper)
        )
        found.append(
            point(f"{test['name']}, mean of the height", "degC", outside, mean, gas.mean(axis=1))
        )
    return tuple(found)
