"""`stovelint review PATH...`: the correction list of every plan."""

from __future__ import annotations

import os
import sys
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Iterable, Mapping, Sequence

from stovelint.cli import CLEAR
from stovelint.cli.choose import choose
from stovelint.cli.find import find_plans, passed_over_text
from stovelint.cli.out import check_out, write_whole
from stovelint.cli.say import say
from stovelint.errors import BuildFileError, HeatError, QuantityError, UsageError, broke
from stovelint.hold import USUAL
from stovelint.place import Mistake
from stovelint.report.answer import OUTCOMES, Answer, dangers_text, outcome_text
from stovelint.report.lines import both_ends

if TYPE_CHECKING:
    from stovelint.catalogue import Catalogue
    from stovelint.hold import Hold
    from stovelint.quantity import Units
    from stovelint.remedy import Proposal, Search, Together
    from stovelint.review import Review
    from stovelint.rulebook import Rule

RULER = "\n" + "-" * 100 + "\n\n"


@dataclass(frozen=True, kw_only=True, slots=True)
class Desk:
    """All that is the same for every plan of one call."""

    catalogue: Catalogue
    book: tuple[Rule, ...]
    rules: tuple[Rule, ...]
    """Those that judge; remedies must please the whole book."""
    left_out: tuple[str, ...]
    hold: Hold
    on: str | None


def review_command(
    paths: Iterable[str],
    *,
    form: str = "text",
    out: str | None = None,
    units: Units = "si",
    only: Sequence[str] = (),
    without: Sequence[str] = (),
    hold: Hold = USUAL,
    on: str | None = None,
) -> int:
    """Review every plan named or found in the folders named.

    Args:
        paths: build files and folders.
        form: `text` or `json`.
        out: file for the report; stdout then holds one line for each plan.
        units: of a text report; JSON is SI.
        only, without: names of rules to ask alone, or to leave out.
        hold: what holds a plan.
        on: day of the review, year-month-day.

    Returns the highest exit status of all plans.
    """
    from stovelint.catalogue import Catalogue
    from stovelint.rulebook import load

    if form == "json" and units != "si":
        raise UsageError("--units is for people, JSON is always SI", "leave --units away")
    day = None if on is None else _day(on)
    found = find_plans(paths)
    plans = found.plans
    passed_over = passed_over_text(found)
    if passed_over:
        print(f"stovelint: {passed_over}", file=sys.stderr)
    if out is not None:
        check_out(out, plans)
    book = load()
    rules, left_out = choose(book, only, without)
    desk = Desk(
        catalogue=Catalogue(), book=book, rules=rules, left_out=left_out, hold=hold, on=day
    )
    at_once = out is None and form == "text"  # since the next plan may take a while
    answers: list[Answer] = []
    written: list[str] = []
    status = CLEAR
    for index, plan in enumerate(plans):
        answer = review_plan(plan, desk)
        answers.append(answer)
        status = max(status, answer.status)
        if form == "text":
            text = (RULER if index else "") + _text(answer, units)
            if at_once:
                say(text)
            else:
                written.append(text)
    end = _end(answers)
    if form == "json":
        written = [_json(answers, desk)]
    elif len(plans) > 1:
        written.append(RULER + end)
    if out is None:
        say("".join(written))
    else:
        write_whole(out, "".join(written))
        say(end)
    return status


def review_plan(path: str, desk: Desk) -> Answer:
    """One plan, answered; whatever goes wrong with it becomes part of the answer."""
    shown = path.replace(os.sep, "/")
    try:
        return _review(path, shown, desk)
    except BuildFileError as error:
        mistakes = tuple(m for m in error.mistakes if isinstance(m, Mistake))
        return Answer(file=shown, mistakes=mistakes)
    except HeatError as error:
        return Answer(file=shown, failure=f"its heat could not be computed: {error}")
    except Exception as error:  # one plan that breaks us must not hide the answers for the others
        said = f"stovelint itself broke: {broke(error)}. Please report it together with the plan"
        return Answer(file=shown, failure=said)


def _review(path: str, shown: str, desk: Desk) -> Answer:
    from stovelint.assemble import assemble_tree
    from stovelint.cli.plan import open_plan
    from stovelint.review import review

    plan = open_plan(path, desk.catalogue, (rule.name for rule in desk.book))
    build, source = plan.loaded.build, plan.loaded.source
    result = review(
        file=shown, places=source.places, build=build, hot=plan.hot, catalogue=desk.catalogue,
        rules=desk.rules, left_out=desk.left_out, hold=desk.hold, on=desk.on,
    )  # fmt: skip
    unknown = any(case.state is not None for case in plan.hot.unsolved)
    if unknown or not result.items:
        # nothing to search for, or no change could be seen to pass in every firing
        return Answer(file=shown, review=result)
    from stovelint.remedy import Search

    search = Search(
        tree=source.tree, build=build, hot=plan.hot, catalogue=desk.catalogue, rules=desk.book,
        assemble=lambda tree: assemble_tree(tree, source.places),
        solve=plan.solver,
    )  # fmt: skip
    proposals, together = _remedies(result, search)
    whole = replace(result, crashes=(*result.crashes, *search.crashes))
    return Answer(file=shown, review=whole, proposals=proposals, together=together)


def _remedies(
    result: Review, search: Search
) -> tuple[Mapping[int, Sequence[Proposal]], Together | None]:
    """Remedies for all that was not accepted, by index of the review's items."""
    from stovelint.variance import granted

    wanted = [index for index, item in enumerate(result.items) if item.accepted is None]
    found = search.for_review(
        replace(result, items=tuple(result.items[index] for index in wanted))
    )
    proposals = {wanted[index]: told for index, told in found.items()}
    together = search.together(proposals)
    if together is None:
        return proposals, None
    agreed = granted(result.build, result.on)
    left = tuple(
        (rule, part, level)
        for rule, part, level in together.left
        if (rule, part) not in agreed and rule not in result.left_out
    )
    return proposals, replace(together, left=left)


def _text(answer: Answer, units: Units) -> str:
    if answer.review is None:
        from stovelint.report.mistakes import failure_text, mistakes_text

        if answer.failure:
            return failure_text(answer.file, answer.failure)
        return mistakes_text(answer.file, answer.mistakes)
    from stovelint.report.text import text_report

    return text_report(answer.review, answer.proposals, answer.together, units)


def _json(answers: Sequence[Answer], desk: Desk) -> str:
    from stovelint.report.machine import machine_report

    asked = [rule.name for rule in desk.rules]
    return machine_report(
        answers, asked=asked, left_out=desk.left_out, hold=desk.hold, on=desk.on
    )


def _outcome_line(answer: Answer) -> list[str]:
    said = answer.outcome if answer.review is None else outcome_text(answer.review)
    return both_ends(answer.file, f"outcome: {said}")


def _day(text: str) -> str:
    from stovelint.quantity.days import parse_day

    try:
        return parse_day(text)
    except QuantityError as error:
        raise UsageError(f"--on: {error.message}", error.remedy) from None


def _end(answers: Sequence[Answer]) -> str:
    """The outcome of every plan on a line, and of several how often each."""
    lines = [line for answer in answers for line in _outcome_line(answer)]
    if len(answers) > 1:
        lines += ["", _tally(answers)]
    return "\n".join(lines) + "\n"


def _tally(answers: Sequence[Answer]) -> str:
    outcomes = [answer.outcome for answer in answers]
    counts = [f"{outcomes.count(word)} {word}" for word in OUTCOMES if word in outcomes]
    dangers = sum(a.review.dangers_accepted for a in answers if a.review is not None)
    end = f"; {dangers_text(dangers)}" if dangers else ""
    return f"{len(outcomes)} plans: {', '.join(counts)}{end}"
