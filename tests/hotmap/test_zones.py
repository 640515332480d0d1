"""Chambers cut into gas zones."""

from __future__ import annotations

from math import pi

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from stovelint.hotmap.zones import Room, rooms
from tests.heat.close import close
from tests.hotmap.plans import Tree, built, demo, plain, with_

ROUNDING = 1e-9


def bell(tree: Tree) -> Room:
    return rooms(built(tree))["bell"]


def edges(room: Room) -> list[float]:
    return [room.zones[0].high_m, *(zone.low_m for zone in room.zones)]


def test_zones_are_numbered_through_without_gaps() -> None:
    found = [zone for room in rooms(built(demo())).values() for zone in room.zones]
    assert [zone.index for zone in found] == list(range(len(found)))


def test_a_chimney_that_no_part_bounds_is_not_solved() -> None:
    assert "chimney" not in rooms(built(demo()))


@given(height_mm=st.integers(300, 3000), course=st.integers(1, 39), gauge_mm=st.integers(60, 250))
@example(height_mm=361, course=6, gauge_mm=60)  # a wall that ends within the crown does not cut it
def test_bands_fill_the_bell_and_keep_a_crown_of_fixed_height(
    height_mm: int, course: int, gauge_mm: int
) -> None:
    tree = with_(
        plain(),
        (("chambers", "bell", "size", "height"), f"{height_mm} mm"),
        (("chambers", "firebox", "leads_to"), "bell"),
        (("coursing",), {"datum": "floor", "gauges": {"row": f"{gauge_mm} mm"}}),
        (("parts", "bell-wall", "courses"), f"row 1-{course}"),
    )
    if course * gauge_mm > 3900:  # nobody stands a wall that high, and the format refuses it
        return
    height = height_mm / 1000.0
    found = edges(bell(tree))
    assert found[0] == pytest.approx(height, abs=ROUNDING)
    assert found[-1] == pytest.approx(0.0, abs=ROUNDING)
    steps = [high - low for high, low in zip(found, found[1:])]
    assert min(steps) > 0.0
    # heat.md: the crown has a cell of fixed height, or the cap drifts with the number of bands
    assert steps[0] == pytest.approx(min(0.15, height / 3.0), abs=ROUNDING)
    assert max(steps[1:]) <= 0.30 + ROUNDING
    cut, crown = course * gauge_mm / 1000.0, height - steps[0]
    if all(abs(cut - edge) >= 0.08 for edge in (0.0, crown)) and cut < crown:
        assert min(abs(cut - edge) for edge in found) < ROUNDING


@pytest.mark.parametrize("how", ["courses", "elevations"])
def test_bands_are_cut_where_parts_meet(how: str) -> None:
    """At 0.8 m, which is no multiple of the usual band, however the parts say it."""
    low, high = ("parts", "bell-wall-low"), ("parts", "bell-wall-high")
    if how == "courses":
        tree = with_(
            demo(), (("coursing", "gauges", "half"), "100 mm"),
            ((*low, "courses"), "block 1-4"), ((*high, "courses"), "half 9-16"),
        )  # fmt: skip
    else:
        tree = with_(
            demo(), ((*low, "courses"), None), ((*low, "to"), "800 mm"),
            ((*high, "courses"), None), ((*high, "from"), "800 mm"),
        )  # fmt: skip
    assert min(abs(edge - 0.8) for edge in edges(bell(tree))) < ROUNDING


def test_a_cut_too_near_another_is_left_out() -> None:
    tree = with_(demo(), (("parts", "bench-mouth", "courses"), None),
                 (("parts", "bench-mouth", "to"), "1245 mm"),
                 (("parts", "bell-wall-high", "courses"), "brick 17-22"))  # fmt: skip
    found = edges(bell(tree))
    assert min(abs(edge - 1.245) for edge in found) > 0.04  # 45 mm over the joint at 1.2 m
    assert min(high - low for high, low in zip(found, found[1:])) >= 0.08 - ROUNDING


def test_lying_chambers_are_cut_along_their_way() -> None:
    bench = rooms(built(demo()))["bench"]
    assert [z.low_m for z in bench.zones] == pytest.approx([0.0, 0.6, 1.2])
    assert [z.high_m for z in bench.zones] == pytest.approx([0.6, 1.2, 1.8])
    assert bench.lying and bench.length_m == 1.8


def test_sizes_of_the_chambers() -> None:
    found = rooms(built(demo()))
    source, because = "drawing of the demo plan, by hand", "written out to four digits"
    riser, bench, hollow = found["riser"], found["bench"], found["bell"]
    close([riser.plan_m2, riser.section_m2], [pi * 0.09**2] * 2, within=1e-9,
          because="the same closed form", source=source)  # fmt: skip
    close(riser.perimeter_m, 0.5655, within=1e-4, because=because, source=source)
    assert riser.hydraulic_diameter_m == 0.18
    close([hollow.plan_m2, hollow.perimeter_m], [0.752, 3.48], within=1e-4, because=because,
          source=source)  # fmt: skip
    close([bench.plan_m2, bench.perimeter_m, bench.section_m2], [0.72, 4.4, 0.12], within=1e-4,
          because=because, source=source)  # fmt: skip
    # 4 A / P of 400 x 300 mm
    close(bench.hydraulic_diameter_m, 0.48 / 1.4, within=1e-9,
          because="the same closed form", source="definition, 4 area over perimeter")  # fmt: skip
    assert [hollow.side_m(s) for s in ("front", "left", "back", "right")] == [0.8, 0.94, 0.8, 0.94]
    assert [bench.side_m(s) for s in ("front", "back", "end")] == [1.8, 1.8, 0.4]
    assert found["firebox"].bottom_m == 0.075 and found["firebox"].top_m == pytest.approx(0.555)
