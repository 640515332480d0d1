"""The head of a text report and its closing count."""

from __future__ import annotations

from typing import TYPE_CHECKING, Mapping

from stovelint.hold import SAID, USUAL
from stovelint.report import units as u
from stovelint.report.agreed import stale
from stovelint.report.answer import outcome_text, some_rules
from stovelint.report.lines import both_ends, spaced, wrap

if TYPE_CHECKING:
    from stovelint.quantity import Units
    from stovelint.review import Review
    from stovelint.rule.level import Level

LEVEL_WORDS: Mapping[Level, str] = {
    "error": "must change",
    "warning": "should change",
    "note": "consider",
}


def head_lines(review: Review, units: Units) -> list[str]:
    build = review.build
    title = build.title if build.drawing is None else f"{build.title}, {build.drawing}"
    lines = both_ends(title, f"outcome: {outcome_text(review)}")
    firing = build.firings["hardest"]
    every = u.duration(firing.every_s)
    load = u.mass(firing.charge_kg, units)
    said = f"hardest firing: {firing.loads} x {load} every {every}"
    if firing.assumed:
        said += " (assumed)"
    parts = [said, f"code: {build.jurisdiction or 'not named'}"]
    if build.by_others:
        parts.append("by others: " + ", ".join(sorted(build.by_others)))
    if review.on is not None:
        parts.append(f"day: {review.on}")
    lines += spaced(parts)
    if review.left_out:
        said = f"left out, so this is no full review: {', '.join(review.left_out)}"
        lines += wrap(said, first="", rest="  ")
    if review.hold != USUAL:
        lines += wrap(
            f"what holds the plan here: {SAID[review.hold]} (usual: {SAID[USUAL]})",
            first="", rest="  ",
        )  # fmt: skip
    return lines


def count_text(review: Review) -> str:
    levels = [item.level for item in review.items if item.accepted is None]
    levels += ["note"] * len(stale(review))
    asked = [question for question in review.open if question.accepted is None]
    accepted = sum(item.accepted is not None for item in review.items)
    accepted += len(review.open) - len(asked)
    counts = [f"{levels.count(x)} {word}" for x, word in LEVEL_WORDS.items() if x in levels]
    counts += [f"{accepted} accepted"] if accepted else []
    counts += [f"{len(asked)} open"] if asked else []
    said = ", ".join(counts) if counts else "nothing to correct"
    said = f"{some_rules(review).strip()}: {said}" if review.left_out else said
    return f"{said[0].upper()}{said[1:]}."
