"""What more of something must never do, for heaters drawn by chance and for the demo plan.

Every comparison is strict up to SETTLED: a solution ends when no face moves by more than 0.1 K
in a pass, so that two solutions may each lie that far from their ends.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from typing import Iterable

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from stovelint.heat.network import Duct, Network
from stovelint.heat.periodic import solve
from stovelint.hotmap.assembly import network
from stovelint.hotmap.cases import after_burn_shares, drive, places as places_of_cases
from stovelint.hotmap.cutplan import cut
from stovelint.hotmap.properties import Properties
from stovelint.hotmap.records import CycleHeat, LayerHeat, PatchHeat
from tests.hotmap.drawn import BLANKETS, few, heaters, sizes
from tests.hotmap.plans import CATALOGUE, Tree, built, cycle, demo, inserted, patch, plain, with_

SETTLED = 0.2
BLANKET = "ceramic-fibre-blanket-128"
CAP_LAYERS = ("parts", "bell-cap", "layers")


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


def falls(before: Iterable[LayerHeat], after: Iterable[LayerHeat]) -> dict[str, float]:
    """By how much what was computed after lies below what was computed before, where it does."""
    pairs = zip(before, after, strict=True)
    return {
        f"layer {number} {name}": places(one)[name] - value
        for number, (one, other) in enumerate(pairs)
        for name, value in places(other).items() if value < places(one)[name] - SETTLED
    }  # fmt: skip


def topmost(heat: CycleHeat, part: str) -> PatchHeat:
    return max(heat.of_part(part), key=lambda one: one.to_m)


def bands(heat: CycleHeat, part: str) -> list[PatchHeat]:
    return sorted(heat.of_part(part), key=lambda one: one.from_m)


# -- more fuel ----------------------------------------------------------------------------------


def cooled(tree: Tree, charges_kg: Iterable[float]) -> dict[tuple[str, str, int, str], float]:
    """Where any larger charge leaves a place cooler than the one before, and by how much."""
    at = ("firing", "usual", "charge")
    heats = [everything(cycle(with_(tree, (at, f"{kg:g} kg")))) for kg in charges_kg]
    found: dict[tuple[str, str, int, str], float] = {}
    for less, more in zip(heats, heats[1:]):
        assert less.keys() == more.keys()
        found |= {key: less[key] - more[key] for key in less if more[key] < less[key] - SETTLED}
    return found


@few
@given(heaters(), st.floats(1.05, 2.0))
def test_more_fuel_with_its_air_never_cools_a_part(tree: Tree, factor: float) -> None:
    """Charge alone is set; the air follows it (tests of the cases hold that)."""
    kg = float(tree["firing"]["usual"]["charge"].removesuffix(" kg"))
    assert not cooled(tree, (kg, round(factor * kg, 3)))


def test_more_fuel_never_cools_a_part_of_the_demo_plan() -> None:
    assert not cooled(demo(), (5, 8, 10, 13))


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


# -- more insulation under a cap ----------------------------------------------------------------


def under(tree: Tree, blanket: str, thickness_mm: float) -> CycleHeat:
    """The heater with so much more blanket on the hot side of its cap; none for 0."""
    if not thickness_mm:
        return cycle(tree)
    layer = {"material": blanket, "thickness": f"{thickness_mm:g} mm"}
    return cycle(inserted(tree, (*CAP_LAYERS, 0), layer))


@few
@given(heaters(), st.sampled_from(BLANKETS), sizes(0, 100))
def test_more_insulation_cools_the_caps_span_and_never_the_top_course(
    tree: Tree, blanket: str, sizes_mm: tuple[int, int]
) -> None:
    """The heat that the cap no longer takes goes elsewhere."""
    less, more = (under(tree, blanket, mm) for mm in sizes_mm)
    spans = [patch(heat, "bell-cap", "span").layers[-1:] for heat in (more, less)]
    assert not falls(*spans)
    courses = [topmost(heat, "bell-wall").layers for heat in (less, more)]
    assert not falls(*courses)


@cache
def demo_under(thickness_mm: float) -> CycleHeat:
    tree = demo()
    slab = tree["parts"]["bell-cap"]["layers"][-1]
    tree = with_(tree, (CAP_LAYERS, [slab]), (("parts", "bell-cap", "bearing"), "100 mm"))
    return under(tree, BLANKET, thickness_mm)


def test_insulation_under_the_cap_of_the_demo_plan() -> None:
    heats = [demo_under(mm) for mm in (0.0, 6.0, 12.7, 25.0, 50.0, 100.0)]
    for less, more in zip(heats, heats[1:]):
        spans = [patch(heat, "bell-cap", "span").layers[-1:] for heat in (more, less)]
        assert not falls(*spans)
        assert not falls(*(topmost(heat, "bell-wall-high").layers for heat in (less, more)))
    bare, covered = (places(topmost(h, "bell-wall-high").layers[0]) for h in (heats[0], heats[-1]))
    assert covered["hot mean"] > bare["hot mean"] + 5.0  # no small matter: heat.md has 14 K


# -- thicker walls ------------------------------------------------------------------------------


def skins(tree: Tree, part: str) -> list[tuple[float, float]]:
    """Peak and mean of the outer face of a part, patch by patch, its bearing edge left out."""
    return [
        (p.layers[-1].cold.peak_C.mid, p.layers[-1].cold.mean_C.mid)
        for p in cycle(tree).of_part(part) if p.where != "bearing edge"
    ]  # fmt: skip


def assert_no_warmer(thin: list[tuple[float, float]], thick: list[tuple[float, float]]) -> None:
    assert len(thin) == len(thick) > 0
    assert np.all(np.array(thick) <= np.array(thin) + SETTLED)


@few
@given(heaters(), st.sampled_from(("bell-wall", "bell-cap", "firebox-wall")), sizes(50, 250, 10))
def test_a_thicker_wall_never_heats_its_skin(
    tree: Tree, part: str, sizes_mm: tuple[int, int]
) -> None:
    # The outer face of a core that stands in a bell is no skin: the bell's gas heats it.
    assume(tree["parts"][part]["faces"] == "room")
    tree = with_(tree, (("parts", part, "layers"), tree["parts"][part]["layers"][:1]))
    at = ("parts", part, "layers", 0, "thickness")
    thin, thick = (skins(with_(tree, (at, f"{mm} mm")), part) for mm in sizes_mm)
    assert_no_warmer(thin, thick)


@pytest.mark.parametrize(
    ("part", "layer", "sizes_mm"),
    [
        ("bell-wall-high", 2, (60, 102, 200)), ("bell-wall-low", 0, (140, 190, 290)),
        ("bench-wall", 0, (60, 102, 200)), ("firebox-front", 2, (60, 102, 150)),
        ("bench-top", 0, (30, 50, 120)), ("bell-cap", 0, (60, 100, 150)),
    ],
)  # fmt: skip
def test_a_thicker_wall_of_the_demo_plan_never_heats_its_skin(
    part: str, layer: int, sizes_mm: tuple[int, ...]
) -> None:
    at = ("parts", part, "layers", layer, "thickness")
    found = [skins(with_(demo(), (at, f"{mm} mm")), part) for mm in sizes_mm]
    for thin, thick in zip(found, found[1:]):
        assert_no_warmer(thin, thick)


# -- the empty bell -----------------------------------------------------------------------------


LIGHT = {"material": "calcium-silicate-insulation", "thickness": "40 mm"}


@few
@given(heaters(empty=True, tall=True), st.booleans())
def test_a_higher_band_of_an_empty_bell_is_never_cooler(tree: Tree, light: bool) -> None:
    """Peaks never. Means neither, where the floor holds no heat; a floor of brick over insulation
    gives its heat back to the lowest band between fires (by 1.2 K in one heater that was drawn),
    so there the lowest band is compared by its peak alone."""
    if light:
        tree = inserted(tree, ("parts", "base", "layers", 0), LIGHT)
    walls = bands(cycle(tree), "bell-wall")
    assert len(walls) >= 4
    for number, (low, high) in enumerate(zip(walls, walls[1:])):
        for a, b in ((low.layers[0].hot, high.layers[0].hot),
                     (low.layers[-1].cold, high.layers[-1].cold)):  # fmt: skip
            assert b.peak_C.mid >= a.peak_C.mid - SETTLED
            if light or number:
                assert b.mean_C.mid >= a.mean_C.mid - SETTLED


@pytest.mark.parametrize("damper", ["tight", "open"])
def test_a_higher_band_is_never_cooler_in_any_case(damper: str) -> None:
    tree = with_(plain(), (("firing", "damper"), {"after_burn": damper}))
    walls = bands(cycle(tree, members=32), "bell-wall")
    for low, high in zip(walls, walls[1:]):
        for a, b in ((low.layers[0].hot, high.layers[0].hot),
                     (low.layers[0].cold, high.layers[0].cold)):  # fmt: skip
            assert np.all(b.peak_C.values >= a.peak_C.values - SETTLED)


# -- two heaters side by side -------------------------------------------------------------------


def doubled(net: Network) -> Network:
    """Two identical heaters side by side, as one: every area of walls and ducts twice as large.

    Beam lengths, heights, hydraulic diameters and what bands see of each other stay.
    """
    ducts = tuple(
        None if one is None else Duct(
            area_m2=2.0 * one.area_m2, hydraulic_diameter_m=one.hydraulic_diameter_m
        )
        for one in net.zone_duct
    )  # fmt: skip
    return replace(net, face_area_m2=2.0 * net.face_area_m2, zone_duct=ducts)


@few
@given(heaters())
def test_two_identical_heaters_side_by_side_are_as_hot_as_one(tree: Tree) -> None:
    build = built(tree)
    plan, at = cut(build, CATALOGUE), places_of_cases(1)
    net = network(
        plan.rooms, plan.patches, plan.ways, Properties(plan.patches, CATALOGUE, at), CATALOGUE, at
    )
    (share,) = after_burn_shares(build)
    fire = drive(build, build.firings["usual"], at, share, plan.ways.has_riser)
    twice = replace(fire, heat_W=2.0 * fire.heat_W, flow_kg_s=2.0 * fire.flow_kg_s)
    one, two = solve(net, fire), solve(doubled(net), twice)
    assert one.converged and two.converged and one.passes == two.passes
    # the same passes with the same numbers doubled: rounding, amplified
    assert np.abs(one.state.faces_C - two.state.faces_C).max() < 0.01
    assert np.abs(two.gas.exit_W - 2.0 * one.gas.exit_W).max() < 1e-3 * one.gas.exit_W.max()


# -- the ensemble -------------------------------------------------------------------------------


@cache
def demo_in_all_cases() -> CycleHeat:
    return cycle(demo(), members=32)


def test_cases_are_no_factor_on_the_results() -> None:
    """Ranks between parts change from case to case, which no common factor can do."""
    heat = demo_in_all_cases()
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
    for one in demo_in_all_cases().patches:
        for layer in one.layers:
            for depth in (layer.hot, layer.middle, layer.cold):
                assert depth.peak_C.low < depth.peak_C.mid < depth.peak_C.high
                assert np.all(depth.mean_C.values <= depth.peak_C.values)
                assert np.all(depth.swing_K.values >= 0.0)
