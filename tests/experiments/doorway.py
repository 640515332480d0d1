"""Air exchanged through a doorway: the law of a two-way opening against measured velocities.

Measured: the profiles of velocity and temperature in the opening, integrated over its area, out
and in apart. Computed: `heat.gaspath.pocket_conductance_W_K`, from the temperatures of the room and
of what comes in, as for a blind bench or an oven mouth.
"""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from stovelint.heat.gaspath import pocket_conductance_W_K
from stovelint.heat.network import Pocket
from tests.experiments.point import Point, fixture, point

CASE = "doorway"
AIR_CP = 1030.0  # J/kgK, as in the law: takes the conductance back to a flow
AIR = 353.0  # kg K/m3, density times temperature at one atmosphere

Floats = NDArray[np.float64]


def sill_m(test: dict[str, Any]) -> float:
    """Lower edge of the opening over the floor."""
    return float(test["head_m"] - test["door_height_m"])


def measured_kg_s(test: dict[str, Any]) -> tuple[float, float]:
    """(out, in) through the door: sum of density, velocity and area over all probes, kg/s."""
    out = into = 0.0
    rows = [row for row in test["profile"] if row["velocity_m_s"]]
    z = np.array([row["z_m"] for row in rows])  # from the top
    edges = np.concatenate([[test["head_m"]], 0.5 * (z[1:] + z[:-1]), [sill_m(test)]])
    for row, high, low in zip(rows, edges, edges[1:]):
        speed = np.array(row["velocity_m_s"])
        density = AIR / (np.array(row["door_C"]) + 273.15)
        width = test["door_width_m"] / len(speed)
        flow = density * speed * width * (high - low)
        out += float(flow[flow > 0.0].sum())
        into -= float(flow[flow < 0.0].sum())
    return out, into


def exchange_kg_s(test: dict[str, Any]) -> Floats:
    """The law's flow, with the room as one temperature: the rake's mean over the door's height,
    the lower end halfway to the lower layer, the upper end the upper layer."""
    rows = test["profile"]
    seen = [row for row in rows if sill_m(test) < row["z_m"] < test["head_m"]]
    inside = np.array([row["room_C"] for row in seen])
    heights = np.array([row["z_m"] for row in seen])
    mean = float(np.average(inside, weights=np.abs(np.gradient(heights))))
    ends = [0.5 * (mean + test["lower_layer_C"]), mean, test["upper_layer_C"]]
    outside = float(np.mean(rows[-1]["door_C"]))
    way = Pocket(
        zones=(1,), from_zone=0, area_m2=test["door_width_m"] * test["door_height_m"],
        height_m=test["door_height_m"],
    )  # fmt: skip
    zones = np.array([[[t], [outside]] for t in sorted(ends)])
    return np.asarray(pocket_conductance_W_K(way, zones)[:, 0] / AIR_CP)


def points() -> tuple[Point, ...]:
    """Outflow of each door; inflow is the same but for the gas burnt and the probes' error."""
    return tuple(
        point(f"{test['name']}, outflow", "kg/s", 0.0, measured_kg_s(test)[0], exchange_kg_s(test))
        for test in fixture(CASE)["test"]
    )
