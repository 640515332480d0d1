"""Hollow block in a wall and under a floor, by how its cores lie."""

from __future__ import annotations

from typing import Literal

import numpy as np
import pytest

from stovelint.heat.gaps import gap_resistance_m2K_W
from stovelint.hotmap.cases import places
from stovelint.hotmap.cutplan import cut
from stovelint.hotmap.properties import Properties, solid_conductivity_W_mK
from tests.heat.close import close
from tests.hotmap.plans import CATALOGUE, Tree, built, cycle, plain, with_

WALL, BASE = ("parts", "bell-wall", "layers"), ("parts", "base", "layers")
Cores = Literal["upright", "level", "filled"]


def block(thickness_mm: int, cores: Cores | None) -> dict[str, str]:
    found = {"material": "hollow-block-normal", "thickness": f"{thickness_mm} mm"}
    return found if cores is None else {**found, "cores": cores}


def walled(cores: Cores) -> Tree:
    return with_(plain(), (WALL, [block(140, cores)]))


def test_a_hollow_wall_peaks_thirty_kelvin_over_a_solid_one() -> None:
    """Reference run: the hot face of hollow block peaks 30 K over that of solid block (computed
    there for another heater; 20 to 45 K is what half as much and as much again leave)."""
    hollow, solid = (cycle(walled(cores)).of_part("bell-wall")[-1] for cores in (
        "upright", "filled"))  # fmt: skip
    more = hollow.layers[0].hot.peak_C.mid - solid.layers[0].hot.peak_C.mid
    assert 20.0 < more < 45.0, more
    # and less heat reaches the skin
    assert hollow.layers[0].cold.mean_C.mid < solid.layers[0].cold.mean_C.mid


def resistance(cores: Cores | None, t_C: float) -> float:
    """Of a base of 190 mm block, at a temperature, 4 K across each leaf, m2K/W."""
    tree = with_(plain(), (BASE, [block(190, cores)]))
    patch = [p for p in cut(built(tree), CATALOGUE).patches if p.parts == ("base",)][0]
    shape = (1, len(patch.leaves))
    r, _ = Properties((patch,), CATALOGUE, places(1))(
        np.full(shape, t_C + 2.0), np.full(shape, t_C - 2.0)
    )
    return float(r.sum())


@pytest.mark.parametrize("t_C", [20.0, 80.0])
def test_cores_upright_in_a_base_are_shafts(t_C: float) -> None:
    """By hand: 0.47 of concrete beside 0.53 of still air, hot side above, 190 mm deep: radiation
    and k/d of air. ISO 6946 side by side."""
    concrete = solid_conductivity_W_mK(CATALOGUE.get("hollow-block-normal"))
    gap = float(gap_resistance_m2K_W(t_C + 2, t_C - 2, 0.19, 0.9, 0.9, 1.0, "hot_above"))
    by_hand = 1.0 / (0.47 * concrete / 0.19 + 0.53 / gap)
    close(resistance("upright", t_C), by_hand, within=0.001, source="two ways side by side",
          because="the same gap")  # fmt: skip


def test_shafts_keep_less_back_than_cores_across_the_heat() -> None:
    """Heat goes straight down the concrete of a block that stands; a block laid on its side puts
    shells and air in its way. Filled, none has air."""
    assert resistance("upright", 50.0) < 0.95 * resistance("level", 50.0)
    assert resistance(None, 50.0) == resistance("level", 50.0)
    concrete = solid_conductivity_W_mK(CATALOGUE.get("hollow-block-normal"))
    assert resistance("filled", 50.0) == pytest.approx(0.19 / concrete)
    assert resistance("filled", 50.0) < resistance("upright", 50.0)


def test_standing_block_holds_as_much_as_it_weighs() -> None:
    tree = with_(plain(), (BASE, [block(190, "upright")]))
    patch = [p for p in cut(built(tree), CATALOGUE).patches if p.parts == ("base",)][0]
    assert [leaf.kind for leaf in patch.leaves] == ["shaft"]
    _, c = Properties((patch,), CATALOGUE, places(1))(np.array([[20.0]]), np.array([[20.0]]))
    close(float(c[0, 0]), 0.47 * 2100.0 * 920.0 * 0.19, within=1e-6, because="the same product",
          source="density and specific heat of the catalogue")  # fmt: skip


def test_a_wall_of_block_with_cores_upright_keeps_its_shells() -> None:
    wall = [p for p in cut(built(walled("upright")), CATALOGUE).patches
            if p.parts == ("bell-wall",)][0]  # fmt: skip
    assert [leaf.kind for leaf in wall.leaves] == ["solid", "cored", "solid"]
