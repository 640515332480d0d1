"""Twice the samples, bands half as high: what is compared at equal heights must hardly move.

heat.md: less than 1 K or 1 %. The crown cell keeps its height, so cap and top course compare
place by place; between them values are read at the heights of the coarser bands.
"""

from __future__ import annotations

from typing import Callable

import numpy as np
import pytest
from numpy.typing import NDArray

from stovelint.hotmap import cases, zones
from stovelint.hotmap.records import CycleHeat, PatchHeat
from tests.hotmap.plans import Tree, cycle, demo, plain, stretch_m

Floats = NDArray[np.float64]

PLANS: dict[str, Callable[[], Tree]] = {"demo": demo, "plain": plain}
SLIVER_M = 0.1
"""Where a piece of a riser ends just above a band's edge, a wall is cut into a sliver. It carries
the value of a band whose middle lies elsewhere, so it cannot be read at its own height."""
VALUES: dict[str, Callable[[PatchHeat], float]] = {
    "hot peak": lambda p: p.layers[0].hot_zone.peak_C.mid,
    "hot mean": lambda p: p.layers[0].hot.mean_C.mid,
    "cold peak": lambda p: p.layers[-1].cold.peak_C.mid,
    "cold mean": lambda p: p.layers[-1].cold.mean_C.mid,
}


def moved(coarse: CycleHeat, fine: CycleHeat, which: str) -> dict[tuple[str, str], float]:
    """Largest change of a value per part and chamber, as a share of what may be: 1 K or 1 %."""
    found = {}
    for key in {(p.part, p.chamber) for p in coarse.patches if p.where != "bearing edge"}:
        heights: list[Floats] = []
        values: list[Floats] = []
        for heat in (coarse, fine):
            own = sorted(
                (p for p in heat.patches
                 if (p.part, p.chamber) == key and p.where != "bearing edge"
                 and not 0.0 < p.to_m - p.from_m < SLIVER_M),
                key=stretch_m,
            )  # fmt: skip
            heights.append(np.array([0.5 * sum(stretch_m(p)) for p in own]))
            values.append(np.array([VALUES[which](p) for p in own]))
        read = np.interp(heights[0], heights[1], values[1])
        allowed = np.maximum(1.0, 0.01 * values[0])
        found[key] = float((np.abs(read - values[0]) / allowed).max())
    return found


@pytest.mark.parametrize("which", VALUES)
@pytest.mark.parametrize("plan", PLANS)
def test_twice_the_samples_change_nothing(
    plan: str, which: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    coarse = cycle(PLANS[plan]())
    monkeypatch.setattr(cases, "SAMPLES_IN_BURN", 2 * cases.SAMPLES_IN_BURN)
    monkeypatch.setattr(cases, "SAMPLES_IN_LOAD", 2 * cases.SAMPLES_IN_LOAD)
    monkeypatch.setattr(cases, "FEWEST_SAMPLES", 2 * cases.FEWEST_SAMPLES)
    assert max(moved(coarse, cycle(PLANS[plan]()), which).values()) <= 1.0


def without_bench() -> Tree:
    """The demo plan's bell alone. A two-way opening takes from the one band at its middle, and
    that band's own middle moves when it is halved: what it feeds has no equal height."""
    tree = demo()
    return {
        **tree,
        "chambers": {k: v for k, v in tree["chambers"].items() if k != "bench"},
        "parts": {k: v for k, v in tree["parts"].items() if not k.startswith("bench")},
    }


BELLS: dict[str, Callable[[], Tree]] = {"demo": without_bench, "plain": plain}


@pytest.mark.parametrize("which", VALUES)
@pytest.mark.parametrize("plan", BELLS)
def test_bands_half_as_high_change_nothing(
    plan: str, which: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Floors and roofs below the crown see a band from its edge but take the mean of the whole
    band, whose middle comes nearer when the band is halved: they are not compared at equal
    heights, and may move by twice as much (2 K or 2 %)."""
    coarse = cycle(BELLS[plan]())
    monkeypatch.setattr(zones, "BAND_M", 0.5 * zones.BAND_M)
    change = moved(coarse, cycle(BELLS[plan]()), which)
    edgewise = {"bell-base", "firebox-roof", "base"}
    assert max(value for (part, _), value in change.items() if part not in edgewise) <= 1.0
    assert max(value for (part, _), value in change.items() if part in edgewise) <= 2.0
