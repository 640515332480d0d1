"""The corrections of the passes against the whole system of equations, solved densely."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
import pytest
from numpy.typing import NDArray

from stovelint.heat.layers import Admittance, face_response, harmonics_rad_s, layer_admittance
from stovelint.heat.sampling import Fill
from stovelint.heat.stiff import (
    FIXED_FILM_W_m2K, NEEDS_HELP, WIDEST_WINDOW, WINDOW_SHARE, Correction,
)  # fmt: skip
from tests.heat.close import close

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

PERIOD_S = 43200.0
R = np.array([0.05, 0.1, 0.004, 0.6])
C = np.array([2e4, 4e6, 8e3, 3e4])
RATIO = np.array([1.0, 1.0, 1.0, 1.0, 1.3, 1.0, 0.8, 1.1])
"""Cold faces over hot faces of the four walls."""
HOT, COLD = range(4), range(4, 8)


class Case(NamedTuple):
    wall: Admittance
    film: Floats
    local: Floats
    fill: Fill


def case(chosen: list[int], samples: int, members: int = 1, strongest: float = 60.0) -> Case:
    """Four walls, light and heavy, in a fire that burns for the first sixth of the cycle."""
    omega = harmonics_rad_s(PERIOD_S, samples)
    table = np.ones((members, 1))
    wall = layer_admittance(table * R, table * C, omega)
    film = np.array([[12.0, 9.0, 14.0, 8.0, 7.0, 10.0, 9.0, 6.0]]) * table
    lit = np.sin(np.pi * np.minimum(np.arange(samples) * 6.0 / samples, 1.0)) ** 2
    local = film[0][:, None] + strongest * np.outer(np.linspace(1.0, 0.3, 8), lit) - 4.0
    return Case(wall, film, local, Fill(np.array(chosen), samples))


def answers(known: Case, faces: tuple[int, int]) -> list[list[Floats]]:
    """Of one wall: temperature of face i in time after a unit of heat into face j at sample 0,
    per hot-face area, as circulant matrices; from the answer to a drive over its film."""
    one, two = faces
    films = known.film.mean(axis=0) * RATIO
    a, b, d = (part.mean(axis=0) for part in known.wall)
    r11, r12, r21, r22 = face_response(
        (a[one], b[one], d[one]), np.array(films[one]), np.array(films[two])
    )
    n = known.fill.samples
    circle = (np.arange(n)[:, None] - np.arange(n)[None, :]) % n
    return [[np.fft.irfft(z, n=n)[circle] for z in row]
            for row in ((r11 / films[one], r12 / films[two]),
                        (r21 / films[one], r22 / films[two]))]  # fmt: skip


def densely(
    known: Case, fix: Correction, change: Floats, groups: list[tuple[Ints, Floats, Floats]]
) -> Floats:
    """delta of all faces at all samples: delta + Z (g delta - h kappa sum w delta) = r."""
    n, faces = known.fill.samples, 8
    films = known.film.mean(axis=0) * RATIO
    local = known.local * RATIO[:, None]
    excess = local - films[:, None]
    excess[known.film[0] > FIXED_FILM_W_m2K] = 0.0
    open_film = np.zeros(n, dtype=bool)
    open_film[fix.window] = True
    system = np.eye(faces * n)
    for wall in HOT:
        helped = wall in fix.walls
        pair = (wall, wall + 4)
        z = answers(known, pair)
        for i, row in enumerate(pair):
            for j, column in enumerate(pair):
                at = np.ix_(range(row * n, row * n + n), range(column * n, column * n + n))
                if helped:
                    system[at] += z[i][j] * np.where(open_film, excess[column], 0.0)
                for members, weights, kappa in groups:
                    if column not in members:
                        continue
                    own = np.where(open_film & helped, local[column], films[column])
                    for other, weight in zip(members, weights):
                        to = np.ix_(range(row * n, row * n + n), range(other * n, other * n + n))
                        system[to] -= weight * z[i][j] * (own * kappa)
    return np.asarray(np.linalg.solve(system, change.ravel()).reshape(faces, n), dtype=np.float64)


N = 24
CHANGE = np.random.default_rng(5).normal(size=(8, N))
GROUPS = [
    (np.array([1, 2, 7]), np.array([0.5, 0.2, 0.3]), np.linspace(0.2, 0.9, N)),
    (np.array([4]), np.array([1.0]), np.full(N, 0.4)),
]
"""Kappa without any part of the cycle alike. Faces 4 and 7 are cold sides of walls whose hot sides
lie in no group; no wall has both of its faces in groups: its other side would else count."""


def assert_solved(known: Case, fix: Correction, groups: list[tuple[Ints, Floats, Floats]]) -> None:
    found = CHANGE[None].copy()
    fix.apply(found)
    exact = densely(known, fix, CHANGE, groups)
    grouped = {int(face) for members, _, _ in groups for face in members}
    across = {(face + 4) % 8 for face in grouped}  # what a group does there is left out
    for face in set(range(8)) - across:
        close(found[0, face], exact[face], within=1e-9 * np.abs(exact).max(), unit="K",
              because="one linear system solved in two ways", source="numpy, all at once")  # fmt: skip


def test_the_excess_of_the_films_is_taken_in_exactly() -> None:
    known = case(list(range(N)), N)
    fix = Correction(known.wall, known.film, RATIO, known.local, [], known.fill)
    assert set(fix.walls.tolist()) == {0, 2, 3}  # the heavy one bears the fire by itself
    assert_solved(known, fix, [])


def test_closed_zones_are_solved_with_it() -> None:
    known = case(list(range(N)), N)
    fix = Correction(known.wall, known.film, RATIO, known.local, GROUPS, known.fill)
    assert_solved(known, fix, GROUPS)


def test_closed_zones_alone() -> None:
    """Films hardly above their means: no wall needs help."""
    known = case(list(range(N)), N, strongest=1.0)
    fix = Correction(known.wall, known.film, RATIO, known.local, GROUPS, known.fill)
    assert len(fix.walls) == 0
    assert_solved(known, fix, GROUPS)


def test_where_nothing_changes_nothing_is_added() -> None:
    known = case(list(range(N)), N)
    fix = Correction(known.wall, known.film, RATIO, known.local, GROUPS, known.fill)
    rest = np.zeros((1, 8, N))
    fix.apply(rest)
    assert not rest.any()


def test_members_are_corrected_alike_with_the_mean_of_their_walls() -> None:
    one, three = case(list(range(N)), N), case(list(range(N)), N, members=3)
    factors = np.array([[0.8], [1.0], [1.2]])
    fix = Correction(one.wall, one.film, RATIO, one.local, GROUPS, one.fill)
    spread = Correction(
        (three.wall[0] * factors[:, :, None], three.wall[1] * factors[:, :, None],
         three.wall[2] * factors[:, :, None]),
        three.film * factors, RATIO, three.local, GROUPS, three.fill,
    )  # fmt: skip
    found = np.stack([CHANGE, 2.0 * CHANGE, -CHANGE])
    spread.apply(found)
    alone = CHANGE[None].copy()
    fix.apply(alone)
    for row, factor in enumerate((1.0, 2.0, -1.0)):
        assert np.allclose(found[row], factor * alone[0], rtol=1e-9, atol=1e-9)


def test_at_chosen_samples_only_it_is_the_same_equation() -> None:
    """The burn is looked at in full, so that the window holds every sample that it would."""
    chosen = [*range(8), 9, 11, 14, 17, 20, 23]
    full, few = case(list(range(N)), N), case(chosen, N)
    whole = Correction(full.wall, full.film, RATIO, full.local, [], full.fill)
    part = Correction(few.wall, few.film, RATIO, few.local, [], few.fill)
    assert np.array_equal(whole.window, part.window)
    assert np.array_equal(whole.walls, part.walls)
    found = CHANGE[None].copy()
    whole.apply(found)
    at_chosen = np.ascontiguousarray(CHANGE[None][..., chosen])
    part.apply(at_chosen)
    assert np.allclose(at_chosen, found[..., chosen], rtol=1e-9, atol=1e-12)


def test_a_closed_zone_at_chosen_samples_is_the_straight_line_between_them() -> None:
    """Where what the zone does is straight between the samples looked at, nothing is lost: here
    all faces rise together, ever."""
    chosen = [*range(8), 9, 11, 14, 17, 20, 23]
    even = np.full(N, 0.5)
    full, few = case(list(range(N)), N, strongest=1.0), case(chosen, N, strongest=1.0)
    members, weights = np.array([0, 2]), np.array([0.6, 0.4])
    whole = Correction(full.wall, full.film, RATIO, full.local, [(members, weights, even)],
                       full.fill)  # fmt: skip
    part = Correction(few.wall, few.film, RATIO, few.local,
                      [(members, weights, even[: len(chosen)])], few.fill)  # fmt: skip
    found, at_chosen = np.ones((1, 8, N)), np.ones((1, 8, len(chosen)))
    whole.apply(found)
    part.apply(at_chosen)
    assert np.allclose(at_chosen, found[..., chosen], rtol=1e-9)
    assert (found[0, [0, 2]] > 1.2).all()  # it does something


def test_what_comes_back_at_other_times() -> None:
    """Limiting case: where it comes back at its own time only, both forms of kappa are one. And
    where all comes back evenly from one sample, what is added is even, and nil without it."""
    known = case(list(range(N)), N, strongest=1.0)
    members, weights = np.array([0, 2]), np.array([0.6, 0.4])
    share = np.linspace(0.2, 0.7, N)

    def corrected(kappa: Floats, change: Floats) -> Floats:
        fix = Correction(known.wall, known.film, RATIO, known.local, [(members, weights, kappa)],
                         known.fill)  # fmt: skip
        found = change[None].copy()
        fix.apply(found)
        return np.asarray(found[0])

    assert np.allclose(corrected(np.diag(share), CHANGE), corrected(share, CHANGE), rtol=1e-9)
    even = np.zeros((N, N))
    even[:, 3] = 0.5
    added = corrected(even, CHANGE) - CHANGE
    assert np.allclose(added[members], added[members][:, :1], rtol=1e-9)
    assert np.abs(added[members]).min() > 1e-3 and not added[[1, 3]].any()
    silent = CHANGE.copy()
    silent[:, 3] = 0.0
    assert np.abs(corrected(even, silent) - silent).max() < 1e-12


def test_what_comes_back_of_a_mean_is_the_same_where_few_samples_are_looked_at() -> None:
    """A change that is even in time: its mean is known from any samples."""
    chosen = [*range(8), 9, 11, 14, 17, 20, 23]
    found = []
    for looked in (list(range(N)), chosen):
        known = case(looked, N, strongest=1.0)
        mean = np.tile(0.5 * known.fill.mean, (len(looked), 1))
        fix = Correction(known.wall, known.film, RATIO, known.local,
                         [(np.array([0, 2]), np.array([0.6, 0.4]), mean)], known.fill)  # fmt: skip
        change = np.ones((1, 8, len(looked)))
        fix.apply(change)
        found.append(change[0, [0, 2]])
    assert np.allclose(found[1], found[0][:, chosen], rtol=1e-9) and found[0].min() > 1.1


def test_the_window_is_where_the_films_are_far_from_their_means() -> None:
    known = case(list(range(N)), N)
    fix = Correction(known.wall, known.film, RATIO, known.local, [], known.fill)
    far = np.abs((known.local - known.film[0][:, None]) * RATIO[:, None]).max(axis=0)
    assert fix.window.tolist() == np.flatnonzero(far > WINDOW_SHARE * far.max()).tolist()
    assert 0 < len(fix.window) < N


def test_a_long_fire_keeps_the_strongest_samples() -> None:
    samples = 6 * (WIDEST_WINDOW + 30)
    known = case(list(range(samples)), samples)
    fix = Correction(known.wall, known.film, RATIO, known.local, [], known.fill)
    assert len(fix.window) == WIDEST_WINDOW
    far = np.abs((known.local - known.film[0][:, None]) * RATIO[:, None]).max(axis=0)
    left_out = np.setdiff1d(np.arange(samples), fix.window)
    assert far[fix.window].min() >= far[left_out].max()
    assert (np.diff(fix.window) == 1).all()  # one hump, in the order of time


def test_a_fixed_temperature_has_no_excess() -> None:
    """The film to the ground is a thousand times the others and must not rule the window."""
    known = case(list(range(N)), N)
    film, local = known.film.copy(), known.local.copy()
    film[0, 7], local[7] = 2.0 * FIXED_FILM_W_m2K, 9.0 * FIXED_FILM_W_m2K
    fix = Correction(known.wall, film, RATIO, local, [], known.fill)
    plain = Correction(known.wall, known.film, RATIO, known.local, [], known.fill)
    assert np.array_equal(fix.window, plain.window)
    assert film[0, 7] > FIXED_FILM_W_m2K > film[0, :7].max()
    grounded = Case(known.wall, film, local, known.fill)
    assert_solved(grounded, Correction(known.wall, film, RATIO, local, GROUPS[1:], known.fill),
                  GROUPS[1:])  # fmt: skip


@pytest.mark.parametrize("strongest", [-6.0, -2.0, 1.0, 3.0, 8.0, 25.0, 60.0])
@pytest.mark.parametrize("side", ["hot", "cold"])
def test_only_walls_that_would_overshoot_are_corrected(side: str, strongest: float) -> None:
    """Rows of |Z| |g| over the window: a wall whose largest sum passes NEEDS_HELP, either face.
    Films far below their mean count as those above it."""
    known = case(list(range(N)), N, strongest=strongest)
    local = known.local.copy()
    quiet = COLD if side == "hot" else HOT
    local[list(quiet)] = known.film[0, list(quiet)][:, None]
    fix = Correction(known.wall, known.film, RATIO, local, [], known.fill)
    excess = np.abs((local - known.film[0][:, None]) * RATIO[:, None])[:, fix.window]
    reach = []
    for wall in HOT:
        z = answers(known, (wall, wall + 4))[side == "cold"][side == "cold"]
        at = np.ix_(fix.window, fix.window)
        reach.append((np.abs(z[at]) @ excess[wall + 4 * (side == "cold")]).max())
    assert fix.walls.tolist() == np.flatnonzero(np.array(reach) > NEEDS_HELP).tolist()
