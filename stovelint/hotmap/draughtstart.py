"""Cold start: a first small fire in a heater at room temperature, under a chimney that is cold."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Sequence

import numpy as np
from numpy.typing import NDArray

from stovelint.build import Build, Port
from stovelint.heat.coldstart import ColdWalls, along_cold_walls_C, gas_with_heat_C
from stovelint.heat.draught import air_pressure_Pa, losses_Pa
from stovelint.heat.fuel import flue_gas_kg_kg, net_calorific_J_kg, stoichiometric_air_kg_kg
from stovelint.heat.heater import DUCT_ROUGHNESS_m
from stovelint.heat.network import OUTDOORS
from stovelint.hotmap.cutplan import Plan
from stovelint.hotmap.draughtway import RUNS, DraughtWay, Passed, draught_way
from stovelint.hotmap.layerheat import Run
from stovelint.hotmap.profile import spread
from stovelint.hotmap.records import Spread

Floats = NDArray[np.float64]

FIRST_SHARE = 0.1
"""A first small fire over the height of the least fire: some kindling (judgement)."""
FIRST_AIR_RATIO = 4.0
"""Air that it draws: far more than a fire that burns well (judgement)."""
RADIATED = 0.3
"""Share of its heat that flames and embers give the firebox at once (judgement: 20 to 40 %)."""
MILD_C = 15.0
"""Outdoor air at which a chimney must still draw (EN 13384-1, recalled)."""


@dataclass(frozen=True, kw_only=True, eq=False)
class StartDraught:
    """What is left over while the first small fire burns, over all cases."""

    outdoors_C: float
    margin_Pa: Spread
    draught_Pa: Spread


def start_outdoors_C(build: Build) -> tuple[float, ...]:
    """The plan's outdoor air and, where that is colder, a mild day's."""
    outdoors = build.site.outdoors_C
    return (outdoors, MILD_C) if outdoors < MILD_C else (outdoors,)


def start_draught(
    plan: Plan, run: Run, chains: Sequence[Sequence[Port]], inlet_m2: float, outdoors_C: float
) -> StartDraught:
    """The balance of the way with the least left over.

    Faces of the heater are at room temperature. Those of the chimney are as cold as outdoors where
    their wall faces it, else halfway there, as damper and mouth leak. Gas leaves its heat to them
    by the exponential law.
    """
    build, drive = plan.build, run.drive
    kind, moisture = build.fuel.kind, build.fuel.moisture
    heat_W = FIRST_SHARE * drive.heat_W.max(axis=1)
    calorific = float(net_calorific_J_kg(kind, moisture))
    gas_kg = float(flue_gas_kg_kg(kind, moisture, FIRST_AIR_RATIO))
    flow = heat_W / calorific * gas_kg
    air = FIRST_AIR_RATIO * float(stoichiometric_air_kg_kg(kind, moisture)) / gas_kg
    room = drive.room_C[:, 0]
    heat_J_kg = (1.0 - RADIATED) * calorific / gas_kg
    start_C = gas_with_heat_C(heat_J_kg, room, FIRST_AIR_RATIO, moisture)
    pressure = float(air_pressure_Pa(build.site.altitude_m))
    outdoors = np.full((len(room), 1), outdoors_C)
    margins, draughts = [], []
    for chain in chains:
        way = draught_way(plan.rooms, run.net, chain, inlet_m2)
        zones_C = np.repeat(room[:, None], run.net.zones, axis=1)
        means, _ = along_cold_walls_C(
            _walls(plan, run, way, outdoors_C), start_C, flow, FIRST_AIR_RATIO, moisture,
            drive.film_factor[:, 0],
        )  # fmt: skip
        zones_C[:, [one.zone for one in way.passed]] = means
        gas = zones_C[:, :, None]
        static = way.static_Pa(gas, outdoors, pressure)
        share = np.full((len(room), 1), air)
        losses = losses_Pa(
            way.resistances(share), flow[:, None], way.element_gas_C(gas, drive.room_C), pressure
        )
        margins.append((static - losses.sum(axis=1))[:, 0])
        draughts.append(static[:, 0])
    worst = min(range(len(chains)), key=lambda i: float(margins[i].min()))
    return StartDraught(
        outdoors_C=outdoors_C, margin_Pa=spread([margins[worst]]),
        draught_Pa=spread([draughts[worst]]),
    )  # fmt: skip


def _coldness(plan: Plan, one: Passed) -> float:
    """How near to outdoors the walls of a zone are, 0 (as warm as the room) to 1."""
    if one.room.chamber.kind != "chimney":
        return 0.0
    walls = [patch for patch in plan.patches if patch.hot_zone == one.zone]
    outside = sum(patch.area_m2 for patch in walls if patch.cold == OUTDOORS)
    return 0.5 + 0.5 * outside / max(sum(patch.area_m2 for patch in walls), 1e-9)


def _walls(plan: Plan, run: Run, way: DraughtWay, outdoors_C: float) -> ColdWalls:
    net, room_C = run.net, run.drive.room_C[:, 0]
    areas: Floats = np.array([
        net.face_area_m2[net.face_zone == one.zone].sum() for one in way.passed
    ])  # fmt: skip
    faces = [room_C + _coldness(plan, one) * (outdoors_C - room_C) for one in way.passed]
    return ColdWalls(
        face_C=np.stack(faces, axis=1), area_m2=areas,
        height_m=np.array([one.room.height_m for one in way.passed]),
        section_m2=np.array([one.room.section_m2 for one in way.passed]),
        diameter_m=np.array([one.room.hydraulic_diameter_m for one in way.passed]),
        flow_share=np.stack(
            [np.broadcast_to(one.flow_share, (len(room_C), 1))[:, 0] for one in way.passed], axis=1
        ),
        duct=tuple(one.room.chamber.kind in RUNS for one in way.passed),
        roughness_m=DUCT_ROUGHNESS_m,
    )  # fmt: skip
