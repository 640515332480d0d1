"""The correction list: one exact picture, and every rule of the layout by itself."""

from __future__ import annotations

import pytest

from stovelint.remedy import Effect, Together
from stovelint.report.text import text_report
from stovelint.review import Crash
from stovelint.rule import Note
from tests.report.make import finding, item, limit, measure, proposal, question, review

CON = limit()
MEAN = limit("CON-93", 93.0, meaning="as a long-term mean")
WIDE = 100


def test_the_whole_picture() -> None:
    concrete = finding(
        measure(272.0, 324.0, 387.0, CON, where="span"),
        measure(80.0, 99.0, 120.0, MEAN, what="mean", where="span", past=20),
        notes=(Note(text="the mean limit holds up to {}", values=((0.62, "m"),)),),
    )
    does = proposal(
        measure(55.0, 63.0, 75.0, CON, where="span", past=0),
        effects=(Effect(place="bell-wall course 8", by_K=77.0, peak_C=395.0),),
    )
    text = text_report(
        review(item(concrete), open=(question(("surroundings", "studs"), "combustible-clearance"),),
               assumptions=("the hardest firing is assumed",)),
        {0: (does,)},
        Together(edits=(), left=()),
    )  # fmt: skip
    assert text == """\
Kiln Cottage, KC-01                                                                  outcome: revise
hardest firing: 2 x 10 kg every 12 h (assumed)    code: IRC-2021    by others: air, chimney

 1  cap insulation                             must change   (breakage, 32 of 32 cases)
    at        bell / cap / hot face                                            kiln.heater.yaml:57:9
    found     bare concrete: span peak 324 degC (272 to 387), mean 99 degC (80 to 120)
    may take  175 degC in excursions (CON-175, read); 93 degC as a long-term mean (CON-93, read)
    why       it cracks across the span
    also      the mean limit holds up to 620 mm
    do        1 in blanket under it: span peak 63 degC (55 to 75); bell-wall course 8 then peaks 77
              K higher, at 395 degC, and no rule objects

With every first `do` made together and computed once more, nothing remains that must or should
change.

open questions
 2  combustible clearance                                                      kiln.heater.yaml:81:9
    at        studs
    open      the gap is not described
    say       say how it is open

sources
    CON-175  a standard, 2001, 1.2, read
    CON-93   a standard, 2001, 1.2, read

assumed
    the hardest firing is assumed

1 must change, 1 open. Estimates with a range; local code and licensed practice decide.
Cautions: fire, carbon monoxide, collapse, burns; fibre and silica dust (wet it, wear a mask, prefer
soluble fibre or board); hot steam from damp stone or green castings.
"""


def one(**more: object) -> str:
    hot = finding(measure(272.0, 324.0, 387.0, CON))
    return text_report(review(item(hot)), {}, **more)  # type: ignore[arg-type]


@pytest.mark.parametrize(("level", "word"), [
    ("error", "must change"), ("warning", "should change"), ("note", "consider"),
])  # fmt: skip
def test_levels_have_the_trades_words(level: str, word: str) -> None:
    hot = finding(measure(272.0, 324.0, 387.0, CON))
    text = text_report(review(item(hot, level)), {})  # type: ignore[arg-type]
    assert f" {word}   (breakage" in text and f"1 {word}." in text


def test_a_clause_has_no_likelihood() -> None:
    clause = limit("MH-CLR36", 914.0, "mm", meaning="to what burns", sense="at least")
    text = text_report(
        review(item(finding(measure(0.09, 0.09, 0.09, clause, what="distance", past=1, exact=True),
                            stakes="danger"))), {},
    )  # fmt: skip
    assert "(danger, by clause)" in text
    assert "distance 90 mm\n" in text and "at least 914 mm to what burns (MH-CLR36, read)" in text
    assert "cases" not in text


def test_value_and_limit_never_print_alike() -> None:
    text = text_report(review(item(finding(measure(92.8, 93.1, 93.3, MEAN, past=20)))), {})
    assert "peak 93.1 degC (92.8 to 93.3)" in text and "93 degC as a long-term mean" in text


def test_one_value_held_against_two_limits_is_printed_once() -> None:
    both = finding(measure(272.0, 324.0, 387.0, CON), measure(272.0, 324.0, 387.0, MEAN))
    assert text_report(review(item(both)), {}).count("324 degC") == 1


def test_weak_footing_is_said() -> None:
    weak = limit("CAP-149", 149.0, grade="practice")
    hot = finding(measure(272.0, 324.0, 387.0, weak))
    text = text_report(review(item(hot, "warning")), {})
    assert "CAP-149 is common practice, with no source, so it stops at `should change`" in text
    danger = finding(measure(272.0, 324.0, 387.0, weak), stakes="danger")
    text = text_report(review(item(danger)), {})
    assert "CAP-149 is common practice, with no source\n" in text


def test_do_or_and_tried() -> None:
    hot = finding(measure(272.0, 324.0, 387.0, CON))
    text = text_report(
        review(item(hot)),
        {0: (proposal(), proposal(on_top=True), proposal(passes=False))},
    )
    assert "    do        1 in blanket under it\n" in text
    assert "    or        with the changes to the other items made, 1 in blanket under it\n" in text
    assert "    tried     no blanket up to 4 in passes alone\n" in text


def test_what_a_change_brings_is_not_hidden() -> None:
    hot = finding(measure(272.0, 324.0, 387.0, CON))
    brings = proposal(brings=(("concrete-elevation", "bell-wall"),))
    text = text_report(review(item(hot)), {0: (brings,)})
    assert "but it brings concrete elevation at bell-wall" in text and "no rule objects" not in text


def test_what_remains_after_all_changes_is_told() -> None:
    text = one(together=Together(edits=(), left=(("concrete-elevation", "mouth", "warning"),)))
    flowing = " ".join(text.split())
    assert "there remains concrete elevation at mouth (should change)." in flowing


def test_a_broken_rule_is_loud() -> None:
    text = text_report(review(crashes=(Crash(rule="cap-insulation", message="KeyError: x"),)), {})
    assert "outcome: not complete, clear so far" in text
    assert "the rule cap insulation broke and judged nothing further: KeyError: x" in text


def test_nothing_to_correct() -> None:
    text = text_report(review(), {})
    assert "outcome: clear" in text and "\nNothing to correct. Estimates" in text
    assert "sources" not in text and "assumed\n" not in text


def test_us_units() -> None:
    text = one(units="us")
    assert "peak 615 degF (522 to 729)" in text and "347 degF in excursions" in text
    assert "2 x 22 lb every 12 h" in text


LONG = "a very long name of a part that somebody gave it in good faith and without thinking twice"


def test_no_line_is_wider_than_the_page() -> None:
    hot = finding(
        measure(272.0, 324.0, 387.0, CON, where=LONG),
        notes=(Note(text=f"{LONG} {LONG} {LONG}"),),
    )
    text = text_report(
        review(item(hot), open=(question((LONG,), "cap-insulation"),), title=LONG + LONG,
               assumptions=(LONG + " " + LONG,)),
        {0: (proposal(passes=False),)},
    )  # fmt: skip
    assert max(len(line) for line in text.splitlines()) <= WIDE


def test_a_title_cannot_drive_a_terminal() -> None:
    text = text_report(review(title="Kiln\x1b[31m\rCottage\u202e"), {})
    assert all(c == "\n" or c.isprintable() for c in text)


@pytest.mark.parametrize("word", ["safe", "approved", "error", "warning", "^"])
def test_words_and_signs_that_must_not_stand_in_a_report(word: str) -> None:
    assert word not in one().lower()
