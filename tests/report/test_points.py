"""What is told of a plan: each thing holds it exactly when the review says that it is held."""

from __future__ import annotations

from dataclasses import replace
from itertools import product

import pytest

from stovelint.hold import LEAST, Hold
from stovelint.report.answer import Answer
from stovelint.report.points import STOPS, points
from stovelint.report.text import text_report
from stovelint.review import Review
from stovelint.review.records import Standing
from stovelint.rule.level import RANK, STAKES
from stovelint.variance import Weighed
from tests.report.make import question, review, span
from tests.report.tell import answered, everything, found, mistake, weakened
from tests.rules.test_variance import variance


STALE = Weighed(
    variance=variance(), state="unused", span=span(), end_checked=True,
    found="wet-stone has nothing to say at a", why="it would accept a later change",
    remedy="delete it",
)  # fmt: skip


def one_each(hold: Hold, standing: Standing | None, accepted: bool) -> list[Review]:
    """Reviews with one thing in each, of all stakes and levels."""
    made = []
    for stakes, level in product(STAKES, RANK):
        item = found(stakes, level, accepted=accepted, standing=standing)
        asked = replace(
            question(), stakes=stakes, level=level, accepted=item.accepted, standing=standing
        )
        made += [review(item), review(open=(asked,))]
        made.append(replace(review(), weakened=(replace(weakened(), stakes=stakes, level=level),)))
    made.append(replace(review(), variances=(STALE,)))
    return [replace(one, hold=hold) for one in made]


@pytest.mark.parametrize("hold", list(LEAST))
def test_something_holds_exactly_when_the_plan_is_held(hold: Hold) -> None:
    standings: tuple[Standing | None, ...] = (None, "new", "worse", "unchanged")
    seen = set()
    for standing, accepted in product(standings, (False, True)):
        for one in one_each(hold, standing, accepted):
            held = any(point.holds for point in points(answered(one)))
            assert held == (one.verdict == "revise"), (standing, accepted, one)
            seen.add(held)
    assert seen == {True, False}


@pytest.mark.parametrize("crash", [False, True])
@pytest.mark.parametrize("hold", list(LEAST))
def test_everything_at_once(hold: Hold, crash: bool) -> None:
    answer = answered(everything(hold=hold, crash=crash))
    told = points(answer)
    assert any(point.holds for point in told) == (answer.status > 0)
    assert any(point.kind in STOPS for point in told) == (answer.status == 2) == crash


def test_what_stops_a_plan_holds_it() -> None:
    mistakes = Answer(file="a.heater.yaml", mistakes=(mistake("one", 9), mistake("two", 3)))
    assert [(p.number, p.first, p.holds) for p in points(mistakes)] == [
        (1, "one", True), (2, "two", True),
    ]  # fmt: skip
    (failure,) = points(Answer(file="a.heater.yaml", failure="its heat could not be computed"))
    assert failure.holds and failure.first == "its heat could not be computed"


def test_the_numbers_are_those_of_the_correction_list() -> None:
    whole = everything()
    whole = replace(whole, items=(replace(whole.items[0], standing="unchanged"), *whole.items[1:]))
    whole = replace(whole, since="main", file_before=whole.file, variances=(STALE,))
    lines = text_report(whole, {}).splitlines()
    heads = {line[:4].strip(): line[4:] for line in lines if line[:2].strip().isdigit()}
    told = [point for point in points(answered(whole))]
    assert [point.number for point in told] == list(range(1, len(told) + 1))
    for point in told:
        assert heads[str(point.number)].startswith(point.name), point


def test_nothing_unseen_is_left_in_any_text() -> None:
    hostile = found(text="x\n::error::y\x1b[31m\u202e")
    (point,) = points(answered(review(hostile)))
    assert all(text.isprintable() for _, text in point.fields)
    assert point.first.startswith(r"x\n::error::y\x1b[31m\u202e")
