"""Whether what lies over a hot chamber needs insulation under it, and how much."""

from __future__ import annotations

from typing import TYPE_CHECKING, Iterator

from stovelint.rule import Insulate, Measure, Move, Outcome, Scene, Thicken, rule

if TYPE_CHECKING:
    from stovelint.rule import Layer, Part, PatchHeat

CEMENT = frozenset({"portland-concrete", "concrete-block"})
CRACKS_NOT = frozenset({"not-brittle", "not-applicable"})
WHY_CEMENT = (
    "concrete loses its bound water over the hottest gas of the heater and cracks across the span"
)
WHY_STONE = (
    "the underside grows while the cool top holds it back, and one crack runs across the piece"
)


@rule(stakes="breakage")
def cap_insulation(scene: Scene) -> Iterator[Outcome]:
    """Caps and bench tops of what is not refractory.

    Looks at: every brittle layer of a cap or bench top whose own service limit is below that of a
    refractory, in the span and at the bearing edge.
    Needs: the heat of the cap in the usual and the hardest firing.
    Silent: when its hot face stays under the limits in both places, with the insulation drawn.
    """
    for part in scene.parts("cap", "bench-top"):
        for index, layer in enumerate(part.layers):
            material = scene.material(layer)
            if (
                material is None
                or material.combustible
                or material.thermal_shock in CRACKS_NOT
                or not scene.limit("refractory").is_past(material.max_service.C)
            ):
                continue
            if not scene.patches(part, "hardest") or not scene.patches(part, "usual"):
                yield scene.no_heat(part)  # what one firing alone says is judged all the same
            if not scene.patches(part, "hardest") and not scene.patches(part, "usual"):
                break
            yield from _judge(scene, part, index, cement=material.family in CEMENT)


def _judge(scene: Scene, part: Part, index: int, *, cement: bool) -> Iterator[Outcome]:
    layer = part.layers[index]
    measures: list[Measure] = []
    for patch in sorted(scene.patches(part, "hardest"), key=_span_first):
        heat = scene.layer_heat(patch, layer)
        if heat is None:
            continue
        open_case = scene.layer_unjudged(part, heat)
        if open_case is not None:
            yield open_case
            return
        peak = heat.hot_zone.peak_C
        names = ("excursion", "underside") if cement else ("underside",)
        measures += [
            scene.compare("peak", peak, scene.limit(name), subject=part.name, where=patch.where)
            for name in names
        ]
    for patch in sorted(scene.patches(part, "usual"), key=_span_first) if cement else ():
        heat = scene.layer_heat(patch, layer)
        if heat is None:
            continue
        open_case = scene.layer_unjudged(part, heat)
        if open_case is not None:
            yield open_case
            return
        measures.append(
            scene.compare("mean", heat.hot_zone.mean_C, scene.limit("mean"),
                          subject=part.name, where=patch.where)
        )  # fmt: skip
    past = [measure for measure in measures if measure.counts]
    if not past:
        return
    bare = index == 0
    yield scene.finding(
        part,
        path=(*layer.path, "material"),
        walk_to=scene.walk_to(part, "", scene.face(index)),
        found=f"{'bare ' if bare else ''}{layer.material}",
        measures=tuple(measures),
        why=WHY_CEMENT if cement else WHY_STONE,
        moves=_moves(scene, part),
    )


def _span_first(patch: PatchHeat) -> tuple[bool, float]:
    return (patch.where == "bearing edge", patch.from_m)


def _moves(scene: Scene, part: Part) -> tuple[Move, ...]:
    """Thicken the blanket that is drawn, else put one in; soluble fibre before anything else."""
    first: Layer = part.layers[0]
    material = scene.material(first)
    if material is not None and material.soft:
        return (Thicken(layer=first.path, use="blanket"),)
    return (Insulate(part=part.path, index=0, use="blanket"),)
