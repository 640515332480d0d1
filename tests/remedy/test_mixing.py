"""Needles instead of a bar: the edit, its words, and that nothing is solved again for it."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from stovelint.assemble import assemble_tree, load
from stovelint.build import Build
from stovelint.hotmap.compute import hot_map
from stovelint.hotmap.records import HotMap
from stovelint.remedy import Search
from stovelint.remedy.edits import apply, candidates, trade_sizes
from stovelint.remedy.mixing import keeps_the_heat
from stovelint.remedy.rows import Edit
from stovelint.review import run_rule
from stovelint.rule.moves import Reinforce
from tests.rules.make import CATALOGUE, open_rule
from tests.tree import RULES

LAYER = ("parts", "bell-cap", "layers", 0)
MOVE = Reinforce(layer=LAYER, use="needles")


def plan(kind_of_part: str = "wall", **reinforcement: str) -> dict[str, Any]:
    layer: dict[str, Any] = {"material": "castable-dense-fireclay", "thickness": "75 mm"}
    if reinforcement:
        layer["reinforcement"] = reinforcement
    return {"parts": {"bell-cap": {"kind": kind_of_part, "layers": [layer]}}}


def test_the_bar_gives_way_to_needles_and_the_rest_stays() -> None:
    tree = plan(kind="rebar", diameter="10 mm", cover="25 mm")
    (found,) = candidates(MOVE, tree, trade_sizes())
    assert found.text.startswith("25 mm stainless needles, about 0.5 mm thick")
    assert found.text.endswith("mixed into bell-cap instead of rebar")
    assert apply(tree, found.edits) == plan(kind="stainless-needles")
    assert tree == plan(kind="rebar", diameter="10 mm", cover="25 mm")


@pytest.mark.parametrize("kind", ["cap", "bench-top", "lintel", "floor"])
def test_where_a_bar_may_carry_the_move_says_who_must_look(kind: str) -> None:
    (found,) = candidates(MOVE, plan(kind, kind="rebar"), trade_sizes())
    assert found.text.endswith("rebar (what it must carry without that is for others to check)")


def test_nothing_to_change_is_no_candidate() -> None:
    for tree in (plan(), plan(kind="stainless-needles")):
        assert candidates(MOVE, tree, trade_sizes()) == ()


def test_only_reinforcement_alone_leaves_the_heat_as_it_is() -> None:
    bar = Edit(path=(*LAYER, "reinforcement"), value={"kind": "stainless-needles"})
    thicker = Edit(path=(*LAYER, "thickness"), value="100 mm")
    assert keeps_the_heat((bar,)) and keeps_the_heat((bar, bar))
    assert not keeps_the_heat((bar, thicker)) and not keeps_the_heat(())


@pytest.mark.parametrize("example", ["netting-in-castable", "bar-in-bare-cap"])
def test_needles_pass_where_bar_and_netting_do_not(example: str) -> None:
    file = str(RULES / "cast-reinforcement" / "fails" / f"{example}.heater.yaml")
    loaded = load(file, file)
    hot = hot_map(loaded.build, CATALOGUE)
    rule = open_rule("cast-reinforcement")
    (finding,) = run_rule(rule, build=loaded.build, hot=hot, catalogue=CATALOGUE).findings
    assert finding.moves[-1] == MOVE

    def never(build: Build, cases: tuple[int, ...] | None = None) -> HotMap:
        raise AssertionError("needles change no temperature")

    search = Search(
        tree=loaded.source.tree, build=loaded.build, hot=hot, catalogue=CATALOGUE, rules=[rule],
        assemble=lambda tree: assemble_tree(tree, loaded.source.places), solve=never,
    )  # fmt: skip
    (proposal,) = search.proposals(replace(finding, moves=(MOVE,)))
    assert proposal.passes and proposal.effects == () and proposal.brings == ()
