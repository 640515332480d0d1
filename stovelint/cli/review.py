"""`stovelint review PATH...`: the correction list of every plan."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING, Iterable, Sequence

from stovelint.cli import CLEAR
from stovelint.cli.answers.clerk import Clerk, store_for
from stovelint.cli.answers.many import answers as all_answers
from stovelint.cli.answers.many import count_jobs
from stovelint.cli.find import find_plans, passed_over
from stovelint.cli.forms import DOCUMENTS, FOR_PEOPLE, TEXT
from stovelint.cli.out import check_out, write_whole
from stovelint.cli.prefix import repository_prefix, repository_root
from stovelint.cli.say import say
from stovelint.errors import QuantityError, UsageError
from stovelint.report.answer import OUTCOMES, Answer, dangers_text, outcome_text
from stovelint.report.lines import both_ends, plain
from stovelint.report.told import Notice, Told

if TYPE_CHECKING:
    from stovelint.hold import Hold
    from stovelint.quantity import Units

RULER = "\n" + "-" * 100 + "\n\n"


def review_command(
    paths: Iterable[str],
    *,
    form: str = TEXT,
    out: str | None = None,
    units: Units | None = None,
    only: Sequence[str] = (),
    without: Sequence[str] = (),
    hold: Hold | None = None,
    on: str | None = None,
    jobs: str | None = None,
    cache: bool = True,
    since: str | None = None,
    settings: str | None = None,
    look: bool = True,
    shop_rules: Sequence[str] = (),
) -> int:
    """Review every plan named or found in the folders named.

    Args:
        paths: build files and folders.
        form: a word of `cli.forms.FORMS`.
        out: file for the report; stdout then holds one line for each plan.
        units: of a report for people; all others are SI. None: as the settings say, or SI.
        only, without: names of rules to ask alone, or to leave out.
        hold: what holds a plan; None: as the settings say, or as usual.
        on: day of the review, year-month-day.
        jobs: processes to use, as typed; None: as many as make sense.
        cache: whether answers are kept for the next call, and taken from an earlier one.
        since: revision in git with which the plans are compared; only what is new holds then.
        settings: file of a shop's settings, instead of the one found above the plans.
        look: False: no settings at all.
        shop_rules: folders of a shop's own rules that may run.

    Returns the highest exit status of all plans.
    """
    from stovelint.cli.choice.settle import Wish, settle

    if form not in FOR_PEOPLE and units not in (None, "si"):
        raise UsageError(
            f"--units is for people, {form} is always SI", "leave --units away"
        )
    day = None if on is None else _day(on)
    processes = count_jobs(jobs)
    paths = tuple(paths)
    found = find_plans(paths)
    plans = found.plans
    aside = _tell(*passed_over(found))
    if out is not None:
        check_out(out, plans)
    older = None
    if since is not None:
        from stovelint.cli.older.since import open_since, told_missing

        older = open_since(since, paths, plans)
        aside += _tell(*told_missing(older))
    wish = Wish(
        settings=settings, look=look, rules=tuple(shop_rules), only=tuple(only),
        without=tuple(without), hold=hold, units=units,
    )  # fmt: skip
    chosen = settle(wish, plans, older)
    desk = chosen.desk(day)
    notices = (*aside, *chosen.notices)
    if older is not None and look:
        from stovelint.cli.older.weaker import tell_weaker

        notices += tell_weaker(settings, plans, older, desk)
    at_once = out is None and form == TEXT  # since the next plan may take a while
    clerk = Clerk(plans, desk, store_for(desk, plans) if cache else None, older)
    coming = all_answers(
        len(plans), clerk.known, clerk.work, jobs=processes,
        progress=not at_once or not sys.stdout.isatty(),
    )  # fmt: skip
    answers: list[Answer] = []
    written: list[str] = []
    for index, answer in enumerate(coming):
        answers.append(answer)
        if form == TEXT:
            text = (RULER if index else "") + _text(answer, chosen.units)
            if at_once:
                say(text)
            else:
                written.append(text)
    root = repository_root()
    told = Told(
        answers=tuple(answers), book=desk.book, asked=tuple(rule.name for rule in desk.rules),
        left_out=desk.left_out, hold=desk.hold, on=day, prefix=repository_prefix(root), root=root,
        since=since, notices=notices, settings=chosen.shop.file,
    )  # fmt: skip
    end = _end(answers)
    if form in DOCUMENTS:
        written = [DOCUMENTS[form](told, chosen.units)]
    elif len(plans) > 1:
        written.append(RULER + end)
    if out is None:
        say("".join(written))
    else:
        write_whole(out, "".join(written))
        say(end)
    return max(CLEAR, told.status)


def _tell(message: str, remedy: str) -> tuple[Notice, ...]:
    """What is to be said of the call, on stderr at once, and in the report."""
    if not message:
        return ()
    print(plain(f"stovelint: {message}; {remedy}"), file=sys.stderr)
    return (Notice(message=message, remedy=remedy),)


def _text(answer: Answer, units: Units) -> str:
    if answer.review is None:
        from stovelint.report.mistakes import failure_text, mistakes_text

        if answer.failure:
            return failure_text(answer.file, answer.failure)
        return mistakes_text(answer.file, answer.mistakes)
    from stovelint.report.text import text_report

    return text_report(answer.review, answer.proposals, answer.together, units)


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
