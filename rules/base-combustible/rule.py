"""What can burn under the heater, and how warm it gets there."""

from __future__ import annotations

from typing import TYPE_CHECKING, Iterator

from stovelint.rule import Insulate, Measure, Move, Note, Outcome, Scene, Thicken, rule

if TYPE_CHECKING:
    from stovelint.rule import Layer, Part, PatchHeat

WHY = (
    "wood kept warm for months slowly chars, and charred wood takes fire at a far lower "
    "temperature; under a heater nobody sees it"
)
# What is worth making thicker when it is drawn already: below this it keeps heat back. Only a
# choice of what to try; what is proposed is recomputed.
INSULATES_BELOW_W_MK = 0.15
AT_C = 100.0


@rule(stakes="danger")
def base_combustible(scene: Scene) -> Iterator[Outcome]:
    """The first combustible under each chamber, patch by patch, never averaged.

    Looks at: combustible layers of floors and bases, and surroundings below the heater.
    Needs: the heat of the base in the usual and the hardest firing.
    Silent: when covered wood keeps its peak limit, and open wood its peak and mean limits.
    """
    for part in scene.parts("floor", "base"):
        burns = [layer for layer in part.layers if _burns(scene, layer)]
        if not burns:
            continue
        if not scene.patches(part, "hardest") or not scene.patches(part, "usual"):
            yield scene.no_heat(part)  # what one firing alone says is judged all the same
        yield from _layer(scene, part, burns[0])
    for surrounding in scene.build.surroundings.values():
        if surrounding.at == "below" and any(_burns(scene, one) for one in surrounding.layers):
            yield from _below(scene, surrounding.name)


def _layer(scene: Scene, part: Part, layer: Layer) -> Iterator[Outcome]:
    covered = not _open_above(part, layer)
    found: list[tuple[PatchHeat, Measure]] = []
    for patch in scene.patches(part, "hardest"):
        heat = scene.layer_heat(patch, layer)
        if heat is None:
            continue
        open_case = scene.layer_unjudged(part, heat)
        if open_case is not None:
            yield open_case
            return
        limit = scene.limit("covered-peak" if covered else "exposed-peak")
        found.append((patch, scene.compare("peak", heat.hot.peak_C, limit, subject=part.name,
                                           where=patch.where)))  # fmt: skip
    for patch in () if covered else scene.patches(part, "usual"):
        heat = scene.layer_heat(patch, layer)
        if heat is None:
            continue
        open_case = scene.layer_unjudged(part, heat)
        if open_case is not None:
            yield open_case
            return
        found.append(
            (patch, scene.compare("mean", heat.hot.mean_C, scene.limit("exposed-mean"),
                                  subject=part.name, where=patch.where))
        )  # fmt: skip
    for chamber in dict.fromkeys(patch.chamber for patch, _ in found):
        measures = [measure for patch, measure in found if patch.chamber == chamber]
        if not any(measure.counts for measure in measures):
            continue
        shown = tuple(
            scene.worst(m for m in measures if m.what == what)
            for what in dict.fromkeys(m.what for m in measures)
        )
        yield scene.finding(
            part,
            path=(*layer.path, "material"),
            walk_to=f"{chamber} / {part.name} / top of the {layer.material}",
            found=f"{'covered' if covered else 'open'} {layer.material} in {part.name}",
            measures=tuple(shown),
            why=WHY,
            moves=_moves(scene, part, layer),
        )


def _below(scene: Scene, name: str) -> Iterator[Outcome]:
    surrounding = scene.build.surroundings[name]
    hard, mild = (
        [c for c in cycle.combustibles if c.surrounding == name] if cycle is not None else []
        for cycle in (scene.hot.cycles.get("hardest"), scene.hot.cycles.get("usual"))
    )
    if not hard or not mild:
        yield scene.no_heat(surrounding)  # what one firing alone says is judged all the same
    for case, gentle in zip(hard or mild, mild or hard, strict=True):
        where = f"{case.seen_part} {case.seen_where}"
        measures: list[Measure] = []
        if hard:
            limit = scene.limit("covered-peak" if case.covered else "exposed-peak")
            measures.append(
                scene.compare("peak", case.peak_C, limit, subject=name, where=case.seen_where)
            )
        if mild and not case.covered:
            measures.append(
                scene.compare("mean", gentle.mean_C, scene.limit("exposed-mean"), subject=name,
                              where=case.seen_where)
            )  # fmt: skip
        if any(measure.counts for measure in measures):
            seen = scene.build.parts[case.seen_part]
            yield scene.finding(
                surrounding,
                path=(*case.layer.path, "material"),
                walk_to=f"below / {name} / top of the {case.layer.material}",
                found=f"{'covered' if case.covered else 'open'} {case.layer.material} of {name}",
                measures=tuple(measures),
                why=WHY,
                notes=(Note(text=f"{where} is what warms it"),),
                moves=_moves(scene, seen, None),
            )


def _burns(scene: Scene, layer: Layer) -> bool:
    material = scene.material(layer)
    return material is not None and material.combustible


def _open_above(part: Part, layer: Layer) -> bool:
    """Whether moving air washes the hot side of a layer: a vented gap, or level open cores."""
    index = part.layers.index(layer)
    if index == 0:
        return False
    before = part.layers[index - 1]
    return (before.gap is not None and before.gap.kind == "vented") or before.cores == "level"


def _moves(scene: Scene, part: Part, burns: Layer | None) -> tuple[Move, ...]:
    """More of the insulation that is drawn above the wood; else a fill under the top layer."""
    for layer in part.layers:
        if layer is burns:
            break
        material = scene.material(layer)
        k = None if material is None else material.conductivity
        if k is not None and k.covers(AT_C, AT_C) and float(k.at(AT_C)) < INSULATES_BELOW_W_MK:
            return (Thicken(layer=layer.path, use="fill"),)
    last = len(part.layers) if burns is None else part.layers.index(burns)
    return (Insulate(part=part.path, index=min(1, last), use="fill"),)
