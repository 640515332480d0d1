"""Statements that hold for every row, walked one by one."""

from __future__ import annotations

import re
from typing import Any, Iterator, Mapping

import numpy as np
import pytest
import tomli

from stovelint.catalogue import Curve, Material
from stovelint.catalogue.catalogue import DATA, HERE
from tests.catalogue.shared import CATALOGUE, MATERIALS, NAMES, at, first_crack_K

GRADES = {"read", "second-hand", "mixed", "recalled", "practice", "computed"}
BEYOND = GRADES | {"judgement"}
SHOCKS = {
    "very-high", "high", "medium-high", "medium", "low-medium", "low", "not-brittle",
    "not-applicable",
}  # fmt: skip
COLDEST_C = -30.0

with open(f"{HERE}/data-sources.toml", encoding="utf-8") as _file:
    SOURCES: Mapping[str, str] = tomli.loads(_file.read())

every = pytest.mark.parametrize("material", MATERIALS, ids=NAMES)


def blocks(node: Any, path: str = "") -> Iterator[tuple[str, Mapping[str, Any]]]:
    """Every table of a row that holds a figure or a statement."""
    if isinstance(node, Mapping):
        if path and not path.endswith((".below", ".above")) and "missing" not in node:
            yield path, node
        for key, value in node.items():
            yield from blocks(value, f"{path}.{key}")
    elif isinstance(node, list):
        for index, value in enumerate(node):
            yield from blocks(value, f"{path}.{index}")


def curves(material: Material) -> Iterator[Curve]:
    for own in (material.conductivity, material.specific_heat):
        if own is not None:
            yield own


def test_all_materials_are_there() -> None:
    assert len(NAMES) == 96
    asked = {
        "burn-out-card", "rope-gasket", "plastic-foam", "soil", "flue-liner-clay", "unknown-stone",
        "salvaged-brick", "aes-blanket-128", "straw", "bedding",
    }  # fmt: skip
    assert asked <= set(NAMES)


@every
def test_names_are_plain(material: Material) -> None:
    assert re.fullmatch(r"[a-z][a-z0-9]*(-[a-z0-9]+)*", material.name)
    assert material.family in CATALOGUE.classes()
    assert material.title and material.placement and material.hazard
    assert material.thermal_shock in SHOCKS
    assert material.moisture_risk in {"low", "medium", "high"}


@every
def test_every_figure_has_a_grade_and_a_source(material: Material) -> None:
    for path, block in blocks(dict(material.raw)):
        assert block.get("grade") in GRADES, path
        assert len(str(block.get("source", "")).strip()) > 3, path
        for key in block["keys"]:
            assert key in SOURCES, (path, key)
        for key in re.findall(r"\[([A-Z][A-Za-z0-9]*)\]", str(block["source"])):
            assert key in block["keys"], (path, key)
        if block["grade"] == "recalled" and path.count(".") == 1:
            text = str(block["source"])
            assert "memory" in text or "convention" in text or block["keys"], path


@every
def test_recalled_and_practice_say_so(material: Material) -> None:
    """No figure from memory may pass for one that was read."""
    for path, block in blocks(dict(material.raw)):
        source = str(block["source"])
        if source.startswith("from memory") and "read" not in source:
            assert block["grade"] == "recalled", path
        if source == "common practice, no source":
            assert block["grade"] == "practice", path
        if block["grade"] == "second-hand":
            assert "second hand" in source, path


@every
def test_ranges_are_in_order(material: Material) -> None:
    for path, block in blocks(dict(material.raw)):
        for column in ("value", "band_20C"):
            value = block.get(column)
            if isinstance(value, list):
                low, typical, high = value
                assert low <= typical <= high, (path, column)
        for column in ("points", "lower_limit"):
            T = [point[0] for point in block.get(column, [])]
            assert T == sorted(set(T)), (path, column)


@every
def test_caps_name_what_fails(material: Material) -> None:
    assert material.max_service.C <= material.max_peak.C
    for cap in (material.max_service, material.max_peak):
        assert len(cap.fails) > 4
        assert not cap.fails.startswith(("as above", "as siliceous", "as mortar"))
    if material.combustible:
        assert material.max_service.C <= 100.0
        assert material.treat_as_combustible == "yes"


@every
def test_a_layer_has_what_the_heat_needs(material: Material) -> None:
    if material.usable_as != "layer":
        return
    assert material.conductivity is not None and material.specific_heat is not None
    # a misplaced material must still be computed well past the cap that it breaks
    hot = material.max_peak.C + (200.0 if material.max_peak.C <= 400.0 else 0.0)
    if material.combustible or material.family == "ground":
        hot = material.max_peak.C
    for own in curves(material):
        assert own.covers(COLDEST_C, hot), own.subject


@every
def test_curves_stay_positive_and_keep_their_spread_outside_in(material: Material) -> None:
    for own in curves(material):
        T = np.linspace(own.low_C, own.high_C, 200)
        low, high = own.spread_low(T), own.spread_high(T)
        assert (own.at(T) > 0.0).all() and (own.at(T) * low > 0.0).all()
        assert (low <= 1.0).all() and (high >= 1.0).all()
        assert (low < high).all()
        inside = (own.table_low_C <= T) & (T <= own.table_high_C)
        assert (own.widening(T)[inside] == 0.0).all()
        assert own.widening(own.low_C) > 0.0 and own.widening(own.high_C) > 0.0
        assert own.grade in GRADES
        assert own.grade_below in BEYOND and own.grade_above in BEYOND


@every
def test_room_conductivity_never_falls_below_still_air(material: Material) -> None:
    if material.conductivity is not None and material.family != "plastic":
        assert float(material.conductivity.at(20.0)) > 0.026


def class_rows() -> list[tuple[str, Mapping[str, Any]]]:
    return sorted(CATALOGUE.classes().items())


@pytest.mark.parametrize(("family", "row"), class_rows(), ids=sorted(CATALOGUE.classes()))
def test_every_class_gives_its_reasons(family: str, row: Mapping[str, Any]) -> None:
    for key in ("conductivity_W_mK", "specific_heat_J_kgK"):
        block = row[key]
        if family != "any":
            low, high = block["spread"]
            assert 0.0 < low < 1.0 < high
            assert len(block["spread_reason"]) > 5
        for side in ("below", "above"):
            if side in block:
                assert block[side]["grade"] in BEYOND
                assert block[side]["how"] in {"held", "line"}
                assert len(block[side]["reason"]) > 10
    if family != "any":
        assert row["emissivity"]["grade"] in GRADES and row["emissivity"]["source"]
        assert any(m.family == family for m in MATERIALS), "a class without a member"


def test_emissivity_defaults_say_that_they_are_of_the_class() -> None:
    own = CATALOGUE.get("clay-brick-common").emissivity
    assert "default" not in own.source and own.typical == 0.93
    default = CATALOGUE.get("gneiss").emissivity
    assert default.source.startswith("default of the class natural stone")
    assert default.grade == "mixed"


# ---- orders that the trade and physics know ---------------------------------------------------


def test_order_of_room_conductivity() -> None:
    order = (
        "perlite-loose", "vermiculite-loose", "expanded-clay-loose", "perlite-concrete-1-4",
        "sand-dry", "clay-brick-common", "granite", "soapstone",
    )  # fmt: skip
    k = [at(name, "conductivity", 24.0) for name in order]
    assert k == sorted(k) and len(set(k)) == len(k)


def test_denser_blanket_insulates_better_when_hot() -> None:
    k = [at(f"ceramic-fibre-blanket-{w}", "conductivity", 800.0) for w in (128, 96, 64)]
    assert k[0] < k[1] < k[2]


def test_loose_fills_conduct_far_more_when_hot() -> None:
    for name in ("perlite-loose", "vermiculite-loose", "mineral-wool", "expanded-clay-loose"):
        assert at(name, "conductivity", 400.0) > 2.0 * at(name, "conductivity", 24.0), name


def test_portland_goods_never_serve_above_200() -> None:
    goods = [m for m in MATERIALS if m.family in {"portland-concrete", "concrete-block"}]
    assert len(goods) == 5
    assert all(m.max_service.C <= 200.0 for m in goods)


def test_damp_lovers() -> None:
    damp = [m for m in MATERIALS if m.family in {"aac", "perlite-concrete"}]
    assert len(damp) == 6
    assert all(m.moisture_risk == "high" for m in damp)


def test_first_crack_resistance_of_fireclay_beats_every_concrete() -> None:
    def of(family: str) -> list[float]:
        found = [first_crack_K(m) for m in MATERIALS if m.family == family]
        return [r for r in found if r is not None]

    assert len(of("fireclay-brick")) == 4 and len(of("portland-concrete")) == 3
    assert min(of("fireclay-brick")) > max(of("portland-concrete"))


def test_sand_is_no_great_insulator() -> None:
    sand = at("sand-dry", "conductivity", 24.0)
    assert sand > 5.0 * at("perlite-loose", "conductivity", 24.0)
    assert at("clay-brick-common", "conductivity", 24.0) > 2.9 * sand


def test_soft_is_what_gives_way() -> None:
    soft = {m.name for m in MATERIALS if m.soft and m.family == "fibre"}
    assert "ceramic-fibre-board" not in soft
    assert {"aes-blanket-128", "mineral-wool", "rope-gasket", "ceramic-fibre-paper"} <= soft
    assert not CATALOGUE.get("calcium-silicate-insulation").soft


def test_paper_faced_board_counts_as_combustible() -> None:
    board = CATALOGUE.get("gypsum-board")
    assert not board.combustible and board.treat_as_combustible == "yes"
    assert CATALOGUE.get("cement-backer-board").treat_as_combustible == "check listing"
    assert CATALOGUE.get("firebrick-low-duty").treat_as_combustible == "no"


def test_the_folder_holds_rows_only() -> None:
    import os

    assert {f for f in os.listdir(DATA) if not f.endswith(".toml")} == set()
