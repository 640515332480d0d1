"""Plausibility bounds: every row lies inside, and a slip lies outside."""

from __future__ import annotations

import copy
from typing import Any

import ht.insulation as library
import pytest

from stovelint.catalogue import Catalogue, Material
from stovelint.catalogue.bounds import CAPS, COLUMNS, CURVES, bound, implausible, read_bounds
from tests.catalogue.shared import CATALOGUE, MATERIALS, NAMES

BOUNDS = read_bounds()


@pytest.mark.parametrize("material", MATERIALS, ids=NAMES)
def test_every_row_lies_inside_its_bounds(material: Material) -> None:
    assert implausible(material, BOUNDS) == ()


def test_every_class_is_bounded_and_every_bound_is_a_range() -> None:
    assert set(BOUNDS) == set(CATALOGUE.classes())
    for family, columns in BOUNDS.items():
        for column in columns:
            if column != "title":
                assert column in COLUMNS, (family, column)
                low, high = bound(column, family, BOUNDS)
                assert low < high
    assert set(COLUMNS) <= set(BOUNDS["any"])


def test_bounds_of_a_class_are_tighter_than_those_of_any_material() -> None:
    for family in BOUNDS:
        for column in COLUMNS:
            low, high = bound(column, family, BOUNDS)
            widest_low, widest_high = bound(column, "any", BOUNDS)
            assert widest_low <= low and high <= widest_high, (family, column)


def slipped(base: str, column: str, factor: float) -> Material:
    """A shipped row in which one column is off by a factor."""
    row: dict[str, Any] = copy.deepcopy(dict(CATALOGUE.get(base).raw))
    if column in CAPS:
        row[CAPS[column]]["C"] *= factor
    elif column in CURVES:
        block = row[column]
        block["points"] = [[T, value * factor] for T, value in block["points"]]
        for name in ("band_20C", "also_20C"):
            block[name] = [value * factor for value in block.get(name, [])]
        for side in ("below", "above"):
            points = block.get(side, {}).get("points", [])
            for point in points:
                point[1] *= factor
    else:
        row[column]["value"] = [value * factor for value in row[column]["value"]]
    return Catalogue({"slip": row}).get("slip")


SLIPS = (
    ("granite", "density_kg_m3", 0.1, "g/cm3 read as a tenth"),
    ("clay-brick-common", "density_kg_m3", 0.062428, "lb/ft3"),
    ("clay-brick-common", "conductivity_W_mK", 6.933, "Btu in/(h ft2 F)"),
    ("firebrick-medium-duty", "conductivity_W_mK", 0.1, "an insulating brick under this name"),
    ("sand-dry", "conductivity_W_mK", 7.7, "damp ground"),
    ("perlite-loose", "specific_heat_J_kgK", 0.355, "387 printed for 0.2 Btu/lbF"),
    ("granite", "specific_heat_J_kgK", 0.239, "kcal"),
    ("granite", "youngs_modulus_GPa", 1000.0, "MPa read as GPa"),
    ("clay-brick-common", "expansion_1e6_K", 1.8 * 1.8, "per degree F, twice"),
    ("softwood", "max_service_C", 1.8, "degree F"),
    ("hollow-block-normal", "max_peak_C", 1.89, "degree F"),
    ("granite", "emissivity", 0.5, "0.45 of a chart that mixes solar and thermal"),
)


@pytest.mark.parametrize(("base", "column", "factor", "what"), SLIPS)
def test_a_slip_of_unit_or_point_is_caught(
    base: str, column: str, factor: float, what: str
) -> None:
    found = implausible(slipped(base, column, factor), BOUNDS)
    assert len(found) == 1, what
    assert found[0].startswith(f"{column} of slip is") and "outside" in found[0]


@pytest.mark.parametrize(
    ("table", "row", "base"),
    [("building_materials", "Floor covering, tiles, cork", "plywood"),
     ("ASHRAE", "Particleboard, high density", "osb")],
)  # fmt: skip
def test_the_known_slips_of_the_library_would_be_caught(table: str, row: str, base: str) -> None:
    """Cork tiles at 65 W/mK (0.065 is meant) and particleboard at 1.18 W/mK."""
    values = getattr(library, table)[row]
    k = values[1] if table == "building_materials" else values[2]
    assert k in (65.0, 1.18)
    changed: dict[str, Any] = copy.deepcopy(dict(CATALOGUE.get(base).raw))
    changed["conductivity_W_mK"]["points"] = [[20, k]]
    changed["conductivity_W_mK"].pop("band_20C", None)
    found = implausible(Catalogue({"slip": changed}).get("slip"), BOUNDS)
    assert len(found) == 1 and found[0].startswith("conductivity_W_mK of slip")
