"""From which level on a plan is held, by what is at stake."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal, Mapping

if TYPE_CHECKING:
    from stovelint.rule.level import Level, Stakes

Hold = Literal["danger", "must", "breakage", "should", "consider"]

USUAL: Hold = "breakage"
# The lowest level that holds a plan, by stakes; what is not named never holds. None of them may
# let a danger pass that must change (level `error`).
LEAST: Mapping[Hold, Mapping[Stakes, Level]] = {
    "danger": {"danger": "warning"},
    "must": {
        "danger": "error", "breakage": "error", "performance": "error", "advice": "error",
    },
    "breakage": {"danger": "warning", "breakage": "error"},
    "should": {
        "danger": "warning", "breakage": "warning", "performance": "warning", "advice": "warning",
    },
    "consider": {"danger": "note", "breakage": "note", "performance": "note", "advice": "note"},
}  # fmt: skip
SAID: Mapping[Hold, str] = {
    "danger": "danger that should or must change, and nothing else",
    "must": "what must change, and nothing else",
    "breakage": "danger that should or must change, and breakage that must",
    "should": "all that should or must change",
    "consider": "all that is found, also what is only to be considered, and stale variances",
}


def holds(hold: Hold, stakes: Stakes, level: Level) -> bool:
    """Whether something found at this level holds the plan.

    Args:
        hold: the hold chosen for this review.
        stakes: of what was found.
        level: its level.

    Source: own choice, stated in README.md under "Options and variances".

    >>> holds("breakage", "danger", "warning"), holds("must", "danger", "warning")
    (True, False)
    """
    from stovelint.rule.level import RANK  # here, so that the help of a command loads no rules

    least = LEAST[hold].get(stakes)
    return least is not None and RANK[level] >= RANK[least]
