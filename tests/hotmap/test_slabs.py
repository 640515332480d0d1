"""Bow, pull, own weight and chill of slabs from hand-made heat, by hand."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Callable, Literal, Sequence

import numpy as np
import pytest
from numpy.typing import NDArray

from stovelint.build import Build, Layer, Part, PartKind, Size
from stovelint.heat.deadload import round_plate, two_way
from stovelint.heat.slab import hot_spot_Pa
from stovelint.hotmap.ownweight import Carried, carries, own_weight
from stovelint.hotmap.ranges import Range
from stovelint.hotmap.records import BodyHeat, LayerHeat, PatchHeat
from stovelint.hotmap.slabs import Slab, Slabs, slabs
from stovelint.hotmap.zones import rooms
from tests.rules import make

CONCRETE = "concrete-normal-siliceous"  # 2200/2300/2400, 9.5/10.8/12, E 25/31/38, nu .15/.2/.2
G = 9.80665
Floats = NDArray[np.float64]


def inside(of: Layer, profile: Callable[[float], float], mean_C: float = 100.0) -> LayerHeat:
    """A layer whose profile stands at the second of three samples; 20 degC before and after."""
    rest = np.full((make.CASES, 1), 20.0)

    def history(depth_m: float) -> tuple[Floats, ...]:
        here = np.full((make.CASES, 1), profile(depth_m / of.thickness_m))
        return (np.hstack([rest, here, rest]),)

    body = BodyHeat(
        volume_m3=1.0, mean_C=(np.hstack([rest, np.full((make.CASES, 1), mean_C), rest]),),
        held_J=(np.zeros((make.CASES, 3)),), period_s=43200.0,
    )  # fmt: skip
    plain = make.layer_heat(of, make.spread(100.0), make.spread(100.0))
    return replace(plain, history=history, body=lambda: body)


def straight(through_K: float) -> Callable[[float], float]:
    return lambda x: 20.0 + through_K * (1.0 - x)


def cap(
    *layers: Layer, kind: PartKind = "cap", pieces: tuple[float, float] | None = (1.0, 1.1),
    bounds: Sequence[str] = ("bell",),
) -> Part:  # fmt: skip
    of = make.part("slab", kind, layers or [make.layer(CONCRETE, 0.06)], bounds=bounds)
    return replace(of, layers=(replace(of.layers[0], pieces_m=pieces), *of.layers[1:]))


def told(of: Part, *patches: PatchHeat, build: Build | None = None) -> Slabs:
    heat = make.hot(patches).cycles["hardest"]
    return slabs(build or make.build([of]), heat, make.CATALOGUE)


def one(of: Part, profile: Callable[[float], float], build: Build | None = None) -> Slab:
    patch = make.patch(of, [inside(layer, profile) for layer in of.layers])
    found = told(of, patch, build=build).slabs
    assert len(found) == 1
    return found[0]


def values(of: Range | None) -> list[float]:
    assert of is not None
    return [of.low, of.mid, of.high]


def test_a_straight_profile_bows_a_slab_and_pulls_only_when_held() -> None:
    """150 K through 60 mm, 1.1 m long: alpha dT s^2 / 8 t; E alpha dT / 2 (1 - nu)."""
    found = one(cap(), straight(150.0))
    assert found.over_m == 1.1
    bow = [a * 1e-6 * 150.0 / 0.06 * 1.1**2 / 8.0 for a in (9.5, 10.8, 12.0)]
    assert values(found.bow_m) == pytest.approx(bow)
    held = [
        E * a * 1e3 * 150.0 / (2.0 * (1.0 - nu))
        for E, a, nu in ((25.0, 9.5, 0.15), (31.0, 10.8, 0.2), (38.0, 12.0, 0.2))
    ]
    assert values(found.flat_Pa) == pytest.approx(held)
    assert np.abs(values(found.free_Pa)).max() < 1.0
    assert values(found.strength_Pa) == [2.5e6, 4e6, 6e6]


def test_a_cold_face_at_the_fire_bows_it_as_far() -> None:
    assert values(one(cap(), straight(-150.0)).bow_m) == pytest.approx(
        values(one(cap(), straight(150.0)).bow_m)
    )


def test_uneven_heat_pulls_in_a_free_slab() -> None:
    """T = 600 (x - 1/2)^2: middle pulled by E alpha / (1 - nu) 600 / 12, looked at in 7 depths: the
    mean of six straight pieces is 1/12 + 1/6^3 ... of it: 50 + 600 / 6^2 / 6 K."""
    found = one(cap(), lambda x: 20.0 + 600.0 * (x - 0.5) ** 2)
    mean = 600.0 * (1.0 / 12.0 + 1.0 / 6.0**3)
    assert values(found.free_Pa)[1] == pytest.approx(31.0 * 10.8e3 * mean / 0.8, rel=1e-9)
    assert max(values(found.bow_m)) < 1e-9


def test_the_worst_place_counts() -> None:
    of = cap()
    patches = [make.patch(of, [inside(of.layers[0], straight(K))]) for K in (50.0, 150.0, 90.0)]
    (found,) = told(of, *patches).slabs
    assert values(found.bow_m) == pytest.approx(values(one(of, straight(150.0)).bow_m))


def edged(of: Part, middle_C: float, edge_C: float) -> Slab:
    span, edge = (
        replace(
            make.patch(of, [inside(x, straight(0.0), C) for x in of.layers], where=where),
            area_m2=area,
        )
        for where, area, C in (("span", 0.72, middle_C), ("bearing edge", 0.38, edge_C))
    )  # fmt: skip
    (found,) = told(of, span, edge).slabs
    return found


def test_a_slab_of_one_piece_is_pulled_round_its_hot_middle() -> None:
    spot, whole = math.sqrt(0.72 / math.pi), math.sqrt(1.10 / math.pi)
    by_hand = [
        float(hot_spot_Pa(E * 1e9, a * 1e-6, 160.0, spot, spot, whole).hoop_Pa)
        for E, a in ((25.0, 9.5), (31.0, 10.8), (38.0, 12.0))
    ]
    assert values(edged(cap(), 260.0, 100.0).rim_Pa) == pytest.approx(by_hand)
    assert values(edged(cap(pieces=None), 260.0, 100.0).rim_Pa) == pytest.approx(by_hand)
    # cut across, or free to slide, it gives way
    assert edged(cap(pieces=(1.1, 0.5)), 260.0, 100.0).rim_Pa is None
    of = cap()
    loose = replace(of, layers=(replace(of.layers[0], set="loose"),))
    assert edged(loose, 260.0, 100.0).rim_Pa is None
    assert one(cap(), straight(50.0)).rim_Pa is None  # no edge was computed


def weight(of: Part, index: int = 0, build: Build | None = None) -> Carried | None:
    plan = build or make.build([of])
    return own_weight(of, index, rooms(plan), plan.gauges_m, make.CATALOGUE)


def test_a_cap_of_one_piece_bears_both_ways() -> None:
    """0.8 by 0.9 m inside, 100 mm of bearing all round: 1.0 by 1.1 m."""
    found = weight(cap())
    assert found is not None and found.both_ways and found.span_m == 0.8
    by_hand = [
        float(two_way(rho * G * 0.06, (0.8, 0.9), 0.06).stress_Pa) for rho in (2200, 2300, 2400)
    ]
    assert values(found.stress_Pa) == pytest.approx(by_hand)
    assert weight(cap(pieces=None)) == found
    drawn_short = weight(cap(pieces=(0.996, 1.096)))
    assert drawn_short is not None and drawn_short.both_ways


def test_strips_bear_one_way_over_the_longest_side_they_reach() -> None:
    for pieces, span in (((1.1, 0.3), 0.9), ((0.3, 1.0), 0.8), ((0.996, 0.3), 0.8)):
        found = weight(cap(pieces=pieces))
        assert found is not None and not found.both_ways and found.span_m == span
        assert found.stress_Pa.mid == pytest.approx(0.75 * 2300 * G * 0.06 * (span / 0.06) ** 2)
    assert weight(cap(pieces=(0.9, 0.3))) is None
    bare = replace(cap(pieces=(0.9, 0.3)), bearing=None)
    found = weight(bare)
    assert found is not None and found.span_m == 0.9


def test_what_lies_on_it_and_hangs_under_it_is_carried_too() -> None:
    layers = (
        make.layer("ceramic-fibre-blanket-128", 0.05), make.layer(CONCRETE, 0.06),
        make.layer(gap="closed", thickness_m=0.01), make.layer("soapstone", 0.04),
        make.layer("burn-out-card", 0.004, role="sacrificial"),
    )  # fmt: skip
    of = make.part("slab", "cap", layers)
    assert carries(of, make.CATALOGUE) == 1
    assert carries(replace(of, kind="wall"), make.CATALOGUE) is None
    load = G * (128 * 0.05 + 2300 * 0.06 + 2900 * 0.04)
    found = weight(of, 1)
    assert found is not None
    assert found.stress_Pa.mid == pytest.approx(float(two_way(load, (0.8, 0.9), 0.06).stress_Pa))
    assert weight(of, 0) is None and weight(of, 3) is None


def test_a_drawn_span_counts_first() -> None:
    of = cap(make.layer(CONCRETE, 0.06), make.layer("soapstone", 0.04))
    spans = replace(of, layers=(replace(of.layers[0], span_m=0.5), *of.layers[1:]))
    found = weight(spans)
    assert found is not None and (found.span_m, found.both_ways) == (0.5, False)
    load = G * (2300 * 0.06 + 2900 * 0.04)
    assert found.stress_Pa.mid == pytest.approx(0.75 * load * (0.5 / 0.06) ** 2)
    upper = replace(of, layers=(of.layers[0], replace(of.layers[1], span_m=0.5)))
    alone = weight(upper, 1)
    assert alone is not None
    assert alone.stress_Pa.mid == pytest.approx(0.75 * G * 2900 * 0.04 * (0.5 / 0.04) ** 2)


def test_a_lintel_carries_its_height() -> None:
    """0.5 m of opening, two courses of 75 mm: 3 rho g s^2 / 4 h."""
    of = make.part("it", "lintel", [make.layer(CONCRETE, 0.1)], courses=("brick", 9, 10))
    spans = replace(of, layers=(replace(of.layers[0], span_m=0.5),))
    found = weight(spans)
    assert found is not None
    assert found.stress_Pa.mid == pytest.approx(0.75 * 2300 * G * 0.25 / 0.15)
    assert weight(of) is None
    assert weight(replace(spans, courses=None)) is None


def test_round_and_lying_chambers() -> None:
    tower = replace(make.chamber("bell", "bell"), size=Size(diameter_m=0.6, height_m=1.5))
    of = cap(pieces=None)
    found = weight(of, build=make.build([of], chambers=[tower]))
    assert found is not None and found.both_ways
    assert found.stress_Pa.mid == pytest.approx(float(round_plate(2300 * G * 0.06, 0.6, 0.06)))
    run = replace(make.chamber("bench", "bench"), size=Size(length_m=2.0, width_m=0.4,
                                                            height_m=0.3))  # fmt: skip
    seat = cap(kind="bench-top", bounds=("bench",), pieces=None)
    found = weight(seat, build=make.build([seat], chambers=[run]))
    assert found is not None and (found.span_m, found.both_ways) == (0.4, False)
    bowed = one(seat, straight(100.0), make.build([seat], chambers=[run]))
    assert bowed.bow_m is None and bowed.flat_Pa is not None
    drawn = cap(kind="bench-top", bounds=("bench",), pieces=(0.6, 0.5))
    bowed = one(drawn, straight(100.0), make.build([drawn], chambers=[run]))
    assert bowed.bow_m is not None and bowed.over_m == 0.6
    lost = replace(of, bounds=("elsewhere",))
    assert weight(lost) is None


def at_the_fire(kind: PartKind, of: Layer) -> tuple[Part, Build]:
    part = make.part("it", kind, [of], bounds=("firebox",))
    return part, make.build([part], chambers=[make.chamber("firebox", "firebox")])


def test_the_chill_that_a_face_at_the_fire_takes() -> None:
    """Firebrick 100 mm: Bi = 20 x 0.1 / k; strength (1 - nu) / (E alpha share)."""
    part, build = at_the_fire("wall", make.layer("firebrick-medium-duty", 0.1))
    found = one(part, straight(100.0), build)
    curve = make.CATALOGUE.get("firebrick-medium-duty").conductivity
    assert curve is not None
    bi = 20.0 * 0.1 / float(curve.at(100.0))
    share = 1.0 / (1.5 + 3.25 / bi - 0.5 * math.exp(-16.0 / bi))
    by_hand = [
        f * 1e6 * (1.0 - nu) / (E * a * 1e3 * share)
        for f, E, a, nu in ((3.45, 25.0, 6.5, 0.2), (7.0, 14.0, 5.5, 0.15), (12.0, 6.0, 4.5, 0.1))
    ]
    assert values(found.chill_K) == pytest.approx(by_hand)
    assert (found.bow_m, found.free_Pa, found.flat_Pa, found.carried) == (None,) * 4


@pytest.mark.parametrize(
    ("kind", "of", "chamber"),
    [
        ("wall", make.layer("firebrick-medium-duty", 0.1), "bell"),  # no fire, no slab
        ("glass", make.layer("glass-ceramic", 0.004), "firebox"),
        ("wall", make.layer("mortar-clay-sand", 0.1), "firebox"),
        ("cap", make.layer("calcium-silicate-insulation", 0.1), "firebox"),
        ("cap", make.layer("perlite-loose", 0.1), "firebox"),
        ("cap", make.layer("ceramic-fibre-blanket-128", 0.1), "firebox"),
        ("cap", make.layer("burn-out-card", 0.004, role="s"), "firebox"),
        ("cap", make.layer(gap="closed", thickness_m=0.01), "firebox"),
    ],
)  # fmt: skip
def test_what_is_no_slab(kind: PartKind, of: Layer, chamber: str) -> None:
    part = make.part("it", kind, [of], bounds=(chamber,))
    build = make.build([part], chambers=[
        make.chamber("firebox", "firebox"), make.chamber("bell", "bell"),
    ])  # fmt: skip
    found = told(part, make.patch(part, [inside(part.layers[0], straight(9.0))]), build=build)
    assert (found.slabs, found.open) == ((), ())


def test_what_is_not_judged_or_not_computed_is_left_to_others() -> None:
    of = cap()
    dark = replace(inside(of.layers[0], straight(9.0)), judged=lambda: ("no k", ()))
    assert told(of, make.patch(of, [dark])).slabs == ()
    assert told(of).slabs == ()


@pytest.mark.parametrize("shape", ["dome", "vault"])
def test_an_arch_is_no_slab(shape: Literal["dome", "vault"]) -> None:
    """It was told the bow and the bending of a flat plate of its span."""
    of = replace(cap(), shape=shape)
    found = told(of, make.patch(of, [inside(of.layers[0], straight(90.0))]))
    (case,) = found.open
    assert found.slabs == () and case.path == of.layers[0].path and case.subject == "slab"
    assert case.reason.startswith("it carries as an arch")
    edge = make.patch(of, [inside(of.layers[0], straight(90.0))], where="bearing edge")
    span = make.patch(of, [inside(of.layers[0], straight(90.0))], where="span")
    assert told(of, span, edge).slabs == ()


def test_an_arch_over_a_fire_still_takes_its_chill() -> None:
    part, build = at_the_fire("cap", make.layer("firebrick-medium-duty", 0.1))
    vault = replace(part, shape="vault")
    found = one(vault, straight(100.0), replace(build, parts={"it": vault}))
    assert found.chill_K == one(part, straight(100.0), build).chill_K is not None
    assert (found.bow_m, found.free_Pa, found.flat_Pa, found.carried) == (None,) * 4
    assert found.rim_Pa is None


def test_missing_figures_are_named() -> None:
    of = cap(make.layer("soapstone", 0.06))
    found = told(of, make.patch(of, [inside(of.layers[0], straight(90.0))]))
    (case,) = found.open
    assert case.reason == "stiffness of soapstone is not known" and case.path == of.layers[0].path
    (slab,) = found.slabs
    assert slab.bow_m is not None and slab.carried is not None
    assert (slab.free_Pa, slab.flat_Pa, slab.chill_K) == (None,) * 3
    dark = cap(make.layer("flagstone", 0.06))
    found = told(dark, make.patch(dark, [inside(dark.layers[0], straight(90.0))]))
    assert found.open[0].reason == (
        "expansion and stiffness and bending strength of flagstone are not known"
    )
    assert found.slabs[0].strength_Pa is None and found.slabs[0].bow_m is None
    edged_dark = edged(dark, 200.0, 100.0)
    assert edged_dark.rim_Pa is None


def test_a_base_under_a_floor_does_not_see_the_fire() -> None:
    of, build = at_the_fire("base", make.layer("firebrick-medium-duty", 0.1))
    assert one(of, straight(100.0), build).chill_K is not None
    floor = make.part("floor", "floor", [make.layer("firebrick-medium-duty", 0.06)],
                      bounds=("firebox",))  # fmt: skip
    both = replace(build, parts={"it": of, "floor": floor})
    patch = make.patch(of, [inside(of.layers[0], straight(100.0))])
    assert told(of, patch, build=both).slabs == ()
    elsewhere = replace(build, parts={"it": of, "floor": replace(floor, bounds=("bell",))})
    assert len(told(of, patch, build=elsewhere).slabs) == 1
    wall = replace(of, kind="wall")
    over = replace(build, parts={"it": wall, "floor": floor})
    assert len(told(wall, patch, build=over).slabs) == 1
