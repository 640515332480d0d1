"""Results for what is not in the correction list: rules that had nothing to tell, and findings of
the older revision that are no more."""

from __future__ import annotations

from typing import TYPE_CHECKING, Iterator

from stovelint.report.sarif.words import Node, foreign, message, sentence
from stovelint.report.sentences import found_text, rule_words
from stovelint.report.visible import visible

if TYPE_CHECKING:
    from stovelint.report.answer import Answer
    from stovelint.report.sarif.places import Places
    from stovelint.report.sarif.rules import Rules
    from stovelint.review import Item, Review


def quiet(
    answer: Answer, review: Review, *, rules: Rules, places: Places, compared: bool
) -> Iterator[Node]:
    """Rules that found the plan fine, and rules that it holds nothing for.

    A rule passes only where it asked nothing, did not break, and the heat was computed wherever
    it looked. Compared with an older revision, a rule that had a finding there is `updated`.
    """
    spoke = {item.finding.rule for item in review.items}
    spoke |= {rule for question in review.open for rule in question.rules}
    spoke |= {crash.rule for crash in review.crashes}
    dark = any(not question.rules for question in review.open)
    came_right = {item.finding.rule for item in review.gone}
    for rule in review.asked:
        idle = rule in review.not_applicable
        if rule in spoke or rule not in rules.index or (dark and not idle):
            continue
        words = rule_words(rule)
        text = (
            f"The plan holds nothing that the rule {words} is about."
            if idle
            else f"The rule {words} looked at the plan and found nothing past a limit."
        )
        node: Node = {
            **rules.of(rule),
            "kind": "notApplicable" if idle else "pass",
            "level": "none",
            "message": message(text),
            "locations": [places.whole_file(answer.file)],
            "suppressions": [],
        }
        if compared:
            known = "updated" if rule in came_right else "unchanged"
            node["baselineState"] = "new" if review.file_before is None else known
        yield node


def gone(item: Item, review: Review, *, rules: Rules, places: Places) -> Node:
    """A finding of the older revision, at its place there. It has no fingerprint: that would go
    by the layers of a plan that is not at hand."""
    finding = item.finding
    said = visible(f"gone since {review.since}: {finding.walk_to}, {found_text(finding, 'si')}")
    location = places.location(item.span, path=finding.path, walk_to=visible(finding.walk_to))
    return {
        **rules.of(finding.rule), "kind": "fail", "level": item.level,
        "message": message(foreign(sentence(said))), "locations": [location], "suppressions": [],
        "baselineState": "absent",
    }  # fmt: skip
