"""The head of a text report and its closing count."""

from __future__ import annotations

from typing import TYPE_CHECKING, Mapping

from stovelint.hold import SAID, USUAL
from stovelint.report import units as u
from stovelint.report.agreed import stale, unchecked_dangers
from stovelint.report.answer import outcome_text
from stovelint.report.lines import both_ends, plain, spaced, wrap

if TYPE_CHECKING:
    from stovelint.quantity import Units
    from stovelint.review import Review
    from stovelint.rule.level import Level

LEVEL_WORDS: Mapping[Level, str] = {
    "error": "must change",
    "warning": "should change",
    "note": "consider",
}
NUMBERS = (
    "no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven",
    "twelve",
)  # fmt: skip


def head_lines(review: Review, units: Units) -> list[str]:
    """Title and outcome, the file, how it is fired, and what makes this review another one.

    A path stays whole, so that it can be copied; its line may then be longer than the others.
    """
    lines = both_ends(title_text(review), f"outcome: {outcome_text(review)}")
    lines.append(plain(f"plan: {review.file}"))
    if review.based_on:
        lines += wrap(f"based on: {', '.join(review.based_on)}", first="", rest="  ")
    lines += spaced(facts(review, units))
    if review.since is not None:
        lines += wrap(compared_text(review), first="", rest="  ")
    for said in cautions(review):
        lines += wrap(said, first="", rest="  ")
    return lines


def title_text(review: Review) -> str:
    """`Kiln Cottage, KC-13`."""
    build = review.build
    return build.title if build.drawing is None else f"{build.title}, {build.drawing}"


def facts(review: Review, units: Units) -> list[str]:
    """How a plan is fired, by which code it is judged, what others answer for, and the day."""
    build = review.build
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
    return parts


def cautions(review: Review) -> list[str]:
    """What makes a review another one than usual; a sentence each."""
    said = list(review.shop)
    if review.left_out:
        said.append(f"left out, so this is no full review: {', '.join(review.left_out)}")
    if review.hold != USUAL:
        said.append(
            f"what holds the plan here: {SAID[review.hold]} (usual: {SAID[USUAL]})"
        )
    ends = [f"{one.name} until {one.until}" for one in unchecked_dangers(review)]
    if ends:
        said.append(
            f"NOT CHECKED: whether what accepts a danger has ended ({', '.join(ends)}); give the "
            "day of this review with --on YEAR-MONTH-DAY"
        )
    return said


def compared_text(review: Review) -> str:
    """`compared with main: 2 new, 1 worse, 3 unchanged, 4 gone`; what is none is left out."""
    from stovelint.review.compare import counts

    head = f"compared with {review.since}"
    if review.file_before is None:
        return f"{head}: the plan was not there, so all of it is new"
    was = "" if review.file_before == review.file else f"; there it is {review.file_before}"
    if review.not_compared:
        return (
            f"{head}: all counts as new, since the plan could not be reviewed there{was} "
            f"({review.not_compared})"
        )
    said = [f"{number} {word}" for word, number in counts(review).items() if number]
    if review.weakened:
        said.append(f"{len(review.weakened)} weaker claim{'s' if len(review.weakened) > 1 else ''}")
    return f"{head}: {', '.join(said) or 'nothing found, then or now'}{was}"


def count_text(review: Review) -> str:
    """`Outcome revise: seven items must change, two should.`"""
    items = [item for item in review.items if item.standing != "unchanged"]
    questions = [one for one in review.open if one.standing != "unchanged"]
    levels = [item.level for item in items if item.accepted is None]
    levels += [one.level for one in review.weakened]
    levels += ["note"] * len(stale(review))
    accepted = sum(item.accepted is not None for item in items)
    accepted += sum(question.accepted is not None for question in questions)
    asked = sum(question.accepted is None for question in questions)
    unchanged = len(review.items) + len(review.open) - len(items) - len(questions)
    must, should, consider = (levels.count(level) for level in LEVEL_WORDS)
    said: list[str] = []
    if must:
        said.append(f"{_items(must)} must change")
    if should:
        said.append(f"{_number(should)} should" if must else f"{_items(should)} should change")
    if consider:
        said.append(f"{_items(consider)} to consider")
    if accepted:
        said.append(f"{_items(accepted)} accepted")
    if asked:
        said.append(f"{_number(asked)} question{'s' if asked > 1 else ''} open")
    if unchanged:
        said.append(f"{_number(unchanged)} unchanged")
    if review.gone:
        said.append(f"{_number(len(review.gone))} gone")
    return f"Outcome {outcome_text(review)}: {', '.join(said) or 'nothing to correct'}."


def _items(count: int) -> str:
    return f"{_number(count)} item{'s' if count > 1 else ''}"


def _number(count: int) -> str:
    return NUMBERS[count] if count < len(NUMBERS) else str(count)
