"""Stress and bow of a slab: rows of the notes, limits, and integrals that share no formula."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.optimize import brentq

from stovelint.heat import slab
from tests.heat.close import close

NOTES = "stress rows of the physics notes: E 20 GPa, 7e-6/K, nu 0.2"
E, A, NU = 20e9, 7e-6, 0.2


def test_rows_of_the_notes() -> None:
    close(slab.held_flat_Pa(E, A, 150.0) / 1e6, 13.1, within=0.005,
          because="three printed digits", source=NOTES)  # fmt: skip
    close(slab.restrained_Pa(E, A, 100.0) / 1e6, 17.5, within=1e-12,
          because="exact product, printed in full", source=NOTES)  # fmt: skip
    close(slab.bow_m(A, 150.0, 0.080, 1.0) * 1000.0, 1.6, within=0.03,
          because="two printed digits", source=NOTES)  # fmt: skip
    spot = slab.hot_spot_Pa(E, A, 100.0, 0.1, np.array([0.0, 0.1]))
    close(spot.hoop_Pa / 1e6, [-7.0, 7.0], within=1e-12,
          because="an exact product of the row", source=NOTES)  # fmt: skip


def test_the_step_that_a_material_takes() -> None:
    """R = strength (1 - nu) / (E alpha) = 17 K for 3 MPa: the step whose stress is the strength."""
    close(slab.restrained_Pa(E, A, 17.14), 3.0e6, within=0.001, because="four digits of the step",
          source=NOTES + ", R = 17 K")  # fmt: skip


def test_poisson_and_signs() -> None:
    assert slab.restrained_Pa(1.0, 1.0, 1.0, 0.0) == 1.0
    assert slab.restrained_Pa(2.0, 3.0, 5.0, 0.25) == 40.0
    assert slab.restrained_Pa(1.0, 1.0, -1.0, 0.0) == -1.0
    assert slab.held_flat_Pa(2.0, 3.0, 5.0, 0.25) == 20.0
    assert slab.restrained_Pa(1.0, 1.0, 1.0) == slab.held_flat_Pa(1.0, 1.0, 2.0) == 1.25
    assert slab.free_plate_Pa(1.0, 1.0, np.array([1.0, 0.0, 1.0]))[1] == pytest.approx(0.625)
    assert slab.bow_m(2.0, 3.0, 4.0, 5.0) == 2.0 * 3.0 / 4.0 * 25.0 / 8.0


def quadratic(z: NDArray[np.float64]) -> NDArray[np.float64]:
    return np.asarray(30.0 + 80.0 * z + 500.0 * z * z)


def test_a_free_plate_only_bows_under_a_straight_profile() -> None:
    straight = np.linspace(170.0, 20.0, 7)
    assert np.abs(slab.free_plate_Pa(E, A, straight, NU)).max() < 1e-3
    assert slab.straight_part_K(straight) == pytest.approx(150.0)
    assert slab.straight_part_K(np.full(4, 200.0)) == pytest.approx(0.0, abs=1e-9)


def test_a_parabola_through_a_free_plate() -> None:
    """T = c z^2 over one thickness: mean c/12, no bending: E alpha c/(1-nu) (1/12 - z^2)."""
    z = np.linspace(-0.5, 0.5, 401)
    found = slab.free_plate_Pa(E, A, quadratic(z), 0.3)
    close(found[[0, 200, 400]], E * A * 500.0 / 0.7 * (1.0 / 12.0 - np.array([0.25, 0.0, 0.25])),
          within=1e-4, because="straight pieces of 1/400 of the thickness",
          source="integrals of z2 by hand")  # fmt: skip
    close(slab.straight_part_K(quadratic(z)), -80.0, within=1e-4,
          because="straight pieces of 1/400 of the thickness", source="slope of the straight part")


@pytest.mark.parametrize("points", [2, 3, 4, 9])
def test_a_free_plate_is_in_equilibrium(points: int) -> None:
    """Neither force nor moment is left, for any profile straight between its points."""
    profile = np.random.default_rng(points).uniform(20.0, 900.0, (3, points))
    stress = slab.free_plate_Pa(E, A, profile, NU)
    fine, at = np.linspace(-0.5, 0.5, 40 * (points - 1) + 1), np.linspace(-0.5, 0.5, points)
    for row in stress:
        dense = np.interp(fine, at, row)
        force = np.trapezoid(dense, fine)
        moment = np.trapezoid(dense * fine, fine)
        # Simpson's share of the trapezium rule's error on a quadratic piece is below 1/40^2
        assert abs(force) < 1e-6 * E * A * 900.0 and abs(moment) < 2e-4 * E * A * 900.0


def test_the_plate_that_answers_is_broadcast() -> None:
    profile = np.array([[100.0, 0.0, 0.0], [0.0, 0.0, 100.0]])
    one = slab.free_plate_Pa(np.array([[1.0], [2.0]]), 1.0, profile, 0.0)
    close(one, [[-25.0, 25.0, -25.0], [-50.0, 50.0, -50.0]], within=1e-9,
          because="integrals of straight pieces are exact", source="hand count of a kinked profile")
    assert slab.straight_part_K(profile).tolist() == pytest.approx([100.0, -100.0])


def exact_step_share(bi: float) -> float:
    """Largest surface stress of a plate met by a film on both faces, from the exact series."""
    roots = [
        brentq(lambda x: x * np.sin(x) - bi * np.cos(x), n * np.pi + 1e-9, (n + 0.5) * np.pi)
        for n in range(200)
    ]
    z = np.array(roots)
    c = 4.0 * np.sin(z) / (2.0 * z + np.sin(2.0 * z))
    fo = np.geomspace(1e-5, 5.0, 3000)[:, None]
    theta = c * np.exp(-z * z * fo)
    return float((theta * (np.sin(z) / z - np.cos(z))).sum(axis=1).max())


@pytest.mark.parametrize("bi", [0.1, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0])
def test_step_share_against_the_exact_series(bi: float) -> None:
    close(slab.step_share(bi), exact_step_share(bi), within=0.06,
          because="a fit to charts; a Biot number of 0.1 to 20 was its range",
          source="series of the plate in a film (Carslaw and Jaeger), stress from its profile")


def test_limits_of_the_step_share() -> None:
    assert slab.step_share(1e9) == pytest.approx(1.0)
    assert slab.step_share(1e-3) == pytest.approx(1e-3 / 3.25, rel=1e-3)
    assert slab.step_share(16.0) == pytest.approx(
        1.0 / (1.5 + 3.25 / 16.0 - 0.5 / np.e), rel=1e-12
    )
    assert slab.biot(30.0, 0.032, 1.2) == pytest.approx(0.8)


def test_hot_spot_in_a_round_slab_is_in_equilibrium() -> None:
    """Radial stress nil at the free edge and steady at the rim; d(r radial)/dr = hoop between;
    hoop pulls as much across a radius as the middle is pushed."""
    a, b = 0.1, 0.37
    edge = slab.hot_spot_Pa(E, A, 100.0, a, b, b)
    assert edge.radial_Pa == pytest.approx(0.0, abs=1e-6)
    inside, rim = (slab.hot_spot_Pa(E, A, 100.0, a, r, b) for r in (a * (1.0 - 1e-12), a))
    assert inside.radial_Pa == inside.hoop_Pa == pytest.approx(rim.radial_Pa)
    assert rim.hoop_Pa - inside.hoop_Pa == pytest.approx(E * A * 100.0)  # each wants its own size
    r = np.linspace(a, b, 20001)
    out = slab.hot_spot_Pa(E, A, 100.0, a, r, b)
    slope = np.diff(r * out.radial_Pa) / np.diff(r)
    middle = 0.5 * (out.hoop_Pa[1:] + out.hoop_Pa[:-1])
    close(slope, middle, within=1e-6, because="differences over 1/20000 of the ring",
          source="equilibrium of a ring")  # fmt: skip
    across = np.trapezoid(out.hoop_Pa, r) + inside.hoop_Pa * a
    assert abs(across) < 1e-6 * E * A * 100.0 * a


def test_endless_slab_and_slab_that_is_all_spot() -> None:
    far = slab.hot_spot_Pa(E, A, 100.0, 0.1, 0.2)
    assert far.hoop_Pa == -far.radial_Pa == pytest.approx(1.75e6)
    whole = slab.hot_spot_Pa(E, A, 100.0, 0.1, 0.05, 0.1)
    assert whole.hoop_Pa == whole.radial_Pa == pytest.approx(0.0)
    assert slab.hot_spot_Pa(E, A, -100.0, 0.1, 0.1).hoop_Pa < 0.0
