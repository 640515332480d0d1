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
                 if (p.part, p.chamber) == key and p.where != "bearing edge"),
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
    monkeypatch.setattr(cases, "FEWEST_SAMPLES", 2 * cases.FEWEST_SAMPLES)
    assert max(moved(coarse, cycle(PLANS[plan]()), which).values()) <= 1.0


@pytest.mark.parametrize("which", ["hot mean", "cold mean"])
@pytest.mark.parametrize("plan", PLANS)
def test_bands_half_as_high_leave_the_means(
    plan: str, which: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    coarse = cycle(PLANS[plan]())
    monkeypatch.setattr(zones, "BAND_M", 0.5 * zones.BAND_M)
    assert max(moved(coarse, cycle(PLANS[plan]()), which).values()) <= 1.0


@pytest.mark.xfail(
    strict=True,
    reason="peaks at the crown still drift by 2 % with the number of bands, as the exchange "
    "between bands follows their number and not their heights",
)
@pytest.mark.parametrize("plan", PLANS)
def test_bands_half_as_high_leave_the_peaks(plan: str, monkeypatch: pytest.MonkeyPatch) -> None:
    coarse = cycle(PLANS[plan]())
    monkeypatch.setattr(zones, "BAND_M", 0.5 * zones.BAND_M)
    assert max(moved(coarse, cycle(PLANS[plan]()), "hot peak").values()) <= 1.0
