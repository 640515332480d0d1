"""What moves the hottest place of a part: each uncertain input alone, at its low and high value."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from stovelint.build import Build, FiringState
from stovelint.catalogue.catalogue import Catalogue
from stovelint.errors import HeatError
from stovelint.hotmap.cases import FAMILIES, INPUTS, after_burn_shares, places
from stovelint.hotmap.compute import Solver
from stovelint.hotmap.cutplan import cut
from stovelint.hotmap.layerheat import judged_depth
from stovelint.hotmap.records import CycleHeat, DepthHeat, HotMap, LayerHeat, PatchHeat, Spread

Floats = NDArray[np.float64]

SHUT_OR_OPEN = "after_burn"
"""The damper after the burn, where the plan does not say: shut (low) or open (high)."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Influence:
    """One input moved alone, all others at their middle: what it does to a peak."""

    name: str
    """Of `cases.INPUTS`; `k:` and a class for its conductivity; or `SHUT_OR_OPEN`."""
    materials: tuple[str, ...]
    """For a conductivity: the materials of that class in the heater, in order."""
    low_K: float
    high_K: float
    """Change of the peak with the input at its low and at its high value, K."""

    @property
    def reach_K(self) -> float:
        """How far the peak moves between low, middle and high."""
        return max(self.low_K, 0.0, self.high_K) - min(self.low_K, 0.0, self.high_K)

    @property
    def variance_K2(self) -> float:
        """Variance of the peak, the input anywhere in its range, the peak following straight
        between low, middle and high: (a^2 + b^2)/6 - (a + b)^2/16 with a, b the two changes. The
        damper knows two states only, so its variance is ((b - a)/2)^2."""
        a, b = self.low_K, self.high_K
        if self.name == SHUT_OR_OPEN:
            return (b - a) ** 2 / 4.0
        return (a * a + b * b) / 6.0 - (a + b) ** 2 / 16.0


@dataclass(frozen=True, kw_only=True, eq=False)
class Influenced:
    """The hottest place of a part in one firing state, and what moves its peak."""

    patch: PatchHeat
    layer: LayerHeat
    depth: DepthHeat
    """Over the usual cases: peak and mean, with their range."""
    influences: tuple[Influence, ...]
    """The strongest first."""

    @property
    def alone_K(self) -> float:
        """Standard deviation of the peak that the inputs make one by one, added as independent."""
        return math.sqrt(sum(one.variance_K2 for one in self.influences))

    @property
    def together_K(self) -> float:
        """Standard deviation of the peak over the usual cases, in which all inputs move."""
        return _deviation_K(self.depth.peak_C)


def _deviation_K(peak_C: Spread) -> float:
    return float(np.concatenate([peak_C.values, peak_C.floor]).std())


def conductivities(build: Build, catalogue: Catalogue) -> dict[str, tuple[str, ...]]:
    """The inputs `k:CLASS` that act in a heater, each with its materials in order of name."""
    found: dict[str, set[str]] = {}
    for patch in cut(build, catalogue).patches:
        for leaf in patch.leaves:
            if leaf.material:
                family = catalogue.get(leaf.material).family
                known = family if family in FAMILIES else "other"
                found.setdefault(f"k:{known}", set()).add(leaf.material)
    return {name: tuple(sorted(found[name])) for name in sorted(found)}


def one_at_a_time(names: Sequence[str]) -> dict[str, Floats]:
    """Places of the cases: the middle, then for every name its low and its high value.

    Args:
        names: n of the inputs that `cases.places` knows.

    Returns the place of every input, (1 + 2 n,): 0 low, 0.5 middle, 1 high.
    """
    at = {name: np.full(1 + 2 * len(names), 0.5) for name in places(1)}
    for index, name in enumerate(names):
        at[name][1 + 2 * index] = 0.0
        at[name][2 + 2 * index] = 1.0
    return at


def influences(
    build: Build, hot: HotMap, catalogue: Catalogue, part: str,
    *, inputs: Sequence[str] | None = None,
) -> Mapping[FiringState, Influenced]:  # fmt: skip
    """What moves the peak at the hottest place of a part, input by input.

    The place is the patch and layer whose middle peak is the highest over the usual cases, at the
    depth at which the layer is judged. All cases are solved in one batch, so each difference is
    exact to what the search leaves open (0.1 K on a face). Effects that only two inputs together
    have are not seen; `Influenced.alone_K` beside `together_K` shows how much they matter.

    Args:
        build: the plan.
        hot: its heat over the usual cases; its firing states are looked at.
        catalogue: the materials.
        part: name of a part of the plan.
        inputs: only these inputs; None: all, with the classes of material that the heater has.

    Returns one record per firing state in which a layer of the part is judged.

    Raises:
        HeatError: a state does not settle.
    """
    of_class = conductivities(build, catalogue)
    names = [item.name for item in INPUTS] + list(of_class) if inputs is None else list(inputs)
    states = tuple(hot.cycles)
    solved = [
        Solver(catalogue, states=states, at=one_at_a_time(names))(end) for end in _ends(build)
    ]
    for case in (case for one in solved for case in one.unsolved if case.state is not None):
        raise HeatError(case.reason, case.remedy, case.path)
    result: dict[FiringState, Influenced] = {}
    for state in states:
        place = _hottest(hot.cycles[state], part, catalogue)
        if place is None:
            continue
        # (damper's ends, cases)
        peaks = np.array([_depth(one.cycles[state], part, place, catalogue).peak_C.values
                          for one in solved])  # fmt: skip
        patch = hot.cycles[state].of_part(part)[place[0]]
        result[state] = Influenced(
            patch=patch, layer=patch.layers[place[1]],
            depth=_depth(hot.cycles[state], part, place, catalogue),
            influences=_ordered(names, of_class, peaks, asked=inputs is not None),
        )  # fmt: skip
    return result


def _ends(build: Build) -> list[Build]:
    """The plan with its damper; where nothing is said of it, shut and open."""
    if len(after_burn_shares(build)) == 1:
        return [build]
    return [
        replace(build, damper=replace(build.damper, after_burn=end)) for end in ("tight", "open")
    ]


def _ordered(
    names: Sequence[str], of_class: Mapping[str, tuple[str, ...]], peaks: Floats, *, asked: bool
) -> tuple[Influence, ...]:
    """The strongest first. `peaks`, (damper's ends, cases), degC; inputs count at the mean of the
    two ends, and the ends by how far they lie from it."""
    mean = peaks.mean(axis=0)
    change = mean - mean[0]
    found = [
        Influence(
            name=name, materials=of_class.get(name, ()),
            low_K=float(change[1 + 2 * i]), high_K=float(change[2 + 2 * i]),
        )
        for i, name in enumerate(names)
    ]  # fmt: skip
    if len(peaks) == 2 and not asked:
        half = float(peaks[1, 0] - peaks[0, 0]) / 2.0
        found.append(Influence(name=SHUT_OR_OPEN, materials=(), low_K=-half, high_K=half))
    return tuple(sorted(found, key=lambda one: (-one.variance_K2, one.name)))


def _hottest(cycle: CycleHeat, part: str, catalogue: Catalogue) -> tuple[int, int] | None:
    """Patch of the part and layer in it that are the hottest; None when nothing is judged."""
    best: tuple[float, tuple[int, int]] | None = None
    for i, patch in enumerate(cycle.of_part(part)):
        for j, layer in enumerate(patch.layers):
            if layer.unjudged is None:
                peak = judged_depth(layer, catalogue).peak_C.mid
                if best is None or peak > best[0]:
                    best = (peak, (i, j))
    return None if best is None else best[1]


def _depth(
    cycle: CycleHeat, part: str, place: tuple[int, int], catalogue: Catalogue
) -> DepthHeat:
    return judged_depth(cycle.of_part(part)[place[0]].layers[place[1]], catalogue)
