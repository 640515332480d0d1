"""Results: everything told of a plan, and every rule that had nothing to tell.

| what | kind | level |
| --- | --- | --- |
| a finding, a mistake, a stale variance, a weakened claim | `fail` | its own |
| a plan that could not be reviewed | `fail` | `error` |
| an open question | `open` | `none` |
| a rule that looked at the plan and found all fine | `pass` | `none` |
| a rule for which the plan holds nothing | `notApplicable` | `none` |

What a variance accepts has a suppression, all others an empty list of them. A rule passes only
where it asked nothing and where the heat was computed everywhere: a rule that could not look at
a part has not found it fine.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Iterator, Mapping, Sequence

from stovelint.report.figures import quantity, remedy
from stovelint.report.sarif.findings import fixes, flows, related_places
from stovelint.report.sarif.quiet import gone, quiet
from stovelint.report.sarif.rules import (
    BUILD_FILE, HEAT, NOT_REVIEWED, STALE_VARIANCE, WEAKENED,
)  # fmt: skip
from stovelint.report.sarif.words import Node, foreign, message, sentence
from stovelint.report.points import Point, points
from stovelint.report.visible import visible
from stovelint.review.fingerprint import fingerprints, told_apart
from stovelint.rule.level import likelihood

if TYPE_CHECKING:
    from stovelint.build import Variance
    from stovelint.report.answer import Answer
    from stovelint.report.points import Kind
    from stovelint.report.sarif.places import Places
    from stovelint.report.sarif.rules import Rules
    from stovelint.report.sarif.taxa import Taxa
    from stovelint.remedy import Proposal
    from stovelint.review import Item, Review
    from stovelint.review.records import Standing

FINDING_PRINT = "stovelintFinding/v1"
"""Of a finding: by rule, part, layer and what was compared, see `stovelint.review.fingerprint`."""
MATTER_PRINT = "stovelintMatter/v1"
"""Of everything else: by what it is about, never by a line or a column."""
HOST_PRINT = "primaryLocationLineHash"
"""The one that code hosts compare; here it goes by the same, and not by the text of a line."""
HOST_SIGNS = 16
IDS: Mapping[Kind, str] = {
    "mistake": BUILD_FILE, "failure": NOT_REVIEWED, "variance": STALE_VARIANCE,
    "weakened": WEAKENED,
}  # fmt: skip
STATES: Mapping[Standing, str] = {"new": "new", "worse": "updated", "unchanged": "unchanged"}
FIRST = ("found", "open", "wrong")
"""Labels of the statement that says what is the matter."""
LABELS: Mapping[str, str] = {
    "may take": "May take", "why": "Why", "also": "Also", "footing": "Footing", "agreed": "Agreed",
    "do": "Do", "or": "Or", "tried": "Tried", "say": "Say",
}  # fmt: skip


class Results:
    """Writes the results of one run."""

    def __init__(
        self, *, rules: Rules, taxa: Taxa, places: Places, compared: bool, upload: bool
    ) -> None:
        self._rules = rules
        self._taxa = taxa
        self._places = places
        self._compared = compared
        self._upload = upload

    def of(self, answer: Answer) -> Iterator[Node]:
        """All results of one plan."""
        self._places.file(answer.file, "analysisTarget")
        told = [point for point in points(answer) if point.kind != "broke"]
        prints = told_apart(point.mark for point in told)
        found = {} if answer.review is None else {
            mark: index for index, mark in enumerate(fingerprints(answer.review))
        }  # fmt: skip
        for point, mark in zip(told, prints):
            if point.kind == "finding" and answer.review is not None:
                yield self._finding(answer, answer.review, found[point.mark], point)
            else:
                yield self._matter(answer, point, mark)
        if answer.review is not None:
            yield from quiet(
                answer, answer.review, rules=self._rules, places=self._places,
                compared=self._compared,
            )  # fmt: skip
            for item in answer.review.gone:
                yield gone(item, answer.review, rules=self._rules, places=self._places)

    def _finding(self, answer: Answer, review: Review, index: int, point: Point) -> Node:
        item = review.items[index]
        finding = item.finding
        tried = answer.proposals.get(index, ())
        around, links = related_places(item, review, answer.sites, self._places)
        node = self._start(point, finding.rule, "fail", item.level, [*_said(point), *links])
        location = self._places.location(
            item.span, sites=answer.sites, path=finding.path, walk_to=point.where,
            context_too=not self._upload,
        )  # fmt: skip
        node["locations"] = [location]
        if item.span.file != answer.file:
            node["analysisTarget"] = self._places.file(answer.file)
        if around:
            node["relatedLocations"] = around
        self._prints(node, FINDING_PRINT, point.mark)
        self._state(node, point.standing, item.accepted, review)
        taxa = self._taxa.references(finding.limits)
        if taxa:
            node["taxa"] = taxa
        way = flows(answer, index, self._places)
        if way:
            node["codeFlows"] = way
        if not self._upload:
            made = fixes(answer, index, tried, self._places)
            if made:
                node["fixes"] = made
            node["properties"] = _figures(item, tried)
        return node

    def _matter(self, answer: Answer, point: Point, mark: str) -> Node:
        rule = IDS.get(point.kind) or next(
            (rule for rule in point.rules if rule in self._rules.index), HEAT
        )
        kind, level = ("open", "none") if point.kind == "open" else ("fail", str(point.level))
        if self._upload and kind == "open" and point.stakes == "danger":
            # A danger that nobody could judge is a warning, and a host must show it as one.
            kind, level = "fail", str(point.level)
        node = self._start(point, rule, kind, level, _said(point))
        if point.span is None:
            node["locations"] = [self._places.whole_file(answer.file)]
        else:
            node["locations"] = [
                self._places.location(
                    point.span, sites=answer.sites, path=point.path,
                    walk_to=point.where if point.kind == "open" else "",
                    context_too=not self._upload,
                )
            ]  # fmt: skip
            if point.span.file != answer.file:
                node["analysisTarget"] = self._places.file(answer.file)
        self._prints(node, MATTER_PRINT, mark)
        accepted = None
        if answer.review is not None and point.kind == "open" and point.accepted:
            accepted = next(
                (q.accepted for q in answer.review.open
                 if q.span == point.span and q.path == point.path and q.accepted is not None),
                None,
            )  # fmt: skip
        self._state(node, point.standing, accepted, answer.review)
        if not self._upload:
            about: Node = {"rules": list(point.rules)} if len(point.rules) > 1 else {}
            if point.stakes is not None:
                about["stakes"] = point.stakes
            if about:
                node["properties"] = about
        return node

    def _start(
        self, point: Point, rule: str, kind: str, level: str, said: Sequence[str]
    ) -> Node:
        return {
            **self._rules.of(rule), "kind": kind, "level": level,
            "message": message("\n".join(said)),
        }  # fmt: skip

    def _prints(self, node: Node, name: str, mark: str) -> None:
        node["partialFingerprints"] = {name: mark}
        if self._upload:
            node["partialFingerprints"][HOST_PRINT] = f"{mark[:HOST_SIGNS]}:1"

    def _state(
        self, node: Node, standing: Standing | None, accepted: Variance | None,
        review: Review | None,
    ) -> None:  # fmt: skip
        node["suppressions"] = []
        if accepted is not None and review is not None:
            node["suppressions"] = [self._suppression(accepted, review)]
        if self._compared:
            node["baselineState"] = "new" if standing is None else STATES[standing]

    def _suppression(self, variance: Variance, review: Review) -> Node:
        until = "" if variance.until is None else f", until {variance.until}"
        said = visible(f"{variance.reason} (agreed by {variance.who}{until})")
        node: Node = {"kind": "inSource", "status": "accepted", "justification": said}
        for weighed in review.variances:
            if weighed.variance.name == variance.name:
                node["location"] = self._places.location(weighed.span, path=variance.path)
        return node


def shown(node: Node) -> bool:
    """Whether a host shall show a result as open: hosts read neither kind nor suppressions."""
    return (
        node["kind"] == "fail"
        and not node["suppressions"]
        and node.get("baselineState") != "absent"
    )


def _said(point: Point) -> list[str]:
    """What is told of a point, a paragraph for each statement."""
    weight = f" ({point.weight})" if point.weight else ""
    first = sentence(point.first + weight)
    # A name keeps its letters as the plan writes them.
    said = [f"{point.where}: {point.first}{weight}." if point.where else first]
    for label, text in point.fields:
        if label in FIRST:
            continue
        said.append(f"{LABELS.get(label, label.capitalize())}: {sentence(text)}")
    return [foreign(one) for one in said]


def _figures(item: Item, tried: Sequence[Proposal]) -> Node:
    """The finding's figures in SI, for who computes with them."""
    finding, lead = item.finding, item.finding.lead
    return {
        "stakes": finding.stakes,
        "part": finding.subject,
        "cases": None if lead.exact else {"past": lead.past, "of": lead.cases},
        "likelihood": None if lead.exact else likelihood(lead.past, lead.cases),
        "quantities": [quantity(measure) for measure in finding.measures],
        "remedies": [remedy(proposal) for proposal in tried],
    }
