"""What a piece of a layer feels along its length, at its drawn size."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from stovelint.build import FiringState, Layer, Part
    from stovelint.hotmap.records import Spread
    from stovelint.rule.scene import Scene

ROOM_C = 20.0


def along(
    scene: Scene, part: Part, layer: Layer, state: FiringState, half_m: float
) -> Spread | None:
    """Largest difference between the middle and an edge of a piece of this layer, K; None where
    there is nothing to compare.

    Args:
        half_m: half of a piece, m.

    Source: see `stovelint.hotmap.pieces`.
    """
    from stovelint.hotmap.pieces import along_K

    held, decay_m = scene.holding(part, layer, state), _decay_m(scene, layer)
    if decay_m is None:
        return None
    patches, pieces = [patch for patch, _ in held], [heat.piece() for _, heat in held]
    return along_K(patches, pieces, half_m=half_m, decay_m=decay_m)


def edge_bound_K(
    scene: Scene, part: Part, layer: Layer, state: FiringState, half_m: float
) -> float | None:
    """The most that `along` could be if an edge were as cool as the room, K; None where the layer
    has no heat."""
    from stovelint.hotmap import pieces

    held, decay_m = scene.holding(part, layer, state), _decay_m(scene, layer)
    if not held or decay_m is None:
        return None
    return pieces.edge_bound_K([heat.piece() for _, heat in held], half_m, decay_m)


def _decay_m(scene: Scene, layer: Layer) -> float | None:
    from stovelint.hotmap.pieces import decay_length_m

    material = scene.material(layer)
    if material is None or material.conductivity is None:
        return None
    return decay_length_m(float(material.conductivity.at(ROOM_C)), layer.thickness_m)
