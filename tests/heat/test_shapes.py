"""Conduction shape factors against exact cases, another library and finite elements."""

from __future__ import annotations

from math import inf, log, pi
from typing import Any

import ht.conduction
import numpy as np
import pytest
import skfem
from numpy.typing import NDArray
from skfem.helpers import dot, grad

from stovelint.heat.shapes import (
    EDGE, Mass, buried_pipe, conformal_radius_m, cylinder_shell, eccentric_pipes,
    edges_and_corners, pipe_in_slab, pipe_row, pipe_under_plane, shares_of_source, sphere_shell,
)  # fmt: skip
from tests.heat.close import close

Floats = NDArray[np.float64]
FEM = "scikit-fem 12.0.2, quadratic square elements"
HT = "ht 1.2.0, ht.conduction"
ROUNDED = "both in double precision, only rounding"


def test_edge_is_the_conformal_one() -> None:
    close(EDGE, 0.558729, within=1e-6, because="six digits are written",
          source="1 - (2/pi) ln 2, conformal mapping (recalled)")  # fmt: skip


def test_edges_and_corners_of_a_box() -> None:
    """A cubic box, 0.5 m inside, of 0.1 m walls: twelve edges, eight corners."""
    close(edges_and_corners(0.1, 6.0, 8.0), 6.0 * 0.558729 + 8.0 * 0.15 * 0.1, within=1e-6,
          because="six digits are written", source="Incropera, table of shape factors (recalled)",
          )  # fmt: skip
    assert float(edges_and_corners(0.3, 0.0, 0.0)) == 0.0


@pytest.mark.parametrize(("d", "z"), [(0.15, 0.08), (0.15, 0.3), (0.1, 2.0)])
def test_pipe_under_a_face(d: float, z: float) -> None:
    expected = ht.conduction.S_isothermal_pipe_to_plane(d, z)
    close(pipe_under_plane(d, z), expected, within=1e-12, because=ROUNDED, source=HT)
    for mass in (Mass(inf, inf, z, inf), Mass(inf, inf, inf, z), Mass(z, inf, inf, inf)):
        close(buried_pipe(d, mass).factor, expected, within=1e-6,
              because="its slope is found by a step of 1e-4", source=HT)  # fmt: skip


def test_pipe_in_a_slab() -> None:
    expected = ht.conduction.S_isothermal_pipe_to_two_planes(0.15, 0.3)
    close(pipe_in_slab(0.15, 0.6), expected, within=1e-12, because=ROUNDED, source=HT)
    factor, shares = buried_pipe(0.15, Mass(inf, inf, 0.3, 0.3))
    close(factor, expected, within=1e-9, because=ROUNDED, source=HT)
    close(shares, (0.0, 0.0, 0.5, 0.5), within=1e-9, unit="", because="exact by symmetry",
          source="a pipe in the middle")  # fmt: skip


def test_eccentric_pipes() -> None:
    close(eccentric_pipes(0.15, 0.6, 0.1),
          ht.conduction.S_isothermal_pipe_eccentric_to_isothermal_pipe(0.15, 0.6, 0.1),
          within=1e-12, because=ROUNDED, source=HT)  # fmt: skip
    close(eccentric_pipes(0.15, 0.6, 0.0), cylinder_shell(0.075, 0.3), within=1e-12,
          because=ROUNDED, source="one in the middle of the other")  # fmt: skip


def test_row_of_pipes() -> None:
    """Far apart each is alone; close together they heat like a wall of their spacing and depth."""
    close(pipe_row(0.1, 0.3, 100.0), pipe_under_plane(0.1, 0.3), within=0.005,
          because="thin-pipe form, (r/2z)^2 off", source=HT)  # fmt: skip
    s, w, z, d = pipe_row(0.05, 2.0, 0.2), 0.2, 2.0, 0.05
    close(2.0 * pi / s, 2.0 * pi * z / w + log(w / (pi * d)), within=1e-9,
          because="sinh of 63 is half an exponential", source="deep row, worked by hand",
          )  # fmt: skip
    # half way between two pipes no heat passes: a channel with one face, by images along it
    z, w, r = 0.3, 0.6, 0.075
    images = sum(2.0 * log(abs(complex(n * w, 2 * z)) / (n * w)) for n in range(1, 20000))
    close(pipe_row(2 * r, z, w), 2.0 * pi / (log(2 * z / r) + images), within=1e-4,
          because="20000 images leave 3e-5", source="sum of images")  # fmt: skip


def test_shells() -> None:
    """Exact; a thin shell is flat. The shell's flow by summing thin ones is a second way."""
    for inner, outer in ((0.5, 0.7), (0.1, 0.5)):
        x = np.linspace(inner, outer, 20001)
        middle, step = 0.5 * (x[1:] + x[:-1]), np.diff(x)
        for shell, area in ((cylinder_shell, 2 * pi * middle), (sphere_shell, 4 * pi * middle**2)):
            close(shell(inner, outer), 1.0 / (step / area).sum(), within=1e-6,
                  because="twenty thousand steps", source="thin shells in a row")  # fmt: skip
            close(shell(inner, outer, 0.5), 0.5 * shell(inner, outer), within=1e-12,
                  because=ROUNDED, source="half of the round")  # fmt: skip
    close(sphere_shell(1.0, 1.001), 4 * pi / 0.001, within=0.0011, because="a thousandth thick",
          source="flat wall")  # fmt: skip
    close(sphere_shell(0.1, 1e9), ht.conduction.S_isothermal_sphere_to_plane(0.2, 1e9),
          within=1e-6, because="both in endless masonry", source=HT)  # fmt: skip


def test_conformal_radii() -> None:
    """Exact: half space 2 z; slab; square 0.5394 s; half slab; quarter space."""
    close(conformal_radius_m(Mass(inf, inf, 0.2, inf)), 0.4, within=1e-12, because=ROUNDED,
          source="one image")  # fmt: skip
    close(conformal_radius_m(Mass(inf, inf, 0.2, 0.4)), 1.2 / pi * np.sin(pi / 3), within=1e-12,
          because=ROUNDED, source="exponential map of a slab")  # fmt: skip
    gamma_quarter = 3.625609908221908
    close(conformal_radius_m(Mass(0.5, 0.5, 0.5, 0.5)), 4 * pi**0.5 / gamma_quarter**2 / 1.0,
          within=1e-9, because=ROUNDED,
          source="inner radius of a square, 4 sqrt(pi) / Gamma(1/4)^2 of its side (recalled)",
          )  # fmt: skip
    close(conformal_radius_m(Mass(0.3, inf, 0.4, inf)), 2 * 0.3 * 0.4 / 0.5, within=1e-12,
          because=ROUNDED, source="square of a quarter space")  # fmt: skip
    far = Mass(0.3, 0.3, 0.25, 60.0)
    close(conformal_radius_m(far), conformal_radius_m(Mass(0.3, 0.3, 0.25, inf)), within=1e-9,
          because="what is a hundred widths off is not felt", source="the same without that face",
          )  # fmt: skip
    turned = Mass(far.below, far.above, far.left, far.right)
    close(conformal_radius_m(turned), conformal_radius_m(far), within=1e-12, because=ROUNDED,
          source="the same turned by a quarter")  # fmt: skip
    with pytest.raises(ValueError, match="without any face"):
        conformal_radius_m(Mass(inf, inf, inf, inf))


def test_shares() -> None:
    close(shares_of_source(Mass(0.3, inf, 0.4, inf)), (2 / pi * np.arctan(4 / 3), 0.0,
          2 / pi * np.arctan(3 / 4), 0.0), within=1e-9, unit="", because=ROUNDED,
          source="quarter space, angle seen")  # fmt: skip
    close(shares_of_source(Mass(inf, inf, 0.2, 0.4)), (0.0, 0.0, 2 / 3, 1 / 3), within=1e-9,
          unit="", because=ROUNDED, source="slab: straight fall")  # fmt: skip
    assert shares_of_source(Mass(inf, inf, inf, 0.2)) == (0.0, 0.0, 0.0, 1.0)
    for mass in (Mass(0.5, 0.5, 0.2, 0.4), Mass(0.1, 0.9, 0.3, inf), Mass(0.3, inf, 0.1, 0.9),
                 Mass(inf, 0.2, 0.2, 0.2), Mass(0.3, 0.3, inf, 0.4)):  # fmt: skip
        shares = shares_of_source(mass)
        close(sum(shares), 1.0, within=1e-9, because="images sum to rounding",
              source="all heat leaves")  # fmt: skip
        assert [s > 0.0 for s in shares] == [d < inf for d in mass]
    near, far = shares_of_source(Mass(0.1, 0.9, 0.3, inf))[:2]
    assert near > 4.0 * far
    # far above a floor between two walls: 2 exp(-pi z / w) of it is left (first term of Fourier)
    low = shares_of_source(Mass(0.5, 0.5, 2.0, inf))[2]
    close(low, 4.0 / pi * np.exp(-2.0 * pi), within=1e-4, because="the next term is e^-4pi",
          source="Fourier series of a half slab")  # fmt: skip


def _ring(r: float, mass: Mass, around: int, out: int) -> Any:
    """Mesh between a circle and the rectangle: rays, corners among them, finer at the pipe."""
    left, right, below, above = mass
    corners = [np.arctan2(-below, right), np.arctan2(above, right), np.arctan2(above, -left),
               np.arctan2(-below, -left) + 2 * pi]  # fmt: skip
    corners.append(corners[0] + 2 * pi)
    phi = np.concatenate([
        a + (b - a) * (np.arange(around) + 0.0) / around for a, b in zip(corners, corners[1:])
    ])  # fmt: skip
    c, s = np.cos(phi), np.sin(phi)
    reach = np.minimum(np.where(c > 0, right, left) / np.maximum(np.abs(c), 1e-12),
                       np.where(s > 0, above, below) / np.maximum(np.abs(s), 1e-12))  # fmt: skip
    radius = r * (reach / r)[:, None] ** np.linspace(0.0, 1.0, out + 1)
    points = np.array([(radius * c[:, None]).ravel(), (radius * s[:, None]).ravel()])
    i, j = (x.ravel() for x in np.meshgrid(np.arange(len(phi)), np.arange(out), indexing="ij"))
    here, there = i * (out + 1) + j, (i + 1) % len(phi) * (out + 1) + j
    return skfem.MeshQuad(points, np.array([here, here + 1, there + 1, there]))


def elements(diameter: float, mass: Mass) -> tuple[float, list[float]]:
    """Shape factor and shares by finite elements."""
    mesh = _ring(0.5 * diameter, mass, 20, 16)
    basis = skfem.Basis(mesh, skfem.ElementQuad2())
    form = skfem.BilinearForm(lambda u, v, w: dot(grad(u), grad(v))).assemble(basis)

    def dofs(at: Any) -> Any:
        return basis.get_dofs(mesh.facets_satisfying(at, boundaries_only=True)).flatten()

    hair = 1e-6
    faces = [
        dofs(lambda x: np.abs(x[0] + mass.left) < hair),
        dofs(lambda x: np.abs(x[0] - mass.right) < hair),
        dofs(lambda x: np.abs(x[1] + mass.below) < hair),
        dofs(lambda x: np.abs(x[1] - mass.above) < hair),
    ]
    pipe = dofs(lambda x: np.hypot(x[0], x[1]) < 0.5 * diameter * 1.0001)
    t = basis.zeros()
    t[pipe] = 1.0
    t = skfem.solve(*skfem.condense(form, x=t, D=np.unique(np.concatenate([pipe, *faces]))))
    factor = float(t @ form @ t)
    return factor, [float(-(form @ t)[face].sum()) / factor for face in faces]


MASSES = [
    (0.15, Mass(0.3, 0.31, 0.3, 0.3)),
    (0.30, Mass(0.3, 0.31, 0.3, 0.3)),
    (0.15, Mass(0.5, 0.5, 0.15, 0.4)),
    (0.20, Mass(0.2, 0.5, 0.2, 0.4)),
    (0.20, Mass(0.15, 0.5, 0.15, 0.4)),
    (0.20, Mass(0.15, 0.15, 0.15, 0.8)),
]


@pytest.mark.parametrize(("diameter", "mass"), MASSES)
def test_pipe_in_a_rectangular_mass(diameter: float, mass: Mass) -> None:
    factor, shares = buried_pipe(diameter, mass)
    by_elements, parts = elements(diameter, mass)
    close(factor, by_elements, within=0.01,
          because="exact for a thin pipe, thickness taken to second order", source=FEM)  # fmt: skip
    close(shares, parts, within=0.008, unit="", because="the source's shift is of second order",
          source=FEM)  # fmt: skip


def test_a_square_by_the_textbook() -> None:
    """2 pi L / ln(1.08 w / D), the tabled form."""
    close(buried_pipe(0.15, Mass(0.3, 0.3, 0.3, 0.3)).factor, 2 * pi / log(1.08 * 0.6 / 0.15),
          within=0.001, because="1.08 is rounded from 1.0787",
          source="Incropera, table of shape factors (recalled)")  # fmt: skip


def test_a_face_that_cuts_the_pipe_is_refused() -> None:
    with pytest.raises(ValueError, match="cuts the pipe"):
        buried_pipe(0.3, Mass(0.3, 0.3, 0.15, 0.3))
    assert buried_pipe(0.3, Mass(0.3, 0.3, 0.1501, 0.3)).factor > 15.0


def test_a_pipe_off_the_middle_of_a_slab_leans_to_the_near_face() -> None:
    """rho = (2 H / pi) sin(pi a / H), so its slope is 2 cos(pi a / H) and the line source lies
    r^2 pi cot(pi a / H) / (2 H) nearer: for H = 0.6 m, a = 0.15 m, r = 0.1 m that is pi / 120 m,
    and the shares are as the distances to the faces."""
    _, shares = buried_pipe(0.2, Mass(np.inf, np.inf, 0.15, 0.45))
    near = (0.45 + np.pi / 120.0) / 0.6
    close(shares, [0.0, 0.0, near, 1.0 - near], within=1e-5, unit="-",
          because="slope taken over 1e-4 of the distance",
          source="conformal radius of a slab, by hand")  # fmt: skip


def test_no_corner_unless_one_is_named() -> None:
    close(edges_and_corners(0.2, 3.0), EDGE * 3.0, within=1e-12, because=ROUNDED,
          source="edges alone, Incropera (recalled)")  # fmt: skip
