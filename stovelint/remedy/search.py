"""Tries sizes until the smallest that recomputes clean is known, and says what it does elsewhere.

A change passes when the same rule, run over the recomputed heat, finds nothing on the same layer
(or on the part as a whole) with *no* case past a limit, and did look at it. That is stricter than
what makes a finding, so a remedy never stands on the edge. What the rule left open before may stay
open, and stays on the list: another edit answers it.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any, Callable, Iterable, Iterator, Mapping, Sequence

from stovelint.errors import BuildFileError, HeatError, broke
from stovelint.remedy.budget import Budget, Enough
from stovelint.remedy.edits import apply, candidates, trade_sizes
from stovelint.remedy.joint import joint_edits, on_top
from stovelint.remedy.mixing import keeps_the_heat
from stovelint.remedy.places import alike, moved
from stovelint.remedy.proposal import Effect, Proposal, Together
from stovelint.remedy.rows import Candidate, Edit
from stovelint.remedy.speaks import Said, speaks
from stovelint.remedy.telling import figures, looks, none_passes, untried
from stovelint.review import Crash, run_rule
from stovelint.rule.courses import place_name
from stovelint.rule.level import STAKES
from stovelint.rule.moves import MoveAway, Swap
from stovelint.variance import granted

if TYPE_CHECKING:
    from stovelint.build import Build
    from stovelint.catalogue import Catalogue
    from stovelint.hotmap.records import HotMap
    from stovelint.place import Path
    from stovelint.review import Review, Run, Solve
    from stovelint.rule.finding import Finding, Measure, NotJudged, Outcome
    from stovelint.rule.moves import Move
    from stovelint.rulebook import Rule

# Below this a change elsewhere is not worth a reader's time.
WORTH_TELLING_K = 5.0
SEARCH = "remedy-search"
"""What a crash of the search itself goes by, where a rule's name would stand."""
Cases = tuple[int, ...] | None
"""Numbers of the cases computed; None: all of them."""


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
        self._said: dict[str, tuple[Said, ...]] = {}
        self._crashes: list[Crash] = []
        self._unheard: Callable[[Said], bool] = lambda said: False
        self._budget = Budget(len(build.parts) + len(build.surroundings))

    @property
    def crashes(self) -> tuple[Crash, ...]:
        """Where the search itself broke. What it was to answer for stands without a remedy."""
        return tuple(dict.fromkeys(self._crashes))

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
        agreed = granted(review.build, review.on)
        self._unheard = lambda said: (
            (said.rule, said.subject) in agreed or said.rule in review.left_out
        )
        found = {index: self.proposals(item.finding) for index, item in enumerate(review.items)}
        for index, item in enumerate(review.items):
            if item.finding.moves and not any(p.passes for p in found[index]):
                found[index] = self._on_top(item.finding, found, index)
        _, left = self._all_made(found)
        for index, item in enumerate(review.items):
            # Each passes alone, and yet not all at once: what insulates one heats another.
            if item.finding.moves and any(_same(said, item.finding) for said in left):
                if any(p.passes and not p.on_top for p in found[index]):
                    found[index] = self._on_top(item.finding, found, index)
        return found

    def _on_top(
        self, finding: Finding, found: Mapping[int, tuple[Proposal, ...]], index: int
    ) -> tuple[Proposal, ...]:
        others = _changes(found, without=index)
        more = self.proposals(finding, others) if others else ()
        return (*(p for p in more if p.passes and p.on_top), *found[index])

    def _broke(self, what: str, error: Exception) -> None:
        said = " ".join(f"{what}: {broke(error)}".split())
        self._crashes.append(Crash(rule=SEARCH, message=said, searching=True))

    def together(self, proposals: Mapping[int, Sequence[Proposal]]) -> Together | None:
        """All first passing changes made at once; None when there are none, or no heat."""
        edits, said = self._all_made(proposals)
        if not edits or self._trial(edits).hot is None:
            return None
        left = {(one.rule, one.subject, one.level) for one in said}
        return Together(edits=edits, left=tuple(sorted(left)))

    def _all_made(
        self, proposals: Mapping[int, Sequence[Proposal]]
    ) -> tuple[tuple[Edit, ...], tuple[Said, ...]]:
        self._budget.grant_one()
        try:
            edits = _changes(proposals, without=-1)
            return edits, self._speaks(edits) if edits else ()
        except Exception as error:
            self._broke("with every change made together", error)
            return (), ()

    def proposals(
        self, finding: Finding, base: tuple[Edit, ...] = ()
    ) -> tuple[Proposal, ...]:
        """What puts a finding right: passing changes first, fewest side effects first.

        Args:
            finding: the finding.
            base: changes that are made already; those to the same thing are left aside.

        Whatever breaks in it becomes a `Crash`: a finding must not be lost because nothing could be
        found against it.
        """
        kept: list[Proposal] = []
        for move in finding.moves:
            try:
                kept += self._smallest(finding, move, base)
            except Enough:
                kept.append(untried())
                break
            except Exception as error:
                self._broke(f"for {finding.rule} at {finding.subject}", error)
        return tuple(sorted(kept, key=lambda p: (not p.passes, len(p.brings), len(p.still))))

    def _smallest(
        self, finding: Finding, move: Move, base: tuple[Edit, ...]
    ) -> Iterator[Proposal]:
        """The smallest size that passes, or what the largest leaves; none where none is to try."""
        sizes = candidates(move, self._tree, self._trade)
        if not sizes:
            return
        others = len(sizes[0].edits)
        sizes = tuple(replace(size, edits=on_top(base, size.edits)) for size in sizes)
        others = len(sizes[0].edits) - others
        # A size fails when a single case is past the limit, so the finding's own worst cases
        # sort out most sizes at a fraction of the work. Invariant: all below `low` failed or lie
        # under a size that failed; `high` passed the few or is one past the end. The neighbour
        # below the answer has therefore always been seen to fail (below the first size stands
        # the plan as drawn, which is the finding itself). Only all cases together can pass.
        few = None if isinstance(move, MoveAway) else _worst_cases(finding)
        low, high = 0, len(sizes)
        # Where a clause names the distance, and of another material the size as drawn, the first is
        # most often enough: begin there.
        named = isinstance(move, MoveAway) and move.least_m > 0.0
        middle = 0 if named or isinstance(move, Swap) else (low + high) // 2
        while low < high:
            if self._passes(finding, sizes[middle], few):
                high = middle
            else:
                low = middle + 1
            middle = (low + high) // 2
        while low < len(sizes) and not self._passes(finding, sizes[low], None):
            low += 1
        if low == len(sizes):
            yield Proposal(
                text=none_passes(move, sizes[-1].size, self._trade), passes=False, edits=(),
                figures=self._figures(finding, sizes[-1]), effects=(), brings=(),
            )  # fmt: skip
            return
        found = self._proposal(finding, sizes[low])
        if found.still and sizes[low].other_material:
            # It takes the place of what other rules objected to, so it should please these too.
            pleasing = (self._proposal(finding, size) for size in sizes[low + 1 :]
                        if self._passes(finding, size, None))  # fmt: skip
            found = next((p for p in pleasing if not (p.still or p.brings)), found)
        # What the other changes do elsewhere is told with them.
        yield replace(found, on_top=True, effects=()) if others else found

    def _passes(self, finding: Finding, candidate: Candidate, cases: Cases) -> bool:
        run = self._run(finding.rule, candidate.edits, cases)
        if run is None or run.crash is not None:
            return False
        # Another material may be none of this rule's business; for every other change a rule that
        # did not look has said nothing.
        if not looks(run, finding, candidate) and not candidate.other_material:
            return False
        here, least = moved(finding.path, candidate.edits), STAKES.index(finding.stakes)
        said: list[Outcome] = [f for f in run.findings if STAKES.index(f.stakes) <= least]
        said += [one for one in run.unjudged if _question(one) not in self._asked(finding.rule)]
        return not any(f.subject == finding.subject and alike(f.path, here) for f in said)

    def _asked(self, rule: str) -> frozenset[tuple[str, Path, str]]:
        """What the rule leaves open of the plan as drawn: no change is to answer that."""
        run = self._run(rule, ())
        return frozenset() if run is None else frozenset(map(_question, run.unjudged))

    def _proposal(self, finding: Finding, candidate: Candidate) -> Proposal:
        return Proposal(
            text=candidate.text,
            passes=True,
            edits=candidate.edits,
            figures=self._figures(finding, candidate),
            effects=self._effects(finding, candidate.edits),
            brings=self._brings(candidate.edits),
            still=self._still(finding, candidate.edits),
        )

    def _figures(self, finding: Finding, candidate: Candidate) -> tuple[Measure, ...]:
        run = self._run(finding.rule, candidate.edits)
        return () if run is None else figures(finding, looks(run, finding, candidate))

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

    def _brings(self, edits: tuple[Edit, ...]) -> tuple[tuple[str, str], ...]:
        before, after = self._speaks(()), self._speaks(edits)
        new = {(a.rule, a.subject) for a in after if not any(a.repeats(b) for b in before)}
        return tuple(sorted(new))

    def _still(self, finding: Finding, edits: tuple[Edit, ...]) -> tuple[str, ...]:
        brought = self._brings(edits)
        return tuple(sorted({
            said.rule for said in self._speaks(edits)
            if said.found and said.subject == finding.subject and said.rule != finding.rule
            and (said.rule, said.subject) not in brought and not self._unheard(said)
        }))  # fmt: skip

    def _speaks(self, edits: tuple[Edit, ...]) -> tuple[Said, ...]:
        """What the whole book says with these edits made; nothing where there is no heat."""
        trial = self._trial(edits)
        if trial.build is None or trial.hot is None:
            return ()
        key = repr(edits)
        if key not in self._said:
            self._said[key] = speaks(
                self._rules.values(), trial.build, trial.hot, self._catalogue, edits
            )
        return self._said[key]

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
        if not edits:
            return Trial(build=self._build, hot=self._hot)
        key = (repr(edits), cases)
        if key not in self._trials:
            same = keeps_the_heat(edits)
            if not same:
                self._budget.take(cases)
            try:
                build = self._assemble(apply(self._tree, edits))
                hot = self._hot if same else self._solve(build, cases)
                # A state that was judged and that now does not settle hides what it would say.
                whole = self._hot.cycles.keys() <= hot.cycles.keys()
                self._trials[key] = Trial(build=build, hot=hot if whole else None)
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


def _question(open_: NotJudged) -> tuple[str, Path, str]:
    return open_.subject, open_.path, open_.reason


def _same(said: Said, finding: Finding) -> bool:
    """Whether this is said of the same rule, part and layer as a finding."""
    here = (said.rule, said.subject) == (finding.rule, finding.subject)
    return here and said.path is not None and alike(said.path, finding.path)


def _worst_cases(finding: Finding) -> Cases:
    """The least favourable cases of everything that counts in a finding; None: nothing computed."""
    cases = {case for m in finding.measures if m.counts for case in m.worst}
    return tuple(sorted(cases)) or None
