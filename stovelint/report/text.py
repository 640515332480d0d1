"""The review as a numbered correction list, the way a plan reviewer writes one."""

from __future__ import annotations

from typing import TYPE_CHECKING, Mapping, Sequence

from stovelint.report import units as u
from stovelint.report.agreed import ACCEPTED, not_weighed, stale
from stovelint.report.lines import INDENT, both_ends, field, way, wrap
from stovelint.report.sentences import (
    CAUTIONS, CLOSING, broke_text, finding_fields, question_fields, rule_words, source_text,
    stakes_text, stale_fields, together_text,
)  # fmt: skip
from stovelint.report.summary import LEVEL_WORDS, count_text, head_lines

if TYPE_CHECKING:
    from stovelint.quantity import Units
    from stovelint.remedy import Proposal, Together
    from stovelint.review import Item, OpenQuestion, Review
    from stovelint.rule.limits import Limit
    from stovelint.variance import Weighed

LABEL = 10
ITEM_COLUMN = 46


def text_report(
    review: Review,
    proposals: Mapping[int, Sequence[Proposal]],
    together: Together | None = None,
    units: Units = "si",
) -> str:
    """One plan's review as text, at most 100 columns wide.

    Args:
        review: the review.
        proposals: what the remedy search found, by index of the item.
        together: the plan with all of them made, computed once more.
        units: `si` or `us`.
    """
    lines = head_lines(review, units)
    number = 0
    for index, item in enumerate(review.items):
        if item.standing != "unchanged":
            number += 1
            lines += ["", *_item(number, item, proposals.get(index, ()), units)]
    for weaker in review.weakened:
        from stovelint.report.standing import weakened_lines

        number += 1
        lines += ["", *weakened_lines(number, weaker, units)]
    for weighed in stale(review):
        number += 1
        lines += ["", *_stale(number, weighed)]
    said: list[str] = []
    if together is not None:
        said = ["", *wrap(together_text(together, review), first="", rest="")]
    if review.since is None:
        lines += said
    asked = [question for question in review.open if question.standing != "unchanged"]
    if asked:
        lines += ["", "open questions"]
    for question in asked:
        number += 1
        lines += _question(number, question, units)
    if review.since is not None:
        from stovelint.report.standing import gone_lines, unchanged_lines

        lines += unchanged_lines(review, number + 1, proposals, units)
        lines += said  # of every `do`, so below the last one
        lines += gone_lines(review, units)
    for crash in review.crashes:
        lines += ["", *wrap(
            f"{broke_text(crash)}: {crash.message}. "
            "This is our fault, not the plan's; the review is not complete.",
            first="broke     ", rest=" " * LABEL,
        )]  # fmt: skip
    lines += _footing(review, units)
    lines += ["", *wrap(f"{count_text(review)} {CLOSING}", first="", rest="")]
    lines += wrap(f"Cautions: {'; '.join(CAUTIONS)}.", first="", rest="")
    return "\n".join(lines) + "\n"


def _item(number: int, item: Item, proposals: Sequence[Proposal], units: Units) -> list[str]:
    finding = item.finding
    head = f"{number:>2}  {rule_words(finding.rule)}"
    word = LEVEL_WORDS[item.level] if item.accepted is None else ACCEPTED
    if item.standing is not None:
        word += f", {item.standing}"
    lines = [f"{head:<{ITEM_COLUMN}} {word}   ({stakes_text(finding)})"]
    lines += _place(u.place(finding.walk_to, units), item.span.label())
    for label, text in finding_fields(item, proposals, units):
        lines += _field(label, text)
    return lines


def _place(walk_to: str, label: str) -> list[str]:
    first = " " * INDENT + "at".ljust(LABEL)
    return both_ends(walk_to, label, first=first, rest=" " * len(first))


def _field(label: str, text: str) -> list[str]:
    return field(label, text, width=LABEL)


def _stale(number: int, weighed: Weighed) -> list[str]:
    """A variance that should be looked at; it reads like advice to consider."""
    head = f"{number:>2}  variance {weighed.variance.name}"
    lines = [f"{head:<{ITEM_COLUMN}} {LEVEL_WORDS['note']}   (advice)"]
    lines += _place(way(weighed.variance.path), weighed.span.label())
    for label, text in stale_fields(weighed):
        lines += _field(label, text)
    return lines


def _question(number: int, question: OpenQuestion, units: Units) -> list[str]:
    name = ", ".join(map(rule_words, question.rules)) or "heat"
    if question.standing is not None:
        name += f" ({question.standing})"
    lines = both_ends(name, question.span.label(), first=f"{number:>2}  ", rest=" " * INDENT)
    lines += _field("at", question.subject)
    for label, text in question_fields(question, units):
        lines += _field(label, text)
    return lines


def _footing(review: Review, units: Units) -> list[str]:
    """Sources of every limit named above, and what had to be assumed."""
    limits: dict[str, Limit] = {}
    for item in review.items:
        for limit in () if item.standing == "unchanged" else item.finding.limits:
            limits.setdefault(limit.key, limit)
    lines: list[str] = []
    if limits:
        lines += ["", "sources"]
        width = max(map(len, limits)) + 2
        for key in sorted(limits):
            first, rest = "    " + key.ljust(width), " " * (INDENT + width)
            lines += wrap(source_text(limits[key].source), first=first, rest=rest)
    assumed = (*review.assumptions, *not_weighed(review))
    if assumed:
        lines += ["", "assumed"]
        for said in assumed:
            lines += wrap(u.sentence(said, units), first="    ", rest="      ")
    return lines


