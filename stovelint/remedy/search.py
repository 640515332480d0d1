"""Tries sizes until the smallest that recomputes clean is known, and says what it does elsewhere.

A change passes when the same rule, run over the recomputed heat, finds nothing on the same
subject with *no* case past a limit, and did look at it. That is stricter than what makes a
finding, so a remedy never stands on the edge.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any, Callable, Iterable, Mapping, Sequence

from stovelint.errors import BuildFileError, HeatError
from stovelint.remedy.edits import apply, candidates, trade_sizes
from stovelint.remedy.joint import joint_edits
from stovelint.remedy.mixing import keeps_the_heat
from stovelint.remedy.rows import Candidate, Edit
from stovelint.review import run_rule
from stovelint.rule.courses import place_name
from stovelint.rule.level import RANK, STAKES
from stovelint.rule.moves import Cut, Insulate, Loosen, MoveAway, Reinforce
from stovelint.rule.scene import nearness

if TYPE_CHECKING:
    from stovelint.build import Build
    from stovelint.catalogue import Catalogue
    from stovelint.hotmap.records import HotMap
    from stovelint.review import Review, Run, Solve
    from stovelint.rule.finding import Finding, Measure, Outcome
    from stovelint.rule.level import Level
    from stovelint.rule.moves import Move
    from stovelint.rulebook import Rule

# Below this a change elsewhere is not worth a reader's time.
WORTH_TELLING_K = 5.0
Cases = tuple[int, ...] | None
"""Numbers of the cases computed; None: all of them."""
MOST_PLACES = 3


@dataclass(frozen=True, kw_only=True, slots=True)
class Effect:
    """What a change does somewhere else: the place that warms most."""

    place: str
    by_K: float
    peak_C: float


@dataclass(frozen=True, kw_only=True, slots=True)
class Proposal:
    """One answer of the search."""

    text: str
    passes: bool
    edits: tuple[Edit, ...]
    figures: tuple[Measure, ...]
    """What was found at the subject with the change made."""
    effects: tuple[Effect, ...]
    brings: tuple[tuple[str, str], ...]
    """Findings that are new elsewhere: rule and subject."""
    on_top: bool = False
    """True when it passes only together with the changes that put the other findings right."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Together:
    """The plan with the first passing change of every finding made, computed once more."""

    edits: tuple[Edit, ...]
    left: tuple[tuple[str, str, Level], ...]
    """What still speaks: rule, subject, level; notes are left out."""


@dataclass(frozen=True, kw_only=True, eq=False)
class Trial:
    """A changed plan with its heat, or why there is none."""

    build: Build | None
    hot: HotMap | None


class Search:
    """The remedy search over one plan. Every changed plan is solved once, however often asked.

    Args of the constructor: `tree` the plan's plain tree; `build`, `hot` the plan as reviewed;
    `assemble` tree -> Build; `solve` Build -> HotMap with the full ensemble; `rules` the book.
    """

    def __init__(
        self,
        *,
        tree: dict[str, Any],
        build: Build,
        hot: HotMap,
        catalogue: Catalogue,
        rules: Iterable[Rule],
        assemble: Callable[[dict[str, Any]], Build],
        solve: Solve,
    ) -> None:
        self._tree = tree
        self._build = build
        self._hot = hot
        self._catalogue = catalogue
        self._rules = {rule.name: rule for rule in rules}
        self._assemble = assemble
        self._solve = solve
        self._trade = trade_sizes()
        self._trials: dict[tuple[str, Cases], Trial] = {}
        self._runs: dict[tuple[str, str, Cases], Run] = {}
        self._before: frozenset[tuple[str, str]] | None = None

    @property
    def solves(self) -> tuple[int, int]:
        """How many changed plans were computed so far: over all cases, and over a few."""
        few = sum(1 for _, cases in self._trials if cases is not None)
        return len(self._trials) - few, few

    def for_review(self, review: Review) -> dict[int, tuple[Proposal, ...]]:
        """Proposals for every finding of a review, by its index.

        A finding that no change puts right alone is tried once more with the changes made that
        put the others right: a ceiling over a bare cap needs the distance and the blanket.
        """
        found = {index: self.proposals(item.finding) for index, item in enumerate(review.items)}
        for index, item in enumerate(review.items):
            if item.finding.moves and not any(p.passes for p in found[index]):
                found[index] = self._on_top(item.finding, found, index)
        together = self.together(found)
        left = {(r, s) for r, s, _ in together.left} if together is not None else set()
        for index, item in enumerate(review.items):
            # Each passes alone, and yet not all at once: what insulates one heats another.
            if item.finding.moves and (item.finding.rule, item.finding.subject) in left:
                if any(p.passes and not p.on_top for p in found[index]):
                    found[index] = self._on_top(item.finding, found, index)
        return found

    def _on_top(
        self, finding: Finding, found: Mapping[int, tuple[Proposal, ...]], index: int
    ) -> tuple[Proposal, ...]:
        others = _changes(found, without=index)
        more = self.proposals(finding, others) if others else ()
        return (*(p for p in more if p.passes and p.on_top), *found[index])

    def together(self, proposals: Mapping[int, Sequence[Proposal]]) -> Together | None:
        """All first passing changes made at once; None when there are none, or no heat."""
        edits = _changes(proposals, without=-1)
        trial = self._trial(edits) if edits else Trial(build=None, hot=None)
        if trial.build is None or trial.hot is None:
            return None
        left = self._speaks(trial.build, trial.hot)
        return Together(edits=edits, left=tuple(sorted(left)))

    def proposals(
        self, finding: Finding, base: tuple[Edit, ...] = ()
    ) -> tuple[Proposal, ...]:
        """What puts a finding right: passing changes first, fewest side effects first.

        Args:
            finding: the finding.
            base: changes that are made already; those to the same thing are left aside.
        """
        found = [self._smallest(finding, move, base) for move in finding.moves]
        kept = [proposal for proposal in found if proposal is not None]
        return tuple(sorted(kept, key=lambda p: (not p.passes, len(p.brings))))

    def _smallest(
        self, finding: Finding, move: Move, base: tuple[Edit, ...]
    ) -> Proposal | None:
        sizes = candidates(move, self._tree, self._trade)
        base = tuple(e for e in base if all(e.path[:2] != s.edits[0].path[:2] for s in sizes[:1]))
        sizes = tuple(replace(size, edits=(*base, *size.edits)) for size in sizes)
        if not sizes:
            return None
        # A size fails when a single case is past the limit, so the finding's own worst cases
        # sort out most sizes at a fraction of the work. Invariant: all below `low` failed or lie
        # under a size that failed; `high` passed the few or is one past the end. The neighbour
        # below the answer has therefore always been seen to fail (below the first size stands
        # the plan as drawn, which is the finding itself). Only all cases together can pass.
        few = None if isinstance(move, MoveAway) else _worst_cases(finding)
        low, high = 0, len(sizes)
        # Where a clause names the distance, it is most often enough: begin there.
        middle = 0 if isinstance(move, MoveAway) and move.least_m > 0.0 else (low + high) // 2
        while low < high:
            if self._passes(finding, sizes[middle], few):
                high = middle
            else:
                low = middle + 1
            middle = (low + high) // 2
        while low < len(sizes) and not self._passes(finding, sizes[low], None):
            low += 1
        if low == len(sizes):
            return self._none_passes(finding, move, sizes)
        found = self._proposal(finding, sizes[low])
        # What the other changes do elsewhere is told with them.
        return replace(found, on_top=True, effects=()) if base else found

    def _passes(self, finding: Finding, candidate: Candidate, cases: Cases) -> bool:
        run = self._run(finding.rule, candidate.edits, cases)
        if run is None or run.crash is not None:
            return False
        # Another material may be none of this rule's business; for every other change a rule that
        # did not look has said nothing.
        if not run.looks.get(finding.subject) and not candidate.other_material:
            return False
        least = STAKES.index(finding.stakes)
        held = any(
            f.subject == finding.subject and STAKES.index(f.stakes) <= least for f in run.findings
        )
        return not held and all(case.subject != finding.subject for case in run.unjudged)

    def _proposal(self, finding: Finding, candidate: Candidate) -> Proposal:
        return Proposal(
            text=candidate.text,
            passes=True,
            edits=candidate.edits,
            figures=self._figures(finding, candidate),
            effects=self._effects(finding, candidate.edits),
            brings=self._brings(finding, candidate.edits),
        )

    def _none_passes(
        self, finding: Finding, move: Move, sizes: Sequence[Candidate]
    ) -> Proposal:
        if isinstance(move, MoveAway):
            said = f"no distance up to {sizes[-1].size} passes alone"
        elif isinstance(move, Cut):
            said = f"pieces down to {sizes[-1].size} do not pass alone"
        elif isinstance(move, Reinforce):
            said = "what is mixed in instead does not pass either"
        elif isinstance(move, Loosen):
            said = "setting it loose does not pass alone"
        else:
            row = self._trade[move.use]
            what = row.title if isinstance(move, Insulate) else "thickness"
            said = f"no {what} up to {sizes[-1].size} passes alone"
        return Proposal(
            text=said, passes=False, edits=(), figures=self._figures(finding, sizes[-1]),
            effects=(), brings=(),
        )  # fmt: skip

    def _figures(self, finding: Finding, candidate: Candidate) -> tuple[Measure, ...]:
        """The judged values at the subject: all places where they are few, else the worst."""
        run = self._run(finding.rule, candidate.edits)
        if run is None:
            return ()
        names = {limit.name for limit in finding.limits}
        looks = [
            m
            for m in run.looks.get(finding.subject, ())
            if m.limit is not None and m.limit.name in names
        ]
        shown: dict[tuple[str, str], Measure] = {}
        for measure in looks:
            key = (measure.what, measure.where)
            if key not in shown or nearness(measure) > nearness(shown[key]):
                shown[key] = measure
        if len({where for _, where in shown}) > MOST_PLACES:
            worst: dict[str, Measure] = {}
            for measure in shown.values():
                kept = worst.get(measure.what)
                if kept is None or nearness(measure) > nearness(kept):
                    worst[measure.what] = measure
            return tuple(worst.values())
        return tuple(shown.values())

    def _effects(self, finding: Finding, edits: tuple[Edit, ...]) -> tuple[Effect, ...]:
        hot = self._trial(edits).hot
        if hot is None or "hardest" not in hot.cycles or "hardest" not in self._hot.cycles:
            return ()
        before = {
            (p.part, p.where): p.layers[0].hot_zone.peak_C.mid
            for p in self._hot.cycles["hardest"].patches
            if p.layers
        }
        best: Effect | None = None
        for patch in hot.cycles["hardest"].patches:
            old = before.get((patch.part, patch.where))
            if old is None or patch.part == finding.subject:
                continue
            peak = patch.layers[0].hot_zone.peak_C.mid
            if peak - old >= WORTH_TELLING_K and (best is None or peak - old > best.by_K):
                gauges = self._build.gauges_m
                place = f"{patch.part} {place_name(self._build.parts[patch.part], patch, gauges)}"
                best = Effect(place=place, by_K=peak - old, peak_C=peak)
        return () if best is None else (best,)

    def _brings(self, finding: Finding, edits: tuple[Edit, ...]) -> tuple[tuple[str, str], ...]:
        trial = self._trial(edits)
        if trial.build is None or trial.hot is None:
            return ()
        if self._before is None:
            self._before = frozenset(
                (rule, subject) for rule, subject, _ in self._speaks(self._build, self._hot)
            )
        after = {(rule, subject) for rule, subject, _ in self._speaks(trial.build, trial.hot)}
        return tuple(sorted(after - self._before))

    def _speaks(self, build: Build, hot: HotMap) -> set[tuple[str, str, Level]]:
        """Rule, subject and level of everything that is more than a note, questions included."""
        said: set[tuple[str, str, Level]] = set()
        for rule in self._rules.values():
            run = run_rule(rule, build=build, hot=hot, catalogue=self._catalogue)
            outcomes: tuple[Outcome, ...] = (*run.findings, *run.unjudged)
            for found in outcomes:
                if found.level is not None and RANK[found.level] > RANK["note"]:
                    said.add((found.rule, found.subject, found.level))
        return said

    def _run(self, rule: str, edits: tuple[Edit, ...], cases: Cases = None) -> Run | None:
        trial = self._trial(edits, cases)
        if trial.build is None or trial.hot is None:
            return None
        key = (rule, repr(edits), cases)
        if key not in self._runs:
            self._runs[key] = run_rule(
                self._rules[rule], build=trial.build, hot=trial.hot,
                catalogue=self._catalogue, strict=True,
            )  # fmt: skip
        return self._runs[key]

    def _trial(self, edits: tuple[Edit, ...], cases: Cases = None) -> Trial:
        key = (repr(edits), cases)
        if key not in self._trials:
            try:
                build = self._assemble(apply(self._tree, edits))
                same = keeps_the_heat(edits)
                hot = self._hot if same else self._solve(build, cases)
                self._trials[key] = Trial(build=build, hot=hot)
            except (BuildFileError, HeatError):
                # A size that cannot be built or computed is no remedy; others may be.
                self._trials[key] = Trial(build=None, hot=None)
        return self._trials[key]


def _changes(proposals: Mapping[int, Sequence[Proposal]], *, without: int) -> tuple[Edit, ...]:
    """The edits of the first passing proposal of each finding; one change to each thing."""
    firsts = (
        next((p for p in proposals[index] if p.passes), None)
        for index in sorted(proposals)
        if index != without
    )
    return joint_edits(first.edits for first in firsts if first is not None)


def _worst_cases(finding: Finding) -> Cases:
    """The least favourable cases of everything that counts in a finding; None: nothing computed."""
    cases = {case for m in finding.measures if m.counts for case in m.worst}
    return tuple(sorted(cases)) or None
