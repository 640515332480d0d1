"""Bar in its cover and hot spot in a slab, against elastic finite elements in plane stress.

A hot spot is a bar of the slab's own material that wants to be larger by alpha dT: `hot_spot_Pa`
has its closed form, in a wide slab E alpha dT / 2 at its rim, and the thick ring of `ring_stress`
must say the same.
"""

from __future__ import annotations

from math import pi
from typing import Any, Callable

import numpy as np
import pytest
import skfem
from numpy.typing import NDArray
from skfem.helpers import ddot, eye, sym_grad, trace

from stovelint.heat.rebar import cracking_mismatch, ring_stress
from stovelint.heat.slab import hot_spot_Pa
from tests.heat.close import close

Floats = NDArray[np.float64]
FEM = "scikit-fem 12.0.2, quadratic triangles, plane stress"
SECTORS = 24
"""Of a quarter. A circle of so many straight pieces is 0.1 % small."""


def mesh_of(inner_m: float, outer_m: Callable[[Floats], Floats], rings: int) -> Any:
    """Quarter of a slab round a disc: rings inside, then rings that stretch to the outer edge."""
    angle = np.linspace(0.0, 0.5 * pi, SECTORS + 1)
    inside = [inner_m * share * np.ones_like(angle) for share in np.linspace(0.0, 1.0, rings)[1:]]
    grown = (np.linspace(0.0, 1.0, 2 * rings + 1)[1:]) ** 1.5
    outside = [inner_m * (outer_m(angle) / inner_m) ** share for share in grown]
    radii = [*inside, *outside]
    points = [np.zeros((2, 1))]
    points += [np.stack([r * np.cos(angle), r * np.sin(angle)]) for r in radii]
    n, triangles = SECTORS + 1, [(0, 1 + j, 2 + j) for j in range(SECTORS)]
    for ring in range(len(radii) - 1):
        for j in range(SECTORS):
            low = 1 + ring * n + j
            triangles += [(low, low + n, low + n + 1), (low, low + n + 1, low + 1)]
    corners = np.ascontiguousarray(np.array(triangles).T)
    return skfem.MeshTri(np.concatenate(points, axis=1), corners)


class Stressed:
    """Slab in which a disc wants to be larger by a strain."""

    def __init__(
        self, inner_m: float, outer_m: Callable[[Floats], Floats], *, strain: float,
        slab: tuple[float, float], disc: tuple[float, float], rings: int = 10,
    ) -> None:  # fmt: skip
        """`slab`, `disc`: modulus in Pa and Poisson's ratio."""
        mesh = mesh_of(inner_m, outer_m, rings)
        basis = skfem.Basis(mesh, skfem.ElementVector(skfem.ElementTriP2()))
        r = np.hypot(*mesh.p[:, mesh.t].mean(axis=1))
        self.in_disc = r < inner_m
        young, nu = (np.where(self.in_disc, d, s)[:, None] for d, s in zip(disc, slab))
        lame, shear = young * nu / (1.0 - nu**2), young / (2.0 * (1.0 + nu))
        swell = np.where(self.in_disc, strain, 0.0)[:, None]

        def stress(e: Any) -> Any:
            return lame * eye(trace(e), 2) + 2.0 * shear * e

        stiff = skfem.BilinearForm(lambda u, v, w: ddot(stress(sym_grad(u)), sym_grad(v)))
        push = skfem.LinearForm(lambda v, w: young / (1.0 - nu) * swell * trace(sym_grad(v)))
        held = np.concatenate([
            basis.get_dofs(lambda x: x[0] < 1e-12).all("u^1"),
            basis.get_dofs(lambda x: x[1] < 1e-12).all("u^2"),
        ])  # fmt: skip
        u = skfem.solve(
            *skfem.condense(stiff.assemble(basis), push.assemble(basis), D=np.unique(held))
        )
        s = stress(sym_grad(basis.interpolate(u))) - young / (1.0 - nu) * swell * np.eye(2)[
            :, :, None, None
        ]
        x = np.asarray(basis.global_coordinates())
        self.r = np.hypot(*x)
        c, d = x / self.r
        self.angle = np.arctan2(x[1], x[0])
        self.hoop = s[0, 0] * d * d + s[1, 1] * c * c - 2.0 * s[0, 1] * c * d
        self.radial = s[0, 0] * c * c + s[1, 1] * d * d + 2.0 * s[0, 1] * c * d

    def pressure(self) -> float:
        """Pressure in the disc, uniform by theory: its mean, away from the rim's corners."""
        return -float(0.5 * (self.hoop + self.radial)[self.in_disc].mean())

    def hoop_at(self, r_m: float, within_rad: float) -> float:
        """Hoop stress near an angle of 0, straight in 1 / r^2 between where it is known."""
        near = ~self.in_disc[:, None] & (self.angle < within_rad)
        near &= np.abs(np.log(self.r / r_m)) < 0.25
        slope, level = np.polyfit(1.0 / self.r[near] ** 2, self.hoop[near], 1)
        return float(level + slope / r_m**2)


STEEL, CONCRETE = (200e9, 0.3), (20e9, 0.2)


@pytest.mark.parametrize("cover_m", [0.012, 0.030, 0.100])
@pytest.mark.parametrize("disc", [STEEL, CONCRETE])
def test_bar_in_its_cover(cover_m: float, disc: tuple[float, float]) -> None:
    """Round bar of 12 mm, round cover: pressure and hoop tension where they meet."""
    bar = Stressed(0.006, lambda angle: (0.006 + cover_m) * np.ones_like(angle),
                   strain=750e-6, slab=CONCRETE, disc=disc)  # fmt: skip
    p, hoop = ring_stress(750e-6, 0.012, cover_m, *CONCRETE, *disc)
    because = "circles of straight pieces, 0.1 %, and stress fitted at the rim"
    close(p, bar.pressure(), within=0.001, because=because, source=FEM)
    close(hoop, bar.hoop_at(0.006, pi), within=0.001, because=because, source=FEM)


def test_bar_in_a_square_post() -> None:
    """The least cover counts, as stated: corners of a square help next to nothing."""
    side = 0.006 + 0.030
    post = Stressed(0.006, lambda a: side / np.maximum(np.cos(a), np.sin(a)),
                    strain=750e-6, slab=CONCRETE, disc=STEEL)  # fmt: skip
    p, hoop = ring_stress(750e-6, 0.012, 0.030, *CONCRETE, *STEEL)
    because = "corners hold a little better, away from the least cover"
    close(post.pressure(), p, within=0.006, because=because, source="ring of the least cover")
    close(post.hoop_at(0.006, 0.3), hoop, within=0.003, because=because,
          source="ring of the least cover")  # fmt: skip
    assert post.pressure() > p and post.hoop_at(0.006, 0.3) < hoop


E_PA, ALPHA, STEP_K, SPOT_M = 20e9, 7e-6, 100.0, 0.1
SLAB = (E_PA, 0.2)


def spot(half_m: float) -> Stressed:
    """Square slab, its middle 100 K hotter."""
    return Stressed(SPOT_M, lambda a: half_m / np.maximum(np.cos(a), np.sin(a)),
                    strain=ALPHA * STEP_K, slab=SLAB, disc=SLAB)  # fmt: skip


def test_hot_spot_in_a_wide_slab() -> None:
    """Uniform -E alpha dT / 2 inside, +E alpha dT / 2 at the rim: 7 MPa for 100 K."""
    found = spot(40.0 * SPOT_M)
    p, hoop = ring_stress(ALPHA * STEP_K, 2.0 * SPOT_M, 1e3, *SLAB, *SLAB)
    exact = "a slab forty spots wide, 0.1 % from endless; circles of straight pieces"
    source = "closed form E alpha dT / 2 (Timoshenko and Goodier, recalled)"
    half = E_PA * ALPHA * STEP_K / 2.0
    close([p, hoop], half, within=1e-6, because="exact limit of the ring", source=source)
    close(found.pressure(), half, within=0.002, because=exact, source=source)
    close(found.hoop_at(SPOT_M, pi), half, within=0.002, because=exact, source=source)
    at = SPOT_M * np.array([1.0, 1.3, 2.0])
    radial, around = hot_spot_Pa(E_PA, ALPHA, STEP_K, SPOT_M, at)
    close([found.hoop_at(r, pi) for r in at], around, within=0.004, because=exact, source=FEM)
    assert np.array_equal(radial, -around)


@pytest.mark.parametrize("outer_m", [0.13, 0.2, 0.5])
def test_hot_spot_in_a_round_slab(outer_m: float) -> None:
    """Pushed inside, pulled at the rim and at the free edge."""
    found = Stressed(SPOT_M, lambda angle: outer_m * np.ones_like(angle),
                     strain=ALPHA * STEP_K, slab=SLAB, disc=SLAB)  # fmt: skip
    at = np.array([0.0, SPOT_M, 0.5 * (SPOT_M + outer_m)])
    radial, hoop = hot_spot_Pa(E_PA, ALPHA, STEP_K, SPOT_M, at, outer_m)
    because = "circles of straight pieces, 0.1 %, and stress fitted at the rim"
    close(found.pressure(), -radial[0], within=0.003, because=because, source=FEM)
    assert hoop[0] == radial[0]
    close([found.hoop_at(r, pi) for r in at[1:]], hoop[1:], within=0.003, because=because,
          source=FEM)  # fmt: skip
    p, ring = ring_stress(ALPHA * STEP_K, 2.0 * SPOT_M, outer_m - SPOT_M, *SLAB, *SLAB)
    close([-radial[0], hoop[1]], [p, ring], within=1e-9, because="two forms of one formula",
          source="thick ring round a disc of its own material")  # fmt: skip


def test_hot_spot_rows_of_the_notes() -> None:
    """Slab of 1 m, spot of radius 0.1 m: finite elements then and now, ring and endless plate."""
    found = spot(0.5)
    p, _ = ring_stress(ALPHA * STEP_K, 2.0 * SPOT_M, 0.5 - SPOT_M, *SLAB, *SLAB)
    at = np.array([0.11, 0.15, 0.20])
    rows = np.array([5.95, 3.32, 1.97])
    source = "physics notes 8, hot disc in a slab"
    coarse = "the notes used a square grid whose disc is made of steps"
    close(found.pressure() / 1e6, 6.73, within=0.01, because=coarse, source=source)
    close([found.hoop_at(r, 0.2) / 1e6 for r in at], rows, within=0.015, because=coarse,
          source=source)  # fmt: skip
    inside, _ = hot_spot_Pa(E_PA, ALPHA, STEP_K, SPOT_M, 0.05, 0.5)
    close([-inside / 1e6, p / 1e6], 6.73, within=0.01, because="ring inscribed in the square slab",
          source=source)  # fmt: skip
    close(hot_spot_Pa(E_PA, ALPHA, STEP_K, SPOT_M, at, 0.5).hoop_Pa / 1e6, rows, within=0.035,
          because="ring inscribed in the square slab: without its corners a little more",
          source=source)  # fmt: skip
    endless = hot_spot_Pa(E_PA, ALPHA, STEP_K, SPOT_M, at).hoop_Pa / 1e6
    close(endless, [5.79, 3.11, 1.75], within=0.002, because="three printed digits",
          source=source)  # fmt: skip


def test_the_spot_that_starts_a_crack() -> None:
    """2.5 MPa at the rim of a wide slab: dT = 2 strength / (E alpha) = 36 K; linear, so the
    elements must find the strength at that step."""
    strength = 2.5e6
    step_K = cracking_mismatch(strength, 2.0 * SPOT_M, 1e3, *SLAB, *SLAB) / ALPHA
    found = spot(40.0 * SPOT_M).hoop_at(SPOT_M, pi) * step_K / STEP_K
    close(found, strength, within=0.002, because="as for the wide slab", source=FEM)
