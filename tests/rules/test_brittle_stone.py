"""Natural stone: each limit below, on and above; class, size and setting decide as a mason says."""

from __future__ import annotations

from dataclasses import replace
from typing import Literal

import pytest

from stovelint.build import Layer, Part, PartKind
from stovelint.hotmap.records import HotMap
from stovelint.review import Run
from stovelint.catalogue import Catalogue
from stovelint.rule import Cut, Insulate, Loosen, Swap, Thicken
from stovelint.rulebook import Rule
from tests.rules import make
from tests.rules.make import layer, layer_heat, open_rule, patch, run, spread
from tests.rules.witness import Witness

RULE = open_rule("brittle-stone")
Setting = Literal["bonded", "loose"]


def stone(
    material: str, *, pieces_m: float | None = 0.6, set_: Setting | None = "bonded",
    kind: PartKind = "wall", bounds: str = "bell", thickness_m: float = 0.05,
) -> Part:  # fmt: skip
    slab = replace(
        layer(material, thickness_m), set=set_,
        pieces_m=None if pieces_m is None else (pieces_m, pieces_m / 2.0),
    )
    return make.part("bell-wall", kind, [slab], bounds=(bounds,))


def heat(
    of: Part, *, peak_C: float = 80.0, mean_C: float = 50.0, through_K: float = 5.0,
    edge_K: float = 0.0, rise_K: float = 8.0, apart_m: float = 0.2,
) -> HotMap:  # fmt: skip
    """Two bands whose middles are `apart_m` apart and `edge_K` different halfway through."""
    def at(low: float, middle_C: float):  # type: ignore[no-untyped-def]
        layers = [
            layer_heat(one, spread(peak_C), spread(mean_C), through=spread(through_K),
                       rise=spread(rise_K), middle=spread(middle_C))
            for one in of.layers
        ]  # fmt: skip
        return patch(of, layers, where=f"{low:.1f} m", from_m=low, to_m=low + apart_m)

    return make.hot([at(0.0, 60.0), at(apart_m, 60.0 + edge_K)])


def ran(of: Part, map_: HotMap, rule: Rule = RULE) -> Run:
    return run(rule, make.build([of], chambers=[make.chamber("bell", "bell"),
                                               make.chamber("firebox", "firebox")]), map_)


def keys(of: Part, map_: HotMap, rule: Rule = RULE) -> set[str]:
    return {
        m.limit.key for f in ran(of, map_, rule).findings for m in f.measures
        if m.limit is not None and m.counts
    }  # fmt: skip


def at_limit(name: str, value: float) -> tuple[Part, HotMap]:
    """A part and heat in which one limit of the rule sees one value, and every other is kept."""
    material = "basalt" if "medium" in name else "granite"
    if name.startswith("through"):
        of = stone(material, set_="loose" if name.endswith("loose") else "bonded")
        return of, heat(of, through_K=value)
    if name.startswith("edge"):
        of = stone(material, set_="loose", pieces_m=1.2)  # 0.6 m high: over both bands
        return of, heat(of, edge_K=value)
    if name == "rise":
        of = stone(material)
        return of, heat(of, rise_K=value)
    of = stone(material, bounds="firebox", thickness_m=value)
    return of, heat(of)


def witness(name: str) -> Witness:
    key = RULE.limits.rows[name].key
    return Witness(says=lambda value, rule: key in keys(*at_limit(name, value), rule))


WITNESSES = [(name, witness(name)) for name in RULE.limits.rows]


@pytest.mark.parametrize(("step", "expected"), [(-0.01, False), (0.0, False), (0.01, True)])
def test_the_stones_own_limits(step: float, expected: bool) -> None:
    of = stone("granite")  # 350 degC in peaks, 200 degC for long: heated granite papers (read)
    assert ("granite peak" in keys(of, heat(of, peak_C=350.0 + step))) is expected
    assert ("granite service" in keys(of, heat(of, mean_C=200.0 + step))) is expected


def test_granite_to_soapstone() -> None:
    """Common practice, no source: bells of soapstone stand what cracks granite."""
    for material, speaks in (("granite", True), ("soapstone", False)):
        of = stone(material)
        assert bool(ran(of, heat(of, peak_C=340.0, through_K=60.0, edge_K=40.0)).findings) is speaks


def test_bonded_to_loose() -> None:
    settings: tuple[tuple[Setting | None, bool], ...] = (
        ("bonded", True), (None, True), ("loose", False),
    )  # fmt: skip
    for set_, speaks in settings:
        of = stone("granite", set_=set_)
        assert bool(ran(of, heat(of, through_K=50.0)).findings) is speaks


def test_uncut_to_small_pieces() -> None:
    """30 K between two courses 0.2 m apart: a piece 0.1 m high reaches a quarter of the way, one of
    0.3 m three quarters. (Pieces here are half as high as long.)"""
    for size, speaks in ((1.2, True), (0.6, True), (0.2, False)):
        of = stone("granite", pieces_m=size)
        assert bool(ran(of, heat(of, edge_K=30.0)).findings) is speaks


def test_a_long_low_stone_in_a_wall_is_as_high_as_a_small_one() -> None:
    """Stones lie on their longer side: 900 x 150 mm spans no more courses than 150 x 150 mm."""
    for length in (0.15, 0.9):
        of = stone("granite")
        of = replace(of, layers=(replace(of.layers[0], pieces_m=(length, 0.15)),))
        assert not ran(of, heat(of, edge_K=25.0)).findings


def slab(**more: object) -> tuple[Part, HotMap]:
    """A bell's cap of one patch: nothing is known of its edge."""
    of = replace(stone("granite", kind="cap", set_="loose"), **more)  # type: ignore[arg-type]
    layers = [layer_heat(of.layers[0], spread(90.0), spread(50.0), middle=spread(85.0))]
    return of, make.hot([patch(of, layers, where="span", from_m=1.5, to_m=1.5)])


def test_a_cap_is_asked_how_it_bears_where_that_decides() -> None:
    (asked,) = ran(*slab(bearing=None)).unjudged
    assert "bearing" in asked.remedy and asked.level == "note"
    small = (replace(slab()[0].layers[0], pieces_m=(0.05, 0.05)),)
    assert ran(*slab(bearing=None, layers=small)).unjudged == ()  # 65 K evens out within 25 mm


def test_slow_heat_lets_bench_stone_live() -> None:
    """Common practice, no source: stone on a bench lasts because it warms slowly."""
    of = stone("flagstone", kind="bench-top", set_=None)
    assert not ran(of, heat(of, peak_C=95.0, through_K=20.0, edge_K=13.0, rise_K=10.0)).findings


def test_unknown_stone_is_judged_as_the_worst_of_its_class() -> None:
    for cool, warm in ((99.0, 101.0),):  # marble is the first that suffers: 100 degC for long
        of = stone("unknown-stone")
        assert not ran(of, heat(of, mean_C=cool)).findings
        assert keys(of, heat(of, mean_C=warm)) == {"unknown-stone service"}


def test_where_the_size_decides_it_is_asked_for() -> None:
    of = stone("granite", pieces_m=None)
    assert ran(of, heat(of, edge_K=20.0)).unjudged == ()
    (asked,) = ran(of, heat(of, edge_K=40.0)).unjudged
    assert "pieces" in asked.remedy and asked.path == of.layers[0].path
    assert asked.level == "note"  # breakage: an open question holds no plan


def test_quick_heating_alone_is_advice() -> None:
    of = stone("granite")
    (said,) = ran(of, heat(of, rise_K=50.0)).findings
    assert said.stakes == "advice" and said.level == "note"
    (said,) = ran(of, heat(of, rise_K=50.0, through_K=40.0)).findings
    assert said.stakes == "breakage" and any("STONE-RISE" in n.text for n in said.notes)
    assert "STONE-RISE" in [limit.key for limit in said.limits]  # so that its source is told


def test_from_memory_it_stops_at_a_warning_and_from_a_paper_it_does_not() -> None:
    of = stone("granite")
    (weak,) = ran(of, heat(of, through_K=90.0)).findings
    assert weak.level == "warning"
    (firm,) = ran(of, heat(of, through_K=90.0, peak_C=400.0)).findings
    assert firm.level == "error" and firm.lead.limit is not None
    assert firm.lead.limit.key == "granite peak"


def test_what_is_tried_is_what_can_help() -> None:
    def moves(of: Part, map_: HotMap) -> list[type]:
        (said,) = ran(of, map_).findings
        return [type(move) for move in said.moves]

    wall, cap = stone("granite"), stone("granite", kind="cap", set_="loose")
    bonded = stone("granite", kind="cap")
    assert moves(bonded, heat(bonded, through_K=40.0)) == [Loosen, Insulate, Swap]
    assert moves(bonded, heat(bonded, through_K=40.0, edge_K=40.0)) == [Cut, Insulate, Swap]
    assert moves(cap, heat(cap, edge_K=40.0)) == [Cut, Insulate, Swap]
    assert moves(wall, heat(wall, peak_C=400.0)) == [Insulate, Swap]
    # a wall carries and keeps the gas in: it is never set loose
    assert moves(wall, heat(wall, through_K=40.0)) == [Insulate, Swap]
    assert moves(wall, heat(wall, through_K=40.0, edge_K=60.0)) == [Insulate, Swap]
    thin = stone("soapstone", bounds="firebox", thickness_m=0.03)
    assert moves(thin, heat(thin)) == [Thicken, Swap]


@pytest.mark.parametrize("first", ["card", "gap"])
def test_a_card_that_burns_out_keeps_no_fire_off(first: str) -> None:
    """F064: thin slabs as a firebox. 3 mm of card, or a gap, in front of 30 mm of stone."""
    before = layer("burn-out-card", 0.003, role="sacrificial") if first == "card" else layer(
        gap="closed", thickness_m=0.003
    )
    of = make.part("fire", "wall", [before, layer("soapstone", 0.03)], bounds=("firebox",))
    assert keys(of, heat(of)) == {"STONE-63"}
    brick = make.part("fire", "wall", [layer("firebrick-medium-duty", 0.06),
                                       layer("soapstone", 0.03)], bounds=("firebox",))  # fmt: skip
    assert keys(brick, heat(brick)) == set()


def test_a_class_that_nobody_named_counts_as_the_worst() -> None:
    row = dict(make.CATALOGUE._row("granite"))
    shock = dict(row["thermal_shock"]) | {"class": "very-low"}  # type: ignore[call-overload]
    catalogue = Catalogue(extra={"lake-stone": {**row, "thermal_shock": shock}})
    of = stone("lake-stone")
    done = run(RULE, make.build([of]), heat(of, through_K=40.0), catalogue=catalogue)
    assert [f.lead.limit.key for f in done.findings if f.lead.limit] == ["STONE-BOND-LOW"]


def test_other_bodies_are_left_to_other_rules() -> None:
    for material in ("clay-brick-common", "concrete-normal-siliceous", "ceramic-tile"):
        of = stone(material)
        assert ran(of, heat(of, peak_C=600.0, through_K=300.0, edge_K=200.0)).looks == {}


def test_a_layer_without_heat_is_not_judged() -> None:
    of = stone("granite")
    (asked,) = ran(of, make.hot()).unjudged
    assert asked.subject == "bell-wall"
    unread: Layer = of.layers[0]
    map_ = make.hot([patch(of, [layer_heat(unread, spread(60.0), spread(40.0), unjudged="no k")])])
    (asked,) = ran(of, map_).unjudged
    assert asked.reason == "no k"
