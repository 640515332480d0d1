"""Runs the rules over one plan: levels, places, order, outcome. Knows no output layout."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Callable, Iterable, Literal, Mapping, Protocol

from stovelint.errors import CatalogueError
from stovelint.place import Mistake
from stovelint.rule.finding import Finding, NotJudged
from stovelint.rule.level import RANK
from stovelint.rule.scene import Scene

if TYPE_CHECKING:
    from stovelint.build import Build, Layer, Part, Surrounding
    from stovelint.catalogue import Catalogue
    from stovelint.hotmap.records import HotMap
    from stovelint.place import Path, Places, Span
    from stovelint.rule.level import Level, Stakes
    from stovelint.rule.finding import Measure
    from stovelint.rulebook import Rule

Verdict = Literal["clear", "as noted", "revise"]


class Solve(Protocol):
    """Computes the heat of a changed plan, over all cases or only those numbered (from 0)."""

    def __call__(self, build: Build, cases: tuple[int, ...] | None = None) -> HotMap: ...


# From which level on a plan is held, by what is at stake. Nothing else holds a plan.
HOLD: Mapping[Stakes, Level] = {"danger": "warning", "breakage": "error"}


@dataclass(frozen=True, kw_only=True, slots=True)
class Item:
    """One finding, with its level and its place in the file."""

    finding: Finding
    level: Level
    span: Span


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


@dataclass(frozen=True, kw_only=True, slots=True)
class Review:
    """The whole answer for one plan."""

    file: str
    build: Build
    items: tuple[Item, ...]
    open: tuple[OpenQuestion, ...]
    crashes: tuple[Crash, ...]
    assumptions: tuple[str, ...]

    @property
    def verdict(self) -> Verdict:
        """The outcome in plan-review words."""
        levels: list[tuple[Stakes, Level]] = [(i.finding.stakes, i.level) for i in self.items]
        levels += [(q.stakes, q.level) for q in self.open]
        if any(s in HOLD and RANK[level] >= RANK[HOLD[s]] for s, level in levels):
            return "revise"
        return "as noted" if any(RANK[level] > RANK["note"] for _, level in levels) else "clear"

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
) -> Review:
    """Review one plan by every rule given.

    Args:
        file: name of the build file, as reports print it.
        places: where everything stands in it.
        build: the plan.
        hot: its heat.
        catalogue: the materials.
        rules: the rulebook.
    """
    runs = [run_rule(rule, build=build, hot=hot, catalogue=catalogue) for rule in rules]
    items = [
        Item(finding=f, level=f.level, span=places.value(f.path))
        for run in runs
        for f in run.findings
        if f.level is not None
    ]
    items.sort(key=lambda i: (*_where(i.span), i.finding.rule, i.finding.walk_to))
    return Review(
        file=file,
        build=build,
        items=tuple(items),
        open=_questions(runs, hot, places),
        crashes=tuple(run.crash for run in runs if run.crash is not None),
        assumptions=_assumptions(build, hot),
    )


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


def _questions(runs: list[Run], hot: HotMap, places: Places) -> tuple[OpenQuestion, ...]:
    asked: dict[tuple[Path, str], OpenQuestion] = {}
    for run in runs:
        for case in run.unjudged:
            key = (case.path, case.reason)
            before = asked.get(key)
            if before is None:
                asked[key] = OpenQuestion(
                    rules=(case.rule,), stakes=case.stakes, subject=case.subject, path=case.path,
                    span=places.value(case.path), reason=case.reason, remedy=case.remedy,
                    level=case.level,
                )  # fmt: skip
            else:
                worse = RANK[case.level] > RANK[before.level]
                asked[key] = OpenQuestion(
                    rules=tuple(sorted({*before.rules, case.rule})),
                    stakes=case.stakes if worse else before.stakes, subject=before.subject,
                    path=case.path, span=before.span, reason=case.reason, remedy=before.remedy,
                    level=case.level if worse else before.level,
                )  # fmt: skip
    for unsolved in hot.unsolved:
        if (unsolved.path, unsolved.reason) not in asked:
            asked[unsolved.path, unsolved.reason] = OpenQuestion(
                rules=(), stakes="performance", subject=unsolved.subject, path=unsolved.path,
                span=places.value(unsolved.path), reason=unsolved.reason, remedy=unsolved.remedy,
                level="note",
            )  # fmt: skip
    return tuple(sorted(asked.values(), key=lambda q: (*_where(q.span), q.rules, q.reason)))


def _assumptions(build: Build, hot: HotMap) -> tuple[str, ...]:
    said = list(hot.assumptions)
    if build.variances:
        said.append("the variances in the file are listed there but not weighed in this release")
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
                if found.level is not None and found.stakes in HOLD
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
