"""What a heater weighs, the heat it holds, and for how many hours it gives heat.

Heat is counted over the room, at the moment when the whole heater holds most, each case at its
own: so the parts add up to the whole.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Iterable

import numpy as np
from numpy.typing import NDArray

from stovelint.build import Build, Layer, Part
from stovelint.catalogue.catalogue import Catalogue
from stovelint.heat.stored import hours_above_share
from stovelint.hotmap.profile import spread
from stovelint.hotmap.records import BodyHeat, CycleHeat, OutputHeat, Spread, Unsolved

Floats = NDArray[np.float64]

USEFUL_SHARE = 0.5
"""Heat is useful until it falls below half of its peak. The half is that of the storage test of
EN 15250, which follows the excess of a surface over the room (second-hand: that there is such a
half was read, the clause was not); that it is taken here for the heat given is judgement."""
J_KWH = 3.6e6


@dataclass(frozen=True, kw_only=True, eq=False)
class Weight:
    """A mass by the range of the density, kg."""

    low: float
    mid: float
    high: float


@dataclass(frozen=True, kw_only=True, eq=False)
class LayerMass:
    """One layer of a part, all its patches together."""

    layer: Layer
    volume_m3: float
    weight_kg: Weight
    held_kWh: Spread | None
    """None: its heat is not reckoned, see `Masses.open`."""


@dataclass(frozen=True, kw_only=True, eq=False)
class PartMass:
    """One part; what is None was not reckoned."""

    part: str
    weight_kg: Weight
    held_kWh: Spread | None
    layers: tuple[LayerMass, ...]


@dataclass(frozen=True, kw_only=True, eq=False)
class Masses:
    """The whole heater in one firing state."""

    parts: tuple[PartMass, ...]
    weight_kg: Weight
    held_kWh: Spread
    """At the fullest."""
    least_kWh: Spread
    """When it holds least."""
    fullest_at_h: Spread
    """From the light of the first load."""
    open: tuple[Unsolved, ...]
    """What is left out of the sums, and why."""


@dataclass(frozen=True, kw_only=True, eq=False)
class Output:
    """Heat given to the room over one cycle."""

    peak_kW: Spread
    mean_kW: Spread
    masonry_peak_kW: Spread
    """Of the faces of masonry alone: doors and glass give heat only while it burns."""
    useful_h: Spread
    """From the light of the first load until what the masonry gives falls below USEFUL_SHARE of
    its peak; the whole cycle where it does not."""
    all_cycle: int
    """In how many cases it does not."""


def masses(build: Build, cycle: CycleHeat, catalogue: Catalogue) -> Masses:
    """Mass of every part by volume and density, and the heat it holds over the cycle.

    Counted is what the plan's parts hold: walls with their corners, caps with their bearing where
    it is drawn, floors inside their walls, hollow units without cores; joints as the units. Not
    counted: burnt-out layers, the soil, surroundings.

    Args:
        build: the plan.
        cycle: one solved firing state of it.
        catalogue: the materials.
    """
    open_: list[Unsolved] = []
    found: list[tuple[Part, list[tuple[Layer, list[BodyHeat], bool]]]] = []
    for part in build.parts.values():
        patches = cycle.of_part(part.name)
        if not patches:
            open_.append(
                Unsolved(
                    path=part.path, subject=part.name, reason="its heat was not computed",
                    remedy="see the open questions",
                )
            )  # fmt: skip
            continue
        layers = []
        for index, layer in enumerate(part.layers):
            if layer.material is None or layer.role == "sacrificial":
                continue
            held = [one for p in patches for one in p.layers if one.layer.path == layer.path]
            why = next((one.unjudged for one in held if one.unjudged is not None), None)
            if why is not None:
                open_.append(
                    Unsolved(
                        path=layer.path, subject=f"{part.name}, layer no. {index + 1}",
                        reason=why, remedy="name a material whose figures reach so far",
                    )
                )  # fmt: skip
            layers.append((layer, [one.body() for one in held], why is None))
        found.append((part, layers))
    return _summed(found, catalogue, open_)


def _summed(
    found: list[tuple[Part, list[tuple[Layer, list[BodyHeat], bool]]]], catalogue: Catalogue,
    open_: list[Unsolved],
) -> Masses:  # fmt: skip
    bodies = [b for _, layers in found for _, group, known in layers if known for b in group]
    runs = len(bodies[0].held_J) if bodies else 0
    totals = [_held_kWh(bodies, run) for run in range(runs)]
    at = [total.argmax(axis=1) for total in totals]
    rows = np.arange(totals[0].shape[0]) if totals else np.arange(0)

    def fullest(group: list[BodyHeat]) -> Spread:
        return spread([_held_kWh(group, run)[rows, at[run]] for run in range(runs)])

    parts = []
    for part, layers in found:
        told = [
            LayerMass(
                layer=layer, volume_m3=sum(b.volume_m3 for b in group),
                weight_kg=_weight(layer, group, catalogue),
                held_kWh=fullest(group) if known and group else None,
            )
            for layer, group, known in layers
        ]  # fmt: skip
        whole = [b for _, group, known in layers if known for b in group]
        parts.append(
            PartMass(
                part=part.name, weight_kg=_added(one.weight_kg for one in told), layers=tuple(told),
                held_kWh=fullest(whole) if whole else None,
            )
        )  # fmt: skip
    none = np.zeros(1)
    hours = [a * (bodies[0].period_s / 3600.0 / t.shape[1]) for a, t in zip(at, totals)]
    return Masses(
        parts=tuple(parts), weight_kg=_added(p.weight_kg for p in parts),
        held_kWh=spread([t[rows, a] for t, a in zip(totals, at)] or [none]),
        least_kWh=spread([t.min(axis=1) for t in totals] or [none]),
        fullest_at_h=spread(hours or [none]), open=tuple(open_),
    )


def _held_kWh(bodies: list[BodyHeat], run: int) -> Floats:
    return np.asarray(sum(b.held_J[run] for b in bodies) / J_KWH)


def _weight(layer: Layer, group: list[BodyHeat], catalogue: Catalogue) -> Weight:
    assert layer.material is not None  # gaps were left out
    density = catalogue.get(layer.material).density_kg_m3
    volume = sum(b.volume_m3 for b in group)
    low, mid, high = (volume * x for x in (density.low, density.typical, density.high))
    return Weight(low=low, mid=mid, high=high)


def _added(weights: Iterable[Weight]) -> Weight:
    every = list(weights)
    return Weight(
        low=sum(w.low for w in every), mid=sum(w.mid for w in every),
        high=sum(w.high for w in every),
    )  # fmt: skip


def output(cycle: CycleHeat) -> Output:
    """Peak and mean of the heat given to the room, and for how long it is useful."""
    runs: tuple[OutputHeat, ...] = cycle.output()
    whole = [run.masonry_W + run.openings_W for run in runs]
    hours = [hours_above_share(run.masonry_W, cycle.period_s, USEFUL_SHARE) for run in runs]
    useful = spread(hours)
    return Output(
        peak_kW=spread([w.max(axis=1) / 1e3 for w in whole]),
        mean_kW=spread([w.mean(axis=1) / 1e3 for w in whole]),
        masonry_peak_kW=spread([run.masonry_W.max(axis=1) / 1e3 for run in runs]),
        useful_h=useful,
        all_cycle=int(np.count_nonzero(useful.floor >= cycle.period_s / 3600.0)),
    )  # fmt: skip
