"""A builder's moves on the demo plan: each does what it is made for."""

from __future__ import annotations

import numpy as np
import pytest

from stovelint.hotmap.records import CombustibleHeat, CycleHeat, PatchHeat
from tests.hotmap.plans import Tree, cycle, demo, inserted, patch, with_

SETTLED = 0.2
"""Two solutions may each lie a pass's 0.1 K from their ends."""
MEMBERS = 4


def top_of(heat: CycleHeat, part: str) -> PatchHeat:
    return max(heat.of_part(part), key=lambda p: p.to_m)


def block_to(course: int) -> Tree:
    """Block up to a course, brick of the same wall above it."""
    low, high = ("parts", "bell-wall-low"), ("parts", "bell-wall-high")
    return with_(
        demo(), ((*low, "courses"), f"block 1-{course}"), ((*low, "area"), None),
        ((*high, "courses"), None), ((*high, "from"), f"{200 * course} mm"),
    )  # fmt: skip


def test_block_carried_higher_gets_hotter_course_by_course() -> None:
    """The highest block's hot zone: at every course in the middle case, and from course 3 on in
    every case. Lower down, where the gas of a well mixed bell is even, more block only takes more
    of the heat, and the peak may stay or fall by a kelvin."""
    tops = [
        top_of(cycle(block_to(course), members=MEMBERS), "bell-wall-low").layers[0].hot_zone.peak_C
        for course in range(1, 8)
    ]
    for course, (lower, higher) in enumerate(zip(tops, tops[1:]), start=1):
        assert higher.mid >= lower.mid - SETTLED
        if course >= 3:
            assert np.all(higher.values >= lower.values - SETTLED)
    assert np.all(tops[-1].values > tops[0].values + 10.0)


def test_a_blanket_under_the_cap_cools_the_slab_and_heats_the_top_courses() -> None:
    blanket = {"material": "ceramic-fibre-blanket-128", "thickness": "25 mm"}
    before = cycle(demo(), members=MEMBERS)
    after = cycle(inserted(demo(), ("parts", "bell-cap", "layers", 0), blanket), members=MEMBERS)
    for where, colder in (("span", 100.0), ("bearing edge", 5.0)):
        slabs = [patch(heat, "bell-cap", where).layers[-1] for heat in (before, after)]
        assert np.all(slabs[1].hot.peak_C.values < slabs[0].hot.peak_C.values - colder)
    for low, high in zip(before.of_part("bell-wall-high"), after.of_part("bell-wall-high")):
        assert np.all(high.layers[0].hot.mean_C.values > low.layers[0].hot.mean_C.values + 2.0)
        assert np.all(high.layers[0].hot.peak_C.values > low.layers[0].hot.peak_C.values)
    # what the cap no longer takes goes to the rest of the heater and up the chimney
    assert np.all(after.exit_burn_mean_C.values > before.exit_burn_mean_C.values)


def stud_wall(distance_mm: int) -> list[CombustibleHeat]:
    at = ("surroundings", "stud-wall", "distance")
    heat = cycle(with_(demo(), (at, f"{distance_mm} mm")), members=MEMBERS)
    return [one for one in heat.combustibles if one.surrounding == "stud-wall"]


def test_moving_the_stud_wall_away_cools_it() -> None:
    steps = [stud_wall(mm) for mm in (90, 150, 250, 450, 914)]
    for near, far in zip(steps, steps[1:]):
        for one, other in zip(near, far):
            assert one.seen_part == other.seen_part
            assert np.all(other.peak_C.values < one.peak_C.values)
            assert np.all(other.mean_C.values < one.mean_C.values)
    cooled = steps[0][0].peak_C.mid - steps[-1][0].peak_C.mid
    assert cooled > 15.0


@pytest.mark.parametrize("over", ["bell", "firebox"])
def test_more_perlite_in_a_base_cools_what_lies_under_it(over: str) -> None:
    """The slab under bell and core; the floor under the bench in the next test."""
    part, layer = {"bell": ("bell-base", 1), "firebox": ("core-base", 3)}[over]
    slabs = []
    for mm in (50, 100, 150, 250):
        tree = with_(demo(), (("parts", part, "layers", layer, "thickness"), f"{mm} mm"))
        slabs.append(patch(cycle(tree, members=MEMBERS), part, f"under {over}").layers[-1].hot)
    for less, more in zip(slabs, slabs[1:]):
        assert np.all(more.peak_C.values < less.peak_C.values)
        assert np.all(more.mean_C.values < less.mean_C.values)


def test_perlite_for_sand_cools_the_planks_and_more_of_it_cools_them_more() -> None:
    at = ("parts", "bench-base", "layers", 1)
    planks = []
    for material, mm in (("sand-dry", 50), ("perlite-concrete-1-6", 50),
                         ("perlite-concrete-1-6", 100), ("perlite-concrete-1-6", 200)):  # fmt: skip
        tree = with_(demo(), (at, {"material": material, "thickness": f"{mm} mm"}))
        heat = cycle(tree, "hardest", members=MEMBERS)
        planks.append(patch(heat, "bench-base", "under bench, 0.0").layers[2].hot)
    for less, more in zip(planks, planks[1:]):
        assert np.all(more.peak_C.values < less.peak_C.values)
        assert np.all(more.mean_C.values < less.mean_C.values)


def test_stone_turned_outside_is_spared() -> None:
    """Brick to the gas, granite outside: the stone's peak falls by more than half its rise."""
    at = ("parts", "bell-wall-high", "layers")
    tree = demo()
    turned = cycle(with_(tree, (at, list(reversed(tree["parts"]["bell-wall-high"]["layers"])))))
    inside, outside = (top_of(heat, "bell-wall-high") for heat in (cycle(tree), turned))
    assert inside.layers[0].layer.material == outside.layers[2].layer.material == "granite"
    rise = inside.layers[0].hot.peak_C.mid - 20.0
    assert outside.layers[2].hot.peak_C.mid - 20.0 < 0.5 * rise


def test_a_bench_without_its_opening_stays_cool() -> None:
    """A smaller mouth passes less: doorway flow is as its area."""
    at = ("chambers", "bench", "opens_to", "bell", "area")
    tops = [
        cycle(with_(demo(), (at, f"{cm2} cm2"))).of_part("bench-top")[0].layers[0].hot.mean_C.mid
        for cm2 in (100, 300, 600)
    ]
    assert tops[0] < tops[1] - 1.0 and tops[1] < tops[2] - 1.0
