"""Slabs that lie free or span, and what faces a fire: how they bow and what pulls in them."""

from __future__ import annotations

from dataclasses import dataclass

from stovelint.build import Build, Layer, Part
from stovelint.catalogue import Material
from stovelint.catalogue.catalogue import Catalogue
from stovelint.hotmap import slabstress
from stovelint.hotmap.lengths import inside_m, length_m
from stovelint.hotmap.ownweight import Carried, own_weight
from stovelint.hotmap.patches import OPENING_KINDS, TOP_KINDS
from stovelint.hotmap.ranges import Range
from stovelint.hotmap.records import CycleHeat, Unsolved
from stovelint.hotmap.slabstress import Held
from stovelint.hotmap.zones import Room, rooms

AT_THE_FIRE = ("firebox", "oven")
NO_SLAB = ("loose-fill", "fibre", "mortar", "board")
"""Classes that carry nothing and tear without harm."""


@dataclass(frozen=True, kw_only=True)
class Slab:
    """One layer; None: it does not apply, or a figure is missing (then `Slabs.open` says so)."""

    part: str
    layer: Layer
    strength_Pa: Range | None
    """In bending, at room temperature."""
    bow_m: Range | None
    over_m: float | None
    free_Pa: Range | None
    """From its own unevenness, free to grow and to bow."""
    flat_Pa: Range | None
    """The same, held flat."""
    rim_Pa: Range | None
    """Of one piece, hot in the middle: round the middle."""
    carried: Carried | None
    chill_K: Range | None
    """Sudden chill of its hot face that may start a crack."""


@dataclass(frozen=True, kw_only=True)
class Slabs:
    """All slabs of a plan in one firing state."""

    slabs: tuple[Slab, ...]
    open: tuple[Unsolved, ...]


def slabs(build: Build, cycle: CycleHeat, catalogue: Catalogue) -> Slabs:
    """Every stiff layer that caps a chamber, has drawn pieces or a span, or faces a fire.

    Args:
        build: the plan.
        cycle: one solved firing state of it.
        catalogue: the materials.

    Domes and vaults are in `open`: they carry otherwise. Left out without a word: layers whose heat
    is not judged, which is said elsewhere.
    """
    found: list[Slab] = []
    open_: list[Unsolved] = []
    chambers = rooms(build)
    for part in build.parts.values():
        if part.kind in OPENING_KINDS:
            continue
        patches = cycle.of_part(part.name)
        for index, layer in enumerate(part.layers):
            if layer.material is None or layer.role == "sacrificial":
                continue
            material = catalogue.get(layer.material)
            held = [(p, one) for p in patches for one in p.layers if one.layer.path == layer.path]
            drawn = layer.pieces_m is not None or layer.span_m is not None
            arched = part.shape is not None
            lies = (drawn or part.kind in TOP_KINDS) and not arched
            fires = index == 0 and _faces_fire(build, part, chambers)
            if material.soft or material.family in NO_SLAB or not (lies or arched or fires):
                continue
            if not held or any(one.unjudged is not None for _, one in held):
                continue
            if arched:
                open_.append(
                    Unsolved(
                        path=layer.path, subject=part.name, reason="it carries as an arch, and "
                        "only slabs are reckoned: not its pull, its bow or its thrust",
                        remedy="let a mason or an engineer judge its form and what holds its foot",
                    )
                )
            if not (lies or fires):
                continue
            missing = _missing(material)
            if missing is not None:
                open_.append(
                    Unsolved(
                        path=layer.path, subject=part.name, reason=missing, remedy="ask its maker"
                    )
                )
            found.append(
                _slab(
                    part, layer, material, held, chambers, lies=lies, fires=fires,
                    carried=None if arched
                    else own_weight(part, index, chambers, build.gauges_m, catalogue),
                )
            )  # fmt: skip
    return Slabs(slabs=tuple(found), open=tuple(open_))


def _faces_fire(build: Build, part: Part, chambers: dict[str, Room]) -> bool:
    """A base under a floor does not see the fire over it."""
    floors = [p for p in build.parts.values() if p.kind == "floor" and part.kind == "base"]
    covered = {name for one in floors for name in one.bounds}
    return any(
        chambers[name].chamber.kind in AT_THE_FIRE
        for name in part.bounds if name in chambers and name not in covered
    )  # fmt: skip


def _missing(material: Material) -> str | None:
    asked = (
        ("expansion", material.expansion_1e6_K), ("stiffness", material.youngs_modulus_GPa),
        ("bending strength", material.flexural_strength_MPa),
    )  # fmt: skip
    names = [name for name, figure in asked if figure is None]
    if not names:
        return None
    verb = "is" if len(names) == 1 else "are"
    return f"{' and '.join(names)} of {material.name} {verb} not known"


def _slab(
    part: Part, layer: Layer, material: Material, held: Held, chambers: dict[str, Room], *,
    lies: bool, fires: bool, carried: Carried | None,
) -> Slab:  # fmt: skip
    alpha, strength = material.expansion_1e6_K, material.flexural_strength_MPa
    over = length_m(part, layer, chambers)
    if layer.pieces_m is None and layer.span_m is None and _lying(part, chambers):
        over = None  # a run of bricks or slabs of which none is drawn does not bow as one
    return Slab(
        part=part.name, layer=layer, over_m=over, carried=carried,
        strength_Pa=None if strength is None else Range(
            low=1e6 * strength.low, mid=1e6 * strength.typical, high=1e6 * strength.high
        ),
        bow_m=None if alpha is None or over is None or not lies
        else slabstress.bow(held, alpha, over),
        free_Pa=slabstress.free(held, material) if lies else None,
        flat_Pa=slabstress.flat(held, material) if lies else None,
        rim_Pa=_rim(part, layer, material, held, chambers) if lies else None,
        chill_K=slabstress.chill(held, material) if fires else None,
    )  # fmt: skip


def _lying(part: Part, chambers: dict[str, Room]) -> bool:
    return any(chambers[name].lying for name in part.bounds if name in chambers)


def _rim(
    part: Part, layer: Layer, material: Material, held: Held, chambers: dict[str, Room]
) -> Range | None:
    """Only of a cap of one piece: what is cut gives way at its joints."""
    edge = next((one for one in held if one[0].where == "bearing edge"), None)
    span = next((one for one in held if one[0].where == "span"), None)
    room = chambers.get(part.bounds[0])
    if edge is None or span is None or room is None or layer.set == "loose":
        return None
    if layer.pieces_m is not None and min(layer.pieces_m) < min(inside_m(room)):
        return None
    return slabstress.rim(span, edge, material)
