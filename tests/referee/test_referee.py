"""The package's periodic solver against the referee's time steps, on whole plans, place by place.

Both solve the same model in its middle case; they share nothing else (`test_independent.py`). The
referee reads the plan, cuts it up, looks up materials, reckons films, gas, fire and radiation, and
steps through days by finite volumes. Tolerance: 1 % or 2 K, whichever is more (design page on
heat). Within it lie the fits of either side (air 0.8 %, heat content of gas 0.5 %), the package's
samples (up to 270 s) and the referee's steps (0.05 %). Bearing edges are left out: they take part in
nothing and follow from the wall under them (`tests/hotmap/test_edges.py`).
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Literal

import numpy as np
import pytest
from numpy.typing import NDArray

from stovelint.assemble import load
from stovelint.catalogue.catalogue import Catalogue
from stovelint.hotmap.compute import hot_map
from stovelint.hotmap.records import CycleHeat, DepthHeat, PatchHeat
from tests.referee.march import Day, March, referee
from tests.tree import ROOT

Floats = NDArray[np.float64]
State = Literal["usual", "hardest"]

PLANS = sorted((ROOT / "fixtures" / "plans").glob("*.heater.yaml"))
STATES: tuple[State, ...] = ("usual", "hardest")
WITHIN, WITHIN_K = 0.01, 2.0
CASES = pytest.mark.parametrize(
    ("plan", "state"), [(plan, state) for plan in PLANS for state in STATES],
    ids=lambda value: value.name.split(".")[0] if isinstance(value, Path) else value,
)  # fmt: skip


@dataclass(frozen=True, kw_only=True)
class Place:
    """A depth of a layer of a patch, by both."""

    name: str
    package: DepthHeat
    wall: int


@dataclass(frozen=True, kw_only=True, eq=False)
class Both:
    cycle: CycleHeat
    march: March
    day: Day
    places: list[Place]

    def worst(self, cycle: CycleHeat) -> list[tuple[float, str]]:
        """Difference over what may be, of every place's peak and mean, largest first."""
        weights = self.day.weights_s / self.march.fire.period
        peaks, means = self.day.probes_C.max(axis=0), weights @ self.day.probes_C
        found = []
        for place, peak, mean in zip(looked_at(cycle, self.march), peaks, means):
            for what, have, want in (
                ("peak", place.package.peak_C.mid, float(peak)),
                ("mean", place.package.mean_C.mid, float(mean)),
            ):
                text = f"{place.name} {what}: package {have:.1f}, referee {want:.1f}"
                found.append((abs(have - want) / max(WITHIN * want, WITHIN_K), text))
        return sorted(found, reverse=True)


def wall_of(march: March, patch: PatchHeat) -> int:
    """The referee's wall at the same place."""
    found = [
        i for i, wall in enumerate(march.heater.walls)
        if patch.part in [part.name for part in wall.parts] and wall.chamber == patch.chamber
        and abs(wall.low - patch.from_m) + abs(wall.high - patch.to_m) < 0.01
        and (wall.along is None or patch.along_m is None
             or abs(wall.along[0] - patch.along_m[0]) < 0.01)
    ]  # fmt: skip
    assert len(found) == 1, f"the referee has {len(found)} walls at {patch.part}, {patch.where}"
    return found[0]


def looked_at(cycle: CycleHeat, march: March) -> list[Place]:
    """Hot face, 10 mm below it, and cold face of every layer of every patch."""
    places = []
    for patch in cycle.patches:
        if patch.where == "bearing edge":
            continue
        wall = wall_of(march, patch)
        for number, layer in enumerate(patch.layers):
            for word in ("hot", "hot_zone", "cold"):
                name = f"{patch.part}, {patch.where}, layer {number} {word}"
                places.append(Place(name=name, package=getattr(layer, word), wall=wall))
    return places


def package(plan: Path, state: State) -> CycleHeat:
    build = load(str(plan)).build
    return hot_map(build, Catalogue(), states=(state,), members=1).cycles[state]


@cache
def both(plan: Path, state: State) -> Both:
    """Solved once by each."""
    march = referee(plan, state)
    cycle = package(plan, state)
    places = looked_at(cycle, march)
    day = march.run([(place.wall, place.package.depth_m) for place in places])
    return Both(cycle=cycle, march=march, day=day, places=places)


def test_there_are_plans_to_compare() -> None:
    assert len(PLANS) >= 3


@CASES
def test_the_referee_sees_every_wall(plan: Path, state: State) -> None:
    pair = both(plan, state)
    assert {place.wall for place in pair.places} == set(range(pair.march.walls.w))


@CASES
def test_every_place_is_as_hot(plan: Path, state: State) -> None:
    pair = both(plan, state)
    off = [text for share, text in pair.worst(pair.cycle) if share > 1.0]
    assert not off, "\n".join(off)


@CASES
def test_the_gas_is_as_hot(plan: Path, state: State) -> None:
    pair = both(plan, state)
    for name, zones in pair.march.heater.of.items():
        peak = float(pair.day.zones_C[:, zones].max())
        found = pair.cycle.chamber_peak_C[name].mid
        assert abs(found - peak) <= max(WITHIN * peak, WITHIN_K), (name, found, peak)
    lit = pair.day.times_s <= pair.march.fire.lit_s + 1.0
    weights = pair.day.weights_s * lit
    leaves = float(weights @ pair.day.exit_C / weights.sum())
    found = pair.cycle.exit_burn_mean_C.mid
    assert abs(found - leaves) <= max(WITHIN * leaves, WITHIN_K), (found, leaves)


@CASES
def test_the_heat_goes_where_it_goes(plan: Path, state: State) -> None:
    """Heat released (0.1 %: the same formula and the same wood), the room's share (1 %), and what
    every patch takes in (1 %, or 0.1 % of the whole: a hundred small ones make up a heater)."""
    pair = both(plan, state)
    day, walls = pair.day, pair.march.heater.walls
    close_to(pair.cycle.released_kWh.mid, day.released_J / 3.6e6, 1e-3, 0.0)
    flows = day.q_J_m2 * pair.march.exchange.area
    room = -sum(flows[i, 1] for i, wall in enumerate(walls) if wall.cold == "room")
    close_to(pair.cycle.to_room_share.mid, room / day.released_J, WITHIN, 0.0)
    for patch in pair.cycle.patches:
        if patch.where != "bearing edge":
            taken = float(flows[wall_of(pair.march, patch), 0]) / 3.6e6
            close_to(patch.heat_in_kWh.mid, taken, WITHIN, 1e-3 * day.released_J / 3.6e6)


@CASES
def test_the_referee_loses_no_heat(plan: Path, state: State) -> None:
    """Released = to the chimney + through outer faces, within 0.1 % (heat.md): the rest is what a
    day that moves no cell by 0.1 K may still store."""
    day, march = both(plan, state).day, both(plan, state).march
    flows = day.q_J_m2 * march.exchange.area
    out = -sum(flows[i, 1] for i, w in enumerate(march.heater.walls) if isinstance(w.cold, str))
    close_to(day.exit_J + float(out), day.released_J, 1e-3, 0.0)


def close_to(found: float, expected: float, relative: float, absolute: float) -> None:
    assert abs(found - expected) <= max(relative * abs(expected), absolute), (found, expected)
