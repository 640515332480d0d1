"""Two boxes one over the other, a small burner in the lower: a firebox that feeds a bell.

Lower box: a hearth of six bands, the door at its foot, the port in its lid. Upper box: a bell of
three bands, fed through the port in its floor, outlet in the band its windows span. The board
between the boxes is a wall with a face in each. The draught is not measured: it is found with the temperatures, by
`heat.clearance.vent_flow_kg_s_m`, from the openings in a row. All 32 cases of `hotmap.cases`.
"""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from stovelint.heat.clearance import vent_flow_kg_s_m
from stovelint.heat.enclosure import band_exchange
from stovelint.heat.network import ROOM, Bell, Drive, Enclosure, FilmKind, Hearth, Network
from stovelint.heat.periodic import Solution, solve
from stovelint.hotmap.cases import PLUME, between, inputs, places
from tests.experiments.point import Point, fixture, point

CASE = "stacked-boxes"
LOW, BANDS, STEP_S, PERIOD_S = 6, 3, 90.0, 27000.0
"""Bands of the lower and of the upper box, step and cycle."""
SAMPLES = int(PERIOD_S / STEP_S)
BEAM = 3.6
ROUNDS, SETTLED = 30, 0.005
"""Rounds between draught and temperatures, and the change of the draught that ends them."""
FUEL_J_kg, CO2_kg_kg = 50.0e6, 2.75  # methane

Floats = NDArray[np.float64]


def shares(plan_m2: float, around_m: float, height_m: float, sides_m2: Floats) -> Floats:
    """Exchange of rays between bands of these sides (from the top), lid and floor in the first and
    the last."""
    bands = len(sides_m2)
    areas = np.array([plan_m2, *sides_m2, plan_m2])
    edges = height_m * (1.0 - np.arange(bands + 1.0) / bands)
    seen = band_exchange(edges, 2.0 * plan_m2 / around_m, areas)
    join = np.zeros((bands, bands + 2))
    join[range(bands), range(1, bands + 1)] = 1.0
    join[0, 0] = join[-1, -1] = 1.0
    flows = join @ (areas[:, None] * seen) @ join.T
    return np.asarray(flows / flows.sum(axis=1)[:, None])


def leaving(sill_m: float, head_m: float, height_m: float, bands: int) -> tuple[float, ...]:
    """Share of the gas that leaves through each band, from the top: by height of the opening."""
    tops = height_m * (1.0 - np.arange(bands) / bands)
    open_m = np.clip(np.minimum(tops, head_m) - np.maximum(tops - height_m / bands, sill_m), 0, None)
    return tuple(float(x) for x in open_m / open_m.sum())


def boxes(data: dict[str, Any], k_factor: Floats) -> Network:
    """Zones 0..LOW-1 the lower box from the top, then the upper one from the top.

    Walls: lower floor, lower sides by band, board between, upper sides by band, upper ceiling.
    """
    size, board = data["boxes"], data["board"]
    (length, width), low, high = size["plan_m"], size["lower_height_m"], size["upper_height_m"]
    plan, around = length * width, 2.0 * (length + width)
    area = np.array([
        plan, *[around * low / LOW] * LOW, plan, *[around * high / BANDS] * BANDS, plan
    ])  # fmt: skip
    sides: list[FilmKind] = ["vertical"] * LOW
    upright: list[FilmKind] = ["vertical"] * BANDS
    inner: list[FilmKind] = ["floor", *sides, "ceiling", *upright, "ceiling"]
    outer: list[FilmKind] = ["floor", *sides, "floor", *upright, "ceiling"]
    sheets = np.ones(len(area))
    r = sheets * board["thickness_m"] / board["k_W_mK"] / k_factor[:, None]
    c = sheets * board["thickness_m"] * board["density_kg_m3"] * board["c_J_kgK"]

    def properties(hot: Floats, cold: Floats) -> tuple[Floats, Floats]:
        return r, np.broadcast_to(c, r.shape).copy()

    lying = plan / around
    heights = np.array([lying, *[low] * LOW, lying, *[high] * BANDS, lying])
    beams = [BEAM * plan * h / (2.0 * plan + around * h) for h in (low, high)]
    drawn = (0.0, *[1.0 / (BANDS - 1)] * (BANDS - 1))
    edges = low - low / LOW * np.arange(LOW + 1.0) - size["burner_height_m"]
    upper = tuple(range(LOW, LOW + BANDS))
    return Network(
        zone_path_m=np.array([*[beams[0]] * LOW, *[beams[1]] * BANDS]),
        zone_duct=(None,) * (LOW + BANDS), zone_flame=np.zeros(LOW + BANDS),
        ways=(
            Hearth(
                zones=tuple(range(LOW)), inlets=(), edges_m=tuple(np.maximum(edges, 0.0)),
                diameter_m=size["burner_m"], reach=(float(LOW),) * (LOW - 1),
                inlet=LOW - 1, leaving=(1.0, *[0.0] * (LOW - 1)),
            ),
            Bell(
                zones=upper, inlets=((0, 1.0),), reach=(float(BANDS),) * (BANDS - 1),
                drawn=drawn, outlet=1,
            ),
        ),
        way_flow=np.ones(2), exits=((1, 1.0),),
        enclosures=(
            Enclosure(zones=np.arange(LOW), shares=shares(plan, around, low, area[1 : 1 + LOW])),
            Enclosure(zones=np.array(upper), shares=shares(plan, around, high, area[-1 - BANDS : -1])),
        ),
        face_zone=np.array([
            LOW - 1, *range(LOW), 0, *upper, LOW,
            *[ROOM] * (1 + LOW), LOW + BANDS - 1, *[ROOM] * (BANDS + 1),
        ]),
        face_area_m2=np.tile(area, 2), face_film=tuple(inner + outer),
        face_height_m=np.tile(heights, 2),
        face_emissivity=np.full((len(r), 2 * len(area)), board["emissivity"]),
        jet_faces=(LOW + 1, LOW + 2 + BANDS), layers=tuple((w,) for w in range(len(area))),
        properties=properties,
    )  # fmt: skip


def firing(
    heat_W: float, last_s: float, start_C: float, at: dict[str, Floats],
    rays: tuple[float, float, float],
) -> Drive:  # fmt: skip
    """The burner on to the last reading, with a first guess of the draught."""
    value = inputs(at)
    column = np.ones_like(value["film"])
    lit = np.zeros(SAMPLES)
    lit[: int(last_s / STEP_S) + 1] = 1.0
    nothing = np.zeros((len(column), SAMPLES))
    return Drive(
        period_s=PERIOD_S, heat_W=heat_W * lit * value["heat"], flow_kg_s=nothing + 0.02,
        air_ratio=np.where(lit > 0.0, 10.0, 60.0) * column, x_co2=nothing, x_h2o=nothing,
        burning=lit > 0.0, flame_emissivity=nothing, riser_share=0.0 * column,
        film_factor=value["film"], room_film_factor=value["room_film"], jet_factor=value["jet"],
        peclet=value["peclet"], entrainment=value["entrainment"], still_exchange=value["still"],
        room_C=start_C * column, outdoors_C=start_C * column, ground_C=start_C * column,
        flame_rays=between(*rays, at["flame"])[:, None],
        plume_factor=between(*PLUME, at["entrainment"])[:, None],
    )  # fmt: skip


def draught_kg_s(data: dict[str, Any], port_m2: float, gas_C: Floats, room_C: Floats) -> Floats:
    """(M, SAMPLES) through door, port and windows in a row, by the warm column between the middles
    of door and windows."""
    size = data["boxes"]
    width = size["plan_m"][1]
    door, window = size["door"], size["windows"]
    windows = window["count"] * window["width_m"] * window["height_m"]
    above = 1.0 / math.sqrt(1.0 / port_m2**2 + 1.0 / windows**2)
    lower = size["lower_height_m"] - door["sill_m"] - 0.5 * door["height_m"]
    upper = window["sill_m"] + 0.5 * window["height_m"]
    # of the lower box the part over the middle of the door
    over = max(1, round(LOW * lower / size["lower_height_m"]))
    below, above_C = gas_C[:, :over].mean(axis=1), gas_C[:, LOW:].mean(axis=1)
    mean = (lower * below + upper * above_C) / (lower + upper)
    flow = width * vent_flow_kg_s_m(
        mean, room_C, size["plan_m"][0], lower + upper,
        door["width_m"] * door["height_m"] / width, above / width,
    )  # fmt: skip
    return np.asarray(flow, dtype=np.float64)


def solved(data: dict[str, Any], test: dict[str, Any]) -> Solution:
    at = places()
    low, mid, high = data["open"]["k_factor"]
    net = boxes(data, between(low, mid, high, at["k:board"]))
    heat_W, last_s = 1000.0 * data["boxes"]["heat_kW"], float(test["rows"][-1][0])
    start_C = float(np.mean(test["rows"][0][1:]))
    drive = firing(heat_W, last_s, start_C, at, data["open"]["rays"])
    last = int(last_s / STEP_S)
    for _ in range(ROUNDS):
        solution = solve(net, drive)
        if not solution.converged:
            raise ValueError(f"{test['name']}: no rest, {solution.change_K:.1f} K")
        flow = draught_kg_s(data, test["port_m2"], solution.gas.t_C, drive.room_C)
        flow[:, last + 1 :] = flow[:, last, None]
        change = np.abs(flow[:, 1:last] / drive.flow_kg_s[:, 1:last] - 1.0).max()
        if change < SETTLED:
            return solution
        co2 = drive.heat_W / FUEL_J_kg * CO2_kg_kg / 44.0 / (flow / 29.0)
        drive = replace(drive, flow_kg_s=0.5 * (drive.flow_kg_s + flow), x_co2=co2, x_h2o=2.0 * co2)
    raise ValueError(f"{test['name']}: draught still moves by {change:.3f}")


def points() -> tuple[Point, ...]:
    """Lower box's mean and the upper box's thirds."""
    data = fixture(CASE)
    size = data["boxes"]
    upper, lower = np.array(size["upper_probes_m"]), np.array(size["lower_probes_m"])
    count, band = len(upper), size["upper_height_m"] / BANDS
    found = []
    for test in data["test"]:
        solution = solved(data, test)
        rows = np.array(test["rows"])
        start = float(rows[0, 1:].mean())
        for time_s in data["at_s"]:
            row = rows[rows[:, 0] == time_s][0]
            gas = solution.gas.t_C[:, :, int(time_s / STEP_S)]
            weights = np.abs(np.gradient(lower))
            mean = float(np.average(row[1 + count :], weights=weights))
            where = f"{test['name']}, {time_s} s"
            found.append(
                point(f"{where}, lower mean", "degC", start, mean, gas[:, :LOW].mean(axis=1))
            )
            for index, name in enumerate(("top", "middle", "bottom")):
                top = size["upper_height_m"] - index * band
                inside = (upper <= top) & (upper > top - band)
                measured = float(row[1 : 1 + count][inside].mean())
                found.append(
                    point(f"{where}, upper {name}", "degC", start, measured, gas[:, LOW + index])
                )
    return tuple(found)
