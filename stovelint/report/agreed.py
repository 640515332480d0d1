"""Variances in a text report: who agreed to what, and which of them nobody needs any more."""

from __future__ import annotations

from typing import TYPE_CHECKING

from stovelint.variance import STALE

if TYPE_CHECKING:
    from stovelint.build import Variance
    from stovelint.review import Review
    from stovelint.variance import Weighed

ACCEPTED = "accepted"


def agreed_text(variance: Variance, otherwise: str) -> str:
    """`by the owner until 2027-04-30, variance cap-for-now: relaid in spring; without it must
    change`.

    Args:
        variance: the variance that accepts something.
        otherwise: how it would stand without it.
    """
    until = "" if variance.until is None else f" until {variance.until}"
    return (
        f"by {variance.who}{until}: {variance.reason} (variance {variance.name}; without it: "
        f"{otherwise})"
    )


def stale(review: Review) -> tuple[Weighed, ...]:
    """Variances that should be looked at: unused, or ended."""
    return tuple(one for one in review.variances if one.state in STALE)


def unchecked_dangers(review: Review) -> tuple[Variance, ...]:
    """Variances that accept a danger for a time, when nobody said what day it is."""
    if review.on is not None:
        return ()
    agreed = [i.accepted for i in review.items if i.finding.stakes == "danger"]
    agreed += [q.accepted for q in review.open if q.stakes == "danger"]
    ends = {one.name: one for one in agreed if one is not None and one.until is not None}
    return tuple(ends[name] for name in sorted(ends))


def not_weighed(review: Review) -> tuple[str, ...]:
    """A sentence for each variance of which this review can say nothing."""
    return tuple(
        f"the variance {one.variance.name} was not weighed: {one.found}"
        for one in review.variances
        if one.state == "not weighed"
    )
