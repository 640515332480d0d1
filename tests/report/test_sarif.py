"""What stands in our SARIF documents, result by result."""

from __future__ import annotations

import json
from dataclasses import replace
from typing import Any

import pytest

from stovelint.remedy.replacements import replaced
from stovelint.report.answer import Answer
from stovelint.report.sarif import sarif_report
from stovelint.report.sarif.pages import description, page_markdown, page_text, shortened
from stovelint.report.told import Told
from stovelint.review.fingerprint import fingerprints
from stovelint.rule import Stakes
from tests.report import make, sarif_make, sarif_rules

Node = dict[str, Any]


def run(told: Told, *, upload: bool = False) -> Node:
    found: Node = json.loads(sarif_report(told, upload=upload))["runs"][0]
    return found


def results(told: Told, *, upload: bool = False) -> list[Node]:
    found: list[Node] = run(told, upload=upload)["results"]
    return found


def of(told: Told, rule: str, **members: object) -> Node:
    (found,) = (
        one for one in results(told) if one["ruleId"] == rule and members.items() <= one.items()
    )
    return found


ONE = sarif_make.told(sarif_make.answer())


def kinds(told: Told) -> dict[tuple[str, str], list[str]]:
    found: dict[tuple[str, str], list[str]] = {}
    for one in results(told):
        found.setdefault((one["kind"], one["level"]), []).append(one["ruleId"])
    return {key: sorted(rules) for key, rules in found.items()}


def test_each_thing_told_has_its_kind_and_level() -> None:
    assert kinds(ONE) == {
        ("fail", "error"): ["base-combustible", "brittle-stone", "cap-insulation"],
        ("fail", "warning"): ["weakened-claim", "wet-stone"],
        ("fail", "note"): ["variance-stale"],
        ("open", "none"): ["cap-insulation", "cast-reinforcement", "combustible-clearance"],
        ("notApplicable", "none"): ["concrete-elevation"],
    }
    quiet = sarif_make.told(sarif_make.quiet())
    passed = set(sarif_make.NAMES) - {"wet-stone", "brittle-stone"}
    assert kinds(quiet) == {
        ("pass", "none"): sorted(passed),
        ("notApplicable", "none"): ["brittle-stone", "wet-stone"],
    }


def test_a_rule_passes_only_where_all_heat_is_known() -> None:
    dark = sarif_make.quiet()
    assert dark.review is not None
    asked = sarif_make.question(stakes="performance")
    dark = replace(dark, review=replace(dark.review, open=(asked,)))
    assert {one["kind"] for one in results(sarif_make.told(dark))} == {"open", "notApplicable"}
    assert of(sarif_make.told(dark), "heat")["kind"] == "open"


def test_a_rule_that_broke_or_was_left_out_does_not_pass() -> None:
    one = sarif_make.quiet()
    assert one.review is not None
    crash = sarif_make.answer().review
    assert crash is not None
    asked = tuple(name for name in sarif_make.NAMES if name != "base-combustible")
    broke = replace(
        one.review, crashes=(replace(crash.crashes[0], rule="cap-insulation"),), asked=asked
    )
    told = sarif_make.told(replace(one, review=broke), left_out=("base-combustible",))
    rules = {one["ruleId"] for one in results(told)}
    assert rules == set(asked) - {"cap-insulation"}
    off = run(told)["invocations"][0]["ruleConfigurationOverrides"]
    assert off == [
        {"descriptor": {"id": "base-combustible", "index": 0}, "configuration": {"enabled": False}}
    ]


def test_a_message_says_everything_in_words() -> None:
    text = of(ONE, "cap-insulation", kind="fail")["message"]["text"]
    first, *others = text.split("\n")
    assert first == (
        "bell / cap / hot face: bare concrete: peak 324 degC (272 to 387) (breakage, 32 of 32 "
        "cases)."
    )
    labels = [line.split(":")[0] for line in others]
    assert labels[0] == "Also set" and labels[-1].startswith("See [bell-cap in kit core")
    assert {"May take", "Why", "Also", "Do", "Tried"} <= set(labels)
    assert "Found" not in labels, "that is the first paragraph"
    assert "175 degC in excursions (CON-175, read)" in text
    assert others[-1].endswith(", [chamber bell](2).")


def test_a_place_is_one_line_with_its_text_and_its_names() -> None:
    found = of(ONE, "cap-insulation", kind="fail")
    (location,) = found["locations"]
    place = location["physicalLocation"]
    assert place["artifactLocation"]["uri"] == "plans/kiln.heater.yaml"
    assert place["region"]["snippet"]["text"] == "{}"
    region = {key: value for key, value in place["region"].items() if key != "snippet"}
    assert region == {"startLine": 7, "startColumn": 9, "endLine": 7, "endColumn": 11}
    assert place["contextRegion"]["snippet"]["text"] == "  bell-cap:\n    layers:\n      - {}"
    pointer, walk_to = location["logicalLocations"]
    name = "plans/kiln.heater.yaml#/parts/bell-cap/layers/0"
    assert pointer["fullyQualifiedName"] == name
    assert walk_to == {"name": "bell / cap / hot face", "kind": "place", "index": walk_to["index"]}
    kept = run(ONE)["logicalLocations"]
    names = []
    at: int | None = pointer["index"]
    while at is not None:
        names.append(kept[at]["name"])
        at = kept[at].get("parentIndex")
    assert names == ["0", "layers", "bell-cap", "parts", "plans/kiln.heater.yaml"]


def test_what_runs_over_several_lines_ends_with_the_first() -> None:
    region = of(ONE, "wet-stone")["locations"][0]["physicalLocation"]["region"]
    assert (region["startLine"], region["endLine"]) == (2, 2)
    assert (region["startColumn"], region["endColumn"]) == (1, len("chambers:") + 1)


def test_a_finding_in_a_base_names_the_plan_that_was_reviewed() -> None:
    found = of(ONE, "base-combustible", kind="fail")
    place = found["locations"][0]["physicalLocation"]
    assert place["artifactLocation"]["uri"] == "plans/kit%20core.heater.yaml"
    assert found["analysisTarget"]["uri"] == "plans/kiln.heater.yaml"
    assert "analysisTarget" not in of(ONE, "cap-insulation", kind="fail")
    roles = {one["location"]["uri"]: one.get("roles") for one in run(ONE)["artifacts"]}
    assert roles == {
        "plans/kiln.heater.yaml": ["analysisTarget"], "plans/kit%20core.heater.yaml": None
    }


def test_a_variance_is_a_suppression_with_who_agreed_and_where_it_stands() -> None:
    found = of(ONE, "brittle-stone")
    (one,) = found["suppressions"]
    assert (one["kind"], one["status"]) == ("inSource", "accepted")
    assert one["justification"] == (
        "relaid in [spring](1) (agreed by the owner, until 2027-04-30)"
    )
    line = one["location"]["physicalLocation"]["region"]["startLine"]
    assert line == 3
    assert [place["message"]["text"] for place in found["relatedLocations"]] == [
        "the chamber bell beside it", "variance cap-for-now accepts it"
    ]
    (asked,) = of(ONE, "cap-insulation", kind="open")["suppressions"]
    assert asked["justification"] == one["justification"]


def test_findings_keep_their_fingerprints() -> None:
    answer = sarif_make.answer()
    assert answer.review is not None
    ours = fingerprints(answer.review)
    told = {
        one["partialFingerprints"]["stovelintFinding/v1"]
        for one in results(ONE)
        if "stovelintFinding/v1" in one.get("partialFingerprints", {})
    }
    assert told == set(ours)
    moved = replace(
        answer.review,
        items=tuple(replace(one, span=sarif_make.span(40)) for one in answer.review.items),
    )
    again = results(sarif_make.told(replace(answer, review=moved)))
    marks = {json.dumps(one.get("partialFingerprints")) for one in results(ONE)}
    assert {json.dumps(one.get("partialFingerprints")) for one in again} == marks


def test_limits_are_parameters_and_their_sources_taxa() -> None:
    driver = run(ONE)["tool"]["driver"]
    rules = {rule["id"]: rule for rule in driver["rules"]}
    parameters = rules["cap-insulation"]["defaultConfiguration"]["parameters"]
    assert parameters["mean"] == {
        "value": 93.0, "unit": "degC", "sense": "at most", "source": "CON-93", "grade": "read",
        "meaning": "as a long-term mean of Portland concrete",
    }  # fmt: skip
    assert "columns" in next(iter(
        one for one in rules["combustible-clearance"]["defaultConfiguration"]["parameters"].values()
        if "columns" in one
    ))  # fmt: skip
    titles = [work["name"] for work in run(ONE)["taxonomies"]]
    assert any(title.startswith("ACI 349") for title in titles)
    assert not any(title.startswith(("common practice", "own choice")) for title in titles)
    assert [taxon["id"] for taxon in driver["taxa"]] == [
        "read", "second-hand", "recalled", "practice"
    ]
    found = [taxon["id"] for taxon in of(ONE, "cap-insulation", kind="fail")["taxa"]]
    assert found == ["CON-175", "read"]


def test_a_rule_is_described_with_its_stakes_and_their_level() -> None:
    all_stakes: tuple[Stakes, ...] = ("danger", "performance", "advice")
    rules = tuple(
        replace(sarif_make.BOOK[0], name=stakes, stakes=stakes) for stakes in all_stakes
    )
    described = run(replace(sarif_make.told(), book=rules))["tool"]["driver"]["rules"]
    found = {rule["id"]: rule for rule in described}
    levels = {name: rule["defaultConfiguration"]["level"] for name, rule in found.items()}
    assert (levels["danger"], levels["performance"], levels["advice"]) == (
        "error", "warning", "note"
    )
    one = found["danger"]
    assert one["properties"]["tags"] == ["danger"]
    assert one["shortDescription"]["text"] == "Wood under the heater."
    assert one["help"]["markdown"].startswith("# Wood under the heater")
    assert one["helpUri"] == "https://stovelint.example/rules/danger"


def test_a_fix_is_the_replacement_and_nothing_else() -> None:
    found = of(ONE, "cap-insulation", kind="fail")
    (fix,) = found["fixes"]
    assert fix["description"]["text"].startswith("1 in blanket under it")
    (change,) = fix["artifactChanges"]
    (one,) = change["replacements"]
    assert one["deletedRegion"] == {
        "startLine": 7, "startColumn": 1, "endLine": 7, "endColumn": 1
    }
    answer = sarif_make.answer()
    made = answer.sites.fixes[0, 0]
    text = answer.sites.texts[make.FILE]
    assert one["insertedContent"]["text"] in replaced(text, made)


def test_the_way_of_the_heat_is_told_face_by_face() -> None:
    (flow,) = of(ONE, "cap-insulation", kind="fail")["codeFlows"]
    first, last = flow["threadFlows"][0]["locations"]
    assert first["location"]["message"]["text"] == "span: hot side of layer 1, granite"
    assert first["state"]["peak"]["text"] == "301 degC (191 to 349)"
    assert last["state"]["mean"]["text"] == "50 degC (40 to 60)"
    assert "codeFlows" not in of(ONE, "brittle-stone")


def test_compared_results_say_how_they_stand() -> None:
    told = sarif_make.compared()
    states = {
        one["ruleId"]: one["baselineState"] for one in results(told) if one["kind"] == "fail"
    }
    assert states == {
        "cap-insulation": "new", "brittle-stone": "updated", "wet-stone": "unchanged",
        "base-combustible": "unchanged", "concrete-elevation": "absent", "build-file": "new",
        "weakened-claim": "new", "variance-stale": "new",
    }  # fmt: skip
    gone = of(told, "concrete-elevation", baselineState="absent")
    place = gone["locations"][0]["physicalLocation"]
    assert place["artifactLocation"]["uri"] == "plans/old.heater.yaml"
    assert gone["message"]["text"].startswith("Gone since main: bell / cap / hot face")
    assert all("baselineState" not in one for one in results(ONE))
    # The plan holds nothing for this rule any more.
    right = of(told, "concrete-elevation", kind="notApplicable", baselineState="updated")
    assert "holds nothing" in right["message"]["text"]


def test_a_rule_that_came_right_is_updated_and_the_others_are_as_they_were() -> None:
    one = sarif_make.quiet()
    assert one.review is not None
    was = replace(
        one.review, since="main", file_before=one.file,
        gone=(sarif_make.finding("concrete-elevation"),),
    )
    told = sarif_make.told(replace(one, review=was), since="main")
    states = {found["ruleId"]: found["baselineState"] for found in results(told)
              if found["kind"] != "fail"}  # fmt: skip
    assert states.pop("concrete-elevation") == "updated"
    assert set(states.values()) == {"unchanged"}


def test_hosts_get_what_is_open_and_a_danger_unjudged_as_a_warning() -> None:
    told = sarif_make.compared()
    shown = {(one["ruleId"], one["level"]) for one in results(told, upload=True)}
    assert shown == {
        ("cap-insulation", "error"), ("wet-stone", "warning"), ("base-combustible", "error"),
        ("combustible-clearance", "warning"), ("weakened-claim", "warning"),
        ("variance-stale", "note"), ("build-file", "error"),
    }  # fmt: skip
    finding = next(
        one for one in results(told, upload=True) if one["ruleId"] == "cap-insulation"
    )
    mark = finding["partialFingerprints"]["stovelintFinding/v1"]
    assert finding["partialFingerprints"]["primaryLocationLineHash"] == f"{mark[:16]}:1"
    assert "fixes" not in finding and "properties" not in finding


def test_what_hosts_cannot_take_is_cut_from_the_lightest_end(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr("stovelint.report.sarif.document.MOST_RESULTS", 2)
    assert [one["level"] for one in results(ONE, upload=True)] == ["error", "error"]


def test_faults_of_ours_are_notifications_and_not_results() -> None:
    told = sarif_make.everything()
    invocation = run(told)["invocations"][0]
    assert (invocation["executionSuccessful"], invocation["exitCode"]) == (False, 2)
    said = [
        (one["descriptor"]["id"], one["level"])
        for sort in ("toolExecutionNotifications", "toolConfigurationNotifications")
        for one in invocation[sort]
    ]
    assert said == [
        ("rule-broke", "error"), ("plan-not-reviewed", "error"), ("settings", "error"),
        ("settings", "warning"),
    ]  # fmt: skip
    assert of(told, "not-reviewed")["message"]["text"].startswith("Its heat could not be")
    assert run(sarif_make.told(sarif_make.quiet()))["invocations"][0]["executionSuccessful"]


def test_mistakes_alone_are_no_fault_of_ours() -> None:
    invocation = run(sarif_make.told(sarif_make.odd()))["invocations"][0]
    assert (invocation["executionSuccessful"], invocation["exitCode"]) == (True, 2)


def test_a_plan_that_could_not_be_compared_is_told() -> None:
    one = sarif_make.quiet()
    assert one.review is not None
    told = sarif_make.told(
        replace(one, review=replace(one.review, not_compared="it could not be read there")),
        since="main",
    )
    (note,) = run(told)["invocations"][0]["toolExecutionNotifications"]
    assert (note["descriptor"]["id"], note["level"]) == ("not-compared", "warning")


def test_odd_names_and_words_reach_the_reader_whole() -> None:
    told = sarif_make.everything()
    uri = "plans/sp%20ace/a%3Bb%25%0Ac%5B1%5D%C3%A9%E9.heater.yaml"
    places = [
        one["locations"][0]["physicalLocation"]["artifactLocation"]["uri"]
        for one in results(told)
        if one["ruleId"] == "build-file"
    ]
    assert places == [uri, uri]
    wrong = [one["message"]["text"] for one in results(told) if one["ruleId"] == "build-file"]
    assert wrong[0].startswith("parts / \\x1b[31m: `{{x}}` is [no] (3) number.")
    assert "\x1b" not in sarif_report(told)


def test_a_plan_outside_the_repository_has_an_absolute_uri_and_no_base() -> None:
    told = replace(
        sarif_make.told(sarif_make.failed("/srv/a b.heater.yaml"), sarif_make.failed("../../x")),
        root="/home/repo",
    )
    places = [
        one["locations"][0]["physicalLocation"]["artifactLocation"] for one in results(told)
    ]
    assert places == [
        {"uri": "../x", "index": 0}, {"uri": "file:///srv/a%20b.heater.yaml", "index": 1}
    ]
    inside = replace(told, answers=(sarif_make.failed("/home/repo/x.heater.yaml"),))
    (found,) = results(inside)
    assert found["locations"][0]["physicalLocation"]["artifactLocation"] == {
        "uri": "x.heater.yaml", "uriBaseId": "%SRCROOT%", "index": 0
    }
    assert sarif_rules.broken(json.loads(sarif_report(told))) == []


def test_same_input_same_bytes_whatever_the_order() -> None:
    told = sarif_make.everything()
    assert sarif_report(told) == sarif_report(sarif_make.everything())
    turned = replace(told, answers=tuple(reversed(told.answers)))
    assert run(turned)["results"][0]["message"] == run(told)["results"][0]["message"]


def test_a_rule_of_a_shop_may_bear_one_of_our_names() -> None:
    own = replace(sarif_make.BOOK[0], name="heat")
    told = replace(sarif_make.told(), book=(own,))
    ids = [rule["id"] for rule in run(told)["tool"]["driver"]["rules"]]
    assert ids.count("heat") == 1


PAGE = """\
# A **bold** head

**Why.** A `code*` *word* and snake_case_word, [the book](../b.md), ![x](y.png) <br>
[home](https://stovelint.example/a). Second sentence.

| limit | value |
| --- | --- |
| A-1 | 3 * 4 |

After.
"""


def test_a_page_without_its_markup() -> None:
    assert page_text(PAGE).split("\n") == [
        "A bold head", "",
        "Why. A code* word and snake_case_word, the book, x <br>",
        "home (https://stovelint.example/a). Second sentence.", "",
        "limit; value", "A-1; 3 * 4", "", "After.",
    ]  # fmt: skip
    assert description(PAGE).endswith("Second sentence.") and "A-1" not in description(PAGE)


def test_a_page_away_from_its_folder() -> None:
    away = page_markdown(PAGE)
    assert "the book, x \\<br>" in away and "](../" not in away
    assert "[home](https://stovelint.example/a)" in away and "`code*`" in away


def test_long_descriptions_end_with_a_sentence() -> None:
    assert shortened("One two. " * 300).endswith("two.")
    assert len(shortened("x" * 3000)) == 1024
    assert len(description("# A\n\n" + "Word word. " * 60 + "\n\n" + "More. " * 100)) < 700


def test_an_answer_without_texts_is_still_told() -> None:
    answer = sarif_make.answer()
    bare = Answer(file=answer.file, review=answer.review)
    found = of(sarif_make.told(bare), "wet-stone")
    region = found["locations"][0]["physicalLocation"]["region"]
    assert region == {"startLine": 2, "startColumn": 1, "endLine": 2, "endColumn": 2}
    assert [one["id"] for one in of(sarif_make.told(bare), "brittle-stone")[
        "relatedLocations"]] == [1]  # fmt: skip
