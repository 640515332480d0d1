"""A curve never clamps, widens beyond its table, and says so."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from stovelint.catalogue.curve import Curve, build_curve
from stovelint.errors import CatalogueError
from tests.catalogue.shared import MATERIALS, at, curve

CLASS: dict[str, Any] = {"spread": [0.8, 1.3]}
BELOW: dict[str, Any] = {"to_C": -40, "how": "held", "widen_per_100K": 0.05, "grade": "judgement"}


def made(row: dict[str, Any], class_row: dict[str, Any] | None = None) -> Curve:
    return build_curve(
        "conductivity of test", {"grade": "read", "source": "a test", **row},
        CLASS if class_row is None else class_row, {"below": BELOW},
    )  # fmt: skip


ALL_CURVES = [
    own for m in MATERIALS for own in (m.conductivity, m.specific_heat) if own is not None
]


@pytest.mark.parametrize("own", ALL_CURVES, ids=lambda c: str(c.subject).replace(" ", "-"))
def test_no_curve_of_the_catalogue_clamps(own: Curve) -> None:
    own.at([own.low_C, own.high_C])
    for T in (own.low_C - 0.5, own.high_C + 0.5, np.nan, np.inf):
        for ask in (own.at, own.spread_low, own.spread_high):
            with pytest.raises(CatalogueError, match="is known, with what may be assumed"):
                ask([20.0, T])
        assert not own.covers(T, T)
    assert own.covers(own.low_C, own.high_C)


def test_a_single_figure_is_held_with_growing_spread() -> None:
    above = {"to_C": 500, "how": "held", "widen_per_100K": 0.1, "grade": "judgement"}
    own = made({"points": [[20, 2.0]], "above": above})
    assert own.at([-40.0, 20.0, 500.0]).tolist() == [2.0, 2.0, 2.0]
    assert own.spread_low(20.0) == 0.8 and own.spread_high(20.0) == 1.3
    assert own.spread_high(220.0) == pytest.approx(1.3 * 1.2)
    assert own.spread_low(220.0) == pytest.approx(0.8 / 1.2)
    assert own.spread_high(-40.0) == pytest.approx(1.3 * 1.03)


def test_a_line_goes_on_with_the_slope_of_the_table_or_a_stated_one() -> None:
    above = {"to_C": 600, "how": "line", "widen_per_100K": 0.1, "grade": "judgement"}
    table = made({"points": [[20, 1.0], [200, 1.2], [400, 1.6]], "above": above})
    assert table.at(600.0) == pytest.approx(2.0)
    stated = made({"points": [[20, 1.0]], "above": {**above, "slope_per_100K": 0.1}})
    assert stated.at(520.0) == pytest.approx(1.5)
    single = made({"points": [[20, 1.0]], "above": above})
    assert single.at(600.0) == 1.0
    down = made({"points": [[400, 0.10], [600, 0.12]], "below": {**above, "to_C": -40}})
    assert down.at(200.0) == pytest.approx(0.08)


def test_recalled_points_lie_beyond_the_table_and_are_extended() -> None:
    own = made({"points": [[24, 0.05]],
                "above": {"to_C": 800, "points": [[200, 0.08], [400, 0.14]], "how": "line",
                          "widen_per_100K": 0.1, "grade": "recalled"}})  # fmt: skip
    assert own.table_high_C == 24.0 and own.high_C == 800.0
    assert own.at([200.0, 300.0, 400.0, 800.0]) == pytest.approx([0.08, 0.11, 0.14, 0.26])
    assert own.spread_high(224.0) == pytest.approx(1.3 * 1.2)


def test_a_band_sets_the_spread_and_the_cold_end_of_a_hot_table() -> None:
    cold = made({"points": [[20, 2.0]], "band_20C": [1.0, 1.9, 3.0]})
    assert cold.spread_low(20.0) == 0.5 and cold.spread_high(20.0) == 1.5
    hot = made({"points": [[400, 1.05]], "band_20C": [0.9, 1.0, 1.3]})
    assert hot.table_low_C == 20.0 and hot.at(20.0) == 1.0
    assert hot.at(210.0) == pytest.approx(1.025)
    near = made({"points": [[38, 0.06]], "band_20C": [0.05, 0.06, 0.07]})
    assert near.table_low_C == 38.0
    above_band = made({"points": [[20, 0.03]], "band_20C": [0.035, 0.037, 0.04]})
    assert above_band.spread_low(20.0) == 1.0


def test_a_disagreeing_source_widens_the_band() -> None:
    own = made({"points": [[24, 0.13]], "band_20C": [0.12, 0.13, 0.14], "also_20C": [0.1975]})
    assert own.spread_high(24.0) * own.at(24.0) == pytest.approx(0.1975)
    assert own.spread_low(24.0) * own.at(24.0) == pytest.approx(0.12)


def test_two_limits_give_their_middle() -> None:
    own = made({"points": [[20, 2.0], [500, 1.0]], "lower_limit": [[20, 1.0], [500, 0.8]]})
    assert own.at(20.0) == 1.5
    assert own.spread_high(20.0) * own.at(20.0) == pytest.approx(2.0)
    assert own.spread_low(500.0) * own.at(500.0) == pytest.approx(0.8)


@pytest.mark.parametrize(
    "above",
    [{"to_C": 900, "points": [[10, 0.1]], "how": "held", "grade": "recalled"},
     {"to_C": 900, "how": "line", "slope_per_100K": -0.5, "grade": "judgement"},
     {"to_C": 900, "points": [[300, 0.1], [300, 0.2]], "how": "held", "grade": "recalled"}],
)  # fmt: skip
def test_a_foolish_extension_is_refused(above: dict[str, Any]) -> None:
    with pytest.raises(CatalogueError, match="do not rise in temperature, or fall to nothing"):
        made({"points": [[20, 1.0]], "above": above})


def test_the_row_beats_the_class_and_the_class_beats_any() -> None:
    by_class: dict[str, Any] = {**CLASS, "above": {**BELOW, "to_C": 300}}
    assert made({"points": [[20, 1.0]]}, by_class).high_C == 300.0
    own = made({"points": [[20, 1.0]], "above": {**BELOW, "to_C": 700}}, by_class)
    assert own.high_C == 700.0 and own.low_C == -40.0
    bare = made({"points": [[20, 1.0], [50, 2.0]]})
    assert (bare.high_C, bare.grade_above, bare.widen_above_per_100K) == (50.0, "", 0.0)


# ---- what a report says -----------------------------------------------------------------------


def test_sentence_for_a_single_figure() -> None:
    own = curve("clay-brick-common", "conductivity")
    assert own.beyond_sentence("clay-brick-common", "conductivity", 15.0, 320.0) == (
        "conductivity of clay-brick-common is known at 20 degC only; "
        "used up to 320 degC with 12 % more spread (judgement)"
    )


def test_sentence_for_a_table_left_at_both_ends() -> None:
    own = curve("ifb-16", "conductivity")
    assert own.beyond_sentence("ifb-16", "conductivity", 100.0, 700.0) == (
        "conductivity of ifb-16 is known from 400 to 600 degC; "
        "used down to 100 degC with 12 % more spread (judgement) "
        "and up to 700 degC with 5 % more spread (judgement)"
    )


def test_sentence_names_recalled_points() -> None:
    own = curve("perlite-loose", "conductivity")
    sentence = own.beyond_sentence("perlite-loose", "conductivity", 20.0, 324.0)
    assert sentence is not None and sentence.endswith("with 18 % more spread (recalled)")


def test_no_sentence_inside_the_table_or_a_hair_beyond() -> None:
    own = curve("granite", "conductivity")
    assert own.beyond_sentence("granite", "conductivity", 20.0, 600.0) is None
    assert own.beyond_sentence("granite", "conductivity", 16.0, 604.0) is None
    assert own.beyond_sentence("granite", "conductivity", 16.0, 640.0) is not None


# ---- properties -------------------------------------------------------------------------------

anywhere = st.floats(-40.0, 600.0)


@given(T=anywhere)
def test_concrete_stays_between_its_limits(T: float) -> None:
    own = curve("concrete-normal-siliceous", "conductivity")
    low = float(own.at(T) * own.spread_low(T))
    high = float(own.at(T) * own.spread_high(T))
    assert low <= 1.36 - 0.136 * T / 100 + 0.0057 * (T / 100) ** 2 + 0.02
    assert high >= 2.0 - 0.2451 * T / 100 + 0.0107 * (T / 100) ** 2 - 0.02 or T < 20.0


@given(a=anywhere, b=anywhere)
def test_spread_grows_with_the_way_beyond_the_table(a: float, b: float) -> None:
    own = curve("clay-brick-common", "conductivity")
    near, far = sorted((max(a, 20.0), max(b, 20.0)))
    assert own.spread_high(near) <= own.spread_high(far)
    assert own.spread_low(near) >= own.spread_low(far)


@given(T=st.lists(anywhere, min_size=1, max_size=20))
def test_arrays_and_single_numbers_agree(T: list[float]) -> None:
    own = curve("granite", "conductivity")
    together = own.at(T)
    assert together.shape == (len(T),)
    assert together.tolist() == [float(own.at(t)) for t in T]
    assert own.at(np.array([T, T])).shape == (2, len(T))


def test_stone_and_concrete_conduct_less_when_hot_and_fibre_more() -> None:
    for name in ("granite", "soapstone", "concrete-normal-siliceous", "mortar-portland"):
        assert at(name, "conductivity", 400.0) < at(name, "conductivity", 20.0), name
    for name in ("ifb-23", "aes-blanket-128", "aac-500", "perlite-concrete-1-6"):
        assert at(name, "conductivity", 400.0) > at(name, "conductivity", 20.0), name
