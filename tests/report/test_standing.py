"""How a plan stands against an older revision, in the text report."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from stovelint.remedy import Together
from stovelint.report.summary import compared_text, count_text
from stovelint.report.text import text_report
from stovelint.review import Review
from stovelint.review.compare import compare
from stovelint.review.records import Weakened
from tests.report.make import finding, item, limit, measure, proposal, question, review, span
from tests.rules.test_variance import variance

CON = limit()
HOT = item(finding(measure(290.0, 300.0, 310.0, CON)))
COOL = replace(item(finding(measure(170.0, 180.0, 190.0, CON, past=20))), level="warning")
STUDS = question(("surroundings", "studs"), "combustible-clearance")
WEAKER = Weakened(
    what="the room was at 20 degC, and is at 15 degC", remedy="put it back", stakes="danger",
    level="warning", span=span(3, 4), path=("site", "room"),
)  # fmt: skip


def against(now: Review, before: Review | None, **more: Any) -> Review:
    return compare(now, before, since="main", **{"file_before": now.file, **more})


def text(of: Review, units: Any = "si", **more: Any) -> str:
    return text_report(of, more.get("proposals", {}), units=units)


def test_nothing_of_it_where_nothing_was_compared() -> None:
    said = text(review(HOT, open=(STUDS,)))
    assert not any(word in said for word in ("compared", "unchanged", "gone", "new", "before"))


@pytest.mark.parametrize(
    ("more", "said"),
    [
        ({}, "compared with main: 1 new, 1 unchanged"),
        ({"file_before": "old.heater.yaml"},
         "compared with main: 1 new, 1 unchanged; there it is old.heater.yaml"),
        ({"file_before": None}, "compared with main: the plan was not there, so all of it is new"),
        ({"not_compared": "it is no plan"},
         "compared with main: all counts as new, since the plan could not be reviewed there "
         "(it is no plan)"),
    ],
)  # fmt: skip
def test_the_head_line(more: dict[str, Any], said: str) -> None:
    made = against(review(HOT, open=(STUDS,)), review(HOT), **more)
    assert compared_text(made) == said
    assert said.replace(" (it is no plan)", "") in " ".join(text(made).split())
    one, two = (replace(made, weakened=(WEAKER,) * count) for count in (1, 2))
    if not more:
        assert compared_text(one).endswith(", 1 weaker claim")
        assert compared_text(two).endswith(", 2 weaker claims")


def test_the_head_line_counts_nothing_that_is_not_there() -> None:
    assert compared_text(against(review(), review())) == (
        "compared with main: nothing found, then or now"
    )


def test_what_comes_of_every_change_is_told_below_the_last_one() -> None:
    made = against(review(HOT, open=(STUDS,)), review(HOT))
    done = Together(edits=(), left=())
    said = text_report(replace(made, weakened=(WEAKER,)), {0: (proposal(),)}, done)
    lines = said.splitlines()
    at = next(number for number, line in enumerate(lines) if line.startswith("With every first"))
    assert [line for line in lines if line.startswith("    do ")] == [
        line for line in lines[:at] if line.startswith("    do ")
    ]
    assert "nothing remains that must or should change, beside the weaker claim." in " ".join(lines)


def test_a_worse_one_says_how_it_stood() -> None:
    said = text(against(review(HOT), review(COOL)))
    assert "must change, worse   (breakage, 32 of 32 cases)" in said
    assert "    before    should change; bare concrete: peak 180 degC (170 to 190)\n" in said
    assert "572 degF" in text(against(review(HOT), review(COOL)), "us")
    agreed = replace(HOT, accepted=variance("cap"))
    assert "    before    accepted by the variance cap; bare" in text(
        against(review(HOT), review(agreed))
    )


def test_unchanged_ones_are_numbered_after_all_that_is_new() -> None:
    other = replace(HOT, finding=replace(HOT.finding, subject="lid", rule="wet-stone"))
    now = against(review(HOT, other, open=(STUDS,)), review(HOT, open=(STUDS,)))
    said = text(replace(now, weakened=(WEAKER,)), proposals={0: (proposal(),), 1: (proposal(),)})
    heads = [line for line in said.splitlines() if line[:3].strip().isdigit()]
    assert [head.split("  ")[1].split(",")[0].strip() for head in heads] == [
        "wet stone", "weaker claim", "cap insulation", "combustible clearance",
    ]  # fmt: skip
    assert [int(head[:2]) for head in heads] == [1, 2, 3, 4]
    section = said.partition("\nunchanged since main; this holds nothing here\n")[2]
    assert section.startswith(" 3  cap insulation, must change: bell / cap / hot face")
    assert "    do        1 in blanket under it" in section
    assert " 4  combustible clearance, open: studs" in section
    assert said.count("CON-175") == 2, "at the new one, and among the sources"


def test_what_does_not_pass_is_not_offered_for_an_unchanged_one() -> None:
    now = against(review(HOT), review(HOT))
    section = text(now, proposals={0: (proposal(passes=False),)})
    assert "no blanket" not in section


def test_a_weaker_claim_reads_like_an_item() -> None:
    said = text(replace(against(review(), review()), weakened=(WEAKER,)), "us")
    assert " 1  weaker claim                               should change   (danger)\n" in said
    assert "    at        site / room " in said and "kiln.heater.yaml:4:5\n" in said
    assert "the room was at 68 degF, and is at 59 degF" in said
    assert "    do        put it back\n" in said


def test_an_entry_of_a_list_is_counted_as_a_reader_counts() -> None:
    low = replace(WEAKER, path=("parts", "bell", "layers", 0))
    assert "    at        parts / bell / layers / no. 1 " in text(
        replace(against(review(), review()), weakened=(low,))
    )


def test_what_is_gone_is_listed() -> None:
    said = text(against(review(), review(HOT, replace(COOL, accepted=variance()))))
    assert "gone since main, with places as they were there\n    cap insulation, must " in said
    assert "cap insulation, accepted: bell / cap / hot face" in said


def test_open_questions_have_their_standing() -> None:
    said = text(against(review(open=(STUDS,)), review()))
    assert " 1  combustible clearance (new) " in said
    accepted = replace(STUDS, accepted=variance())
    said = text(against(review(open=(accepted, question())), review(open=(accepted, question()))))
    assert "combustible clearance, accepted: studs" in said and "heat, open: studs" in said


def test_the_closing_count_leaves_out_what_stood_there() -> None:
    made = against(review(HOT, open=(STUDS,)), review(HOT, replace(COOL, finding=replace(
        COOL.finding, subject="lid"))))  # fmt: skip
    assert count_text(made) == "Outcome revise: one question open, one unchanged, one gone."
    assert count_text(replace(made, weakened=(WEAKER,))).startswith(
        "Outcome revise: one item should change, one question open"
    )
