"""A floor on joists: against finite elements, and cases that are exact."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray

from stovelint.heat.joists import joist_resistance_m2K_W
from tests.heat.close import close

Floats = NDArray[np.float64]
FLOOR = ((0.065, 0.7), (0.1, 0.07), (0.028, 0.13))
"""Brick, loose perlite, boards."""
CEILING = ((0.0125, 0.21),)
DEPTH, WOOD, WIDTH, SPACING, FILM = 0.2, 0.13, 0.045, 0.4, 8.0
UP = sum(d / k for d, k in FLOOR)


def resistance(between: float | None, **other: Any) -> float:
    """Of the joist of an everyday floor; `between` None: open to below."""
    values: dict[str, Any] = {
        "above": FLOOR, "depth_m": DEPTH, "k_joist_W_mK": WOOD, "k_between_W_mK": between,
        "below": () if between is None else CEILING, "width_m": WIDTH, "spacing_m": SPACING,
        "film_W_m2K": FILM,
    }  # fmt: skip
    return joist_resistance_m2K_W(**{**values, **other})


def top_1(found: float, below: float) -> float:
    """Temperature over the joist's middle that the resistance stands for, 0 to 1."""
    down = found + below + 1.0 / FILM
    return down / (UP + down)


def elements(between: float | None) -> float:
    """The same temperature by finite elements of the second order, cells of 2 to 6 mm."""
    from skfem import Basis, BilinearForm, ElementQuad2, FacetBasis, MeshQuad, condense, solve

    half, bay = 0.5 * WIDTH, 0.5 * SPACING
    rows = [*FLOOR, (DEPTH, WOOD), *(CEILING if between is not None else ())]
    ends = np.concatenate([[0.0], np.cumsum([d for d, _ in rows])])
    top = float(ends[3])
    x = np.concatenate([np.linspace(0, half, 9), np.linspace(half, bay, 41)[1:]])
    y = np.concatenate([[0.0], *(np.linspace(a, b, 17)[1:] for a, b in zip(ends, ends[1:]))])
    mesh: Any = MeshQuad.init_tensor(x, y)
    if between is None:  # no cells where there is air
        middle = mesh.p[:, mesh.t].mean(axis=1)
        mesh = mesh.remove_elements(np.flatnonzero((middle[0] > half) & (middle[1] > top)))
    basis = Basis(mesh, ElementQuad2())

    def k(at: Any) -> Floats:
        value = np.full(at[0].shape, WOOD)
        for low, high, (_, own) in zip(ends, ends[1:], rows):
            value = np.where((at[1] > low) & (at[1] < high), own, value)
        if between is not None:
            air = (at[0] > half) & (at[1] > top) & (at[1] < top + DEPTH)
            value = np.where(air, between, value)
        return np.asarray(value)

    stiffness: Any = BilinearForm(
        lambda u, v, w: k(w.x) * (u.grad[0] * v.grad[0] + u.grad[1] * v.grad[1])
    ).assemble(basis)
    low = float(ends[-1])
    free = mesh.facets_satisfying(
        (lambda p: np.isclose(p[1], low)) if between is not None
        else (lambda p: np.isclose(p[1], low) | ((p[1] > top - 1e-9) & (p[0] > half - 1e-9)
                                                 & (np.isclose(p[0], half)
                                                    | np.isclose(p[1], top)))),
        boundaries_only=True,
    )  # fmt: skip
    film: Any = BilinearForm(lambda u, v, w: FILM * u * v).assemble(
        FacetBasis(mesh, ElementQuad2(), facets=free)
    )
    held = basis.get_dofs(lambda p: np.isclose(p[1], 0.0))
    start = basis.zeros()
    start[held] = 1.0
    t = solve(*condense(stiffness + film, x=start, D=held))
    return float((basis.probes(np.array([[1e-6], [top - 1e-9]])) @ t)[0])


@pytest.mark.parametrize("between", [None, 0.04, 1.2])
def test_over_a_joist_against_finite_elements(between: float | None) -> None:
    """Within 1 % of the whole step: the even cells are coarse where the joist begins."""
    below = 0.0 if between is None else 0.0125 / 0.21
    ours = top_1(resistance(between), below)
    exact = elements(between)
    close(ours, exact, within=0.01, unit="of the whole step", source="scikit-fem 12",
          because="eight cells to a layer")  # fmt: skip
    assert exact - 0.002 < ours  # never told cooler than it is


def test_a_bay_of_one_material_is_a_layer() -> None:
    """Exact: wood between joists of wood."""
    close(resistance(WOOD), DEPTH / WOOD, within=1e-9, source="d / k", because="the same sum")


def test_joists_side_by_side_are_solid_wood() -> None:
    """Limit: with 1 mm of cavity to 500 mm of wood the middle knows nothing of it."""
    found = resistance(1.2, width_m=0.5, spacing_m=0.501)
    close(found, DEPTH / WOOD, within=0.02, source="d / k", because="half a metre from the edge")


def test_a_thin_joist_hides_nothing() -> None:
    """Limit: of a joist of 0.1 mm the place over it is as any other in the bay."""
    found = resistance(1.2, width_m=0.0001)
    close(found, DEPTH / 1.2, within=0.10, source="d / k of the bay",
          because="the plane is read between two cells")


def test_wider_joists_keep_more_back() -> None:
    found = [resistance(1.2, width_m=w) for w in (0.02, 0.045, 0.09, 0.18)]
    assert found == sorted(found) and found[-1] > 2.0 * found[0]
    opened = [resistance(None, width_m=w) for w in (0.02, 0.045, 0.09, 0.18)]
    assert opened == sorted(opened) and all(x < y for x, y in zip(opened, found))


def test_better_film_cooler_joist_top() -> None:
    warm = resistance(None, film_W_m2K=4.0) + 1 / 4.0
    cool = resistance(None, film_W_m2K=16.0) + 1 / 16.0
    assert cool < warm


def test_enough_cells() -> None:
    for between in (None, 0.04, 1.2):
        below = 0.0 if between is None else 0.0125 / 0.21
        close(top_1(resistance(between), below), top_1(resistance(between, cells=14), below),
              within=0.012, unit="of the whole step", source="nearly twice as many",
              because="1 % of the step")  # fmt: skip
