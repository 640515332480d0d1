"""All cases that are driven, in the order of the table."""

from __future__ import annotations

from typing import Callable

from tests.experiments import (
    doorway, heated_gap, room_with_doorway, room_with_fire, stacked_boxes, wall_behind_fire,
)  # fmt: skip
from tests.experiments.point import Point

CASES: dict[str, Callable[[], tuple[Point, ...]]] = {
    wall_behind_fire.CASE: wall_behind_fire.points,
    room_with_fire.CASE: room_with_fire.points,
    stacked_boxes.CASE: stacked_boxes.points,
    room_with_doorway.CASE: room_with_doorway.points,
    doorway.CASE: doorway.points,
    heated_gap.CASE: heated_gap.points,
}
