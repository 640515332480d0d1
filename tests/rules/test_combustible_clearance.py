"""Clearance: the clauses of IRC and IBC, the Finnish classes, and temperature beside them."""

from __future__ import annotations

import sys
from typing import Callable

import pytest

from stovelint.build import Build, Chamber, Layer, Part, Side, Surrounding
from stovelint.rule import Measure, MoveAway
from stovelint.rulebook import Rule
from tests.rules import make
from tests.rules.make import chamber, combustible, layer, open_rule, run, spread
from tests.rules.witness import Witness

RULE = open_rule("combustible-clearance")
MODULE = sys.modules["stovelint_rule_combustible_clearance"]
IN = 0.0254
WOOD = layer("softwood", 0.09)
GYPSUM = layer("gypsum-board", 0.0125)
ROOMS = [chamber("firebox", "firebox"), chamber("channel", "flue-run")]


def heater(wall_m: float = 8 * IN, channel_m: float = 5 * IN, cap_m: float = 0.1) -> list[Part]:
    """A firebox beside a channel, both with walls to the room on every side, under one slab."""
    return [
        make.part("wall", "wall", [layer("clay-brick-common", wall_m)], bounds=("firebox",)),
        make.part("channel-wall", "wall", [layer("clay-brick-common", channel_m)],
                  bounds=("channel",)),
        make.part("slab", "cap", [layer("castable-dense-fireclay", cap_m)],
                  bounds=("firebox", "channel")),
    ]  # fmt: skip


def stud(
    distance_m: float, at: Side = "back", layers: tuple[Layer, ...] = (GYPSUM, WOOD), *,
    gap: str = "vented", shield: tuple[str, float] | None = None,
) -> Surrounding:  # fmt: skip
    return make.surrounding("studs", at, distance_m, list(layers), gap=gap, shield=shield)


def plan(
    near: Surrounding, parts: list[Part] | None = None, *, jurisdiction: str | None = "IRC-2021",
    rooms: list[Chamber] = ROOMS,
) -> Build:  # fmt: skip
    return make.build(
        heater() if parts is None else parts, [near], chambers=rooms, jurisdiction=jurisdiction
    )


def measures(
    build: Build, *, peak_C: float = 30.0, mean_C: float = 30.0, covered: bool = True,
    skin_C: float = 60.0, rule: Rule = RULE, strict: bool = False,
) -> list[Measure]:  # fmt: skip
    """What counts in the findings, with the wood as warm as told."""
    near = build.surroundings["studs"]
    case = combustible(
        "studs", near.layers[-1], spread(peak_C), spread(mean_C), covered=covered, skin_C=skin_C
    )
    done = run(rule, build, make.hot(combustibles=[case]), strict=strict)
    return [m for f in done.findings for m in f.measures if m.counts]


def keys(build: Build, **more: object) -> set[str]:
    found = measures(build, **more)  # type: ignore[arg-type]
    return {m.limit.key for m in found if m.limit is not None}


# T8 of codes.md (IRC R1002.5 / IBC 2112, read): 8 in wall, 5 in channel, 4 in gap, 8 in to the
# ceiling, vented, stands; each a tenth of an inch less, or the gap filled, falls back on 36 in.
def test_t8_the_exception_stands() -> None:
    assert keys(plan(stud(4 * IN))) == set()
    assert keys(plan(stud(8 * IN, "above", (WOOD,)))) == set()


@pytest.mark.parametrize(
    ("build", "key"),
    [
        (plan(stud(4 * IN), heater(wall_m=7.9 * IN)), "MH-CLR36"),
        (plan(stud(4 * IN), heater(channel_m=4.9 * IN)), "MH-CLR36"),
        (plan(stud(3.9 * IN)), "MH-CLR4"),
        (plan(stud(7.9 * IN, "above", (WOOD,))), "MH-CEIL8"),
        (plan(stud(4 * IN, gap="closed")), "MH-CLR-VENT"),
        (plan(stud(8 * IN, "above", (WOOD,)), heater(channel_m=4.9 * IN)), "MH-CLR36"),
    ],
)
def test_t8_a_tenth_of_an_inch_less_fails(build: Build, key: str) -> None:
    assert keys(build) == {key}


@pytest.mark.parametrize(
    "jurisdiction", ["IRC-2015", "IRC-2018", "IRC-2021", "IBC-2021", "irc-2021"]
)
def test_36_in_where_the_code_binds(jurisdiction: str) -> None:
    thin = heater(wall_m=0.1)
    for distance_m, expected in ((0.9139, {"MH-CLR36"}), (0.914, set()), (36 * IN, set())):
        assert keys(plan(stud(distance_m), thin, jurisdiction=jurisdiction)) == expected


@pytest.mark.parametrize("jurisdiction", [None, "IRC-1066", "somewhere"])
def test_a_code_that_is_not_known_is_a_question_and_not_a_pass(jurisdiction: str | None) -> None:
    build = plan(stud(0.05), heater(wall_m=0.1), jurisdiction=jurisdiction)
    done = run(RULE, build, make.hot(combustibles=[
        combustible("studs", build.surroundings["studs"].layers[-1], spread(90.0), spread(60.0),
                    covered=True)
    ]))  # fmt: skip
    assert [(q.path, q.level) for q in done.unjudged] == [(("jurisdiction",), "warning")]
    # ... while temperature is judged all the same.
    assert [m.limit.key for f in done.findings for m in f.measures if m.limit] == ["WD-RULE"]


# Solid thickness only: hollow block, gaps and insulation earn nothing.
@pytest.mark.parametrize(
    ("layers", "earned"),
    [
        ((layer("clay-brick-common", 0.21),), "yes"),
        ((layer("hollow-block-normal", 0.29, cores="upright"),), "no"),
        ((layer("hollow-block-normal", 0.29, cores="filled"),), "yes"),
        ((layer("clay-brick-common", 0.1), layer("aes-blanket-128", 0.11)), "no"),
        ((layer("clay-brick-common", 0.1), layer(gap="closed", thickness_m=0.01),
          layer("clay-brick-common", 0.11)), "ask"),
        ((layer("firebrick-medium-duty", 0.1), layer("clay-brick-common", 0.11)), "yes"),
        ((layer("ifb-23", 0.3),), "no"),
    ],
)  # fmt: skip
def test_which_wall_earns_the_exception(layers: tuple[Layer, ...], earned: str) -> None:
    parts = [make.part("wall", "wall", list(layers), bounds=("firebox",)), *heater()[1:]]
    build = plan(stud(4 * IN), parts)
    case = combustible("studs", WOOD, spread(30.0), spread(30.0), covered=True)
    done = run(RULE, build, make.hot(combustibles=[case]))
    said = "no" if done.findings else "ask" if done.unjudged else "yes"
    assert said == earned


def test_a_core_inside_a_bell_is_for_the_authority() -> None:
    rooms = [chamber("firebox", "firebox", inside="bell"), chamber("bell", "bell")]

    def build(core_m: float) -> Build:
        return plan(
            stud(4 * IN),
            [make.part("core", "wall", [layer("firebrick-medium-duty", core_m)],
                       bounds=("firebox",), faces="bell"),
             make.part("skin", "wall", [layer("clay-brick-common", 5 * IN)], bounds=("bell",))],
            rooms=rooms,
        )  # fmt: skip

    case = combustible("studs", WOOD, spread(30.0), spread(30.0), covered=True)
    asked = run(RULE, build(3 * IN), make.hot(combustibles=[case]))
    assert asked.findings == () and "stands inside" in asked.unjudged[0].reason
    assert keys(build(2.9 * IN)) == {"MH-CLR36"}


def test_a_gap_that_is_not_described_is_a_question_only_within_36_in() -> None:
    case = combustible("studs", WOOD, spread(30.0), spread(30.0), covered=True)
    near = run(RULE, plan(stud(4 * IN, gap="")), make.hot(combustibles=[case]))
    far = run(RULE, plan(stud(40 * IN, gap="")), make.hot(combustibles=[case]))
    assert "fully vented" in near.unjudged[0].reason and far.unjudged == ()


def test_one_shut_end_is_no_vented_gap() -> None:
    near = make.surrounding("studs", "back", 4 * IN, [WOOD], openings=(0.01, 0.0))
    assert keys(plan(near)) == {"MH-CLR-VENT"}


# E1602-DOOR48: 48 in, printed as 1200 mm (second-hand).
@pytest.mark.parametrize(("distance_m", "past"), [(1.1999, True), (1.2, False), (48 * IN, False)])
def test_in_front_of_the_door(distance_m: float, past: bool) -> None:
    door = make.part("door", "glass", [layer("glass-ceramic", 0.004)], bounds=("firebox",),
                     sides=("front",))  # fmt: skip
    assert ("E1602-DOOR48" in keys(plan(stud(distance_m, "front"), [*heater(), door]))) is past
    assert "E1602-DOOR48" not in keys(plan(stud(distance_m, "left"), [*heater(), door]))


BRICK = layer("clay-brick-common", 3.5 * IN)
AIR = layer(gap="vented", thickness_m=1 * IN)


# SF-TABLE at 36 in (read), never below SF-MIN12: sheet with air 12 in beside and 18 in above;
# brick with air 12 in, brick on the wall 24 in; no brick overhead.
@pytest.mark.parametrize(
    ("at", "layers", "shield", "needed_in"),
    [
        ("back", (WOOD,), ("mild-steel", 1 * IN), 12.0),
        ("above", (WOOD,), ("mild-steel", 1 * IN), 18.0),
        ("back", (WOOD,), ("mild-steel", 0.9 * IN), 36.0),
        ("back", (WOOD,), ("cement-backer-board", 1 * IN), 36.0),
        ("back", (BRICK, AIR, WOOD), None, 12.0),
        ("back", (BRICK, WOOD), None, 24.0),
        ("back", (layer("clay-brick-common", 3.4 * IN), WOOD), None, 36.0),
        ("above", (BRICK, WOOD), None, 36.0),
        ("back", (BRICK, layer(gap="closed", thickness_m=1 * IN), WOOD), None, 24.0),
        ("back", (BRICK, layer(gap="vented", thickness_m=0.9 * IN), WOOD), None, 24.0),
    ],
)  # fmt: skip
def test_the_reduction_table(
    at: Side, layers: tuple[Layer, ...], shield: tuple[str, float] | None, needed_in: float
) -> None:
    ahead_m = sum(one.thickness_m for one in layers[:-1])
    thin = heater(wall_m=0.1, channel_m=0.1)

    def fails(clear_in: float) -> bool:
        near = stud(clear_in * IN - ahead_m, at, layers, shield=shield)
        return bool(keys(plan(near, thin)))

    # 36 in may be kept by the code's own 914 mm, hence two hundredths of an inch.
    assert fails(needed_in - 0.03) and not fails(needed_in + 0.001)


def test_distance_counts_to_paper_faced_board_and_temperature_to_the_wood() -> None:
    thin = heater(wall_m=0.1)
    near = stud(0.91, layers=(layer("gypsum-board", 0.0125), WOOD))
    assert keys(plan(near, thin)) == {"MH-CLR36"}
    bare = stud(0.91, layers=(layer("clay-brick-common", 0.0125), WOOD))
    assert keys(plan(bare, thin)) == set()
    assert keys(plan(stud(2.0), thin), peak_C=71.0) == {"WD-RULE"}


def test_both_verdicts_are_shown_and_the_stricter_decides() -> None:
    build = plan(stud(0.09), heater(wall_m=0.1))
    case = combustible("studs", WOOD, spread(*[75.0] * 4, *[60.0] * 28), spread(50.0), covered=True)
    (finding,) = run(RULE, build, make.hot(combustibles=[case])).findings
    assert {m.limit.key for m in finding.measures if m.limit} == {"MH-CLR36", "WD-RULE"}
    assert finding.level == "error" and finding.lead.exact  # 4 of 32 alone would be a warning
    assert finding.path == ("surroundings", "studs", "distance")
    assert finding.moves == (MoveAway(surrounding=("surroundings", "studs"), least_m=0.914),)


# -- Finland (RakMK E8, second-hand) --------------------------------------------------------


# T14: 79, 90, 200, 400 degC; and the edges, which count as the hotter class.
@pytest.mark.parametrize(
    ("skin_C", "side_mm", "above_mm"),
    [
        (79.0, 50, 150), (90.0, 150, 250), (200.0, 500, 600), (400.0, 1000, 1200),
        (80.0, 150, 250), (140.0, 500, 600), (350.0, 1000, 1200), (600.0, 1000, 1200),
    ],
)  # fmt: skip
def test_t14_finnish_classes(skin_C: float, side_mm: int, above_mm: int) -> None:
    for above, expected in ((False, side_mm), (True, above_mm)):
        limit = MODULE.finnish_limit(RULE.limits, skin_C, above=above, shield="none")
        assert limit.base == pytest.approx(expected / 1000.0, abs=1e-12)


# T15: a 200 degC face behind a double light shield, 500 to 125 mm; single halves; overhead only
# glowing surfaces are cut, by a quarter and by half.
@pytest.mark.parametrize(
    ("skin_C", "above", "shield", "expected_mm"),
    [
        (200.0, False, "double", 125), (200.0, False, "single", 250), (400.0, False, "single", 500),
        (90.0, False, "double", 150), (200.0, True, "double", 600), (400.0, True, "single", 900),
        (400.0, True, "double", 600),
    ],
)  # fmt: skip
def test_t15_finnish_shields(skin_C: float, above: bool, shield: str, expected_mm: int) -> None:
    limit = MODULE.finnish_limit(RULE.limits, skin_C, above=above, shield=shield)
    assert limit.base == pytest.approx(expected_mm / 1000.0, abs=1e-12)


def test_beyond_the_last_class_nothing_is_invented() -> None:
    assert MODULE.finnish_limit(RULE.limits, 600.1, above=False, shield="none") is None
    build = plan(stud(0.05), jurisdiction="FI-E8")
    case = combustible("studs", WOOD, spread(30.0), spread(30.0), covered=True, skin_C=601.0)
    done = run(RULE, build, make.hot(combustibles=[case]))
    assert done.findings == () and "hotter than the last class" in done.unjudged[0].reason


@pytest.mark.parametrize(
    ("skin_C", "at", "distance_m", "key"),
    [
        (79.0, "back", 0.0499, "FI-E8-WARM"), (79.0, "back", 0.05, None),
        (90.0, "back", 0.1499, "FI-E8-HOT"), (90.0, "back", 0.15, None),
        (200.0, "back", 0.4999, "FI-E8-BURN"), (200.0, "back", 0.5, None),
        (400.0, "above", 1.1999, "FI-E8-GLOW"), (400.0, "above", 1.2, None),
    ],
)  # fmt: skip
def test_finnish_distance_by_the_computed_skin(
    skin_C: float, at: Side, distance_m: float, key: str | None
) -> None:
    build = plan(stud(distance_m, at, (WOOD,)), jurisdiction="FI-E8")
    assert keys(build, skin_C=skin_C) == ({key} if key else set())


def test_finnish_class_goes_case_by_case() -> None:
    build = plan(stud(0.1), jurisdiction="FI-E8")
    skins = spread(*[75.0] * 20, *[95.0] * 12)
    case = combustible("studs", WOOD, spread(30.0), spread(30.0), covered=True)
    warm = make.replace_skin(case, skins)
    (finding,) = run(RULE, build, make.hot(combustibles=[warm])).findings
    assert (finding.lead.past, finding.lead.cases, finding.level) == (12, 32, "warning")
    assert finding.lead.limit is not None and finding.lead.limit.key == "FI-E8-HOT"


def test_nothing_that_burns_is_silence_and_below_is_for_another_rule() -> None:
    assert keys(plan(stud(0.01, layers=(layer("clay-brick-common"),)))) == set()
    assert keys(plan(stud(0.0, "below", (WOOD,)))) == set()


def test_wood_without_heat_is_a_danger_that_cannot_be_judged() -> None:
    done = run(RULE, plan(stud(2.0)), make.hot())
    assert [(q.subject, q.level) for q in done.unjudged] == [("studs", "warning")]


# -- witnesses ------------------------------------------------------------------------------


def speaks(plan_of: Callable[[float], Build], key: str = "", *, tied: str = "") -> Witness:
    """The rule finds something, by this clause if one is named, when one size is drawn as
    measured."""

    def says(value: float, rule: Rule) -> bool:
        found = keys(plan_of(value), rule=rule)
        return key in found if key else bool(found)

    return Witness(says=says, tied=(tied,) if tied else ())


def warm(key: str, covered: bool, mean: bool = False) -> Witness:
    """Wood far off, so that its temperature alone decides."""
    far = plan(stud(2.0))
    what = "mean_C" if mean else "peak_C"
    return Witness(
        says=lambda t, rule: key in keys(far, rule=rule, covered=covered, **{what: t})
    )


THIN = heater(wall_m=0.1, channel_m=0.1)
SHEET = ("mild-steel", 0.03)
CORE_ROOMS = [chamber("firebox", "firebox", inside="bell"), chamber("bell", "bell")]


def in_a_bell(together_m: float) -> Build:
    """A core in a bell whose skin is a channel wall: together they hold so much masonry."""
    core = make.part("core", "wall", [layer("firebrick-medium-duty", together_m - 5 * IN)],
                     bounds=("firebox",), faces="bell")  # fmt: skip
    skin = make.part("skin", "wall", [layer("clay-brick-common", 5 * IN)], bounds=("bell",))
    return plan(stud(4 * IN), [core, skin], rooms=CORE_ROOMS)


def open_ends(count: float) -> Build:
    ends = tuple(0.01 if i < count else 0.0 for i in range(2))
    return plan(make.surrounding("studs", "back", 4 * IN, [WOOD], openings=(ends[0], ends[1])))


def door(distance_m: float) -> Build:
    one = make.part("door", "door", [layer("mild-steel", 0.004)], bounds=("firebox",),
                    sides=("front",))  # fmt: skip
    return plan(stud(distance_m, "front"), [*heater(), one])


def behind(*ahead: Layer, at: Side = "back") -> Callable[[float], Build]:
    """Wood behind these layers, at a distance that counts to the wood."""
    deep_m = sum(one.thickness_m for one in ahead)
    return lambda d: plan(stud(d - deep_m, at, (*ahead, WOOD)), THIN)


def behind_sheet(at: Side) -> Callable[[float], Build]:
    return lambda d: plan(stud(d, at, (WOOD,), shield=SHEET), THIN)


US = [
    ("base", speaks(lambda d: plan(stud(d), THIN), "MH-CLR36")),
    ("reduced", speaks(lambda d: plan(stud(d)), "MH-CLR4")),
    ("ceiling", speaks(lambda d: plan(stud(d, "above", (WOOD,))), "MH-CEIL8")),
    ("wall", speaks(lambda t: plan(stud(4 * IN), heater(wall_m=t)), "MH-CLR36")),
    ("wall", speaks(in_a_bell, "MH-CLR36")),
    ("channel", speaks(lambda t: plan(stud(4 * IN), heater(channel_m=t)), "MH-CLR36")),
    ("vented", Witness(
        whole=True, says=lambda n, rule: "MH-CLR-VENT" in keys(open_ends(n), rule=rule))),
    ("door", speaks(door, "E1602-DOOR48")),
    ("shield-air", speaks(
        lambda t: plan(stud(13 * IN, layers=(WOOD,), shield=("mild-steel", t)), THIN), "MH-CLR36")),
    ("shield-air", speaks(
        lambda t: behind(BRICK, layer(gap="vented", thickness_m=t))(13 * IN), "SF-TABLE-BRICK")),
    ("shield-brick", speaks(
        lambda t: behind(layer("clay-brick-common", t))(25 * IN), "MH-CLR36")),
    ("sheet-above", speaks(behind_sheet("above"), "SF-TABLE-SHEET")),
    ("brick-side", speaks(behind(BRICK), "SF-TABLE-BRICK")),
]  # fmt: skip
# The table and the least that any shield leaves are one figure here, 12 in: one holds up the other.
US += [
    ("sheet-side", speaks(behind_sheet("back"), tied="least-reduced")),
    ("brick-air-side", speaks(behind(BRICK, AIR), tied="least-reduced")),
    ("least-reduced", speaks(behind_sheet("back"), tied="sheet-side")),
]
WARM = [
    ("covered-peak", warm("WD-RULE", covered=True)),
    ("exposed-peak", warm("TR-85", covered=False)),
    ("exposed-mean", warm("WD-MEAN", covered=False, mean=True)),
]


def finnish(
    skin_C: float, at: Side = "back", *, shield: tuple[str, float] | None = None,
    masonry_m: float = 0.0, air_m: float = 0.03,
) -> Callable[[float], Build]:  # fmt: skip
    ahead = (
        (layer("clay-brick-common", masonry_m), layer(gap="vented", thickness_m=air_m))
        if masonry_m else ()
    )  # fmt: skip
    deep_m = sum(one.thickness_m for one in ahead)
    return lambda d: plan(
        stud(d - deep_m, at, (*ahead, WOOD), shield=shield), jurisdiction="FI-E8"
    )


def distance(name: str, skin_C: float, at: Side) -> tuple[str, Witness]:
    """The distance to a skin of this class."""
    of = finnish(skin_C, at)
    return name, Witness(says=lambda d, rule: bool(keys(of(d), skin_C=skin_C, rule=rule)))


def share(
    name: str, full_m: float, of: Callable[[float], Build], skin_C: float
) -> tuple[str, Witness]:
    """The share of a full distance that a shield leaves."""
    return name, Witness(
        reverse=True, says=lambda s, rule: bool(keys(of(s * full_m), skin_C=skin_C, rule=rule))
    )


def edge(name: str, distance_m: float) -> tuple[str, Witness]:
    """The skin from which a class applies (or to which any does), too near for that class."""
    of = finnish(0.0)(distance_m)
    return name, Witness(says=lambda t, rule: bool(keys(of, skin_C=t, rule=rule)))


def shields(name: str, of: Callable[[float], Build]) -> tuple[str, Witness]:
    return name, Witness(says=lambda t, rule: bool(keys(of(t), skin_C=200.0, rule=rule)))


FI = [
    distance("fi-warm-side", 60.0, "back"), distance("fi-warm-above", 60.0, "above"),
    distance("fi-hot-side", 100.0, "back"), distance("fi-hot-above", 100.0, "above"),
    distance("fi-burn-side", 200.0, "back"), distance("fi-burn-above", 200.0, "above"),
    distance("fi-glow-side", 400.0, "back"), distance("fi-glow-above", 400.0, "above"),
    share("fi-single-side", 0.5, finnish(200.0, shield=SHEET), 200.0),
    share("fi-single-above", 1.2, finnish(400.0, "above", shield=SHEET), 400.0),
    share("fi-double-side", 0.5, finnish(200.0, masonry_m=0.12), 200.0),
    share("fi-double-above", 1.2, finnish(400.0, "above", masonry_m=0.12), 400.0),
    edge("fi-hot-from", 0.1), edge("fi-burn-from", 0.4), edge("fi-glow-from", 0.9),
    edge("fi-glow-to", 0.9),
    shields("fi-shield-air", lambda t: finnish(200.0, shield=("mild-steel", t))(0.3)),
    shields("fi-shield-air", lambda t: finnish(200.0, masonry_m=0.12, air_m=t)(0.3)),
    shields("fi-single-masonry", lambda t: finnish(200.0, masonry_m=t)(0.3)),
    shields("fi-double-masonry", lambda t: finnish(200.0, masonry_m=t)(0.2)),
]  # fmt: skip

WITNESSES = [*US, *WARM, *FI]
