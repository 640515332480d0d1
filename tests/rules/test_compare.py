"""What of a review is new, worse, unchanged or gone against an older revision."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from stovelint.hold import LEAST
from stovelint.review import Item, OpenQuestion, Review
from stovelint.review.compare import MUCH, STEP, all_unchanged, compare, counts
from stovelint.review.records import Weakened
from stovelint.rule import Level, Measure, Stakes
from stovelint.variance import State, Weighed
from tests.report.make import finding, item, limit, measure, question, review, span
from tests.rules.test_variance import variance

CON = limit()
NEAR = limit("MH-CLR36", 36.0, "in", meaning="to what burns", sense="at least")


def hot(mid: float, level: Level = "error", subject: str = "bell-cap") -> Item:
    made = replace(finding(measure(mid - 9.0, mid, mid + 9.0, CON)), subject=subject)
    return item(made, level)


def distance(mid_m: float) -> Item:
    held = measure(mid_m, mid_m, mid_m, NEAR, what="distance", past=1, exact=True)
    return item(replace(finding(held, stakes="danger"), rule="combustible-clearance"))


def against(now: Review, before: Review | None, **more: Any) -> Review:
    return compare(now, before, since="main", **more)


def standing(now: Item, before: Item) -> str | None:
    (one,) = against(review(now), review(before)).items
    return one.standing


def test_by_what_it_is_about_and_not_by_where_it_stands() -> None:
    old, moved = review(hot(300.0), hot(300.0, subject="gone")), replace(hot(305.0), span=span(90))
    result = against(review(moved, hot(300.0, subject="other")), old, file_before="old.heater.yaml")
    assert [i.standing for i in result.items] == ["unchanged", "new"]
    assert [i.finding.subject for i in result.gone] == ["gone"]
    assert counts(result) == {"new": 1, "worse": 0, "unchanged": 1, "gone": 1}
    assert (result.since, result.file_before) == ("main", "old.heater.yaml")


def test_without_an_older_review_all_is_new() -> None:
    result = against(
        review(hot(300.0), open=(question(),)), None, file_before="a", not_compared="it is no plan"
    )
    assert counts(result) == {"new": 2, "worse": 0, "unchanged": 0, "gone": 0}
    assert result.not_compared == "it is no plan" and result.verdict == "revise"


def test_the_same_bytes_say_the_same() -> None:
    result = all_unchanged(review(hot(300.0), open=(question(),)), since="main", file_before="a")
    assert counts(result) == {"new": 0, "worse": 0, "unchanged": 2, "gone": 0}
    assert result.verdict == "as noted" and result.status == 0


@pytest.mark.parametrize(("was", "here"), [("note", "warning"), ("warning", "error")])
def test_a_higher_level_is_worse(was: Level, here: Level) -> None:
    (one,) = against(review(hot(300.0, here)), review(hot(300.0, was))).items
    assert one.standing == "worse" and one.before is not None and one.before.level == was
    assert standing(hot(300.0, was), hot(300.0, here)) == "unchanged"


def test_what_is_accepted_no_longer_is_worse() -> None:
    agreed = replace(hot(300.0), accepted=variance())
    assert standing(hot(300.0), agreed) == "worse"
    assert standing(agreed, hot(300.0)) == standing(agreed, agreed) == "unchanged"
    asked, answered = question(), replace(question(), accepted=variance())
    (one,) = against(review(open=(asked,)), review(open=(answered,))).open
    assert one.standing == "worse" and one.before == answered


@pytest.mark.parametrize(
    ("was", "here", "is_it"),
    [
        # 175 may be taken: by 100 K too much, a quarter more is 25 K.
        (275.0, 300.0, "unchanged"), (275.0, 300.1, "worse"), (275.0, 200.0, "unchanged"),
        # Barely past, less than the step more: no longer by a factor alone.
        (176.0, 185.9, "unchanged"), (176.0, 186.0, "worse"), (170.0, 185.0, "worse"),
    ],
)  # fmt: skip
def test_well_farther_past_its_limit_is_worse(was: float, here: float, is_it: str) -> None:
    assert (MUCH, STEP["degC"]) == (1.25, 10.0)
    assert standing(hot(here), hot(was)) == is_it


@pytest.mark.parametrize(
    ("was", "here", "is_it"),
    [(0.5, 0.4, "unchanged"), (0.5, 0.399, "worse"), (0.5, 0.6, "unchanged"),
     (0.02, 0.0101, "unchanged"), (0.02, 0.0099, "worse")],
)  # fmt: skip
def test_a_distance_goes_by_what_is_left_of_it(was: float, here: float, is_it: str) -> None:
    assert standing(distance(here), distance(was)) == is_it


def test_any_value_that_counts_may_make_it_worse() -> None:
    mean = limit("CON-93", 93.0, meaning="as a mean")

    def both(mid: float, counts: bool) -> Item:
        held: Measure = replace(measure(mid, mid, mid, mean, what="mean"), counts=counts)
        told = measure(1.0, mid, mid, None, what="hours above")
        return item(finding(measure(300.0, 300.0, 300.0, CON), held, told))

    assert standing(both(200.0, True), both(100.0, True)) == "worse"
    assert standing(both(200.0, False), both(100.0, False)) == "unchanged"
    assert standing(both(200.0, True), hot(300.0)) == "unchanged"  # it was not compared there


def test_a_place_of_another_name_is_held_against_the_farthest() -> None:
    def at(*places: tuple[str, float]) -> Item:
        return item(
            finding(*(measure(mid, mid, mid, CON, where=where) for where, mid in places))
        )

    before = at(("bell 0.10 to 0.20", 300.0), ("bell 1.45 to 1.60", 400.0))
    assert standing(at(("shell 1.45 to 1.60", 600.0)), before) == "worse"
    assert standing(at(("shell 1.45 to 1.60", 400.0)), before) == "unchanged"
    assert standing(at(("bell 0.10 to 0.20", 400.0)), before) == "worse", "there it was cooler"


# -- open questions -----------------------------------------------------------------------------


def asked(now: OpenQuestion, before: OpenQuestion) -> str | None:
    (one,) = against(review(open=(now,)), review(open=(before,))).open
    return one.standing


def test_a_question_goes_by_rule_subject_and_reason() -> None:
    here = question(("surroundings", "studs"), "wet-stone", "cap-insulation")
    assert asked(here, here) == "unchanged"
    assert asked(replace(here, span=span(9)), replace(here, remedy="say it")) == "unchanged"
    assert asked(here, replace(here, rules=("wet-stone",))) == "new"
    assert asked(replace(here, rules=("wet-stone",)), here) == "unchanged"
    assert asked(here, replace(here, subject="wall")) == "new"
    assert asked(here, replace(here, reason="something else")) == "new"
    assert asked(question(), question()) == "unchanged"  # no rule asks for the heat itself


def test_figures_of_a_reason_do_not_make_it_another() -> None:
    at = replace(question(), reason="no table goes to 312.5 degC")
    assert asked(replace(at, reason="no table goes to 320 degC"), at) == "unchanged"


def test_a_firing_that_stays_unknown_lets_no_change_pass() -> None:
    blind = replace(question(), rules=(), blind=True)
    before = review(open=(blind, question()))
    other = replace(before, build=replace(before.build, gauges_m={"brick": 0.08}))
    assert [one.standing for one in against(other, before).open] == ["new", "unchanged"]
    assert [one.standing for one in against(before, before).open] == ["unchanged"] * 2


def test_a_question_of_a_higher_level_is_worse() -> None:
    assert asked(question(), replace(question(), level="note")) == "worse"
    assert asked(replace(question(), level="note"), question()) == "unchanged"


# -- the verdict --------------------------------------------------------------------------------


@pytest.mark.parametrize("hold", LEAST)
@pytest.mark.parametrize("stakes", ["danger", "breakage"])
def test_what_stood_there_alike_holds_nothing(hold: Any, stakes: Stakes) -> None:
    made = item(finding(measure(300.0, 300.0, 300.0, CON), stakes=stakes))
    now = replace(review(made, open=(question(),)), hold=hold)
    assert against(now, now).verdict == "as noted"
    assert against(now, None).verdict == ("revise")


def test_what_is_only_to_be_considered_stays_clear() -> None:
    now = review(hot(300.0, "note"))
    assert now.verdict == against(now, now).verdict == against(now, None).verdict == "clear"
    strict = replace(now, hold="consider")
    assert (against(strict, strict).verdict, against(strict, None).verdict) == (
        "as noted", "revise",
    )  # fmt: skip


def test_a_weaker_claim_holds_like_a_finding() -> None:
    def verdict(stakes: Stakes, hold: Any = "breakage") -> str:
        weaker = Weakened(
            what="it is less", remedy="x", stakes=stakes, level="warning", span=span(), path=()
        )
        return replace(review(), weakened=(weaker,), hold=hold).verdict

    assert (verdict("danger"), verdict("breakage")) == ("revise", "as noted")
    assert verdict("breakage", "should") == "revise"


def test_a_stale_variance_that_was_so_holds_nothing() -> None:
    def stale(state: State) -> Review:
        one = Weighed(
            variance=variance(), state=state, span=span(), end_checked=True, found="x", why="",
            remedy="",
        )  # fmt: skip
        return replace(review(), variances=(one,), hold="consider")

    assert stale("unused").verdict == "revise"
    assert against(stale("unused"), stale("unused")).verdict == "as noted"
    assert against(stale("expired"), stale("unused")).verdict == "revise"
    assert against(stale("unused"), review()).verdict == "revise"
    assert not against(stale("used"), stale("used")).variances[0].known
