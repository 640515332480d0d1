"""Fins, ties and tees against exact limits and finite elements."""

from __future__ import annotations

from math import inf, pi, sqrt
from typing import Any

import numpy as np
import pytest
import skfem
from numpy.typing import NDArray
from skfem.helpers import dot, grad

from stovelint.heat.fins import (
    anchored_W_K, fin_efficiency, fin_slope_1_m, fin_W_K, spot_W_K, tie, web_in_slab,
)  # fmt: skip
from tests.heat.close import close

Floats = NDArray[np.float64]
FEM = "scikit-fem 12.0.2, quadratic square elements"
NOTES = "physics notes 4, steel bar fin"
ROUNDED = "both in double precision, only rounding"


def test_steel_bar() -> None:
    """Bar of 12 mm, k 50, h 20, 0.3 m long: m = 11.55, efficiency 0.288."""
    around, area = pi * 0.012, pi * 0.006**2
    m = fin_slope_1_m(20.0, around, 50.0, area)
    close(m, 11.547, within=1e-4, because="five digits are written", source=NOTES)
    close(m, sqrt(4 * 20.0 / (50.0 * 0.012)), within=1e-12, because=ROUNDED,
          source="m of a round pin, 4 h / (k D)")  # fmt: skip
    close(fin_efficiency(m, 0.3), 0.288, within=0.002, because="three digits are written",
          source=NOTES)  # fmt: skip


def test_limits_of_a_fin() -> None:
    close(fin_efficiency(11.0, 1e-6), 1.0, within=1e-9, because="a stub is all as hot as its foot",
          source="limit of short fins")  # fmt: skip
    assert float(fin_efficiency(0.0, 0.3)) == 1.0
    for x in (0.9e-4, 1.1e-4):  # on both sides of where the series takes over
        close(fin_efficiency(x, 1.0), 1.0 - x * x / 3.0, within=1e-12, because="next term is e-17",
              source="series of tanh x / x")  # fmt: skip
    close(fin_efficiency(50.0, 2.0), 0.01, within=1e-9, because="tanh of 100 is one",
          source="limit of long fins, 1 / (m L)")  # fmt: skip
    around, area = 0.4, 0.003
    close(fin_W_K(15.0, around, 40.0, area, inf), sqrt(15.0 * around * 40.0 * area), within=1e-12,
          because=ROUNDED, source="endless fin, sqrt(h P k A)")  # fmt: skip
    m = fin_slope_1_m(15.0, around, 40.0, area)
    close(fin_W_K(15.0, around, 40.0, area, 0.2), fin_efficiency(m, 0.2) * 15.0 * around * 0.2,
          within=1e-12, because=ROUNDED, source="efficiency times film times side")  # fmt: skip


def test_a_fin_by_small_steps() -> None:
    """T'' = m^2 T from 1 at the foot to no slope at the tip, 2000 cells."""
    n, length, m = 2000, 0.3, 11.547
    dx = length / n
    a = np.zeros((n, n))
    i = np.arange(n)
    a[i, i] = 2.0 + (m * dx) ** 2
    a[i[1:], i[:-1]] = a[i[:-1], i[1:]] = -1.0
    a[-1, -1] = 1.0 + (m * dx) ** 2
    a[0, 0] = 3.0 + (m * dx) ** 2
    right = np.zeros(n)
    right[0] = 2.0
    close(fin_efficiency(m, length), np.linalg.solve(a, right).mean(), within=1e-5,
          because="cells of 0.15 mm", source="finite volumes here")  # fmt: skip


def around_axis(
    r: Floats, z: Floats, k_of: Any, hot: Any, cold: Any
) -> tuple[float, Any, Any]:
    """Flow (W/K) from `hot` at 1 to `cold` at 0 in a body of rotation; its mesh and solution."""
    mesh = skfem.MeshQuad.init_tensor(r, z)
    basis = skfem.Basis(mesh, skfem.ElementQuad2())
    middle = mesh.p[:, mesh.t].mean(axis=1)
    k = basis.with_element(skfem.ElementQuad0()).interpolate(k_of(*middle))
    form = skfem.BilinearForm(
        lambda u, v, w: 2.0 * pi * w.x[0] * w["k"] * dot(grad(u), grad(v))
    ).assemble(basis, k=k)
    x = basis.doflocs
    one, nil = np.flatnonzero(hot(*x)), np.flatnonzero(cold(*x))
    t = basis.zeros()
    t[one] = 1.0
    t = skfem.solve(*skfem.condense(form, x=t, D=np.concatenate([one, nil])))
    return float(t @ form @ t), basis, t


def spaced(ends: list[float], cells: list[int], power: list[float]) -> Floats:
    parts = [np.array([ends[0]])]
    for a, b, n, p in zip(ends, ends[1:], cells, power):
        u = np.linspace(0.0, 1.0, n + 1)[1:]
        parts.append(a + (b - a) * (u**p if p > 0 else 1.0 - (1.0 - u) ** -p))
    return np.concatenate(parts)


def test_spot() -> None:
    """A disc of 10 mm at 1 on a half space cut off at 1 m."""
    r = spaced([0.0, 0.005, 1.0], [8, 24], [-2.0, 3.5])
    z = spaced([0.0, 1.0], [24], [4.0])
    flow, *_ = around_axis(
        r, z, lambda x, y: np.full_like(x, 0.7),
        lambda x, y: (y < 1e-9) & (x < 0.005 + 1e-9), lambda x, y: (x > 1 - 1e-9) | (y > 1 - 1e-9),
    )  # fmt: skip
    close(spot_W_K(0.01, 0.7), flow, within=0.01, because="the edge of the disc is a singularity",
          source=FEM)  # fmt: skip


@pytest.mark.parametrize(("d", "deep", "k_pin", "k"), [
    (0.004, 0.05, 16.0, 0.7), (0.006, 0.08, 50.0, 1.0), (0.006, 0.03, 50.0, 0.5),
    (0.012, 0.10, 50.0, 0.9),
])  # fmt: skip
def test_anchor(d: float, deep: float, k_pin: float, k: float) -> None:
    """A pin let into a half space whose face lets no heat out."""
    r = spaced([0.0, 0.5 * d, 1.5], [4, 24], [1.0, 3.0])
    z = spaced([0.0, deep, 1.5], [20, 20], [1.3, 3.0])
    flow, *_ = around_axis(
        r, z, lambda x, y: np.where((x < 0.5 * d) & (y < deep), k_pin, k),
        lambda x, y: (y < 1e-9) & (x < 0.5 * d + 1e-9),
        lambda x, y: (x > 1.5 - 1e-9) | (y > 1.5 - 1e-9),
    )  # fmt: skip
    close(anchored_W_K(d, deep, k_pin, k), flow, within=0.10,
          because="the pin's shape factor is that of an even temperature along it", source=FEM,
          )  # fmt: skip


def test_limits_of_an_anchor() -> None:
    close(anchored_W_K(0.004, 0.0, 16.0, 0.7), 2 * 0.004 * 0.7, within=1e-12, because=ROUNDED,
          source="a pin that ends flush")  # fmt: skip
    close(anchored_W_K(0.004, 0.05, 1e9, 0.7), 2 * pi * 0.7 * 0.05 / np.log(50.0), within=1e-6,
          because="so good a conductor is even",
          source="ht 1.2.0, S_isothermal_pipe_normal_to_plane's form")  # fmt: skip


def test_tie_is_three_resistances() -> None:
    through, cold = tie(0.004, 0.05, 0.04, 16.0, 1.2, 0.7)
    shaft = 0.05 / (16.0 * pi * 0.002**2)
    ends = 1.0 / anchored_W_K(0.004, 0.04, 16.0, 1.2) + 1.0 / cold
    close(1.0 / through, shaft + ends, within=1e-12, because=ROUNDED, source="worked by hand")
    close(cold, anchored_W_K(0.004, 0.04, 16.0, 0.7), within=1e-12, because=ROUNDED,
          source="worked by hand")  # fmt: skip
    close(tie(0.004, 50.0, 0.04, 16.0, 1.2, 0.7).through_W_K, 1e-3 / shaft * 1.0, within=0.01,
          because="the ends are a thousandth of so long a shaft", source="limit of a long shaft",
          )  # fmt: skip


def test_tie_through_insulation() -> None:
    """Brick 100 mm, fibre 50 mm, brick 100 mm round one tie of 300 mm by 300 mm.

    Compared is what the tie adds to the flow between the faces; the fibre lets a little heat into
    the shaft, which the parallel ways leave out.
    """
    side, d, k_brick, k_fibre, k_tie, into = 0.3, 0.006, 0.8, 0.06, 50.0, 0.05
    radius = side / sqrt(pi)
    r = spaced([0.0, 0.5 * d, radius], [4, 20], [1.0, 2.5])
    z = spaced([0.0, 0.05, 0.1, 0.15, 0.2, 0.25], [8, 10, 10, 10, 8], [-1.3, 1.0, 1.0, 1.0, 1.3])

    def k_of(x: Floats, y: Floats) -> Floats:
        body = np.where((y > 0.1) & (y < 0.15), k_fibre, k_brick)
        return np.where((x < 0.5 * d) & (y > 0.1 - into) & (y < 0.15 + into), k_tie, body)

    flow, *_ = around_axis(r, z, k_of, lambda x, y: y < 1e-9, lambda x, y: y > 0.25 - 1e-9)
    one = tie(d, 0.05, into, k_tie, k_brick, k_brick)
    layer = k_fibre / 0.05 + float(one.through_W_K) / side**2
    plain = 2 * 0.1 / k_brick + 0.05 / k_fibre
    ours = side**2 / (2 * 0.1 / k_brick + 1.0 / layer)
    assert flow * plain / side**2 > 1.05  # it adds 5 % and more
    close(ours, flow, within=0.02, because="the added part is known to a fifth of it", source=FEM)


TEES = [
    (0.006, 0.05, 0.25, 50.0, 0.9, 0.100), (0.006, 0.05, 0.25, 50.0, 0.9, 0.064),
    (0.006, 0.05, 0.12, 50.0, 0.9, 0.100), (0.006, 0.05, 0.60, 50.0, 0.9, 0.100),
    (0.006, 0.10, 0.25, 50.0, 0.9, 0.150), (0.006, 0.05, 0.25, 16.0, 0.9, 0.100),
    (0.010, 0.08, 0.30, 45.0, 1.5, 0.100), (0.006, 0.05, 0.25, 50.0, 0.3, 0.100),
]  # fmt: skip


@pytest.mark.parametrize(("t", "deep", "apart", "k_web", "k", "thick"), TEES)
def test_tee_in_a_slab(
    t: float, deep: float, apart: float, k_web: float, k: float, thick: float
) -> None:
    """Half a bay of a slab, its hot face at 1, a film of 10 W/m2K on the other: flow and the
    web's end."""
    half = 0.5 * t
    x = spaced([0.0, half, 0.5 * apart], [3, 20], [1.0, 2.0])
    y = spaced([0.0, deep, thick], [14, 14], [-1.5, 1.5])
    mesh = skfem.MeshQuad.init_tensor(x, y)
    basis = skfem.Basis(mesh, skfem.ElementQuad2())
    middle = mesh.p[:, mesh.t].mean(axis=1)
    body = np.where((middle[0] < half) & (middle[1] < deep), k_web, k)
    form = skfem.BilinearForm(lambda u, v, w: w["k"] * dot(grad(u), grad(v))).assemble(
        basis, k=basis.with_element(skfem.ElementQuad0()).interpolate(body)
    )
    top = mesh.facets_satisfying(lambda p: p[1] > thick - 1e-9, boundaries_only=True)
    face = skfem.FacetBasis(mesh, skfem.ElementQuad2(), facets=top)
    mass = skfem.BilinearForm(lambda u, v, w: u * v).assemble(face)
    load = skfem.LinearForm(lambda v, w: v).assemble(face)
    hot = np.flatnonzero(basis.doflocs[1] < 1e-9)
    temp = basis.zeros()
    temp[hot] = 1.0
    temp = skfem.solve(*skfem.condense(form + 10.0 * mass, x=temp, D=hot))
    flow = 10.0 * float(load @ temp) / (0.5 * apart)
    web = web_in_slab(t, deep, apart, k_web, k)
    ours = 1.0 / (1.0 / web.conductance_W_m2K + (thick - deep) / k + 0.1)
    close(ours, flow, within=0.03, because="sideways exchange is taken as one film", source=FEM)
    assert flow > 1.03 / (thick / k + 0.1)
    at = np.argmin(np.hypot(basis.doflocs[0], basis.doflocs[1] - deep))
    drop = ours / web.conductance_W_m2K
    close(1.0 - drop * (1.0 - web.tip), temp[at], within=0.03,
          because="sideways exchange is taken as one film", source=FEM)  # fmt: skip


def test_limits_of_a_tee() -> None:
    """No web, a web as good as the slab, a perfect web, one far from the next."""
    close(web_in_slab(1e-9, 0.05, 0.25, 50.0, 0.9).conductance_W_m2K, 0.9 / 0.05, within=1e-4,
          because="a web of a nanometre", source="plain slab")  # fmt: skip
    close(web_in_slab(0.006, 0.05, 1000.0, 50.0, 0.9).conductance_W_m2K, 0.9 / 0.05, within=1e-3,
          because="a kilometre to the next", source="plain slab")  # fmt: skip
    # heat that a slab of the web's depth would take does not grow when the web is the slab's own
    own = web_in_slab(0.05, 0.05, 0.25, 0.9, 0.9)
    close(own.conductance_W_m2K, 0.9 / 0.05, within=0.12,
          because="the web's end takes what its section would not", source="plain slab",
          )  # fmt: skip
    # by hand, with every constant written out
    g, m = pi * 0.9 / np.log(4 * 0.2 / (pi * 0.006)), sqrt(12 * 0.9 / 0.2 * (1 / 0.3 + 1 / 0.2196))
    u = np.tanh(0.05 * m) / (0.2196 * m + 0.5196 * g / 0.3 * np.tanh(0.05 * m))
    by_hand = (0.05 + 0.3 * u) / 0.5196 - u * 0.024
    web = web_in_slab(0.006, 0.05, 0.25, 50.0, 0.9)
    close(web.conductance_W_m2K, 1.0 / (0.25 * by_hand), within=1e-9, because=ROUNDED,
          source="worked by hand")  # fmt: skip
    close(web.tip, 0.976 * u / by_hand, within=1e-9, because=ROUNDED, source="worked by hand")


def test_webs_so_close_that_each_feels_the_next() -> None:
    """Where 4 d is more than the slab between two webs, all of it and no more is felt: by hand for
    webs of 6 mm every 100 mm, 50 mm deep, K1 = 0.3, K2 = 0.9 * 0.094 = 0.0846 W/K per metre."""
    g, m = pi * 0.9 / np.log(4 * 0.094 / (pi * 0.006)), sqrt(
        12 * 0.9 / 0.094 * (1 / 0.3 + 1 / 0.0846)
    )
    u = np.tanh(0.05 * m) / (0.0846 * m + 0.3846 * g / 0.3 * np.tanh(0.05 * m))
    by_hand = (0.05 + 0.3 * u) / 0.3846 - u * 0.06
    close(web_in_slab(0.006, 0.05, 0.1, 50.0, 0.9).conductance_W_m2K, 1.0 / (0.1 * by_hand),
          within=1e-9, because=ROUNDED, source="worked by hand")  # fmt: skip
