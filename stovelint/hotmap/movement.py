"""How far the layers of a plan grow, what their gaps keep, and how far a cap slides on its wall.

Growth is free growth from the room's temperature, at the time when the mean through the thickness
is highest. A length is that of the largest piece, or of the whole layer where no piece is drawn;
it takes the heat of the hottest place, but along a bench that of all its length.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Sequence

import numpy as np
from numpy.typing import NDArray

from stovelint.build import Build, Layer, Part
from stovelint.catalogue import Material
from stovelint.catalogue.catalogue import Catalogue
from stovelint.catalogue.concrete import strain_end_C
from stovelint.catalogue.growth import MADE_C, free_growth
from stovelint.hotmap.joints import Grown, Joint, Slide, Strains, between, slide
from stovelint.hotmap.lengths import length_m
from stovelint.hotmap.patches import OPENING_KINDS, UPRIGHT_KINDS
from stovelint.hotmap.ranges import Range, ranged
from stovelint.hotmap.records import CycleHeat, LayerHeat, PatchHeat, Unsolved
from stovelint.hotmap.zones import rooms

Floats = NDArray[np.float64]
LEFT_OUT = ("loose-fill", "fibre", "mortar")
"""Classes that give way, or move with what they lie between."""


@dataclass(frozen=True, kw_only=True, eq=False)
class Growth:
    """One layer that grows."""

    part: str
    layer: Layer
    length_m: float
    of_piece: bool
    """Whether that is a drawn piece, not the whole layer."""
    mean_peak_C: Range
    grows_m: Range


@dataclass(frozen=True, kw_only=True, eq=False)
class Movement:
    """What moves in one firing state."""

    growths: tuple[Growth, ...]
    joints: tuple[Joint, ...]
    slides: tuple[Slide, ...]
    open: tuple[Unsolved, ...]


def movement(build: Build, cycle: CycleHeat, catalogue: Catalogue) -> Movement:
    """Free growth of every solid layer, and what becomes of the gaps and bearings between them.

    Args:
        build: the plan.
        cycle: one solved firing state of it.
        catalogue: the materials.

    Left out without a word: what is soft or loose, gaps, and what burns out. What grows but has no
    figure is in `open`. Joints are those of upright skins, whose growth has a middle.
    """
    growths, joints, slides, open_ = [], [], [], list[Unsolved]()
    chambers = rooms(build)
    for part in build.parts.values():
        patches = cycle.of_part(part.name)
        if not patches:
            continue
        known: dict[int, Grown] = {}
        for index, layer in enumerate(part.layers):
            material = _solid(layer, catalogue)
            if material is None:
                continue
            length = length_m(part, layer, chambers)
            held = [(p, one) for p in patches for one in p.layers if one.layer.path == layer.path]
            means = _means(part, layer, held)
            why = _why(part, material, length, held, means)
            if why is not None or length is None:
                open_.append(_unsolved(part, layer, *(why or ("", ""))))
                continue
            strains = [_strain(material, mean, build.site.room_C) for mean in means]
            known[index] = Grown(length_m=length, strains=strains)
            growths.append(
                Growth(
                    part=part.name, layer=layer, length_m=length,
                    of_piece=layer.pieces_m is not None or layer.span_m is not None,
                    mean_peak_C=ranged([(m.max(axis=1),) * 3 for m in means]),
                    grows_m=ranged([
                        tuple(length * one.max(axis=1) for one in strain) for strain in strains
                    ]),
                )
            )  # fmt: skip
        if part.kind in UPRIGHT_KINDS:
            joints += between(part, known, catalogue)
        carrier = build.parts.get(part.carried_by or "")
        under = None if carrier is None else _top_of(carrier, cycle, catalogue, build.site.room_C)
        if known and under is not None:
            slides.append(slide(part.name, str(part.carried_by), known[min(known)], under))
    return Movement(
        growths=tuple(growths), joints=tuple(joints), slides=tuple(slides), open=tuple(open_)
    )


def _solid(layer: Layer, catalogue: Catalogue) -> Material | None:
    if layer.material is None or layer.role == "sacrificial":
        return None
    material = catalogue.get(layer.material)
    gives = material.family in LEFT_OUT or material.soft or material.combustible
    return None if gives else material


def _means(
    part: Part, layer: Layer, held: Sequence[tuple[PatchHeat, LayerHeat]]
) -> list[Floats]:
    """Mean through the layer over the cycle, for each damper state: of the hottest place in each
    case, or along a lying chamber of the whole length."""
    bodies = [one.body() for _, one in held]
    whole = layer.pieces_m is None and layer.span_m is None
    lengths = [p.along_m[1] - p.along_m[0] if p.along_m else 0.0 for p, _ in held]
    result = []
    for run in range(len(bodies[0].mean_C) if bodies else 0):
        every = np.array([body.mean_C[run] for body in bodies])
        if whole and min(lengths) > 0.0 and part.along_m is None:
            result.append(np.tensordot(np.array(lengths) / sum(lengths), every, axes=1))
            continue
        hottest = every.max(axis=2).argmax(axis=0)
        result.append(every[hottest, np.arange(every.shape[1])])
    return result


def _why(
    part: Part, material: Material, length: float | None,
    held: Sequence[tuple[PatchHeat, LayerHeat]], means: list[Floats],
) -> tuple[str, str] | None:  # fmt: skip
    """Reason and remedy where a growth is not reckoned."""
    if not held:
        return "its heat was not computed", "see the open questions"
    unjudged = next((one.unjudged for _, one in held if one.unjudged is not None), None)
    if unjudged is not None:
        return unjudged, "name a material whose figures reach so far"
    if length is None:
        opening = part.kind in OPENING_KINDS
        return "its length is not drawn", (
            "leave it room all round as its maker says" if opening else "add `pieces`"
        )
    if material.free_strain is None and material.expansion_1e6_K is None:
        return f"the expansion of {material.name} is not known", "ask its maker how far it grows"
    if material.free_strain is not None:
        end = strain_end_C(material.free_strain)
        if max(float(m.max()) for m in means) > end:
            return f"the growth of {material.name} is known to {end:.0f} degC", "keep it cooler"
    return None


def _unsolved(part: Part, layer: Layer, reason: str, remedy: str) -> Unsolved:
    return Unsolved(path=layer.path, subject=part.name, reason=reason, remedy=remedy)


def _strain(material: Material, mean_C: Floats, room_C: float) -> Strains:
    """Free strain from the room's temperature; curves that start at 20 degC count from there."""
    least = MADE_C if material.free_strain is not None else -np.inf
    grown = free_growth(material, np.maximum(mean_C, least))
    built = free_growth(material, np.asarray(max(room_C, least)))
    assert grown is not None and built is not None  # asked before
    low, typical, high = (g - b for g, b in zip(grown, built))
    return np.minimum(low, high), typical, np.maximum(low, high)


def _top_of(
    carrier: Part, cycle: CycleHeat, catalogue: Catalogue, room_C: float
) -> list[Strains] | None:
    """Strain of the layer at the hot side of a wall, at its top, where a cap rests."""
    below = cycle.of_part(carrier.name)
    if not below or not below[-1].layers:
        return None
    wall = below[-1].layers[0]
    material = _solid(wall.layer, catalogue)
    if material is None:
        return None
    means = list(wall.body().mean_C)
    if _why(carrier, material, 1.0, [(below[-1], wall)], means) is not None:
        return None
    return [_strain(material, mean, room_C) for mean in means]
