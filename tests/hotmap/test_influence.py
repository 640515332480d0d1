"""Which input moves a peak: against separate solutions, and against the cases where all move."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from stovelint.build import FiringState
from stovelint.hotmap.cases import INPUTS, between, places
from stovelint.hotmap.compute import hot_map
from stovelint.hotmap.influence import (
    SHUT_OR_OPEN, Influence, Influenced, conductivities, influences, one_at_a_time,
)  # fmt: skip
from stovelint.hotmap.layerheat import judged_depth
from stovelint.hotmap.records import HotMap
from stovelint.place import Path
from tests.hotmap.plans import CATALOGUE, Tree, built, demo, plain, with_

PLANS = {"demo": demo, "plain": plain}
# two solutions, each with its faces settled to 0.1 K
SETTLED_K = 0.2
CHARGE: Path = ("firing", "usual", "charge")
ROOM: Path = ("site", "room")
DAMPER: Path = ("firing", "damper")


@cache
def usual_cases(plan: str) -> HotMap:
    return hot_map(built(PLANS[plan]()), CATALOGUE)


@cache
def found(plan: str, part: str, state: FiringState = "usual") -> Influenced:
    return influences(built(PLANS[plan]()), usual_cases(plan), CATALOGUE, part)[state]


def by_name(of: Influenced) -> dict[str, Influence]:
    return {one.name: one for one in of.influences}


def middle_peak_C(tree: Tree, part: str, like: Influenced) -> float:
    """Peak of one middle case, in the same place."""
    hot = hot_map(built(tree), CATALOGUE, states=("usual",), members=1).cycles["usual"]
    (patch,) = [p for p in hot.of_part(part) if p.where == like.patch.where]
    (layer,) = [x for x in patch.layers if x.layer.material == like.layer.layer.material]
    return judged_depth(layer, CATALOGUE).peak_C.mid


def test_each_case_moves_one_input_to_one_end() -> None:
    at = one_at_a_time(["charge", "k:earth"])
    assert sorted(at) == sorted(places())
    assert at["charge"].tolist() == [0.5, 0.0, 1.0, 0.5, 0.5]
    assert at["k:earth"].tolist() == [0.5, 0.5, 0.5, 0.0, 1.0]
    assert at["film"].tolist() == [0.5] * 5


@pytest.mark.parametrize("part", ["firebox-wall", "bell-wall", "bell-cap"])
@pytest.mark.parametrize(
    ("name", "path", "low", "high"),
    [("charge", CHARGE, "9.5 kg", "10.5 kg"), ("room", ROOM, "18 degC", "22 degC")],
)
def test_an_input_moved_is_the_plan_drawn_so(
    part: str, name: str, path: Path, low: str, high: str
) -> None:
    """5 % less wood weighed in is a plan with 5 % less wood, and a cooler room a cooler site."""
    of = found("plain", part)
    middle = middle_peak_C(plain(), part, of)
    one = by_name(of)[name]
    for text, change_K in ((low, one.low_K), (high, one.high_K)):
        drawn = middle_peak_C(with_(plain(), (path, text)), part, of) - middle
        assert change_K == pytest.approx(drawn, abs=SETTLED_K)


@pytest.mark.parametrize("state", ["usual", "hardest"])
@pytest.mark.parametrize(
    ("plan", "part"),
    [("plain", "firebox-wall"), ("plain", "bell-wall"), ("demo", "bell-cap"),
     ("demo", "bench-top")],
)  # fmt: skip
def test_added_up_they_tell_the_cases_in_which_all_move(
    plan: str, part: str, state: FiringState
) -> None:
    of = found(plan, part, state)
    values = of.depth.peak_C.values
    at = places()
    told = sum(
        (between(one.low_K, 0.0, one.high_K, at[one.name]) for one in of.influences),
        start=np.zeros(values.shape),
    )
    # what two inputs do only together is left out; it is a small part where a peak follows each
    # input nearly straight, and so the rest must scatter far less than the peak does
    rest = values - told
    assert rest.std() <= 0.2 * values.std()
    assert np.corrcoef(values, told)[0, 1] >= 0.98


@pytest.mark.parametrize("state", ["usual", "hardest"])
@pytest.mark.parametrize(
    ("plan", "part"),
    [("plain", "firebox-wall"), ("plain", "bell-wall"), ("demo", "bell-cap"),
     ("demo", "firebox-front")],
)  # fmt: skip
def test_their_scatter_is_of_the_size_of_the_cases(
    plan: str, part: str, state: FiringState
) -> None:
    """Two inputs of one size that correlate by up to 0.25, as the 32 cases may, change the
    variance of their sum by a quarter, and its root by an eighth."""
    of = found(plan, part, state)
    assert of.together_K == pytest.approx(float(of.depth.peak_C.values.std()), rel=1e-12)
    assert of.alone_K == pytest.approx(of.together_K, rel=0.125)


def test_an_input_that_cannot_act_has_no_influence() -> None:
    """No riser: no gas burns in one, and no plume rises from it. What lies beyond the heater's
    own materials is not asked."""
    one = by_name(found("plain", "bell-wall"))
    assert one["riser_share"].reach_K == 0.0 and one["entrainment"].reach_K == 0.0
    assert one["peclet"].reach_K > 10.0
    # how the bell mixes is nothing to the firebox before it
    assert by_name(found("plain", "firebox-wall"))["peclet"].reach_K < SETTLED_K
    assert "k:earth" not in one and "k:fired-clay-brick" in one
    assert set(one) == {x.name for x in INPUTS} | set(conductivities(built(plain()), CATALOGUE))


@pytest.mark.parametrize("state", ["usual", "hardest"])
@pytest.mark.parametrize("part", ["firebox-wall", "firebox-cap", "bell-wall", "bell-cap", "base"])
def test_signs(part: str, state: FiringState) -> None:
    """More wood and a warmer room warm; wetter wood and more air cool."""
    one = by_name(found("plain", part, state))
    for name in ("charge", "room"):
        assert one[name].low_K < 0.0 < one[name].high_K, name
    for name in ("moisture", "peak_air_ratio"):
        assert one[name].high_K < 0.0 < one[name].low_K, name
    # by the heat balance of a wall, 2 K of room move no peak by more than 2 K
    assert one["room"].high_K <= 2.0 + SETTLED_K


def test_the_strongest_comes_first() -> None:
    of = found("plain", "bell-wall")
    variances = [one.variance_K2 for one in of.influences]
    assert variances == sorted(variances, reverse=True)
    assert of.influences[0].name == "peclet"


def test_the_order_of_inputs_changes_nothing() -> None:
    names = ["peclet", "charge", "k:fired-clay-brick", "flame"]
    build, hot = built(plain()), usual_cases("plain")
    one = influences(build, hot, CATALOGUE, "bell-wall", inputs=names)["usual"]
    two = influences(build, hot, CATALOGUE, "bell-wall", inputs=names[::-1])["usual"]
    assert [x.name for x in one.influences] == [x.name for x in two.influences]
    assert one.influences[0].name == "peclet"
    for x, y in zip(one.influences, two.influences, strict=True):
        assert x.low_K == pytest.approx(y.low_K, abs=1e-6)
        assert x.high_K == pytest.approx(y.high_K, abs=1e-6)


def test_names_and_order_of_parts_change_nothing() -> None:
    names = ["peclet", "charge", "k:fired-clay-brick"]
    tree = plain()
    parts = {("a-" + name): part for name, part in reversed(tree["parts"].items())}
    parts["a-bell-cap"]["carried_by"] = "a-bell-wall"
    other = built({**tree, "parts": parts})
    one = influences(
        built(plain()), usual_cases("plain"), CATALOGUE, "bell-wall", inputs=names
    )["usual"]  # fmt: skip
    two = influences(
        other, hot_map(other, CATALOGUE), CATALOGUE, "a-bell-wall", inputs=names
    )["usual"]  # fmt: skip
    assert [x.name for x in one.influences] == [x.name for x in two.influences]
    for x, y in zip(one.influences, two.influences, strict=True):
        assert x.low_K == pytest.approx(y.low_K, abs=SETTLED_K)
        assert x.high_K == pytest.approx(y.high_K, abs=SETTLED_K)


def test_a_damper_of_which_nothing_is_said_is_an_input() -> None:
    silent = with_(plain(), (DAMPER, None))
    of = influences(
        built(silent), hot_map(built(silent), CATALOGUE), CATALOGUE, "bell-wall"
    )["usual"]  # fmt: skip
    one = by_name(of)[SHUT_OR_OPEN]
    shut, opened = (
        middle_peak_C(with_(plain(), (DAMPER, {"after_burn": end})), "bell-wall", of)
        for end in ("tight", "open")
    )
    assert one.high_K - one.low_K == pytest.approx(opened - shut, abs=2 * SETTLED_K)
    assert abs(opened - shut) > 2 * SETTLED_K
    assert SHUT_OR_OPEN not in by_name(found("plain", "bell-wall"))


@pytest.mark.parametrize(
    ("name", "at"),
    [("charge", np.linspace(0.0, 1.0, 100001)), (SHUT_OR_OPEN, np.array([0.0, 1.0]))],
)
@pytest.mark.parametrize(("low", "high"), [(-3.0, 5.0), (2.0, 7.0), (4.0, -1.0), (0.0, 0.0)])
def test_variance_is_that_of_the_line_through_three_points(
    name: str, at: np.ndarray[tuple[int, ...], np.dtype[np.float64]], low: float, high: float
) -> None:
    one = Influence(name=name, materials=(), low_K=low, high_K=high)
    drawn = float(np.var(between(low, 0.0, high, at)))
    # 100001 points stand for the integral: 1e-4 of a swing of 10
    assert one.variance_K2 == pytest.approx(drawn, abs=1e-3)
    assert one.reach_K == max(low, high, 0.0) - min(low, high, 0.0)


def test_what_is_not_judged_is_not_explained() -> None:
    hot = usual_cases("plain")
    cycle = hot.cycles["usual"]
    blank = replace(
        cycle,
        patches=tuple(
            replace(p, layers=[replace(x, judged=lambda: ("unknown", ())) for x in p.layers])
            for p in cycle.patches
        ),
    )
    of = influences(
        built(plain()), replace(hot, cycles={"usual": blank}), CATALOGUE, "bell-wall",
        inputs=["charge"],
    )  # fmt: skip
    assert of == {}
