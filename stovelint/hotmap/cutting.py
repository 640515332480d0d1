"""What the cutting of parts works on: the build, its rooms, and what came out so far."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Mapping, Sequence

from stovelint.build import Build, Layer, Part
from stovelint.heat.network import GROUND, OUTDOORS, ROOM
from stovelint.hotmap.patches import Patch
from stovelint.hotmap.records import Unsolved
from stovelint.hotmap.stack import Leaf, leaves
from stovelint.hotmap.zones import Room

AMBIENT = {"room": ROOM, "outdoors": OUTDOORS, "ground": GROUND}


@dataclass(frozen=True, kw_only=True, eq=False)
class Cutting:
    """`families` maps material names to classes; `claimed` sums upright area per chamber (m2)."""

    build: Build
    rooms: Mapping[str, Room]
    families: Mapping[str, str]
    gauges_m: Mapping[str, float]
    patches: list[Patch] = field(default_factory=list)
    unsolved: list[Unsolved] = field(default_factory=list)
    claimed: dict[str, float] = field(default_factory=dict)

    def cannot(self, part: Part, reason: str, remedy: str) -> None:
        """Note a part that could not be placed."""
        self.unsolved.append(
            Unsolved(path=part.path, subject=part.name, reason=reason, remedy=remedy)
        )

    def stack(
        self, parts: list[Part], on_soil: bool, more: Sequence[tuple[str, Layer]] = (),
        between_joists: bool = False, lying: bool = False,
    ) -> tuple[Leaf, ...]:  # fmt: skip
        """The parts' layers as leaves, hot side first, then `more` (with whose they are), with the
        ground under them if it is so."""
        layers: list[tuple[str, Layer]] = [(p.name, layer) for p in parts for layer in p.layers]
        layers.extend(more)
        return leaves(layers, self.families, on_soil, between_joists, lying)
