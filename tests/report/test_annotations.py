"""Workflow commands, read back as a runner reads them; nothing of a plan becomes a command."""

from __future__ import annotations

from dataclasses import replace

import pytest

from stovelint.report.annotations import MOST, MOST_NAMED, annotations_report, command
from stovelint.report.answer import Answer
from stovelint.report.told import Notice, Told
from tests.report.make import FILE, question, review
from tests.report.runner import Command, commands
from tests.report.tell import (
    answered, everything, found, mistake, stretch, told, weakened,
)  # fmt: skip

KINDS = {"error", "warning", "notice"}
HOSTILE = "x\n::error::a\r::set-output name=b::c\u2028##[add-mask]d%0A::stop-commands::e, f:g"


def read(call: Told) -> list[Command]:
    found = commands(annotations_report(call))
    assert {one.name for one in found} <= KINDS
    return found


def test_the_reader_reads_as_a_runner_does() -> None:
    log = "a ::error::b\n  ::error file=a%2Cb,line=3::c%25%0Ad%3A\r##[group]x\rz ##[debug p=1]y\n"
    assert commands(log) == [
        Command(name="error", properties={"file": "a,b", "line": "3"}, data="c%\nd%3A"),
        Command(name="group", properties={}, data="x"),
        Command(name="debug", properties={"p": "1"}, data="y"),
    ]


def test_kinds_follow_our_levels_and_what_holds_comes_first() -> None:
    got = [(one.name, one.properties["line"], one.properties["title"].partition(":")[0])
           for one in read(told(answered(everything())))]  # fmt: skip
    assert got == [
        ("error", "31", "must change"), ("error", "11", "must change"),
        ("warning", "21", "should change"), ("warning", "81", "open"),
        ("warning", "51", "should change"),
        ("notice", "91", "accepted"), ("notice", "41", "consider"), ("notice", "81", "open"),
        ("notice", "61", "consider"),
    ]  # fmt: skip


def test_one_command_in_full() -> None:
    place = stretch("plans/a: b,c%.heater.yaml", (51, 19), (51, 43))
    item = replace(found("danger"), span=place)
    (one,) = read(told(answered(review(item))))
    assert one.properties == {
        "file": "plans/a: b,c%.heater.yaml", "line": "52", "endLine": "52", "col": "20",
        "endColumn": "43", "title": "must change: cap insulation at bell / cap / hot face",
    }  # fmt: skip
    assert one.data.splitlines() == [
        "danger, 32 of 32 cases",
        "found: bare concrete: span peak 324 degC (272 to 387)",
        "may take: 175 degC in excursions (CON-175, read)",
        "why: it cracks across the span",
        "do: 1 in blanket under it: span peak 324 degC (272 to 387)",
    ]


def test_a_stretch_over_lines_is_shown_at_its_first() -> None:
    item = replace(found(), span=stretch(FILE, (4, 2), (9, 0)))
    (one,) = read(told(answered(review(item))))
    assert {k: v for k, v in one.properties.items() if k != "title"} == {
        "file": FILE, "line": "5", "col": "3",
    }  # fmt: skip


def test_paths_count_from_the_root_of_the_repository() -> None:
    call = told(answered(review(found()), file="../kiln.heater.yaml"), prefix="shop/plans/")
    (one,) = read(call)
    assert one.properties["file"] == "shop/kiln.heater.yaml"


@pytest.mark.parametrize("many", [MOST - 1, MOST, MOST + 1, 57, MOST + MOST_NAMED + 20])
def test_nothing_is_dropped_in_silence(many: int) -> None:
    """A host keeps ten of a kind; each thing is told in one of these, the gravest alone."""
    items = [found(line=n, path=("parts", f"p{n}")) for n in range(many)]
    items.append(found("danger", "error", line=many, path=("parts", "last")))
    got = read(told(answered(review(*items))))
    assert len(got) == min(many + 1, MOST)
    assert got[0].properties["line"] == str(many + 1), "the danger comes first"
    if many + 1 <= MOST:
        assert len({one.properties["line"] for one in got}) == many + 1
        return
    alone, rest = got[:-1], got[-1]
    count = many + 1 - len(alone)
    assert rest.properties["title"] == f"{count} more of this kind"
    assert rest.data.endswith("\nthe correction list has them all: review with --as text")
    named = rest.data.splitlines()[:-1]
    if count <= MOST_NAMED:
        places = {line.rpartition(":")[0].rpartition(":")[2] for line in named}
        assert len(named) == len(places) == count
        shown = places | {one.properties["line"] for one in alone}
        assert shown == {str(n + 1) for n in range(many + 1)}
    else:
        assert len(named) == MOST_NAMED + 1
        assert named[-1] == f"and {count - MOST_NAMED} more"
    assert rest.properties["line"] == named[0].rpartition(":")[0].rpartition(":")[2]


def test_kinds_are_counted_apart_and_over_all_plans() -> None:
    items = [found(level=level, line=n) for n in range(8) for level in ("error", "note")]
    got = read(told(*(answered(review(*items), file=f"{n}.heater.yaml") for n in range(3))))
    assert [one.name for one in got] == ["error"] * MOST + ["notice"] * MOST


def test_what_is_accepted_or_stood_is_a_notice() -> None:
    old = replace(
        review(found(standing="unchanged"), found("danger", accepted=True, line=3)),
        since="v1,x", file_before=FILE,
    )  # fmt: skip
    got = read(told(answered(old), since="v1,x"))
    assert [one.name for one in got] == ["notice", "notice"]
    assert any("it stood alike in v1,x" in one.data for one in got)
    assert any("agreed: by the owner: relaid in spring" in one.data for one in got)
    (weaker,) = read(told(answered(replace(review(), weakened=(weakened(),)))))
    assert weaker.name == "warning" and "8 kg stand there now" in weaker.data


def test_what_could_not_be_reviewed_is_an_error() -> None:
    got = read(
        told(
            Answer(file="a.heater.yaml", mistakes=(mistake(),)),
            Answer(file="b.heater.yaml", failure="its heat could not be computed"),
            answered(everything(crash=True), file="c.heater.yaml"),
            notices=(
                Notice(message="no settings here", remedy="name them", stops=True),
                Notice(message="an old key", remedy="drop it", span=stretch("s", (2, 0), (2, 3))),
                Notice(message="weaker settings", remedy="say why", holds=True),
            ),
        )
    )
    assert got[0] == Command(
        name="error", properties={"title": "the call"}, data="no settings here\ndo: name them"
    )
    assert (got[1].name, got[1].properties["file"], got[1].properties["line"]) == (
        "warning", "s", "3",
    ) and got[1].properties["title"] == "settings"  # fmt: skip
    assert (got[2].name, got[2].data) == ("error", "weaker settings\ndo: say why")
    stopped = [one for one in got if one.properties["title"].startswith("could not be")]
    assert [(one.properties["file"], one.properties["line"]) for one in stopped] == [
        (FILE, "5"), ("b.heater.yaml", "1"), ("c.heater.yaml", "1"),
    ]  # fmt: skip


def test_the_outcomes_stand_below_in_plain_words() -> None:
    text = annotations_report(told(answered(review()), answered(review(found()), file="::x.y")))
    assert [line.split() for line in text.splitlines()[-2:]] == [
        [FILE, "outcome:", "clear"], [":", ":x.y", "outcome:", "revise"],
    ]  # fmt: skip
    assert annotations_report(told()) == ""


def test_no_text_of_a_plan_becomes_a_command() -> None:
    """Of its title, materials, names, reasons or file; each still reads as what it is."""
    item = replace(found(text=HOSTILE), span=stretch(HOSTILE, (3, 2), (3, 9)))
    item = replace(item, finding=replace(item.finding, walk_to=HOSTILE, why=HOSTILE))
    asked = replace(question(), reason=HOSTILE, remedy=HOSTILE, subject=HOSTILE)
    hostile = replace(review(item, open=(asked,), title=HOSTILE), since=HOSTILE)
    for call in (
        told(answered(hostile, file=HOSTILE), since=HOSTILE),
        told(Answer(file=HOSTILE, mistakes=(mistake(HOSTILE),))),
        told(Answer(file=HOSTILE, failure=HOSTILE)),
        told(notices=(Notice(message=HOSTILE, remedy=HOSTILE),)),
    ):
        text = annotations_report(call)
        assert all(line.isprintable() for line in text.split("\n"))
        got = read(call)
        assert {one.properties.get("file", FILE) for one in got} <= {
            HOSTILE.replace("\u2028", r"\u2028"), FILE,
        }, "the host finds the file by its own name"  # fmt: skip
        for one in got:
            assert set(one.properties) <= {"file", "line", "endLine", "col", "endColumn", "title"}


def test_a_command_escapes_what_it_must() -> None:
    made = command("error", "a:b,c%", "100 %3A\r\n::x", "d:e,f%25")
    assert made == "::error file=d%3Ae%2Cf%2525,line=1,title=a%3Ab%2Cc%25::100 %253A%0D%0A: :x"
