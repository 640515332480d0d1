"""Naming by courses: course n reaches from (n - 1) to n gauges above the datum."""

from __future__ import annotations

import pytest

from stovelint.rule.courses import place_name
from tests.rules import make
from tests.rules.make import layer, patch

GAUGES = {"block": 0.2, "brick": 0.075}


@pytest.mark.parametrize(
    ("from_m", "to_m", "name"),
    [
        (0.0, 0.2, "course 1"), (0.2, 0.4, "course 2"), (0.0, 0.4, "courses 1 to 2"),
        (0.3, 0.6, "courses 2 to 3"), (0.3, 0.35, "course 2"), (0.8, 3.0, "course 5"),
        (0.6000000001, 0.8, "course 4"),
    ],
)  # fmt: skip
def test_courses_of_a_stretch(from_m: float, to_m: float, name: str) -> None:
    wall = make.part("wall", "wall", [layer("slate")], courses=("block", 1, 5))
    assert place_name(wall, patch(wall, [], from_m=from_m, to_m=to_m), GAUGES) == name


def test_a_part_without_courses_keeps_the_name_of_the_patch() -> None:
    wall = make.part("wall", "wall", [layer("slate")])
    assert place_name(wall, patch(wall, [], where="0.00 to 0.30 m"), GAUGES) == "0.00 to 0.30 m"
