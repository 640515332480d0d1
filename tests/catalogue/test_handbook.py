"""Figures of standards and handbooks that the rows must hold."""

from __future__ import annotations

from typing import cast

import numpy as np
import pytest

from stovelint.catalogue import Material
from tests.catalogue.shared import CATALOGUE, MATERIALS, at, curve, numbers, table, triple
from tests.heat.close import close

BTU_IN = 0.14423
"""W/(m K) in one Btu in/(h ft2 F)."""
PSI = 0.0068948
"""MPa in one psi."""
LB_FT3 = 16.018
"""kg/m3 in one lb/ft3."""
PERLITE = "Perlite Institute, perlite concrete mix table"


@pytest.mark.parametrize(
    ("mix", "density_lb_ft3", "k_btu", "strength_psi"),
    [("1-4", 36.0, (0.83, 0.97), (300.0, 500.0)), ("1-6", 27.0, (0.58, 0.71), (125.0, 200.0)),
     ("1-8", 22.0, (0.46, 0.58), (80.0, 125.0))],
)  # fmt: skip
def test_perlite_concrete_mixes(
    mix: str, density_lb_ft3: float, k_btu: tuple[float, float], strength_psi: tuple[float, float]
) -> None:
    name = f"perlite-concrete-{mix}"
    own = triple(name, "density_kg_m3")
    assert own.low - 1.0 <= density_lb_ft3 * LB_FT3 <= own.high + 1.0
    low, _, high = numbers(name, "conductivity_W_mK", "band_20C")
    close([low, high], [k * BTU_IN for k in k_btu], within=0.015,
          because="both sides are rounded to two digits", source=PERLITE)  # fmt: skip
    strength = triple(name, "compressive_strength_MPa")
    close([strength.low, strength.high], [s * PSI for s in strength_psi], within=0.01,
          because="printed in two decimals of a MPa", source=PERLITE)  # fmt: skip


@pytest.mark.parametrize(
    ("name", "key", "minimum"),
    [("granite", "density_kg_m3", 2560.0), ("granite", "flexural_strength_MPa", 8.27),
     ("marble", "density_kg_m3", 2590.0), ("marble", "flexural_strength_MPa", 6.89),
     ("limestone", "density_kg_m3", 2160.0), ("limestone", "flexural_strength_MPa", 3.45),
     ("limestone", "compressive_strength_MPa", 28.0), ("quartzite", "density_kg_m3", 2560.0),
     ("quartzite", "flexural_strength_MPa", 13.79),
     ("quartzite", "compressive_strength_MPa", 138.0), ("slate", "flexural_strength_MPa", 49.64),
     ("concrete-lightweight-expanded-clay", "density_kg_m3", 960.0),
     ("castable-dense-fireclay", "flexural_strength_MPa", 2.07),
     ("hollow-block-normal", "compressive_strength_MPa", 13.1),
     ("hollow-block-lightweight", "compressive_strength_MPa", 13.1)],
)  # fmt: skip
def test_low_ends_are_the_minima_of_the_standards(name: str, key: str, minimum: float) -> None:
    close(triple(name, key).low, minimum, within=0.02, because="rows print two digits",
          source="ASTM C615, C503, C568, C616, C629, C401, C90; ASHRAE for concrete")  # fmt: skip


@pytest.mark.parametrize(
    ("name", "service", "peak"),
    [("stainless-304", 870.0, 925.0), ("stainless-310", 1035.0, 1150.0)],
)
def test_stainless_caps_are_the_air_temperatures(name: str, service: float, peak: float) -> None:
    steel = CATALOGUE.get(name)
    assert (steel.max_service.C, steel.max_peak.C) == (service, peak)
    assert steel.max_service.grade == "second-hand"


def test_stainless_expansion_covers_the_table_of_means() -> None:
    own = triple("stainless-304", "expansion_1e6_K")
    means = [17.2, 17.8, 18.4, 18.7]  # 0 to 100, 315, 538, 650 degC
    assert own.low <= min(means) and max(means) <= own.high
    assert own.typical in means


def test_insulation_board_standards() -> None:
    board = CATALOGUE.get("calcium-silicate-insulation")
    assert (board.max_service.C, board.max_peak.C) == (649.0, 927.0)
    close(at(board.name, "conductivity", 38.0), 0.41 * BTU_IN, within=0.01,
          because="the standard prints two digits", source="ASTM C533 type I")  # fmt: skip
    own = curve(board.name, "conductivity")
    assert float(own.at(38.0) * own.spread_high(38.0)) > 0.50 * BTU_IN  # type IA and II
    assert CATALOGUE.get("cellular-glass").max_service.C == 427.0  # ASTM C552


def test_hollow_block_density_follows_the_class_limits() -> None:
    assert triple("hollow-block-normal", "density_kg_m3").low == 2002.0  # ASTM C90-90
    assert triple("hollow-block-lightweight", "density_kg_m3").high == 1682.0


def test_dry_sand_as_measured() -> None:
    close(at("sand-dry", "conductivity", 25.0), 0.258, within=0.01, because="rounded to 0.26",
          source="Adv. Mater. Sci. Eng. 2021, Table 3")  # fmt: skip
    own = curve("sand-dry", "conductivity")
    close([float(own.at(25.0) * own.spread_low(25.0)), float(own.at(25.0) * own.spread_high(25.0))],
          [0.17, 0.46], within=0.001, because="the band is the measured range",
          source="High Temperatures-High Pressures 35/36, 179")  # fmt: skip


def test_dry_gravel_as_measured() -> None:
    close(at("gravel-dry", "conductivity", 20.0), 0.346, within=0.02, because="rounded to 0.35",
          source="Adv. Mater. Sci. Eng. 2021, Table 3")  # fmt: skip


@pytest.mark.parametrize(
    ("name", "typical"),
    [("concrete-normal-siliceous", 10.8), ("concrete-normal-calcareous", 6.8)],
)
def test_concrete_expansion_by_aggregate(name: str, typical: float) -> None:
    assert triple(name, "expansion_1e6_K").typical == typical  # gravel, limestone


@pytest.mark.parametrize(
    ("name", "middle", "plus_minus"),
    [("basalt", 5.4, 1.0), ("sandstone", 10.0, 2.0), ("slate", 9.0, 1.0)],
)
def test_rock_expansion(name: str, middle: float, plus_minus: float) -> None:
    own = triple(name, "expansion_1e6_K")
    assert own.typical == middle
    assert own.low <= middle - plus_minus + 1e-9 and middle + plus_minus - 1e-9 <= own.high


@pytest.mark.parametrize(
    ("name", "low", "high"),
    [("granite", 20.0, 60.0), ("limestone", 10.0, 60.0), ("slate", 10.0, 35.0),
     ("hollow-block-normal", 10.0, 25.0), ("basalt", 59.0, 97.0)],
)  # fmt: skip
def test_stiffness_ranges(name: str, low: float, high: float) -> None:
    own = triple(name, "youngs_modulus_GPa")
    assert (own.low, own.high) == (low, high)


def test_intact_basalt() -> None:
    assert triple("basalt", "compressive_strength_MPa").typical == 266.0
    assert triple("basalt", "flexural_strength_MPa").typical == 14.5  # tensile, a lower bound


def test_the_only_checked_point_of_blankets() -> None:
    # ASTM C892 allows 0.66 Btu in/(h ft2 F) at 204 C for 48 kg/m3; denser grades stay below
    limit = 0.66 * BTU_IN
    assert limit == pytest.approx(0.0952, abs=1e-4)
    for weight in (64, 96, 128):
        assert at(f"ceramic-fibre-blanket-{weight}", "conductivity", 204.0) < limit


def test_wood_stays_below_the_long_term_hazard() -> None:
    woods = [m for m in MATERIALS if m.family == "wood"]
    assert len(woods) == 4
    for wood in woods:
        assert wood.max_service.C < 77.0  # Fire and Materials 31 (2007) 125
        assert wood.max_peak.C <= 25.0 + 65.0  # UL 127, exposed, in a room of 25 C


def test_aerated_concrete_between_its_neighbours() -> None:
    density, k = [400.0, 500.0, 600.0, 700.0], [0.11, 0.13, 0.16, 0.18]
    own = triple("aac-500", "density_kg_m3").typical
    close(
        at("aac-500", "conductivity", 10.0), np.interp(own, density, k), within=1e-6,
        because="the row is the 500 kg/m3 figure", source="AAC producer declaration, dry",
    )  # fmt: skip


def test_jute_cap() -> None:
    assert CATALOGUE.get("burlap").max_service.C == 100.0  # no decomposition in air up to 100 C


def has_quartz_event(material: Material) -> bool:
    events = cast(list[dict[str, object]], material.raw.get("expansion_events", []))
    return any(event["T_C"] == 573 for event in events)


def test_quartz_rocks_know_573_degC() -> None:
    for name in ("granite", "sandstone", "quartzite", "concrete-normal-siliceous", "sand-dry"):
        assert has_quartz_event(CATALOGUE.get(name)), name
    for name in ("basalt", "soapstone", "marble"):
        assert not has_quartz_event(CATALOGUE.get(name)), name


@pytest.mark.parametrize(
    ("duty", "rupture"), [("super", 4.14), ("high", 3.45), ("medium", 3.45), ("low", 4.14)]
)
def test_fireclay_rupture_minima(duty: str, rupture: float) -> None:
    own = triple(f"firebrick-{duty}-duty", "flexural_strength_MPa")
    assert own.low == rupture  # ASTM C27, recalled
    assert own.grade == "recalled"


@pytest.mark.parametrize(
    ("group", "max_density", "reheat"),
    [(16, 544, 845), (20, 641, 1065), (23, 769, 1230), (26, 865, 1400), (28, 961, 1510)],
)
def test_a_group_number_is_a_test_and_no_service_temperature(
    group: int, max_density: int, reheat: int
) -> None:
    brick = CATALOGUE.get(f"ifb-{group}")
    assert brick.density_kg_m3.high <= max_density  # ASTM C155, recalled
    assert brick.max_peak.C == reheat
    assert brick.max_service.C <= reheat - 90.0


def test_hot_points_from_memory_are_marked_and_lie_beyond_the_table() -> None:
    for name, first, last in (
        ("perlite-loose", 200.0, 600.0), ("vermiculite-loose", 300.0, 600.0),
        ("mineral-wool", 100.0, 400.0),
    ):  # fmt: skip
        own = curve(name, "conductivity")
        assert own.grade == "read" and own.grade_above == "recalled"
        assert own.table_high_C < first
        assert {first, last} <= set(own.points_C.tolist())
    assert at("perlite-loose", "conductivity", 400.0) == 0.14
    assert at("perlite-loose", "conductivity", 400.0) > 0.087  # opacified powder, a lower bound
    assert len(table("perlite-loose", "conductivity_W_mK")) == 1
