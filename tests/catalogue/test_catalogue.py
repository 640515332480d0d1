"""What the catalogue gives, and what it refuses."""

from __future__ import annotations

import copy
from typing import Any

import pytest

from stovelint.catalogue import Catalogue
from stovelint.catalogue import catalogue as module
from stovelint.errors import CatalogueError
from tests.catalogue.shared import CATALOGUE, MATERIALS, NAMES


def own_row(base: str, **changes: Any) -> dict[str, Any]:
    """A row of one's own: a copy of a shipped one, changed."""
    row: dict[str, Any] = copy.deepcopy(dict(CATALOGUE.get(base).raw))
    row.update(changes)
    return row


def test_names_are_sorted_and_read_no_row(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(module, "_parse", lambda path: pytest.fail(f"{path} was read"))
    names = Catalogue().names()
    assert list(names) == sorted(names) and "firebrick-medium-duty" in names


def test_a_row_is_read_once_and_only_when_asked_for(monkeypatch: pytest.MonkeyPatch) -> None:
    read: list[str] = []
    parse = module._parse

    def noting(path: str) -> Any:
        read.append(path.rsplit("/", 1)[-1])
        return parse(path)

    monkeypatch.setattr(module, "_parse", noting)
    catalogue = Catalogue()
    first = catalogue.get("granite")
    assert catalogue.get("granite") is first
    assert catalogue.get("ifb-23").name == "ifb-23"
    assert read.count("granite.toml") == 1
    assert sorted(read) == ["classes.toml", "granite.toml", "ifb-23.toml"]


@pytest.mark.parametrize(
    ("asked", "meant"),
    [("granit", "granite"), ("firebrick", "firebrick-"), ("clay-brick", "clay-brick-common"),
     ("perlite", "perlite-"), ("Granite", "granite"), ("clay_brick_common", "clay-brick-common"),
     ("ifb23", "ifb-23"), ("concrete", "concrete-")],
)  # fmt: skip
def test_unknown_names_are_refused_and_close_ones_suggested(asked: str, meant: str) -> None:
    with pytest.raises(CatalogueError) as caught:
        CATALOGUE.get(asked)
    assert caught.value.message == f"no material is called {asked}"
    assert meant in caught.value.remedy and caught.value.remedy.startswith("did you mean")


@pytest.mark.parametrize("asked", ["xyzzy", "", "../classes", "/etc/passwd", "zz"])
def test_a_name_like_no_other_points_at_the_list(asked: str) -> None:
    with pytest.raises(CatalogueError) as caught:
        CATALOGUE.get(asked)
    assert "for instance clay-brick-common" in caught.value.remedy


@pytest.mark.parametrize(
    "name", [m.name for m in MATERIALS if m.usable_as == "reinforcement"]
)
def test_reinforcement_is_no_layer(name: str) -> None:
    with pytest.raises(CatalogueError, match="is reinforcement, not a layer") as caught:
        CATALOGUE.layer_material(name)
    assert "reinforcement" in caught.value.remedy
    with pytest.raises(CatalogueError, match="is reinforcement"):
        CATALOGUE.layer_material(name, "sacrificial")


def test_six_kinds_of_reinforcement() -> None:
    found = {m.name for m in MATERIALS if m.usable_as == "reinforcement"}
    assert found == {
        "rebar", "chicken-wire", "stainless-needles", "glass-fibre-ar", "glass-fibre-e",
        "basalt-fibre",
    }  # fmt: skip


@pytest.mark.parametrize("name", ["burlap", "canvas", "burn-out-card", "straw"])
def test_what_burns_out_needs_its_role(name: str) -> None:
    with pytest.raises(CatalogueError, match="burns out") as caught:
        CATALOGUE.layer_material(name)
    assert "role: sacrificial" in caught.value.remedy
    assert CATALOGUE.layer_material(name, "sacrificial").name == name


@pytest.mark.parametrize("name", [m.name for m in MATERIALS if m.usable_as == "layer"])
def test_any_other_material_is_a_layer_without_the_role_and_none_with_it(name: str) -> None:
    """Rules leave a sacrificial layer alone: the word would silence them about a cobble."""
    assert CATALOGUE.layer_material(name).name == name
    with pytest.raises(CatalogueError, match="gap") as caught:
        CATALOGUE.layer_material(name, "sacrificial")
    assert "leave `role` out, or name what burns out" in caught.value.remedy
    with pytest.raises(CatalogueError, match="no material is called"):
        CATALOGUE.layer_material("grannite")


# ---- rows of one's own ------------------------------------------------------------------------


def test_a_row_of_ones_own_stands_beside_the_shipped_ones() -> None:
    row = own_row("granite", title="Quarry stone from the north shore")
    catalogue = Catalogue({"north-shore-stone": row})
    assert "north-shore-stone" in catalogue.names()
    assert len(catalogue.names()) == len(NAMES) + 1
    own = catalogue.get("north-shore-stone")
    assert own.title.startswith("Quarry") and own.max_service.C == 200.0
    with pytest.raises(CatalogueError, match="did you mean north-shore-stone"):
        catalogue.get("north-shore-ston")


def test_a_row_of_ones_own_cannot_take_a_shipped_name() -> None:
    with pytest.raises(CatalogueError, match="already holds a material called granite"):
        Catalogue({"granite": own_row("granite")})


@pytest.mark.parametrize(
    ("key", "value", "names"),
    [("density_kg_m3", {"value": [1, 2, 3], "grade": "read"}, "source"),
     ("density_kg_m3", {"value": [1, 2], "grade": "read", "source": "x"}, "unpack"),
     ("usable_as", "wall", "usable_as is wall"), ("family", "granites", "granites"),
     ("conductivity_W_mK", {"points": "high", "grade": "read", "source": "x"}, "not a number"),
     ("conductivity_W_mK", {"points": 3, "grade": "read", "source": "x"}, "not a list"),
     ("conductivity_W_mK", {"points": [[20, 1]], "band_20C": 1, "grade": "read", "source": "x"},
      "not a list"),
     ("max_peak", {"C": 300, "grade": "read", "source": "x"}, "fails")],
)  # fmt: skip
def test_a_row_that_is_not_whole_is_refused_by_name(key: str, value: object, names: str) -> None:
    catalogue = Catalogue({"own": own_row("granite", **{key: value})})
    with pytest.raises(CatalogueError, match="catalogue row of own is not whole") as caught:
        catalogue.get("own")
    assert names in caught.value.message


# ---- what may go at a place -------------------------------------------------------------------


def answer(peak_C: float, mean_C: float) -> tuple[set[str], set[str]]:
    may: set[str] = set()
    may_not: set[str] = set()
    for verdict in CATALOGUE.may_go(peak_C, mean_C):
        may |= set(verdict.may)
        may_not |= set(verdict.may_not)
    return may, may_not


def test_the_top_course_of_a_bell() -> None:
    may, may_not = answer(387.0, 120.0)
    assert {"clay-brick-common", "firebrick-low-duty", "soapstone", "basalt"} <= may
    assert {"hollow-block-normal", "granite", "mortar-portland", "unknown-stone"} <= may_not


def test_a_firebox_takes_refractories_only() -> None:
    may, may_not = answer(1050.0, 600.0)
    assert {"firebrick-medium-duty", "ifb-23", "castable-dense-fireclay"} <= may
    assert {"clay-brick-common", "soapstone", "mild-steel", "perlite-loose"} <= may_not


def test_each_heater_material_gets_exactly_one_answer() -> None:
    may, may_not = answer(300.0, 100.0)
    expected = {
        m.name for m in MATERIALS if m.usable_as == "layer" and m.treat_as_combustible != "yes"
    }
    assert may | may_not == expected and not may & may_not
    assert "softwood" not in expected and "gypsum-board" not in expected


@pytest.mark.parametrize(("peak_C", "mean_C"), [(300.0, 150.0), (299.0, 150.0), (300.0, 149.0)])
def test_a_cap_may_be_reached_but_not_passed(peak_C: float, mean_C: float) -> None:
    name = "hollow-block-normal"  # 300 peak, 150 service
    assert name in answer(peak_C, mean_C)[0]
    assert name in answer(peak_C, 150.1)[1]
    assert name in answer(300.1, mean_C)[1]


def test_classes_come_in_order_and_titled() -> None:
    verdicts = CATALOGUE.may_go(100.0, 50.0)
    families = [v.family for v in verdicts]
    assert families == sorted(families)
    assert all(v.title and (v.may or v.may_not) for v in verdicts)
    assert [v.may == tuple(sorted(v.may)) for v in verdicts] == [True] * len(verdicts)
