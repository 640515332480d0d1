"""Naming a stretch of wall by its courses, as a mason counts them."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Mapping

if TYPE_CHECKING:
    from stovelint.build import Part
    from stovelint.hotmap.records import PatchHeat

CLOSE = 1e-6


def place_name(part: Part, patch: PatchHeat, gauges_m: Mapping[str, float]) -> str:
    """`course 3`, `courses 3 to 5`, or the patch's own name where the part has no courses.

    Course n of a gauge reaches from (n - 1) gauges to n gauges above the datum. A course that a
    patch only cuts belongs to it.

    Args:
        part: the part.
        patch: one of its patches; elevations in m.
        gauges_m: height of a course of each gauge, m.
    """
    if part.courses is None:
        return patch.where
    gauge = gauges_m[part.courses.gauge]
    first = max(part.courses.first, math.floor(patch.from_m / gauge + CLOSE) + 1)
    last = min(part.courses.last, math.ceil(patch.to_m / gauge - CLOSE))
    return f"course {first}" if first >= last else f"courses {first} to {last}"
