"""A core of which its maker declares two temperatures, as the network sees it."""

from __future__ import annotations

from dataclasses import replace
from typing import Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from stovelint.build import Build, Chamber, Firing
from stovelint.errors import HeatError
from stovelint.heat.core import Core, excess, follows, smoothed
from stovelint.heat.network import Drive
from stovelint.heat.periodic import Solution
from stovelint.hotmap.cases import between
from stovelint.hotmap.records import Unsolved
from stovelint.hotmap.zones import Room

Floats = NDArray[np.float64]

DECLARED = (0.9, 1.0, 1.1)
"""On the rise over the room of a declared temperature: one heater, one wood and one draught were
measured, and not these (judgement). That of the gas moves with the share burnt late, that of the
outer face with the flames: both stand for how the fire burns inside."""

AS_DECLARED = (0.99, 1.01)
"""Of the declared rise: within them the face is as declared."""
FITS = (0.3, 2.0)
"""Of the declared rise: outside them the leaflet and the fire speak of different things
(judgement)."""


def declared_core(build: Build) -> Chamber | None:
    """The chamber that is declared; None where there is none.

    Raises HeatError for every one: its heat is not held against anything yet.
    """
    declared = [chamber.name for chamber in build.chambers.values() if chamber.declared]
    if declared:
        raise HeatError(
            f"{', '.join(declared)} is declared by its maker and its inside is not known: heat "
            "from declared temperatures is not computed yet",
            "give its inside size instead", ("chambers", declared[0], "declared"),
        )  # fmt: skip
    return None


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


def excess_of(run_drive: Drive, solution: Solution, zone: int) -> Floats:
    """Peak rise of the core's face over the declared one, (members,)."""
    assert run_drive.core is not None  # of a plan with a core
    return excess(run_drive.core, solution.gas.t_C[:, zone], run_drive.room_C)


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
        remedy="check the two temperatures, the size of its outside, what stands against it and the "
        "charge",
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
        f"declares ({chamber.declared.source}), give or take a tenth"
    ]
    for firing, drive, solution in solved:
        off = excess_of(drive, solution, zone)
        peak = float(solution.gas.t_C[:, zone].max())
        for word, far in (("hotter", off > AS_DECLARED[1]), ("cooler", off < AS_DECLARED[0])):
            if far.any():
                reach = f", up to {peak:.0f} degC" if word == "hotter" else ""
                sentences.append(
                    f"the outer face of {chamber.name} comes out {word} than declared in "
                    f"{int(far.sum())} of {len(off)} cases of the {firing.state} firing{reach}, for "
                    "its heat must leave it"
                )
    return list(dict.fromkeys(sentences))
