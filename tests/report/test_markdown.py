"""The comment on a change request, rendered: what is read first, and that nothing in it acts."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from stovelint.report.answer import Answer
from stovelint.report.inline import CUT, MOST, code, escaped, prose
from stovelint.report.markdown import MARKER, markdown_report
from stovelint.report.sections import MOST_BYTES, Section, fitted
from stovelint.report.told import Notice, Told
from stovelint.rule import Note
from tests.report.commonmark import pages, taking_effect
from tests.report.make import FILE, question, review
from tests.report.tell import (
    answered, everything, found, mistake, stretch, told, weakened,
)  # fmt: skip

HOST_LIMIT = 65_536
BAIT = (
    "<script>x</script>", "<b onclick=x>", "</details>", "<!-- stovelint review -->", "-->",
    "[a](http://b.example)", "![a](http://b.example/x.png)", "[a]: http://b.example", "[a][b]",
    "<http://b.example>", "http://b.example", "https://b.example/?a=b", "www.b.example",
    "ftp://b.example", "a@b.example", "mailto:a@b.example", "xmpp:a@b.example",
    "@mason", "@shop/all", "#12", "GH-12", "shop/plans#12", "!34", "~label", '~"a label"',
    "%milestone", "&epic", "$12", "^alert", "shop/plans@0123abcdef", "0123abcdef01",
    ":tada:", ":+1:", "**bold**", "_it_", "~~out~~", "`code`", "``", "`", "\\", "\\\\`", "a|b",
    "$x$", "$$x$$", "&lt;b&gt;", "&#60;b&#62;", "\n\n# head", "\n- item", "\n/close", "\n> quote",
    "\n```\nx", "\n---", "\n===", "    code", "\n\n    code", "| a |\n|---|\n| b |", "\t",
    "\r\n# x",
    "[^1]", "[ ] task", "<details open>", "<img src=x>", "<a href='javascript:x'>", "\u202e", "\0",
    "##[error]x", "\n::error::x", "`@mason`", "`<b>`", "`` `<b>` ``", "`a|b`",
    "`#1`", "-\n-", "*",
    "- item", "+ item", "* item", "1. item", "12) item", "---", "===", "> x", "# head", "- - x",
)  # fmt: skip


def rendered(call: Told) -> list[str]:
    """The text as it is read; both readers must agree on it, and nothing may take effect."""
    markdown = markdown_report(call)
    assert markdown.startswith(f"{MARKER}\n") and markdown.count(MARKER) == 1
    assert len(markdown.encode("utf-8")) <= HOST_LIMIT
    host, other = pages(markdown)
    assert taking_effect(host) == taking_effect(other) == []
    assert host.text == other.text
    return host.text.splitlines()


def test_mistakes_are_numbered_and_stand_at_their_lines() -> None:
    said = markdown_report(told(Answer(file=FILE, mistakes=(mistake(),))))
    (item,) = [line for line in said.splitlines() if line.startswith("- **1")]
    assert item.startswith("- **1** at parts / bell-cap, line ")


def test_outcomes_come_first_and_the_worst_of_them() -> None:
    lines = rendered(
        told(
            answered(review(), file="a.heater.yaml"), answered(everything(), file="b.heater.yaml"),
            Answer(file="c.heater.yaml", mistakes=(mistake(),)),
        )
    )  # fmt: skip
    assert lines[:4] == [
        "Heat review", "could not be reviewed: c.heater.yaml",
        "revise, 1 danger accepted: Kiln Cottage, KC-01 (b.heater.yaml); two items must change, "
        "two should, two items to consider, one item accepted, two questions open.",
        "clear: Kiln Cottage, KC-01 (a.heater.yaml); nothing to correct.",
    ]  # fmt: skip


def test_one_plan_in_order() -> None:
    markdown = markdown_report(told(answered(everything())))
    lines = rendered(told(answered(everything())))
    heads = re.findall(r"^\*\*(.+)\*\*$|<summary>(.+)</summary>", markdown, re.M)
    assert [bold or folded for bold, folded in heads] == [
        "Dangers accepted", "Must change", "Should change", "Could not be judged",
        "2 to consider", "1 not judged, and no danger", "Sources of the limits", "Assumed",
    ]  # fmt: skip
    start = lines.index("Must change")
    assert lines[start + 1 : start + 7] == [
        "1 cap insulation, breakage, 32 of 32 cases", "at bell / cap / hot face, line 11",
        "found bare concrete: span peak 324 degC (272 to 387)",
        "may take 175 degC in excursions (CON-175, read)", "why it cracks across the span",
        "do 1 in blanket under it: span peak 324 degC (272 to 387)",
    ]  # fmt: skip
    assert "agreed by the owner: relaid in spring (variance v; without it: must change)" in lines
    assert lines[-1].startswith("Estimates with a range; local code and licensed practice decide.")


def test_figures_in_the_units_asked_for() -> None:
    assert "615 degF" in markdown_report(told(answered(everything())), "us")
    assert "degC" not in markdown_report(told(answered(everything())), "us")


def test_further_facts_are_folded() -> None:
    item = found()
    note = Note(text="it spans {}", values=((1.25, "m"),))
    item = replace(item, finding=replace(item.finding, notes=(note,)))
    markdown = markdown_report(told(answered(review(item))))
    _, folded = markdown.split("<summary>What else is known of these items</summary>")
    assert "*also* it spans 1.25 m" in folded


def test_a_place_in_another_file_is_named() -> None:
    item = replace(found(), span=stretch("kit/core.heater.yaml", (4, 2), (4, 9)))
    lines = rendered(told(answered(review(item)), prefix="shop/"))
    assert "at bell / cap / hot face, shop/kit/core.heater.yaml:5:3" in lines


def test_against_an_older_revision() -> None:
    whole = everything(standing="unchanged")
    new = found("danger", "error", line=99, standing="new", text="bare softwood")
    worse = found("breakage", "error", line=98, standing="worse", text="bare limestone")
    compared = replace(
        whole, items=(*whole.items, new, worse), since="main", file_before=FILE,
        gone=(found(text="bare granite"),), weakened=(weakened(),),
    )  # fmt: skip
    call = told(answered(compared), since="main")
    lines = rendered(call)
    places = [
        next(n for n, line in enumerate(lines) if said in line)
        for said in ("compared with main", "New, must change", "bare softwood",
                     "New, should change", "8 kg stand there now", "Gone", "bare granite",
                     "stand as they stood")
    ]  # fmt: skip
    assert places == sorted(places)
    assert any("bare limestone" in line for line in lines)
    assert any(line.endswith(", worse than it stood") for line in lines)
    markdown = markdown_report(call)
    assert "<summary>8 stand as they stood</summary>" in markdown


def test_clear_plans_are_folded_where_they_are_many() -> None:
    clear = [answered(review(), file=f"{n}.heater.yaml") for n in range(5)]
    markdown = markdown_report(told(answered(review(found())), *clear))
    assert "<summary>5 plans are clear</summary>" in markdown
    assert markdown.count("### ") == 1
    assert "<summary>" not in markdown_report(told(*clear[:3]))


def test_mistakes_failures_and_notices() -> None:
    lines = rendered(
        told(
            Answer(file="a.heater.yaml", mistakes=(mistake("no `perlit`"),)),
            Answer(file="b.heater.yaml", failure="its heat could not be computed"),
            answered(everything(crash=True)),
            notices=(Notice(message="no settings here", remedy="name them", stops=True),),
        )
    )
    assert lines[1] == "no settings here; name them"
    assert "wrong no perlit" in lines and "wrong its heat could not be computed" in lines
    assert any("it divides by zero" in line for line in lines)


def hostile(text: str) -> Told:
    item = replace(found("danger", text=text), span=stretch(text, (3, 2), (3, 9)))
    finding = replace(
        item.finding, walk_to=text, why=text, notes=(Note(text=text.replace("{", "{{")),)
    )
    asked = replace(question(), reason=text, remedy=text, subject=text)
    built = review(
        replace(item, finding=finding), found("danger", accepted=True), open=(asked,), title=text,
        assumptions=(text,),
    )  # fmt: skip
    agreed = built.items[1].accepted
    assert agreed is not None
    agreed = replace(agreed, who=text, reason=text, name=text)
    items = (built.items[0], replace(built.items[1], accepted=agreed))
    build = replace(
        built.build, drawing=text, jurisdiction=text, by_others={text: text, "air": text}
    )
    old = replace(built, items=items, build=build, gone=(found(text=text),), since=text,
                  file_before=text, weakened=(replace(weakened(), what=text),))  # fmt: skip
    return told(
        answered(old, file=text or "x"), Answer(file=text, mistakes=(mistake(text),)),
        Answer(file=text, failure=text), notices=(Notice(message=text, remedy=text),), since=text,
    )  # fmt: skip


@pytest.mark.parametrize("bait", BAIT)
def test_no_text_of_a_plan_takes_effect(bait: str) -> None:
    for text in (bait, f"a {bait} b", f"x{bait}", bait * 3):
        rendered(hostile(text))


def test_all_baits_at_once() -> None:
    rendered(hostile(" ".join(BAIT)))
    rendered(hostile("".join(BAIT)))


@pytest.mark.parametrize("bait", BAIT)
def test_what_is_made_harmless_still_reads_the_same(bait: str) -> None:
    if not bait.isprintable():
        return
    for written in (escaped(bait), code(bait)):
        host, other = pages(f"x{written}x")
        assert host.text == other.text == "x" + " ".join(bait.split()) + "x"


def test_the_readers_see_what_would_take_effect() -> None:
    """The checks above are worth something: without our escapes nearly every bait acts."""
    acting = [bait for bait in BAIT if any(map(taking_effect, pages(f"a {bait}\n")))]
    assert len(acting) > 40
    assert {"@mason", "#12", "<script>x</script>", "www.b.example", ":tada:"} <= set(acting)


# -- what a host takes ----------------------------------------------------------------------------


def test_what_has_no_room_is_counted() -> None:
    many = [found("breakage", "note", line=n, text="x" * 300) for n in range(300)]
    many += [found("danger", "error", line=n, text="y" * 300) for n in range(20)]
    call = told(answered(review(*many)))
    markdown = markdown_report(call)
    assert HOST_LIMIT // 2 < len(markdown.encode("utf-8")) <= MOST_BYTES
    lines = rendered(call)
    (cut,) = [line for line in lines if line.startswith("Cut, since a comment takes no more: ")]
    found_ = re.match(r"Cut, since a comment takes no more: (\d+) to consider", cut)
    assert found_ is not None
    shown = sum("x" * 300 in line for line in lines)
    assert 0 < shown and int(found_[1]) + shown == 300
    assert sum("y" * 300 in line for line in lines) == 20, "what must change has room first"
    assert lines.index(cut) < 4, "the sentence stands where it is read"
    assert lines[-1].startswith("Estimates with a range")


def test_no_plan_loses_its_head_before_its_items() -> None:
    """Else what must change in one plan would be read as if it belonged to another."""
    items = (found("danger", text="x" * 500), found("breakage", "note", text="y" * 90))
    plans = [answered(review(*items, title=f"Plan {n}"), file=f"{n}.yaml") for n in range(150)]
    markdown = markdown_report(told(*plans))
    heads = re.findall(r"^### (Plan \d+), ", markdown, re.M)
    assert 20 < len(heads) < 150
    for head, note in zip(heads, re.split(r"^### .*$", markdown, flags=re.M)[1:]):
        number = head.split()[1]
        assert note.count("x" * 500) == 1 or number == heads[-1].split()[1]
        assert f"`{number}.yaml`; hardest firing" in note
    assert f"{150 - markdown.count('x' * 500)} that must change" in markdown


def test_even_thousands_of_plans_and_endless_titles_fit() -> None:
    plans = [answered(review(found(), title="z" * 5000), file=f"{n}.yaml") for n in range(2000)]
    call = told(*plans, notices=(Notice(message="n" * 100_000, remedy="m" * 100_000),) * 40)
    markdown = markdown_report(call)
    assert len(markdown.encode("utf-8")) <= MOST_BYTES
    assert "outcomes of plans" in markdown and CUT in markdown
    assert escaped("z" * 5000) == "z" * MOST + " &#91;cut&#93;"


def test_a_full_comment_takes_nothing_that_matters_less() -> None:
    sections = [
        Section(rank=1, noun="small", blocks=("s" * 10 + "\n",)),
        Section(rank=0, noun="great", blocks=("g" * 2000 + "\n", "q" * 5000 + "\n")),
    ]
    text = fitted(["head\n"], sections, "end\n", most=5000)
    assert "g" * 2000 in text and "q" not in text
    assert "s" * 10 not in text and "1 small, 1 great" in text
    assert text.startswith("head\n") and text.endswith("end\n")


def test_quotes_of_our_own_are_code() -> None:
    said = prose("no rule `a`, nor `@b`; `c``d` <")
    assert said == "no rule `a`, nor `@b`; &#96;c&#96;&#96;d&#96; &#60;"
