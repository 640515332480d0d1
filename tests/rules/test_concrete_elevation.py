"""Concrete by course: each limit below, on and above; moved by 1 %; by place and not by name."""

from __future__ import annotations

import sys
from types import ModuleType
from typing import Callable

import pytest

from stovelint.build import Part
from stovelint.hotmap.records import HotMap, Unsolved
from stovelint.rule import Finding
from stovelint.rulebook import Rule
from tests.rules import make
from tests.rules.make import layer, layer_heat, open_rule, patch, run, spread
from tests.rules.witness import Witness

RULE = open_rule("concrete-elevation")
MODULE: ModuleType = sys.modules["stovelint_rule_concrete_elevation"]


def block_wall(material: str = "hollow-block-normal") -> Part:
    return make.part("bell-wall", "wall", [layer(material, 0.14)], courses=("block", 1, 5))


def heat(
    wall: Part, *, peak_C: float = 80.0, mean_C: float = 50.0, bulk_C: float = 40.0,
    hours: float = 0.0,
) -> HotMap:  # fmt: skip
    one = layer_heat(
        wall.layers[0], spread(peak_C), spread(mean_C), bulk=spread(bulk_C), hours=hours
    )
    return make.hot([patch(wall, [one], where="0.00 to 1.00 m")])


def found(wall: Part, map_: HotMap, rule: Rule = RULE) -> tuple[Finding, ...]:
    return run(rule, make.build([wall]), map_).findings


def witness(stakes: str, at: Callable[[float], HotMap]) -> Witness:
    return Witness(
        says=lambda value, rule: any(
            f.stakes == stakes for f in found(block_wall(), at(value), rule)
        )
    )


WITNESSES = [
    ("mean", witness("breakage", lambda t: heat(block_wall(), mean_C=t))),
    ("excursion", witness("breakage", lambda t: heat(block_wall(), peak_C=t))),
    ("bulk", witness("advice", lambda t: heat(block_wall(), bulk_C=t))),
    ("daily", witness("advice", lambda t: heat(block_wall(), peak_C=t))),
]


def test_one_case_of_32_is_no_finding_but_stops_a_remedy() -> None:
    wall = block_wall()
    values = spread(*([50.0] * 31 + [94.0]))
    one = layer_heat(wall.layers[0], spread(80.0), values, bulk=spread(40.0))
    map_ = make.hot([patch(wall, [one])])
    assert run(RULE, make.build([wall]), map_).findings == ()
    assert len(run(RULE, make.build([wall]), map_, strict=True).findings) == 1


def test_the_finding_points_at_the_material_and_names_the_courses() -> None:
    wall = block_wall()
    cool = layer_heat(wall.layers[0], spread(120.0), spread(60.0))
    warm = layer_heat(wall.layers[0], spread(220.0), spread(90.0))
    map_ = make.hot([
        patch(wall, [cool], where="0.00 to 0.40 m", from_m=0.0, to_m=0.4),
        patch(wall, [warm], where="0.40 to 1.00 m", from_m=0.4, to_m=1.0),
    ])  # fmt: skip
    (finding,) = found(wall, map_)
    assert finding.path == ("parts", "bell-wall", "layers", 0, "material")
    assert finding.walk_to == "bell / courses 3 to 5 / hot face"
    assert finding.level == "error"
    # Peak 175 is reached at 0.2 + 0.5 * (175 - 120) / (220 - 120) = 0.475 m: course 2 ends at 0.4.
    assert [note.text for note in finding.notes] == [
        "the mean limit holds in every case up to block course 5",
        "the excursion limit holds in every case up to block course 2",
    ]


@pytest.mark.parametrize("material", ["clay-brick-common", "castable-dense-fireclay", "soapstone"])
def test_what_is_not_cement_is_not_its_business(material: str) -> None:
    wall = block_wall(material)
    assert found(wall, heat(wall, peak_C=600.0, mean_C=300.0)) == ()


@pytest.mark.parametrize("kind", ["cap", "base", "floor", "bench-top"])
def test_only_walls(kind: str) -> None:
    slab = make.part("slab", kind, [layer("concrete-normal-siliceous")])  # type: ignore[arg-type]
    assert found(slab, heat(slab, peak_C=600.0, mean_C=300.0)) == ()


def test_the_same_material_under_another_name_gets_the_same_verdict() -> None:
    def verdict(name: str) -> list[tuple[object, ...]]:
        wall = block_wall(name)
        return [(f.stakes, f.level, f.measures) for f in found(wall, heat(wall, peak_C=180.0))]

    make.CATALOGUE._extra["quay-block"] = make.CATALOGUE._row("hollow-block-normal")
    assert verdict("quay-block") == verdict("hollow-block-normal") != []


def test_a_wall_without_heat_is_asked_about() -> None:
    wall = block_wall()
    reason = Unsolved(path=wall.path, subject="bell-wall", reason="no chamber", remedy="add it")
    done = run(RULE, make.build([wall]), make.hot(unsolved=[reason]))
    assert [(q.subject, q.reason, q.remedy) for q in done.unjudged] == [
        ("bell-wall", "no chamber", "add it")
    ]


def test_a_layer_without_a_property_is_asked_about() -> None:
    wall = block_wall()
    one = layer_heat(wall.layers[0], spread(300.0), spread(200.0), unjudged="no conductivity")
    done = run(RULE, make.build([wall]), make.hot([patch(wall, [one])]))
    assert done.findings == () and done.unjudged[0].reason == "no conductivity"


def test_hours_are_told_as_advice_once_for_the_part() -> None:
    wall = block_wall()
    one = layer_heat(wall.layers[0], spread(130.0), spread(70.0), bulk=spread(66.0), hours=2.5)
    bands = [patch(wall, [one], from_m=0.0, to_m=0.5), patch(wall, [one], from_m=0.5, to_m=1.0)]
    (advice,) = found(wall, make.hot(bands))
    assert advice.stakes == "advice" and advice.level == "note"
    assert [m.mid for m in advice.measures if m.unit == "h"] == [2.5]


# Exact sums by hand: straight lines between points, level beyond the ends.
@pytest.mark.parametrize(
    ("profile", "limit", "expected"),
    [
        ([(0.5, 80.0), (1.5, 120.0)], 100.0, 1.0),
        ([(1.5, 120.0), (0.5, 80.0)], 100.0, 1.0),  # any order
        ([(0.5, 80.0), (1.5, 120.0)], 80.0, 0.5),
        ([(0.5, 80.0), (1.5, 120.0)], 79.9, 0.0),
        ([(0.5, 80.0), (1.5, 120.0)], 120.0, 2.0),
        ([(0.5, 80.0), (0.5, 130.0), (1.5, 60.0)], 100.0, 0.0),  # the hotter of two counts
        ([(0.5, 80.0), (1.0, 120.0), (1.5, 60.0)], 100.0, 0.75),  # a cool top does not count
        ([(1.0, 90.0)], 93.0, 2.0),
    ],
)
def test_how_high_a_profile_stays_below(
    profile: list[tuple[float, float]], limit: float, expected: float
) -> None:
    assert MODULE.stays_below_up_to(profile, limit, 0.0, 2.0) == pytest.approx(expected, abs=1e-12)


@pytest.mark.parametrize(
    ("up_to", "course"),
    [(0.0, None), (0.199, None), (0.2, 1), (0.399, 1), (0.4, 2), (1.0, 5), (3.0, 5), (0.6, 3)],
)
def test_a_course_passes_by_its_top(up_to: float, course: int | None) -> None:
    assert MODULE.highest_course(up_to, 0.2, 1, 5) == course
