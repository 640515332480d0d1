"""The vetting of rows: every row that ships passes, and every statement catches its breach."""

from __future__ import annotations

import copy
from typing import Any, Callable

import pytest

from stovelint.catalogue import Material
from stovelint.catalogue.bounds import read_bounds
from stovelint.catalogue.vet import Fault, read_sources, vet_row
from stovelint.place import Mark, Entry, Places, Span
from stovelint.schema import MATERIAL, is_valid, mistakes
from tests.catalogue.shared import CATALOGUE, MATERIALS, NAMES

BOUNDS, SOURCES = read_bounds(), read_sources()
Row = dict[str, Any]


def faults(row: Row, name: str = "lake-stone") -> tuple[Fault, ...]:
    return vet_row(name, row, CATALOGUE.classes(), BOUNDS, SOURCES)


def granite() -> Row:
    return copy.deepcopy(dict(CATALOGUE.get("granite").raw))


@pytest.mark.parametrize("material", MATERIALS, ids=NAMES)
def test_every_shipped_row_passes(material: Material) -> None:
    row = dict(material.raw)
    assert is_valid(row, MATERIAL), _said(row)
    assert faults(row, material.name) == ()


def _said(row: Row) -> list[str]:
    mark = Mark(line=0, column=0, offset=0)
    nowhere = Places(entries={(): Entry(key=None, value=Span(file="", start=mark, end=mark))})
    return [one.message for one in mistakes(row, nowhere, MATERIAL)]


def _set(*steps: str | int, to: Any) -> Callable[[Row], None]:
    def change(row: Row) -> None:
        node: Any = row
        for step in steps[:-1]:
            node = node[step]
        node[steps[-1]] = to

    return change


def _drop(*steps: str) -> Callable[[Row], None]:
    def change(row: Row) -> None:
        node: Any = row
        for step in steps[:-1]:
            node = node[step]
        del node[steps[-1]]

    return change


BREACHES: tuple[tuple[Callable[[Row], None], tuple[str | int, ...], str], ...] = (
    (_set("family", to="natural-stones"), ("family",), "natural-stones"),
    (_set("family", to="any"), ("family",), "no class `any`"),
    (_set("emissivity", "source", to=" - "), ("emissivity", "source"), "without a source"),
    (_set("emissivity", "keys", to=["QUARRY"]), ("emissivity", "keys"), "no source QUARRY"),
    (
        _set("emissivity", to={"value": [0.8, 0.9, 0.95], "grade": "read",
                               "source": "from memory"}),
        ("emissivity", "grade"), "from memory is graded read",
    ),
    (
        _set("emissivity", to={"value": [0.8, 0.9, 0.95], "grade": "read",
                               "source": "common practice, no source"}),
        ("emissivity", "grade"), "common practice is graded read",
    ),
    (_set("density_kg_m3", "value", to=[2700, 2650, 2800]), ("density_kg_m3", "value"), "not rise"),
    (
        _set("conductivity_W_mK", "points", to=[[20, 2.8], [20, 2.7]]),
        ("conductivity_W_mK", "points"), "not rise",
    ),
    (
        _set("conductivity_W_mK", "lower_limit", to=[[30, 2.0]]),
        ("conductivity_W_mK", "lower_limit"), "other temperatures",
    ),
    (_set("max_peak", "C", to=100), ("max_peak", "C"), "below the service limit"),
    (_set("max_service", "fails", to="it"), ("max_service", "fails"), "what fails"),
    (_set("combustible", "value", to=True), ("max_service", "C"), "what burns"),
    (_drop("conductivity_W_mK"), ("conductivity_W_mK",), "is missing"),
    (_drop("specific_heat_J_kgK"), ("specific_heat_J_kgK",), "is missing"),
    (
        _set("conductivity_W_mK", to={
            "points": [[20, 2.8]], "grade": "read", "source": "a sheet of the quarry",
            "above": {"to_C": 100, "how": "held", "widen_per_100K": 0.1, "grade": "judgement",
                      "reason": "no more was measured"},
        }),
        ("conductivity_W_mK",), "a layer may meet",
    ),
    (
        _set("conductivity_W_mK", "above", to={
            "to_C": 900, "how": "held", "widen_per_100K": 0, "grade": "judgement",
            "reason": "taken as it is",
        }),
        ("conductivity_W_mK",), "as sure as within",
    ),
    (
        _set("conductivity_W_mK", to={
            "points": [[20, 2.8]], "band_20C": [2.8, 2.8, 2.8], "grade": "read",
            "source": "a sheet of the quarry",
        }),
        ("conductivity_W_mK",), "no spread",
    ),
    (_set("density_kg_m3", "value", to=[26, 27, 28]), ("density_kg_m3",), "outside"),
    (_set("max_peak", "C", to=2500), ("max_peak",), "outside"),
)  # fmt: skip


@pytest.mark.parametrize(("change", "path", "said"), BREACHES)
def test_every_breach_is_told_at_its_place(
    change: Callable[[Row], None], path: tuple[str | int, ...], said: str
) -> None:
    row = granite()
    assert faults(row) == ()
    change(row)
    found = faults(row)
    assert any(one.path == path and said in one.message and one.remedy for one in found), found


def test_conductivity_of_nothing_at_all() -> None:
    row = copy.deepcopy(dict(CATALOGUE.get("mineral-wool").raw))
    row["conductivity_W_mK"] = {
        "points": [[20, 0.02], [600, 0.3]], "band_20C": [0.018, 0.02, 0.022], "grade": "read",
        "source": "a data sheet",
    }  # fmt: skip
    assert any("still air" in one.message for one in faults(row, "lake-wool"))


def test_a_curve_that_falls_to_nothing() -> None:
    row = granite()
    row["conductivity_W_mK"]["points"] = [[20, 2.8], [900, -0.1]]
    assert any("nothing" in one.message for one in faults(row))
    row = granite()
    row["conductivity_W_mK"] = {
        "points": [[20, 2.8]], "band_20C": [-0.1, 2.8, 3.0], "grade": "read",
        "source": "a sheet of the quarry",
    }  # fmt: skip
    (only,) = [one for one in faults(row) if one.message == "it falls to nothing"]
    assert only.path == ("conductivity_W_mK",)


@pytest.mark.parametrize(
    ("change", "said"),
    [
        (_drop("max_peak"), "`max_peak` is missing in the material"),
        (_drop("placement"), "`placement` is missing in the material"),
        (_drop("density_kg_m3", "source"), "`source` is missing in `density_kg_m3`"),
        (_set("density_kg_m3", "grade", to="sure"), "`grade` cannot be `sure`"),
        (_set("density_kg_m3", "value", to=[1, 2]), "fewer than 3 entries"),
        (_set("density", to=2650), "unknown key `density` in the material"),
        (_set("max_peak", "C", to="600 degC"), "`C` is not a number"),
        (_set("usable_as", to="lining"), "`usable_as` cannot be `lining`"),
        (_set("thermal_shock", "class", to="lowish"), "`class` cannot be `lowish`"),
    ],
)
def test_the_shape_is_asked_for(change: Callable[[Row], None], said: str) -> None:
    row = granite()
    change(row)
    assert not is_valid(row, MATERIAL) and any(said in one for one in _said(row)), _said(row)
