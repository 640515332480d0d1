"""Whether a piece of natural stone can follow the heat where it is built in."""

from __future__ import annotations

from typing import TYPE_CHECKING, Iterator

from stovelint.rule import (
    Cut, Insulate, Limit, Loosen, Measure, Move, Note, Outcome, Scene, Swap, rule,
)  # fmt: skip

if TYPE_CHECKING:
    from stovelint.rule import Layer, LayerHeat, Part, PatchHeat

    Place = tuple[PatchHeat, LayerHeat]

STONE = frozenset({"natural-stone"})
# Row names of limits.toml by the catalogue's class of thermal shock. A class that is not here has
# no difference at which it is known to crack: soapstone, of which the trade builds whole heaters.
ROWS = {"low": "low", "low-medium": "low", "medium": "medium"}
CAPS = ("cap", "bench-top", "cook-plate")
# Pieces so large that their size no longer matters: what is judged when no size is drawn.
UNCUT_M = 5.0
WHY = (
    "stone is stiff and weak in tension: what stays cool tears where the warm part grows, and one "
    "crack then runs through the whole piece"
)
WHY_OWN = "the stone itself changes for good at this heat, however slowly it is reached"
WHY_THIN = "thin slabs bow and flake at the fire side and break where the floor ends"


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
    hard = _places(scene, part, layer, "hardest")
    mild = _places(scene, part, layer, "usual")
    for _, heat in (*hard, *mild):
        unjudged = scene.layer_unjudged(part, heat)
        if unjudged is not None:
            yield unjudged
            return
    own = [
        *(_own(scene, part, "peak", place, scene.own_limit(material, "peak")) for place in hard),
        *(_own(scene, part, "mean", place, scene.own_limit(material, "service")) for place in mild),
    ]
    row = ROWS.get(material.thermal_shock)
    measures = [scene.worst(group) for group in (own[: len(hard)], own[len(hard) :]) if group]
    told: list[Measure] = []
    size_counts = False
    if row is not None and hard:
        through = [_through(scene, part, place, row) for place in hard]
        measures.append(scene.worst(through))
        edge, size_counts, unknown = _edge(scene, part, layer, row)
        if unknown:
            yield scene.not_judged(
                part, path=layer.path,
                reason=f"how large the pieces of {layer.material} are is not drawn, and it decides "
                "whether they crack here",
                remedy="add `pieces`, for instance `pieces: 300 mm x 300 mm`",
            )  # fmt: skip
        measures += edge
        rises = [
            scene.compare("heated by the hour", heat.piece().rise_K_h, scene.limit("rise"),
                          subject=part.name, where=scene.place(part, patch))
            for patch, heat in hard
        ]  # fmt: skip
        told = [scene.worst(rises)]
    thick = _thickness(scene, part, index)
    past = [measure for measure in (*measures, *thick) if measure.counts]
    if past:
        lead = past[0]
        yield scene.finding(
            part,
            path=(*layer.path, "material"),
            walk_to=scene.walk_to(part, lead.where, _face(index)),
            found=f"{_set(layer)}{layer.material} in {part.name}",
            measures=tuple(past) + tuple(m for m in (*measures, *told) if not m.counts),
            why=_why(past),
            notes=_notes(layer, past),
            moves=_moves(part, index, past, size_counts),
        )
    elif any(measure.counts for measure in told):
        yield scene.finding(
            part,
            path=(*layer.path, "material"),
            walk_to=scene.walk_to(part, told[0].where, _face(index)),
            found=f"{_set(layer)}{layer.material} in {part.name}",
            measures=tuple(told),
            why="it keeps its limits, but quick heating opens fine cracks between the grains",
            stakes="advice",
        )


def _places(scene: Scene, part: Part, layer: Layer, state: str) -> list[Place]:
    """Every patch that holds the layer, lowest first."""
    found = []
    for patch in scene.patches(part, "usual" if state == "usual" else "hardest"):
        heat = scene.layer_heat(patch, layer)
        if heat is not None:
            found.append((patch, heat))
    return found


def _own(scene: Scene, part: Part, what: str, place: Place, limit: Limit) -> Measure:
    patch, heat = place
    spread = heat.hot_zone.peak_C if what == "peak" else heat.hot_zone.mean_C
    return scene.compare(what, spread, limit, subject=part.name, where=scene.place(part, patch))


def _through(scene: Scene, part: Part, place: Place, row: str) -> Measure:
    """Held flat by what it is bonded to, or free to bow; not said counts as bonded."""
    patch, heat = place
    layer = heat.layer
    held = "loose" if layer.set == "loose" else "bonded"
    return scene.compare("through the piece", heat.piece().through_K,
                         scene.limit(f"through-{row}-{held}"), subject=part.name,
                         where=scene.place(part, patch))  # fmt: skip


def _edge(
    scene: Scene, part: Part, layer: Layer, row: str
) -> tuple[list[Measure], bool, bool]:
    """(what was compared, whether the size of the pieces counts, whether it is unknown and
    decides)."""
    limit = scene.limit(f"edge-{row}")
    spread = scene.along(part, layer, "hardest", 0.5 * max(layer.pieces_m or (UNCUT_M,)))
    if spread is None:
        return [], False, False
    if layer.pieces_m is None:
        whole = scene.tell("middle to edge", spread, "K")
        return [], False, whole.high > limit.base
    measure = scene.compare("middle to edge of a piece", spread, limit, subject=part.name)
    return [measure], measure.counts, False


def _thickness(scene: Scene, part: Part, index: int) -> list[Measure]:
    """A slab of stone that the fire touches."""
    layer = part.layers[index]
    fires = [c for c in part.bounds if scene.build.chambers[c].kind == "firebox"]
    if index or not fires or part.kind == "base":
        return []
    return [scene.check("thickness", layer.thickness_m, scene.limit("fire-thickness"),
                        subject=part.name)]  # fmt: skip


def _set(layer: Layer) -> str:
    return "" if layer.set is None else f"{layer.set} "


def _face(index: int) -> str:
    return "hot face" if index == 0 else f"hot side of layer {index + 1}"


def _why(past: list[Measure]) -> str:
    if any(m.unit == "K" for m in past):
        return WHY
    return WHY_THIN if all(m.unit == "m" for m in past) else WHY_OWN


def _notes(layer: Layer, past: list[Measure]) -> tuple[Note, ...]:
    if layer.set is None and any(m.what == "through the piece" for m in past):
        return (Note(text="how it is set is not said; it is taken as bonded"),)
    return ()


def _moves(part: Part, index: int, past: list[Measure], size_counts: bool) -> tuple[Move, ...]:
    """The cheapest first: set it loose, cut it, keep the heat off it, take another stone."""
    layer = part.layers[index]
    moves: list[Move] = []
    through = any(m.what == "through the piece" for m in past)
    if through and layer.set != "loose":
        moves.append(Loosen(layer=layer.path))
    if size_counts:
        moves.append(Cut(layer=layer.path))
    if through and size_counts and layer.set != "loose":
        moves.append(Cut(layer=layer.path, loosen=True))
    if index == 0 and any(m.unit != "m" for m in past):
        use = "blanket" if part.kind in CAPS else "lining"
        moves.append(Insulate(part=part.path, index=0, use=use))
    moves.append(Swap(layer=layer.path, use="soapstone"))
    return tuple(moves)
