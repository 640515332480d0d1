"""The heat of a plan whose gas parts by itself: shares and temperatures by turns."""

from __future__ import annotations

from typing import Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from stovelint.errors import HeatError
from stovelint.heat.heater import State
from stovelint.heat.mixing import Secants
from stovelint.heat.network import Drive, Network
from stovelint.heat.periodic import Solution, solve
from stovelint.hotmap.cases import between
from stovelint.hotmap.layerheat import Run
from stovelint.hotmap.parting import AGREED, LEAST_SHARE, LOSS, even, part_gas
from stovelint.hotmap.profile import spread
from stovelint.hotmap.records import Spread, Unsolved
from stovelint.hotmap.ways import Door, GasWays
from stovelint.hotmap.zones import Room

Floats = NDArray[np.float64]


def parted_solution(
    net: Network, ways: GasWays, rooms: Mapping[str, Room], altitude_m: float, drive: Drive,
    place: Floats, start: State | None, lent: Secants | None,
) -> tuple[Network, Solution]:  # fmt: skip
    """The heater with the shares found, and its solution.

    place: of each case between little (0) and much (1) loss at the first port of a split, (M,).

    Raises HeatError when the shares do not come to rest; look at `converged` for the heat.
    """
    lit = drive.flow_kg_s > 0.5 * drive.flow_kg_s.max(axis=1, keepdims=True)
    weight = lit / lit.sum(axis=1, keepdims=True)
    flow = (drive.flow_kg_s * weight).sum(axis=1)
    solutions: list[Solution] = []

    def heat(parted: Network) -> tuple[Floats, Floats, Floats]:
        begin = solutions[-1].state if solutions else start
        solution = solve(parted, drive, begin, lent=lent)
        if not solution.converged:
            # what was near may have led astray
            solution = solve(parted, drive)
        solutions.append(solution)
        gas = solution.gas
        zones = (gas.t_C * weight[:, None, :]).sum(axis=2)
        return zones, (gas.exit_C * weight).sum(axis=1), flow

    loss = between(*LOSS, place)
    found = part_gas(net, ways, rooms, altitude_m, even(ways, drive.members), loss, heat)
    if solutions[-1].converged and not found.miss <= AGREED:
        split = sorted({ways.names[door.tail] for door in _open_doors(ways)})
        raise HeatError(
            f"the gas of {' and '.join(split)} has several ways and no stated shares, and how it "
            f"parts does not come to rest: a share still moves by {100.0 * found.miss:.2g} % when "
            "the temperatures follow",
            "state a share for each way, or give the ways more alike",
            ("chambers", split[0], "leads_to"),
        )  # fmt: skip
    return found.net, solutions[-1]


def _open_doors(ways: GasWays) -> list[Door]:
    tails = [door.tail for door in ways.doors]
    return [door for door in ways.doors if tails.count(door.tail) > 1]


def _shares(ways: GasWays, door: Door, net: Network) -> Floats:
    """Share of its chamber's gas that takes a door, (members,)."""
    i = ways.doors.index(door)
    pairs = net.exits if door.head is None else _inlets(net, door.head)
    same = [d for d in ways.doors if d.head == door.head]
    _, share = pairs[same.index(ways.doors[i])]
    return np.asarray(share)[:, 0]


def _inlets(net: Network, way: int) -> Sequence[tuple[int, object]]:
    return net.ways[way].inlets  # type: ignore[union-attr]


def way_shares(ways: GasWays, runs: list[Run]) -> dict[tuple[str, str], Spread]:
    """(chamber, where to) of every way that the plan gives no share -> the share found."""
    return {
        (ways.names[door.tail], door.port.to): spread([
            _shares(ways, door, run.net) for run in runs
        ])
        for door in _open_doors(ways)
    }  # fmt: skip


def standing(ways: GasWays, runs: list[Run]) -> tuple[Unsolved, ...]:
    """Ways that gas would have to go backwards, in any case."""
    told = []
    for door in _open_doors(ways):
        least = np.stack([_shares(ways, door, run.net) for run in runs])
        still = int((least.min(axis=0) <= 1.5 * LEAST_SHARE).sum())
        if still:
            tail = ways.names[door.tail]
            told.append(
                Unsolved(
                    path=door.port.path, subject=tail,
                    reason=f"in {still} of {least.shape[1]} cases no gas goes from {tail} to "
                    f"{door.port.to}: its other ways draw all of it, and what stands or turns "
                    "back there is not reckoned",
                    remedy="make the ways more alike in height and section, or state their shares",
                )
            )  # fmt: skip
    return tuple(told)
