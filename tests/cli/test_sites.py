"""What an answer carries of its files: lines, places, exact changes, and the way of the heat."""

from __future__ import annotations

from dataclasses import replace

import pytest

from stovelint.cli.answers.heatpath import heat_paths
from stovelint.cli.answers.sites import sites_of
from stovelint.hotmap.records import DepthHeat, HotMap, PatchHeat
from stovelint.place import Mark, Span
from stovelint.remedy import Edit, Proposal
from stovelint.report.sites import Sites
from stovelint.review import Review
from stovelint.source import Source
from stovelint.source.formats import parse_text
from tests.report import make as report_make
from tests.rules import make

NAME = "kiln.heater.yaml"
TEXT = """\
title: Kiln Cottage
chambers:
  bell: {kind: bell}
parts:
  bell-cap:
    layers:
      - {material: granite, thickness: 40 mm}
      - {material: perlite, thickness: 50 mm}
"""
CAP = make.part("bell-cap", "cap", [make.layer("granite", 0.04), make.layer("perlite", 0.05)])


class Memory:
    """A shelf that holds one text."""

    def read(self, path: str) -> bytes:
        return TEXT.encode()

    def base_path(self, plan: str, by: str, named: str) -> str:
        raise AssertionError


def source() -> Source:
    return replace(parse_text(NAME, TEXT, NAME), path=NAME)


def review(where: str = "", *, exact: bool = False) -> Review:
    found = report_make.finding(
        report_make.measure(272, 324, 387, report_make.limit(), where=where, exact=exact)
    )
    return replace(
        report_make.review(report_make.item(found)), build=make.build([CAP])
    )


def faces(hot_C: float, cold_C: float) -> dict[float, DepthHeat]:
    return {
        0.0: make.depth(make.spread(hot_C), make.spread(hot_C / 2)),
        0.05: make.depth(make.spread(cold_C), make.spread(cold_C / 2)),
    }


def patch(where: str, hot_C: float, *, unjudged: str | None = None) -> PatchHeat:
    mean = make.spread(50.0)
    first = make.layer_heat(CAP.layers[0], make.spread(hot_C), mean)
    last = make.layer_heat(CAP.layers[1], make.spread(hot_C / 3), mean, unjudged=unjudged)
    known = faces(hot_C / 2, hot_C / 4)
    last = replace(last, at=lambda depth_m: known[round(depth_m, 4)])
    return make.patch(CAP, [first, last], where=where)


def heat(*patches: PatchHeat) -> HotMap:
    return make.hot(list(patches))


def test_the_way_goes_from_face_to_face() -> None:
    found = heat_paths(review(), heat(patch("span", 300.0)), source().places)
    first, second, outer = found[0]
    assert first.words == "span: hot side of layer 1, granite"
    assert second.words == "span: hot side of layer 2, perlite"
    assert outer.words == "span: outer face"
    assert [step.peak_C[1] for step in found[0]] == [300.0, 150.0, 75.0]
    assert [step.span.start.line for step in found[0]] == [6, 7, 7]


@pytest.mark.parametrize("where, top", [("edge", 100.0), ("", 300.0), ("elsewhere", 300.0)])
def test_the_hottest_of_the_places_that_are_named(where: str, top: float) -> None:
    hot = heat(patch("edge", 100.0), patch("span", 300.0), patch("corner", 200.0))
    assert heat_paths(review(where), hot, source().places)[0][0].peak_C[1] == top


def test_nothing_is_told_of_what_was_not_computed() -> None:
    places = source().places
    assert heat_paths(review(exact=True), heat(patch("span", 300.0)), places) == {}
    assert heat_paths(review(), heat(patch("span", 300.0, unjudged="no data")), places) == {}
    assert heat_paths(review(), heat(), places) == {}
    assert heat_paths(review(), replace(heat(), cycles={}), places) == {}


def proposal(*edits: Edit, passes: bool = True, on_top: bool = False) -> Proposal:
    return replace(report_make.proposal(passes=passes, on_top=on_top), edits=edits)


THICKER = Edit(path=("parts", "bell-cap", "layers", 0, "thickness"), value="60 mm")


def test_only_what_passes_alone_is_told_as_a_change() -> None:
    tried = {
        0: (
            proposal(THICKER, passes=False), proposal(THICKER, on_top=True), proposal(),
            proposal(THICKER), proposal(replace(THICKER, path=("no", "such"))),
        )
    }  # fmt: skip
    sites = sites_of(source(), review(), heat(), tried, Memory())
    ((key, (made,)),) = sites.fixes.items()
    assert key == (0, 3) and made.text == "60 mm"


def test_lines_and_places_of_the_file() -> None:
    sites = sites_of(source(), review(), heat(patch("span", 300.0)))
    assert sites.texts == {NAME: TEXT}
    assert sites.chambers["bell"].start.line == 2
    assert sites_of(source(), replace(review(), items=()), heat()).chambers == {}
    layer = source().places.value(("parts", "bell-cap", "layers", 0))
    assert sites.line_end(layer) == len("      - {material: granite, thickness: 40 mm}")
    assert sites.around(layer, 1) == (5, "\n".join(TEXT.splitlines()[5:8]))
    assert sites.around(layer, 99) == (0, TEXT.removesuffix("\n"))
    assert sites.around(layer, 0) == (6, TEXT.splitlines()[6])
    elsewhere = replace(layer, file="another")
    assert sites.line_end(elsewhere) is None and sites.around(elsewhere, 1) is None
    assert 0 in sites.flows and not sites.fixes


@pytest.mark.parametrize("text", [TEXT.replace("\n", "\r\n"), TEXT.removesuffix("\n")])
def test_lines_end_before_their_break(text: str) -> None:
    read = parse_text(NAME, text, NAME)
    sites = Sites(texts={NAME: text})
    for number, line in enumerate(TEXT.splitlines()):
        start = text.replace("\r", "").splitlines()[:number]
        width = 2 if "\r" in text else 1
        offset = sum(len(one) + width for one in start)
        spot = Mark(line=number, column=0, offset=offset)
        span = Span(file=NAME, start=spot, end=spot)
        assert sites.line_end(span) == len(line)
        assert sites.around(span, 0) == (number, line)
    assert sites.line_end(read.places.value(("title",))) == len("title: Kiln Cottage")
