"""The top of the chimney while the fire burns: its gas, its inner face against the dew point."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Sequence

import numpy as np
from numpy.typing import NDArray

from stovelint.heat.chimney import inner_face_C, water_dew_point_C
from stovelint.heat.draught import air_pressure_Pa
from stovelint.heat.films import duct_W_m2K
from stovelint.heat.heater import DUCT_ROUGHNESS_m
from stovelint.heat.network import GROUND, OUTDOORS, ROOM
from stovelint.hotmap.cutplan import Plan
from stovelint.hotmap.layerheat import Run
from stovelint.hotmap.profile import spread
from stovelint.hotmap.records import Spread
from stovelint.hotmap.zones import Room

Floats = NDArray[np.float64]

ROOM_VAPOUR = 0.009
"""Mole fraction of vapour in the air of a heated room, 20 degC and 40 % moist (judgement). The
fuel's own figures are for dry air."""


@dataclass(frozen=True, kw_only=True, eq=False)
class ChimneyTop:
    """The highest zone of the chimney (up to 0.6 m) while the fire burns."""

    gas_C: Spread
    """Gas that leaves, mean over the burn."""
    over_dew_K: Spread
    """Inner face less the water dew point of the gas, where it is least in the burn."""
    wet_min: Spread
    """Minutes of the burn in which that face lies under the dew point."""
    warmed_over_dew_K: Spread
    """The same difference for walls warmed through, at the mean gas of this burn: below 0 the
    top would stay wet however long the fire burnt."""


def lit_samples(run: Run) -> NDArray[np.bool_]:
    """Samples at which the full flow passes, (M, N)."""
    flow = run.drive.flow_kg_s
    return np.asarray(flow > 0.5 * flow.max(axis=1, keepdims=True))


def burn_mean(values: Floats, lit: NDArray[np.bool_]) -> Floats:
    """Mean over the samples that are lit, (M,)."""
    return np.asarray((values * lit).sum(axis=1) / lit.sum(axis=1))


def chimney_top(plan: Plan, runs: Sequence[Run], chimney: Room) -> ChimneyTop:
    """All runs of one firing state; the wall of the highest zone that is coldest counts."""
    zone = chimney.zones[-1].index
    walls = [i for i, patch in enumerate(plan.patches) if patch.hot_zone == zone]
    pressure = air_pressure_Pa(plan.build.site.altitude_m)
    gas, over, wet, warmed = [], [], [], []
    for run in runs:
        lit, drive = lit_samples(run), run.drive
        dew = water_dew_point_C(drive.x_h2o + ROOM_VAPOUR, pressure)
        face = run.solution.faces_C[:, walls].min(axis=1)
        minutes = drive.period_s / drive.samples / 60.0
        mean_gas = burn_mean(run.solution.gas.exit_C, lit)
        gas.append(mean_gas)
        over.append(np.where(lit, face - dew, np.inf).min(axis=1))
        wet.append(np.asarray((lit & (face < dew)).sum(axis=1) * minutes))
        faces = [_warmed_C(plan, run, chimney, i, mean_gas) for i in walls]
        warmed.append(np.min(faces, axis=0) - burn_mean(dew, lit))
    return ChimneyTop(
        gas_C=spread(gas), over_dew_K=spread(over), wet_min=spread(wet),
        warmed_over_dew_K=spread(warmed),
    )  # fmt: skip


def _warmed_C(plan: Plan, run: Run, chimney: Room, wall: int, gas_C: Floats) -> Floats:
    """Inner face of one wall when it has warmed through, (M,)."""
    net, drive, patch = run.net, run.drive, plan.patches[wall]
    flow = burn_mean(drive.flow_kg_s, lit_samples(run))
    film = drive.film_factor[:, 0] * duct_W_m2K(
        flow, chimney.section_m2, chimney.hydraulic_diameter_m, gas_C, DUCT_ROUGHNESS_m
    )
    behind = run.solution.r_m2K_W[:, list(net.layers[wall])].sum(axis=1)
    outer = run.solution.outside_film_W_m2K[:, net.walls + wall] * patch.cold_ratio
    u = 1.0 / (1.0 / film + behind + 1.0 / outer)
    ambient = {ROOM: drive.room_C, OUTDOORS: drive.outdoors_C, GROUND: drive.ground_C}
    if patch.cold in ambient:
        around = ambient[patch.cold][:, 0]
    else:
        around = run.solution.gas.t_C[:, patch.cold].mean(axis=1)
    return inner_face_C(gas_C, around, u, film)
