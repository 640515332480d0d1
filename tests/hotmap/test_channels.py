"""Vented layers inside parts, from the drawing to the wood behind them."""

from __future__ import annotations

import pytest

from stovelint.hotmap.channels import _across_m
from stovelint.hotmap.compute import Solver
from tests.heat.close import close
from tests.hotmap.plans import CATALOGUE, Tree, built, cycle, inserted, patch, plain, with_

UNDER = ("parts", "base", "layers", 2)
WALL = ("parts", "bell-wall", "layers")


def floor(**gap: object) -> Tree:
    return inserted(plain(), UNDER, {"gap": "50 mm", **gap})


def lined(**gap: object) -> Tree:
    """A wall of boards behind an air space that belongs to the heater's own wall."""
    return with_(plain(), (WALL, [
        {"material": "clay-brick-common", "thickness": "102 mm"}, {"gap": "50 mm", **gap},
        {"material": "gypsum-board", "thickness": "12.5 mm"},
        {"material": "softwood", "thickness": "28 mm"},
    ]))  # fmt: skip


def wood_C(tree: Tree, where: str = "under bell") -> float:
    base = patch(cycle(tree), "base", where)
    layer = base.layers[-1]
    assert layer.layer.material == "softwood"
    return layer.hot.mean_C.mid


def test_a_channel_under_the_base_takes_heat_from_the_wood() -> None:
    """One-sided and known beforehand: air that passes cools more than air that stands."""
    under = "under firebox"
    bare, shut, vented = (
        wood_C(tree, under) for tree in (plain(), floor(kind="closed"), floor(kind="vented"))
    )
    assert 20.0 < vented < shut - 10.0 < bare - 10.0


def test_a_channel_shut_at_one_end_is_a_closed_gap() -> None:
    """Exact: no credit for a dead end."""
    shut = wood_C(floor(kind="closed"))
    for end in ("bottom", "top"):
        blind = wood_C(floor(kind="vented", **{end: "0 cm2/m"}))
        close(blind, shut, within=0.3, unit="K", source="the closed gap of the same width",
              because="both passes stop at 0.1 K")  # fmt: skip


def test_the_air_passes_under_the_walls_too() -> None:
    """From open end to open end it is the heater's breadth, not the fire's: 0.4 m and two walls of
    0.216 m round the firebox, 0.9 m and two of 0.102 m round the bell. With the chambers alone the
    planks under the fire came out 4 K too cool."""
    plan = Solver(CATALOGUE, states=("usual",), members=1).runs(built(floor(kind="vented")))[0]
    found = {
        one.chamber: _across_m(plan.rooms, plan.patches, one) for one in plan.patches
        if "base" in one.parts
    }  # fmt: skip
    assert found == pytest.approx({"firebox": 0.832, "bell": 1.104})


def test_heat_that_the_air_takes_goes_to_the_room() -> None:
    """First law: less than 0.1 % of the heat is left without an account, and the room gets what
    the channel took, not less than before."""
    shut, vented = cycle(lined(kind="closed")), cycle(lined(kind="vented"))
    assert vented.energy_gap < 1e-3 and shut.energy_gap < 1e-3
    assert vented.to_room_share.mid > shut.to_room_share.mid + 0.02


def test_air_that_was_warmed_below_cools_less_above() -> None:
    heat = cycle(lined(kind="vented"))
    bands = heat.of_part("bell-wall")
    wood = [band.layers[-1].hot.mean_C.mid for band in bands]
    assert wood == sorted(wood) and wood[-1] > wood[0] + 5.0


def test_behind_a_channel_less_heat_goes_on() -> None:
    """In a closed wall the steps of temperature over brick and board stand as their resistances;
    with air between them the brick passes more than twice what the board does, by that measure."""
    ratio = {}
    for kind in ("closed", "vented"):
        brick, _, board, _ = cycle(lined(kind=kind)).of_part("bell-wall")[2].layers
        ratio[kind] = (brick.hot.mean_C.mid - brick.cold.mean_C.mid) / (
            board.hot.mean_C.mid - board.cold.mean_C.mid
        )
    assert ratio["vented"] > 2.0 * ratio["closed"] > 0.0


@pytest.mark.parametrize("kind", ["closed", "vented"])
def test_depths_inside_agree_with_their_neighbours(kind: str) -> None:
    """Exact: the cold side of a layer is the hot side of the next, at every moment; in the air of
    the channel the reading is straight between its faces."""
    band = cycle(lined(kind=kind)).of_part("bell-wall")[2]
    for one, two in zip(band.layers, band.layers[1:]):
        for what in ("peak_C", "mean_C"):
            close(getattr(one.cold, what).mid, getattr(two.hot, what).mid, within=1e-3,
                  source="one plane seen twice", because="rounding of a transform")  # fmt: skip
    air = band.layers[1]
    halfway = 0.5 * (air.hot.mean_C.mid + air.cold.mean_C.mid)
    close(air.middle.mean_C.mid, halfway, within=0.05, source="a straight line",
          because="closed air carries a little heat of its own")  # fmt: skip


def test_the_film_of_a_case_moves_its_channel() -> None:
    """Cases differ: not one value for all."""
    heat = cycle(floor(kind="vented"), members=8)
    wood = patch(heat, "base", "under firebox").layers[-1].hot.mean_C
    assert wood.high > wood.low + 5.0 and heat.energy_gap < 1e-3
