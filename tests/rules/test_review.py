"""The review: outcome, order, open questions, a rule that breaks, names of materials."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path as Path_
from typing import Iterator

import pytest

from stovelint.build import Joists, Reinforcement
from stovelint.hold import LEAST, USUAL, Hold, holds
from stovelint.hotmap.records import Unsolved
from stovelint.place import Entry, Mark, Path, Places, Span
from stovelint.review import Review, check_materials, objector, review
from stovelint.rule import (
    Finding,
    Limit,
    Limits,
    Measure,
    NotJudged,
    Outcome,
    Scene,
    Source,
    Stakes,
)
from stovelint.rulebook import Rule
from tests.rules import make
from tests.rules.make import CATALOGUE, layer, layer_heat, open_rule, patch, spread

LIMIT = Limit(
    name="x", key="X", value=100.0, unit="degC", sense="at most", meaning="x", scope="x",
    source=Source(title="t", edition="e", clause="c", grade="read"),
)  # fmt: skip


def at_lines(*paths: Path) -> Places:
    """Every path on a line of its own, in the order given."""
    entries: dict[Path, Entry] = {}
    for number, path in enumerate(((), *paths)):
        here = Mark(line=number, column=4, offset=number * 10)
        entries[path] = Entry(key=None, value=Span(file="kiln.heater.yaml", start=here, end=here))
    return Places(entries=entries)


def finding(rule: str, path: Path, stakes: Stakes, past: int) -> Finding:
    measure = Measure(
        what="peak", where="", unit="degC", low=90.0, mid=110.0, high=120.0, limit=LIMIT,
        past=past, cases=32, exact=False, counts=True,
    )  # fmt: skip
    return Finding(
        rule=rule, stakes=stakes, subject=str(path[-1]), path=path, walk_to="here", found="x",
        measures=(measure,), why="because", notes=(), moves=(),
    )  # fmt: skip


def unjudged(rule: str, path: Path, stakes: Stakes, reason: str = "no size") -> NotJudged:
    return NotJudged(
        rule=rule, stakes=stakes, subject=str(path[-1]), path=path, reason=reason, remedy="add it"
    )


def rule_that(
    name: str, *outcomes: Outcome, stakes: Stakes = "danger", breaks: bool = False
) -> Rule:
    def function(scene: Scene) -> Iterator[Outcome]:
        yield from outcomes
        if breaks:
            raise ZeroDivisionError("a slip")

    return Rule(
        name=name, folder=name, function=function, stakes=stakes, limits=Limits(rows={}, tables={})
    )


A: Path = ("parts", "a")
B: Path = ("parts", "b")


def reviewed(*rules: Rule, unsolved: tuple[Unsolved, ...] = ()) -> Review:
    return review(
        file="kiln.heater.yaml", places=at_lines(A, B), build=make.build(),
        hot=make.hot(unsolved=unsolved), catalogue=CATALOGUE, rules=rules,
    )  # fmt: skip


@pytest.mark.parametrize(
    ("outcomes", "verdict", "status"),
    [
        ((), "clear", 0),
        ((finding("r", A, "advice", 32),), "clear", 0),
        ((finding("r", A, "breakage", 2),), "clear", 0),  # a note
        ((finding("r", A, "performance", 32),), "as noted", 0),
        ((finding("r", A, "breakage", 30),), "as noted", 0),
        ((finding("r", A, "breakage", 31),), "revise", 1),
        ((finding("r", A, "danger", 2),), "revise", 1),
        ((finding("r", A, "danger", 1),), "clear", 0),  # one case in 32 is no finding
        ((unjudged("r", A, "danger"),), "revise", 1),
        ((unjudged("r", A, "breakage"),), "clear", 0),
    ],
)  # fmt: skip
def test_outcome(outcomes: tuple[Outcome, ...], verdict: str, status: int) -> None:
    result = reviewed(rule_that("r", *outcomes))
    assert (result.verdict, result.status) == (verdict, status)


def test_findings_stand_in_the_order_of_the_file_then_of_the_rules() -> None:
    result = reviewed(
        rule_that("z", finding("z", A, "danger", 32), finding("z", B, "danger", 32)),
        rule_that("a", finding("a", B, "advice", 32), finding("a", A, "advice", 32)),
    )
    assert [(i.span.start.line, i.finding.rule) for i in result.items] == [
        (1, "a"), (1, "z"), (2, "a"), (2, "z"),
    ]  # fmt: skip


def test_the_order_of_rules_changes_nothing() -> None:
    rules = [
        rule_that("a", finding("a", A, "danger", 32), unjudged("a", B, "breakage")),
        rule_that("b", finding("b", A, "danger", 31), unjudged("b", B, "danger")),
    ]
    forth, back = reviewed(*rules), reviewed(*reversed(rules))
    assert forth.items == back.items
    assert [(q.rules, q.level) for q in forth.open] == [(q.rules, q.level) for q in back.open]


def test_one_question_is_asked_once_for_all_rules_at_the_worst_level() -> None:
    result = reviewed(
        rule_that("a", unjudged("a", A, "breakage")), rule_that("b", unjudged("b", A, "danger"))
    )
    (question,) = result.open
    assert (question.rules, question.stakes, question.level) == (("a", "b"), "danger", "warning")


def test_heat_that_no_rule_asked_for_is_still_an_open_question() -> None:
    case = Unsolved(path=B, subject="b", reason="it faces a cavity", remedy="give the gap")
    (told,) = reviewed(unsolved=(case,)).open
    assert (told.rules, told.reason, told.level) == ((), "it faces a cavity", "note")
    question = unjudged("a", B, "danger", "it faces a cavity")
    asked = reviewed(rule_that("a", question), unsolved=(case,))
    assert len(asked.open) == 1 and asked.open[0].rules == ("a",) and not asked.open[0].blind
    lost = replace(case, state="usual")
    (told,) = reviewed(rule_that("a", question), unsolved=(lost,)).open
    assert told.blind and (told.rules, told.stakes) == (("a",), "danger")


def test_a_rule_that_breaks_is_told_and_the_others_still_run() -> None:
    result = reviewed(
        rule_that("a", finding("a", A, "advice", 32), breaks=True),
        rule_that("b", finding("b", B, "advice", 32)),
    )
    assert [crash.rule for crash in result.crashes] == ["a"]
    assert "ZeroDivisionError: a slip" in result.crashes[0].message
    assert [i.finding.rule for i in result.items] == ["a", "b"]  # what it said before is kept
    assert result.status == 2


@pytest.mark.parametrize(
    ("one", "path", "fault", "remedy"),
    [
        (layer("granit"), ("material",), "no material is called granit", "granite"),
        (layer("rebar"), ("material",), "reinforcement, not a layer", "reinforcement"),
        (replace(layer("slate"), mortar="slate"), ("mortar",), "slate is no mortar", "mortar"),
        (replace(layer("slate"), mortar="mortar-mud"), ("mortar",), "mortar-mud", "mortar-"),
        (
            replace(layer("slate"), reinforcement=Reinforcement(
                kind="slate", diameter_m=None, cover_m=None, path=())),
            ("reinforcement", "kind"), "slate is no reinforcement", "rebar",
        ),
        (
            replace(layer("softwood"), joists=Joists(
                width_m=0.05, spacing_m=0.4, between="wool", path=())),
            ("joists", "between"), "no material is called wool", "mineral-wool",
        ),
        # Both would take the layer out of every rule's sight.
        (
            layer("river-cobble", role="sacrificial"),
            ("material",), "neither burns nor rots away", "leave `role` out",
        ),
        (
            layer("softwood", role="sacrificial"),
            ("material",), "cannot be counted on to burn out", "burn-out-card",
        ),
    ],
)  # fmt: skip
def test_wrong_materials_are_located_mistakes(
    one: object, path: Path, fault: str, remedy: str
) -> None:
    part = make.part("a", "wall", [layer("slate"), one])  # type: ignore[list-item]
    (mistake,) = check_materials(make.build([part]), CATALOGUE, at_lines(A, (*A, "layers", 1)))
    assert mistake.path == ("parts", "a", "layers", 1, *path)
    assert fault in mistake.message and remedy in mistake.remedy
    assert mistake.span.start.line == 2


def test_all_wrong_materials_are_found_at_once_also_around_the_heater() -> None:
    part = make.part("a", "wall", [layer("granit"), layer("slate"), layer("brik")])
    near = make.surrounding("studs", "back", 0.1, [layer("pine")], shield=("tin", 0.03))
    found = check_materials(make.build([part], [near]), CATALOGUE, make.places())
    assert {m.path for m in found} == {
        ("parts", "a", "layers", 0, "material"), ("parts", "a", "layers", 2, "material"),
        ("surroundings", "studs", "layers", 0, "material"),
        ("surroundings", "studs", "shield", "kind"),
    }  # fmt: skip
    assert check_materials(make.build(), CATALOGUE, make.places()) == ()


def test_the_survey_may_ask_whether_a_rule_would_object() -> None:
    wall = make.part("wall", "wall", [layer("clay-brick-common")])
    heat = [layer_heat(wall.layers[0], spread(160.0), spread(100.0))]
    cool = [layer_heat(wall.layers[0], spread(80.0), spread(50.0))]
    hot = make.hot([patch(wall, heat, where="high"), patch(wall, cool, where="low")])
    ask = objector([open_rule("concrete-elevation")], make.build([wall]), hot, CATALOGUE)
    concrete = "concrete-normal-siliceous"
    assert ask(wall, wall.layers[0], ("bell", "high"), concrete)
    assert not ask(wall, wall.layers[0], ("bell", "low"), concrete)
    assert not ask(wall, wall.layers[0], ("bell", "high"), "soapstone")


def test_a_comparison_names_its_least_favourable_cases() -> None:
    scene = Scene(
        rule="r", stakes="danger", limits=Limits(rows={}, tables={}), build=make.build(),
        hot=make.hot(), catalogue=CATALOGUE,
    )  # fmt: skip
    values = [50.0] * 32
    values[7], values[20] = 120.0, 90.0
    hottest = scene.compare("peak", spread(*values), LIMIT, subject="x")
    assert (hottest.worst, hottest.past) == ((7, 20), 1)
    least = replace(LIMIT, sense="at least", value=60.0)
    values[3], values[11] = 10.0, 20.0
    coldest = scene.compare("share", spread(*values), least, subject="x")
    assert coldest.worst == (3, 11)
    assert scene.looks["x"] == [hottest, coldest]


def test_a_rule_is_not_applicable_when_it_looked_at_nothing_and_said_nothing() -> None:
    def looks(scene: Scene) -> Iterator[Outcome]:
        scene.compare("peak", spread(50.0), LIMIT, subject="a")  # fine, so it yields nothing
        yield from ()

    result = reviewed(
        rule_that("idle"), replace(rule_that("fine"), function=looks),
        rule_that("finds", finding("finds", A, "danger", 32)),
        rule_that("asks", unjudged("asks", A, "danger")), rule_that("breaks", breaks=True),
    )  # fmt: skip
    assert result.not_applicable == ("idle",)
    assert result.asked == ("asks", "breaks", "finds", "fine", "idle")


@pytest.mark.parametrize(
    ("hold", "outcomes", "verdict"),
    [
        ("danger", (finding("r", A, "breakage", 32),), "as noted"),
        ("danger", (finding("r", A, "danger", 2),), "revise"),
        ("must", (finding("r", A, "danger", 2),), "as noted"),
        ("must", (finding("r", A, "danger", 16),), "revise"),
        ("must", (finding("r", A, "breakage", 31),), "revise"),
        ("should", (finding("r", A, "breakage", 16),), "revise"),
        ("should", (finding("r", A, "performance", 32),), "revise"),
        ("should", (finding("r", A, "breakage", 2),), "clear"),
        ("consider", (finding("r", A, "breakage", 2),), "revise"),
        ("consider", (finding("r", A, "advice", 32),), "revise"),
        ("consider", (), "clear"),
        ("should", (unjudged("r", A, "danger"),), "revise"),
        ("must", (unjudged("r", A, "danger"),), "as noted"),
    ],
)  # fmt: skip
def test_what_holds_a_plan_may_be_chosen(
    hold: Hold, outcomes: tuple[Outcome, ...], verdict: str
) -> None:
    assert replace(reviewed(rule_that("r", *outcomes)), hold=hold).verdict == verdict


@pytest.mark.parametrize("hold", LEAST)
def test_no_hold_lets_a_danger_pass_that_must_change(hold: Hold) -> None:
    assert holds(hold, "danger", "error")
    assert reviewed(rule_that("r", finding("r", A, "danger", 16))).items[0].level == "error"


def test_the_usual_hold_is_the_one_of_the_page() -> None:
    """README: danger at *should change* or above, or breakage at *must change*."""
    assert dict(LEAST[USUAL]) == {"danger": "warning", "breakage": "error"}


def test_the_line_of_a_rule_that_breaks_is_named(tmp_path: Path_) -> None:
    import shutil

    from stovelint import rulebook
    from tests.tree import RULES

    folder = tmp_path / "cap-insulation"
    shutil.copytree(RULES / "cap-insulation", folder)
    text = (folder / "rule.py").read_text(encoding="utf-8")
    head, rest = text.split("    for part in scene.parts(", 1)
    broken = f"{head}    yield scene.no_such_thing\n    for part in scene.parts({rest}"
    (folder / "rule.py").write_text(broken, encoding="utf-8")
    (crash,) = reviewed(rulebook.open_folder(str(folder))).crashes
    line = head.count("\n") + 1
    assert "no_such_thing" in crash.message
    assert crash.message.endswith(f"(rule.py, line {line})")


def test_a_name_is_asked_of_the_book_only_once() -> None:
    wall = make.part("wall", "wall", [layer("clay-brick-common")])
    hot = make.hot([patch(wall, [layer_heat(wall.layers[0], spread(300.0), spread(99.0))])])
    calls: list[int] = []

    def counting(scene: Scene) -> Iterator[Outcome]:
        calls.append(1)
        yield from ()

    rule = replace(rule_that("r"), function=counting)
    ask = objector([rule], make.build([wall]), hot, CATALOGUE)
    for _ in range(3):
        assert not ask(wall, wall.layers[0], ("bell", "span"), "slate")
    assert calls == [1]
    assert not ask(wall, wall.layers[0], ("bell", "span"), "soapstone")


def test_a_plan_without_wrong_names_with_everything_named() -> None:
    bar = Reinforcement(kind="rebar", diameter_m=0.01, cover_m=0.025, path=())
    slab = replace(
        layer("concrete-normal-siliceous"), mortar="mortar-portland", reinforcement=bar
    )
    part = make.part("a", "cap", [slab, layer(gap="closed")])
    near = make.surrounding("studs", "back", 0.1, [WOOD], shield=("mild-steel", 0.03))
    far = make.surrounding("hedge", "front", 3.0, [WOOD])
    assert check_materials(make.build([part], [near, far]), CATALOGUE, make.places()) == ()


WOOD = layer("softwood")
