"""Several layers, several rules, and a search that breaks: nothing is mixed up and nothing lost.

The rules here are made up, and the heat is none: what the search makes of them can be read off.
"""

from __future__ import annotations

import re
from dataclasses import replace
from typing import Any, Iterator, Mapping

import pytest

from stovelint.build import Build, Variance
from stovelint.hotmap.records import HotMap
from stovelint.place import Mark, Span
from stovelint.quantity import parse_length_m
from stovelint.remedy import Edit, Proposal, Search
from stovelint.remedy.budget import Budget, Enough
from stovelint.remedy.telling import untried
from stovelint.report.text import text_report
from stovelint.review import Item, Review, run_rule
from stovelint.rule import Insulate, Limit, Limits, Move, Outcome, Scene, Source, Swap, Thicken
from stovelint.rulebook import Rule
from tests.rules import make
from tests.rules.make import CATALOGUE, layer

Tree = dict[str, Any]
HERE = Mark(line=0, column=0, offset=0)
AT_LEAST = Limit(
    name="thick", key="THICK-50", value=50.0, unit="mm", sense="at least", meaning="of stone",
    scope="stone", source=Source(title="t", edition="e", clause="c", grade="read"),
)  # fmt: skip


def tree(*layers: tuple[str, str]) -> Tree:
    drawn = [{"material": m, "thickness": t} for m, t in layers]
    return {"parts": {"wall": {"kind": "wall", "layers": drawn}}}


def assemble(plan: Tree) -> Build:
    drawn = plan["parts"]["wall"]["layers"]
    layers = [layer(one["material"], parse_length_m(one["thickness"])) for one in drawn]
    return make.build([make.part("wall", "wall", layers)])


def rule_of(name: str, least_mm: Mapping[str, float], *moves: str) -> Rule:
    """Objects to layers of these materials that are thinner; tries what is named."""

    def judge(scene: Scene) -> Iterator[Outcome]:
        for part in scene.parts():
            for one in part.layers:
                if one.material is None or one.material not in least_mm:
                    continue
                limit = replace(AT_LEAST, value=least_mm[one.material])
                seen = scene.check(
                    "thickness", one.thickness_m, limit, subject=part.name, path=one.path
                )
                if seen.counts:
                    tried: dict[str, Move] = {
                        "swap": Swap(layer=one.path, use="soapstone"),
                        "thicken": Thicken(layer=one.path, use="soapstone"),
                        "line": Insulate(part=part.path, index=0, use="lining"),
                        "break": Swap(layer=one.path, use="nothing-sold"),
                    }
                    yield scene.finding(
                        part, path=(*one.path, "material"), walk_to="here", found=one.material,
                        measures=(seen,), why="x", moves=tuple(tried[move] for move in moves),
                    )  # fmt: skip

    return Rule(
        name=name, stakes="breakage", function=judge, limits=Limits(rows={}, tables={}),
        folder=name,
    )  # fmt: skip


def no_heat(build: Build, cases: tuple[int, ...] | None = None) -> HotMap:
    return make.hot()


def searched(
    plan: Tree, *rules: Rule, variances: tuple[Variance, ...] = ()
) -> tuple[Search, Review, dict[int, tuple[Proposal, ...]]]:
    build = replace(assemble(plan), variances={one.name: one for one in variances})
    hot = no_heat(build)
    items = tuple(
        Item(finding=f, level="error", span=Span(file="kiln.heater.yaml", start=HERE, end=HERE))
        for rule in rules
        for f in run_rule(rule, build=build, hot=hot, catalogue=CATALOGUE).findings
    )
    review = Review(
        file="kiln.heater.yaml", build=build, items=items, open=(), crashes=(), assumptions=()
    )
    search = Search(
        tree=plan, build=build, hot=hot, catalogue=CATALOGUE, rules=rules, assemble=assemble,
        solve=no_heat,
    )  # fmt: skip
    return search, review, search.for_review(review)


ROOMY = {"granite": 50.0, "slate": 50.0}


def test_each_of_two_layers_has_its_own_figures_and_its_own_remedy() -> None:
    """Both are too thin; what is done to one neither hides nor hinders the other."""
    plan = tree(("granite", "30 mm"), ("granite", "40 mm"))
    search, _, found = searched(plan, rule_of("thick", ROOMY, "thicken"))
    assert {i: [(p.passes, [m.mid for m in p.figures]) for p in found[i]] for i in found} == {
        0: [(True, [0.05])], 1: [(True, [0.05])],
    }  # fmt: skip
    assert "layer 1 of wall" in found[0][0].text and "layer 2 of wall" in found[1][0].text
    made = search.together(found)
    assert made is not None and made.left == ()
    assert made.edits == tuple(
        Edit(path=("parts", "wall", "layers", i, "thickness"), value="50 mm") for i in (0, 1)
    )


def test_a_layer_that_a_lining_moves_on_is_still_the_same() -> None:
    """Lining does nothing for this made-up rule: the granite behind it is as thin as it was."""
    plan = tree(("granite", "30 mm"), ("slate", "60 mm"))
    _, _, found = searched(plan, rule_of("thick", ROOMY, "line"))
    ((tried,),) = found.values()
    assert not tried.passes and [m.mid for m in tried.figures] == [0.03]


def test_another_material_is_made_as_thick_as_every_rule_there_wants() -> None:
    """Soapstone of 30 mm is none of the first rule's business, and the second wants 63 mm."""
    wet = rule_of("wet", {"granite": 900.0}, "swap")
    slab = rule_of("slab", {"granite": 63.0, "soapstone": 63.0})
    _, _, found = searched(tree(("granite", "30 mm")), wet, slab)
    (does,) = found[0]
    assert (does.still, does.text) == ((), "2 1/2 in soapstone instead of granite in wall")


def test_where_no_size_pleases_the_other_rule_it_is_said_and_comes_last() -> None:
    plan = tree(("granite", "30 mm"))
    wet = rule_of("wet", {"granite": 900.0}, "swap", "thicken")
    slab = rule_of("slab", {"granite": 150.0, "soapstone": 150.0})
    _, review, found = searched(plan, wet, slab)
    does, tried = found[0]
    assert (does.passes, does.still) == (True, ("slab",))
    assert does.text.startswith("30 mm soapstone")  # no larger size would serve either
    told = " ".join(text_report(review, found).split())
    assert re.search("30 mm soapstone instead of granite in wall.*; but slab still speaks", told)
    assert not tried.passes
    # Two that pass: the one after which nobody speaks is told first.
    wet = rule_of("wet", {"granite": 50.0}, "swap", "thicken")
    slab = rule_of("slab", {"granite": 50.0, "soapstone": 900.0})
    _, _, found = searched(plan, wet, slab)
    assert [(p.text[:5], p.still) for p in found[0]] == [("50 mm", ()), ("30 mm", ("slab",))]


def test_what_was_agreed_is_not_held_against_a_remedy() -> None:
    agreed = Variance(
        name="a", rule="slab", part="wall", reason="x", who="x", until=None,
        path=("variances", "a"),
    )  # fmt: skip
    wet = rule_of("wet", {"granite": 900.0}, "swap")
    slab = rule_of("slab", {"granite": 150.0, "soapstone": 150.0})
    _, _, found = searched(tree(("granite", "30 mm")), wet, slab, variances=(agreed,))
    assert found[0][0].still == ()


def test_that_no_swap_passes_names_the_material() -> None:
    plan = tree(("granite", "30 mm"))
    _, _, found = searched(plan, rule_of("thick", {"granite": 150.0, "soapstone": 150.0}, "swap"))
    assert [p.text for p in found[0]] == ["no soapstone up to 100 mm passes alone"]


def test_a_search_that_breaks_loses_no_finding_and_says_so() -> None:
    plan = tree(("granite", "30 mm"), ("slate", "30 mm"))
    bad = rule_of("bad", {"granite": 50.0}, "break", "thicken")
    good = rule_of("good", {"slate": 50.0}, "thicken")
    search, review, found = searched(plan, bad, good)
    assert [[p.passes for p in found[i]] for i in found] == [[True], [True]]
    (crash,) = search.crashes
    assert crash.searching and crash.message.startswith("for bad at wall: KeyError: 'nothing-sold'")
    whole = replace(review, crashes=search.crashes)
    told = " ".join(text_report(whole, found).split())
    assert "the search for what puts the findings right broke, and they stand without it: " in told
    assert "This is our fault" in told and whole.status == 2


def test_all_changes_together_that_break_lose_no_finding(monkeypatch: pytest.MonkeyPatch) -> None:
    search, _, found = searched(
        tree(("granite", "30 mm")), rule_of("thick", ROOMY, "thicken")
    )
    assert search.together(found) is not None

    def breaks(*_: object) -> None:
        raise ZeroDivisionError("made up")

    monkeypatch.setattr(search, "_speaks", breaks)
    assert search.together(found) is None
    (crash,) = search.crashes
    assert crash.message.startswith("with every change made together: ZeroDivisionError: made up")


def test_a_search_ends_and_says_so(monkeypatch: pytest.MonkeyPatch) -> None:
    """Of many findings the last are left without a remedy, and what was found is still tried as a
    whole."""
    monkeypatch.setattr("stovelint.remedy.budget.FEWEST_PLANS", 3)
    monkeypatch.setattr("stovelint.remedy.budget.MOST_THINGS", 3)
    plan = tree(*((name, f"{30 + i} mm") for i, name in enumerate(["granite", "slate"] * 4)))
    search, _, found = searched(plan, rule_of("thick", ROOMY, "thicken"))
    first, last = found[0], found[7]
    assert first[0].passes and not any(p.passes for p in last)
    assert [p.text for p in last] == [untried().text]
    whole, few = search.solves
    assert whole + few <= 5, "three, and one for what is offered, each time it is tried together"
    made = search.together(found)
    assert made is not None and len(made.edits) == sum(p[0].passes for p in found.values()) > 0
    assert search.crashes == ()


def test_a_usual_search_is_not_cut_short() -> None:
    plan = tree(*((name, f"{30 + i} mm") for i, name in enumerate(["granite", "slate"] * 4)))
    _, _, found = searched(plan, rule_of("thick", ROOMY, "thicken"))
    assert all(proposals[0].passes for proposals in found.values())


def test_large_plans_are_computed_less_often() -> None:
    def computed(things: int, cases: tuple[int, ...] | None) -> int:
        budget = Budget(things)
        for count in range(100_000):
            try:
                budget.take(cases)
            except Enough:
                return count
        raise AssertionError("it never ends")

    assert computed(20, None) == 200 and computed(160, None) == 25 and computed(4000, None) == 20
    assert computed(20, (1, 2)) == 200 * 16
