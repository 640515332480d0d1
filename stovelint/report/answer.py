"""What a report has to tell about one plan: its review, or why there is none."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Literal, Mapping, Sequence

from stovelint.errors import NOT_REVIEWED
from stovelint.report.sites import NO_SITES, Sites

if TYPE_CHECKING:
    from stovelint.place import Mistake
    from stovelint.remedy import Proposal, Together
    from stovelint.review import Review

Outcome = Literal["clear", "as noted", "revise", "could not be reviewed"]
OUTCOMES: tuple[Outcome, ...] = ("clear", "as noted", "revise", "could not be reviewed")


@dataclass(frozen=True, kw_only=True, slots=True)
class Answer:
    """One plan, answered."""

    file: str
    """As reports print it."""
    review: Review | None = None
    proposals: Mapping[int, Sequence[Proposal]] = field(default_factory=dict)
    """By index of the review's items."""
    together: Together | None = None
    mistakes: tuple[Mistake, ...] = ()
    failure: str = ""
    """Why a plan without mistakes could still not be reviewed."""
    sites: Sites = NO_SITES
    """What a report for machines needs of the files themselves."""

    @property
    def outcome(self) -> Outcome:
        """The outcome in one of four words; a review that is not complete is none."""
        if self.review is None or self.review.crashes:
            return "could not be reviewed"
        return self.review.verdict

    @property
    def status(self) -> int:
        """Exit status that this plan asks for."""
        return NOT_REVIEWED if self.review is None else self.review.status


def outcome_text(review: Review) -> str:
    """The outcome as it heads a report; a review by some rules never reads like a full one."""
    said = review.verdict + some_rules(review)
    if review.crashes:
        said = f"not complete, {review.verdict} so far"
    accepted = dangers_text(review.dangers_accepted)
    return f"{said}, {accepted}" if accepted else said


def dangers_text(accepted: int) -> str:
    """`2 dangers accepted`; empty for none."""
    return f"{accepted} danger{'s' if accepted > 1 else ''} accepted" if accepted else ""


def some_rules(review: Review) -> str:
    """` by 2 of 7 rules`; empty for a full review."""
    if not review.left_out:
        return ""
    return f" by {len(review.asked)} of {len(review.asked) + len(review.left_out)} rules"
