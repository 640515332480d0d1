"""How the call itself went: its exit status, what broke, and what is wrong with the settings."""

from __future__ import annotations

from typing import TYPE_CHECKING, Mapping

from stovelint.report.sarif.rules import pascal
from stovelint.report.sarif.words import Node, foreign, message, sentence
from stovelint.report.sentences import broke_text
from stovelint.report.visible import visible

if TYPE_CHECKING:
    from stovelint.report.answer import Answer
    from stovelint.report.sarif.places import Places
    from stovelint.report.sarif.rules import Rules
    from stovelint.report.told import Notice, Told

EXITS: Mapping[int, str] = {
    0: "clear or as noted", 1: "revise", 2: "at least one plan could not be reviewed"
}
NOTIFICATIONS: Mapping[str, tuple[str, str]] = {
    "rule-broke": (
        "Broke within a plan",
        "A rule, or the search for remedies, broke. The others still ran, but the review of this "
        "plan is not complete. Please report it together with the plan.",
    ),
    "plan-not-reviewed": (
        "A plan left without a review",
        "The build file is in order, and its heat could not be computed, or stovelint broke.",
    ),
    "not-compared": (
        "A plan that was not compared",
        "The plan stood in the older revision, but nothing can be said of it as it was there, so "
        "that everything in it counts as new.",
    ),
    "settings": (
        "The call and its settings",
        "Something is to be said of the call or of the settings, and not of any plan.",
    ),
}
"""Descriptors of the driver, in this order: in short, and in full."""


def descriptors() -> list[Node]:
    """`driver.notifications`."""
    return [
        {
            "id": name, "name": pascal(short), "shortDescription": message(sentence(short)),
            "fullDescription": message(full), "help": {"text": full},
        }
        for name, (short, full) in NOTIFICATIONS.items()
    ]  # fmt: skip


def invocation(told: Told, rules: Rules, places: Places) -> Node:
    """The one invocation of a run. Neither command line nor folder, user or time are told."""
    broken = [one for answer in told.answers for one in _of_plan(answer, rules, places)]
    settings = [_of_settings(one, places) for one in told.notices]
    failed = any(one["level"] == "error" for one in (*broken, *settings))
    node: Node = {
        "executionSuccessful": not failed,
        "exitCode": told.status,
        "exitCodeDescription": EXITS[told.status],
    }
    if told.left_out:
        node["ruleConfigurationOverrides"] = [
            {"descriptor": rules.reference(name), "configuration": {"enabled": False}}
            for name in sorted(told.left_out)
            if name in rules.index
        ]
    node["toolExecutionNotifications"] = broken
    node["toolConfigurationNotifications"] = settings
    return node


def _of_plan(answer: Answer, rules: Rules, places: Places) -> list[Node]:
    if answer.review is None:
        if not answer.failure:
            return []
        node = _notification("plan-not-reviewed", sentence(answer.failure), "error")
        node["locations"] = [places.whole_file(answer.file)]
        return [node]
    found = []
    for crash in answer.review.crashes:
        said = (
            f"{sentence(broke_text(crash))} {sentence(crash.message)} This is not the plan's "
            "fault; please report it together with the plan."
        )
        node = _notification("rule-broke", said, "error")
        node["locations"] = [places.whole_file(answer.file)]
        if crash.rule in rules.index:
            node["associatedRule"] = rules.reference(crash.rule)
        found.append(node)
    if answer.review.not_compared:
        node = _notification("not-compared", sentence(answer.review.not_compared), "warning")
        node["locations"] = [places.whole_file(answer.file)]
        found.append(node)
    return found


def _of_settings(notice: Notice, places: Places) -> Node:
    said = sentence(notice.message) + (f" {sentence(notice.remedy)}" if notice.remedy else "")
    node = _notification("settings", said, "error" if notice.stops else "warning")
    if notice.span is not None:
        node["locations"] = [places.location(notice.span)]
    return node


def _notification(name: str, said: str, level: str) -> Node:
    return {
        "descriptor": {"id": name, "index": list(NOTIFICATIONS).index(name)},
        "message": message(foreign(visible(said))),
        "level": level,
    }
