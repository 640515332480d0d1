"""What the schema of SARIF cannot say holds for our documents, and each check sees its fault."""

from __future__ import annotations

import copy
import json
from typing import Any, Callable

import pytest

from stovelint.report.sarif import sarif_report
from stovelint.report.told import Told
from tests.report import sarif_make, sarif_rules

Node = dict[str, Any]
Spoil = Callable[[Node], object]


def document(told: Told, *, upload: bool = False) -> Node:
    log: Node = json.loads(sarif_report(told, upload=upload))
    return log


EVERYTHING = document(sarif_make.everything())
COMPARED = document(sarif_make.compared())
UPLOAD = document(sarif_make.compared(), upload=True)


@pytest.mark.parametrize("log", [EVERYTHING, COMPARED, UPLOAD])
def test_our_documents_keep_all_rules(log: Node) -> None:
    assert sarif_rules.broken(log) == []


def test_only_what_is_open_is_uploaded() -> None:
    assert not list(sarif_rules.host_open(UPLOAD))
    assert list(sarif_rules.host_open(COMPARED))


def run(log: Node) -> Node:
    first: Node = log["runs"][0]
    return first


def results(log: Node) -> list[Node]:
    found: list[Node] = run(log)["results"]
    return found


def first(log: Node, **members: object) -> Node:
    return next(one for one in results(log) if members.items() <= one.items())


def failing(log: Node) -> Node:
    return next(one for one in results(log) if "fixes" in one)


def place(log: Node) -> Node:
    found: Node = failing(log)["locations"][0]["physicalLocation"]
    return found


def rule(log: Node) -> Node:
    found: Node = run(log)["tool"]["driver"]["rules"][0]
    return found


def way(log: Node) -> list[Node]:
    found: list[Node] = failing(log)["codeFlows"][0]["threadFlows"][0]["locations"]
    return found


def put(node: Node, **members: object) -> None:
    node.update(members)


FAULTS: list[tuple[str, Spoil]] = [
    ("results_present", lambda log: put(run(log), results=None)),
    ("column_kind", lambda log: run(log).pop("columnKind")),
    ("column_kind", lambda log: put(run(log), columnKind="utf16CodeUnits")),
    ("regions", lambda log: put(place(log)["region"], startLine=0)),
    ("regions", lambda log: put(place(log)["region"], endColumn=1)),
    ("regions", lambda log: put(
        failing(log)["fixes"][0]["artifactChanges"][0]["replacements"][0]["deletedRegion"],
        startColumn=0)),
    ("uri_bases", lambda log: place(log)["artifactLocation"].pop("uriBaseId")),
    ("uri_bases", lambda log: run(log).pop("originalUriBaseIds")),
    ("uri_bases", lambda log: put(place(log)["artifactLocation"], uri="file:///srv/x")),
    ("no_machine", lambda log: put(
        run(log)["originalUriBaseIds"]["%SRCROOT%"], uri="file:///home/somebody/")),
    ("no_machine", lambda log: put(run(log)["invocations"][0], startTimeUtc="2027-01-01")),
    ("no_machine", lambda log: put(failing(log), guid="0")),
    ("uri_form", lambda log: put(place(log)["artifactLocation"], uri="plans/./x")),
    ("uri_form", lambda log: put(place(log)["artifactLocation"], uri="plans//x")),
    ("uri_form", lambda log: put(place(log)["artifactLocation"], uri="plans/a b")),
    ("uri_form", lambda log: put(place(log)["artifactLocation"], uri="plans\\x")),
    ("uri_form", lambda log: put(place(log)["artifactLocation"], uri="plans/\u00e9")),
    ("uri_form", lambda log: put(place(log)["artifactLocation"], uri="plans/%e9")),
    ("uri_form", lambda log: put(place(log)["artifactLocation"], uri="plans/%41")),
    ("kind_and_level", lambda log: put(first(log, kind="pass"), level="error")),
    ("kind_and_level", lambda log: put(first(log, kind="open"), level="warning")),
    ("kind_and_level", lambda log: put(failing(log), level="none")),
    ("one_location", lambda log: failing(log)["locations"].append(failing(log)["locations"][0])),
    ("one_location", lambda log: put(failing(log), locations=[])),
    ("fingerprints", lambda log: put(failing(log), fingerprints={"x/v1": "1"})),
    ("fingerprints", lambda log: put(failing(log), partialFingerprints={"x": "1"})),
    ("fingerprints", lambda log: failing(log).pop("partialFingerprints")),
    ("fingerprints", lambda log: results(log).append(failing(log))),
    ("suppressions", lambda log: put(failing(log), suppressions=None)),
    ("suppressions", lambda log: failing(log).pop("suppressions")),
    ("suppressions", lambda log: put(failing(log), suppressions=[{"kind": "inSource"}])),
    ("suppressions", lambda log: put(failing(log), suppressions=[
        {"kind": "agreed", "status": "accepted", "justification": "x"}])),
    ("baseline", lambda log: put(failing(log), baselineState="new")),
    ("descriptors", lambda log: put(failing(log), ruleIndex=0)),
    ("descriptors", lambda log: put(failing(log), rule={"id": failing(log)["ruleId"]})),
    ("descriptors", lambda log: put(rule(log), id="wet-stone")),
    ("descriptors", lambda log: put(
        run(log)["invocations"][0]["toolConfigurationNotifications"][0]["descriptor"], index=0)),
    ("parameters", lambda log: put(rule(log)["properties"], limit=85)),
    ("parameters", lambda log: put(rule(log)["defaultConfiguration"], parameters={"x": {}})),
    ("replacements", lambda log: put(failing(log)["fixes"][0], description={})),
    ("replacements", lambda log: put(
        failing(log)["fixes"][0]["artifactChanges"][0]["replacements"][0], insertedContent={})),
    ("replacements", lambda log: failing(log)["fixes"][0]["artifactChanges"][0][
        "replacements"].append(
            failing(log)["fixes"][0]["artifactChanges"][0]["replacements"][0])),
    ("ordered", lambda log: results(log).reverse()),
    ("ordered", lambda log: run(log)["artifacts"].reverse()),
    ("links", lambda log: put(failing(log), relatedLocations=[])),
    ("links", lambda log: put(failing(log)["message"], text="no link")),
    ("links", lambda log: put(failing(log)["message"], text="[x](7)")),
    ("links", lambda log: put(failing(log)["relatedLocations"][0], id=2)),
    ("braces", lambda log: put(failing(log)["message"], text="{0}")),
    ("braces", lambda log: put(rule(log)["help"], text="a }}} b")),
    ("markdown", lambda log: put(rule(log)["help"], markdown="<b>x</b>")),
    ("markdown", lambda log: put(rule(log)["help"], markdown="[x](../y.md)")),
    ("failed_runs", lambda log: put(run(log)["invocations"][0], executionSuccessful=True)),
    ("taxa", lambda log: put(run(log)["taxonomies"][0], taxa=[])),
    ("taxa", lambda log: put(failing(log)["taxa"][0], id="CON-1")),
    ("taxa", lambda log: put(rule(log)["relationships"][0]["target"], id="x")),
    ("taxa", lambda log: run(log)["tool"]["driver"]["supportedTaxonomies"].pop()),
    ("indices", lambda log: put(place(log)["artifactLocation"], index=0)),
    ("indices", lambda log: put(failing(log)["locations"][0]["logicalLocations"][0], index=0)),
    ("indices", lambda log: put(run(log)["logicalLocations"][0], parentIndex=0)),
    ("flows", lambda log: way(log).reverse()),
    ("flows", lambda log: put(way(log)[0], state={})),
    ("flows", lambda log: put(way(log)[0], state={"peak": {}})),
    ("flows", lambda log: way(log).pop()),
    ("host_minimum", lambda log: put(rule(log), fullDescription={"text": "x" * 1025})),
    ("host_minimum", lambda log: put(rule(log)["help"], text="")),
    ("host_minimum", lambda log: put(place(log)["region"], endLine=90)),
    ("host_minimum", lambda log: put(failing(log), message={"id": "default"})),
]  # fmt: skip


@pytest.mark.parametrize("name, spoil", FAULTS)
def test_each_check_sees_its_fault(name: str, spoil: Spoil) -> None:
    log = copy.deepcopy(EVERYTHING)
    spoil(log)
    check = next(one for one in sarif_rules.RULES if one.__name__ == name)
    assert list(check(log))


def test_every_check_was_seen_to_fail() -> None:
    assert {name for name, _ in FAULTS} == {one.__name__ for one in sarif_rules.RULES}


HOST: list[Spoil] = [
    lambda log: put(results(log)[0], kind="pass"),
    lambda log: put(results(log)[0], suppressions=[{"kind": "inSource"}]),
    lambda log: put(results(log)[0], baselineState="absent"),
    lambda log: put(results(log)[0]["partialFingerprints"], primaryLocationLineHash="12"),
]


@pytest.mark.parametrize("spoil", HOST)
def test_what_a_host_would_show_wrongly_is_seen(spoil: Spoil) -> None:
    log = copy.deepcopy(UPLOAD)
    spoil(log)
    assert list(sarif_rules.host_open(log))
