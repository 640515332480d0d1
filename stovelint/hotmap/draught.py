"""Chimney and draught: whether the chimney carries the gas in every firing state and at the start,
and whether its top stays over the dew point."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Mapping, Sequence

from stovelint.build import Build, FiringState, Port
from stovelint.errors import HeatError
from stovelint.heat.draught import air_pressure_Pa, density_kg_m3, static_draught_Pa
from stovelint.hotmap.compute import Solver
from stovelint.hotmap.draughtstart import (
    MILD_C, StartDraught, start_draught, start_outdoors_C,
)  # fmt: skip
from stovelint.hotmap.draughtstate import StateDraught, air_share, state_draught
from stovelint.hotmap.draughtway import MOST_WAYS, RUNS, chains
from stovelint.hotmap.layerheat import Run
from stovelint.hotmap.profile import spread
from stovelint.hotmap.records import Unsolved
from stovelint.hotmap.zones import Room

CHIMNEY = "chimney"
SUBJECT = "chimney and draught"
SHORT_Pa = 100.0
"""A way that lacks more than this cannot carry its fire's gas: chimneys of houses draw 10 to 40 Pa
(practice). The heat is reckoned with that gas, so nothing is said of draught or dew."""
INLET_SPEED_m_s = 3.0
"""Of the air through an inlet that is not given, at the usual fire: 2 to 4 m/s (EN 15544 scope
texts, read)."""


@dataclass(frozen=True, kw_only=True, eq=False)
class ChimneyDraught:
    """The whole answer."""

    chimney: str
    states: Mapping[FiringState, StateDraught]
    start: tuple[StartDraught, ...]
    unsolved: tuple[Unsolved, ...]
    inlet_m2: float
    inlet_assumed: bool
    outdoors_C: float
    """Air outdoors for which the states are reckoned."""
    mild_loss_Pa: float
    """By how much every draught is less on a day of MILD_C, its gas as warm; 0: it is not colder
    outdoors."""
    assumptions: tuple[str, ...]
    """Sentences for people: what was assumed because the file did not say."""


def chimney_draught(build: Build, solver: Solver) -> ChimneyDraught | Unsolved:
    """Draught, losses, dew and start of a plan, or why they are not reckoned.

    The chimney must be drawn: height, flue, and the walls that bound it. `usual` and `hardest`
    come from what the solver knows, `least` is solved here.

    Args:
        build: the plan.
        solver: the solver of the survey.
    """
    lacking = _lacking(build)
    if lacking is not None:
        return lacking
    (chimney,) = (name for name, one in build.chambers.items() if one.kind == CHIMNEY)
    try:
        plan, jobs = solver.runs(build)
    except HeatError as error:
        return _cannot(build, error.message, error.remedy)
    ports = chains(build, plan.rooms, chimney)
    if len(ports) > MOST_WAYS:
        return _cannot(build, f"the gas has more than {MOST_WAYS} ways to {chimney}",
                       "draw like flues side by side as one")  # fmt: skip
    runs: dict[FiringState, list[Run]] = {}
    for (state, _), run in jobs.items():
        runs.setdefault(state, []).append(run)
    unsolved = list(_solve_least(build, solver, runs))
    fire = next(one for one in build.chambers.values() if one.kind == "firebox")
    inlet_m2 = fire.air_inlet_m2 or _inlet_m2(build, runs["usual"])
    states: dict[FiringState, StateDraught] = {}
    for state, of in runs.items():
        found = state_draught(plan, state, of, ports, inlet_m2, plan.rooms[chimney])
        case = _unbelievable(build, found)
        if case is None:
            states[state] = found
        else:
            unsolved.append(case)
    kindled = runs.get("least", runs["usual"])[0]
    starts = [
        start_draught(plan, kindled, ports, inlet_m2, t_C) for t_C in start_outdoors_C(build)
    ]
    return ChimneyDraught(
        chimney=chimney, states=states,
        start=tuple(one for one in starts if one.margin_Pa.low >= -SHORT_Pa),
        unsolved=tuple(unsolved), inlet_m2=inlet_m2, inlet_assumed=fire.air_inlet_m2 is None,
        outdoors_C=build.site.outdoors_C,
        mild_loss_Pa=_mild_loss_Pa(build, plan.rooms[fire.name], plan.rooms[chimney]),
        assumptions=_assumptions(plan.rooms, ports, chimney),
    )  # fmt: skip


def _lacking(build: Build) -> Unsolved | None:
    """What the plan does not say and the draught cannot do without; None when all is there."""
    chimneys = [one for one in build.chambers.values() if one.kind == CHIMNEY]
    if not chimneys:
        return _cannot(build, "the chimney is not drawn",
                       "add its height, flue size and walls")  # fmt: skip
    fires = sum(one.kind == "firebox" for one in build.chambers.values())
    if fires != 1:
        return _cannot(build, f"{fires} chambers are fireboxes and it is reckoned for one",
                       "describe one firebox")  # fmt: skip
    astray = [name for name, one in build.chambers.items()
              if any(port.to not in build.chambers for port in one.leads_to)]  # fmt: skip
    if astray:
        return _cannot(build, f"gas of {astray[0]} leaves by a chimney that is not drawn",
                       "draw it, or lead the gas to the one that is")  # fmt: skip
    if len(chimneys) > 1:
        return _cannot(build, f"there are {len(chimneys)} chimneys and it is reckoned for one",
                       "describe one chimney")  # fmt: skip
    (chimney,) = chimneys
    if not any(chimney.name in part.bounds for part in build.parts.values()):
        return _cannot(build, f"`{chimney.name}` has no walls here",
                       "add them from its foot to its top")  # fmt: skip
    return None


def _cannot(build: Build, reason: str, remedy: str) -> Unsolved:
    found = (one.path for one in build.chambers.values() if one.kind == CHIMNEY)
    return Unsolved(
        path=next(found, ("chambers",)), subject=SUBJECT, reason=reason, remedy=remedy
    )


def _unbelievable(build: Build, found: StateDraught) -> Unsolved | None:
    """Why a state is not judged; None when it is."""
    remedy = "check sizes and areas on the way of the gas"
    if not found.finite:
        return _cannot(build, f"the {found.state} firing's draught is no number", remedy)
    if found.margin_Pa.low < -SHORT_Pa:
        return _cannot(
            build, f"the gas of the {found.state} firing needs far more draught than a house "
            f"chimney has, and most is taken by {found.takes_most}", remedy,
        )  # fmt: skip
    return None


def _solve_least(
    build: Build, solver: Solver, runs: dict[FiringState, list[Run]]
) -> tuple[Unsolved, ...]:
    """Adds the runs of the least firing; what was not solved is returned."""
    if "least" in runs:
        return ()
    mild = Solver(solver.catalogue, states=("least",), members=solver.members, at=solver.at)
    try:
        runs["least"] = list(mild.runs(build)[1].values())
    except HeatError as error:
        return (
            Unsolved(path=("firing", "least"), subject=f"{SUBJECT}, least firing",
                     reason=error.message, remedy=error.remedy),
        )  # fmt: skip
    return ()


def _inlet_m2(build: Build, runs: Sequence[Run]) -> float:
    """An inlet that passes the usual fire's air at INLET_SPEED_m_s, to a whole cm2."""
    air = (runs[0].drive.flow_kg_s * air_share(build, runs[0])).max(axis=1)
    density = float(density_kg_m3(build.site.room_C, air_pressure_Pa(build.site.altitude_m)))
    return max(1.0, round(1e4 * spread([air]).mid / (density * INLET_SPEED_m_s))) * 1e-4


def _mild_loss_Pa(build: Build, fire: Room, chimney: Room) -> float:
    """A column of outdoor air from the firebox's floor to the chimney's top: the gas cancels."""
    rise, cold = chimney.top_m - fire.bottom_m, min(build.site.outdoors_C, MILD_C)
    return float(static_draught_Pa(rise, cold, MILD_C, air_pressure_Pa(build.site.altitude_m)))


def _assumptions(
    rooms: Mapping[str, Room], chains_of_ports: Sequence[Sequence[Port]], chimney: str
) -> tuple[str, ...]:
    """What was taken on the way of the gas because the plan does not say."""
    ports = list(dict.fromkeys(port for chain in chains_of_ports for port in chain))
    bare = [port for port in ports if port.area_m2 is None]
    sentences = []
    if bare:
        named = ", ".join(f"from {port.path[1]} to {port.to}" for port in bare)
        sentences.append(
            f"the port {named} has no `area`: it is as wide as the narrower of the two"
            if len(bare) == 1 else
            f"the ports {named} have no `area`: each is as wide as the narrower of its two"
        )  # fmt: skip
    passed = {str(port.path[1]) for port in ports} | {chimney}
    turns = [
        name for name, room in rooms.items()
        if name in passed and room.chamber.kind in RUNS and room.chamber.bends is None
    ]  # fmt: skip
    if turns:
        sentences.append(
            f"`bends` not given for {', '.join(turns)}: one sharp right-angle turn where the gas "
            "comes in"
        )
    return tuple(sentences)
