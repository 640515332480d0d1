"""What a rule sees: the plan, its heat, the catalogue and the rule's own limits."""

from __future__ import annotations

from typing import TYPE_CHECKING, Iterable, Iterator, Literal, Mapping

from stovelint.errors import RulebookError
from stovelint.rule.courses import place_name
from stovelint.rule.finding import Finding, Measure, Note, NotJudged
from stovelint.rule.level import likelihood
from stovelint.rule.limits import Limit, Source

if TYPE_CHECKING:
    from stovelint.build import Build, FiringState, Layer, Part, PartKind, Surrounding
    from stovelint.catalogue import Catalogue, Material
    from stovelint.hotmap.records import HotMap, LayerHeat, PatchHeat, Spread, Unsolved
    from stovelint.place import Path
    from stovelint.rule.finding import Unit
    from stovelint.rule.level import Stakes
    from stovelint.rule.limits import Grade, Limits, LimitTable
    from stovelint.rule.moves import Move


WORST = 2
"""How many of its least favourable cases a comparison names."""


# A mixed figure has its weakest part; a class of stones has the cap of its worst member, read or
# not, so it counts as no better than recalled.
CATALOGUE_GRADES: Mapping[str, Grade] = {
    "read": "read", "second-hand": "second-hand", "recalled": "recalled", "practice": "practice",
    "mixed": "recalled", "computed": "recalled",
}  # fmt: skip


class Scene:
    """One plan, as one rule sees it.

    `strict` scenes are for the remedy search: there a single case past a limit already counts.
    `looks` holds every comparison made, by subject, so that the search can tell "looked at and
    fine" from "never looked".
    """

    def __init__(
        self,
        *,
        rule: str,
        stakes: Stakes,
        limits: Limits,
        build: Build,
        hot: HotMap,
        catalogue: Catalogue,
        strict: bool = False,
    ) -> None:
        self.rule = rule
        self.stakes = stakes
        self.limits = limits
        self.build = build
        self.hot = hot
        self.catalogue = catalogue
        self.strict = strict
        self.looks: dict[str, list[Measure]] = {}

    # -- the plan ---------------------------------------------------------------------------

    def parts(self, *kinds: PartKind) -> Iterator[Part]:
        """The parts of these kinds (of every kind when none is named), in the file's order."""
        for part in self.build.parts.values():
            if not kinds or part.kind in kinds:
                yield part

    def material(self, layer: Layer) -> Material | None:
        """The catalogue's row of a layer; None for an air gap or a layer that burns out."""
        if layer.material is None or layer.role == "sacrificial":
            return None
        return self.catalogue.get(layer.material)

    def reinforcement(self, layer: Layer) -> Material | None:
        """The catalogue's row of what lies in a layer to hold it together; None when nothing."""
        if layer.reinforcement is None:
            return None
        row = self.catalogue.get(layer.reinforcement.kind)
        return None if row.reinforces is None else row

    def walk_to(self, part: Part, where: str, face: str) -> str:
        """`bell / course 4 / front / hot face`: how a mason walks to a place with a tape."""
        steps = [" and ".join(part.bounds), part.name if where in ("", part.name) else where]
        if part.sides:
            steps.append(", ".join(part.sides))
        return " / ".join((*steps, face))

    @staticmethod
    def face(index: int) -> str:
        """Which face of a layer looks at the heat, by its position from the hot side."""
        return "hot face" if index == 0 else f"hot side of layer {index + 1}"

    def place(self, part: Part, patch: PatchHeat) -> str:
        """`courses 3 to 5`, or the patch's own name where the part is not drawn by courses."""
        return place_name(part, patch, self.build.gauges_m)

    # -- its heat ---------------------------------------------------------------------------

    def patches(self, part: Part, state: FiringState) -> tuple[PatchHeat, ...]:
        """The patches of a part, lowest first; none where its heat could not be computed."""
        cycle = self.hot.cycles.get(state)
        return () if cycle is None else cycle.of_part(part.name)

    def layer_heat(self, patch: PatchHeat, layer: Layer) -> LayerHeat | None:
        """The heat of one drawn layer in a patch; None where the patch does not hold it."""
        for heat in patch.layers:
            if heat.layer.path == layer.path:
                return heat
        return None

    def holding(
        self, part: Part, layer: Layer, state: FiringState
    ) -> list[tuple[PatchHeat, LayerHeat]]:
        """Every patch of a part that holds one of its layers, lowest first, with its heat."""
        found = ((p, self.layer_heat(p, layer)) for p in self.patches(part, state))
        return [(patch, heat) for patch, heat in found if heat is not None]

    def unsolved(self, path: Path, subject: str) -> Unsolved | None:
        """Why the heat of a subject could not be computed, or None."""
        for case in self.hot.unsolved:
            if case.subject == subject or path[: len(case.path)] == case.path:
                return case
        return None

    # -- its limits -------------------------------------------------------------------------

    def limit(self, name: str) -> Limit:
        """A row of the rule's own `limits.toml`."""
        try:
            return self.limits.rows[name]
        except KeyError:
            raise RulebookError(self.rule, f"asks for limit `{name}`", "add the row") from None

    def own_limit(self, material: Material, which: Literal["service", "peak"]) -> Limit:
        """What the material itself stands by the catalogue: held for long, or in short peaks."""
        cap = material.max_service if which == "service" else material.max_peak
        return Limit(
            name=f"{which} of {material.name}",
            key=f"{material.name} {which}",
            value=cap.C,
            unit="degC",
            sense="at most",
            meaning=f"{'for long' if which == 'service' else 'in short peaks'}; beyond: {cap.fails}",
            scope=material.title,
            source=Source(
                title=cap.source, edition="-", clause="-", grade=CATALOGUE_GRADES[cap.grade]
            ),
        )

    def table(self, name: str) -> LimitTable | None:
        """A table row of the rule's own `limits.toml`; None when the table has no such row."""
        return self.limits.tables.get(name)

    # -- comparing --------------------------------------------------------------------------

    def compare(
        self, what: str, spread: Spread, limit: Limit, *, subject: str, where: str = "",
        path: Path = (), only: tuple[Spread, Limit] | None = None,
    ) -> Measure:  # fmt: skip
        """Hold a computed range against a limit, case by case.

        Args:
            what: the quantity in a word (`peak`).
            spread: its values over the cases, in the limit's base unit.
            limit: the limit.
            subject: name of the part or surrounding that is being judged.
            where: where on it.
            path: the layer that is looked at, where it is one of several; a change is then held to
                that layer alone.
            only: another range and its limit: a case counts only where both are past theirs.
        """
        values = spread.values.tolist()
        also = [True] * len(values) if only is None else map(only[1].is_past, only[0].values)
        past = sum(1 for value, both in zip(values, also) if both and limit.is_past(value))
        ranked = sorted(range(len(values)), key=values.__getitem__, reverse=True)
        cases = spread.cases
        counts = past > 0 if self.strict else likelihood(past, cases) is not None
        return self._look(
            Measure(
                what=what, where=where, unit=limit.base_unit, low=spread.low, mid=spread.mid,
                high=spread.high, limit=limit, past=past, cases=cases, exact=False, counts=counts,
                worst=tuple(ranked[:WORST] if limit.sense == "at most" else ranked[:-WORST - 1:-1]),
                path=path,
            ),
            subject,
        )  # fmt: skip

    def check(
        self, what: str, value: float, limit: Limit, *, subject: str, where: str = "",
        path: Path = (),
    ) -> Measure:  # fmt: skip
        """Hold a drawn size (in the limit's base unit) against a clause. No likelihood."""
        past = limit.is_past(value)
        return self._look(
            Measure(
                what=what, where=where, unit=limit.base_unit, low=value, mid=value, high=value,
                limit=limit, past=int(past), cases=1, exact=True, counts=past, path=path,
            ),
            subject,
        )  # fmt: skip

    def check_in_cases(
        self, what: str, value: float, limit: Limit, needed: int, cases: int, *, subject: str,
        where: str = "", path: Path = (),
    ) -> Measure:  # fmt: skip
        """Hold a drawn size against a clause that applies in `needed` of the computed cases."""
        past = needed if limit.is_past(value) else 0
        counts = past > 0 if self.strict else likelihood(past, cases) is not None
        return self._look(
            Measure(
                what=what, where=where, unit=limit.base_unit, low=value, mid=value, high=value,
                limit=limit, past=past, cases=cases, exact=False, counts=counts, path=path,
            ),
            subject,
        )  # fmt: skip

    @staticmethod
    def worst(measures: Iterable[Measure]) -> Measure:
        """The comparison that is furthest past its limit: most cases, then nearest the edge."""
        return max(measures, key=lambda m: (m.counts, m.past, nearness(m)))

    def tell(self, what: str, spread: Spread, unit: Unit, *, where: str = "") -> Measure:
        """A computed range that is only told, beside what is judged."""
        return Measure(
            what=what, where=where, unit=unit, low=spread.low, mid=spread.mid, high=spread.high,
            limit=None, past=0, cases=spread.cases, exact=False, counts=False,
        )  # fmt: skip

    def _look(self, measure: Measure, subject: str) -> Measure:
        self.looks.setdefault(subject, []).append(measure)
        return measure

    # -- yielding ---------------------------------------------------------------------------

    def finding(
        self,
        subject: Part | Surrounding,
        *,
        path: Path,
        walk_to: str,
        found: str,
        measures: tuple[Measure, ...],
        why: str,
        notes: tuple[Note, ...] = (),
        moves: tuple[Move, ...] = (),
        stakes: Stakes | None = None,
    ) -> Finding:
        """A finding of this rule. `stakes` only where they are lower than the rule's own."""
        return Finding(
            rule=self.rule, stakes=stakes or self.stakes, subject=subject.name, path=path,
            walk_to=walk_to, found=found, measures=measures, why=why, notes=notes, moves=moves,
        )  # fmt: skip

    def not_judged(
        self,
        subject: Part | Surrounding,
        *,
        reason: str,
        remedy: str,
        path: Path | None = None,
        stakes: Stakes | None = None,
    ) -> NotJudged:
        """The rule applies and cannot say; `remedy` is the line to add."""
        return NotJudged(
            rule=self.rule, stakes=stakes or self.stakes, subject=subject.name,
            path=subject.path if path is None else path, reason=reason, remedy=remedy,
        )  # fmt: skip

    def no_heat(self, subject: Part | Surrounding) -> NotJudged:
        """Not judged, because the heat of the subject could not be computed, or not in one of the
        firing states."""
        case = self.unsolved(subject.path, subject.name) or next(
            (one for one in self.hot.unsolved if one.state is not None), None
        )
        if case is None:
            return self.not_judged(
                subject,
                reason="no temperature was computed here",
                remedy="say which chamber it bounds and what it is made of",
            )
        return self.not_judged(subject, path=case.path, reason=case.reason, remedy=case.remedy)

    def layer_unjudged(self, subject: Part, heat: LayerHeat) -> NotJudged | None:
        """Not judged, because a property of this layer is missing; None when it may be judged."""
        if heat.unjudged is None:
            return None
        return self.not_judged(
            subject,
            path=heat.layer.path,
            reason=heat.unjudged,
            remedy="name a material whose table reaches this temperature",
        )



def nearness(measure: Measure) -> float:
    """How near its limit a value comes at its unfavourable end; larger is worse."""
    if measure.limit is None:
        return float("-inf")
    if measure.limit.sense == "at most":
        return measure.high - measure.limit.base
    return measure.limit.base - measure.low
