"""What follows from the rows by arithmetic."""

from __future__ import annotations

from typing import Mapping, cast

import pytest

from stovelint.catalogue import Material
from tests.catalogue.shared import CATALOGUE, MATERIALS, NAMES, at, first_crack_K
from tests.heat.close import close

HANDED = (
    ("firebrick-medium-duty", 77), ("clay-brick-common", 71), ("concrete-normal-siliceous", 10),
    ("granite", 24), ("slate", 191), ("basalt", 26), ("cob", 160), ("ifb-23", 103),
)  # fmt: skip


@pytest.mark.parametrize(("name", "expected"), HANDED)
def test_first_crack_resistance(name: str, expected: int) -> None:
    found = first_crack_K(CATALOGUE.get(name))
    assert found is not None
    close(found, expected, within=0.5, unit="K", because="whole kelvins are given",
          source="R = flexural (1 - nu) / (E alpha), typical figures")  # fmt: skip


def printed_first_crack(material: Material) -> Mapping[str, object]:
    shock = cast(Mapping[str, object], material.raw["thermal_shock"])
    return cast(Mapping[str, object], shock.get("first_crack_K", {}))


def test_every_printed_first_crack_figure_is_recomputed() -> None:
    checked = 0
    for material in MATERIALS:
        printed = printed_first_crack(material)
        if "typical" not in printed:
            continue
        checked += 1
        found = first_crack_K(material)
        assert found is not None, material.name
        want = float(cast(float, printed["typical"]))
        close(found, want, within=max(0.05 * want, 0.5), unit="K",
              because="the row prints two digits", source="R of the same row")  # fmt: skip
        low, high = cast(list[float], printed["corners"])
        assert low < want < high
    assert checked == 38


def test_missing_inputs_of_the_first_crack_figure_are_missing() -> None:
    for material in MATERIALS:
        printed = printed_first_crack(material)
        for key in cast(list[str], printed.get("missing", [])):
            assert getattr(material, key) is None, (material.name, key)
        if "missing" in printed:
            assert first_crack_K(material) is None


EQUAL = (
    ("perlite-loose", 24.0, 19), ("vermiculite-loose", 24.0, 26), ("expanded-clay-loose", 20.0, 42),
    ("ifb-23", 400.0, 54), ("vermiculite-concrete", 20.0, 62), ("aac-500", 10.0, 50),
    ("clay-brick-common", 20.0, 300), ("firebrick-medium-duty", 400.0, 404),
)  # fmt: skip


@pytest.mark.parametrize(("name", "T", "expected_mm"), EQUAL)
def test_thickness_that_insulates_like_100_mm_of_dry_sand(
    name: str, T: float, expected_mm: int
) -> None:
    found = 100.0 * at(name, "conductivity", T) / at("sand-dry", "conductivity", 25.0)
    close(found, expected_mm, within=0.6, unit="mm", because="whole millimetres are given",
          source="t = 100 k / 0.26, both rows cited in the catalogue")  # fmt: skip


# ---- rows judged by their worst member --------------------------------------------------------

ENVELOPES = ("unknown-stone", "salvaged-brick")
TRIPLES = (
    "density_kg_m3", "emissivity", "youngs_modulus_GPa", "poisson", "expansion_1e6_K",
    "flexural_strength_MPa", "compressive_strength_MPa",
)  # fmt: skip


def members(name: str) -> list[Material]:
    return [CATALOGUE.get(n) for n in cast(list[str], CATALOGUE.get(name).raw["members"])]


@pytest.mark.parametrize("name", ENVELOPES)
def test_the_members_are_all_the_others_of_the_class(name: str) -> None:
    family = CATALOGUE.get(name).family
    others = [n for n in NAMES if n != name and CATALOGUE.get(n).family == family]
    assert [m.name for m in members(name)] == others


@pytest.mark.parametrize("name", ENVELOPES)
def test_the_ranges_are_the_envelope_of_the_members(name: str) -> None:
    row = CATALOGUE.get(name)
    for key in TRIPLES:
        have = [getattr(m, key) for m in members(name) if getattr(m, key) is not None]
        own = getattr(row, key)
        assert own.low == min(t.low for t in have), key
        assert own.high == max(t.high for t in have), key
        assert own.low <= own.typical <= own.high
    for key in ("conductivity", "specific_heat"):
        own = getattr(row, key)
        others = [getattr(m, key) for m in members(name)]
        low = min(float(c.at(20.0) * c.spread_low(20.0)) for c in others)
        high = max(float(c.at(20.0) * c.spread_high(20.0)) for c in others)
        source = "lowest and highest end of the members at 20 C"
        close(own.at(20.0) * own.spread_low(20.0), low, within=1e-3, because="printed in 4 digits",
              source=source)  # fmt: skip
        close(own.at(20.0) * own.spread_high(20.0), high, within=1e-3,
              because="printed in 4 digits", source=source)  # fmt: skip


@pytest.mark.parametrize("name", ENVELOPES)
def test_the_caps_are_the_lowest_of_the_members(name: str) -> None:
    row = CATALOGUE.get(name)
    for key in ("max_service", "max_peak"):
        worst = min((getattr(m, key) for m in members(name)), key=lambda cap: cap.C)
        own = getattr(row, key)
        assert (own.C, own.grade) == (worst.C, worst.grade)
        assert worst.fails in own.fails
