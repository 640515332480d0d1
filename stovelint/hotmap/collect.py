"""One firing state's solved cases as the ranges that rules and reports see."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from stovelint.build import Firing
from stovelint.heat.network import GROUND, OUTDOORS, ROOM
from stovelint.hotmap.around import combustibles, covers_of
from stovelint.hotmap.cases import period_s
from stovelint.hotmap.core import zone_gas_C
from stovelint.hotmap.cutplan import Plan
from stovelint.hotmap.edges import bearing_patches
from stovelint.hotmap.late import Late
from stovelint.hotmap.layerheat import Insides, Run, patch_heat
from stovelint.hotmap.output import output_heat
from stovelint.hotmap.parted import way_shares
from stovelint.hotmap.profile import spread
from stovelint.hotmap.records import CycleHeat

Floats = NDArray[np.float64]


def collect(plan: Plan, firing: Firing, runs: list[Run]) -> CycleHeat:
    """The cycle of one firing state from its runs, one for each damper state."""
    insides = Insides(plan.patches, runs)
    patches = [patch_heat(insides, i) for i in range(len(plan.patches))]
    flat = [p for group in patches for p in group]
    edges = bearing_patches(plan.build, plan.catalogue, plan.patches, runs)
    covers = covers_of(plan.build, plan.catalogue, plan.rooms, plan.patches, runs)
    under = [one.heat for one in covers]
    everything = tuple(sorted([*flat, *edges, *under], key=lambda p: (p.part, p.from_m)))
    room_C = runs[0].drive.room_C[:, 0]
    zones = [zone_gas_C(run.net, run.drive, run.solution) for run in runs]
    gas = {
        name: spread([
            np.asarray(gas[:, [z.index for z in room.zones]].max(axis=(1, 2))) for gas in zones
        ], room_C)
        for name, room in plan.rooms.items()
    }  # fmt: skip
    exits = [_exit_burn_mean_C(run) for run in runs]
    released, share, gap = zip(*(energy(run) for run in runs))
    return CycleHeat(
        state=firing.state, period_s=period_s(firing), burn_s=firing.loads * firing.burn_s,
        patches=everything,
        combustibles=Late(lambda: combustibles(
            plan.build, plan.catalogue, plan.rooms, insides, covers
        )),
        chamber_peak_C=gas, exit_burn_mean_C=spread(exits, room_C),
        released_kWh=spread([r * period_s(firing) / 3.6e6 for r in released]),
        to_room_share=spread(list(share)), energy_gap=float(max(g.max() for g in gap)),
        way_shares=way_shares(plan.ways, runs),
        output=lambda: tuple(
            output_heat(run.net, run.solution, plan.patches, plan.build) for run in runs
        ),
    )  # fmt: skip


def _exit_burn_mean_C(run: Run) -> Floats:
    """Mean temperature of the leaving gas while the full flow passes, (members,)."""
    flow = run.drive.flow_kg_s
    lit = flow > 0.5 * flow.max(axis=1, keepdims=True)
    return np.asarray((run.solution.gas.exit_C * lit).sum(axis=1) / lit.sum(axis=1))


def energy(run: Run) -> tuple[Floats, Floats, Floats]:
    """Mean heat released (W), the share that reaches the room through the heater's faces, and the
    part of the heat that no account holds (must stay under 0.1 %); each (members,)."""
    net, solution = run.net, run.solution
    released = run.drive.heat_W.mean(axis=1)
    flows = solution.q_W_m2.mean(axis=2) * net.face_area_m2
    out = {side: -flows[:, net.face_zone == side].sum(axis=1) for side in (ROOM, OUTDOORS, GROUND)}
    out[ROOM] = out[ROOM] + solution.channel_W_m2 @ net.face_area_m2[: net.walls]
    chimney = solution.gas.exit_W.mean(axis=1)
    rest = released - chimney - sum(out.values())
    return released, out[ROOM] / released, np.abs(rest) / released
