"""A floor on joists: against finite elements, and cases that are exact."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray

from stovelint.heat.joists import CELLS, _columns, joist_resistance_m2K_W
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


def by_hand(
    between: float | None, cells: int, above: tuple[tuple[float, float], ...] = FLOOR,
    below: tuple[tuple[float, float], ...] = CEILING,
) -> float:  # fmt: skip
    """The same cells as a net of conductances, node by node, with a node of its own where the
    middle of the joist begins; T of that node gives the resistance."""
    half = 0.5 * WIDTH
    x = _columns(half, 0.5 * SPACING, cells)
    rows: list[tuple[float, float, float | None]] = [(d, k, k) for d, k in above]
    rows.append((DEPTH, WOOD, between))
    rows += [(d, k, k) for d, k in below]
    k = [[own if j < cells else other for j in range(len(x))]
         for _, own, other in rows for _ in range(cells)]  # fmt: skip
    y = [d / cells for d, _, _ in rows for _ in range(cells)]
    top = cells * len(above)
    nodes: dict[tuple[int, int], int] = {}
    for i, j in np.ndindex(len(y), len(x)):
        if k[i][j] is not None:
            nodes[i, j] = len(nodes)
    plane = len(nodes)
    matrix, right = np.zeros((plane + 1, plane + 1)), np.zeros(plane + 1)

    def join(one: int, two: int, r: float) -> None:
        for a, b in ((one, two), (two, one)):
            matrix[a, a] += 1.0 / r
            matrix[a, b] -= 1.0 / r

    def hold(node: int, r: float, t: float) -> None:
        matrix[node, node] += 1.0 / r
        right[node] += t / r

    def halves(i: int, j: int) -> tuple[float, float]:
        """Resistance from the middle of a cell to its lower or upper side, and to its flank."""
        own = k[i][j]
        assert own is not None
        return 0.5 * y[i] / (own * x[j]), 0.5 * x[j] / (own * y[i])

    for (i, j), node in nodes.items():
        down, side = halves(i, j)
        if i == 0:
            hold(node, down, 1.0)
        if (i + 1, j) in nodes:
            under = nodes[i + 1, j]
            if (i, j) == (top - 1, 0):
                join(node, plane, down)
                join(plane, under, halves(i + 1, j)[0])
            else:
                join(node, under, down + halves(i + 1, j)[0])
        else:  # air or the room
            hold(node, down + 1.0 / (FILM * x[j]), 0.0)
        if (i, j + 1) in nodes:
            join(node, nodes[i, j + 1], side + halves(i, j + 1)[1])
        elif j < len(x) - 1:
            hold(node, side + 1.0 / (FILM * y[i]), 0.0)
    t = float(np.linalg.solve(matrix, right)[plane])
    up = sum(d / k for d, k in above)
    return t / (1.0 - t) * up - sum(d / k for d, k in below) - 1.0 / FILM


@pytest.mark.parametrize("cells", [2, 3])
@pytest.mark.parametrize("between", [0.04, 1.2])
def test_the_net_of_cells_node_by_node(between: float, cells: int) -> None:
    for below in (CEILING, (), ((0.02, 0.13), (0.0125, 0.21))):
        close(resistance(between, cells=cells, below=below), by_hand(between, cells, below=below),
              within=1e-8, because="the same net, put together otherwise",
              source="conservation of heat in each cell")  # fmt: skip


@pytest.mark.parametrize("cells", [2, 3])
def test_the_net_of_cells_in_open_air(cells: int) -> None:
    """The air's cells conduct a thousand-millionth of a watt, the node-by-node net has none."""
    for above in (FLOOR, FLOOR[1:], FLOOR[:1]):
        close(resistance(None, cells=cells, above=above),
              max(by_hand(None, cells, above=above, below=()), 0.0), within=1e-6,
              because="air that conducts next to nothing",
              source="conservation of heat in each cell")  # fmt: skip


def test_columns_grow_away_from_the_joist() -> None:
    """By hand: 10 mm each in the joist, then 14 and 19.6 mm; a rest of less than half a column
    joins the last one, a rest of a hair more stands alone."""
    joist = [0.01] * 4
    for bay, beyond in (
        (0.1, [0.014, 0.0196, 0.0264]), (0.083, [0.014, 0.029]),
        (0.0838, [0.014, 0.0196, 0.0102]), (0.0436, [0.0036]),
    ):  # fmt: skip
        assert _columns(0.04, bay, 4).tolist() == pytest.approx([*joist, *beyond], abs=1e-12)


def test_a_joist_that_cools_like_a_fin_hides_nothing() -> None:
    """Of metal in open air it leads away more heat than the film alone would: no resistance."""
    assert resistance(None, k_joist_W_mK=50.0) == 0.0


def test_eight_cells_unless_told_otherwise() -> None:
    assert resistance(1.2) == resistance(1.2, cells=8) != resistance(1.2, cells=7)
    assert CELLS == 8


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
