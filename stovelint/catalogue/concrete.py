"""Concrete and its bars when hot: the tables and formulae of the structural fire standards.

Short-time values; `structural-fire.toml` holds the numbers and their sources. Outside its range
each function refuses. Needed by rules on bars; no part of reading a material.
"""

from __future__ import annotations

import os
from typing import Literal, Mapping, cast

import numpy as np
import tomli
from numpy.typing import ArrayLike, NDArray

from stovelint.errors import CatalogueError

Floats = NDArray[np.float64]
Row = Mapping[str, object]

Aggregate = Literal["siliceous", "calcareous"]
Bar = Literal["hot-rolled", "cold-worked"]
Expanding = Literal["siliceous", "calcareous", "steel"]

_FILE = os.path.join(os.path.dirname(os.path.abspath(__file__)), "structural-fire.toml")
_tables: dict[str, dict[str, Row]] = {}


def compressive_share(aggregate: Aggregate, T_C: ArrayLike) -> Floats:
    """Compressive strength at T_C over that at 20 degC, 20 to 1200 degC (EN 1992-1-2 Table 3.1).

    >>> round(float(compressive_share("siliceous", 250.0)), 3)
    0.9
    """
    return _interpolated("compressive", aggregate, T_C)


def tensile_share(T_C: ArrayLike) -> Floats:
    """Tensile strength of concrete at T_C over that at 20 degC: (600 - T)/500 from 100 degC
    (EN 1992-1-2 cl. 3.2.2.2), 20 to 600 degC."""
    return _interpolated("tensile", "concrete", T_C)


def yield_share(bar: Bar, T_C: ArrayLike) -> Floats:
    """Yield strength of a bar at T_C over that at 20 degC, 20 to 1200 degC
    (EN 1992-1-2 Table 3.2a)."""
    return _interpolated("yield", bar, T_C)


def free_strain(what: Expanding, T_C: ArrayLike) -> Floats:
    """Free thermal strain at T_C from 20 degC, dimensionless: c0 + c1 T + c2 T^2 + c3 T^3.

    what: `siliceous` or `calcareous` concrete (20 to 1200 degC) or `steel` (20 to 860 degC).
    Source: EN 1992-1-2 cl. 3.3.1 and 3.4.

    >>> round(float(free_strain("steel", 400.0)), 6)
    0.005198
    """
    row = _row("strain", what)
    end = _number(row["to_C"])
    T = _checked(f"free strain of {what}", T_C, _number(row["from_C"]), _number(row["then_to_C"]))
    c0, c1, c2, c3 = (_number(c) for c in cast(list[object], row["coefficients"]))
    formula = c0 + T * (c1 + T * (c2 + T * c3))
    return np.asarray(np.where(T <= end, formula, _number(row["then"])), dtype=np.float64)


def strain_end_C(what: Expanding) -> float:
    """Highest temperature for which `free_strain` has a figure, degC."""
    return _number(_row("strain", what)["then_to_C"])


def _interpolated(table: str, column: str, T_C: ArrayLike) -> Floats:
    points = np.asarray(_row(table, column)["points"], dtype=np.float64)
    T = _checked(f"{table} strength of {column}", T_C, points[0, 0], points[-1, 0])
    return np.asarray(np.interp(T, points[:, 0], points[:, 1]), dtype=np.float64)


def _checked(subject: str, T_C: ArrayLike, low_C: float, high_C: float) -> Floats:
    T = np.asarray(T_C, dtype=np.float64)
    if not bool(np.all((low_C <= T) & (T <= high_C))):
        raise CatalogueError(
            f"{subject} is known from {low_C:.0f} to {high_C:.0f} degC only",
            "leave this place unjudged",
        )
    return T


def _row(table: str, column: str) -> Row:
    if not _tables:
        with open(_FILE, encoding="utf-8") as file:
            _tables.update(tomli.loads(file.read()))
    return _tables[table][column]


def _number(value: object) -> float:
    return float(cast(float, value))
