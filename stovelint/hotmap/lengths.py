"""How long a layer is, for its growth: a drawn piece, or the whole of it."""

from __future__ import annotations

from typing import Mapping

from stovelint.build import Layer, Part
from stovelint.hotmap.patches import OPENING_KINDS, UPRIGHT_KINDS
from stovelint.hotmap.zones import Room


def length_m(part: Part, layer: Layer, chambers: Mapping[str, Room]) -> float | None:
    """Longest length of a layer that moves as one, m; None where no length is drawn.

    The longer side of its pieces, or its span; else the whole layer: of a wall the longest side
    of its chamber out to the far face of the layer, of what lies the longer side of the chamber
    with its bearings, along a bench its run.
    """
    if layer.pieces_m is not None:
        return max(layer.pieces_m)
    if layer.span_m is not None:
        return layer.span_m
    if part.kind in OPENING_KINDS:
        return None
    lengths = [whole_m(part, layer, chambers[name]) for name in part.bounds if name in chambers]
    return max(lengths, default=None)


def whole_m(part: Part, layer: Layer, room: Room) -> float:
    """The whole layer's longest side at one of its chambers."""
    if room.lying:
        start, end = part.along_m or (0.0, room.length_m)
        return end - start
    if part.kind in UPRIGHT_KINDS:
        return max(_sides_m(room, part.sides)) + 2.0 * _far_face_m(part, layer)
    return max(inside_m(room)) + 2.0 * (part.bearing.width_m if part.bearing is not None else 0.0)


def inside_m(room: Room) -> tuple[float, float]:
    """Both sides of what spans an upright chamber, or a lying one."""
    size = room.chamber.size
    if size.diameter_m and not room.lying:
        return size.diameter_m, size.diameter_m
    if room.lying:
        return room.length_m, size.width_m or size.diameter_m or 0.0
    return size.width_m or 0.0, size.depth_m or 0.0


def _sides_m(room: Room, sides: tuple[str, ...]) -> list[float]:
    diameter = room.chamber.size.diameter_m
    return [diameter] if diameter else [room.side_m(side) for side in sides or room.sides]


def _far_face_m(part: Part, layer: Layer) -> float:
    depth = 0.0
    for one in part.layers:
        depth += one.thickness_m
        if one.path == layer.path:
            break
    return depth
