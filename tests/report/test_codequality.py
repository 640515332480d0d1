"""The code-quality report: it fits what the host asks for, and its fingerprints stay."""

from __future__ import annotations

import json
import re
from dataclasses import replace
from pathlib import Path
from typing import Any

import jsonschema  # type: ignore[import-untyped]
import pytest

from stovelint.report import codequality
from stovelint.report.answer import Answer
from stovelint.report.codequality import SEVERITIES, codequality_report
from stovelint.report.told import Notice, Told
from stovelint.review import Review
from stovelint.rule.level import RANK, STAKES
from tests.report.make import FILE, review
from tests.report.tell import answered, everything, found, mistake, stretch, told, weakened

SCHEMA = json.loads(Path(__file__).with_name("codequality.schema.json").read_text("utf-8"))


def entries(call: Told) -> list[dict[str, Any]]:
    text = codequality_report(call)
    assert text.isascii() and text.startswith("["), "no byte order mark"
    read: list[dict[str, Any]] = json.loads(text)
    jsonschema.Draft202012Validator(SCHEMA).validate(read)
    prints = [one["fingerprint"] for one in read]
    assert len(prints) == len(set(prints)), "the host shows what is alike once"
    return read


def test_the_schema_refuses_what_the_host_refuses() -> None:
    (good, *_) = entries(told(answered(everything())))
    engine = jsonschema.Draft202012Validator(SCHEMA)
    assert engine.is_valid([good])
    for path in ("./a.heater.yaml", "/a.heater.yaml", "a/./b.heater.yaml", "a//b", ""):
        assert not engine.is_valid([{**good, "location": {**good["location"], "path": path}}])
    assert not engine.is_valid([{**good, "severity": "fatal"}])


def test_everything_but_the_accepted_is_in_it() -> None:
    read = entries(told(answered(everything(crash=True))))
    assert [(one["check_name"], one["severity"], one["location"]["lines"]["begin"])
            for one in read] == [
        ("cap-insulation", "critical", 11), ("cap-insulation", "critical", 21),
        ("cap-insulation", "blocker", 31), ("cap-insulation", "minor", 41),
        ("cap-insulation", "minor", 51), ("cap-insulation", "info", 61),
        ("combustible-clearance", "critical", 81), ("wet-stone", "info", 81),
        ("brittle-stone", "blocker", 1),
    ]  # fmt: skip
    assert read[0]["description"] == (
        "must change: cap insulation at bell / cap / hot face; "
        "bare concrete: span peak 324 degC (272 to 387); "
        "may take: 175 degC in excursions (CON-175, read); "
        "do: 1 in blanket under it: span peak 324 degC (272 to 387)"
    )
    assert read[6]["description"].endswith("the gap is not described; say: say how it is open")


def test_severity_never_rises_as_level_or_stakes_fall() -> None:
    order = SCHEMA["items"]["properties"]["severity"]["enum"]
    ranks = [[order.index(SEVERITIES[s][level]) for level in RANK] for s in STAKES]
    assert all(row == sorted(row) for row in ranks)
    assert all(column == sorted(column, reverse=True) for column in map(list, zip(*ranks)))


def test_the_docstring_shows_the_severities() -> None:
    for stakes, levels in SEVERITIES.items():
        row = " | ".join((stakes, levels["error"], levels["warning"], levels["note"]))
        assert f"| {row} |" in (codequality.__doc__ or "")


def test_what_could_not_be_reviewed_is_a_blocker() -> None:
    read = entries(
        told(
            Answer(file="a.heater.yaml", mistakes=(mistake(line=4), mistake(line=9))),
            Answer(file="b.heater.yaml", failure="its heat could not be computed"),
        )
    )
    assert [one["severity"] for one in read] == ["blocker"] * 3
    assert [one["location"]["lines"]["begin"] for one in read] == [5, 10, 1]
    assert read[0]["description"] == (
        "could not be reviewed: build file at parts / bell-cap; no material is called perlit; "
        "do: write perlite"
    )
    assert read[2]["location"]["path"] == "b.heater.yaml"


def test_settings_are_told_at_their_place() -> None:
    at = stretch("stovelint.toml", (2, 0), (2, 4))
    notices = (
        Notice(message="a", remedy="x", span=at, stops=True),
        Notice(message="b", remedy="x", span=at, holds=True), Notice(message="c", remedy="x"),
        Notice(message="d", remedy="x", span=at), Notice(message="d", remedy="x", span=at),
    )  # fmt: skip
    read = entries(told(answered(review(found())), notices=notices, prefix="shop/"))
    assert [(one["description"], one["severity"]) for one in read[1:]] == [
        ("a; do: x", "blocker"), ("b; do: x", "critical"), ("d; do: x", "info"),
        ("d; do: x", "info"),
    ]  # fmt: skip
    assert {one["check_name"] for one in read[1:]} == {"settings"}
    assert read[1]["location"] == {"path": "shop/stovelint.toml", "lines": {"begin": 3}}


def prints(of: Review, *, file: str = FILE) -> list[str]:
    return [one["fingerprint"] for one in entries(told(answered(of, file=file)))]


def test_fingerprints_stay_when_lines_and_figures_move() -> None:
    before = everything()
    after = replace(
        before,
        items=tuple(
            replace(
                item,
                span=replace(item.span, start=replace(item.span.start, line=300 + n)),
                finding=replace(item.finding, found="bare stone", walk_to="bell / top"),
            )
            for n, item in enumerate(before.items)
        ),
        open=tuple(replace(one, reason="it is not said") for one in before.open),
    )
    assert prints(before) == prints(after)


def test_fingerprints_go_by_plan_and_place() -> None:
    here = prints(everything())
    assert not set(here) & set(prints(everything(), file="other.heater.yaml"))
    moved = found(path=("parts", "other-cap", "layers", 0))
    assert prints(review(found())) != prints(review(moved))


def test_a_variance_changes_no_other_fingerprint() -> None:
    """Also of those that are alike but for their order."""
    alike = [found(line=line) for line in (1, 2, 3)]
    all_of_them = prints(review(*alike))
    accepted = [found(line=1, accepted=True), *alike[1:]]
    assert prints(review(*accepted)) == all_of_them[1:]


def test_the_host_itself_tells_new_from_old() -> None:
    """What stood as it stood must be in the list, or the host would call it mended."""
    old = replace(everything(standing="unchanged"), since="main", file_before=FILE)
    assert prints(old) and set(prints(old)) == set(prints(everything()))
    (weaker,) = entries(told(answered(replace(review(), weakened=(weakened(),)))))
    assert (weaker["check_name"], weaker["severity"]) == ("weakened", "critical")


@pytest.mark.parametrize(
    ("file", "prefix", "path"),
    [
        ("./kiln.heater.yaml", "", "kiln.heater.yaml"),
        ("../kiln.heater.yaml", "shop/plans/", "shop/kiln.heater.yaml"),
        ("a b;%\u00e9\n.heater.yaml", "x/", "x/a b;%\u00e9\n.heater.yaml"),
        ("caf\udce9.heater.yaml", "", r"caf\xe9.heater.yaml"),
    ],
)
def test_paths(file: str, prefix: str, path: str) -> None:
    (entry,) = entries(told(answered(review(found()), file=file), prefix=prefix))
    assert entry["location"]["path"] == path


def test_a_log_that_it_is_printed_in_gets_no_command() -> None:
    text = codequality_report(told(answered(review(found(text="##[error]x\n::error::y")))))
    assert "##[" not in text and not re.search(r"^\s*::", text, re.M)
    (entry,) = json.loads(text)
    assert r"##[error]x\n::error::y" in entry["description"]
