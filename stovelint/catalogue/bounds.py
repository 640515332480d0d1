"""Plausibility bounds per column and material class: catches a slip of unit or decimal point."""

from __future__ import annotations

import os
from typing import Iterator, Mapping, cast

import tomli

from stovelint.catalogue.curve import Curve
from stovelint.catalogue.records import Material, Triple

Bounds = Mapping[str, Mapping[str, object]]

FILE = os.path.join(os.path.dirname(os.path.abspath(__file__)), "bounds.toml")

TRIPLES = (
    "density_kg_m3", "emissivity", "youngs_modulus_GPa", "poisson", "expansion_1e6_K",
    "flexural_strength_MPa", "compressive_strength_MPa",
)  # fmt: skip
CURVES = {"conductivity_W_mK": "conductivity", "specific_heat_J_kgK": "specific_heat"}
CAPS = {"max_service_C": "max_service", "max_peak_C": "max_peak"}
COLUMNS = (*TRIPLES, *CURVES, *CAPS)


def read_bounds() -> Bounds:
    """The bounds as read: class -> column -> [low, high]."""
    with open(FILE, encoding="utf-8") as file:
        return tomli.loads(file.read())


def implausible(material: Material, bounds: Bounds) -> tuple[str, ...]:
    """One sentence for each column of the material that leaves its class's bounds; empty if none.

    Looks at both ends of every range, and at the table (not what lies beyond it) of a curve.
    """
    found = []
    for column in COLUMNS:
        low, high = bound(column, material.family, bounds)
        for value in _values(material, column):
            if not low <= value <= high:
                found.append(
                    f"{column} of {material.name} is {value:g}, outside {low:g} to {high:g} "
                    f"for {material.family}"
                )
                break
    return tuple(found)


def bound(column: str, family: str, bounds: Bounds) -> tuple[float, float]:
    """[low, high] of a column: of the class, or where it says nothing of any material."""
    pair = bounds.get(family, {}).get(column, bounds["any"][column])
    low, high = cast(list[float], pair)
    return float(low), float(high)


def _values(material: Material, column: str) -> Iterator[float]:
    if column in CAPS:
        yield getattr(material, CAPS[column]).C
    elif column in CURVES:
        curve = cast("Curve | None", getattr(material, CURVES[column]))
        if curve is not None:
            inside = (curve.table_low_C <= curve.points_C) & (curve.points_C <= curve.table_high_C)
            T = curve.points_C[inside]
            for factor in (curve.spread_low(T), curve.spread_high(T)):
                yield from (curve.at(T) * factor).tolist()
    else:
        triple = cast("Triple | None", getattr(material, column))
        if triple is not None:
            yield from (triple.low, triple.typical, triple.high)
