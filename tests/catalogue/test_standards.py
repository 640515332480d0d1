"""Rows that follow a standard's formula, against the formula written out here once more.

The formulae stand in this file on their own: nothing of the package computes them.
"""

from __future__ import annotations

from typing import Callable

import numpy as np
import pytest

from stovelint.catalogue.concrete import (
    compressive_share, free_strain, tensile_share, yield_share,
)  # fmt: skip
from stovelint.errors import CatalogueError
from tests.catalogue.shared import at, block, curve, numbers, table
from tests.heat.close import close

CONCRETES = ("concrete-normal-siliceous", "concrete-normal-calcareous")
EC2 = "EN 1992-1-2:2004 cl. 3.3.3"
EC3 = "EN 1993-1-2:2005 cl. 3.4.1"
THREE = "the row prints three decimals"


def upper_k(T: float) -> float:
    return 2.0 - 0.2451 * (T / 100.0) + 0.0107 * (T / 100.0) ** 2


def lower_k(T: float) -> float:
    return 1.36 - 0.136 * (T / 100.0) + 0.0057 * (T / 100.0) ** 2


def concrete_cp(T: float) -> float:
    """Dry."""
    if T <= 100.0:
        return 900.0
    if T <= 200.0:
        return 900.0 + (T - 100.0)
    if T <= 400.0:
        return 1000.0 + (T - 200.0) / 2.0
    return 1100.0


def steel_k(T: float) -> float:
    return 54.0 - 3.33e-2 * T if T < 800.0 else 27.3


def steel_cp(T: float) -> float:
    """20 to 600 degC."""
    return 425.0 + 7.73e-1 * T - 1.69e-3 * T**2 + 2.22e-6 * T**3


def granite_k(T: float) -> float:
    """1/(c + d T), its two constants fixed by the published values at 20 and 600 degC."""
    k20, k600 = 2.661, 1.556
    d = (1.0 / k600 - 1.0 / k20) / 580.0
    return 1.0 / (1.0 / k20 + d * (T - 20.0))


@pytest.mark.parametrize("name", CONCRETES)
@pytest.mark.parametrize(
    ("column", "formula"), [("points", upper_k), ("lower_limit", lower_k)]
)
def test_both_limits_of_concrete_conductivity(
    name: str, column: str, formula: Callable[[float], float]
) -> None:
    rows = table(name, "conductivity_W_mK", column)
    assert {20.0, 100.0, 200.0, 400.0, 600.0, 800.0} <= set(rows)
    for T, k in rows.items():
        close(k, formula(T), within=0.0006, unit="W/mK", because=THREE, source=EC2)


HANDED: tuple[tuple[float, float, float], ...] = (
    (20.0, 1.951, 1.333), (100.0, 1.766, 1.230), (200.0, 1.553, 1.111), (300.0, 1.361, 1.003),
    (500.0, 1.042, 0.823), (1200.0, 0.5996, 0.5488),
)  # fmt: skip


@pytest.mark.parametrize(("T", "upper", "lower"), HANDED)
def test_concrete_runs_between_the_two_limits(T: float, upper: float, lower: float) -> None:
    own = curve("concrete-normal-siliceous", "conductivity")
    close(upper_k(T), upper, within=0.0006, unit="W/mK", because=THREE, source=EC2)
    close(
        float(own.at(T)), (upper + lower) / 2.0, within=0.001, unit="W/mK",
        because="the middle of two figures of three decimals", source=EC2,
    )  # fmt: skip
    if T <= 800.0:
        low, high = float(own.at(T) * own.spread_low(T)), float(own.at(T) * own.spread_high(T))
        close(low, lower, within=0.001, unit="W/mK", because=THREE, source=EC2)
        close(high, upper, within=0.001, unit="W/mK", because=THREE, source=EC2)


def test_the_limits_of_concrete_nearly_meet_when_hot() -> None:
    T = np.arange(20.0, 1201.0, 10.0)
    gap = np.array([upper_k(t) - lower_k(t) for t in T])
    assert (gap > 0.0).all()
    assert gap[-1] < 0.06


@pytest.mark.parametrize("name", CONCRETES)
@pytest.mark.parametrize("T", [20.0, 100.0, 115.0, 150.0, 200.0, 400.0, 800.0, 1000.0])
def test_concrete_specific_heat_is_that_of_dry_concrete(name: str, T: float) -> None:
    close(
        at(name, "specific_heat", T), concrete_cp(T), within=1.0, unit="J/kgK",
        because="the standard's own straight pieces", source="EN 1992-1-2:2004 cl. 3.3.2",
    )  # fmt: skip


def test_the_moist_peak_of_concrete_is_kept_but_not_used() -> None:
    assert numbers("concrete-normal-siliceous", "specific_heat_J_kgK", "moist_peak") == [115, 1470]
    assert at("concrete-normal-siliceous", "specific_heat", 115.0) < 1000.0


@pytest.mark.parametrize("name", ["mild-steel", "rebar"])
@pytest.mark.parametrize("T", [20.0, 100.0, 200.0, 400.0, 600.0, 700.0])
def test_steel_conductivity(name: str, T: float) -> None:
    close(at(name, "conductivity", T), steel_k(T), within=0.06, unit="W/mK",
          because="the row prints one decimal", source=EC3)  # fmt: skip


@pytest.mark.parametrize(("T", "expected"), [(20.0, 53.33), (400.0, 40.68), (600.0, 34.02)])
def test_steel_conductivity_as_handed_down(T: float, expected: float) -> None:
    close(steel_k(T), expected, within=0.01, unit="W/mK", because="two decimals are given",
          source=EC3)  # fmt: skip


def test_steel_conductivity_is_flat_above_800() -> None:
    close(at("mild-steel", "conductivity", 1000.0), 27.3, within=0.05, unit="W/mK",
          because="the row prints one decimal", source=EC3)  # fmt: skip


@pytest.mark.parametrize(
    ("T", "expected"),
    [(20.0, 439.8), (100.0, 487.6), (200.0, 529.8), (400.0, 605.9), (600.0, 759.9)],
)
def test_steel_specific_heat(T: float, expected: float) -> None:
    close(steel_cp(T), expected, within=0.5, unit="J/kgK", because="one decimal is given",
          source=EC3)  # fmt: skip
    close(at("mild-steel", "specific_heat", T), steel_cp(T), within=0.6, unit="J/kgK",
          because="the row prints whole numbers", source=EC3)  # fmt: skip


def test_bar_specific_heat_is_the_chord_of_the_formula() -> None:
    close(
        at("rebar", "specific_heat", 600.0), steel_cp(600.0), within=0.005, source=EC3,
        because="a chord from 20 to 600 C, its slope rounded to three digits",
    )  # fmt: skip


PIECES = "straight pieces of 200 K on a hyperbola, points of two decimals"
GRANITE = "Earth, Planets and Space 2022, s40623-022-01704-4, Table 5"


@pytest.mark.parametrize(("T", "expected"), [(20.0, 2.661), (300.0, 1.981), (600.0, 1.556)])
def test_granite_conductivity_follows_the_fit(T: float, expected: float) -> None:
    close(
        granite_k(T), expected, within=0.002, unit="W/mK", source=GRANITE,
        because="the fit has two constants, fixed here by its two end points",
    )  # fmt: skip
    close(at("granite", "conductivity", T), expected, within=0.012, because=PIECES, source=GRANITE)


@pytest.mark.parametrize(("T", "expected"), [(20.0, 2.273), (300.0, 1.859), (600.0, 1.555)])
def test_basalt_conductivity_follows_the_gabbro_fit(T: float, expected: float) -> None:
    close(at("basalt", "conductivity", T), expected, within=0.012, because=PIECES, source=GRANITE)


@pytest.mark.parametrize(
    ("name", "k20"),
    [("gneiss", 3.0), ("sandstone", 2.3), ("limestone", 1.7), ("marble", 2.8), ("slate", 2.0)],
)
@pytest.mark.parametrize("T", [20.0, 200.0, 400.0, 600.0])
def test_generic_rock_curve(name: str, k20: float, T: float) -> None:
    close(at(name, "conductivity", T), k20 / (1.0 + 0.0005 * (T - 20.0)), within=0.006,
          unit="W/mK", because="points of two decimals", source=GRANITE)  # fmt: skip


# ---- hot concrete and its bars ----------------------------------------------------------------

TABLE = "EN 1992-1-2:2004 Table 3.1 and 3.2a, held alike by two public codes"
EXACT = "straight lines between the printed cells"


@pytest.mark.parametrize(
    ("T", "siliceous", "calcareous"),
    [(150.0, 0.975, 0.985), (250.0, 0.90, 0.94), (350.0, 0.80, 0.88), (550.0, 0.525, 0.67)],
)
def test_compressive_strength_left(T: float, siliceous: float, calcareous: float) -> None:
    close(compressive_share("siliceous", T), siliceous, within=1e-6, because=EXACT, source=TABLE)
    close(compressive_share("calcareous", T), calcareous, within=1e-6, because=EXACT, source=TABLE)


@pytest.mark.parametrize(("T", "share"), [(150.0, 0.90), (300.0, 0.60), (500.0, 0.20)])
def test_tensile_strength_left(T: float, share: float) -> None:
    close(tensile_share(T), share, within=1e-6, because="the standard's straight line",
          source="EN 1992-1-2:2004 cl. 3.2.2.2")  # fmt: skip


def test_no_tensile_strength_is_left_at_600() -> None:
    assert float(tensile_share(600.0)) == 0.0
    assert float(tensile_share(60.0)) == 1.0


def test_yield_strength_left() -> None:
    close(yield_share("hot-rolled", [450.0, 550.0]), [0.89, 0.625], within=1e-6, because=EXACT,
          source=TABLE)  # fmt: skip
    close(yield_share("cold-worked", 450.0), 0.805, within=1e-6, because=EXACT, source=TABLE)


STRAIN = "EN 1992-1-2:2004 cl. 3.3.1 and EN 1993-1-2:2005 cl. 3.4.1.1"


@pytest.mark.parametrize(
    ("what", "T", "expected"),
    [("siliceous", 100.0, 7.430e-4), ("siliceous", 300.0, 3.141e-3), ("siliceous", 400.0, 4.892e-3),
     ("siliceous", 500.0, 7.195e-3), ("calcareous", 100.0, 4.940e-4),
     ("calcareous", 400.0, 3.176e-3), ("steel", 100.0, 9.984e-4), ("steel", 400.0, 5.198e-3)],
)  # fmt: skip
def test_free_strain(what: str, T: float, expected: float) -> None:
    close(free_strain(what, T), expected, within=2e-6, unit="strain",  # type: ignore[arg-type]
          because="four digits are given", source=STRAIN)  # fmt: skip


def test_free_strain_joins_its_plateau_and_starts_at_nothing() -> None:
    for what, end, plateau in (("siliceous", 700.0, 14e-3), ("calcareous", 805.0, 12e-3),
                               ("steel", 750.0, 11e-3)):  # fmt: skip
        before, after = free_strain(what, [end, end + 1.0])  # type: ignore[arg-type]
        assert after == plateau
        close(before, plateau, within=0.015, because="the standard rounds the plateau",
              source=STRAIN)  # fmt: skip
        assert abs(float(free_strain(what, 20.0))) < 4e-6  # type: ignore[arg-type]


@pytest.mark.parametrize("T", [19.0, 1201.0, float("nan")])
def test_hot_concrete_is_never_clamped(T: float) -> None:
    questions: tuple[Callable[[], object], ...] = (
        lambda: compressive_share("siliceous", T), lambda: free_strain("calcareous", T),
        lambda: yield_share("hot-rolled", [100.0, T]), lambda: tensile_share(T),
        lambda: free_strain("steel", T),
    )  # fmt: skip
    for ask in questions:
        with pytest.raises(CatalogueError, match="known from 20 to"):
            ask()


@pytest.mark.parametrize("aggregate", ["siliceous", "calcareous"])
def test_the_material_rows_and_the_standards_table_agree(aggregate: str) -> None:
    rows = table(f"concrete-normal-{aggregate}", "strength_retention")
    assert len(rows) == 9
    for T, share in rows.items():
        close(compressive_share(aggregate, T), share, within=1e-9,  # type: ignore[arg-type]
              because="two readings of the same cells", source=TABLE)  # fmt: skip
    assert block(f"concrete-normal-{aggregate}", "strength_retention")["grade"] == "recalled"


def test_the_bar_row_and_the_standards_table_agree() -> None:
    for T, share in table("rebar", "strength_retention").items():
        close(yield_share("hot-rolled", T), share, within=1e-9,
              because="two readings of the same cells", source=TABLE)  # fmt: skip


def test_bars_nearly_match_siliceous_concrete_only() -> None:
    steel, siliceous, calcareous = (
        float(free_strain(what, 400.0)) for what in ("steel", "siliceous", "calcareous")
    )
    assert 0.0 < steel - siliceous < 0.0004
    assert steel - calcareous > 0.0019
