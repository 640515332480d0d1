"""The mixing against plain least squares: what it solves, what it remembers, where it stops."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray

from stovelint.heat.mixing import (
    HIGHEST_C, LOWEST_C, MEMORY, RIDGE_LENT, RIDGE_OWN, Mixer, Secants,
)  # fmt: skip
from tests.heat.close import close

Floats = NDArray[np.float64]

FACES, UNKNOWNS = 7, 9
ROUNDING = 1e-6
"""Of the normal equations: the square of the condition of a few random differences."""


def history(length: int, members: int, seed: int = 1) -> tuple[Floats, Floats]:
    """Where passes led and what they changed, in any odd way: (length, M, ..)."""
    random = np.random.default_rng(seed)
    whole = 300.0 + 30.0 * random.normal(size=(length, members, UNKNOWNS))
    return whole, 5.0 * random.normal(size=(length, members, FACES))


def secants(columns: int, seed: int = 7) -> Secants:
    random = np.random.default_rng(seed)
    return Secants(
        points=random.normal(size=(columns, UNKNOWNS)) * 8.0,
        steps=random.normal(size=(columns, FACES)) * np.linspace(0.5, 4.0, columns)[:, None],
    )


def by_least_squares(whole: Floats, rest: Floats, member: int, lent: Secants | None) -> Floats:
    """g - dG gamma of one member: gamma makes rest - dF gamma smallest, with a ridge on the
    columns, each as long as itself. Rows below the system stand for the ridge."""
    points = list(np.diff(whole[:, member], axis=0)[-MEMORY:])
    steps = list(np.diff(rest[:, member], axis=0)[-MEMORY:])
    ridge = [RIDGE_OWN] * len(points)
    if lent is not None:
        points, steps = list(lent.points) + points, list(lent.steps) + steps
        ridge = [RIDGE_LENT] * len(lent.points) + ridge
    if not points:
        return np.asarray(whole[-1, member])
    a = np.stack(steps, axis=1)
    below = np.diag(np.array(ridge) * np.linalg.norm(a, axis=0))
    target = np.concatenate([rest[-1, member], np.zeros(len(points))])
    gamma = np.linalg.lstsq(np.concatenate([a, below]), target, rcond=None)[0]
    return np.asarray(whole[-1, member] - np.stack(points, axis=1) @ gamma)


@pytest.mark.parametrize("lent_columns", [0, 1, 3])
@pytest.mark.parametrize("length", [1, 2, 3, MEMORY + 1, MEMORY + 4])
def test_the_next_point_is_that_of_plain_least_squares(length: int, lent_columns: int) -> None:
    """Of the last differences only, whatever place they are kept in; each member by itself."""
    lent = secants(lent_columns) if lent_columns else None
    whole, rest = history(length, members=3)
    mixer = Mixer(lent)
    for g, f in zip(whole, rest):
        found = mixer.next(g, f)
    for member in range(3):
        close(found[member], by_least_squares(whole, rest, member, lent), within=ROUNDING,
              because="normal equations of a few columns", source="numpy least squares")  # fmt: skip


def test_a_lent_difference_that_fits_is_held_back_by_its_ridge() -> None:
    """Along the one column the change is undone but for ridge^2 / (1 + ridge^2) of it."""
    lent = Secants(points=np.eye(1, UNKNOWNS), steps=np.array([[3.0] + [0.0] * (FACES - 1)]))
    whole, rest = np.full((1, UNKNOWNS), 100.0), np.zeros((1, FACES))
    rest[0, 0] = 6.0
    found = Mixer(lent).next(whole, rest)
    close(found[0, 0], 100.0 - 2.0 / (1.0 + RIDGE_LENT**2), within=1e-12,
          because="one equation, one unknown", source="ridge regression by hand")  # fmt: skip
    assert np.array_equal(found[0, 1:], whole[0, 1:])


def test_differences_that_are_almost_alike_are_kept_apart_by_their_own_ridge() -> None:
    """Two changes that differ by 1e-5 of themselves, and a rest along that difference: without the
    ridge the step would be 1e5 differences long."""
    along, across = np.eye(FACES)[:2]
    rest = np.stack([np.zeros(FACES), 2.0 * along, 4.0 * along + 2e-5 * across])
    rest = rest - rest[-1] + 3.0 * across
    whole = np.zeros((3, UNKNOWNS))
    whole[1, 0], whole[2, 0], whole[2, 1] = 1e-4, 2e-4, 1e-4
    mixer = Mixer(None)
    for g, f in zip(whole, rest):
        found = mixer.next(g[None], f[None])
    expected = by_least_squares(whole[:, None], rest[:, None], 0, None)
    assert np.abs(expected).max() > 3.0  # ten thousand differences, and more without a ridge
    close(found[0, :2], expected[:2], within=1e-3, because="squares of 1e-5 beside 1",
          source="numpy least squares")  # fmt: skip


def test_a_linear_map_is_solved_in_as_many_passes_as_it_has_unknowns() -> None:
    """Anderson's mixing of a linear map is a Krylov method: three unknowns, four differences."""
    a = np.array([[0.9, 0.05, 0.0], [0.02, 0.7, 0.1], [0.0, 0.2, -0.8]])
    b = np.array([20.0, 60.0, 300.0])
    exact = np.linalg.solve(np.eye(3) - a, b)
    mixer, x = Mixer(None), np.array([[30.0, 40.0, 50.0]])
    for _ in range(5):
        led = x @ a.T + b
        x = mixer.next(led, led - x)
    close(x[0], exact, within=1e-6, because="the ridge is 1e-5 of a difference",
          source="numpy, the linear system itself")  # fmt: skip
    plain = np.array([30.0, 40.0, 50.0])
    for _ in range(5):
        plain = a @ plain + b
    assert np.abs(plain - exact).max() > 10.0


def test_the_first_point_is_where_the_pass_led() -> None:
    whole, rest = history(1, members=2)
    assert np.array_equal(Mixer(None).next(whole[0], rest[0]), whole[0])
    assert Mixer(None).newest() is None


def test_the_newest_difference_is_the_first_members_last() -> None:
    whole, rest = history(MEMORY + 4, members=2)
    mixer = Mixer(None)
    mixer.next(whole[0], rest[0])
    assert mixer.newest() is None
    for at in range(1, len(whole)):
        mixer.next(whole[at], rest[at])
        newest = mixer.newest()
        assert newest is not None
        assert np.array_equal(newest[0], whole[at, 0] - whole[at - 1, 0])
        assert np.array_equal(newest[1], rest[at, 0] - rest[at - 1, 0])
        newest[0][:] = 0.0  # it is a copy: nothing inside changes with it
    again = mixer.newest()
    assert again is not None and again[0].any()


def test_what_is_forgotten_does_not_count() -> None:
    whole, rest = history(8, members=2)
    mixer, fresh = Mixer(None), Mixer(None)
    for at in range(4):
        mixer.next(whole[at], rest[at])
    mixer.forget()
    assert mixer.newest() is None
    for at in range(4, 8):
        assert np.array_equal(mixer.next(whole[at], rest[at]), fresh.next(whole[at], rest[at]))


@pytest.mark.parametrize("before", [0, 1, 3])
def test_members_that_are_kept_go_on_as_if_alone(before: int) -> None:
    whole, rest = history(6, members=4)
    rows = np.array([1, 3])
    mixer, alone = Mixer(secants(2)), Mixer(secants(2))
    for at in range(before):
        mixer.next(whole[at], rest[at])
        alone.next(whole[at][rows], rest[at][rows])
    mixer.keep(rows)
    for at in range(before, 6):
        found = mixer.next(whole[at][rows], rest[at][rows])
        assert np.allclose(found, alone.next(whole[at][rows], rest[at][rows]), rtol=1e-9)


def test_a_member_at_rest_divides_by_nothing() -> None:
    """Two passes that led to the same place leave a difference of zero."""
    whole = np.full((1, UNKNOWNS), 80.0)
    mixer = Mixer(Secants(points=np.ones((1, UNKNOWNS)), steps=np.zeros((1, FACES))))
    for _ in range(3):
        found = mixer.next(whole, np.zeros((1, FACES)))
        assert np.array_equal(found, whole)


def test_it_never_looks_where_no_heater_is() -> None:
    """Extrapolated far out, it stops at the bounds; a wood flame is 1960 degC at most, and frost
    of -40 degC must lie inside."""
    mixer = Mixer(None)
    mixer.next(np.full((1, UNKNOWNS), 100.0), np.full((1, FACES), 50.0))
    whole = np.concatenate([np.full((1, FACES), 150.0), np.full((1, 2), 50.0)], axis=1)
    found = mixer.next(whole, np.full((1, FACES), 49.0))
    assert (found[0, :FACES] == HIGHEST_C).all() and (found[0, FACES:] == LOWEST_C).all()
    assert LOWEST_C < -40.0 and HIGHEST_C > 1960.0


def test_a_widened_memory_starts_anew_and_holds_more() -> None:
    """After it more differences count than before; the reference is told how many."""
    whole, rest = history(FACES + 3, members=2)
    mixer, plain = Mixer(None), Mixer(None)
    for at in range(3):
        mixer.next(whole[at] + 5.0, rest[at] - 1.0)
    mixer.widen(MEMORY + 1)
    assert mixer.newest() is None
    for g, f in zip(whole, rest):
        found, narrow = mixer.next(g, f), plain.next(g, f)
    points, steps = (np.diff(x[:, 0], axis=0)[-MEMORY - 1 :].T for x in (whole, rest))
    gamma = np.linalg.lstsq(steps, rest[-1, 0], rcond=None)[0]
    close(found[0], whole[-1, 0] - points @ gamma, within=1e-5, because="a ridge of 1e-5 squared",
          source="numpy least squares")  # fmt: skip
    assert np.abs(narrow[0] - found[0]).max() > 1.0


def test_a_longer_memory_starts_anew_and_is_filled() -> None:
    """As plain least squares over as many differences as it then may remember."""
    longer = MEMORY + 2
    whole, rest = history(longer + 3, members=2)
    mixer = Mixer(None)
    for point, step in zip(*history(4, members=2, seed=3)):
        mixer.next(point.copy(), step.copy())
    mixer.widen(longer)
    assert mixer.newest() is None  # nothing of before is left
    for point, step in zip(whole, rest):
        led = mixer.next(point.copy(), step.copy())
    assert mixer.steps is not None and mixer.steps.shape[1] == longer
    for member in range(2):
        a = np.stack(list(np.diff(rest[:, member], axis=0)[-longer:]), axis=1)
        below = np.diag(RIDGE_OWN * np.linalg.norm(a, axis=0))
        target = np.concatenate([rest[-1, member], np.zeros(longer)])
        gamma = np.linalg.lstsq(np.concatenate([a, below]), target, rcond=None)[0]
        points = np.stack(list(np.diff(whole[:, member], axis=0)[-longer:]), axis=1)
        expected = np.clip(whole[-1, member] - points @ gamma, LOWEST_C, HIGHEST_C)
        np.testing.assert_allclose(led[member], expected, rtol=1e-4)


def test_what_was_before_a_longer_memory_leads_nowhere() -> None:
    """The first call after it has no difference to go by, the second just one."""
    mixer, fresh = Mixer(None), Mixer(None)
    whole, rest = history(3, members=2)
    for point, step in zip(*history(4, members=2, seed=3)):
        mixer.next(point.copy(), step.copy())
    mixer.widen(MEMORY + 2)
    for point, step in zip(whole, rest):
        found = mixer.next(point.copy(), step.copy())
        assert np.array_equal(found, fresh.next(point.copy(), step.copy()))
