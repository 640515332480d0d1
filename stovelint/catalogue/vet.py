"""What makes a row of the catalogue trustworthy, beyond the shape that the schema asks for.

The same statements hold for every row that ships and for every material of a shop's own; the
tests walk the shipped ones through here.
"""

from __future__ import annotations

import os
import re
from dataclasses import dataclass
from typing import Any, Iterator, Mapping

import tomli

from stovelint.catalogue.bounds import CAPS, CURVES, Bounds, implausible
from stovelint.catalogue.curve import Curve
from stovelint.catalogue.records import Material
from stovelint.catalogue.rows import build_material
from stovelint.errors import CatalogueError

Row = Mapping[str, Any]
Path = tuple[str | int, ...]

NAME = re.compile(r"[a-z][a-z0-9]*(-[a-z0-9]+)*\Z")
COLDEST_C = -30.0
STILL_AIR_W_MK = 0.026
"""Conductivity of still air at 20 degC: no solid with pores conducts less, plastic foams aside,
whose pores may hold a heavier gas."""
WARMEST_COMBUSTIBLE_C = 100.0


@dataclass(frozen=True, kw_only=True, slots=True)
class Fault:
    """One thing wrong with a row: at which path of it, what, and what to do."""

    path: Path
    message: str
    remedy: str


def read_sources() -> Mapping[str, str]:
    """Keys of the catalogue's own sources, and what they stand for."""
    here = os.path.dirname(os.path.abspath(__file__))
    with open(os.path.join(here, "data-sources.toml"), encoding="utf-8") as file:
        return tomli.loads(file.read())


def vet_row(
    name: str, row: Row, classes: Mapping[str, Row], bounds: Bounds, sources: Mapping[str, str]
) -> tuple[Fault, ...]:
    """Everything wrong with one row; empty for a row that may be used.

    Args:
        name: of the material.
        row: as read, in the shape of `schemas/material-1.json`.
        classes: of `classes.toml`.
        bounds: of `bounds.toml`.
        sources: of `data-sources.toml`.
    """
    faults = list(_footing(row, sources)) + list(_order(row))
    if row["family"] not in classes or row["family"] == "any":
        faults.append(_family(str(row["family"]), classes))
    if faults:
        return tuple(faults)  # what follows would stumble over the same
    try:
        material = build_material(name, row, classes)
    except CatalogueError as error:
        return (Fault(path=(), message=error.message, remedy=error.remedy),)
    faults += _caps(material)
    faults += _heat(material)
    for said in implausible(material, bounds):
        column = said.split(" ", 1)[0]
        faults.append(
            Fault(
                path=(CAPS.get(column, column),), message=said,
                remedy="check unit and decimal point, or whether the class is right",
            )
        )  # fmt: skip
    return tuple(faults)


def _family(given: str, classes: Mapping[str, Row]) -> Fault:
    import difflib  # only needed for the message

    known = sorted(set(classes) - {"any"})
    near = difflib.get_close_matches(given[:60], known, n=2)
    remedy = f"did you mean {' or '.join(near)}?" if near else f"one of: {', '.join(known)}"
    return Fault(path=("family",), message=f"there is no class `{given[:60]}`", remedy=remedy)


def blocks(node: Any, path: Path = ()) -> Iterator[tuple[Path, Row]]:
    """Every table of a row that holds a figure or a statement, with its path."""
    if isinstance(node, Mapping):
        if path and path[-1] not in ("below", "above") and "missing" not in node:
            yield path, node
        for key, value in node.items():
            yield from blocks(value, (*path, key))
    elif isinstance(node, list):
        for index, value in enumerate(node):
            yield from blocks(value, (*path, index))


def _footing(row: Row, sources: Mapping[str, str]) -> Iterator[Fault]:
    """Figures whose source is no source, or that say more of it than is true."""
    for path, block in blocks(row):
        source = str(block.get("source", ""))
        grade = block.get("grade")
        if len(source.strip()) <= 3:
            yield Fault(
                path=(*path, "source"), message="a figure stands without a source",
                remedy="say where it was seen, measured, or that it is from memory",
            )  # fmt: skip
        for key in block.get("keys", ()):
            if key not in sources:
                yield Fault(
                    path=(*path, "keys"), message=f"the catalogue knows no source {key}",
                    remedy="leave `keys` away, and name the source in words under `source`",
                )  # fmt: skip
        if source.startswith("from memory") and "read" not in source and grade != "recalled":
            yield Fault(
                path=(*path, "grade"), message=f"a figure from memory is graded {grade}",
                remedy="write recalled",
            )  # fmt: skip
        if source == "common practice, no source" and grade != "practice":
            yield Fault(
                path=(*path, "grade"), message=f"common practice is graded {grade}",
                remedy="write practice",
            )  # fmt: skip


def _order(row: Row) -> Iterator[Fault]:
    """Ranges and tables that do not rise."""
    for path, block in blocks(row):
        for key in ("value", "band_20C", "diameter_mm"):
            value = block.get(key)
            if isinstance(value, list) and not value[0] <= value[1] <= value[2]:
                yield Fault(
                    path=(*path, key), message="the range does not rise: low, typical, high",
                    remedy="put the three in order",
                )  # fmt: skip
        for key in ("points", "lower_limit"):
            T = [point[0] for point in block.get(key, ())]
            if T != sorted(set(T)):
                yield Fault(
                    path=(*path, key), message="the temperatures of the table do not rise",
                    remedy="put the points in order, each temperature once",
                )  # fmt: skip
        lower = block.get("lower_limit")
        if lower is not None and [p[0] for p in lower] != [p[0] for p in block["points"]]:
            yield Fault(
                path=(*path, "lower_limit"), message="it stands at other temperatures than points",
                remedy="give both at the same temperatures",
            )  # fmt: skip


def _caps(material: Material) -> Iterator[Fault]:
    service, peak = material.max_service, material.max_peak
    if service.C > peak.C:
        yield Fault(
            path=("max_peak", "C"),
            message=f"the peak limit {peak.C:g} degC lies below the service limit {service.C:g}",
            remedy="what is held for long is also stood for a while: check both",
        )
    for key, cap in (("max_service", service), ("max_peak", peak)):
        if len(cap.fails) <= 4:
            yield Fault(
                path=(key, "fails"), message="it is not said what fails above the limit",
                remedy="say it in a few words: binder burns out, stone bursts",
            )  # fmt: skip
    if material.combustible and service.C > WARMEST_COMBUSTIBLE_C:
        yield Fault(
            path=("max_service", "C"),
            message=f"what burns may not be held at {service.C:g} degC",
            remedy=f"{WARMEST_COMBUSTIBLE_C:g} degC at most",
        )


def _heat(material: Material) -> Iterator[Fault]:
    """What the heat of a layer needs to be computed wherever somebody may put it."""
    if material.usable_as != "layer":
        return
    # A misplaced material must still be computed well past the limit that it breaks.
    hot = material.max_peak.C + (200.0 if material.max_peak.C <= 400.0 else 0.0)
    if material.combustible or material.family == "ground":
        hot = material.max_peak.C
    for column, attribute in CURVES.items():
        curve: Curve | None = getattr(material, attribute)
        if curve is None:
            yield Fault(
                path=(column,), message=f"`{column}` is missing, and no heat goes without it",
                remedy=f"add [{column}] with points, grade and source",
            )  # fmt: skip
            continue
        if not curve.covers(COLDEST_C, hot):
            yield Fault(
                path=(column,),
                message=f"it is known from {curve.low_C:.0f} to {curve.high_C:.0f} degC, and a "
                f"layer may meet {COLDEST_C:.0f} to {hot:.0f}",
                remedy="give more points, or say under `below` and `above` how it goes on",
            )
        elif (curve.values * curve.low_factors).min() <= 0.0:
            yield Fault(
                path=(column,), message="it falls to nothing", remedy="check table and band"
            )
        elif not (curve.low_factors < curve.high_factors).all():
            yield Fault(
                path=(column,), message="it has no spread", remedy="add band_20C with a range"
            )
        elif _stretched(curve):
            yield Fault(
                path=(column,), message="beyond its table it stays as sure as within",
                remedy="give `below` and `above` a widen_per_100K over 0",
            )  # fmt: skip
        elif attribute == "conductivity" and material.family != "plastic":
            at_room = float(curve.at(20.0))
            if at_room <= STILL_AIR_W_MK:
                yield Fault(
                    path=(column,),
                    message=f"{at_room:g} W/(m K) at 20 degC is no more than still air",
                    remedy="check the unit",
                )


def _stretched(curve: Curve) -> bool:
    return (curve.low_C < curve.table_low_C and curve.widen_below_per_100K <= 0.0) or (
        curve.high_C > curve.table_high_C and curve.widen_above_per_100K <= 0.0
    )
