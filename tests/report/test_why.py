"""Why a part is hot: the page says what the records say, input by input, within its margins."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import Sequence

import pytest

from stovelint.build import Build, Part
from stovelint.hotmap.cases import FAMILIES, INPUTS, OPEN_SHARE, TIGHT_SHARE
from stovelint.hotmap.influence import SHUT_OR_OPEN, Influence, Influenced
from stovelint.quantity import Units
from stovelint.report.why import FACTORS, TITLES, why_text
from tests.rules import make
from tests.rules.make import CATALOGUE, layer, layer_heat, patch, spread


def wall() -> Part:
    return make.part("bell-wall", "wall", [layer("clay-brick-common", 0.102)])


def moved(name: str, low_K: float, high_K: float, *materials: str) -> Influence:
    return Influence(name=name, materials=materials, low_K=low_K, high_K=high_K)


def found(inputs: Sequence[Influence], *peaks: float, where: str = "0.00 to 0.30 m") -> Influenced:
    one = layer_heat(wall().layers[0], spread(*peaks), spread(90.0))
    return Influenced(
        patch=patch(wall(), [one], where=where), layer=one, depth=one.hot_zone,
        influences=tuple(inputs),
    )  # fmt: skip


PEAKS = (100.0, 150.0, 150.0, 200.0)
STRONG = (moved("peclet", -43.0, 39.0), moved("charge", -20.0, 21.0))


def text(of: Influenced, units: Units = "si", build: Build | None = None) -> str:
    plan = make.build([wall()]) if build is None else build
    return why_text(plan, "bell-wall", {"hardest": of, "usual": of}, CATALOGUE, units)


def row(said: str, title: str) -> list[str]:
    """Cells after the title in the first row that begins so."""
    line = next(x.strip() for x in said.splitlines() if x.strip().startswith(title))
    return line[len(title) :].split()


def test_every_input_has_a_title_of_its_own() -> None:
    names = [item.name for item in INPUTS]
    assert sorted(TITLES) == sorted(names) and len(set(TITLES.values())) == len(names)
    assert FACTORS <= set(names)
    # what is told as a factor is one, and what is not is none: a factor's middle is 1, save for
    # the jet's, which multiplies free convection
    for item in INPUTS:
        assert (item.mid == 1.0 or item.name == "jet") == (item.name in FACTORS), item.name


def test_the_place_and_its_heat() -> None:
    said = " ".join(text(found(STRONG, *PEAKS)).split())
    assert (
        "0.00 to 0.30 m, clay-brick-common 102 mm: peak 150 degC (100 to 200), mean 90 degC "
        "(90 to 90)"
    ) in said
    assert said.index("hardest firing:") < said.index("usual firing:")


def test_an_input_is_told_with_its_range_effect_share_and_grade() -> None:
    said = text(found(STRONG, *PEAKS))
    # variances by hand: (43^2 + 39^2)/6 - (-4)^2/16 = 560.7; (20^2 + 21^2)/6 - 1/16 = 140.1
    assert row(said, TITLES["peclet"]) == ["0.7", "to", "6", "-43", "+39", "80", "%", "judgement"]
    assert row(said, TITLES["charge"]) == [
        "0.95", "to", "1.05", "x", "-20", "+21", "20", "%", "judgement",
    ]  # fmt: skip
    lines = said.splitlines()
    at = next(i for i, line in enumerate(lines) if TITLES["peclet"] in line)
    assert lines[at + 1].strip() == next(x.reason for x in INPUTS if x.name == "peclet")


@pytest.mark.parametrize("item", INPUTS, ids=lambda item: item.name)
def test_grade_and_reason_are_those_of_the_input(item: object) -> None:
    of = next(x for x in INPUTS if x is item)
    said = text(found([moved(of.name, -40.0, 40.0)], *PEAKS))
    assert row(said, TITLES[of.name])[-1] == of.grade
    assert of.reason in " ".join(said.split())


def test_a_reason_is_told_once() -> None:
    assert text(found(STRONG, *PEAKS)).count("kitchen scale") == 1


def test_small_inputs_are_told_together() -> None:
    small = (moved("film", -2.0, 2.0), moved("still", 0.0, -0.5))
    said = text(found((*STRONG, *small), *PEAKS))
    assert TITLES["film"] not in said and TITLES["still"] not in said
    # (2^2 + 2^2)/6 + 0.5^2/6 - 0.5^2/16 = 1.36 of 702.2
    assert (
        "2 others, none of which moves the peak by more than 4 K from end to end: share 0.2 %"
    ) in " ".join(said.split())


def test_alone_and_together_are_both_told() -> None:
    said = " ".join(text(found(STRONG, *PEAKS)).split())
    # sqrt(560.7 + 140.1) = 26.5; of 100, 150, 150, 200 the deviation is sqrt(1250) = 35.4
    assert "make the peak scatter by 26 K; over the 4 cases" in said
    assert "it scatters by 35 K (standard deviations)" in said


def test_a_conductivity_is_told_with_the_spread_of_its_materials() -> None:
    of = moved("k:fired-clay-brick", 9.0, -7.0, "clay-brick-common")
    said = text(found([of], *PEAKS))
    curve = CATALOGUE.get("clay-brick-common").conductivity
    assert curve is not None
    low, high = float(curve.low_factors.min()), float(curve.high_factors.max())
    cells = row(said, "conductivity, fired-clay-brick")
    assert cells[-1] == curve.grade and cells[1] == "to" and cells[3] == "x"
    # two figures after the point at least are printed
    assert float(cells[0]) == pytest.approx(low, abs=0.006)
    assert float(cells[2]) == pytest.approx(high, abs=0.006)
    assert "spread of clay-brick-common" in said


def test_materials_of_one_class_have_the_grade_of_the_weakest() -> None:
    of = moved("k:natural-stone", 9.0, -7.0, "flagstone", "granite")
    curves = [CATALOGUE.get(name).conductivity for name in of.materials]
    assert {curve.grade for curve in curves if curve is not None} == {"read", "recalled"}
    assert row(text(found([of], *PEAKS)), "conductivity, natural-stone")[-1] == "recalled"


def test_a_damper_of_which_nothing_is_said() -> None:
    said = " ".join(text(found([moved(SHUT_OR_OPEN, 15.0, -15.0)], *PEAKS)).split())
    assert "damper after the burn, not said shut to open +15 -15 100 % judgement" in said
    assert f"shut, {TIGHT_SHARE:.1%}" in said and f"open {OPEN_SHARE:.0%}" in said


def test_small_scatter_is_told_to_a_tenth() -> None:
    said = text(found([moved("room", -1.54, 1.54)], 59.0))
    assert row(said, TITLES["room"]) == ["-2", "to", "+2", "K", "-1.5", "+1.5", "100", "%",
                                         "judgement"]  # fmt: skip


def test_what_nothing_moves_is_no_fault() -> None:
    said = " ".join(text(found([moved("charge", 0.0, 0.0)], 59.0)).split())
    assert "1 others" not in said
    assert "the other one moves the peak by 0 K from end to end: share 0.0 %" in said


def test_us_units() -> None:
    said = text(found(STRONG, *PEAKS), "us")
    # 39 K are 70 Fahrenheit degrees, 150 degC are 302 degF
    assert row(said, TITLES["peclet"])[3:5] == ["-77", "+70"]
    assert "peak 302 degF (212 to 392)" in said and "0 to 12 in, " in said
    assert "degC" not in said and re.search(r"\d K\b", said) is None
    told = text(found([moved("peak_air_ratio", 40.0, -40.0)], *PEAKS), "us")
    assert "a firebox of 1832 degF needs" in told


def test_what_could_not_be_judged() -> None:
    said = why_text(make.build([wall()]), "bell-wall", {}, CATALOGUE)
    assert "Not computed: no layer of it could be judged" in said
    assert "strongest first" not in said


@pytest.mark.parametrize("units", ["si", "us"])
def test_lines_stay_on_the_page(units: Units) -> None:
    """The widest row of all: every input, every class with all its materials, a damper not said."""
    by_class = {
        name: [x for x in CATALOGUE.names() if CATALOGUE.get(x).family == name] for name in FAMILIES
    }
    wide = [moved(item.name, -123.0, 123.0) for item in INPUTS]
    wide += [moved(f"k:{name}", -123.0, 123.0, *rows) for name, rows in by_class.items() if rows]
    wide.append(moved(SHUT_OR_OPEN, -123.0, 123.0))
    of = found(wide, *PEAKS, where="bearing edge of the long wall, 0.0 to 0.6 m along " * 2)
    said = text(of, units, replace(make.build([wall()]), title="Kiln Cottage " * 12))
    assert max(map(len, said.splitlines())) <= 100
    assert said.count("%") > len(wide)
