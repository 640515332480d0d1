"""A build cut up into gas zones, patches and ways, before any firing; what was taken for granted."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Sequence

from stovelint.build import Build, FiringState, Part, Surrounding
from stovelint.catalogue.catalogue import Catalogue
from stovelint.hotmap.cases import LONGEST_PERIOD_S
from stovelint.hotmap.channels import assumed
from stovelint.hotmap.cutter import cut_parts
from stovelint.hotmap.patches import Patch
from stovelint.hotmap.records import Unsolved
from stovelint.hotmap.ways import GasWays, gas_ways
from stovelint.hotmap.zones import Room, rooms


@dataclass(frozen=True, kw_only=True, eq=False)
class Plan:
    """A build cut up, before any firing."""

    build: Build
    catalogue: Catalogue
    rooms: dict[str, Room]
    patches: tuple[Patch, ...]
    ways: GasWays
    unsolved: tuple[Unsolved, ...]


def cut(build: Build, catalogue: Catalogue) -> Plan:
    """Zones, patches and ways of a build. Its materials must exist (checked before)."""
    chambers = rooms(build)
    owners: tuple[Part | Surrounding, ...] = (
        *build.parts.values(), *build.surroundings.values(),
    )  # fmt: skip
    families = {
        layer.material: catalogue.get(layer.material).family
        for owner in owners for layer in owner.layers if layer.material
    }
    cutting = cut_parts(build, chambers, families)
    ways = gas_ways(build, chambers)
    return Plan(
        build=build, catalogue=catalogue, rooms=chambers, patches=tuple(cutting.patches), ways=ways,
        unsolved=(*ways.unsolved, *cutting.unsolved),
    )  # fmt: skip


def assumptions(plan: Plan, states: Sequence[FiringState]) -> tuple[str, ...]:
    sentences = []
    build = plan.build
    for state in states:
        firing = build.firings[state]
        if firing.assumed:
            sentences.append(
                f"firing {state} is not given: {firing.loads} x {firing.charge_kg:.3g} kg every "
                f"{firing.every_s / 3600:g} h is assumed"
            )
        if firing.every_s > LONGEST_PERIOD_S:
            sentences.append(
                f"firing {state} is computed {LONGEST_PERIOD_S / 3600:g} h apart, by when the "
                "heater is cold; its means over the longer interval are lower still"
            )
    sentences += assumed(plan.patches)
    if build.damper.after_burn is None:
        sentences.append(
            "the damper after the burn is not given: shut and open were both computed, and each "
            "range spans both"
        )
    return tuple(sentences)
