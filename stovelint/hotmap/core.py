"""A core of which its maker declares two temperatures, as the network sees it."""

from __future__ import annotations

from dataclasses import replace
from typing import Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from stovelint.build import Build, Chamber, Firing
from stovelint.errors import HeatError
from stovelint.heat.core import Core, excess, follows, leaving_C, smoothed
from stovelint.heat.films import ZERO_C_K
from stovelint.heat.gas import enthalpy_J_kg
from stovelint.heat.network import Drive, Network, Stirred
from stovelint.heat.periodic import Solution
from stovelint.hotmap.cases import Input, between
from stovelint.hotmap.records import Unsolved
from stovelint.hotmap.zones import Room

Floats = NDArray[np.float64]

DECLARED = (0.9, 1.0, 1.1)
"""On the rise over the room of a declared temperature: one heater, one wood and one draught were
measured, and not these (judgement). That of the gas moves with the share burnt late, that of the
outer face with the flames: both stand for how the fire burns inside."""

CORE_INPUTS = {
    of: Input(name=name, low=DECLARED[0], mid=DECLARED[1], high=DECLARED[2], grade="judgement",
              reason=f"{what} was declared for one heater, one wood and one draught, and not these")
    for of, name, what in (
        ("flame", "core_wall", "the hottest outer face of the core"),
        ("riser_share", "core_exit", "the gas where it leaves the core"),
    )
}  # fmt: skip
"""What an input of `cases.INPUTS` stands for where a core is declared."""

AS_DECLARED = (0.99, 1.01)
"""Of the declared rise: within them the face is as declared."""
LEAST_RISE_K = 10.0
"""Of a declared temperature over the room: below, nothing is told of a fire (judgement)."""
FITS = (0.3, 2.0)
"""Of the declared rise: outside them the leaflet and the fire speak of different things
(judgement)."""


def declared_core(build: Build) -> Chamber | None:
    """The chamber that is declared; None where there is none.

    Raises HeatError for one that the heat cannot be led past.
    """
    declared = [chamber for chamber in build.chambers.values() if chamber.declared is not None]
    if not declared:
        return None
    core, *others = declared
    name, at = core.name, (*core.path, "declared")
    if others:
        raise HeatError(
            f"{' and '.join(one.name for one in declared)} are declared, and heat is reckoned for "
            "one bought core", "give the inside of all but the core in which the fire burns",
            (*others[0].path, "declared"),
        )  # fmt: skip
    if core.kind != "firebox" or core.fire is not None:
        raise HeatError(
            f"{name} is declared by its maker, and that is reckoned for a firebox which its fire "
            "fills", "give its inside instead", at,
        )  # fmt: skip
    if core.size.height_m is None:  # a size that is given is whole: the file's own check
        raise HeatError(
            f"the inside of {name} is not known, and heat is led past it only with its outside",
            "add its `size`: height, and width and depth or diameter, over all", at,
        )  # fmt: skip
    if len(core.leads_to) > 1 and any(port.share is None for port in core.leads_to):
        raise HeatError(
            f"how the gas of {name} parts depends on its inside, which is not known",
            "give each of its ways a share", (*core.path, "leads_to"),
        )  # fmt: skip
    said = core.declared
    assert said is not None  # it is declared
    if min(said.wall_C, said.exit_C) < build.site.room_C + LEAST_RISE_K:
        raise HeatError(
            f"a face of {said.wall_C:.0f} degC and gas of {said.exit_C:.0f} degC are no heat for "
            f"a room of {build.site.room_C:.0f} degC",
            "copy both temperatures from the paper of its maker", at,
        )  # fmt: skip
    return core


def with_core(build: Build, drive: Drive, at: dict[str, Floats]) -> Drive:
    """The firing with what is declared of its core; as it is where nothing is."""
    chamber = declared_core(build)
    if chamber is None or chamber.declared is None:
        return drive
    said, room = chamber.declared, drive.room_C
    wall = between(*DECLARED, at["flame"])[:, None] * (said.wall_C - room) + room
    leaves = between(*DECLARED, at["riser_share"])[:, None] * (said.exit_C - room) + room
    core = Core(
        wall_C=wall, exit_C=leaves, late=smoothed(drive.heat_W, drive.period_s),
        gas=follows(drive.heat_W, drive.flow_kg_s),
        heat_W=((1.0 - drive.riser_share) * drive.heat_W).mean(axis=1, keepdims=True),
        weight=np.full(drive.samples, 1.0 / drive.samples),
    )  # fmt: skip
    return replace(drive, core=core)


def excess_of(drive: Drive, solution: Solution, zone: int) -> Floats:
    """Peak rise of the core's face over the declared one, (members,)."""
    assert drive.core is not None  # of a plan with a core
    return excess(drive.core, solution.gas.t_C[:, zone], drive.room_C)


def zone_gas_C(net: Network, drive: Drive, solution: Solution) -> Floats:
    """Gas of every zone, (members, zones, samples): a core's zone holds its outer face."""
    zones_C = solution.gas.t_C
    if drive.core is None:
        return zones_C
    zones_C = zones_C.copy()
    for way in net.ways:
        if isinstance(way, Stirred) and way.heat_share == "core":
            zones_C[:, way.zone] = leaving_C(drive.core, zones_C[:, way.zone])
    return zones_C


def overdrawn(build: Build, firing: Firing, drive: Drive) -> Unsolved | None:
    """Why gas as hot as declared cannot come of this firing; None where it can.

    What it takes along, with the core no warmer than the room when the fire is out, must be less
    than what burns. Source: first law.
    """
    chamber = declared_core(build)
    if chamber is None or chamber.declared is None or drive.core is None:
        return None
    room, core = drive.room_C, drive.core
    hot, cold = (
        enthalpy_J_kg(t_C + ZERO_C_K, drive.air_ratio)
        for t_C in (room + core.gas * (core.exit_C - room), room)
    )
    taken = (drive.flow_kg_s * (hot - cold)).mean(axis=1)
    over = int((taken >= core.heat_W[:, 0]).sum())
    if not over:
        return None
    return Unsolved(
        path=(*chamber.path, "declared"), subject=chamber.name, state=firing.state,
        reason=f"gas of {chamber.declared.exit_C:.0f} degC out of {chamber.name} at the height of "
        f"the fire takes along more than the wood of the {firing.state} firing gives, in {over} of "
        f"{len(taken)} cases",
        remedy="check the temperature of the gas in the paper of its maker: that where it leaves "
        "the core, not that of the flames",
    )  # fmt: skip


def misfit(
    build: Build, rooms: Mapping[str, Room], firing: Firing, drive: Drive, solution: Solution
) -> Unsolved | None:
    """Why what is declared cannot go with this firing; None where it can."""
    chamber = declared_core(build)
    if chamber is None or chamber.declared is None:
        return None
    off = excess_of(drive, solution, rooms[chamber.name].zones[0].index)
    wrong = int((~((off >= FITS[0]) & (off <= FITS[1]))).sum())
    if not wrong:
        return None
    said = chamber.declared
    return Unsolved(
        path=(*chamber.path, "declared"), subject=chamber.name, state=firing.state,
        reason=f"what is declared of {chamber.name} does not go with the {firing.state} firing: in "
        f"{wrong} of {len(off)} cases gas of {said.exit_C:.0f} degC at the height of the fire "
        f"leaves it too {'little' if off.min() < FITS[0] else 'much'} heat for an outer face of "
        f"{said.wall_C:.0f} degC",
        remedy="check the two temperatures, the size of its outside, what stands against it and "
        "the charge",
    )  # fmt: skip


def core_sentences(
    build: Build, rooms: Mapping[str, Room], solved: Sequence[tuple[Firing, Drive, Solution]]
) -> list[str]:
    """How far the outer face had to leave what is declared, for people."""
    chamber = declared_core(build)
    if chamber is None or chamber.declared is None:
        return []
    zone = rooms[chamber.name].zones[0].index
    sentences = [
        f"the inside of {chamber.name} is not known: its outer face and its gas are as its maker "
        f"declares ({chamber.declared.source}), give or take a tenth (judgement); that it was "
        "measured at the charge of this plan is assumed; its own mass and the heat in it are not "
        "counted, and what its gas meets in it is no part of the losses of the draught"
    ]
    for firing, drive, solution in solved:
        off = excess_of(drive, solution, zone)
        peak = float(solution.gas.t_C[:, zone].max())
        for word, far in (("hotter", off > AS_DECLARED[1]), ("cooler", off < AS_DECLARED[0])):
            if far.any():
                reach = f", up to {peak:.0f} degC" if word == "hotter" else ""
                sentences.append(
                    f"the outer face of {chamber.name} comes out {word} than declared in "
                    f"{int(far.sum())} of {len(off)} cases of the {firing.state} firing{reach}, "
                    "for its heat must leave it"
                )
    return list(dict.fromkeys(sentences))
