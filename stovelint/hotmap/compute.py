"""The hot map: from the records of a build to ranges per part, band, layer and surrounding."""

from __future__ import annotations

import threading
from dataclasses import replace
from functools import partial
from typing import Callable, NamedTuple, Sequence, TypeVar

import numpy as np
from numpy.typing import NDArray

from stovelint.build import Build, Firing, FiringState, Surrounding
from stovelint.catalogue.catalogue import Catalogue
from stovelint.errors import HeatError
from stovelint.heat.mixing import Secants
from stovelint.heat.network import Drive, Network
from stovelint.heat.heater import State
from stovelint.heat.periodic import solve
from stovelint.heat.sampling import looked_at
from stovelint.hotmap.assembly import network
from stovelint.hotmap.cases import MEMBERS, after_burn_shares, drive, places, sample_count
from stovelint.hotmap.core import (
    core_sentences, declared_core, misfit, overdrawn, with_core,
)  # fmt: skip
from stovelint.hotmap.bridges import bridge_sentences
from stovelint.hotmap.buried import buried_sentences
from stovelint.hotmap.cavity import closed_by
from stovelint.hotmap.collect import collect
from stovelint.hotmap.cutplan import Plan, assumptions, cut
from stovelint.hotmap.layerheat import Run
from stovelint.hotmap.memory import keep_freed_memory
from stovelint.hotmap.parted import parted_solution, standing
from stovelint.hotmap.properties import Properties
from stovelint.hotmap.records import HotMap, Unsolved
from stovelint.hotmap.unsettled import too_short, unsettled

Floats = NDArray[np.float64]
Job = tuple[FiringState, float]
"""A firing state and one share of the flow that is left after the burn."""
Result = TypeVar("Result")

ROUGH_K = 1.5
"""Change of a face at which the middle case is good enough to start all cases from."""
MOST_SAMPLES = 3200
"""A cycle of more asks for gigabytes and minutes: burns of 44 min in the longest interval and of 11
min in a day still are reckoned."""
STATES: tuple[FiringState, ...] = ("usual", "hardest")


class Posed(NamedTuple):
    """What is to be solved."""

    net: Network
    drive: Drive
    properties: Properties


class Near(NamedTuple):
    """What a solved case lends to one like it."""

    state: State
    secants: Secants | None


def hot_map(
    build: Build, catalogue: Catalogue, *, states: Sequence[FiringState] = STATES,
    members: int = MEMBERS,
) -> HotMap:  # fmt: skip
    """Solve the firing states asked for, once. See `Solver`."""
    return Solver(catalogue, states=states, members=members)(build)


class Solver:
    """Solves a plan and variations of it: what two have in common is computed once.

    A change of surroundings alone needs no new heat; any other starts from the first plan's
    solution, which is near. The order of calls is part of the input: same calls, same bytes.

    The cases are the usual ones, or those at places given: by input 0 low, 0.5 middle, 1 high,
    each of shape (members,).
    """

    def __init__(
        self, catalogue: Catalogue, *, states: Sequence[FiringState] = STATES,
        members: int = MEMBERS, at: dict[str, Floats] | None = None,
    ) -> None:  # fmt: skip
        keep_freed_memory()
        self.catalogue, self.states = catalogue, tuple(states)
        self.at = places(members) if at is None else at
        self.members = len(self.at["film"])
        self._first: dict[Job, Run] | None = None
        self._known: list[tuple[Build, tuple[int, ...] | None, Plan, dict[Job, Run]]] = []

    def __call__(self, build: Build, cases: tuple[int, ...] | None = None) -> HotMap:
        """Hot map of a build, over all cases or only some of them (by number, 0-based).

        Raises HeatError when the plan has nothing to solve; everything that can be told apart is
        reported in `unsolved` instead, also a firing state that does not settle: it has no cycle.
        """
        plan, runs = self._runs(build, cases)
        cycles = {
            state: collect(
                plan, build.firings[state], [r for job, r in runs.items() if job[0] == state]
            )
            for state in self.states
            if all(case.state != state for case in plan.unsolved)
        }
        return HotMap(
            cycles=cycles, unsolved=(*plan.unsolved, *standing(plan.ways, list(runs.values()))),
            assumptions=(
                *assumptions(plan, self.states),
                *bridge_sentences(plan.patches, self.catalogue, cycles),
                *buried_sentences(plan.patches),
                *core_sentences(build, plan.rooms, [
                    (build.firings[state], run.drive, run.solution)
                    for (state, _), run in runs.items()
                ]),
            ),
        )

    def runs(self, build: Build) -> tuple[Plan, dict[Job, Run]]:
        """The build cut up and its solved runs over all cases, as behind its hot map.

        Raises HeatError like the call, and when a state does not settle.
        """
        plan, runs = self._runs(build, None)
        for case in plan.unsolved:
            if case.state is not None:
                raise HeatError(case.reason, case.remedy, case.path)
        return plan, runs

    def _runs(self, build: Build, cases: tuple[int, ...] | None) -> tuple[Plan, dict[Job, Run]]:
        bare = replace(build, surroundings=_closing(build), variances={})
        for known, of, plan, runs in self._known:
            if of == cases and known == bare:
                return replace(plan, build=build), runs
        declared_core(build)
        plan = cut(build, self.catalogue)
        if not plan.patches or not any(plan.ways.flow):
            raise HeatError(
                "no chamber with walls carries gas, so there is nothing to compute",
                "add the walls, caps and floors of the chambers", ("parts",),
            )  # fmt: skip
        walled = {zone for patch in plan.patches for zone in (patch.hot_zone, patch.cold)}
        bare_rooms = [
            name for name, room in plan.rooms.items()
            if any(zone.index not in walled for zone in room.zones)
        ]  # fmt: skip
        if bare_rooms:
            why = "; ".join(f"{u.subject}: {u.reason}" for u in plan.unsolved)
            raise HeatError(
                f"at some height or length no wall of {', '.join(bare_rooms)} can be reckoned with"
                + (f" ({why})" if why else ""),
                "give it walls that face a room, the ground or a chamber all the way",
                ("chambers", bare_rooms[0]),
            )  # fmt: skip
        at = self.at
        if cases is not None:
            at = {name: place[list(cases)] for name, place in at.items()}
        jobs = [(state, share) for state in self.states for share in after_burn_shares(build)]
        done = dict(zip(jobs, side_by_side([
            partial(self._one, plan, job, at, self._near(job, plan, bare, cases)) for job in jobs
        ])))  # fmt: skip
        runs = {job: run for job, run in done.items() if isinstance(run, Run)}
        restless: dict[FiringState, Unsolved] = {}
        for (state, _), run in done.items():
            if isinstance(run, Unsolved):
                restless.setdefault(state, run)
        plan = replace(plan, unsolved=(*plan.unsolved, *restless.values()))
        if self._first is None and cases is None:
            self._first = runs
        self._known.append((bare, cases, plan, runs))
        return plan, runs

    def _near(
        self, job: Job, plan: Plan, bare: Build, cases: tuple[int, ...] | None
    ) -> Near | None:
        """A solution to start from, if the heater has the same shape as the first plan's.

        For a few cases: the latest plan solved in these, for sizes are tried one after the
        other. For all: the first plan's, moved by what the change did where it was computed.
        """
        run = self._first.get(job) if self._first is not None else None
        if run is None or not _same_shape(run, plan, job[0]):
            return None
        base, secants = run.solution.state, run.solution.secants
        if cases is not None:
            for _, of, _, runs in reversed(self._known):
                if of == cases and job in runs and _same_shape(runs[job], plan, job[0]):
                    return Near(runs[job].solution.state, secants)
            return Near(State(*(_whole(part)[list(cases)] for part in base)), secants)
        near = [_whole(part) for part in base]
        for known, of, _, runs in self._known:
            if of is not None and known == bare and job in runs:
                # what the change did in a few cases, it does nearly so in the others
                moved = runs[job].solution.state
                for i, (part, old) in enumerate(zip(moved, base)):
                    shift = _whole(part) - _whole(old)[list(of)]
                    near[i] = near[i] + shift.mean(axis=0, keepdims=True)
                break
        return Near(State(*near), secants)

    def _one(
        self, plan: Plan, job: Job, at: dict[str, Floats], near: Near | None
    ) -> Run | Unsolved:
        state, share = job
        firing = plan.build.firings[state]
        if sample_count(firing) > MOST_SAMPLES:
            return too_short(firing)
        if declared_core(plan.build) is not None:
            wrong = overdrawn(plan.build, firing, _posed(plan, firing, at, share).drive)
            if wrong is not None:
                return wrong
        if near is not None:
            return _solved(plan, firing, at, share, near)
        if self.members == 1:
            return _solved(plan, firing, at, share, None)
        what = drive(plan.build, firing, at, share, plan.ways.has_riser)
        middle = _posed(plan, firing, places(1), share)
        with np.errstate(over="ignore", invalid="ignore", divide="ignore"):
            lending = solve(middle.net, middle.drive, chosen=looked_at(what), enough_K=ROUGH_K)
        if not lending.change_K <= ROUGH_K:
            return unsettled(plan, firing, lending)
        return _solved(plan, firing, at, share, Near(lending.state, lending.secants))


def _closing(build: Build) -> dict[str, Surrounding]:
    """The surroundings that are part of the heat itself."""
    if all(part.faces != "cavity" for part in build.parts.values()):
        return {}
    return {
        name: surrounding for name, surrounding in build.surroundings.items()
        if any(closed_by(part, surrounding) for part in build.parts.values())
    }  # fmt: skip


def _same_shape(run: Run, plan: Plan, state: FiringState) -> bool:
    """Whether a solution of this run can start one of the plan."""
    return (
        run.net.walls == len(plan.patches)
        and run.net.zones == sum(len(room.zones) for room in plan.rooms.values())
        and run.drive.samples == sample_count(plan.build.firings[state])
    )


def _whole(part: Floats | None) -> Floats:
    assert part is not None  # a solution's state has its irradiation
    return part


def side_by_side(works: Sequence[Callable[[], Result]]) -> list[Result]:
    """Do all works, each in a thread of its own, and return their results in order.

    numpy lets go of the interpreter in its inner loops, and these works share nothing that
    changes, so two cores do two at once with the same result as one after the other.
    """
    done: list[Result | BaseException | None] = [None] * len(works)

    def run(index: int) -> None:
        try:
            done[index] = works[index]()
        except BaseException as error:  # raised again in the caller's thread below
            done[index] = error

    threads = [threading.Thread(target=run, args=(index,)) for index in range(len(works))]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    results: list[Result] = []
    for value in done:
        if isinstance(value, BaseException):
            raise value
        results.append(value)  # type: ignore[arg-type]
    return results


def _posed(plan: Plan, firing: Firing, at: dict[str, Floats], share: float) -> Posed:
    properties = Properties(plan.patches, plan.catalogue, at)
    net = network(plan.rooms, plan.patches, plan.ways, properties, plan.catalogue, at)
    what = drive(plan.build, firing, at, share, plan.ways.has_riser)
    return Posed(net, with_core(plan.build, what, at), properties)


def _solved(
    plan: Plan, firing: Firing, at: dict[str, Floats], share: float, near: Near | None
) -> Run | Unsolved:
    net, what, properties = _posed(plan, firing, at, share)
    start, lent = near if near is not None else (None, None)
    with np.errstate(over="ignore", invalid="ignore", divide="ignore"):
        if plan.ways.doors:
            net, solution = parted_solution(
                net, plan.ways, plan.rooms, plan.build.site.altitude_m, what, at["film"], start,
                lent,
            )
        else:
            solution = solve(net, what, start, lent=lent)  # what is not finite has not converged
    if not solution.converged:
        return unsettled(plan, firing, solution)
    if what.core is not None:
        wrong = misfit(plan.build, plan.rooms, firing, what, solution)
        if wrong is not None:
            return wrong
    return Run(net=net, drive=what, solution=solution, properties=properties)
