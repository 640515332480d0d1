"""Rules of SARIF 2.1.0 that its schema cannot state, each as a function of the clause.

Each yields a sentence for every place that breaks the clause. The numbers are those of the OASIS
standard with errata 01; the last functions state what code hosts ask for beyond it.
"""

from __future__ import annotations

import re
from typing import Any, Callable, Iterator
from urllib.parse import unquote, urlsplit

Node = dict[str, Any]
Found = Iterator[str]
LINKED = re.compile(r"(?<!\\)\[((?:[^\\\[\]]|\\[\\\[\]])*)\]\(([^)]*)\)")
LEVELS = ("error", "warning", "note", "none")


def walk(node: Any, path: str = "") -> Iterator[tuple[str, str, Any]]:
    """Every member below a node: its path, its name, its value."""
    items = node.items() if isinstance(node, dict) else enumerate(node)
    if not isinstance(node, (dict, list)):
        return
    for key, value in items:
        here = f"{path}/{key}"
        yield here, str(key), value
        if isinstance(value, (dict, list)):
            yield from walk(value, here)


def _results(log: Node) -> Iterator[tuple[Node, Node]]:
    for run in log["runs"]:
        for result in run.get("results") or ():
            yield run, result


def results_present(log: Node) -> Found:
    """3.14.23: an array, also an empty one, once analysis began."""
    for run in log["runs"]:
        if not isinstance(run.get("results"), list):
            yield "a run has no array of results"


def column_kind(log: Node) -> Found:
    """3.14.27: said as soon as there are results, and truly what we count in."""
    for run in log["runs"]:
        if run.get("results") and run.get("columnKind") != "unicodeCodePoints":
            yield f"columnKind is {run.get('columnKind')}"


def regions(log: Node) -> Found:
    """3.30.2: from 1 on, the end not before the beginning; a line of the file, in a fix as well."""
    for path, name, value in walk(log):
        if name in ("region", "deletedRegion", "contextRegion"):
            start = (value["startLine"], value["startColumn"])
            end = (value["endLine"], value["endColumn"])
            if min(*start, *end) < 1 or end < start:
                yield f"{path}: {start} to {end}"


def uri_bases(log: Node) -> Found:
    """3.4.4: a relative URI has a base, an absolute one has none; 3.14.14: the base is declared."""
    for run in log["runs"]:
        known = run.get("originalUriBaseIds", {})
        for path, _, value in walk(run):
            if not isinstance(value, dict) or "uri" not in value or "originalUri" in path:
                continue
            base = value.get("uriBaseId")
            if urlsplit(value["uri"]).scheme:
                if base is not None:
                    yield f"{path}: an absolute URI with a base"
            elif not value["uri"].startswith("../") and base not in known:
                yield f"{path}: {value['uri']} has no base that is declared"


def no_machine(log: Node) -> Found:
    """3.14.14, appendix F: no place of this machine, no time, no guid, no name of anybody."""
    for run in log["runs"]:
        for name, base in run.get("originalUriBaseIds", {}).items():
            if "uri" in base:
                yield f"{name} tells where the root lies"
    for path, name, value in walk(log):
        if re.search(r"guid|utc|machine|account|workingDirectory|commandLine$", name, re.I):
            yield f"{path} differs from run to run"


def uri_form(log: Node) -> Found:
    """3.10.1, 3.10.2, 3.10.4: URIs in normal form: ASCII, encoded, `/`, no empty or `.` steps."""
    for path, name, value in walk(log):
        if name != "uri" or not isinstance(value, str):
            continue
        rest = value.removeprefix("file://")
        if not re.fullmatch(r"(?:[A-Za-z0-9._~/-]|%[0-9A-F]{2})+", rest):
            yield f"{path}: {value} is not encoded"
        steps = rest.removeprefix("/").split("/")
        while steps and steps[0] == "..":
            steps.pop(0)
        if any(step in ("", ".", "..") for step in steps):
            yield f"{path}: {value} is not normal"
        if any(c in "%./" or c.isalnum() and c.isascii() for c in _needless(value)):
            yield f"{path}: {value} encodes what stands for itself"


def _needless(uri: str) -> str:
    return "".join(
        unquote(code) for code in re.findall("%[0-9A-F]{2}", uri)
        if unquote(code) in "._~-/" or (unquote(code).isalnum() and unquote(code).isascii())
    )  # fmt: skip


def kind_and_level(log: Node) -> Found:
    """3.27.9, 3.27.10: what is not a failure has no level."""
    for _, result in _results(log):
        kind, level = result.get("kind", "fail"), result.get("level", "warning")
        if (kind == "fail") == (level == "none") or level not in LEVELS:
            yield f"{result['ruleId']}: kind {kind}, level {level}"


def one_location(log: Node) -> Found:
    """3.27.12: one place for each result; what else matters is a related location."""
    for _, result in _results(log):
        if len(result.get("locations", ())) != 1:
            yield f"{result['ruleId']}: {len(result.get('locations', ()))} locations"


def fingerprints(log: Node) -> Found:
    """3.27.16, 3.27.17: none of the host's own; partial ones with a version, and no two alike in
    one file."""
    seen = set()
    for _, result in _results(log):
        if "fingerprints" in result:
            yield f"{result['ruleId']}: fingerprints are the host's"
        place = result["locations"][0]["physicalLocation"]["artifactLocation"]["uri"]
        for name, mark in result.get("partialFingerprints", {}).items():
            if name != "primaryLocationLineHash" and not re.fullmatch(r"[A-Za-z]+/v\d+", name):
                yield f"{name} has no version"
            key = (result.get("analysisTarget", {}).get("uri", place), name, mark)
            if key in seen:
                yield f"{key} stands twice"
            seen.add(key)
        if result["kind"] == "fail" and result.get("baselineState") != "absent":
            if not result.get("partialFingerprints"):
                yield f"{result['ruleId']}: no fingerprint"


def suppressions(log: Node) -> Found:
    """3.27.23: all arrays or all null in a run; 3.35: what each must say."""
    for run in log["runs"]:
        kinds = {isinstance(one.get("suppressions"), list) for one in run.get("results") or ()}
        if len(kinds) > 1:
            yield "some results have suppressions, others have none"
    for _, result in _results(log):
        for one in result.get("suppressions") or ():
            if one.get("kind") not in ("inSource", "external"):
                yield f"{result['ruleId']}: kind {one.get('kind')}"
            if one.get("status") not in ("accepted", "underReview", "rejected"):
                yield f"{result['ruleId']}: status {one.get('status')}"
            if not one.get("justification"):
                yield f"{result['ruleId']}: no justification"


def baseline(log: Node) -> Found:
    """3.27.24: on all results of a run or on none, and one of four words."""
    for run in log["runs"]:
        states = {one.get("baselineState") for one in run.get("results") or ()}
        if len(states) > 1 and None in states:
            yield "only some results have a baselineState"
        for state in states - {None, "new", "unchanged", "updated", "absent"}:
            yield f"baselineState {state}"


def descriptors(log: Node) -> Found:
    """3.49.3: ids of their own; 3.27.6, 3.52.5: each index leads to the one that is named."""
    for run in log["runs"]:
        driver = run["tool"]["driver"]
        for sort in ("rules", "notifications", "taxa"):
            ids = [one["id"] for one in driver.get(sort, ())]
            if len(ids) != len(set(ids)):
                yield f"{sort}: an id stands twice"
        for result in run.get("results") or ():
            if "rule" in result:
                yield "both rule and ruleId"
            rule = driver["rules"][result["ruleIndex"]]
            if rule["id"] != result["ruleId"]:
                yield f"{result['ruleId']} leads to {rule['id']}"
        for invocation in run.get("invocations", ()):
            for sort in ("toolExecutionNotifications", "toolConfigurationNotifications"):
                for one in invocation.get(sort, ()):
                    to = one["descriptor"]
                    if driver["notifications"][to["index"]]["id"] != to["id"]:
                        yield f"{to['id']} leads elsewhere"
                    rule = one.get("associatedRule")
                    if rule and driver["rules"][rule["index"]]["id"] != rule["id"]:
                        yield f"{rule['id']} leads elsewhere"


def parameters(log: Node) -> Found:
    """3.49.14, 3.50.5: limits stand in defaultConfiguration.parameters, not in the property bag."""
    for run in log["runs"]:
        for rule in run["tool"]["driver"]["rules"]:
            if set(rule.get("properties", {})) - {"tags"}:
                yield f"{rule['id']}: {sorted(rule['properties'])}"
            for name, one in rule["defaultConfiguration"].get("parameters", {}).items():
                if not {"unit", "source", "meaning"} <= one.keys():
                    yield f"{rule['id']}: {name} is not whole"


def replacements(log: Node) -> Found:
    """3.57, appendix G: text, in the file as it is, in order, apart, and with an effect."""
    for _, result in _results(log):
        for fix in result.get("fixes", ()):
            if not fix.get("description", {}).get("text"):
                yield f"{result['ruleId']}: a fix that says nothing"
            for change in fix["artifactChanges"]:
                before = (0, 0)
                for one in change["replacements"]:
                    region, text = one["deletedRegion"], one.get("insertedContent", {})
                    if "byteOffset" in region or "binary" in text:
                        yield f"{result['ruleId']}: bytes, not text"
                    start = (region["startLine"], region["startColumn"])
                    end = (region["endLine"], region["endColumn"])
                    if start <= before:
                        yield f"{result['ruleId']}: replacements touch"
                    before = end
                    if start == end and not text.get("text"):
                        yield f"{result['ruleId']}: a replacement without effect"


def ordered(log: Node) -> Found:
    """Appendix F: results by file, line, column and rule; artifacts by URI."""
    for run in log["runs"]:
        keys = []
        for result in run.get("results") or ():
            place = result["locations"][0]["physicalLocation"]
            region = place["region"]
            keys.append((place["artifactLocation"]["uri"], region["startLine"],
                         region["startColumn"], result["ruleId"]))  # fmt: skip
        if keys != sorted(keys):
            yield "results are not in order"
        uris = [one["location"]["uri"] for one in run.get("artifacts", ())]
        if uris != sorted(set(uris)):
            yield "artifacts are not in order"


def links(log: Node) -> Found:
    """3.11.6: a link by number leads to exactly one location of the same result, and every
    related location that has a number is one."""
    for _, result in _results(log):
        numbers = [one["id"] for one in result.get("relatedLocations", ())]
        if len(numbers) != len(set(numbers)):
            yield f"{result['ruleId']}: a number stands twice"
        linked = []
        for words, to in LINKED.findall(result["message"]["text"]):
            if not to.isdigit() or int(to) not in numbers:
                yield f"{result['ruleId']}: [{words}]({to}) leads nowhere"
            else:
                linked.append(int(to))
        if sorted(linked) != sorted(numbers):
            yield f"{result['ruleId']}: linked {linked}, there are {numbers}"


def braces(log: Node) -> Found:
    """3.11.5: braces in message strings are doubled, since single ones stand for arguments."""
    for path, name, value in walk(log):
        if name in ("text", "markdown") and "snippet" not in path and "inserted" not in path:
            if re.search(r"\{(?!\{)|\}(?!\})", re.sub(r"\{\{|\}\}", "", value)):
                yield f"{path}: a single brace"


def markdown(log: Node) -> Found:
    """3.11.4: no HTML in formatted messages; and links that lead somewhere from anywhere."""
    for path, name, value in walk(log):
        if name != "markdown":
            continue
        bare = re.sub(r"(`+).+?\1", "", value, flags=re.S)
        if re.search(r"(?<!\\)<[A-Za-z/!?]", bare):
            yield f"{path}: HTML"
        for words, to in LINKED.findall(bare):
            if not urlsplit(to).scheme:
                yield f"{path}: [{words}]({to}) leads nowhere"


def failed_runs(log: Node) -> Found:
    """3.20.21, 3.20.22: with a notification at error the run failed, and says so."""
    for run in log["runs"]:
        for one in run["invocations"]:
            notes = one["toolExecutionNotifications"] + one["toolConfigurationNotifications"]
            failed = any(note["level"] == "error" for note in notes)
            if failed == one["executionSuccessful"]:
                yield f"executionSuccessful is {one['executionSuccessful']}"


def taxa(log: Node) -> Found:
    """3.19.3: every taxonomy has taxa and no rules; 3.52: each reference leads to its taxon."""
    for run in log["runs"]:
        works = run.get("taxonomies", [])
        driver = run["tool"]["driver"]
        for work in works:
            if not work.get("taxa") or "rules" in work or "notifications" in work:
                yield f"{work['name']}: not only taxa"
        for path, name, value in walk(run):
            if name == "taxa" and "/results/" in path:
                refs = value
            elif name == "relationships":
                refs = [one["target"] for one in value]
            else:
                continue
            for one in refs:
                to = one.get("toolComponent")
                home = driver if to is None else works[to["index"]]
                if to is not None and home["name"] != to["name"]:
                    yield f"{path}: {to['name']} leads to {home['name']}"
                if dict(enumerate(home["taxa"])).get(one["index"], {}).get("id") != one["id"]:
                    yield f"{path}: {one['id']} leads elsewhere"
        named = [(one["name"], one["index"]) for one in driver.get("supportedTaxonomies", ())]
        if named != [(work["name"], at) for at, work in enumerate(works)]:
            yield "supportedTaxonomies are others than there are"


def indices(log: Node) -> Found:
    """3.4.5, 3.33: an index leads to the same file, and to the same logical place."""
    for run in log["runs"]:
        files, places = run.get("artifacts", []), run.get("logicalLocations", [])
        for path, name, value in walk(run):
            if name in ("artifactLocation", "analysisTarget", "location") and "uri" in value:
                if files[value["index"]]["location"]["uri"] != value["uri"]:
                    yield f"{path}: another file"
            if name == "logicalLocations" and path != "/logicalLocations":
                for one in value:
                    kept = places[one["index"]]
                    if any(kept.get(key) != one[key] for key in one if key != "index"):
                        yield f"{path}: another place"
        for at, one in enumerate(places):
            parent = one.get("parentIndex")
            if parent is not None and not 0 <= parent < at:
                yield f"{one['name']}: its parent is not above it"
            if parent is None and one.get("fullyQualifiedName", one["name"]) != one["name"]:
                yield f"{one['name']}: a topmost place of another full name"


def flows(log: Node) -> Found:
    """3.36 to 3.38: a way has steps in the order in which it is walked, each with a place, a word
    and its state as message strings."""
    for _, result in _results(log):
        for flow in result.get("codeFlows", ()):
            for thread in flow["threadFlows"]:
                orders = [one["executionOrder"] for one in thread["locations"]]
                if orders != list(range(1, len(orders) + 1)) or len(orders) < 2:
                    yield f"{result['ruleId']}: steps {orders}"
                for one in thread["locations"]:
                    if not one["location"].get("message") or not one.get("state"):
                        yield f"{result['ruleId']}: a step says nothing"
                    elif not all(value.get("text") for value in one["state"].values()):
                        yield f"{result['ruleId']}: a state without words"


def host_minimum(log: Node) -> Found:
    """What code hosts must have: rule texts of at most 1024 signs, help, and full regions on one
    line."""
    for run in log["runs"]:
        for rule in run["tool"]["driver"]["rules"]:
            for name in ("shortDescription", "fullDescription"):
                if not 0 < len(rule[name]["text"]) <= 1024:
                    yield f"{rule['id']}: {name}"
            if not rule["help"]["text"] or len(rule.get("name", "")) > 255:
                yield f"{rule['id']}: help or name"
            if len(rule["properties"]["tags"]) > 10:
                yield f"{rule['id']}: tags"
    for _, result in _results(log):
        region = result["locations"][0]["physicalLocation"]["region"]
        if region.get("startLine") != region.get("endLine"):
            yield f"{result['ruleId']}: over several lines"
        if not result["message"].get("text"):
            yield f"{result['ruleId']}: no text"


def host_open(log: Node) -> Found:
    """For upload: whatever is in there is shown as open, so only that may be in there."""
    for _, result in _results(log):
        if result["kind"] != "fail" or result["suppressions"]:
            yield f"{result['ruleId']}: {result['kind']} would be shown as open"
        if result.get("baselineState") == "absent":
            yield f"{result['ruleId']}: what is gone would be shown as open"
        if not re.fullmatch(
            "[0-9a-f]{16}:1",
            result.get("partialFingerprints", {}).get("primaryLocationLineHash", ""),
        ):
            yield f"{result['ruleId']}: no hash for the host"


RULES: tuple[Callable[[Node], Found], ...] = (
    results_present, column_kind, regions, uri_bases, no_machine, uri_form, kind_and_level,
    one_location, fingerprints, suppressions, baseline, descriptors, parameters, replacements,
    ordered, links, braces, markdown, failed_runs, taxa, indices, flows, host_minimum,
)  # fmt: skip


def broken(log: Node) -> list[str]:
    """Everything in which a document breaks the rules."""
    return [f"{rule.__name__}: {said}" for rule in RULES for said in rule(log)]
