"""Growth of layers, gaps between skins and caps on their walls, by hand."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from stovelint.build import Build, Layer, Part, PartKind, Side, Size
from stovelint.catalogue.concrete import free_strain
from stovelint.hotmap.joints import Grown, Strains, between, slide
from stovelint.hotmap.lengths import length_m
from stovelint.hotmap.movement import Growth, Movement, movement
from stovelint.hotmap.ranges import Range, by_ends, middle, ranged
from stovelint.hotmap.records import PatchHeat
from stovelint.hotmap.zones import rooms
from tests.heat.close import close
from tests.rules import make

BRICK = "clay-brick-common"  # 4, 6, 8e-6/K; firebrick 4.5, 5.5, 6.5


def told(build: Build, *patches: PatchHeat) -> Movement:
    return movement(build, make.hot(patches).cycles["hardest"], make.CATALOGUE)


def warm(of: Part, *temps_C: float, where: str = "span", along: tuple[float, float] | None = None,
         unjudged: str | None = None) -> PatchHeat:  # fmt: skip
    layers = [
        make.layer_heat(one, make.spread(t), make.spread(t), unjudged=unjudged)
        for one, t in zip(of.layers, temps_C)
    ]  # fmt: skip
    return make.patch(of, layers, where=where, along_m=along)


def mm(values: Range) -> list[float]:
    return [1000.0 * x for x in (values.low, values.mid, values.high)]


def only(found: Movement) -> Growth:
    (one,) = found.growths
    return one


def test_a_wall_grows_by_its_longest_side_to_its_far_face() -> None:
    """0.9 m deep inside, 0.1 m thick: 1.1 m; 100 K over the room at 6e-6 (4 to 8)."""
    of = make.part("wall", "wall", [make.layer(BRICK, 0.1)])
    one = only(told(make.build([of]), warm(of, 120.0)))
    assert one.length_m == pytest.approx(1.1) and not one.of_piece
    assert mm(one.grows_m) == pytest.approx([0.44, 0.66, 0.88])
    assert (one.mean_peak_C.low, one.mean_peak_C.mid, one.mean_peak_C.high) == (120.0,) * 3


def test_it_counts_from_the_room() -> None:
    of = make.part("wall", "wall", [make.layer(BRICK, 0.1)])
    build = make.build([of])
    cool = replace(build, site=replace(build.site, room_C=12.0))
    assert mm(only(told(cool, warm(of, 120.0))).grows_m)[1] == pytest.approx(1.1 * 6e-3 * 108.0)


def test_the_hottest_course_counts_and_each_case_has_its_own() -> None:
    of = make.part("wall", "wall", [make.layer(BRICK, 0.1)])
    half = make.CASES // 2
    first = make.spread(*([120.0] * half + [220.0] * half))
    patches = [
        make.patch(of, [make.layer_heat(of.layers[0], peak, peak)])
        for peak in (first, make.spread(170.0))
    ]
    one = only(told(make.build([of]), *patches))
    assert (one.mean_peak_C.low, one.mean_peak_C.high) == (170.0, 220.0)
    assert mm(one.grows_m) == pytest.approx([1.1 * 4e-3 * 150, 1.1 * 6e-3 * 175, 1.1 * 8e-3 * 200])


def bench(kind: PartKind = "wall", **size: float | None) -> tuple[Part, Build]:
    of = make.part("side", kind, [make.layer(BRICK, 0.1)], bounds=("bench",))
    run = make.chamber("bench", "bench")
    sized = replace(run, size=Size(length_m=2.0, width_m=0.4, height_m=0.3))
    return of, make.build([of], chambers=[sized])


def test_along_a_bench_all_of_its_length_counts() -> None:
    """0.5 m at 220, 1.5 m at 100: mean 130 over 2 m; a piece takes the hottest place."""
    of, build = bench()
    patches = warm(of, 220.0, along=(0.0, 0.5)), warm(of, 100.0, along=(0.5, 2.0))
    one = only(told(build, *patches))
    assert one.length_m == 2.0 and one.mean_peak_C.mid == pytest.approx(130.0)
    cut = replace(of, layers=(replace(of.layers[0], pieces_m=(0.4, 0.6)),))
    piece = only(told(build_with(build, cut), *patches))
    assert (piece.length_m, piece.of_piece, piece.mean_peak_C.mid) == (0.6, True, 220.0)
    half = replace(of, along_m=(0.5, 2.0))
    assert only(told(build_with(build, half), patches[1])).length_m == 1.5


def build_with(build: Build, *parts: Part) -> Build:
    return replace(build, parts={one.name: one for one in parts})


def test_concrete_follows_its_curve() -> None:
    of = make.part("cap", "cap", [make.layer("concrete-normal-siliceous", 0.06)])
    one = only(told(make.build([of]), warm(of, 300.0)))
    assert one.length_m == pytest.approx(0.9 + 2 * 0.1)  # it bears on 100 mm all round
    close(mm(one.grows_m), [1100.0 * float(free_strain("siliceous", 300.0))] * 3, within=1e-4,
          because="2e-7 instead of nothing at 20 degC", source="EN 1992-1-2 cl. 3.3.1")  # fmt: skip
    cold = only(told(make.build([of]), warm(of, 5.0)))
    assert cold.grows_m.high == 0.0


@pytest.mark.parametrize(
    ("kind", "material", "temp_C", "why", "reason"),
    [
        ("cap", "calcium-silicate-insulation", 90.0, None, "the expansion of calcium-silicate"),
        ("wall", BRICK, 90.0, "no k for it", "no k for it"),
        ("door", "mild-steel", 90.0, None, "its length is not drawn"),
        ("wall", "concrete-normal-siliceous", 1250.0, None, "is known to 1200 degC"),
    ],
)
def test_what_is_not_reckoned_is_said(
    kind: PartKind, material: str, temp_C: float, why: str | None, reason: str
) -> None:
    of = make.part("it", kind, [make.layer(material, 0.1)])
    found = told(make.build([of]), warm(of, temp_C, unjudged=why))
    (case,) = found.open
    assert found.growths == () and reason in case.reason and case.remedy
    assert (case.subject, case.path) == ("it", ("parts", "it", "layers", 0))


@pytest.mark.parametrize(
    "layer",
    [
        make.layer("ceramic-fibre-blanket-128", 0.05), make.layer("perlite-loose", 0.05),
        make.layer("softwood", 0.05), make.layer("mortar-clay-sand", 0.05),
        make.layer(gap="closed", thickness_m=0.01), make.layer("burn-out-card", 0.004, role="s"),
    ],
)  # fmt: skip
def test_what_gives_is_left_out(layer: Layer) -> None:
    of = make.part("it", "wall", [layer])
    found = told(make.build([of]), warm(of, 90.0))
    assert (found.growths, found.open) == ((), ())


def skins(between_them: Layer) -> Part:
    return make.part("skins", "wall", [
        make.layer("firebrick-medium-duty", 0.064), between_them, make.layer(BRICK, 0.102),
    ])  # fmt: skip


def test_the_gap_between_two_skins() -> None:
    """Inner 0.9 + 0.128 = 1.028 m, 5.5e-6, 300 K: 1.696 mm; outer 0.9 + 2 x 0.17 = 1.24 m, 6e-6,
    100 K: 0.744 mm; half of what is between them is taken from 4 mm."""
    of = skins(make.layer("burn-out-card", 0.004, role="sacrificial"))
    (joint,) = told(make.build([of]), warm(of, 320.0, 200.0, 120.0)).joints
    inner = [1.028 * a * 0.3 for a in (4.5, 5.5, 6.5)]
    outer = [1.24 * a * 0.1 for a in (4.0, 6.0, 8.0)]
    by_hand = [4.0 - 0.5 * (i - o) for i, o in zip(inner[::-1], outer)]
    assert mm(joint.left_m) == pytest.approx(by_hand)
    assert (joint.between, joint.drawn_m, joint.needs_m) == ("burnt-out gap", 0.004, None)
    assert (joint.inner, joint.outer) == ("firebrick-medium-duty", BRICK)


def test_a_soft_joint_is_told_how_thick_it_must_be() -> None:
    """0.476 mm at 50 to 30 % of its thickness."""
    of = skins(make.layer("ceramic-fibre-paper", 0.004))
    (joint,) = told(make.build([of]), warm(of, 320.0, 200.0, 120.0)).joints
    moves = 0.5e-3 * (1.028 * 5.5 * 0.3 - 1.24 * 6.0 * 0.1)
    assert joint.needs_m == pytest.approx((moves / 0.5, moves / 0.3))
    assert joint.between == "ceramic-fibre-paper"


@pytest.mark.parametrize("hard", ["mortar-clay-sand", "perlite-loose"])
def test_skins_with_something_hard_between_have_no_gap(hard: str) -> None:
    of = skins(make.layer(hard, 0.01))
    assert told(make.build([of]), warm(of, 320.0, 200.0, 120.0)).joints == ()


def test_two_gaps_are_two_joints_and_lying_parts_have_none() -> None:
    layers = [make.layer(BRICK, 0.1), make.layer(gap="closed", thickness_m=0.006)]
    of = make.part("skins", "wall", [*layers, *layers, make.layer(BRICK, 0.1)])
    temps = (300.0, 250.0, 200.0, 150.0, 100.0)
    joints = told(make.build([of]), warm(of, *temps)).joints
    assert [joint.between for joint in joints] == ["closed gap"] * 2
    flat = replace(of, kind="cap")
    assert told(make.build([flat]), warm(flat, *temps)).joints == ()


def test_the_worst_time_and_the_worse_damper_count() -> None:
    """Gap of 1 mm; lengths 1 m; the inner one runs ahead at the second sample of the second run."""
    of = skins(make.layer(gap="closed", thickness_m=0.001))

    def strains(*rows: tuple[float, float]) -> list[Strains]:
        return [(np.array([row]),) * 3 for row in rows]

    known = {
        0: Grown(length_m=1.0, strains=strains((1e-3, 1e-3), (1e-3, 3e-3))),
        2: Grown(length_m=1.0, strains=strains((0.0, 1e-3), (1e-3, 0.5e-3))),
    }
    (joint,) = between(of, known, make.CATALOGUE)
    assert joint.left_m.low == joint.left_m.mid == pytest.approx(1e-3 - 0.5 * 2.5e-3)
    assert joint.left_m.high == pytest.approx(0.5e-3)


def test_a_cap_slides_on_its_wall() -> None:
    """Cap 1.1 m at 220 degC on brick of 120 on top: 0.55 x (5.5 x 200 - 6 x 100) = 0.275 mm;
    at the ends of the ranges nothing less than |4.5 x 200 - 8 x 100| and 6.5 x 200 - 4 x 100."""
    wall = make.part("wall", "wall", [make.layer(BRICK, 0.1)])
    cap = replace(make.part("cap", "cap", [make.layer("castable-dense-fireclay", 0.06)]),
                  carried_by="wall")  # fmt: skip
    low, top = warm(wall, 320.0), warm(wall, 120.0)
    build = make.build([wall, cap])
    (found,) = told(build, low, replace(top, from_m=1.0), warm(cap, 220.0)).slides
    assert mm(found.moves_m) == pytest.approx([0.055, 0.275, 0.495])
    assert (found.part, found.on) == ("cap", "wall")
    for lost in (replace(cap, carried_by=None), replace(cap, carried_by="lost")):
        assert told(make.build([wall, lost]), top, warm(lost, 220.0)).slides == ()
    assert told(build, warm(cap, 220.0)).slides == ()


def test_a_slide_may_be_nothing_and_goes_either_way() -> None:
    def run(low: float, mid: float, high: float) -> Strains:
        return np.array([[low]]), np.array([[mid]]), np.array([[high]])

    cap = Grown(length_m=2.0, strains=[run(1.0, 2.0, 3.0)])
    found = slide("cap", "wall", cap, [run(2.0, 5.0, 6.0)])
    assert (found.moves_m.low, found.moves_m.mid, found.moves_m.high) == (0.0, 3.0, 5.0)
    found = slide("cap", "wall", cap, [run(4.0, 5.0, 6.0)])
    assert (found.moves_m.low, found.moves_m.high) == (1.0, 5.0)


@pytest.mark.parametrize(
    ("kind", "sides", "expected"),
    [
        ("wall", (), 0.9 + 0.2), ("wall", ("front",), 0.8 + 0.2), ("wall", ("left",), 0.9 + 0.2),
        ("base", (), 0.9 + 0.2), ("cap", (), 0.9 + 0.2), ("door", (), None), ("glass", (), None),
    ],
)  # fmt: skip
def test_lengths(kind: PartKind, sides: tuple[Side, ...], expected: float | None) -> None:
    """A chamber of 0.8 by 0.9 m, walls of 0.1, bearings of 0.1."""
    of = replace(make.part("it", kind, [make.layer(BRICK, 0.1)]), sides=sides)
    found = length_m(of, of.layers[0], rooms(make.build([of])))
    assert found == expected if expected is None else found == pytest.approx(expected)
    if kind == "base":
        bare = replace(of, bearing=None)
        assert length_m(bare, of.layers[0], rooms(make.build([of]))) == 0.9


def test_length_of_a_second_skin_a_span_a_piece_and_a_round_wall() -> None:
    of = make.part("it", "wall", [make.layer(BRICK, 0.1), make.layer(BRICK, 0.05)])
    build = make.build([of])
    assert length_m(of, of.layers[1], rooms(build)) == pytest.approx(0.9 + 0.3)
    spans = replace(of.layers[0], span_m=0.7)
    assert length_m(of, spans, rooms(build)) == 0.7
    assert length_m(of, replace(spans, pieces_m=(0.3, 0.5)), rooms(build)) == 0.5
    tower = replace(make.chamber("bell", "bell"), size=Size(diameter_m=0.6, height_m=1.5))
    assert length_m(of, of.layers[0], rooms(make.build([of], chambers=[tower]))) == pytest.approx(
        0.8
    )
    lost = replace(of, bounds=("elsewhere",))
    assert length_m(lost, of.layers[0], rooms(build)) is None


def test_ranges() -> None:
    runs = [[np.array([1.0, 2.0]), np.array([5.0, 6.0]), np.array([9.0, 8.0])],
            [np.array([3.0, 0.5]), np.array([4.0, 9.0]), np.array([7.0, 7.0])]]  # fmt: skip
    assert ranged(runs) == Range(low=0.5, mid=7.0, high=9.0)
    assert by_ends([np.array([2.0, 4.0])], lambda x, end: x * (end + 1)) == Range(
        low=2.0, mid=6.0, high=12.0
    )
    assert middle(np.array([3.0, 1.0, 2.0])) == 2.0
