"""Radiation from band to band of an upright chamber: closure, reciprocity, limits."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray
from scipy.integrate import dblquad
from scipy.optimize import root

from stovelint.heat.enclosure import band_exchange, disk_view_factor, symmetric_shares
from tests.heat.close import close

Floats = NDArray[np.float64]

ROUNDING = 1e-9
"""Closure and reciprocity are exact by construction; this is what rounding leaves of areas of a
few square metres."""


@st.composite
def chambers(draw: st.DrawFn) -> tuple[Floats, float, Floats]:
    """Edges of 1 to 8 bands, radius, and true areas that may be nothing at all."""
    bands = draw(st.lists(st.floats(0.05, 0.6), min_size=1, max_size=8))
    edges = np.concatenate([[1.5], 1.5 - np.cumsum(bands)])
    radius = draw(st.floats(0.05, 1.0))
    disk = np.pi * radius**2
    own = np.concatenate([[disk], 2.0 * np.pi * radius * np.array(bands), [disk]])
    factors = draw(
        st.lists(
            st.one_of(st.just(0.0), st.floats(0.05, 5.0)), min_size=len(own), max_size=len(own)
        )
    )
    return edges, radius, own * np.array(factors)


def assert_an_exchange(shares: Floats, areas: Floats) -> None:
    """Nothing negative, everything that leaves arrives, and as much goes as comes."""
    assert shares.min() >= -ROUNDING
    assert np.abs(shares.sum(axis=1) - 1.0).max() <= ROUNDING
    flows = areas[:, None] * shares
    assert np.abs(flows - flows.T).max() <= ROUNDING


@given(chambers())
def test_whatever_the_areas_everything_that_leaves_arrives(
    chamber: tuple[Floats, float, Floats],
) -> None:
    edges, radius, areas = chamber
    assert_an_exchange(band_exchange(edges, radius, areas), areas)


@given(chambers())
def test_what_has_no_area_takes_no_part(chamber: tuple[Floats, float, Floats]) -> None:
    edges, radius, areas = chamber
    shares = band_exchange(edges, radius, areas)
    gone = areas == 0.0
    assert np.array_equal(shares[gone], np.eye(len(areas))[gone])
    assert not shares[np.ix_(~gone, gone)].any()


@given(chambers())
def test_even_temperatures_exchange_nothing(chamber: tuple[Floats, float, Floats]) -> None:
    edges, radius, areas = chamber
    arriving = band_exchange(edges, radius, areas) @ np.full(len(areas), 5000.0)
    assert np.abs(arriving - 5000.0).max() <= 5000.0 * ROUNDING  # second law


def test_a_ceiling_larger_than_all_it_sees_gives_no_more_than_that_has() -> None:
    """The scaling cannot close here; what is left must still be an exchange."""
    areas = np.array([2.78, 0.21, 0.0])
    shares = band_exchange(np.array([0.4, 0.0]), 0.6, areas)
    assert_an_exchange(shares, areas)
    assert areas[0] * shares[0, 1] <= 0.21


def test_a_ceiling_alone_sees_itself() -> None:
    assert np.array_equal(
        band_exchange(np.array([1.0, 0.5, 0.0]), 0.5, np.array([0.7, 0.0, 0.0, 0.0])), np.eye(4)
    )
    assert np.array_equal(symmetric_shares(np.ones((2, 2)), np.zeros(2)), np.eye(2))


def cylinder_areas(edges: Floats, radius: float) -> Floats:
    disk = np.pi * radius**2
    return np.concatenate([[disk], 2.0 * np.pi * radius * -np.diff(edges), [disk]])


def test_disk_factor_at_one_radius_by_integration() -> None:
    """Double area integral of cos cos / (pi s^2) over two disks, the azimuth done in closed form.

    For rings r1, r2 a distance d = 1 apart the azimuth integral of (p - q cos)^-2 is
    2 pi p / (p^2 - q^2)^(3/2), p = d^2 + r1^2 + r2^2, q = 2 r1 r2.
    """

    def ring(r2: float, r1: float) -> float:
        p, q = 1.0 + r1 * r1 + r2 * r2, 2.0 * r1 * r2
        return float(4.0 * r1 * r2 * p / (p * p - q * q) ** 1.5)

    integral = dblquad(ring, 0.0, 1.0, 0.0, 1.0)[0]
    close(
        disk_view_factor(np.array(1.0), 1.0), integral, within=1e-6,
        because="the quadrature's own error is below this",
        source="definition of the view factor, integrated",
    )  # fmt: skip


def test_disk_factor_by_its_other_form() -> None:
    """With R = r/d and S = 1 + (1 + R^2)/R^2, F = (S - (S^2 - 4)^(1/2))/2; far away (r/d)^2."""
    for distance in (0.3, 1.0, 2.5):
        ratio = 1.0 / distance
        s = 1.0 + (1.0 + ratio**2) / ratio**2
        close(
            disk_view_factor(np.array(distance), 1.0), 0.5 * (s - np.sqrt(s * s - 4.0)),
            within=1e-9, because="the same exact factor written otherwise",
            source="Incropera table 13.2, coaxial parallel disks (recalled)",
        )  # fmt: skip
    close(
        disk_view_factor(np.array(40.0), 1.0), 1.0 / 1600.0, within=0.002,
        because="the next term of the series is 2 (r/d)^2 = 0.00125",
        source="far-field limit F = area / (pi d^2)",
    )  # fmt: skip


def test_touching_disks_see_only_each_other() -> None:
    assert float(disk_view_factor(np.array(0.0), 0.4)) == 1.0


def test_ends_of_a_tall_chamber_do_not_see_each_other() -> None:
    edges = np.linspace(8.0, 0.0, 9)
    shares = band_exchange(edges, 0.2, cylinder_areas(edges, 0.2))
    assert shares[0, -1] < 0.001  # (r/d)^2 = 0.0006
    assert shares[0, 1] > 0.9  # 1 m below the ceiling is 5 radii: F(5 r) = 0.036


def test_ends_of_a_flat_chamber_see_little_else() -> None:
    edges = np.array([0.01, 0.0])
    shares = band_exchange(edges, 1.0, cylinder_areas(edges, 1.0))
    close(
        shares[0, 2], 0.99, within=1e-4, because="the next term is (d/r)^2 / 2",
        source="coaxial disks close together: F = 1 - d/r",
    )  # fmt: skip


def test_true_areas_of_a_cylinder_leave_its_factors_alone() -> None:
    """A cylinder as tall as its radius: ceiling to floor 0.382, ceiling to wall the rest."""
    edges = np.array([1.0, 0.0])
    shares = band_exchange(edges, 1.0, cylinder_areas(edges, 1.0))
    between_ends = 0.5 * (3.0 - np.sqrt(5.0))
    # wall to either end by reciprocity: A_disk (1 - F) / A_wall, and the rest to itself
    to_end = (1.0 - between_ends) / 2.0
    exact = [[0.0, 1.0 - between_ends, between_ends], [to_end, 1.0 - 2.0 * to_end, to_end]]
    close(
        shares[:2], exact, within=1e-9, unit="share",
        because="closed forms on both sides", source="view-factor algebra of a cylinder",
    )  # fmt: skip


def test_bands_joined_are_the_coarser_bands() -> None:
    """Cutting finer changes no exchange between what was there before."""
    fine, coarse = np.array([1.5, 1.2, 0.9, 0.45, 0.0]), np.array([1.5, 0.9, 0.0])
    join = np.zeros((4, 6))
    join[[0, 1, 1, 2, 2, 3], range(6)] = 1.0
    a = cylinder_areas(fine, 0.4)
    joined = join @ (a[:, None] * band_exchange(fine, 0.4, a)) @ join.T
    b = cylinder_areas(coarse, 0.4)
    expected = b[:, None] * band_exchange(coarse, 0.4, b)
    assert np.abs(joined - expected).max() < ROUNDING


def test_a_zone_without_area_leaves_the_others_as_they_were() -> None:
    flows = np.array([[0.2, 0.5, 0.4], [0.5, 0.1, 0.3], [0.4, 0.3, 0.6]])
    shares = symmetric_shares(flows, np.array([1.3, 0.8, 0.0]))
    two = symmetric_shares(flows[:2, :2], np.array([1.3, 0.8]))
    assert np.array_equal(shares[:2, :2], two)
    assert 0.1 < two[0, 1] < 1.0


def test_two_zones_are_scaled_as_the_quadratic_says() -> None:
    """With flows (a b; b c) and areas A, B the exchange p solves (A - p)(B - p) b^2 = a c p^2."""
    for a, b, c, first, second in (
        (0.2, 0.5, 0.1, 1.3, 0.8), (1.0, 0.1, 2.0, 0.3, 4.0), (0.1, 3.0, 0.2, 1.0, 1.5)
    ):  # fmt: skip
        shares = symmetric_shares(np.array([[a, b], [b, c]]), np.array([first, second]))
        exact = np.roots([b * b - a * c, -b * b * (first + second), b * b * first * second])
        between = min(x for x in exact if x > 0.0)
        close(
            [first * shares[0, 1], second * shares[1, 0]], [between, between], within=1e-9,
            because="closed to 1e-12 in both rows",
            source="scaling to given row sums, two by two, solved by hand",
        )  # fmt: skip


def test_what_cannot_close_is_cut_to_the_smaller_and_no_more() -> None:
    """Two ends that see only each other, one five times the other: all of the small one's goes
    over, a fifth of the large one's, and the rest stays where it came from."""
    shares = symmetric_shares(np.array([[0.0, 1.0], [1.0, 0.0]]), np.array([5.0, 1.0]))
    close(shares, [[0.8, 0.2], [1.0, 0.0]], within=1e-6, unit="share",
          because="exact but for the rounds' rest", source="reciprocity of two surfaces")  # fmt: skip


@pytest.mark.parametrize("seed", range(6))
def test_several_zones_are_scaled_as_a_root_finder_does(seed: int) -> None:
    """Factors d with d_i sum(F_ij d_j) = A_i, whatever zones close first."""
    random = np.random.default_rng(seed)
    flows = random.random((4, 4)) + 0.05
    flows = flows + flows.T
    areas = np.array([0.4, 1.0, 2.0, 3.0])[random.permutation(4)]
    found = root(lambda d: d * (flows @ d) - areas, np.sqrt(areas / flows.sum(axis=1)), tol=1e-13)
    assert found.success and found.x.min() > 0.0
    expected = found.x[:, None] * flows * found.x / areas[:, None]
    close(symmetric_shares(flows, areas), expected, within=1e-9, unit="share",
          because="both end at rounding", source="scipy, the equations themselves")  # fmt: skip
