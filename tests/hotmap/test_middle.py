"""The middle of a side in whole plans: hotter than the wall as a whole, with the heat unmoved."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from stovelint.heat.corner import felt_at_middle
from stovelint.hotmap.compute import Solver
from stovelint.hotmap.layerheat import profiles, solved_profiles
from stovelint.hotmap.middle import Middle
from tests.heat.close import close
from tests.hotmap.plans import CATALOGUE, built, plain, with_


def test_middles_of_a_plan() -> None:
    plan, runs = Solver(CATALOGUE, states=("usual",), members=1).runs(built(plain()))
    some = list(runs.values())
    seen = 0
    for index, patch in enumerate(plan.patches):
        (whole,), (told,) = solved_profiles(patch, index, some), profiles(patch, index, some)
        if not patch.flat_sides:
            assert not isinstance(told, Middle)
            continue
        seen += 1
        assert isinstance(told, Middle)
        assert told.cold_C.mean() > whole.cold_C.mean() + 0.3
        for depth in (0.0, 0.03, told.end_m):
            close(told.mean_at(depth), told.at(depth).mean(axis=1), within=1e-6,
                  because="the same mean, found two ways", source="history at that depth",
                  )  # fmt: skip
    assert seen > 5


def test_the_flat_wall_by_hand() -> None:
    """Mean skin of the bell's wall: its mean heat by the film, through a flat wall."""
    plan, runs = Solver(CATALOGUE, states=("usual",), members=1).runs(built(plain()))
    run = next(iter(runs.values()))
    index, patch = next(
        (i, p) for i, p in enumerate(plan.patches) if p.parts == ("bell-wall",)
    )
    (told,), (whole,) = profiles(patch, index, [run]), solved_profiles(patch, index, [run])
    assert isinstance(told, Middle)
    hot = told.hot_C.mean()
    cold = index + run.net.walls
    film = 1.25 * run.solution.outside_film_W_m2K[0, cold]
    skin0, q0 = whole.cold_C.mean(), run.solution.q_W_m2[0, cold].mean()
    through = sum(float(s.r_m2K_W[0]) for s in told.slices)
    # (hot - skin) / R leaves the flat wall; q0 + f (skin0 - skin) is what its face takes
    skin = (hot / through + film * skin0 + q0) / (1.0 / through + film)
    close(told.cold_C.mean(), skin, within=0.05, unit="K",
          because="corners 4.4 thicknesses away take 1 % of the lead", source="worked by hand",
          )  # fmt: skip
    assert skin - skin0 > 1.0


def test_short_sides_feel_their_corners() -> None:
    """The firebox's wall is 216 mm thick on sides of 400 mm: part of its lead is lost."""
    plan, runs = Solver(CATALOGUE, states=("usual",), members=1).runs(built(plain()))
    run = next(iter(runs.values()))
    index, patch = next(
        (i, p) for i, p in enumerate(plan.patches) if p.parts == ("firebox-wall",)
    )
    (told,), (whole,) = profiles(patch, index, [run]), solved_profiles(patch, index, [run])
    far = replace(patch, growth_per_m=1e-9)
    endless = Middle(whole, run, index, far.half_side)
    lead = endless.cold_C.mean() - whole.cold_C.mean()
    kept = (told.cold_C.mean() - whole.cold_C.mean()) / lead
    close(patch.half_side, 0.2 / 0.216, within=1e-9, because="only rounding in both",
          source="half a side over the thickness")  # fmt: skip
    through = sum(float(s.r_m2K_W[0]) for s in endless.slices)
    f = [1.25 * run.solution.outside_film_W_m2K[0, i] for i in (index, index + run.net.walls)]
    lost = felt_at_middle(f[0] * through, f[1] * through, 0.2 / 0.216)
    close(kept, 1.0 - lost, within=0.01, because="the films' means are the same",
          source="heat.corner of the same films")  # fmt: skip
    assert 0.2 < kept < 0.8
    swings = [np.ptp(one.cold_C) for one in (told, endless)]
    close(swings[0], swings[1], within=1e-6, because="only the mean is given back",
          source="the flat side's swing")  # fmt: skip


def test_a_round_chamber_has_no_sides() -> None:
    size = {"diameter": "900 mm", "height": "1.8 m"}
    plan, runs = Solver(CATALOGUE, states=("usual",), members=1).runs(
        built(with_(plain(), (("chambers", "bell", "size"), size)))
    )
    some = list(runs.values())
    for index, patch in enumerate(plan.patches):
        if patch.parts == ("bell-wall",):
            assert patch.bulge == "round" and not isinstance(
                profiles(patch, index, some)[0], Middle
            )
