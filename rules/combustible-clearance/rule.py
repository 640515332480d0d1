"""How near to the heater something that burns may stand: by clause and by temperature."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Iterator, Literal

from stovelint.rule import Limit, Limits, Measure, MoveAway, Note, NotJudged, Outcome, Scene, rule

if TYPE_CHECKING:
    from stovelint.rule import CombustibleHeat, Layer, Part, PartKind, Surrounding

WHY = (
    "wood that is warmed for months slowly chars, and charred wood takes fire at a far lower "
    "temperature than fresh wood"
)
# Solid masonry in the sense of the clause; hollow block counts only with its cores filled.
SOLID = frozenset(
    {"fired-clay-brick", "fireclay-brick", "natural-stone", "portland-concrete", "castable"}
)
FIRE = frozenset({"firebox", "oven", "riser", "barrel"})
UPRIGHT: tuple[PartKind, ...] = ("wall", "facing", "door", "glass", "lintel")
TOPS: tuple[PartKind, ...] = ("cap", "bench-top", "cook-plate")
TABLE_BASE_IN = 36.0
SIDES = {
    "front": "in front of", "back": "behind", "left": "left of", "right": "right of",
    "end": "at the end of", "above": "above",
}  # fmt: skip

Shield = Literal["none", "single", "double"]
Earned = Literal["yes", "ask", "no"]


@dataclass(frozen=True, kw_only=True)
class Clause:
    """What the clauses say of one surrounding."""

    measures: tuple[Measure, ...] = ()
    notes: tuple[Note, ...] = ()
    asks: tuple[NotJudged, ...] = ()
    least_m: float = 0.0
    """The distance that the failed clauses ask for."""


@rule(stakes="danger")
def combustible_clearance(scene: Scene) -> Iterator[Outcome]:
    """Combustibles beside, in front of and above the heater.

    Looks at: the first combustible of every surrounding that is not below the heater.
    Needs: its distance, for a clause the jurisdiction, and the heat of what it sees.
    Silent: when the distance satisfies the clauses of the jurisdiction and the wood keeps its
    temperature limits.
    """
    for surrounding in scene.build.surroundings.values():
        if surrounding.at == "below":
            continue
        depth_m = _depth(scene, surrounding, paper=True)
        if depth_m is None:
            continue
        clause = _clause(scene, surrounding, surrounding.distance_m + depth_m)
        yield from clause.asks
        computed: list[Measure] = []
        if _depth(scene, surrounding, paper=False) is not None:
            mild = _seen(scene, surrounding, "usual")
            hard = _seen(scene, surrounding, "hardest")
            computed = _temperatures(scene, surrounding, mild, hard)
            if not mild or not hard:
                # what one firing alone says is judged all the same
                yield scene.no_heat(surrounding)
        measures = (*clause.measures, *computed)
        if any(measure.counts for measure in measures):
            yield scene.finding(
                surrounding,
                path=(*surrounding.path, "distance"),
                walk_to=f"{surrounding.at} / {surrounding.name} / first combustible",
                found=f"{surrounding.name}, {SIDES[surrounding.at]} the heater",
                measures=measures,
                why=WHY,
                notes=clause.notes,
                moves=(MoveAway(surrounding=surrounding.path, least_m=clause.least_m),),
            )


# -- temperature ----------------------------------------------------------------------------


def _temperatures(
    scene: Scene, surrounding: Surrounding, mild: list[CombustibleHeat],
    hard: list[CombustibleHeat],
) -> list[Measure]:  # fmt: skip
    """The worst of every comparison over all parts that warm the surrounding."""
    found: dict[str, list[Measure]] = {}
    for case in hard:
        limit = scene.limit("covered-peak" if case.covered else "exposed-peak")
        found.setdefault(limit.name, []).append(
            scene.compare("peak", case.peak_C, limit, subject=surrounding.name,
                          where=_opposite(case))
        )  # fmt: skip
    for case in mild:
        if not case.covered:
            found.setdefault("exposed-mean", []).append(
                scene.compare("mean", case.mean_C, scene.limit("exposed-mean"),
                              subject=surrounding.name, where=_opposite(case))
            )  # fmt: skip
    return [scene.worst(measures) for measures in found.values()]


def _seen(scene: Scene, surrounding: Surrounding, state: str) -> list[CombustibleHeat]:
    for name, cycle in scene.hot.cycles.items():
        if name == state:
            return [c for c in cycle.combustibles if c.surrounding == surrounding.name]
    return []


def _opposite(case: CombustibleHeat) -> str:
    return f"combustible opposite {case.seen_part} {case.seen_where}".rstrip()


# -- clauses --------------------------------------------------------------------------------


def _clause(scene: Scene, surrounding: Surrounding, distance_m: float) -> Clause:
    """The clauses that the plan's jurisdiction binds, or the question that it leaves open."""
    code = (scene.build.jurisdiction or "").upper()
    if code in scene.limit("base").binds:
        return _us(scene, surrounding, distance_m)
    if code in scene.limit("fi-warm-side").binds:
        return _finnish(scene, surrounding, distance_m)
    known = ", ".join((*scene.limit("base").binds, *scene.limit("fi-warm-side").binds))
    said = f"`{scene.build.jurisdiction}` is none of the codes" if code else "no code is named"
    return Clause(
        asks=(
            scene.not_judged(
                surrounding,
                path=("jurisdiction",),
                reason=f"{said} whose clearances are known here; temperature was judged all the "
                "same",
                remedy=f"write jurisdiction: one of {known}, and ask the authority otherwise",
            ),
        )
    )


def _us(scene: Scene, surrounding: Surrounding, distance_m: float) -> Clause:
    name = surrounding.name
    measures: list[Measure] = []
    notes: list[Note] = []
    asks: list[NotJudged] = []
    parts = faced(scene, surrounding)
    if any(_is_fire_door(scene, part) for part in parts):
        measures.append(scene.check("distance", distance_m, scene.limit("door"), subject=name))
    full = scene.limit("base")
    reduced = not full.is_past(distance_m)
    if reduced:
        measures.append(scene.check("distance", distance_m, full, subject=name))
    else:
        near = scene.limit("ceiling" if surrounding.at == "above" else "reduced")
        shielded = _table_limit(scene, surrounding)
        earned, why = earns_reduction(scene, surrounding, parts)
        if shielded is not None and not shielded.is_past(distance_m):
            measures.append(scene.check("distance", distance_m, shielded, subject=name))
        elif earned == "yes" or (earned == "ask" and near.is_past(distance_m)):
            measures.append(scene.check("distance", distance_m, near, subject=name))
        elif earned == "ask":
            asks.append(
                scene.not_judged(
                    surrounding,
                    reason=why.text,
                    remedy="ask the authority which thickness counts, and write its answer down "
                    "as a variance; or keep the full clearance",
                )
            )
        else:
            measures.append(
                scene.check("distance", distance_m, shielded or full, subject=name)
            )
            notes.append(why)
    failed = [m for m in measures if m.counts and m.limit is not None]
    gap = surrounding.gap
    if gap is not None:
        ways = _open_ends(surrounding)
        vent = scene.check("open ends of the gap", ways, scene.limit("vented"), subject=name)
        if vent.counts:
            measures.append(vent)
            failed.append(vent)
    elif not reduced and not failed and not asks:
        asks.append(
            scene.not_judged(
                surrounding,
                reason="the clearance counts only when the gap is fully vented, and nothing "
                "says so",
                remedy="say how the gap is open: gap: {kind: vented, bottom: ..., top: ...}",
            )
        )
    return Clause(
        measures=tuple(measures),
        notes=tuple(notes),
        asks=tuple(asks),
        least_m=max(
            (m.limit.base for m in failed if m.limit is not None and m.unit == "m"), default=0.0
        ),
    )


def _open_ends(surrounding: Surrounding) -> float:
    gap = surrounding.gap
    if gap is None or gap.kind == "closed":
        return 0.0
    return 2.0 - sum(1.0 for area in (gap.bottom_m2_m, gap.top_m2_m) if area == 0.0)


def _table_limit(scene: Scene, surrounding: Surrounding) -> Limit | None:
    """What the reduction table leaves of 36 in behind the protection drawn; None: no reduction."""
    protection = _protection(scene, surrounding)
    if protection is None:
        return None
    way = "above" if surrounding.at == "above" else "side"
    table = scene.table(f"{protection}-{way}")
    row = None if table is None else table.limit(TABLE_BASE_IN)
    if row is None:
        return None
    least = scene.limit("least-reduced")
    return least if least.base > row.base else row


def _protection(scene: Scene, surrounding: Surrounding) -> str | None:
    """Row of the table: a metal sheet off the wall, or a brick wall with or without air."""
    air = scene.limit("shield-air")
    shield = surrounding.shield
    if shield is not None:
        metal = scene.catalogue.get(shield.kind).family == "metal"
        return "sheet" if metal and not air.is_past(shield.air_m) else None
    for index, layer in enumerate(surrounding.layers[:-1]):
        material = scene.material(layer)
        if material is None or material.family != "fired-clay-brick":
            continue
        if scene.limit("shield-brick").is_past(layer.thickness_m):
            continue
        behind = surrounding.layers[index + 1].gap
        if behind is None:
            return "brick"
        open_air = behind.kind == "vented" and not air.is_past(
            surrounding.layers[index + 1].thickness_m
        )
        return "brick-air" if open_air else "brick"
    return None


def earns_reduction(
    scene: Scene, surrounding: Surrounding, parts: tuple[Part, ...]
) -> tuple[Earned, Note]:
    """Whether the walls that a surrounding sees are thick and solid enough for the exception.

    `ask` where the thickness is there only across a gap or a chamber: whether that counts is for
    the authority.
    """
    if surrounding.at == "above":
        caps = [part for part in parts if _unbroken_m(scene, part) > 0.0]
        if not caps:
            return "no", Note(text="no solid capping slab is drawn, so the exception is not earned")
        tops = {name for part in caps for name in part.bounds}
        parts = tuple(
            part for part in scene.parts(*UPRIGHT)
            if part.faces == "room" and tops & set(part.bounds)
        )  # fmt: skip
    answer: Earned = "yes"
    reason = Note(text="the walls are solid and thick enough")
    # The thinnest is named, wherever it stands in the file.
    for part in sorted(parts, key=lambda one: _solid_m(scene, one)):
        if part.kind in ("door", "glass"):
            continue
        fire = any(scene.build.chambers[name].kind in FIRE for name in part.bounds)
        need = scene.limit("wall" if fire else "channel")
        total = _solid_m(scene, part)
        if need.is_past(total):
            return "no", Note(
                text=f"{part.name} holds {{}} of solid masonry where the exception needs {{}} "
                f"({need.key}); hollow block and gaps do not count",
                values=((total, "m"), (need.base, "m")),
            )
        if need.is_past(_unbroken_m(scene, part)):
            answer, reason = "ask", Note(
                text=f"{part.name} reaches the solid thickness of {need.key} only across a gap "
                "or insulation"
            )
        core = _core_m(scene, part)
        wall = scene.limit("wall")
        if core is not None and wall.is_past(total):
            if wall.is_past(core + total):
                return "no", Note(
                    text=f"core and {part.name} together hold {{}} of solid masonry where the "
                    f"exception needs {{}} ({wall.key})",
                    values=((core + total, "m"), (wall.base, "m")),
                )
            answer, reason = "ask", Note(
                text=f"{part.name} reaches the wall thickness of {wall.key} only together with "
                "the core that stands inside it"
            )
    return answer, reason


def _core_m(scene: Scene, part: Part) -> float | None:
    """Thinnest solid wall of a firebox that stands in the chamber of a part; None: none does."""
    inside = [
        chamber.name for chamber in scene.build.chambers.values()
        if chamber.kind == "firebox" and chamber.inside in part.bounds
    ]  # fmt: skip
    walls = [
        _solid_m(scene, wall) for wall in scene.parts("wall", "facing", "partition")
        if any(name in wall.bounds for name in inside)
    ]  # fmt: skip
    return min(walls) if walls else None


def _solid_m(scene: Scene, part: Part) -> float:
    """All solid masonry of a part, gaps and insulation left out."""
    return sum(layer.thickness_m for layer in part.layers if _is_solid(scene, layer))


def _unbroken_m(scene: Scene, part: Part) -> float:
    """The thickest run of solid layers with nothing between them."""
    best = run = 0.0
    for layer in part.layers:
        run = run + layer.thickness_m if _is_solid(scene, layer) else 0.0
        best = max(best, run)
    return best


def _is_solid(scene: Scene, layer: Layer) -> bool:
    material = scene.material(layer)
    if material is None:
        return False
    if material.family == "concrete-block":
        return layer.cores == "filled"
    return material.family in SOLID


def faced(scene: Scene, surrounding: Surrounding) -> tuple[Part, ...]:
    """The outer parts on the surrounding's side; above: the caps that reach highest."""
    if surrounding.at == "above":
        caps = [part for part in scene.parts(*TOPS) if part.faces == "room"]
        tops = {part.name: max(_top_m(scene, name) for name in part.bounds) for part in caps}
        return tuple(p for p in caps if tops[p.name] > max(tops.values()) - 1e-6)
    return tuple(
        part for part in scene.parts(*UPRIGHT)
        if part.faces == "room" and (surrounding.at in part.sides or not part.sides)
    )  # fmt: skip


def _top_m(scene: Scene, chamber: str) -> float:
    size = scene.build.chambers[chamber].size
    return scene.build.chambers[chamber].bottom_m + (size.height_m or size.diameter_m or 0.0)


def _is_fire_door(scene: Scene, part: Part) -> bool:
    return part.kind in ("door", "glass") and any(
        scene.build.chambers[name].kind in ("firebox", "oven") for name in part.bounds
    )


# -- Finland --------------------------------------------------------------------------------


def finnish_limit(limits: Limits, skin_C: float, *, above: bool, shield: Shield) -> Limit | None:
    """The distance that goes with a mean surface temperature; None above the last class.

    A value on the edge of two classes counts as the hotter one.
    """
    name = "warm"
    for hotter in ("hot", "burn", "glow"):
        if not limits.rows[f"fi-{hotter}-from"].is_past(skin_C):
            name = hotter
    if limits.rows["fi-glow-to"].is_past(skin_C):
        return None
    row = limits.rows[f"fi-{name}-{'above' if above else 'side'}"]
    cut = "" if shield == "none" else f"fi-{shield}-{'above' if above else 'side'}"
    # Walls take the cut from 500 mm on, ceilings only over glowing metal.
    if not cut or name not in (("glow",) if above else ("burn", "glow")):
        return row
    return row.scaled(limits.rows[cut].base)


def _finnish(scene: Scene, surrounding: Surrounding, distance_m: float) -> Clause:
    cases = _seen(scene, surrounding, "usual")
    above = surrounding.at == "above"
    shield = _finnish_shield(scene, surrounding)
    found: list[Measure] = []
    for case in cases:
        needs: dict[float, tuple[Limit, int]] = {}
        for skin_C in case.skin_mean_C.values.tolist():
            limit = finnish_limit(scene.limits, skin_C, above=above, shield=shield)
            if limit is None:
                return Clause(
                    asks=(
                        scene.not_judged(
                            surrounding,
                            reason=f"the skin of {case.seen_part} is hotter than the last class "
                            "of the Finnish table",
                            remedy="insulate the part, or ask the authority",
                        ),
                    )
                )
            needs[limit.base] = (limit, needs.get(limit.base, (limit, 0))[1] + 1)
        of = case.skin_mean_C.cases
        past = sum(count for limit, count in needs.values() if limit.is_past(distance_m))
        # Name the mildest class that the distance misses; with none missed, the hottest met.
        missed = [limit for limit, _ in needs.values() if limit.is_past(distance_m)]
        named = min(missed, key=lambda x: x.base) if missed else max(
            (limit for limit, _ in needs.values()), key=lambda x: x.base
        )
        found.append(
            scene.check_in_cases("distance", distance_m, named, past, of,
                                 subject=surrounding.name, where=_opposite(case))
        )  # fmt: skip
    if not found:
        return Clause(asks=(scene.no_heat(surrounding),))
    worst = scene.worst(found)
    least = worst.limit.base if worst.counts and worst.limit is not None else 0.0
    return Clause(measures=(worst,), least_m=least)


def _finnish_shield(scene: Scene, surrounding: Surrounding) -> Shield:
    """Single: a metal sheet or 55 mm masonry with a vented 30 mm gap; double: 120 mm masonry."""
    air = scene.limit("fi-shield-air")
    if surrounding.shield is not None:
        metal = scene.catalogue.get(surrounding.shield.kind).family == "metal"
        return "single" if metal and not air.is_past(surrounding.shield.air_m) else "none"
    for layer, behind in zip(surrounding.layers, surrounding.layers[1:]):
        gap = behind.gap
        if gap is None or gap.kind != "vented" or air.is_past(behind.thickness_m):
            continue
        if _is_solid(scene, layer):
            if not scene.limit("fi-double-masonry").is_past(layer.thickness_m):
                return "double"
            if not scene.limit("fi-single-masonry").is_past(layer.thickness_m):
                return "single"
    return "none"


def _depth(scene: Scene, surrounding: Surrounding, *, paper: bool) -> float | None:
    """How deep in the surrounding the first combustible lies; `paper`: paper-faced board too."""
    depth_m = 0.0
    for layer in surrounding.layers:
        material = scene.material(layer)
        if material is not None and (
            material.combustible or (paper and material.treat_as_combustible == "yes")
        ):
            return depth_m
        depth_m += layer.thickness_m
    return None
