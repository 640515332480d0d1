"""The review as a comment on a change request: a plan reviewer's note, in Markdown.

Outcomes come first, then what must and should change, plan by plan; what is only to be considered
and all that stands behind the corrections is folded. Compared with an older revision, what is new
comes first, then what is gone, and what stands as it stood is folded. The first line is a comment
that nobody sees and that never changes: by it a workflow finds its own note and replaces it.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from stovelint.report.answer import OUTCOMES, outcome_text
from stovelint.report.inline import code, escaped, prose
from stovelint.report.note import BEHIND, OUTCOME, Note
from stovelint.report.sections import Section, fitted
from stovelint.report.sentences import CAUTIONS, CLOSING
from stovelint.report.summary import count_text, title_text
from stovelint.report.uris import told_path

if TYPE_CHECKING:
    from stovelint.quantity import Units
    from stovelint.report.answer import Answer
    from stovelint.report.told import Told

MARKER = "<!-- stovelint review -->"
CLEAR_SHOWN = 3
"""From so many clear plans on, they are folded."""


def markdown_report(told: Told, units: Units = "si") -> str:
    """All plans of a call as one comment, of a size that hosts take.

    Args:
        told: the answers.
        units: `si` or `us`.
    """
    sections = [_outcomes(told), *_clear(told)]
    for answer in _worst_first(told):
        if answer.outcome != "clear" or len(told.answers) == 1 or _changed(answer):
            sections += Note(told, answer, units).sections()
    end = f"{CLOSING} Cautions: {'; '.join(CAUTIONS)}."
    return fitted([f"{MARKER}\n## Heat review\n", *_notices(told)], sections, f"*{end}*\n")


def _notices(told: Told) -> list[str]:
    return [f"**{prose(one.message)}**; {prose(one.remedy)}\n" for one in told.notices]


# -- the outcome of every plan ------------------------------------------------------------------


def _outcomes(told: Told) -> Section:
    many = _folds_clear(told)
    shown = [one for one in _worst_first(told) if not (many and one.outcome == "clear")]
    return Section(
        rank=OUTCOME, noun="outcomes of plans",
        blocks=tuple(_outcome(told, answer) for answer in shown),
    )  # fmt: skip


def _clear(told: Told) -> list[Section]:
    if not _folds_clear(told):
        return []
    clear = [one for one in told.answers if one.outcome == "clear"]
    return [
        Section(
            rank=BEHIND, noun="plans that are clear", fold=f"{len(clear)} plans are clear",
            blocks=tuple(_outcome(told, answer) for answer in clear),
        )
    ]  # fmt: skip


def _worst_first(told: Told) -> list[Answer]:
    return sorted(told.answers, key=lambda one: -OUTCOMES.index(one.outcome))


def _folds_clear(told: Told) -> bool:
    return sum(one.outcome == "clear" for one in told.answers) > CLEAR_SHOWN


def _outcome(told: Told, answer: Answer) -> str:
    review = answer.review
    file = code(told_path(told, answer.file))
    if review is None:
        return f"- **{answer.outcome}**: {file}\n"
    count = count_text(review).partition(": ")[2]
    title = escaped(title_text(review))
    return f"- **{escaped(outcome_text(review))}**: {title} ({file}); {escaped(count)}\n"


def _changed(answer: Answer) -> bool:
    """Whether a plan differs from what it was by anything that was found."""
    review = answer.review
    return review is not None and bool(review.gone or review.weakened)
