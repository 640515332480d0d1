"""Resistance and heat capacity of the slices, at their own temperature and for every case."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray

from stovelint.hotmap.cases import FAMILIES, places
from stovelint.hotmap.cutplan import cut
from stovelint.hotmap.patches import Patch
from stovelint.hotmap.properties import Properties
from tests.heat.close import close
from tests.hotmap.plans import CATALOGUE, built, plain, with_

Floats = NDArray[np.float64]


def cap_of(*layers: dict[str, str]) -> Patch:
    """The cap of the plain plan, made of these layers: flat, so nothing widens."""
    tree = with_(plain(), (("parts", "bell-cap", "layers"), list(layers)),
                 (("parts", "bell-cap", "bearing"), None))  # fmt: skip
    (found,) = [p for p in cut(built(tree), CATALOGUE).patches if p.parts == ("bell-cap",)]
    return found


def wall_of(*layers: dict[str, str]) -> Patch:
    """The highest piece of the bell's wall; its corners are taken back by the caller."""
    tree = with_(plain(), (("parts", "bell-wall", "layers"), list(layers)))
    return [p for p in cut(built(tree), CATALOGUE).patches if p.parts == ("bell-wall",)][0]


def at_C(patch: Patch, t_C: float, members: int = 1, step_K: float = 0.0) -> tuple[Floats, Floats]:
    """(R, C) of every leaf with its faces half a step above and below a temperature."""
    properties = Properties((patch,), CATALOGUE, places(members))
    shape = (members, len(patch.leaves))
    return properties(np.full(shape, t_C + 0.5 * step_K), np.full(shape, t_C - 0.5 * step_K))


def test_a_hollow_block_has_the_resistance_that_was_measured() -> None:
    """200 mm unit of normal concrete: 0.185 m2K/W, opened into shells, webs and air."""
    patch = wall_of({"material": "hollow-block-normal", "thickness": "200 mm"})
    middle = np.array([leaf.depth_m + 0.5 * leaf.thickness_m for leaf in patch.leaves])
    r, _ = at_C(patch, 10.0, step_K=4.0)
    flat = float((r[0] * (1.0 + patch.growth_per_m * middle)).sum())
    close(flat, 0.185, within=0.01, because="the middle leaf's own step is a little under 4 K",
          source="catalogue row of the block, ASHRAE unit resistance (read)")  # fmt: skip


def test_a_hollow_block_passes_more_when_hot() -> None:
    """heat.md: cavity plus webs; the cavity's radiation grows with the third power."""
    patch = wall_of({"material": "hollow-block-normal", "thickness": "200 mm"})
    cold, hot = (float(at_C(patch, t, step_K=30.0)[0][0, 1]) for t in (20.0, 250.0))
    assert hot < 0.9 * cold


def test_webs_alone_hold_the_heat_of_the_cored_middle() -> None:
    patch = wall_of({"material": "hollow-block-normal", "thickness": "200 mm"})
    filled = wall_of({"material": "hollow-block-normal", "thickness": "200 mm", "cores": "filled"})
    hollow, solid = at_C(patch, 50.0)[1].sum(), at_C(filled, 50.0)[1].sum()
    # shells 64 mm and 19-25 % webs of 136 mm: 0.45 to 0.49 of the solid, corners a little more
    assert 0.42 < hollow / solid < 0.52


@pytest.mark.parametrize("t_C", [24.0, 200.0, 400.0])
def test_a_loose_fill_passes_more_when_hot(t_C: float) -> None:
    table = {24.0: 0.0485, 200.0: 0.085, 400.0: 0.14}
    patch = cap_of({"material": "perlite-loose", "thickness": "100 mm"})
    close(at_C(patch, t_C)[0][0, 0], 0.1 / table[t_C], within=1e-6,
          because="the middle case is the table itself",
          source="catalogue row of loose perlite (read at 24 degC, recalled above)")  # fmt: skip


def test_heat_capacity_is_density_times_specific_heat() -> None:
    patch = cap_of({"material": "clay-brick-common", "thickness": "65 mm"})
    brick = CATALOGUE.get("clay-brick-common")
    assert brick.specific_heat is not None
    by_hand = 0.065 * brick.density_kg_m3.typical * float(brick.specific_heat.at(150.0))
    close(at_C(patch, 150.0)[1][0, 0], by_hand, within=1e-9,
          because="the same product", source="definition of heat capacity per area")  # fmt: skip


def test_every_class_takes_its_own_place() -> None:
    """The spread of a layer over the cases follows the place of its class and no other."""
    found = places(32)
    patch = cap_of(
        {"material": "granite", "thickness": "30 mm"},
        {"material": "clay-brick-common", "thickness": "65 mm"},
        {"material": "ceramic-fibre-blanket-128", "thickness": "25 mm"},
    )
    r, _ = at_C(patch, 200.0, members=32)
    for column, leaf in enumerate(patch.leaves):
        assert leaf.material is not None
        own = found[f"k:{CATALOGUE.get(leaf.material).family}"]
        assert np.array_equal(np.argsort(-r[:, column]), np.argsort(own))


def test_the_spread_ends_where_the_catalogue_says() -> None:
    patch = cap_of({"material": "sand-dry", "thickness": "100 mm"})
    k = 0.1 / at_C(patch, 20.0, members=32)[0][:, 0]
    # the outer strata stand half a stratum in from 0.17 and 0.46 W/mK
    close([k.min(), k.max()], [0.17, 0.46], within=0.03,
          because="half a stratum of 1/32 of a range as wide as its middle value",
          source="catalogue row of dry sand, measured band (read)")  # fmt: skip


def test_air_layers_are_taken_at_their_own_temperature() -> None:
    """10 mm at 150 degC and a 30 K step between brick: not the 0.15 of a table for 10 degC."""
    patch = wall_of(
        {"material": "clay-brick-common", "thickness": "50 mm"},
        {"gap": "10 mm", "kind": "closed"},
        {"material": "clay-brick-common", "thickness": "102 mm"},
    )
    middle = patch.leaves[1].depth_m + 0.005
    r, _ = at_C(patch, 150.0, step_K=30.0)
    e = CATALOGUE.get("clay-brick-common").emissivity.typical
    by_hand = 1.0 / (0.0347 / 0.010 + 4.0 * 5.670374e-8 * 423.15**3 / (2.0 / e - 1.0))
    close(r[0, 1] * (1.0 + patch.growth_per_m * middle), by_hand, within=0.01,
          because="still air at 150 degC to three digits, radiation in its mean form",
          source="physics notes 4.1: R = 1 / (k/d + h_r)")  # fmt: skip
    close(by_hand, 0.057, within=0.06, because="the notes' figure is for an emissivity of 0.9",
          source="physics notes 4.1, gap of 10 mm")  # fmt: skip


def test_a_place_beyond_the_table_is_told_or_refused() -> None:
    patch = cap_of({"material": "sand-dry", "thickness": "100 mm"})
    properties = Properties((patch,), CATALOGUE, places(1))
    assert properties.judge(0, 30.0, 60.0)[0] is None
    why, sentences = properties.judge(0, 30.0, 400.0)
    assert why is None and "used up to 400 degC" in sentences[0]
    refused, _ = properties.judge(0, 30.0, 1500.0)
    assert refused is not None and "sand-dry" in refused and "1500 degC" in refused


def test_a_material_without_conductivity_is_refused() -> None:
    unknown = [
        name for name in CATALOGUE.names()
        if CATALOGUE.get(name).usable_as == "layer"
        and (CATALOGUE.get(name).conductivity is None or CATALOGUE.get(name).specific_heat is None)
    ]  # fmt: skip
    for name in unknown:
        patch = cap_of({"material": name, "thickness": "50 mm"})
        refused, _ = Properties((patch,), CATALOGUE, places(1)).judge(0, 50.0, 60.0)
        assert refused is not None and name in refused


def test_classes_are_those_of_the_catalogue() -> None:
    assert len(set(FAMILIES)) == len(FAMILIES)
