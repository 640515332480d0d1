"""Second reading of the rows that count as read: the library is asked again, row by row.

The library (`ht`) is a test dependency only. It holds EN 12524:2000, ASHRAE Fundamentals 2013 and
the VDI Heat Atlas 2010.
"""

from __future__ import annotations

from typing import Any

import ht.insulation
import numpy as np
import pytest

from tests.catalogue.shared import CATALOGUE, at, curve, numbers, table, triple
from tests.heat.close import close

ROUNDED = "the row prints the library's own figure, rounded to its last digit"
KELVIN = 273.15

library: Any = ht.insulation


def vdi_k(name: str, T_C: float) -> float:
    return float(library.refractory_VDI_k(name, T_C + KELVIN))


def vdi_cp(name: str, T_C: float) -> float:
    return float(library.refractory_VDI_Cp(name, T_C + KELVIN))


def ashrae_k(name: str) -> float:
    return float(library.ASHRAE_k(name))


def en(name: str) -> tuple[float, float, float]:
    """Density, conductivity, specific heat."""
    density, k, cp = library.building_materials[name]
    return float(density), float(k), float(cp)


REFRACTORIES = (
    ("firebrick-medium-duty", "Fireclay"),
    ("firebrick-low-duty", "Fireclay"),
    ("firebox-brick-residential", "Fireclay"),
    ("firebrick-high-duty", "High-duty fireclay"),
    ("firebrick-super-duty", "High-duty fireclay"),
    ("ifb-20", "L1260"),
    ("ifb-23", "L1260"),
    ("ifb-26", "L1400"),
    ("ifb-28", "L1540"),
)


@pytest.mark.parametrize(("name", "row"), REFRACTORIES)
@pytest.mark.parametrize("T_C", [400.0, 600.0, 700.0, 800.0, 1000.0, 1100.0, 1200.0])
def test_refractories_follow_the_heat_atlas(name: str, row: str, T_C: float) -> None:
    for key, ask in (("conductivity", vdi_k), ("specific_heat", vdi_cp)):
        close(
            at(name, key, T_C), ask(row, T_C), within=1e-6,
            because="both interpolate the same table linearly",
            source=f"VDI Heat Atlas 2010 through ht, {row} at {T_C:g} C",
        )  # fmt: skip


def test_the_group_16_brick_takes_its_specific_heat_from_the_lightest_class() -> None:
    for T_C, cp in table("ifb-16", "specific_heat_J_kgK").items():
        close(cp, vdi_cp("L1260", T_C), within=1e-6, because=ROUNDED, source="VDI Heat Atlas 2010")


ATLAS_FIGURES: tuple[tuple[str, float, float], ...] = (
    ("Fireclay", 400.0, 1.05), ("Fireclay", 800.0, 1.15), ("Fireclay", 700.0, 1.125),
    ("High-duty fireclay", 400.0, 1.2), ("High-duty fireclay", 1000.0, 1.38),
    ("L1260", 400.0, 0.14), ("L1260", 800.0, 0.18), ("L1400", 600.0, 0.30),
    ("L1540", 800.0, 0.38), ("L1760", 800.0, 0.49),
)  # fmt: skip


@pytest.mark.parametrize(("row", "T_C", "expected"), ATLAS_FIGURES)
def test_the_library_still_returns_what_was_read(row: str, T_C: float, expected: float) -> None:
    close(vdi_k(row, T_C), expected, within=1e-6, because=ROUNDED, source="VDI Heat Atlas 2010")


@pytest.mark.parametrize(
    ("name", "row", "density"),
    [("firebrick-medium-duty", "Fireclay", 2150.0), ("ifb-23", "L1260", 490.0),
     ("firebrick-high-duty", "High-duty fireclay", 2320.0)],
)  # fmt: skip
def test_atlas_densities_lie_in_the_range_of_the_row(
    name: str, row: str, density: float
) -> None:
    assert library.refractories[row][0] == density
    own = triple(name, "density_kg_m3")
    assert own.low <= density <= own.high


ASHRAE_K: tuple[tuple[str, str], ...] = (
    ("clay-brick-common", "Brick, fired clay, 1760 kg/m^3"),
    ("clay-brick-facing-dense", "Brick, fired clay, 2080 kg/m^3"),
    ("perlite-loose", "Loose fill, Perlite, expanded, 100 kg/m^3"),
    ("vermiculite-loose", "Loose fill, Vermiculite, exfoliated, 120 kg/m^3"),
    ("vermiculite-concrete", "Concrete, Perlite, vermiculite, and polystyrene beads, 480 kg/m^3"),
    ("cellular-glass", "Cellular glass"),
    ("gypsum-board", "Gypsum or plaster board"),
    ("cement-backer-board", "Board, Cement"),
    ("plaster-portland", "Cement plaster, sand aggregate"),
    ("plaster-gypsum", "Gypsum plaster, 1120 kg/m^3"),
    ("mineral-wool", "Mineral wool, felted, 100 kg/m^3"),
    ("mortar-portland", "Concrete, Cement/lime, mortar, and stucco, 1600 kg/m^3"),
    ("hollow-block-normal",
     "Concrete blocks, normal-weight aggregate, 300 mm, 23 kg, 2100 kg/m^3, 2 or 3 cores"),
    ("hollow-block-lightweight", "Concrete blocks, low-mass aggregate, 200 mm, 9 kg, 1250 kg/m^3"),
    ("concrete-lightweight-expanded-clay",
     "Concrete, Expanded shale, clay, or slate; expanded slags; cinders; pumice; scoria; "
     "1280 kg/m^3"),
    ("plastic-foam", "Expanded polystyrene, extruded"),
    ("straw", "Straw thatch"),
)  # fmt: skip


@pytest.mark.parametrize(("name", "row"), ASHRAE_K)
def test_room_conductivity_is_that_of_the_handbook(name: str, row: str) -> None:
    own = curve(name, "conductivity")
    close(
        float(own.at(own.table_low_C)), ashrae_k(row), within=1e-3, because=ROUNDED,
        source=f"ASHRAE Fundamentals 2013 through ht, {row}",
    )  # fmt: skip


BANDS: tuple[tuple[str, int, str], ...] = (
    ("perlite-loose", 0, "Loose fill, Perlite, expanded, 50 kg/m^3"),
    ("perlite-loose", 2, "Loose fill, Perlite, expanded, 150 kg/m^3"),
    ("vermiculite-loose", 0, "Loose fill, Vermiculite, exfoliated, 80 kg/m^3"),
    ("vermiculite-concrete", 0,
     "Concrete, Perlite, vermiculite, and polystyrene beads, 320 kg/m^3"),
    ("vermiculite-concrete", 2,
     "Concrete, Perlite, vermiculite, and polystyrene beads, 640 kg/m^3"),
    ("clay-brick-common", 0, "Brick, fired clay, 1440 kg/m^3"),
    ("osb", 0, "Oriented strand board (OSB)"),
)  # fmt: skip


@pytest.mark.parametrize(("name", "end", "row"), BANDS)
def test_ends_of_the_band_are_the_neighbouring_rows(name: str, end: int, row: str) -> None:
    close(
        numbers(name, "conductivity_W_mK", "band_20C")[end], ashrae_k(row), within=2e-3,
        because="the row prints three digits", source=f"ASHRAE Fundamentals 2013, {row}",
    )  # fmt: skip


@pytest.mark.parametrize("mix", ["1-4", "1-5", "1-6", "1-8"])
def test_perlite_concrete_spreads_up_to_the_figure_of_the_other_source(mix: str) -> None:
    name = f"perlite-concrete-{mix}"
    row = "Concrete, Perlite, vermiculite, and polystyrene beads, {} kg/m^3"
    density = [320.0, 480.0, 640.0]
    k = [ashrae_k(row.format(int(d))) for d in density]
    expected = np.interp(triple(name, "density_kg_m3").typical, density, k)
    own = curve(name, "conductivity")
    close(
        float(own.at(24.0) * own.spread_high(24.0)), expected, within=2e-3,
        because="the row prints the interpolated figure to three digits",
        source="ASHRAE Fundamentals 2013 between 320, 480 and 640 kg/m3",
    )  # fmt: skip


def test_oak_lies_in_the_band_of_hardwood() -> None:
    low, _, high = numbers("hardwood", "conductivity_W_mK", "band_20C")
    assert low <= library.ASHRAE["Oak"][2] <= high
    assert library.ASHRAE["Oak"][1] == at("hardwood", "specific_heat", 20.0)


EN_ROWS: tuple[tuple[str, str, str, int], ...] = (
    ("softwood", "conductivity", "Timber, 500 kg/m^3", 1),
    ("softwood", "specific_heat", "Timber, 500 kg/m^3", 2),
    ("hardwood", "conductivity", "Timber, 700 kg/m^3", 1),
    ("plywood", "conductivity", "Wood, plywood 500 kg/m^3", 1),
    ("osb", "conductivity", "Wood, oriented strand board", 1),
    ("osb", "specific_heat", "Wood, oriented strand board", 2),
    ("ceramic-tile", "conductivity", "Tiles, ceramic or porcelain", 1),
    ("porcelain-tile", "specific_heat", "Tiles, ceramic or porcelain", 2),
    ("cast-iron-grey", "conductivity", "Metals, iron, cast", 1),
    ("gypsum-board", "specific_heat", "Gypsum, plasterboard", 2),
    ("slate", "specific_heat", "Stone, slate", 2),
    ("limestone", "conductivity", "Stone, limestone, hard", 1),
    ("sandstone", "conductivity", "Stone, sandstone (silica)", 1),
    ("travertine", "conductivity", "Stone, limestone, semi-hard", 1),
    ("mortar-lime", "conductivity", "Plasters and renders, lime sand", 1),
    ("plaster-lime", "specific_heat", "Plasters and renders, lime sand", 2),
    ("flue-liner-clay", "conductivity", "Tiles, clay", 1),
    ("flue-liner-clay", "specific_heat", "Tiles, clay", 2),
)


@pytest.mark.parametrize(("name", "key", "row", "column"), EN_ROWS)
def test_rows_from_the_building_materials_standard(
    name: str, key: str, row: str, column: int
) -> None:
    close(
        at(name, key, 20.0), en(row)[column], within=1e-6, because=ROUNDED,
        source=f"EN 12524:2000 through ht, {row}",
    )  # fmt: skip


EN_FIGURES: tuple[tuple[str, tuple[float, float, float]], ...] = (
    ("Stone, granite", (2600, 2.8, 1000)), ("Stone, basalt", (2850, 3.5, 1000)),
    ("Stone, slate", (2400, 2.2, 1000)), ("Stone, marble", (2800, 3.5, 1000)),
    ("Stone, limestone, hard", (2200, 1.7, 1000)), ("Concrete, high density", (2400, 2.0, 1000)),
    ("Metals, steel", (7800, 50, 450)), ("Metals, stainless steel", (7900, 17, 460)),
    ("Metals, iron, cast", (7500, 50, 450)), ("Gypsum, plasterboard", (900, 0.25, 1000)),
    ("Tiles, ceramic or porcelain", (2300, 1.3, 840)), ("Timber, 500 kg/m^3", (500, 0.13, 1600)),
    ("Wood, oriented strand board", (650, 0.13, 1700)),
    ("Solids, sand and gravel", (1950, 2.0, 1045)),
)  # fmt: skip

DENSITIES: tuple[tuple[str, str], ...] = (
    ("granite", "Stone, granite"), ("basalt", "Stone, basalt"), ("slate", "Stone, slate"),
    ("marble", "Stone, marble"), ("limestone", "Stone, limestone, hard"),
    ("concrete-normal-siliceous", "Concrete, high density"), ("mild-steel", "Metals, steel"),
    ("stainless-304", "Metals, stainless steel"), ("cast-iron-grey", "Metals, iron, cast"),
    ("gypsum-board", "Gypsum, plasterboard"), ("softwood", "Timber, 500 kg/m^3"),
    ("osb", "Wood, oriented strand board"), ("soil", "Solids, sand and gravel"),
)  # fmt: skip


@pytest.mark.parametrize(("row", "expected"), EN_FIGURES)
def test_the_standard_still_reads_so(row: str, expected: tuple[float, float, float]) -> None:
    assert en(row) == expected


@pytest.mark.parametrize(("name", "row"), DENSITIES)
def test_densities_of_the_standard_lie_in_the_range_of_the_row(name: str, row: str) -> None:
    own = triple(name, "density_kg_m3")
    assert own.low <= en(row)[0] <= own.high


def test_the_middle_of_granites_band_is_the_figure_of_the_standard() -> None:
    assert numbers("granite", "conductivity_W_mK", "band_20C")[1] == en("Stone, granite")[1]


# ---- traps: what the library returns and the catalogue must not -------------------------------


def test_trap_the_library_clamps_and_the_catalogue_does_not() -> None:
    assert vdi_k("Fireclay", 20.0) == vdi_k("Fireclay", 400.0) == 1.05
    assert vdi_k("Fireclay", 1426.85) == 1.22
    assert at("firebrick-medium-duty", "conductivity", 20.0) == 1.0
    own = curve("firebrick-medium-duty", "conductivity")
    assert float(own.spread_high(1500.0)) > float(own.spread_high(1200.0))


def high_cold_k(name: str) -> float:
    own = curve(name, "conductivity")
    T_C = own.table_low_C
    return float(own.at(T_C) * own.spread_high(T_C))


def test_trap_damp_ground_is_not_dry_sand() -> None:
    damp = en("Solids, sand and gravel")[1]
    assert damp == 2.0
    assert high_cold_k("sand-dry") < damp / 4.0
    assert high_cold_k("gravel-dry") < damp / 2.0


def test_trap_the_doubtful_basalt_and_limestone_rows() -> None:
    assert high_cold_k("basalt") < en("Stone, basalt")[1]
    odd: Any = library.ASHRAE["Limestone, 2400 kg/m^3"]
    assert odd[2] == 0.57
    own = curve("limestone", "conductivity")
    assert float(own.at(20.0) * own.spread_low(20.0)) > odd[2]


def test_trap_the_gypsum_specific_heat_that_looks_like_wood() -> None:
    assert library.ASHRAE["Gypsum or plaster board"][1] > 1800.0
    assert at("gypsum-board", "specific_heat", 20.0) == 1000.0


def test_trap_perlite_specific_heat_is_no_unit_slip() -> None:
    # 0.2 Btu/(lb F) is 837 J/(kg K); a widely copied page prints 387
    assert at("perlite-loose", "specific_heat", 20.0) > 0.2 * 4186.8


def test_every_name_that_this_file_asks_for_exists() -> None:
    asked = {n for n, _ in REFRACTORIES} | {n for n, _ in ASHRAE_K} | {n for n, *_ in EN_ROWS}
    asked |= {n for n, *_ in BANDS} | {n for n, _ in DENSITIES}
    assert asked <= set(CATALOGUE.names())
