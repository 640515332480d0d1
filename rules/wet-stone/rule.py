"""Stone that holds water where the heat turns it to steam."""

from __future__ import annotations

from typing import TYPE_CHECKING, Iterator, Mapping

from stovelint.rule import Insulate, Measure, Move, Outcome, Scene, Swap, rule

if TYPE_CHECKING:
    from stovelint.rule import Stakes

STONE = frozenset({"natural-stone"})
# Open or vesicular kinds may hold water or not: what they do is breakage until somebody knows.
DRINKS: Mapping[str, Stakes] = {"high": "danger", "medium": "breakage"}
CAPS = ("cap", "bench-top", "cook-plate")
WHY = (
    "water deep in the pores turns to steam faster than it can leave, and the stone bursts into "
    "flying pieces; damp stone must be dried by small fires first"
)


@rule(stakes="danger")
def wet_stone(scene: Scene) -> Iterator[Outcome]:
    """Stone that takes up water, or comes from a river, over the boiling point.

    Looks at: every layer of natural stone that takes up water, or may (then as breakage), 10 mm under
    its hot face.
    Needs: the heat of the part in the hardest firing.
    Silent: below the boiling point; also above it where the stone is known to stand more and is
    heated slowly enough for its water to leave.
    """
    for part in scene.parts():
        for index, layer in enumerate(part.layers):
            material = scene.material(layer)
            if material is None or material.family not in STONE:
                continue
            if material.moisture_risk not in DRINKS:
                continue
            if not scene.patches(part, "hardest"):
                yield scene.no_heat(part)
                break
            heats = scene.holding(part, layer, "hardest")
            unjudged = [scene.layer_unjudged(part, heat) for _, heat in heats]
            if any(unjudged) or not heats:
                yield next((case for case in unjudged if case), scene.no_heat(part))
                continue
            slow = not scene.limit("dry").is_past(material.max_service.C)
            measures: list[Measure] = []
            rises: list[Measure] = []
            for patch, heat in heats:
                where = scene.place(part, patch)
                rise = heat.piece().rise_K
                measures.append(
                    scene.compare("peak", heat.hot_zone.peak_C, scene.limit("steam"),
                                  subject=part.name, where=where, path=layer.path,
                                  only=None if slow else (rise, scene.limit("fast")))
                )  # fmt: skip
                if not slow:
                    rises.append(
                        scene.compare("rise in a quarter of an hour", rise, scene.limit("fast"),
                                      subject=part.name, where=where, path=layer.path,
                                      only=(heat.hot_zone.peak_C, scene.limit("steam")))
                    )  # fmt: skip
            if not scene.worst(measures).counts:
                continue
            at = max(range(len(measures)), key=lambda i: (measures[i].past, measures[i].high))
            moves: list[Move] = []
            if index == 0:
                use = "blanket" if part.kind in CAPS else "lining"
                moves.append(Insulate(part=part.path, index=0, use=use))
            moves.append(Swap(layer=layer.path, use="soapstone"))
            yield scene.finding(
                part,
                path=(*layer.path, "material"),
                walk_to=scene.walk_to(part, measures[at].where, scene.face(index)),
                found=f"{layer.material} in {part.name}",
                measures=(measures[at], *rises[at : at + 1]),
                why=WHY,
                stakes=DRINKS[material.moisture_risk],
                moves=tuple(moves),
            )
