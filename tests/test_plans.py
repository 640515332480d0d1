"""The three plans of fixtures/plans, reviewed with the whole rulebook, against an experienced eye.

What is expected is what a mason who has built many heaters would say of each (common practice, no
source; the headers of the plans say it at length). Figures that a header works out by hand are held
against the computed ones. Each changed plan differs from its own in the one thing that its name
tells, or in things of other parts and rules that do not touch each other.
"""

from __future__ import annotations

import copy
import re
from functools import cache
from typing import Any, Mapping

import pytest

from stovelint.assemble import assemble_tree
from stovelint.build import FiringState
from stovelint.catalogue.catalogue import Catalogue
from stovelint.hotmap.compute import Solver
from stovelint.hotmap.records import HotMap, LayerHeat
from stovelint.place import Path
from stovelint.remedy import Search
from stovelint.review import Review, review
from stovelint.rule.level import Level
from stovelint.rulebook import load
from stovelint.source import Source
from stovelint.source.yaml import parse
from tests.hotmap.plans import inserted, with_
from tests.tree import ROOT

FERRY, ORCHARD, KILN = "ferry-house", "orchard-school", "kiln-cottage"
PLANS = (FERRY, ORCHARD, KILN)
CATALOGUE = Catalogue()
RULES = load()
SOLVER = Solver(CATALOGUE)

Layer = dict[str, object]
Changes = tuple[tuple[Path, object], ...]


def text_of(name: str) -> str:
    return (ROOT / "fixtures" / "plans" / f"{name}.heater.yaml").read_text(encoding="utf-8")


def reviewed_text(text: str) -> tuple[Source, HotMap, Review]:
    """A plan as it stands in a file, solved over all cases and reviewed by every rule."""
    source = parse(text, "plan.heater.yaml")
    build = assemble_tree(dict(source.tree), source.places)
    hot = SOLVER(build)
    result = review(
        file="plan.heater.yaml", places=source.places, build=build, hot=hot, catalogue=CATALOGUE,
        rules=RULES,
    )  # fmt: skip
    assert result.crashes == () and hot.unsolved == ()
    return source, hot, result


@cache
def plan(name: str) -> tuple[Source, HotMap, Review]:
    return reviewed_text(text_of(name))


def of_material(material: str, thickness: str, **more: object) -> Layer:
    return {"material": material, "thickness": thickness, **more}


def layer(part: str, index: int, *more: str | int) -> Path:
    return ("parts", part, "layers", index, *more)


BRICK = of_material("clay-brick-common", "65 mm")
FIREBRICK = of_material("firebrick-medium-duty", "64 mm")
PLANKS = of_material("softwood", "28 mm")
BOARD = of_material("calcium-silicate-insulation", "100 mm")
BURLAP = {"kind": "burlap"}
LARGE, SMALL, ONE_PIECE = "600 mm x 400 mm", "300 mm x 300 mm", "1800 mm x 500 mm"
GRANITE_LINING = of_material("granite", "64 mm", set="bonded", pieces=LARGE)
SOAPSTONE_LINING = {**GRANITE_LINING, "material": "soapstone"}


def granite_bench(pieces: str) -> Changes:
    stone = of_material("granite", "50 mm", set="loose", pieces=pieces)
    return ((layer("bench-top", 0), stone),)


def granite_facing(setting: str) -> Changes:
    stone = of_material("granite", "102 mm", set=setting, pieces=SMALL)
    return ((layer("bell-wall-low", 2), stone), (layer("bell-wall-high", 2), stone))


# Plan, and what is changed in it. One solution each.
CHANGED: Mapping[str, tuple[str, Changes]] = {
    # Orchard School made worse
    "planks instead of board and slab": (
        ORCHARD,
        (
            (("parts", "core-base", "layers"), [FIREBRICK, of_material("ifb-23", "65 mm"), PLANKS]),
            (("parts", "core-base", "faces"), "outdoors"),
            (("parts", "bell-base", "layers"), [FIREBRICK, PLANKS]),
            (("parts", "bell-base", "faces"), "outdoors"),
        ),
    ),
    "granite lining, bar in the cap, shelf near": (
        ORCHARD,
        (
            (layer("bell-wall-high", 0), GRANITE_LINING),
            (
                layer("bell-cap", 0, "reinforcement"),
                {"kind": "rebar", "diameter": "10 mm", "cover": "25 mm"},
            ),
            (("surroundings", "book-shelf", "distance"), "500 mm"),
        ),
    ),
    "bonded granite facing": (ORCHARD, granite_facing("bonded")),
    # ... and changed, but not for the worse
    "soapstone lining, burlap in the cap": (
        ORCHARD,
        (
            (layer("bell-wall-high", 0), SOAPSTONE_LINING),
            (layer("bell-cap", 0, "reinforcement"), BURLAP),
        ),
    ),
    "loose granite facing, granite on top and seat": (
        ORCHARD,
        (
            *granite_facing("loose"),
            (layer("bell-cap", 2, "material"), "granite"),
            (layer("bench-top-first", 2, "material"), "granite"),
            (layer("bench-top", 3, "material"), "granite"),
        ),
    ),
    # Ferry House
    "soapstone lining, burlap, small granite": (
        FERRY,
        (
            (layer("bell-wall-high", 0, "material"), "soapstone"),
            (layer("bell-cap", 0, "reinforcement"), BURLAP),
            *granite_bench(SMALL),
        ),
    ),
    "uncut granite on the bench": (FERRY, granite_bench(ONE_PIECE)),
    "all that its header says": (
        FERRY,
        (
            (
                layer("bell-wall-low", 0),
                of_material("clay-brick-common", "102 mm", mortar="mortar-clay-sand"),
            ),
            (layer("bench-mouth", 0), of_material("clay-brick-common", "102 mm")),
            # the wall turned round: brick to the gas, stone outside
            (
                ("parts", "bell-wall-high", "layers"),
                [
                    of_material("clay-brick-common", "102 mm", mortar="mortar-clay-sand"),
                    of_material("granite", "30 mm", set="loose", pieces=LARGE),
                ],
            ),
            (
                ("parts", "bell-cap", "layers"),
                [
                    of_material("aes-blanket-128", "1 in", held="pinched edges"),
                    of_material(
                        "concrete-normal-siliceous", "60 mm", pieces="1000 mm x 1140 mm"
                    ),
                ],
            ),
            (("parts", "bench-base", "layers"), [BRICK, BOARD, PLANKS]),
            (("surroundings", "stud-wall", "distance"), "36 in"),
            (("surroundings", "ceiling", "distance"), "36 in"),
        ),
    ),
    # Kiln Cottage
    "board instead of sand": (KILN, ((layer("base", 1), BOARD),)),
    "slab on the ground": (
        KILN,
        (
            (layer("base", 2), of_material("concrete-normal-siliceous", "150 mm")),
            (("parts", "base", "faces"), "ground"),
        ),
    ),
}
BARE_CAP = "no blanket under the cap"


@cache
def changed(what: str) -> Review:
    """The review of a changed plan. Its places are those of the plan it was made from."""
    name, changes = (KILN, ()) if what == BARE_CAP else CHANGED[what]
    source, _, _ = plan(name)
    tree: dict[str, Any] = copy.deepcopy(dict(source.tree))
    if what == BARE_CAP:
        del tree["parts"]["bell-cap"]["layers"][0]
        tree["parts"]["bell-cap"]["bearing"] = "100 mm"
    build = assemble_tree(with_(tree, *changes), source.places)
    hot = SOLVER(build)
    result = review(
        file="changed", places=source.places, build=build, hot=hot, catalogue=CATALOGUE,
        rules=RULES,
    )  # fmt: skip
    assert result.crashes == () and hot.unsolved == ()
    return result


def said(result: Review) -> set[tuple[str, str]]:
    """Rule and subject of everything above a note, and of every open question."""
    found = {(i.finding.rule, i.finding.subject) for i in result.items if i.level != "note"}
    return found | {(rule, one.subject) for one in result.open for rule in one.rules}


def line_of(name: str, *words: str) -> int:
    """Number of the line that holds the last word: each is looked for from the one before on,
    below the header."""
    lines = text_of(name).splitlines()
    at = lines.index("format: 1")
    for word in words:
        at = next(i for i in range(at, len(lines)) if word in lines[i])
    return at + 1


# -- each plan as it is -----------------------------------------------------------------------

OUTCOMES = {FERRY: "revise", ORCHARD: "clear", KILN: "revise"}
# Rule, words that lead to the line, and levels that it may have: what each header says is wrong.
# Stone and bars stop at a warning, since their limits are from memory or common practice. The
# planks under Ferry House's bench are near their limit; how many cases are past it hangs on a
# kelvin, and not that they hold the plan.
MUST: tuple[Level, ...] = ("error",)
SHOULD: tuple[Level, ...] = ("warning",)
HOLDS: tuple[Level, ...] = ("warning", "error")
SPEAKS: Mapping[str, tuple[tuple[str, tuple[str, ...], tuple[Level, ...]], ...]] = {
    FERRY: (
        ("concrete-elevation", ("  bell-wall-low:", "hollow-block-normal"), MUST),
        ("brittle-stone", ("  bell-wall-high:", "granite"), SHOULD),
        ("wet-stone", ("  bell-wall-high:", "granite"), MUST),
        ("cap-insulation", ("  bell-cap:", "concrete-normal-siliceous"), MUST),
        ("cast-reinforcement", ("  bell-cap:", "kind: rebar"), SHOULD),
        ("concrete-elevation", ("  bench-mouth:", "hollow-block-normal"), MUST),
        ("base-combustible", ("  bench-base:", "softwood"), HOLDS),
        ("combustible-clearance", ("  stud-wall:", "distance: 90 mm"), MUST),
        ("combustible-clearance", ("  ceiling:", "distance: 600 mm"), MUST),
    ),
    ORCHARD: (),
    KILN: (
        ("base-combustible", ("  base:", "softwood"), MUST),
        ("base-combustible", ("  base:", "softwood"), MUST),
    ),
}


@pytest.mark.parametrize("name", PLANS)
def test_the_outcome_is_what_a_reviewer_expects(name: str) -> None:
    _, _, result = plan(name)
    assert result.verdict == OUTCOMES[name]
    assert result.open == ()


@pytest.mark.parametrize("name", PLANS)
def test_each_rule_speaks_at_the_line_that_causes_it_and_no_other_speaks(name: str) -> None:
    _, _, result = plan(name)
    spoken = sorted((i.finding.rule, i.span.start.line + 1, i.level) for i in result.items)
    expected = sorted((rule, line_of(name, *words), may) for rule, words, may in SPEAKS[name])
    assert [one[:2] for one in spoken] == [one[:2] for one in expected]
    for (_, _, level), (_, _, may) in zip(spoken, expected, strict=True):
        assert level in may


def test_every_rule_of_the_book_speaks_at_ferry_house() -> None:
    _, _, result = plan(FERRY)
    assert {rule.name for rule in RULES} == {item.finding.rule for item in result.items}


def test_kiln_cottage_is_held_for_danger_alone_under_both_chambers() -> None:
    _, _, result = plan(KILN)
    assert {item.finding.stakes for item in result.items} == {"danger"}
    assert [item.finding.walk_to.split(" / ")[0] for item in result.items] == ["bell", "firebox"]


# -- by hand ----------------------------------------------------------------------------------


OUTER = ("wall", "cap", "bench-top")


def in_header(name: str, pattern: str) -> float:
    header = " ".join(
        line.lstrip("# ") for line in text_of(name).splitlines() if line.startswith("#")
    )
    found = re.search(pattern, header)
    assert found is not None, pattern
    return float(found[1])


@pytest.mark.parametrize("name", PLANS)
def test_the_header_tells_the_heat_of_one_load(name: str) -> None:
    """Charge times what dry wood holds less its water, worked out by hand.

    Tolerance 0.9 kWh: the header rounds to whole ones, and 0.4 for the middle of 32 cases over
    which heat, charge and moisture scatter by a tenth.
    """
    stated = in_header(name, r"hold about (\d+) kWh")
    assert plan(name)[1].cycles["usual"].released_kWh.mid == pytest.approx(stated, abs=0.9)


@pytest.mark.parametrize(
    ("name", "chamber", "words"),
    [
        (FERRY, "bell", r"gives heat to ([\d.]+) m2 of bell"),
        (FERRY, "bench", r"and ([\d.]+) m2 of bench"),
        (ORCHARD, "bell", r"gives heat to ([\d.]+) m2 of bell"),
        (ORCHARD, "bench", r"and ([\d.]+) m2 of bench"),
        (KILN, "bell", r"gives heat to ([\d.]+) m2 of bell"),
    ],
)
def test_the_header_tells_the_surface_that_takes_the_heat(
    name: str, chamber: str, words: str
) -> None:
    """Walls and top from the sizes, floor left out; what the core covers is taken off.

    Tolerance 0.08 m2: the header rounds to a tenth, and stated areas are rounded too.
    """
    source, hot, _ = plan(name)
    build = assemble_tree(dict(source.tree), source.places)
    outer = [
        patch.area_m2 for patch in hot.cycles["usual"].patches
        if patch.where != "bearing edge" and (
            patch.chamber == chamber and build.parts[patch.part].kind in OUTER
            or build.parts[patch.part].kind == "partition"
            and build.parts[patch.part].faces == chamber
        )
    ]  # fmt: skip
    assert sum(outer) == pytest.approx(in_header(name, words), abs=0.08)


def test_the_header_of_kiln_cottage_tells_how_warm_its_base_is() -> None:
    """Resistances one after the other, at one conductivity each, from the brick's face to the crawl
    space; the computed base has two chambers over it, here weighed by their areas.

    Tolerances: 5 K for the brick's face and the planks, since the header rounds to 5 K. 0.05 for the
    share of the sand, a resistance of 0.22 in 0.66 by hand and 0.21 in 0.67 as computed.
    """
    source, hot, _ = plan(KILN)
    outdoors_C = assemble_tree(dict(source.tree), source.places).site.outdoors_C
    patches = hot.cycles["usual"].of_part("base")
    area_m2 = sum(patch.area_m2 for patch in patches)

    def mean_C(index: int) -> float:
        hot_C = (p.area_m2 * p.layers[index].hot.mean_C.mid for p in patches)
        return sum(hot_C) / area_m2

    brick, sand, planks = (mean_C(index) for index in range(3))
    assert brick == pytest.approx(in_header(KILN, r"\((\d+) degC as a mean\)"), abs=5.0)
    assert planks == pytest.approx(in_header(KILN, r"near (\d+) degC as a mean"), abs=5.0)
    span_K = in_header(KILN, r"of the (\d+) K between")
    assert brick - outdoors_C == pytest.approx(span_K, abs=5.0)
    assert re.search(r"the sand takes a\n# third", text_of(KILN))
    assert (sand - planks) / (brick - outdoors_C) == pytest.approx(1.0 / 3.0, abs=0.05)


# -- Orchard School: clear, and for the right reasons -----------------------------------------


def heats(name: str, state: FiringState, part: str, material: str) -> list[LayerHeat]:
    """One layer of a part in every place."""
    _, hot, _ = plan(name)
    found = [
        one for patch in hot.cycles[state].of_part(part) for one in patch.layers
        if one.layer is not None and one.layer.material == material
    ]  # fmt: skip
    assert found, (part, material)
    return found


def test_no_bar_lies_in_anything_hot_at_orchard_school() -> None:
    source, _, _ = plan(ORCHARD)
    build = assemble_tree(dict(source.tree), source.places)
    kinds = {
        one.reinforcement.kind
        for part in build.parts.values() for one in part.layers if one.reinforcement is not None
    }  # fmt: skip
    rows = {kind: CATALOGUE.get(kind).reinforces for kind in kinds}
    assert kinds and {row.form for row in rows.values() if row is not None} == {"needle"}


@pytest.mark.parametrize("part", ["bell-cap", "bench-top", "bench-top-first"])
def test_the_soapstone_of_orchard_school_stays_hand_warm(part: str) -> None:
    """Below 93 degC in every case and two loads on end (bench tops of the trade; common practice,
    no source), and between 30 and 50 degC as a mean: warm to the hand, and not more."""
    assert all(h.hot_zone.peak_C.high < 93.0 for h in heats(ORCHARD, "hardest", part, "soapstone"))
    means = [h.cold.mean_C for h in heats(ORCHARD, "usual", part, "soapstone")]
    # of the cases themselves, before the low end is let down
    assert all(30.0 < mean.floor.min() and mean.high < 52.0 for mean in means)


def test_the_seat_of_orchard_school_is_even_from_end_to_end() -> None:
    """Near what its header tells of most days. Board of two thicknesses makes up for the gas that
    cools along the bench; 3 K is what a hand hardly tells."""
    stated = in_header(ORCHARD, r"near (\d+) degC on most days")
    seat = [
        h.cold.mean_C.mid
        for part in ("bench-top-first", "bench-top")
        for h in heats(ORCHARD, "usual", part, "soapstone")
    ]
    assert len(seat) == 4
    assert all(value == pytest.approx(stated, abs=3.0) for value in seat)


def test_the_facing_of_orchard_school_is_far_cooler_than_its_core() -> None:
    """The slip gap and two half-thicknesses lie between: the header reckons with 4 mm of room for
    a core that is warmer by more than 100 K."""
    for part in ("bell-wall-low", "bell-wall-high"):
        core = heats(ORCHARD, "hardest", part, "firebrick-medium-duty")
        facing = heats(ORCHARD, "hardest", part, "clay-brick-common")
        for inner, outer in zip(core, facing, strict=True):
            assert inner.hot_zone.peak_C.mid - outer.hot_zone.peak_C.mid > 100.0
            assert outer.hot_zone.peak_C.high < 250.0


# -- one thing changed ------------------------------------------------------------------------


def test_wood_under_a_base_without_insulation_is_danger() -> None:
    result = changed("planks instead of board and slab")
    assert result.verdict == "revise"
    assert said(result) == {("base-combustible", "core-base"), ("base-combustible", "bell-base")}
    chambers = {item.finding.walk_to.split(" / ")[0] for item in result.items}
    assert chambers == {"firebox", "riser", "bell"}


def test_what_is_spoilt_at_orchard_school_is_what_is_spoken_of() -> None:
    result = changed("granite lining, bar in the cap, shelf near")
    assert result.verdict == "revise"
    assert said(result) == {
        ("brittle-stone", "bell-wall-high"),
        ("wet-stone", "bell-wall-high"),
        ("cast-reinforcement", "bell-cap"),
        # a skin of brick across a gap: whether it is thick enough is for the authority
        ("combustible-clearance", "book-shelf"),
    }


def test_soapstone_and_burlap_stand_where_granite_and_bars_do_not() -> None:
    """Burlap chars and is told so, as advice: nothing hangs on it any more."""
    result = changed("soapstone lining, burlap in the cap")
    assert result.verdict == "clear"
    assert said(result) == set()
    (advice,) = result.items
    assert (advice.finding.rule, advice.finding.stakes) == ("cast-reinforcement", "advice")


def test_bonded_granite_outside_cracks_and_loose_granite_does_not() -> None:
    """Nor where soapstone lies hand-warm, as the header of Orchard School says."""
    bonded = changed("bonded granite facing")
    assert said(bonded) == {
        ("brittle-stone", "bell-wall-low"), ("brittle-stone", "bell-wall-high"),
    }  # fmt: skip
    assert bonded.verdict == "as noted"
    assert {
        measure.what for item in bonded.items for measure in item.finding.measures
        if measure.counts
    } == {"through the piece"}  # fmt: skip
    loose = changed("loose granite facing, granite on top and seat")
    assert (loose.verdict, said(loose)) == ("clear", set())


def test_uncut_granite_on_a_bench_cracks_and_small_pieces_do_not() -> None:
    as_drawn = said(plan(FERRY)[2])
    assert said(changed("uncut granite on the bench")) - as_drawn == {
        ("brittle-stone", "bench-top")
    }
    assert ("brittle-stone", "bench-top") not in said(
        changed("soapstone lining, burlap, small granite")
    )


def test_better_stone_and_no_bar_quieten_their_rules_and_no_other() -> None:
    result = changed("soapstone lining, burlap, small granite")
    gone = said(plan(FERRY)[2]) - said(result)
    assert gone == {
        ("brittle-stone", "bell-wall-high"), ("wet-stone", "bell-wall-high"),
        ("cast-reinforcement", "bell-cap"),
    }  # fmt: skip
    assert said(result) < said(plan(FERRY)[2])


def test_ferry_house_is_clear_when_all_is_done_that_its_header_says() -> None:
    result = changed("all that its header says")
    assert (result.verdict, said(result)) == ("clear", set())


@pytest.mark.parametrize("what", ["board instead of sand", "slab on the ground"])
def test_kiln_cottage_is_clear_with_a_right_base(what: str) -> None:
    result = changed(what)
    assert (result.verdict, said(result)) == ("clear", set())


def test_the_cap_of_kiln_cottage_hangs_on_its_blanket() -> None:
    """Without it the slab is too hot, and so are its bars.

    The ceiling over it warms by some 50 K and comes up to its limit of 85 degC: the middle of
    its peaks lies 10 K below and the least favourable case some 4 K above, so whether enough cases
    are past it for a finding hangs on a kelvin. That it speaks is therefore not asked for, nor that
    it is silent; nothing else may speak.
    """
    new = said(changed(BARE_CAP)) - said(plan(KILN)[2])
    ceiling = {("combustible-clearance", "ceiling")}
    assert new - ceiling == {("cap-insulation", "bell-cap"), ("cast-reinforcement", "bell-cap")}


# -- what the report tells to do --------------------------------------------------------------


def test_what_kiln_cottage_is_told_to_do_puts_it_right_when_typed_in() -> None:
    """The thickness is read from the printed words and typed into the file between brick and
    sand, as a builder would; then the plan is clear."""
    source, hot, result = plan(KILN)
    search = Search(
        tree=dict(source.tree), build=assemble_tree(dict(source.tree), source.places), hot=hot,
        catalogue=CATALOGUE, rules=RULES,
        assemble=lambda tree: assemble_tree(tree, source.places), solve=SOLVER,
    )  # fmt: skip
    proposals = search.for_review(result)
    assert sorted(proposals) == [0, 1]
    firsts = {found[0].text for found in proposals.values()}
    (told,) = firsts  # one layer serves under both chambers
    thickness = re.fullmatch(r"(\d+ mm) loose perlite between rims inside base", told)
    assert thickness is not None, told
    lines = text_of(KILN).splitlines(keepends=True)
    sand = line_of(KILN, "  base:", "sand-dry") - 1
    lines.insert(
        sand, f"      - {{material: perlite-loose, thickness: {thickness[1]}, held: brick rim}}\n"
    )
    _, _, mended = reviewed_text("".join(lines))
    assert (mended.verdict, said(mended)) == ("clear", set())


def test_sand_is_not_what_insulates() -> None:
    """As much sand as the perlite that serves leaves the planks too warm."""
    source, _, _ = plan(KILN)
    more = inserted(
        copy.deepcopy(dict(source.tree)), layer("base", 1), of_material("sand-dry", "75 mm")
    )
    build = assemble_tree(more, source.places)
    result = review(
        file="sand", places=source.places, build=build, hot=SOLVER(build), catalogue=CATALOGUE,
        rules=RULES,
    )  # fmt: skip
    assert result.verdict == "revise"
    assert said(result) == {("base-combustible", "base")}
