"""The whole SARIF document: one run over all plans of a call."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

from stovelint import __version__
from stovelint.report.sarif.invocation import descriptors, invocation
from stovelint.report.sarif.places import ROOTS, Places
from stovelint.report.sarif.results import Results, shown
from stovelint.report.sarif.rules import HOME, Rules
from stovelint.report.sarif.taxa import Taxa
from stovelint.report.sarif.words import Node, message, whole
from stovelint.report.visible import inert_json

if TYPE_CHECKING:
    from stovelint.report.told import Told

SCHEMA = (
    "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json"
)
VERSION = "2.1.0"
MOST_RESULTS = 25_000
"""Results of a run that hosts accept."""
HEAVY = {"error": 0, "warning": 1, "note": 2, "none": 3}


def sarif_report(told: Told, *, upload: bool = False) -> str:
    """All plans of a call as a SARIF 2.1.0 document in plain ASCII, the same bytes for the same
    input.

    Args:
        told: what the call has to tell.
        upload: True for code hosts, which read neither kind nor suppressions and would show
            everything as open: only what a host shall show as open is then written. Those are
            findings that no variance accepts, whether new or as they stood (hosts compare
            revisions themselves), mistakes, stale variances and weakened claims. A danger that
            could not be judged becomes a result of kind fail at its level, warning. Questions
            without danger, what passed, what does not apply and what is gone are left out, and
            so are fixes and figures, which hosts do not read.
    """
    book = tuple(sorted(told.book, key=lambda rule: rule.name))
    taxa, places = Taxa(book), Places(told)
    rules = Rules(book, taxa)
    writer = Results(
        rules=rules, taxa=taxa, places=places, compared=told.since is not None, upload=upload
    )
    results = [node for answer in told.answers for node in writer.of(answer)]
    if upload:
        results = [node for node in results if shown(node)]
        heaviest = sorted(results, key=lambda node: (HEAVY[node["level"]], _order(node)))
        results = heaviest[:MOST_RESULTS]
    results.sort(key=_order)
    driver: Node = {
        "name": "stovelint",
        "version": __version__,
        "informationUri": f"{HOME}/",
        "rules": rules.nodes,
        "notifications": descriptors(),
        "taxa": taxa.own,
    }
    if taxa.works:
        driver["supportedTaxonomies"] = taxa.supported
    run: Node = {
        "tool": {"driver": driver},
        "language": "en",
        "automationDetails": {
            "id": "stovelint/review/",
            "description": message("Heat review of build files of masonry heaters."),
        },
        "invocations": [invocation(told, rules, places)],
        "columnKind": "unicodeCodePoints",
        "originalUriBaseIds": ROOTS,
    }
    if told.settings:
        places.file(told.settings, "userSpecifiedConfiguration")
    run["artifacts"] = places.artifacts()
    if places.logical:
        run["logicalLocations"] = places.logical
    if taxa.works:
        run["taxonomies"] = taxa.works
    run["results"] = results
    document = {"$schema": SCHEMA, "version": VERSION, "runs": [run]}
    text = json.dumps(whole(document), indent=1, ensure_ascii=True, allow_nan=False)
    return inert_json(text) + "\n"


def _order(node: Node) -> tuple[str, int, int, str, str, str]:
    """File, line, column, rule; then what is told, since two results may stand in one place."""
    place = node["locations"][0]["physicalLocation"]
    region = place["region"]
    return (
        place["artifactLocation"]["uri"], region["startLine"], region["startColumn"],
        node["ruleId"], node["kind"], node["message"]["text"],
    )  # fmt: skip
