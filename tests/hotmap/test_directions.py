"""What more of something must never do: directions that hold for any heater, on two plans.

Every comparison is strict up to SETTLED: a solution ends when no face moves by more than 0.1 K
in a pass, so that two solutions may each lie that far from their ends.
"""

from __future__ import annotations

from functools import cache
from typing import Callable

import numpy as np
import pytest

from stovelint.hotmap.records import CycleHeat, LayerHeat, PatchHeat
from tests.hotmap.plans import Tree, cycle, demo, inserted, patch, plain, with_

SETTLED = 0.2
BLANKET = "ceramic-fibre-blanket-128"
CAP_LAYERS = ("parts", "bell-cap", "layers")
PLANS: dict[str, Callable[[], Tree]] = {"demo": demo, "plain": plain}


def places(layer: LayerHeat) -> dict[str, float]:
    """Peaks and means through a layer."""
    depths = {"hot": layer.hot, "zone": layer.hot_zone, "middle": layer.middle, "cold": layer.cold}
    found = {f"{name} peak": depth.peak_C.mid for name, depth in depths.items()}
    return found | {f"{name} mean": depth.mean_C.mid for name, depth in depths.items()}


def everything(heat: CycleHeat) -> dict[tuple[str, str, int, str], float]:
    return {
        (one.part, f"{one.chamber} {one.where}", number, name): value
        for one in heat.patches
        for number, layer in enumerate(one.layers)
        for name, value in places(layer).items()
    }


# -- more insulation under a cap ----------------------------------------------------------------


@cache
def under_blanket(plan: str, thickness_mm: float) -> CycleHeat:
    tree = PLANS[plan]()
    slab = tree["parts"]["bell-cap"]["layers"][-1]
    tree = with_(tree, (CAP_LAYERS, [slab]), (("parts", "bell-cap", "bearing"), "100 mm"))
    if thickness_mm:
        blanket = {"material": BLANKET, "thickness": f"{thickness_mm:g} mm"}
        tree = inserted(tree, (*CAP_LAYERS, 0), blanket)
    return cycle(tree)


BLANKETS_MM = (0.0, 6.0, 12.7, 25.0, 50.0, 100.0)


@pytest.mark.parametrize("plan", PLANS)
def test_more_insulation_never_heats_the_caps_span(plan: str) -> None:
    slabs = [patch(under_blanket(plan, mm), "bell-cap", "span").layers[-1] for mm in BLANKETS_MM]
    for less, more in zip(slabs, slabs[1:]):
        for name, value in places(more).items():
            assert value <= places(less)[name] + SETTLED, name


@pytest.mark.parametrize(("plan", "wall"), [("demo", "bell-wall-high"), ("plain", "bell-wall")])
def test_more_insulation_never_cools_the_top_course(plan: str, wall: str) -> None:
    """The heat that the cap no longer takes goes elsewhere."""
    tops = [max(under_blanket(plan, mm).of_part(wall), key=lambda p: p.to_m) for mm in BLANKETS_MM]
    for less, more in zip(tops, tops[1:]):
        for one, other in zip(less.layers, more.layers):
            for name, value in places(other).items():
                assert value >= places(one)[name] - SETTLED, name
    first, last = (places(top.layers[0])["hot mean"] for top in (tops[0], tops[-1]))
    assert last > first + 5.0  # and it is no small matter: heat.md has 14 K in the mean


# -- thicker walls ------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("part", "layer", "sizes_mm"),
    [
        ("bell-wall-high", 2, (60, 102, 150, 200)), ("bell-wall-low", 0, (140, 190, 240, 290)),
        ("bench-wall", 0, (60, 102, 150, 200)), ("firebox-front", 2, (60, 102, 150)),
        ("bench-top", 0, (30, 50, 80, 120)), ("bell-cap", 0, (60, 80, 100, 150)),
    ],
)  # fmt: skip
def test_a_thicker_wall_never_heats_its_skin(
    part: str, layer: int, sizes_mm: tuple[int, ...]
) -> None:
    at = ("parts", part, "layers", layer, "thickness")
    skins: list[list[tuple[float, float]]] = []
    for mm in sizes_mm:
        heat = cycle(with_(demo(), (at, f"{mm} mm")))
        skins.append([
            (p.layers[-1].cold.peak_C.mid, p.layers[-1].cold.mean_C.mid)
            for p in heat.of_part(part) if p.where != "bearing edge"
        ])  # fmt: skip
    for thin, thick in zip(skins, skins[1:]):
        assert np.all(np.array(thick) <= np.array(thin) + SETTLED)


# -- more fuel ----------------------------------------------------------------------------------


@pytest.mark.parametrize("plan", PLANS)
def test_more_fuel_with_its_air_never_cools_a_part(plan: str) -> None:
    """Charge alone is set; the air follows it (tests of the cases hold that)."""
    at = ("firing", "usual", "charge")
    heats = [everything(cycle(with_(PLANS[plan](), (at, f"{kg} kg")))) for kg in (5, 8, 10, 13)]
    for less, more in zip(heats, heats[1:]):
        assert less.keys() == more.keys()
        cooled = {key: more[key] - less[key] for key in less if more[key] < less[key] - SETTLED}
        assert not cooled


def test_firing_more_often_never_cools_a_mean() -> None:
    """Peaks move by half as much (heat.md: 40 K in the means, 19 K in the peaks)."""
    at = ("firing", "usual", "every")
    often, seldom = (everything(cycle(with_(plain(), (at, every)))) for every in ("12 h", "24 h"))
    means = {key for key in often if key[3].endswith("mean") and key[0].startswith("bell-wall")}
    assert means and all(often[key] > seldom[key] for key in means)
    hot = [key for key in means if key[3] == "hot mean"]
    for key in hot:
        peak = (*key[:3], "hot peak")
        fall_of_peak, fall_of_mean = often[peak] - seldom[peak], often[key] - seldom[key]
        assert 0.0 < fall_of_peak < 1.5 * fall_of_mean


# -- the empty bell -----------------------------------------------------------------------------


def bands(heat: CycleHeat, part: str) -> list[PatchHeat]:
    return sorted(heat.of_part(part), key=lambda p: p.from_m)


@pytest.mark.parametrize("damper", ["tight", "open"])
@pytest.mark.parametrize("height", ["1.2 m", "1.8 m", "2.4 m"])
def test_a_higher_band_of_an_empty_bell_is_never_cooler(damper: str, height: str) -> None:
    crown = f"{float(height[:-2]) - 0.05:g} m"
    tree = with_(
        plain(), (("firing", "damper"), {"after_burn": damper}),
        (("chambers", "bell", "size", "height"), height),
        (("chambers", "firebox", "leads_to"), {"bell": {"area": "250 cm2", "at": crown}}),
    )  # fmt: skip
    walls = bands(cycle(tree, members=8), "bell-wall")
    for low, high in zip(walls, walls[1:]):
        for a, b in ((low.layers[0].hot, high.layers[0].hot),
                     (low.layers[0].cold, high.layers[0].cold)):  # fmt: skip
            assert np.all(b.peak_C.values >= a.peak_C.values - SETTLED)
    # Between fires the insulated floor keeps the lowest band warm: there the mean may turn by
    # less than a kelvin, which a band that sees no floor may not.
    hot = [wall.layers[0].hot.mean_C.values for wall in walls]
    for number, (one, other) in enumerate(zip(hot, hot[1:])):
        assert np.all(other >= one - (1.0 if number == 0 else SETTLED))


# -- the ensemble -------------------------------------------------------------------------------


def test_cases_are_no_factor_on_the_results() -> None:
    """Ranks between parts change from case to case, which no common factor can do."""
    heat = cycle(demo(), members=32)
    rises = np.array([p.layers[0].hot.peak_C.values - 20.0 for p in heat.patches])
    ranks = np.argsort(np.argsort(rises, axis=0), axis=0)
    moved = (ranks != ranks[:, :1]).any(axis=1)
    assert moved.sum() > len(ranks) / 2
    # nor do all places move together: some are hottest in one case, others in another
    assert len(set(rises.argmax(axis=1))) > 3
    # and the cases differ between places by different amounts
    spreads = rises.max(axis=1) / rises.min(axis=1)
    assert spreads.max() > 1.3 * spreads.min()


def test_every_range_holds_its_middle() -> None:
    for one in cycle(demo(), members=32).patches:
        for layer in one.layers:
            for depth in (layer.hot, layer.middle, layer.cold):
                assert depth.peak_C.low < depth.peak_C.mid < depth.peak_C.high
                assert np.all(depth.mean_C.values <= depth.peak_C.values)
                assert np.all(depth.swing_K.values >= 0.0)
