"""One catalogue for all tests of this folder, and short ways into it."""

from __future__ import annotations

from typing import Mapping, cast

import numpy as np

from stovelint.catalogue import Catalogue, Curve, Material, Triple

CATALOGUE = Catalogue()
NAMES = CATALOGUE.names()
MATERIALS: tuple[Material, ...] = tuple(CATALOGUE.get(name) for name in NAMES)


def curve(name: str, key: str) -> Curve:
    """The curve of a material that must have one; key: `conductivity` or `specific_heat`."""
    found = getattr(CATALOGUE.get(name), key)
    assert isinstance(found, Curve), f"{name} has no {key}"
    return found


def triple(name: str, key: str) -> Triple:
    found = getattr(CATALOGUE.get(name), key)
    assert isinstance(found, Triple), f"{name} has no {key}"
    return found


def block(name: str, key: str) -> Mapping[str, object]:
    """One `[key]` block of the row as read."""
    return cast(Mapping[str, object], CATALOGUE.get(name).raw[key])


def table(name: str, key: str, column: str = "points") -> dict[float, float]:
    """degC -> value of a table of the row as read."""
    points = cast(list[list[float]], block(name, key)[column])
    return {float(T): float(value) for T, value in points}


def numbers(name: str, key: str, column: str) -> list[float]:
    return [float(x) for x in cast(list[float], block(name, key)[column])]


def at(name: str, key: str, T_C: float) -> float:
    return float(curve(name, key).at(T_C))


def first_crack_K(material: Material) -> float | None:
    """R = flexural (1 - nu) / (E alpha) from the typical figures; None where one is missing."""
    parts = (
        material.flexural_strength_MPa, material.poisson, material.youngs_modulus_GPa,
        material.expansion_1e6_K,
    )  # fmt: skip
    if any(part is None for part in parts):
        return None
    strength, nu, modulus, alpha = (cast(Triple, part).typical for part in parts)
    return float(np.float64(strength) * (1.0 - nu) / (modulus * 1e3 * alpha * 1e-6))
