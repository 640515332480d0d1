"""What a cap or lintel carries of its own, over the span that the plan gives it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Mapping

from stovelint.build import Layer, Part
from stovelint.catalogue.catalogue import Catalogue
from stovelint.heat.deadload import one_way, round_plate, two_way, weight_Pa
from stovelint.hotmap.lengths import inside_m
from stovelint.hotmap.patches import TOP_KINDS, UPRIGHT_KINDS
from stovelint.hotmap.ranges import Range, end_of
from stovelint.hotmap.zones import Room, ends_m

FITS_M = 0.005
"""How much shorter than span and bearings a piece may be drawn: sizes are rounded."""


@dataclass(frozen=True, kw_only=True)
class Carried:
    """A layer that carries."""

    stress_Pa: Range
    span_m: float
    both_ways: bool


def carries(part: Part, catalogue: Catalogue) -> int | None:
    """The layer of a cap that carries the rest: the lowest that is stiff and has a strength."""
    if part.kind not in TOP_KINDS:
        return None
    for index, layer in enumerate(part.layers):
        if layer.material is not None and layer.role != "sacrificial":
            material = catalogue.get(layer.material)
            if not material.soft and material.flexural_strength_MPa is not None:
                return index
    return None


def own_weight(
    part: Part, index: int, chambers: Mapping[str, Room], gauges_m: Mapping[str, float],
    catalogue: Catalogue,
) -> Carried | None:  # fmt: skip
    """Bending stress of a layer from its own weight and, in a cap, that of the part's other layers.

    A layer with a `span` bends one way over it. Else that of a cap bends both ways where one piece
    covers its chamber, and one way over the longest side that its pieces reach across. The range
    is that of the densities. None: not a layer that carries, or no span is known.

    Args:
        part, index: the layer.
        chambers: by name.
        gauges_m: heights of courses.
        catalogue: the materials.
    """
    layer = part.layers[index]
    if part.kind in UPRIGHT_KINDS:
        low, high = ends_m(part, gauges_m)
        if layer.span_m is None or low is None or high is None:
            return None
        return _one_way(_load_Pa([layer], catalogue, high - low), layer.span_m, high - low)
    on_it = part.layers if index == carries(part, catalogue) else part.layers[index : index + 1]
    load = _load_Pa(on_it, catalogue)
    if layer.span_m is not None:
        return _one_way(load, layer.span_m, layer.thickness_m)
    room = chambers.get(part.bounds[0])
    if index != carries(part, catalogue) or room is None:
        return None
    sides = inside_m(room)
    t = layer.thickness_m
    if room.lying:
        return _one_way(load, min(sides), t)
    rest = 2.0 * (part.bearing.width_m if part.bearing is not None else 0.0)
    pieces = layer.pieces_m or (float("inf"), float("inf"))
    if min(pieces) + FITS_M >= min(sides) + rest and max(pieces) + FITS_M >= max(sides) + rest:
        if room.chamber.size.diameter_m:
            stress = [float(round_plate(w, sides[0], t)) for w in load]
        else:
            stress = [float(two_way(w, sides, t).stress_Pa) for w in load]
        return Carried(
            stress_Pa=Range(low=stress[0], mid=stress[1], high=stress[2]), span_m=min(sides),
            both_ways=True,
        )  # fmt: skip
    reached = [side for side in sides if side + rest <= max(pieces) + FITS_M]
    return _one_way(load, max(reached), t) if reached else None


def _one_way(load_Pa: list[float], span_m: float, thickness_m: float) -> Carried:
    low, mid, high = (float(one_way(w, span_m, thickness_m).stress_Pa) for w in load_Pa)
    return Carried(stress_Pa=Range(low=low, mid=mid, high=high), span_m=span_m, both_ways=False)


def _load_Pa(
    layers: list[Layer] | tuple[Layer, ...], catalogue: Catalogue, deep_m: float | None = None
) -> list[float]:
    """Weight on each m2, by low, typical and high density."""
    return [
        sum(
            float(weight_Pa(
                end_of(catalogue.get(one.material).density_kg_m3, end),
                one.thickness_m if deep_m is None else deep_m,
            ))
            for one in layers if one.material is not None and one.role != "sacrificial"
        )
        for end in range(3)
    ]  # fmt: skip
