"""The survey's section on what grows, bows and pulls."""

from __future__ import annotations

from dataclasses import replace
from typing import Sequence

import pytest

from stovelint.build import Build, Layer, Part, PartKind
from stovelint.hotmap.ranges import Range
from stovelint.hotmap.records import PatchHeat
from stovelint.quantity import Units
from stovelint.report.movement import _pull, movement_lines
from tests.hotmap.test_slabs import at_the_fire, cap, edged, inside, straight
from tests.rules import make

BRICK = "clay-brick-common"


def part(kind: PartKind, *layers: Layer, name: str = "it") -> Part:
    return make.part(name, kind, layers)


def warm(of: Part, *temps_C: float, unjudged: str | None = None) -> PatchHeat:
    return make.patch(of, [
        make.layer_heat(one, make.spread(t), make.spread(t), unjudged=unjudged)
        for one, t in zip(of.layers, temps_C)
    ])  # fmt: skip


def lines(build: Build, *patches: PatchHeat, units: Units = "si") -> list[str]:
    return movement_lines(build, make.hot(patches).cycles["hardest"], make.CATALOGUE, units)


def text(parts: Sequence[Part], *patches: PatchHeat, units: Units = "si") -> str:
    return " ".join(" ".join(lines(make.build(parts), *patches, units=units)).split())


@pytest.mark.parametrize(
    ("units", "row"),
    [("si", "it clay-brick-common 1.1 m 0.7 (0.4 to 0.9) 120"),
     ("us", "it clay-brick-common 3 ft 7 5/16 in 0.026 (0.017 to 0.035) 248")],
)  # fmt: skip
def test_growth(units: Units, row: str) -> None:
    """1.1 m by 100 K at 4, 6, 8e-6: 0.44, 0.66, 0.88 mm."""
    of = part("wall", make.layer(BRICK, 0.1))
    said = text([of], warm(of, 120.0), units=units)
    assert row in said
    assert ("the room's 20 degC" if units == "si" else "the room's 68 degF") in said


def test_what_hardly_grows_is_left_out() -> None:
    of = part("wall", make.layer(BRICK, 0.1))
    assert "it clay" not in text([of], warm(of, 76.0))  # 1.1 x 8e-3 x 56 = 0.49 mm
    assert "it clay" in text([of], warm(of, 78.0))  # 0.51 mm


def test_gaps_and_joints() -> None:
    skins = [
        make.layer("firebrick-medium-duty", 0.064), make.layer(gap="closed", thickness_m=0.004),
        make.layer(BRICK, 0.102),
    ]  # fmt: skip
    of = part("wall", *skins)
    said = text([of], warm(of, 320.0, 200.0, 120.0))
    assert (
        "it: between firebrick-medium-duty and clay-brick-common the closed gap of 4 mm keeps "
        "3.5 (3.2 to 3.8) mm on each side." in said
    )
    assert "presses" not in said and "soft joint" not in said
    tight = part("wall", skins[0], make.layer("ceramic-fibre-paper", 0.0005), skins[2])
    said = text([tight], warm(tight, 320.0, 200.0, 120.0))
    assert (
        "the ceramic-fibre-paper of 0.5 mm keeps 0.0 (-0.3 to 0.3) mm on each side; below nothing "
        "the inner layer presses; a soft joint that gives 30 to 50 % needs 1.0 to 1.6 mm" in said
    )


def test_a_gap_that_hardly_closes_is_left_out() -> None:
    """At 60 degC nothing of 1.1 m grows by half a millimetre."""
    skins = [
        make.layer("firebrick-medium-duty", 0.064), make.layer(gap="closed", thickness_m=0.004),
        make.layer(BRICK, 0.102),
    ]  # fmt: skip
    of = part("wall", *skins)
    assert "keeps" not in text([of], warm(of, 60.0, 60.0, 60.0))
    assert "keeps" in text([of], warm(of, 320.0, 200.0, 120.0))


def test_slides() -> None:
    wall = part("wall", make.layer(BRICK, 0.1), name="wall")
    top = replace(part("cap", make.layer("castable-dense-fireclay", 0.06), name="top"),
                  carried_by="wall")  # fmt: skip
    said = text([wall, top], warm(wall, 120.0), warm(top, 230.0))
    assert "top slides on wall by 0.3 (0.1 to 0.5) mm at each end." in said
    assert "slides" not in text([wall, top], warm(wall, 120.0), warm(top, 120.0))


def test_slabs() -> None:
    of = cap()
    patch = make.patch(of, [inside(of.layers[0], straight(150.0))])
    said = text([of], patch)
    # 2300 kg/m3 on 0.8 by 0.9 m: 0.054 w s2 between two printed rows, 0.078 MPa
    assert "slab concrete-normal-siliceous: own weight 0.08 (0.07 to 0.08) MPa over 800 mm" in said
    assert "bows 4.1 (3.6 to 4.5) mm over 1.1 m" in said
    assert "lying free" in said and "31 (21 to 43) held flat (MPa)" in said
    assert (
        "strength 4.0 (2.5 to 6.0) MPa; by the middle figures it could crack held flat." in said
    )
    assert "round its hot middle" not in said
    us = text([of], patch, units="us")
    assert "strength 580 (360 to 870) psi;" in us and "MPa" not in us and " mm" not in us


def test_a_slab_of_one_piece() -> None:
    of = cap()
    hot = edged(of, 260.0, 100.0)
    assert hot.rim_Pa is not None
    span, edge = (
        replace(make.patch(of, [inside(of.layers[0], straight(0.0), C)], where=where), area_m2=area)
        for where, area, C in (("span", 0.72, 260.0), ("bearing edge", 0.38, 100.0))
    )
    said = text([of], span, edge)
    assert f"{hot.rim_Pa.mid / 1e6:.0f} (" in said and "in one piece round its hot middle" in said


def test_a_cool_middle_does_not_pull_its_rim() -> None:
    """An insulated span under a bare bearing edge: the rim is pressed, and no pull is told."""
    of = cap()
    cold = edged(of, 100.0, 260.0)
    assert cold.rim_Pa is not None and cold.rim_Pa.high <= 0.0
    span, edge = (
        replace(make.patch(of, [inside(of.layers[0], straight(0.0), C)], where=where), area_m2=area)
        for where, area, C in (("span", 0.72, 100.0), ("bearing edge", 0.38, 260.0))
    )
    said = text([of], span, edge)
    assert "own weight" in said and "round its hot middle" not in said
    assert "could crack" not in said
    assert _pull(Range(low=-2.0, mid=-1.0, high=3.0)) == Range(low=0.0, mid=0.0, high=3.0)


def test_chills_stand_together() -> None:
    of, build = at_the_fire("wall", make.layer("firebrick-medium-duty", 0.1))
    found = lines(build, make.patch(of, [inside(of.layers[0], straight(100.0))]))
    said = " ".join(" ".join(found).split())
    assert "may start a crack from a chill of, typically (at worst): it firebrick-medium" in said
    assert "Slabs (pull" not in said
    us = " ".join(lines(build, make.patch(of, [inside(of.layers[0], straight(100.0))]), units="us"))
    assert "Fahrenheit degrees" in us


def test_a_reason_is_told_once_for_all_its_parts() -> None:
    board = make.layer("calcium-silicate-insulation", 0.05)
    one, two = part("base", board, name="one"), part("base", board, board, name="two")
    said = text([one, two], warm(one, 90.0), warm(two, 90.0, 80.0))
    assert said.count("not reckoned") == 1
    assert "one, two: the expansion of calcium-silicate-insulation is not known" in said


@pytest.mark.parametrize("units", ["si", "us"])
def test_lines_stay_on_the_page(units: Units) -> None:
    name = "wall-" * 8 + "x"
    of = part("wall", make.layer("concrete-lightweight-expanded-clay", 0.0984), name=name)
    slab = cap(make.layer("concrete-lightweight-expanded-clay", 0.0984))
    patch = make.patch(slab, [inside(slab.layers[0], straight(950.0), 1034.0)])
    shown = lines(make.build([of, slab]), warm(of, 1034.0), patch, units=units)
    assert max(map(len, shown)) <= 100
