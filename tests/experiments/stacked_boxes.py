"""Two boxes one over the other, a small burner in the lower: a firebox that feeds a bell.

Lower box: stirred, all the heat in its gas. Upper box: a bell of three bands, fed through the port
in its floor, outlet in the band its windows span. The board between the boxes is a wall with a
face in each. The draught is not measured: it is found with the temperatures, by
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
from stovelint.heat.network import ROOM, Bell, Drive, Enclosure, FilmKind, Network, Stirred
from stovelint.heat.periodic import Solution, solve
from stovelint.hotmap.cases import between, inputs, places
from tests.experiments.point import Point, fixture, point

CASE = "stacked-boxes"
BANDS, STEP_S, PERIOD_S = 3, 90.0, 27000.0
SAMPLES = int(PERIOD_S / STEP_S)
BEAM = 3.6
ROUNDS, SETTLED = 12, 0.005
"""Rounds between draught and temperatures, and the change of the draught that ends them."""
FUEL_J_kg, CO2_kg_kg = 50.0e6, 2.75  # methane

Floats = NDArray[np.float64]


def boxes(data: dict[str, Any], k_factor: Floats) -> Network:
    """Zone 0 the lower box, 1..BANDS the upper one from the top.

    Walls: lower floor, lower sides, board between, upper sides by band, upper ceiling.
    """
    size, board = data["boxes"], data["board"]
    (length, width), low, high = size["plan_m"], size["lower_height_m"], size["upper_height_m"]
    plan, around, band = length * width, 2.0 * (length + width), high / BANDS
    area = np.array([plan, around * low, plan, *[around * band] * BANDS, plan])
    upright: list[FilmKind] = ["vertical"] * BANDS
    inner: list[FilmKind] = ["floor", "vertical", "ceiling", *upright, "ceiling"]
    outer: list[FilmKind] = ["floor", "vertical", "floor", *upright, "ceiling"]
    areas = np.array([plan, *[around * band] * BANDS, plan])
    shares = band_exchange(high - band * np.arange(BANDS + 1.0), 2.0 * plan / around, areas)
    join = np.zeros((BANDS, BANDS + 2))
    join[range(BANDS), range(1, BANDS + 1)] = 1.0
    join[0, 0] = join[-1, -1] = 1.0
    flows = join @ (areas[:, None] * shares) @ join.T
    sheets = np.ones(len(area))
    r = sheets * board["thickness_m"] / board["k_W_mK"] / k_factor[:, None]
    c = sheets * board["thickness_m"] * board["density_kg_m3"] * board["c_J_kgK"]

    def properties(hot: Floats, cold: Floats) -> tuple[Floats, Floats]:
        return r, np.broadcast_to(c, r.shape).copy()

    lying = plan / around
    heights = np.array([lying, low, lying, *[high] * BANDS, lying])
    beams = [BEAM * plan * h / (2.0 * plan + around * h) for h in (low, high)]
    drawn = (0.0, *[1.0 / (BANDS - 1)] * (BANDS - 1))
    return Network(
        zone_path_m=np.array([beams[0], *[beams[1]] * BANDS]),
        zone_duct=(None,) * (BANDS + 1), zone_flame=np.zeros(BANDS + 1),
        ways=(
            Stirred(zone=0, inlets=(), heat_share="firebox"),
            Bell(
                zones=tuple(range(1, BANDS + 1)), inlets=((0, 1.0),),
                reach=(float(BANDS),) * (BANDS - 1), drawn=drawn, outlet=1,
            ),
        ),
        way_flow=np.ones(2), exits=((1, 1.0),),
        enclosures=(
            Enclosure(zones=np.array([0]), shares=np.ones((1, 1))),
            Enclosure(zones=np.arange(1, BANDS + 1), shares=flows / flows.sum(axis=1)[:, None]),
        ),
        face_zone=np.array(
            [0, 0, 0, *range(1, BANDS + 1), 1, ROOM, ROOM, BANDS, *[ROOM] * (BANDS + 1)]
        ),
        face_area_m2=np.tile(area, 2), face_film=tuple(inner + outer),
        face_height_m=np.tile(heights, 2),
        face_emissivity=np.full((len(r), 2 * len(area)), board["emissivity"]),
        jet_faces=(3 + BANDS,), layers=tuple((w,) for w in range(len(area))),
        properties=properties,
    )  # fmt: skip


def firing(heat_W: float, last_s: float, start_C: float, at: dict[str, Floats]) -> Drive:
    """The burner on to the last reading, with a first guess of the draught."""
    value = inputs(at)
    column = np.ones_like(value["film"])
    lit = np.zeros(SAMPLES)
    lit[: int(last_s / STEP_S) + 1] = 1.0
    nothing = np.zeros((len(column), SAMPLES))
    return Drive(
        period_s=PERIOD_S, heat_W=heat_W * lit * column, flow_kg_s=nothing + 0.02,
        air_ratio=np.where(lit > 0.0, 10.0, 60.0) * column, x_co2=nothing, x_h2o=nothing,
        burning=lit > 0.0, flame_emissivity=nothing, riser_share=0.0 * column,
        film_factor=value["film"], room_film_factor=value["room_film"], jet_factor=value["jet"],
        peclet=value["peclet"], entrainment=value["entrainment"], still_exchange=value["still"],
        room_C=start_C * column, outdoors_C=start_C * column, ground_C=start_C * column,
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
    mean = (lower * gas_C[:, 0] + upper * gas_C[:, 1:].mean(axis=1)) / (lower + upper)
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
    drive = firing(heat_W, last_s, start_C, at)
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
            found.append(point(f"{where}, lower mean", "degC", start, mean, gas[:, 0]))
            for index, name in enumerate(("top", "middle", "bottom")):
                top = size["upper_height_m"] - index * band
                inside = (upper <= top) & (upper > top - band)
                measured = float(row[1 : 1 + count][inside].mean())
                found.append(
                    point(f"{where}, upper {name}", "degC", start, measured, gas[:, 1 + index])
                )
    return tuple(found)
