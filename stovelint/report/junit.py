"""The review as JUnit XML, so that a CI server shows a plan like a suite of tests.

A suite is a plan. Its cases are everything told of it, and every rule that had nothing to tell:

| what | case |
| --- | --- |
| a finding or open question that holds the plan | failure, with the whole text |
| one that does not hold it | passes, with its text as output |
| an open question that does not hold it | skipped, with the line to add |
| one that a variance accepts | skipped, with who agreed to what |
| a rule that found nothing to say | passes |
| a rule that the plan holds nothing for | skipped |
| a mistake in the file, heat that cannot be computed, a rule that broke | error |

A failure or an error is there exactly when the exit status of the review is not 0: what counts
follows the hold, so that a server and the command never disagree. A case is named after rule and
JSON Pointer; of equal names the further ones are counted, since readers drop what is named alike.
There are no times: the same plan gives the same bytes.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Iterable, Literal

from stovelint.place import pointer
from stovelint.report.agreed import ACCEPTED
from stovelint.report.answer import outcome_text
from stovelint.report.points import OPEN, STOPS, Point, points
from stovelint.report.uris import told_path
from stovelint.report.visible import visible

if TYPE_CHECKING:
    from xml.etree.ElementTree import Element

    from stovelint.place import Span
    from stovelint.report.answer import Answer
    from stovelint.report.told import Notice, Told

HEAD = '<?xml version="1.0" encoding="UTF-8"?>\n'
Result = Literal["failure", "error", "skipped"]
COUNTED: dict[Result, str] = {"failure": "failures", "error": "errors", "skipped": "skipped"}
CALL = "the call"
"""Suite of what belongs to no plan."""


def junit_report(told: Told) -> str:
    """All plans of a call as one JUnit XML document in plain ASCII."""
    from xml.etree import ElementTree

    root = ElementTree.Element("testsuites", {"name": "stovelint"})
    for answer in told.answers:
        _Suite(root, told, told_path(told, answer.file)).tell(answer)
    if told.notices:
        _Suite(root, told, CALL).notices(told.notices)
    for name in ("tests", *COUNTED.values()):
        root.set(name, str(sum(int(suite.get(name, "0")) for suite in root)))
    ElementTree.indent(root, " ")
    written: bytes = ElementTree.tostring(root, encoding="us-ascii")
    # `##` and a word in brackets would be a command to the runner in whose log this is printed.
    return HEAD + written.decode("ascii").replace("##", "#&#35;") + "\n"


class _Suite:
    """One suite, as it grows."""

    def __init__(self, root: Element, told: Told, name: str) -> None:
        from xml.etree.ElementTree import SubElement

        self._sub = SubElement
        self._told = told
        self._file = name
        self._names: set[str] = set()
        self._suite = SubElement(root, "testsuite", {"name": visible(name)})
        for count in ("tests", *COUNTED.values()):
            self._suite.set(count, "0")

    def tell(self, answer: Answer) -> None:
        """A case for everything told of a plan, and for every rule that said nothing."""
        review = answer.review
        self._properties(answer)
        told = points(answer)
        for point in told:
            self._point(point)
        if review is None:
            return
        if review.since is not None:
            self._gone(answer)
        spoke = {rule for point in told for rule in point.rules}
        for rule in sorted({*review.asked} - spoke):
            case = self._case(rule, None)
            if rule in review.not_applicable:
                self._result(case, "skipped", "the plan holds nothing that this rule is about")

    def notices(self, notices: Iterable[Notice]) -> None:
        """A case for everything that is about the call and no plan."""
        for notice in notices:
            message, remedy = visible(notice.message), visible(notice.remedy)
            case = self._case("the call" if notice.span is None else "settings", notice.span)
            if notice.stops or notice.holds:
                result: Result = "error" if notice.stops else "failure"
                self._result(case, result, message, f"do: {remedy}", kind="settings")
            else:
                self._sub(case, "system-out").text = f"{message}\ndo: {remedy}"

    def _properties(self, answer: Answer) -> None:
        review = answer.review
        said = {"outcome": answer.outcome if review is None else outcome_text(review)}
        if review is not None:
            said["title"] = review.build.title
            said["drawing"] = review.build.drawing or ""
            said["hold"] = review.hold
            said["on"] = review.on or ""
            said["since"] = review.since or ""
            said["left out"] = ", ".join(review.left_out)
        into = self._sub(self._suite, "properties")
        for name, value in said.items():
            if value:
                self._sub(into, "property", {"name": name, "value": visible(value)})

    def _point(self, point: Point) -> None:
        case = self._case(_name(point), point.span)
        message = f"{point.title}: {point.first}"
        kind = f"{point.word} ({point.weight})" if point.weight else point.word
        if point.kind in STOPS:
            self._result(case, "error", message, point.text(), kind=kind)
        elif point.holds:
            self._result(case, "failure", message, point.text(), kind=kind)
        elif point.accepted:
            self._result(case, "skipped", f"{ACCEPTED} {point.field('agreed')}")
            self._sub(case, "system-out").text = f"{point.title}\n{point.text()}"
        elif point.kind == OPEN:
            self._result(case, "skipped", f"{message}; {point.field('say')}")
        else:
            old = point.standing == "unchanged"
            since = f", as it stood in {visible(self._told.since or '')}" if old else ""
            said = f"{kind}{since}: {point.title}\n{point.text()}"
            self._sub(case, "system-out").text = said

    def _gone(self, answer: Answer) -> None:
        """What stood in the older revision passes now, under the name that it failed by."""
        assert answer.review is not None
        for item in answer.review.gone:
            name = f"{item.finding.rule} {visible(pointer(item.finding.path))}"
            if name not in self._names:
                since, found = answer.review.since or "", item.finding.found
                said = f"gone since {visible(since)}: {visible(found)}"
                self._sub(self._case(name, None), "system-out").text = said

    def _case(self, name: str, span: Span | None) -> Element:
        """A new case under a name that no other case of the suite has."""
        alone, nth = name, 1
        while name in self._names:
            nth += 1
            name = f"{alone} no. {nth}"
        self._names.add(name)
        file = self._file if span is None else told_path(self._told, span.file)
        said = {"classname": visible(self._file), "name": name}
        if self._file != CALL or span is not None:
            said["file"] = visible(file)
            said["line"] = str(1 if span is None else span.start.line + 1)
        self._count("tests")
        return self._sub(self._suite, "testcase", said)

    def _result(
        self, case: Element, result: Result, message: str, text: str = "", *, kind: str = ""
    ) -> None:
        self._count(COUNTED[result])
        said = {"message": message, "type": kind} if kind else {"message": message}
        self._sub(case, result, said).text = text or None

    def _count(self, name: str) -> None:
        self._suite.set(name, str(int(self._suite.get(name, "0")) + 1))


def _name(point: Point) -> str:
    if point.kind == "finding":
        return f"{point.rules[0]} {visible(pointer(point.path))}"
    if point.kind == OPEN:
        return f"{', '.join(point.rules) or 'heat'} open {visible(pointer(point.path))}"
    if point.kind == "broke":
        return point.rules[0] if point.rules else "search for remedies"
    if point.kind == "failure":
        return point.name
    return f"{point.name} {visible(pointer(point.path))}".rstrip()
