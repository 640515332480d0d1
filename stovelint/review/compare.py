"""What a review says that it did not say of an older revision, and what it says no more."""

from __future__ import annotations

import re
from collections import Counter
from dataclasses import replace
from typing import TYPE_CHECKING, Mapping

from stovelint.review.fingerprint import fingerprints
from stovelint.rule.level import RANK
from stovelint.variance import STALE

if TYPE_CHECKING:
    from stovelint.review.records import Item, OpenQuestion, Review, Standing
    from stovelint.rule.finding import Finding, Measure, Unit

MUCH = 1.25
"""How many times as far past its limit a value must be to count as worse at the same level, or how
many times smaller what is left where a limit asks for at least so much."""
STEP: Mapping[Unit, float] = {
    "degC": 10.0, "K": 10.0, "m": 0.01, "h": 1.0, "count": 1.0, "strain": 1e-4,
}  # fmt: skip
"""And by how much at least, so that what barely passes a limit does not count as worse at once.
Both are own choices, stated in README.md beside `--since`."""


def compare(
    now: Review, before: Review | None, *, since: str, file_before: str | None = None,
    not_compared: str = "",
) -> Review:  # fmt: skip
    """A review with the standing of everything in it.

    Args:
        now: the review of the plan as it is.
        before: that of the older revision, by the same rules; None: there is none, and all is new.
        since: the older revision, as it was given.
        file_before: name of the plan there; None: it was not there.
        not_compared: why it was there and has no review.
    """
    old_items = {} if before is None else dict(zip(fingerprints(before), before.items))
    items = tuple(
        _item(item, old_items.pop(mark, None)) for mark, item in zip(fingerprints(now), now.items)
    )
    # Of a firing that is as unknown as it was, nobody can say that it is as it was: unless the
    # heater is the same, anything may have come into it.
    changed = before is not None and before.build != now.build
    asked = Questions(() if before is None else before.open)
    stale = {} if before is None else {
        one.variance.name: one.state for one in before.variances
    }  # fmt: skip
    return replace(
        now,
        items=items,
        open=tuple(
            replace(question, standing="new") if changed and question.blind
            else asked.standing(question)
            for question in now.open
        ),
        variances=tuple(
            replace(one, known=one.state in STALE and stale.get(one.variance.name) == one.state)
            for one in now.variances
        ),
        since=since,
        file_before=file_before,
        not_compared=not_compared,
        gone=tuple(old_items.values()),
    )


def all_unchanged(now: Review, *, since: str, file_before: str) -> Review:
    """A review of a plan of which no byte has changed, nor of anything that it is based on."""
    return compare(now, now, since=since, file_before=file_before)


def counts(review: Review) -> dict[str, int]:
    """How many findings and questions have which standing, in the order `new`, `worse`,
    `unchanged`, `gone`."""
    seen = Counter(
        [item.standing for item in review.items] + [question.standing for question in review.open]
    )
    words: tuple[Standing, ...] = ("new", "worse", "unchanged")
    return {**{word: seen[word] for word in words}, "gone": len(review.gone)}


def _item(item: Item, old: Item | None) -> Item:
    if old is None:
        return replace(item, standing="new")
    worse = (
        RANK[item.level] > RANK[old.level]
        or (old.accepted is not None and item.accepted is None)
        or _much_farther(item.finding, old.finding)
    )
    if worse:
        return replace(item, standing="worse", before=old)
    return replace(item, standing="unchanged")


def _much_farther(now: Finding, old: Finding) -> bool:
    """Whether anything that counts in a finding is well farther past its limit than it was.

    A place may bear another name than it did: the name of a part, or a height. What was compared
    at no place of that name is held against the farthest that it was anywhere.
    """
    there = [one for one in old.measures if one.limit]
    for one in now.measures:
        if one.limit is None or not one.counts:
            continue
        alike = [was for was in there if was.limit and _compared(was) == _compared(one)]
        before = [was for was in alike if was.where == one.where] or alike
        if before and all(_farther(one, was) for was in before):
            return True
    return False


def _compared(one: Measure) -> tuple[str, str]:
    return one.what, "" if one.limit is None else one.limit.name


def _farther(now: Measure, old: Measure) -> bool:
    assert now.limit is not None  # they were paired by their limits
    if now.limit.sense == "at least":  # a distance: what is left of it counts
        return old.mid - now.mid >= STEP[now.unit] and now.mid * MUCH < old.mid
    past, was = (max(0.0, one.mid - now.limit.base) for one in (now, old))
    return past - was >= STEP[now.unit] and past > MUCH * was


class Questions:
    """Open questions of an older revision, each rule's on its own: what asks may be joined."""

    def __init__(self, before: tuple[OpenQuestion, ...]) -> None:
        self._before = {key: question for question in before for key in _keys(question)}

    def standing(self, question: OpenQuestion) -> OpenQuestion:
        """The question with its standing."""
        found = [self._before.get(key) for key in _keys(question)]
        old = [one for one in found if one is not None]
        if len(old) < len(found):
            return replace(question, standing="new")
        for one in old:
            accepted_no_more = one.accepted is not None and question.accepted is None
            if RANK[question.level] > RANK[one.level] or accepted_no_more:
                return replace(question, standing="worse", before=one)
        return replace(question, standing="unchanged")


def _keys(question: OpenQuestion) -> list[tuple[str, str, str]]:
    # A figure in the reason may move with every edit elsewhere, and it is still the same question.
    reason = re.sub(r"\d+(\.\d+)?", "#", question.reason)
    return [(rule, question.subject, reason) for rule in question.rules or ("",)]
