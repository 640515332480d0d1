"""A room with a gas burner on the floor and a measured draught, that warms from cold.

A hearth of six bands: air comes in at the floor, the plume rises from the burner's rim, gas leaves
through the opening in the wall. Walls by band, ceiling and floor with layers of their own. One firing in a
cycle long enough for the walls to be cold again.
All 32 cases of `hotmap.cases`, its ranges untouched; the walls' conductivity has its own.
"""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from stovelint.heat.enclosure import band_exchange
from stovelint.heat.network import (
    GROUND, ROOM, Drive, Enclosure, FilmKind, Hearth, Network,
)  # fmt: skip
from stovelint.heat.periodic import Solution, solve
from stovelint.hotmap.cases import PLUME, between, inputs, places
from tests.experiments.point import Point, fixture, point
from tests.experiments.stacked_boxes import leaving

CASE = "room-with-gas-burner"
BANDS, STEP_S, PERIOD_S = 6, 125.0, 120000.0
SAMPLES = int(PERIOD_S / STEP_S)
BEAM = 3.6  # mean beam length: volume over surface times this (handbook rule, recalled)

Floats = NDArray[np.float64]


def room(data: dict[str, Any], k_factor: Floats) -> Network:
    """Zones: the bands from the top; walls: ceiling, bands, floor."""
    size, wall, slab = data["room"], data["wall"], data["slab"]
    length, width, height = size["inside_m"]
    band_m = height / BANDS
    plan, side = length * width, 2.0 * (length + width) * band_m
    count = BANDS + 2
    area = np.array([plan, *[side] * BANDS, plan])
    shares = band_exchange(
        height - band_m * np.arange(BANDS + 1.0), 2.0 * plan / (2.0 * (length + width)), area
    )
    join = np.zeros((BANDS, count))
    join[range(BANDS), range(1, count - 1)] = 1.0
    join[0, 0] = join[-1, -1] = 1.0
    flows = join @ (area[:, None] * shares) @ join.T
    edges = height - band_m * np.arange(BANDS + 1.0) - size["burner_rim_m"]
    solids = [slab, *[wall] * BANDS, slab]
    r = np.array([s["thickness_m"] / s["k_W_mK"] for s in solids]) / k_factor[:, None]
    c = np.array([s["thickness_m"] * s["density_kg_m3"] * s["c_J_kgK"] for s in solids])
    emissivity = np.array([s["emissivity"] for s in solids])

    def properties(hot: Floats, cold: Floats) -> tuple[Floats, Floats]:
        return r, np.broadcast_to(c, r.shape).copy()

    upright: list[FilmKind] = ["vertical"] * BANDS
    films: list[FilmKind] = ["ceiling", *upright, "floor"]
    zone = [0, *range(BANDS), BANDS - 1]
    lying = plan / (2.0 * (length + width))
    return Network(
        zone_path_m=np.full(BANDS, BEAM * plan * height / float(area.sum())),
        zone_duct=(None,) * BANDS, zone_flame=np.zeros(BANDS),
        ways=(
            Hearth(
                zones=tuple(range(BANDS)), inlets=(), edges_m=tuple(np.maximum(edges, 0.0)),
                diameter_m=size["burner_m"], reach=(height / band_m,) * (BANDS - 1),
                inlet=BANDS - 1,
                leaving=leaving(size["outlet_sill_m"], size["outlet_head_m"], height, BANDS),
            ),
        ),
        way_flow=np.ones(1), exits=((0, 1.0),),
        enclosures=(
            Enclosure(zones=np.arange(BANDS), shares=flows / flows.sum(axis=1)[:, None]),
        ),
        face_zone=np.array(zone + [ROOM] * (BANDS + 1) + [GROUND]),
        face_area_m2=np.tile(area, 2),
        face_film=tuple(films * 2),
        face_height_m=np.tile(np.array([lying, *[height] * BANDS, lying]), 2),
        face_emissivity=np.tile(emissivity, (len(r), 2)),
        jet_faces=(0,), layers=tuple((w,) for w in range(count)), properties=properties,
    )  # fmt: skip


def firing(data: dict[str, Any], test: dict[str, Any], at: dict[str, Floats]) -> Drive:
    """The burner on from the start to the last reading; the draught all the time."""
    value = inputs(at)
    members = len(value["film"])
    rows = np.array(test["rows"], dtype=np.float64)
    columns = {name: rows[1:, i].mean() for i, name in enumerate(test["columns"])}
    last = int(rows[-1, 0] / STEP_S)
    lit = np.zeros(SAMPLES)
    lit[: last + 1] = 1.0
    shape, column = (members, SAMPLES), np.ones((members, 1))
    co2 = columns["co2_molfrac"]
    low, high = sorted((test["ambient_C"], test["start_C"]))
    air = between(low, 0.5 * (low + high), high, at["room"])[:, None]
    low_rays, rays, high_rays = data["open"]["rays"]
    return Drive(
        period_s=PERIOD_S, heat_W=1000.0 * test["heat_kW"] * lit * value["heat"],
        flow_kg_s=np.full(shape, (columns["air_gps"] + columns["fuel_gps"]) / 1000.0),
        air_ratio=np.where(lit > 0.0, 0.2095 / (0.2095 - columns["o2_molfrac"]), 60.0) * column,
        x_co2=co2 * lit * column, x_h2o=2.0 * co2 * lit * column,  # CH4 + 2 O2: twice the CO2
        burning=lit > 0.0, flame_emissivity=np.zeros(shape), riser_share=0.0 * column,
        film_factor=value["film"], room_film_factor=value["room_film"], jet_factor=value["jet"],
        peclet=value["peclet"], entrainment=value["entrainment"], still_exchange=value["still"],
        room_C=air, outdoors_C=air, ground_C=air,
        plume_factor=between(*PLUME, at["entrainment"])[:, None],
        flame_rays=between(low_rays, rays, high_rays, at["flame"])[:, None],
    )  # fmt: skip


def solved(
    data: dict[str, Any], test: dict[str, Any], conductive: float
) -> tuple[Solution, Drive]:
    at = places()
    low, mid, high = (conductive * factor for factor in data["open"]["k_factor"])
    drive = firing(data, test, at)
    solution = solve(room(data, between(low, mid, high, at["k:other"])), drive)
    if not solution.converged:
        raise ValueError(f"{test['name']}: no rest, {solution.change_K:.1f} K")
    return solution, drive


def points(conductive: float = 1.0) -> tuple[Point, ...]:
    """Upper, middle and lower third and the mean, at the hours of the fixture. `conductive`: times
    the conductivity that others assumed for the walls."""
    data = fixture(CASE)
    third = BANDS // 3
    bands = {
        "west_upper_c": slice(0, third), "west_middle_c": slice(third, 2 * third),
        "west_bottom_c": slice(2 * third, BANDS), "west_mean_c": slice(0, BANDS),
    }  # fmt: skip
    found = []
    for test in data["test"]:
        solution, drive = solved(data, test, conductive)
        rows = np.array(test["rows"], dtype=np.float64)
        for time_s in data["at_s"]:
            row = rows[:, 0] == time_s
            for name, zones in bands.items():
                column = test["columns"].index(name)
                start, measured = float(rows[0, column]), float(rows[row, column][0])
                gas = solution.gas.t_C[:, zones, int(time_s / STEP_S)].mean(axis=1)
                where = name.removeprefix("west_").removesuffix("_c")
                found.append(point(
                    f"{test['name']}, {where}, {time_s} s", "degC", start, measured,
                    start + gas - drive.room_C[:, 0],
                ))  # fmt: skip
    return tuple(found)
