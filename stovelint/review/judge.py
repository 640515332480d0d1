"""Runs the rules over one plan: levels, places, order. Knows no output layout."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Iterable

from stovelint.errors import broke
from stovelint.hold import USUAL
from stovelint.review.records import Crash, Item, OpenQuestion, Related, Review, Run
from stovelint.rule.finding import Finding, NotJudged
from stovelint.rule.level import RANK
from stovelint.rule.scene import Scene
from stovelint.variance import granted, weigh

if TYPE_CHECKING:
    from stovelint.build import Build
    from stovelint.catalogue import Catalogue
    from stovelint.hold import Hold
    from stovelint.hotmap.records import HotMap, Unsolved
    from stovelint.place import Path, Places, Span
    from stovelint.rule.level import Level, Stakes
    from stovelint.rulebook import Rule
    from stovelint.variance import Granted, Weighed


def review(
    *,
    file: str,
    places: Places,
    build: Build,
    hot: HotMap,
    catalogue: Catalogue,
    rules: Iterable[Rule],
    left_out: tuple[str, ...] = (),
    hold: Hold = USUAL,
    on: str | None = None,
) -> Review:
    """Review one plan by every rule given.

    Args:
        file: name of the build file, as reports print it.
        places: where everything stands in it.
        build: the plan.
        hot: its heat.
        catalogue: the materials.
        rules: the rulebook, or what was chosen of it.
        left_out: names of the rules that were not chosen.
        hold: what holds the plan.
        on: day of the review, year-month-day, against which the ends of variances are held.
    """
    runs = [run_rule(rule, build=build, hot=hot, catalogue=catalogue) for rule in rules]
    agreed = granted(build, on)
    items = [
        Item(
            finding=f, level=f.level, span=places.value(f.path),
            accepted=agreed.get((f.rule, f.subject)),
            related=_related(f, build, places),
        )  # fmt: skip
        for run in runs
        for f in run.findings
        if f.level is not None
    ]
    items.sort(key=lambda i: (*_where(i.span), i.finding.rule, i.finding.walk_to))
    variances = weigh(
        build, places=places, on=on,
        spoken={(i.finding.rule, i.finding.subject) for i in items}
        | {(case.rule, case.subject) for run in runs for case in run.unjudged},
        silent={
            **dict.fromkeys(left_out, "was left out"),
            **{run.rule: "broke" for run in runs if run.crash is not None},
        },
    )  # fmt: skip
    return Review(
        file=file,
        build=build,
        items=tuple(items),
        open=_questions(runs, hot, places, agreed),
        crashes=tuple(run.crash for run in runs if run.crash is not None),
        assumptions=_assumptions(hot, variances),
        asked=tuple(sorted(run.rule for run in runs)),
        left_out=tuple(sorted(left_out)),
        not_applicable=tuple(sorted(run.rule for run in runs if run.idle)),
        variances=variances,
        hold=hold,
        on=on,
        based_on=() if places.bases is None else places.bases.files,
    )  # fmt: skip


def run_rule(
    rule: Rule, *, build: Build, hot: HotMap, catalogue: Catalogue, strict: bool = False
) -> Run:
    """Run one rule. Whatever it throws becomes a `Crash`; nothing of it is hidden.

    Args:
        strict: count a single case past a limit (for the remedy search).
    """
    scene = Scene(
        rule=rule.name, stakes=rule.stakes, limits=rule.limits, build=build, hot=hot,
        catalogue=catalogue, strict=strict,
    )  # fmt: skip
    findings: list[Finding] = []
    unjudged: list[NotJudged] = []
    crash: Crash | None = None
    try:
        for outcome in rule.function(scene):
            if isinstance(outcome, Finding):
                findings.append(outcome)
            else:
                unjudged.append(outcome)
    except Exception as error:  # a rule may be anybody's; the run must go on and say so
        crash = Crash(rule=rule.name, message=broke(error, in_file="rule.py"))
    return Run(
        rule=rule.name, findings=tuple(findings), unjudged=tuple(unjudged), looks=scene.looks,
        crash=crash,
    )  # fmt: skip


def _related(finding: Finding, build: Build, places: Places) -> tuple[Related, ...]:
    if places.bases is None:
        return ()  # a plan of one file does not pay for it
    from stovelint.review.related import related

    return related(finding, places.value(finding.path), build, places)


def _where(span: Span) -> tuple[str, int, int]:
    return (span.file, span.start.line, span.start.column)


def _questions(
    runs: list[Run], hot: HotMap, places: Places, agreed: Granted
) -> tuple[OpenQuestion, ...]:
    asked: dict[tuple[Path, str, str], OpenQuestion] = {}
    for run in runs:
        for case in run.unjudged:
            # What was agreed for one rule is not agreed for another that asks the same.
            accepted = agreed.get((case.rule, case.subject))
            key = (case.path, case.reason, "" if accepted is None else accepted.name)
            before = asked.get(key)
            if before is None:
                asked[key] = OpenQuestion(
                    rules=(case.rule,), stakes=case.stakes, subject=case.subject, path=case.path,
                    span=places.value(case.path), reason=case.reason, remedy=case.remedy,
                    level=case.level, accepted=accepted,
                )  # fmt: skip
            else:
                worse = RANK[case.level] > RANK[before.level]
                asked[key] = replace(
                    before,
                    rules=tuple(sorted({*before.rules, case.rule})),
                    stakes=case.stakes if worse else before.stakes,
                    level=case.level if worse else before.level,
                )
    known = {(path, reason) for path, reason, _ in asked}
    for unsolved in hot.unsolved:
        key = (unsolved.path, unsolved.reason, "")
        if unsolved.state is not None:
            # One question whoever asks: with a firing unknown, so is what is dangerous in it.
            rules = asked[key].rules if key in asked else ()
            asked[key] = _open(unsolved, places, rules, "danger", "warning")
        elif (unsolved.path, unsolved.reason) not in known:
            asked[key] = _open(unsolved, places, (), "performance", "note")
    return tuple(sorted(asked.values(), key=lambda q: (*_where(q.span), q.rules, q.reason)))


def _open(
    unsolved: Unsolved, places: Places, rules: tuple[str, ...], stakes: Stakes, level: Level
) -> OpenQuestion:
    return OpenQuestion(
        rules=rules, stakes=stakes, subject=unsolved.subject, path=unsolved.path,
        span=places.value(unsolved.path), reason=unsolved.reason, remedy=unsolved.remedy,
        level=level, blind=unsolved.state is not None,
    )  # fmt: skip


def _assumptions(hot: HotMap, variances: tuple[Weighed, ...]) -> tuple[str, ...]:
    said = list(hot.assumptions)
    if any(not one.end_checked and one.state != "not weighed" for one in variances):
        said.append(
            "variances with a last day are in force: the day of this review was not given "
            "(--on YEAR-MONTH-DAY), so no end was checked"
        )
    return tuple(dict.fromkeys(said))
