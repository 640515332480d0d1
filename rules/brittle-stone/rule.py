"""Whether a piece of natural stone can follow the heat where it is built in."""

from __future__ import annotations

from typing import TYPE_CHECKING, Iterator

from stovelint.rule import (
    Cut, Insulate, Limit, Loosen, Measure, Move, Note, NotJudged, Outcome, Scene, Swap, Thicken, along,
    edge_bound_K, rule,
)  # fmt: skip

if TYPE_CHECKING:
    from stovelint.rule import Layer, LayerHeat, Part, PatchHeat

    Place = tuple[PatchHeat, LayerHeat]

STONE = frozenset({"natural-stone"})
# Classes of thermal shock without a difference at which they are known to crack: soapstone, of which
# the trade builds whole heaters. Every class that is not named counts as the worst.
STANDS = frozenset({"medium-high", "high", "very-high"})
ROWS = {"medium": "medium"}
CAPS = ("cap", "bench-top", "cook-plate")
LYING = (*CAPS, "floor", "base")
AT_THE_FIRE = ("wall", "floor", "cap")
THROUGH, EDGE = "through the piece", "middle to edge of a piece"
# Pieces so large that their size no longer matters: what is judged when no size is drawn.
UNCUT_M = 5.0
WHY = (
    "stone is stiff and weak in tension: what stays cool tears where the warm part grows, and one "
    "crack then runs through the whole piece"
)
WHY_OWN = "the stone itself changes for good at this heat, however slowly it is reached"
WHY_THIN = "thin slabs of stone bow and flake at the fire side and break"


@rule(stakes="breakage")
def brittle_stone(scene: Scene) -> Iterator[Outcome]:
    """Natural stone by its class, the size of its pieces and how they are set.

    Looks at: every layer of natural stone in a part of the heater: the difference through it, the
    difference between middle and edge of a piece at its drawn size, and its own limits of heat.
    Needs: the heat of the part in both firings, and the size of the pieces where it decides.
    Silent: when all of that keeps its limits; about differences in stone of a class that is known
    to stand them.
    """
    for part in scene.parts():
        for index, layer in enumerate(part.layers):
            material = scene.material(layer)
            if material is None or material.family not in STONE:
                continue
            if not scene.patches(part, "hardest") or not scene.patches(part, "usual"):
                yield scene.no_heat(part)
                break
            yield from _judge(scene, part, index)


def _judge(scene: Scene, part: Part, index: int) -> Iterator[Outcome]:
    layer = part.layers[index]
    material = scene.material(layer)
    assert material is not None  # the caller looked
    hard = scene.holding(part, layer, "hardest")
    mild = scene.holding(part, layer, "usual")
    if not hard or not mild:
        yield scene.no_heat(part)
        return
    for _, heat in (*hard, *mild):
        unjudged = scene.layer_unjudged(part, heat)
        if unjudged is not None:
            yield unjudged
            return
    peak, service = scene.own_limit(material, "peak"), scene.own_limit(material, "service")
    measures = [
        scene.worst(_own(scene, part, "peak", place, peak) for place in hard),
        scene.worst(_own(scene, part, "mean", place, service) for place in mild),
    ]
    row = None if material.thermal_shock in STANDS else ROWS.get(material.thermal_shock, "low")
    if row is not None:
        measures.append(scene.worst(_through(scene, part, layer, place, row) for place in hard))
        edge = _edge(scene, part, layer, row)
        if isinstance(edge, Measure):
            measures.append(edge)
        elif edge is not None:
            yield edge
    measures += _thickness(scene, part, index)
    past = [measure for measure in measures if measure.counts]
    quick = None if row is None else _quick(scene, part, hard)
    if past:
        yield scene.finding(
            part,
            path=(*layer.path, "material"),
            walk_to=scene.walk_to(part, past[0].where, scene.face(index)),
            found=f"{_set(layer)}{layer.material} in {part.name}",
            measures=tuple(past),
            why=_why(past),
            notes=_notes(layer, past, quick),
            moves=_moves(part, index, past),
        )
    elif quick is not None and quick.counts:
        yield scene.finding(
            part,
            path=(*layer.path, "material"),
            walk_to=scene.walk_to(part, quick.where, scene.face(index)),
            found=f"{_set(layer)}{layer.material} in {part.name}",
            measures=(quick,),
            why="it keeps its limits, but quick heating opens fine cracks between the grains",
            stakes="advice",
        )


def _own(scene: Scene, part: Part, what: str, place: Place, limit: Limit) -> Measure:
    patch, heat = place
    spread = heat.hot_zone.peak_C if what == "peak" else heat.hot_zone.mean_C
    return scene.compare(what, spread, limit, subject=part.name, where=scene.place(part, patch),
                         path=heat.layer.path)  # fmt: skip


def _through(scene: Scene, part: Part, layer: Layer, place: Place, row: str) -> Measure:
    """Held flat by what it is bonded to, or free to bow; not said counts as bonded."""
    patch, heat = place
    held = "loose" if layer.set == "loose" else "bonded"
    return scene.compare(THROUGH, heat.piece().through_K, scene.limit(f"through-{row}-{held}"),
                         subject=part.name, where=scene.place(part, patch),
                         path=layer.path)  # fmt: skip


def _edge(scene: Scene, part: Part, layer: Layer, row: str) -> Measure | NotJudged | None:
    """At the drawn size of the pieces. What the plan does not say is asked for where the worst that
    it could mean would be past the limit."""
    limit = scene.limit(f"edge-{row}")
    half_m = 0.5 * _reach_m(part, layer)
    spread = along(scene, part, layer, "hardest", half_m)
    if spread is None:
        bound = edge_bound_K(scene, part, layer, "hardest", half_m)
        # across a bench, and on the one patch of a floor, an edge is not computed: see the page
        if part.kind != "cap" or part.bearing is not None or bound is None:
            return None
        if not limit.is_past(bound):
            return None
        return _ask(scene, part, layer, f"how the {layer.material} bears on its wall",
                    "add `bearing`, for instance `bearing: 100 mm`")  # fmt: skip
    if layer.pieces_m is not None:
        return scene.compare(EDGE, spread, limit, subject=part.name, path=layer.path)
    if not limit.is_past(spread.high):
        return None
    return _ask(scene, part, layer, f"how large the pieces of {layer.material} are",
                "add `pieces`, for instance `pieces: 300 mm x 300 mm`")  # fmt: skip


def _reach_m(part: Part, layer: Layer) -> float:
    """How far a piece reaches along the way that is compared: in a wall it lies on its longer side,
    so its height is the shorter one."""
    if layer.pieces_m is None:
        return UNCUT_M
    return max(layer.pieces_m) if part.kind in LYING else min(layer.pieces_m)


def _ask(scene: Scene, part: Part, layer: Layer, what: str, remedy: str) -> NotJudged:
    return scene.not_judged(
        part, path=layer.path, remedy=remedy,
        reason=f"{what} is not drawn, and it decides whether it cracks here",
    )  # fmt: skip


def _quick(scene: Scene, part: Part, hard: list[Place]) -> Measure:
    return scene.worst(
        scene.compare("rise in a quarter of an hour", heat.piece().rise_K, scene.limit("rise"),
                      subject=part.name, where=scene.place(part, patch), path=heat.layer.path)
        for patch, heat in hard
    )  # fmt: skip


def _thickness(scene: Scene, part: Part, index: int) -> list[Measure]:
    """A slab of stone that the fire touches, or will once what lies before it has burnt out."""
    layer = part.layers[index]
    before = part.layers[:index]
    covered = any(one.material is not None and one.role != "sacrificial" for one in before)
    fires = [c for c in part.bounds if scene.build.chambers[c].kind == "firebox"]
    if covered or not fires or part.kind not in AT_THE_FIRE:
        return []
    return [scene.check("thickness", layer.thickness_m, scene.limit("fire-thickness"),
                        subject=part.name, path=layer.path)]  # fmt: skip


def _set(layer: Layer) -> str:
    return "" if layer.set is None else f"{layer.set} "


def _why(past: list[Measure]) -> str:
    if any(m.what in (THROUGH, EDGE) for m in past):
        return WHY
    return WHY_THIN if all(m.unit == "m" for m in past) else WHY_OWN


def _notes(layer: Layer, past: list[Measure], quick: Measure | None) -> tuple[Note, ...]:
    notes = []
    if layer.set is None and any(m.what == THROUGH for m in past):
        notes.append(Note(text="how it is set is not said; it is taken as bonded"))
    if quick is not None and quick.counts and quick.limit is not None:
        notes.append(
            Note(
                text="within a quarter of an hour its face heats by {}; more than {} opens fine "
                f"cracks between the grains ({quick.limit.key}, {quick.limit.source.grade})",
                values=((quick.mid, "K"), (quick.limit.base, "K")),
                limits=(quick.limit,),
            )
        )
    return tuple(notes)


def _moves(part: Part, index: int, past: list[Measure]) -> tuple[Move, ...]:
    """The cheapest first: set it loose, cut it, keep the heat off it, take another stone. Only what
    lies may be loose: a wall holds itself up and keeps the gas in by its joints."""
    layer = part.layers[index]
    what = {measure.what for measure in past}
    may_loosen = part.kind in LYING and layer.set != "loose"
    moves: list[Move] = []
    if what == {THROUGH} and may_loosen:
        moves.append(Loosen(layer=layer.path))
    if what == {EDGE}:
        moves.append(Cut(layer=layer.path))
    if what == {THROUGH, EDGE} and may_loosen:
        moves.append(Cut(layer=layer.path, loosen=True))
    if index == 0 and what != {"thickness"}:
        use = "blanket" if part.kind in CAPS else "lining"
        moves.append(Insulate(part=part.path, index=0, use=use))
    if what == {"thickness"}:
        moves.append(Thicken(layer=layer.path, use="soapstone"))
    moves.append(Swap(layer=layer.path, use="soapstone"))
    return tuple(moves)
