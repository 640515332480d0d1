"""A wall towards a room that stays too warm to lean against."""

from __future__ import annotations

from typing import Iterator

from stovelint.rule import Outcome, Scene, rule


@rule(stakes="performance")
def warm_back(scene: Scene) -> Iterator[Outcome]:
    """Walls that face the room, by the peak of their outer face.

    Looks at: every wall towards the room, at its outer face in the usual firing.
    Needs: the heat of the wall.
    Silent: up to the limit, and for whatever faces something else than the room.
    """
    limit = scene.limit("lean")
    for part in scene.parts("wall"):
        if part.faces != "room":
            continue
        patches = scene.patches(part, "usual")
        if not patches:
            yield scene.no_heat(part)
            continue
        found = [
            scene.compare("peak", patch.layers[-1].cold.peak_C, limit, subject=part.name,
                          where=scene.place(part, patch), path=part.path)
            for patch in patches
        ]  # fmt: skip
        worst = scene.worst(found)
        if worst.counts:
            yield scene.finding(
                part, path=part.path, walk_to=scene.walk_to(part, worst.where, "outer face"),
                found=f"the room side of {part.name}", measures=(worst,),
                why="nobody leans against a wall this warm for long", moves=(),
            )
