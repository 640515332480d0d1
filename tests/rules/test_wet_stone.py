"""Stone that holds water: the boiling point, and how fast it is passed."""

from __future__ import annotations

import pytest

from stovelint.build import Part
from stovelint.hotmap.records import HotMap
from stovelint.rule import Insulate, Swap
from stovelint.rulebook import Rule
from tests.rules import make
from tests.rules.make import layer, layer_heat, open_rule, patch, run, spread
from tests.rules.witness import Witness

RULE = open_rule("wet-stone")


def stone(material: str) -> Part:
    return make.part("bell-wall", "wall", [layer(material, 0.08)])


def heat(of: Part, peak_C: float, rise_K: float = 75.0) -> HotMap:
    layers = [
        layer_heat(one, spread(peak_C), spread(50.0), rise=spread(rise_K)) for one in of.layers
    ]
    return make.hot([patch(of, layers, where="1.0 to 1.2 m")])


def speaks(of: Part, map_: HotMap, rule: Rule = RULE) -> bool:
    return bool(run(rule, make.build([of]), map_).findings)


def bursts_slowly(service_C: float, rule: Rule) -> bool:
    """Cobble that stands so much for long, past the boiling point but heated slowly."""
    name, catalogue = make.standing("river-cobble", service_C)
    of = stone(name)
    done = run(rule, make.build([of]), heat(of, 110.0, rise_K=1.0), catalogue=catalogue)
    return bool(done.findings)


COBBLE, SANDSTONE = stone("river-cobble"), stone("sandstone")
WITNESSES = [
    ("steam", Witness(says=lambda t, rule: speaks(COBBLE, heat(COBBLE, t), rule))),
    ("steam", Witness(says=lambda t, rule: speaks(SANDSTONE, heat(SANDSTONE, t), rule))),
    ("fast", Witness(says=lambda r, rule: speaks(SANDSTONE, heat(SANDSTONE, 200.0, r), rule))),
    ("dry", Witness(says=bursts_slowly)),
]


def test_stone_from_the_river_bursts_even_when_heated_slowly() -> None:
    """F063 of the failure list: found stone with water in it, in zones over 100 degC."""
    for material in ("river-cobble", "unknown-stone"):  # 100 degC for long by the catalogue
        of = stone(material)
        assert speaks(of, heat(of, 110.0, rise_K=1.0))


def test_a_case_counts_only_where_it_is_hot_and_fast() -> None:
    of = stone("sandstone")
    hot = spread(*[150.0] * 16 + [90.0] * 16)
    fast = spread(*[50.0] * 4 + [12.0] * 12 + [50.0] * 16)
    map_ = make.hot([patch(of, [layer_heat(of.layers[0], hot, spread(50.0), rise=fast)])])
    (said,) = run(RULE, make.build([of]), map_).findings
    assert said.lead.past == 4 and said.level == "warning"  # danger, possible


def test_danger_is_an_error_from_common_practice_and_says_so() -> None:
    of = stone("river-cobble")
    (said,) = run(RULE, make.build([of]), heat(of, 250.0)).findings
    assert said.stakes == "danger" and said.level == "error"
    assert [type(move) for move in said.moves] == [Insulate, Swap]


@pytest.mark.parametrize("material", ["travertine", "limestone", "basalt"])
def test_stone_that_may_hold_water_is_breakage(material: str) -> None:
    of = stone(material)
    (said,) = run(RULE, make.build([of]), heat(of, 250.0)).findings
    assert said.stakes == "breakage" and said.level == "warning"
    assert not speaks(of, heat(of, 250.0, rise_K=10.0))


@pytest.mark.parametrize("material", ["soapstone", "marble", "clay-brick-common"])
def test_stone_that_takes_up_little_water_is_left_alone(material: str) -> None:
    of = stone(material)
    assert run(RULE, make.build([of]), heat(of, 400.0)).looks == {}


def test_without_heat_it_is_not_judged_and_that_is_a_warning() -> None:
    of = stone("sandstone")
    (asked,) = run(RULE, make.build([of]), make.hot()).unjudged
    assert asked.level == "warning"


def test_a_property_that_is_missing_leaves_it_not_judged() -> None:
    of = stone("sandstone")
    unread = layer_heat(of.layers[0], spread(60.0), spread(50.0), unjudged="no conductivity")
    (asked,) = run(RULE, make.build([of]), make.hot([patch(of, [unread])])).unjudged
    assert asked.reason == "no conductivity" and asked.level == "warning"
