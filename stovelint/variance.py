"""Granted deviations: which are in force, which are used, and which nobody needs any more."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Collection, Iterable, Literal, Mapping

from stovelint.place import Mistake
from stovelint.schema import closest

if TYPE_CHECKING:
    from stovelint.build import Build, Variance
    from stovelint.place import Places, Span

State = Literal["used", "unused", "expired", "not weighed"]
STALE: tuple[State, ...] = ("unused", "expired")

Granted = Mapping[tuple[str, str], "Variance"]
"""Rule and part -> the variance in force for them."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Weighed:
    """What became of one variance in one review."""

    variance: Variance
    state: State
    span: Span
    end_checked: bool
    """False: it has a last day, and no day of review was given to hold against it."""
    found: str
    """How it stands, in a clause."""
    why: str
    remedy: str
    """Why that matters and what to do; empty while nothing needs doing."""
    known: bool = False
    """It stood so in the older revision with which the plan was compared."""


def granted(build: Build, on: str | None) -> Granted:
    """The variances in force. Each names one rule and one part; nothing wider can be written.

    Args:
        build: the plan.
        on: day of the review, year-month-day; None: every variance is in force, since nothing
            here reads a clock.
    """
    return {
        (one.rule, one.part): one
        for one in build.variances.values()
        if not _ended(one, on)
    }


def weigh(
    build: Build,
    *,
    places: Places,
    spoken: Collection[tuple[str, str]],
    silent: Mapping[str, str],
    on: str | None,
) -> tuple[Weighed, ...]:
    """What became of every variance of a plan, in the order of the file.

    Args:
        build: the plan.
        places: where everything stands in the file.
        spoken: rule and subject of every finding and every open question.
        silent: rules that could not speak -> why (`was left out`).
        on: as for `granted`.
    """
    weighed = [
        _weighed(one, places.key(one.path), (one.rule, one.part) in spoken, silent, on)
        for one in build.variances.values()
    ]
    return tuple(sorted(weighed, key=lambda w: (w.span.start.offset, w.variance.name)))


def _weighed(
    one: Variance, span: Span, spoke: bool, silent: Mapping[str, str], on: str | None
) -> Weighed:
    state: State
    why = remedy = ""
    if _ended(one, on):
        state = "expired"
        found = f"it held until {one.until}; this review is of {on}"
        why = "what was agreed for a time is agreed no longer"
        if spoke:
            why += f": what {one.rule} finds at {one.part} counts again"
            remedy = "put the thing right, or have it agreed anew with a later day"
        elif one.rule in silent:
            found += f"; the rule {one.rule} {silent[one.rule]}"
            remedy = "review with this rule first: only then is it known whether it is needed"
        else:
            remedy = "delete it"
    elif spoke:
        state, found = "used", f"{one.rule} speaks at {one.part}"
    elif one.rule in silent:
        state, found = "not weighed", f"the rule {one.rule} {silent[one.rule]}"
    else:
        state, found = "unused", f"{one.rule} has nothing to say at {one.part}"
        why = "it would accept, unseen, what a later change may bring there"
        remedy = "delete it, or check the rule and the part that it names"
    return Weighed(
        variance=one, state=state, span=span, end_checked=one.until is None or on is not None,
        found=found, why=why, remedy=remedy,
    )  # fmt: skip


def check_variances(build: Build, rules: Iterable[str], places: Places) -> tuple[Mistake, ...]:
    """Variances for rules that the book does not hold.

    Args:
        build: the plan, whole or damaged; a name that could not be read is passed over.
        rules: names of all rules of the book.
        places: where everything stands in the file.
    """
    if not build.variances:
        return ()
    book = sorted(rules)
    found: list[Mistake] = []
    for one in build.variances.values():
        if one.rule in book or not one.rule:
            continue
        near = closest(one.rule, book)
        path = (*one.path, "rule")
        found.append(
            Mistake(
                span=places.value(path),
                path=path,
                message=f"there is no rule `{one.rule}`",
                remedy="did you mean " + " or ".join(f"`{word}`" for word in near) + "?"
                if near
                else "there are: " + ", ".join(book),
            )
        )
    return tuple(sorted(found, key=Mistake.sort_key))


def _ended(one: Variance, on: str | None) -> bool:
    """A last day is the last on which it holds. Days written alike sort by time."""
    return one.until is not None and on is not None and on > one.until
