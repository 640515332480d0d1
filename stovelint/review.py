"""Runs the rules over one plan: levels, places, order, outcome. Knows no output layout."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Callable, Iterable, Literal, Mapping, Protocol

from stovelint.errors import CatalogueError
from stovelint.hold import USUAL, holds
from stovelint.place import Mistake
from stovelint.rule.finding import Finding, NotJudged
from stovelint.rule.level import RANK
from stovelint.rule.scene import Scene
from stovelint.variance import granted, weigh

if TYPE_CHECKING:
    from stovelint.build import Build, Layer, Part, Surrounding, Variance
    from stovelint.catalogue import Catalogue
    from stovelint.hold import Hold
    from stovelint.hotmap.records import HotMap
    from stovelint.place import Path, Places, Span
    from stovelint.rule.level import Level, Stakes
    from stovelint.rule.finding import Measure
    from stovelint.rulebook import Rule
    from stovelint.variance import Granted, Weighed

Verdict = Literal["clear", "as noted", "revise"]


class Solve(Protocol):
    """Computes the heat of a changed plan, over all cases or only those numbered (from 0)."""

    def __call__(self, build: Build, cases: tuple[int, ...] | None = None) -> HotMap: ...


# What the survey must not offer, whatever the hold chosen for a review.
WEIGHTY: tuple[Stakes, ...] = ("danger", "breakage")


@dataclass(frozen=True, kw_only=True, slots=True)
class Item:
    """One finding, with its level and its place in the file."""

    finding: Finding
    level: Level
    span: Span
    accepted: Variance | None = None


@dataclass(frozen=True, kw_only=True, slots=True)
class OpenQuestion:
    """What could not be judged, once, with every rule that asks for it."""

    rules: tuple[str, ...]
    """Empty when the heat itself could not be computed and no rule asked."""
    stakes: Stakes
    subject: str
    path: Path
    span: Span
    reason: str
    remedy: str
    level: Level
    accepted: Variance | None = None


@dataclass(frozen=True, kw_only=True, slots=True)
class Crash:
    """A rule that broke. The others still ran, but the review is not complete."""

    rule: str
    message: str


@dataclass(frozen=True, kw_only=True, slots=True)
class Run:
    """What one rule said about one plan, and everything it looked at."""

    rule: str
    findings: tuple[Finding, ...]
    unjudged: tuple[NotJudged, ...]
    looks: Mapping[str, list[Measure]]
    """By subject; a comparison in a finding and one that was fine alike."""
    crash: Crash | None

    @property
    def idle(self) -> bool:
        """Whether the plan holds nothing that this rule is about."""
        return not (self.findings or self.unjudged or self.looks or self.crash)


@dataclass(frozen=True, kw_only=True, slots=True)
class Review:
    """The whole answer for one plan."""

    file: str
    build: Build
    items: tuple[Item, ...]
    open: tuple[OpenQuestion, ...]
    crashes: tuple[Crash, ...]
    assumptions: tuple[str, ...]
    asked: tuple[str, ...] = ()
    """Rules that were to judge the plan."""
    left_out: tuple[str, ...] = ()
    """Rules of the book that were not asked; then this is no full review."""
    not_applicable: tuple[str, ...] = ()
    """Rules that found nothing of theirs in the plan: no comparison, no word."""
    variances: tuple[Weighed, ...] = ()
    hold: Hold = USUAL
    on: str | None = None
    """Day of the review, where it was given."""

    @property
    def verdict(self) -> Verdict:
        """The outcome in plan-review words. What was accepted is noted and holds nothing."""
        said: list[tuple[Stakes, Level, bool]] = [
            (i.finding.stakes, i.level, i.accepted is None) for i in self.items
        ]
        said += [(q.stakes, q.level, q.accepted is None) for q in self.open]
        if any(counts and holds(self.hold, stakes, level) for stakes, level, counts in said):
            return "revise"
        return "as noted" if any(RANK[level] > RANK["note"] for _, level, _ in said) else "clear"

    @property
    def status(self) -> int:
        """Exit status: 0 clear or as noted, 1 revise, 2 a rule broke."""
        return 2 if self.crashes else int(self.verdict == "revise")


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
        )  # fmt: skip
        for run in runs
        for f in run.findings
        if f.level is not None
    ]
    items.sort(key=lambda i: (*_where(i.span), i.finding.rule, i.finding.walk_to))
    return Review(
        file=file,
        build=build,
        items=tuple(items),
        open=_questions(runs, hot, places, agreed),
        crashes=tuple(run.crash for run in runs if run.crash is not None),
        assumptions=_assumptions(build, hot, on),
        asked=tuple(sorted(run.rule for run in runs)),
        left_out=tuple(sorted(left_out)),
        not_applicable=tuple(sorted(run.rule for run in runs if run.idle)),
        variances=weigh(
            build, places=places, on=on,
            spoken={(i.finding.rule, i.finding.subject) for i in items}
            | {(case.rule, case.subject) for run in runs for case in run.unjudged},
            silent={
                **dict.fromkeys(left_out, "was left out"),
                **{run.rule: "broke" for run in runs if run.crash is not None},
            },
        ),
        hold=hold,
        on=on,
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
        crash = Crash(rule=rule.name, message=_broke(error))
    return Run(
        rule=rule.name, findings=tuple(findings), unjudged=tuple(unjudged), looks=scene.looks,
        crash=crash,
    )  # fmt: skip


def _broke(error: Exception) -> str:
    line = 0
    trace = error.__traceback__
    while trace is not None:
        if trace.tb_frame.f_code.co_filename.endswith("rule.py"):
            line = trace.tb_lineno
        trace = trace.tb_next
    return f"{type(error).__name__}: {error}" + (f" (rule.py, line {line})" if line else "")


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
        if (unsolved.path, unsolved.reason) not in known:
            asked[unsolved.path, unsolved.reason, ""] = OpenQuestion(
                rules=(), stakes="performance", subject=unsolved.subject, path=unsolved.path,
                span=places.value(unsolved.path), reason=unsolved.reason, remedy=unsolved.remedy,
                level="note",
            )  # fmt: skip
    return tuple(sorted(asked.values(), key=lambda q: (*_where(q.span), q.rules, q.reason)))


def _assumptions(build: Build, hot: HotMap, on: str | None) -> tuple[str, ...]:
    said = list(hot.assumptions)
    if on is None and any(one.until is not None for one in build.variances.values()):
        said.append(
            "variances with a last day are in force: the day of this review was not given "
            "(--on YEAR-MONTH-DAY), so no end was checked"
        )
    return tuple(dict.fromkeys(said))


def objector(
    rules: Iterable[Rule], build: Build, hot: HotMap, catalogue: Catalogue
) -> Callable[[Part, Layer, tuple[str, str], str], bool]:
    """A question to ask of every place: would a rule object to this material here?

    The heat stays as computed for the plan as drawn, so the answer is a first sieve, not a
    recomputation. Args as for `review`.
    """
    book = tuple(rules)
    known: dict[tuple[Path, tuple[str, str], str], bool] = {}

    def objects(part: Part, layer: Layer, where: tuple[str, str], material: str) -> bool:
        key = (layer.path, where, material)
        if key not in known:
            other = replace(layer, material=material)
            layers = tuple(other if one is layer else one for one in part.layers)
            # Only this part, at this place: nothing else can answer for it.
            alone = replace(build, parts={part.name: replace(part, layers=layers)}, surroundings={})
            here = _only(hot, part.name, where)
            known[key] = any(
                found.path[: len(layer.path)] == layer.path
                for rule in book
                for found in run_rule(rule, build=alone, hot=here, catalogue=catalogue).findings
                if found.level is not None and found.stakes in WEIGHTY
            )
        return known[key]

    return objects


def _only(hot: HotMap, part: str, where: tuple[str, str]) -> HotMap:
    """The hot map of one place."""
    cycles = {
        state: replace(
            cycle,
            patches=tuple(
                p for p in cycle.patches if p.part == part and (p.chamber, p.where) == where
            ),
            combustibles=(),
        )
        for state, cycle in hot.cycles.items()
    }
    return replace(hot, cycles=cycles)


def check_materials(build: Build, catalogue: Catalogue, places: Places) -> tuple[Mistake, ...]:
    """Material names that the catalogue does not hold, or that cannot stand where they are named.

    Args:
        build: the plan.
        catalogue: the materials.
        places: where everything stands in the file.
    """
    found: list[Mistake] = []

    def note(path: Path, error: CatalogueError) -> None:
        found.append(
            Mistake(
                span=places.value(path), path=path, message=error.message, remedy=error.remedy
            )
        )

    owners: tuple[Part | Surrounding, ...] = (
        *build.parts.values(), *build.surroundings.values(),
    )  # fmt: skip
    for owner in owners:
        for layer in owner.layers:
            for key, name in _names(layer):
                try:
                    _fits(catalogue, key, name, layer.role)
                except CatalogueError as error:
                    note((*layer.path, *key), error)
    for surrounding in build.surroundings.values():
        if surrounding.shield is not None:
            try:
                catalogue.layer_material(surrounding.shield.kind)
            except CatalogueError as error:
                note((*surrounding.shield.path, "kind"), error)
    return tuple(sorted(found, key=lambda mistake: mistake.sort_key()))


def _names(layer: Layer) -> Iterable[tuple[tuple[str, ...], str]]:
    if layer.material is not None:
        yield ("material",), layer.material
    if layer.mortar is not None:
        yield ("mortar",), layer.mortar
    if layer.reinforcement is not None:
        yield ("reinforcement", "kind"), layer.reinforcement.kind


def _fits(catalogue: Catalogue, key: tuple[str, ...], name: str, role: str | None) -> None:
    if key == ("material",):
        catalogue.layer_material(name, role)
    elif key == ("mortar",):
        if catalogue.get(name).family != "mortar":
            raise CatalogueError(f"{name} is no mortar", "name a mortar of the catalogue")
    elif catalogue.get(name).reinforces is None:
        raise CatalogueError(
            f"{name} is no reinforcement", "name one, for instance rebar or stainless-needles"
        )
