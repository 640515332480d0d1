"""How a plan stands against an older revision, in a report for people."""

from __future__ import annotations

from typing import TYPE_CHECKING, Mapping, Sequence

from stovelint.report import units as u
from stovelint.report.agreed import ACCEPTED
from stovelint.report.lines import INDENT, both_ends, field, way
from stovelint.report.sentences import found_text, proposal_text, rule_words
from stovelint.report.summary import LEVEL_WORDS
from stovelint.report.text import ITEM_COLUMN, LABEL

if TYPE_CHECKING:
    from stovelint.quantity import Units
    from stovelint.remedy import Proposal
    from stovelint.review import Item, OpenQuestion, Review
    from stovelint.review.records import Weakened

WEAKENED = "weaker claim"
WHOLE = "the plan"
"""Where a claim stands that is about all of it."""
WHY = "less is asked of the heater than before, and no computation can say whether that is right"


def before_text(item: Item, units: Units) -> str:
    """`should change; span peak 160 degC (120 to 200)`: how a worse finding stood; empty for any
    other."""
    if item.before is None:
        return ""
    word = LEVEL_WORDS[item.before.level]
    if item.before.accepted is not None:
        word = f"{ACCEPTED} by the variance {item.before.accepted.name}"
    return f"{word}; {found_text(item.before.finding, units)}"


def weakened_lines(number: int, weaker: Weakened, units: Units) -> list[str]:
    """One claim that asks for less, like an item."""
    head = f"{number:>2}  {WEAKENED}"
    lines = [f"{head:<{ITEM_COLUMN}} {LEVEL_WORDS[weaker.level]}   ({weaker.stakes})"]
    first = " " * INDENT + "at".ljust(LABEL)
    where = way(weaker.path) or WHOLE
    lines += both_ends(where, weaker.span.label(), first=first, rest=" " * len(first))
    for label, said in weakened_fields(weaker, units):
        lines += field(label, said, width=LABEL)
    return lines


def weakened_fields(weaker: Weakened, units: Units) -> list[tuple[str, str]]:
    """What is said of a claim that asks for less, below its place."""
    return [("found", u.sentence(weaker.what, units)), ("why", WHY), ("do", weaker.remedy)]


def unchanged_lines(
    review: Review, first: int, proposals: Mapping[int, Sequence[Proposal]], units: Units
) -> list[str]:
    """What stood there alike, short, with what would put it right.

    Args:
        review: the review.
        first: number of the first of them in the report.
        proposals: what the search for remedies found, by index of the finding.
        units: `si` or `us`.
    """
    number = first
    lines: list[str] = []
    for index, item in enumerate(review.items):
        if item.standing == "unchanged":
            lines += _short(number, _item_text(item, units), item.span.label())
            number += 1
            for proposal in proposals.get(index, ())[:1]:
                if proposal.passes:
                    lines += field("do", proposal_text(proposal, units), width=LABEL)
    for question in review.open:
        if question.standing == "unchanged":
            lines += _short(number, _question_text(question), question.span.label())
            number += 1
    if not lines:
        return []
    return ["", f"unchanged since {review.since}; this holds nothing here", *lines]


def gone_lines(review: Review, units: Units) -> list[str]:
    """What the older revision had and the plan has no more, with places as they were there."""
    if not review.gone:
        return []
    lines = ["", f"gone since {review.since}, with places as they were there"]
    blank = " " * INDENT
    for item in review.gone:
        text = _item_text(item, units)
        lines += both_ends(text, item.span.label(), first=blank, rest=blank)
    return lines


def _short(number: int, text: str, label: str) -> list[str]:
    return both_ends(text, label, first=f"{number:>2}  ", rest=" " * INDENT)


def _item_text(item: Item, units: Units) -> str:
    finding = item.finding
    word = LEVEL_WORDS[item.level] if item.accepted is None else ACCEPTED
    return f"{rule_words(finding.rule)}, {word}: {u.place(finding.walk_to, units)}"


def _question_text(question: OpenQuestion) -> str:
    name = ", ".join(map(rule_words, question.rules)) or "heat"
    word = "open" if question.accepted is None else ACCEPTED
    return f"{name}, {word}: {question.subject}"
