"""Shortcuts of the passes change no result: who is solved together, what is lent or kept."""

from __future__ import annotations

from dataclasses import replace
from typing import Callable

import numpy as np
import pytest
from numpy.typing import NDArray

from stovelint.heat import passes
from stovelint.heat.heater import Heater, Pass, State
from stovelint.heat.layers import harmonics_rad_s
from stovelint.heat.mixing import HIGHEST_C, LOWEST_C
from stovelint.heat.network import Drive, Network
from stovelint.heat.passes import DRIFT_K, LENT_MOST, MOST_PASSES, SLOW, TOLERANCE_K, Passes
from stovelint.heat.periodic import Solution, first_guess, solve
from stovelint.heat.sampling import Fill, looked_at
from stovelint.heat.walls import Walls
from tests.heat.small import Wall, drive, network

Floats = NDArray[np.float64]

N = 96
SIZES = (0.2, 0.5, 0.9, 1.0, 1.1, 2.0)
"""Heat of the members over that of the fourth: some lie near the start and come to rest early."""
WALLS = (
    Wall(layers=[(0.1, 2e5), (0.3, 1e5)], area_m2=0.8),
    Wall(layers=[(0.002, 8e3)], area_m2=0.1),
)
BOTH_END_K = 2.0 * TOLERANCE_K
"""Each of two ways ends within the tolerance of where both go."""


def fire(sizes: tuple[float, ...]) -> Drive:
    lit = np.sin(np.pi * np.minimum(np.arange(N) / 24.0, 1.0)) ** 2
    heat = np.array(sizes)[:, None] * 4000.0 * lit
    return drive(heat, 0.002 + 0.01 * lit, burning=np.arange(N) <= 24)


def together() -> Solution:
    """All members, from the fourth one's solution and with what that one lends."""
    one = solve(network(WALLS), fire((1.0,)))
    assert one.converged and one.secants is not None
    all_of = solve(
        network(WALLS, members=len(SIZES)), fire(SIZES), one.state, lent=one.secants
    )
    assert all_of.converged
    return all_of


def test_a_member_is_the_same_in_company_and_alone() -> None:
    company = together()
    for row, size in enumerate(SIZES):
        alone = solve(network(WALLS), fire((size,)))
        assert alone.converged
        assert np.abs(company.faces_C[row] - alone.faces_C[0]).max() <= BOTH_END_K, size
        assert abs(company.q_W_m2[row].mean() - alone.q_W_m2[0].mean()) <= 1.0, size


def test_members_differ_so_that_an_order_mixed_up_would_show() -> None:
    company = together()
    peaks = company.faces_C[:, 0].max(axis=1)
    assert (np.diff(peaks) > 10.0 * BOTH_END_K).all()


def test_the_spectrum_kept_between_passes_is_that_of_the_faces_returned() -> None:
    """Of a real history the fastest harmonic of an even number of samples has no phase; kept, it
    would come back as a saw-tooth (door panes swung by 2 K from sample to sample)."""
    walls = Walls(network(WALLS), harmonics_rad_s(43200.0, N))
    mean = np.full((1, 4), 100.0)
    walls.renew(mean, np.full((1, 4), 20.0))
    saw: Floats = 100.0 + 50.0 * np.cos(np.pi * np.arange(N))
    history = np.broadcast_to(saw, (1, 4, N))
    wave = np.fft.rfft(history, axis=-1)
    after = walls.answer(wave, np.zeros((1, 4, N)), Fill(np.arange(N), N))
    assert np.allclose(np.fft.rfft(after, axis=-1), wave, rtol=0.0, atol=1e-9 * np.abs(wave).max())


def warm(members: int = 1) -> Network:
    """The same walls with conductivities that rise and fall with temperature."""
    plain = network(WALLS, members=members)

    def properties(hot: Floats, cold: Floats) -> tuple[Floats, Floats]:
        r, c = plain.properties(hot, cold)
        away = 0.5 * (hot + cold) - 20.0
        return r / (1.0 + np.array([1e-3, -5e-4, 2e-3]) * away), c * (1.0 + 5e-4 * away)

    return replace(plain, properties=properties)


def to_the_end(net: Network, what: Drive) -> Solution:
    """Passes until nothing moves but rounding."""
    found = solve(net, what, enough_K=NEVER_K)
    assert found.passes == MOST_PASSES and found.change_K < 1e-9
    return found


NEVER_K = -1.0
"""No change is as small as this: all passes are made."""


@pytest.mark.parametrize("size", SIZES)
def test_where_the_passes_stop_is_within_the_tolerance_of_their_end(size: float) -> None:
    found, end = solve(warm(), fire((size,))), to_the_end(warm(), fire((size,)))
    assert found.converged and found.passes < MOST_PASSES
    assert np.abs(found.faces_C - end.faces_C).max() <= TOLERANCE_K
    assert end.energy_gap < 1e-6


def test_at_the_end_walls_have_the_properties_of_their_own_means() -> None:
    """The last boundaries by resistances, the layers' means from them, and the same again."""
    net, end = warm(), to_the_end(warm(), fire((1.0,)))
    mean = end.faces_C.mean(axis=2)[0]
    plane = mean[0] - (mean[0] - mean[2]) * end.r_m2K_W[0, 0] / end.r_m2K_W[0, :2].sum()
    r, c = net.properties(
        np.array([[mean[0], plane, mean[1]]]), np.array([[plane, mean[2], mean[3]]])
    )
    within = DRIFT_K * 2e-3  # boundaries may have drifted this far since, 2e-3 per kelvin
    np.testing.assert_allclose(end.r_m2K_W, r, rtol=within)
    np.testing.assert_allclose(end.c_J_m2K, c, rtol=within)


def test_what_a_solution_tells_of_itself_is_what_its_histories_say() -> None:
    net, what = warm(len(SIZES)), fire(SIZES)
    found = solve(net, what)
    q, t = found.q_W_m2, found.faces_C
    rays = 0.9 * 5.670374419e-8 * ((t[:, 2:] + 273.15) ** 4 - 293.15**4)
    assert (q[:, 2:] < -0.9 * rays).all()  # free convection adds to the rays, a rest of 0.1 K
    out = -(q[:, 2:].mean(axis=2) @ net.face_area_m2[2:])
    released = what.heat_W.mean(axis=1)
    gap = np.abs(released - out - found.gas.exit_W.mean(axis=1)) / released
    np.testing.assert_allclose(found.energy_gap, gap.max(), rtol=1e-6)
    film = q[:, 2:] / (20.0 - t[:, 2:])  # the room is at 20 degC; films are straight in between
    np.testing.assert_allclose(found.outside_film_W_m2K[:, 2:], film.mean(axis=2), rtol=3e-3)
    assert np.array_equal(found.state.faces_C, found.faces_C)
    assert np.array_equal(found.state.zones_C, found.gas.t_C)


FIELDS: dict[str, tuple[Callable[[Solution], Floats], float]] = {
    "faces": (lambda s: s.faces_C, BOTH_END_K), "gas": (lambda s: s.gas.t_C, 10 * BOTH_END_K),
    "exit": (lambda s: s.gas.exit_C, 10 * BOTH_END_K), "exit heat": (lambda s: s.gas.exit_W, 40.0),
    "rays": (lambda s: np.asarray(s.state.irradiation), 40.0),
    "q": (lambda s: s.q_W_m2, 40.0), "r": (lambda s: s.r_m2K_W, 1e-3),
    "c": (lambda s: s.c_J_m2K, 100.0), "films": (lambda s: s.outside_film_W_m2K, 0.3),
}  # fmt: skip
"""What a solution hands out, and how far apart two ways to it may end: 0.2 K of a face, times
films of up to 60 W/m2K or 200 W/K of the gas's heat flow."""


def test_members_keep_their_places_in_all_that_is_handed_out() -> None:
    """They come to rest at different passes, the coldest first, and are put back in order."""
    rows = [5, 0, 3, 1, 4, 2]
    sizes = tuple(SIZES[row] for row in rows)
    company = solve(warm(len(SIZES)), fire(sizes))
    assert company.converged
    for row, size in enumerate(sizes):
        alone = solve(warm(), fire((size,)))
        for name, (get, within) in FIELDS.items():
            off = np.abs(get(company)[row] - get(alone)[0]).max()
            assert off <= within, (name, size, off)


def test_members_that_rest_are_set_down_on_the_way() -> None:
    """Those that start from their own solution rest at once and leave; the last one works on.

    As they leave in two parts, both parts must be there in the end."""
    sizes = (1.0, 1.0, 1.0, 2.0)
    start = solve(warm(), fire((1.0,))).state
    work = Passes(warm(4), fire(sizes), start, None, None, near=True)
    count, _ = work.run(TOLERANCE_K)
    assert [rows.tolist() for rows, _ in work.at_rest][-1] == [3]
    assert len(work.at_rest) >= 2
    assert count > 3
    assert work.found().faces_C.shape[0] == 4


def test_a_start_from_the_solution_itself_is_there_at_once() -> None:
    for size in SIZES:
        first = solve(warm(), fire((size,)))
        again = solve(warm(), fire((size,)), first.state)
        assert again.passes <= 2 and again.converged
        assert np.abs(again.faces_C - first.faces_C).max() <= TOLERANCE_K


def test_rough_is_enough_when_asked() -> None:
    rough, fine = solve(warm(), fire((1.0,)), enough_K=5.0), solve(warm(), fire((1.0,)))
    assert TOLERANCE_K < rough.change_K <= 5.0
    assert rough.passes < fine.passes and not rough.converged


def test_a_solution_lends_its_last_differences_and_no_more() -> None:
    end = to_the_end(network(WALLS), fire((1.0,)))
    assert end.secants is not None
    assert end.secants.points.shape == (LENT_MOST, (4 + 1) * len(looked_at(fire((1.0,)))))
    assert end.secants.steps.shape == (LENT_MOST, 4 * len(looked_at(fire((1.0,)))))
    other = solve(network(WALLS), fire((1.0,)), chosen=np.arange(N))
    lent = solve(network(WALLS), fire((1.0,)), lent=other.secants)  # of another shape: no use
    plain = solve(network(WALLS), fire((1.0,)))
    assert np.array_equal(lent.faces_C, plain.faces_C)


def test_what_was_lent_is_lent_on_by_one_that_had_no_way_to_go() -> None:
    one = solve(network(WALLS), fire((1.0,)))
    again = solve(network(WALLS), fire((1.0,)), one.state, lent=one.secants)
    assert again.passes == 1 and again.secants is one.secants


def test_what_is_not_finite_has_not_converged() -> None:
    """A table of a material without values: the first pass ends it."""
    plain = network(WALLS)
    empty = replace(plain, properties=lambda hot, cold: (np.nan * hot, 1e5 + 0.0 * hot))
    with np.errstate(invalid="ignore"):
        found = solve(empty, fire((1.0,)))
    assert not found.converged and not np.isfinite(found.change_K)
    assert found.passes < 5


def test_the_way_stays_short() -> None:
    """The plain pass needs 40 and more or does not end at all. Alone from the first guess, from a
    case 10 % off, with what that one lends, and a closed box of sheet around the fire."""
    light = (
        Wall(layers=[(0.0005, 6e3)], area_m2=0.8), Wall(layers=[(0.5, 2e4)], area_m2=0.4),
        Wall(layers=[(0.1, 2e5)], area_m2=0.3, film="floor"),
    )  # fmt: skip
    counts = []
    for walls in (WALLS, light):
        one = solve(network(walls), fire((1.0,)))
        near = solve(network(walls), fire((1.1,)), one.state)
        lent = solve(network(walls), fire((1.1,)), one.state, lent=one.secants)
        assert one.converged and near.converged and lent.converged
        counts.append((one.passes, near.passes, lent.passes))
    for found, most in zip(np.ravel(counts), (10, 6, 6, 14, 9, 9)):
        assert found <= most, counts


def test_every_member_is_within_the_tolerance_of_its_own_end() -> None:
    """Also the one that moves most when the others have come to rest already."""
    company = solve(warm(len(SIZES)), fire(SIZES))
    for row, size in enumerate(SIZES):
        end = to_the_end(warm(), fire((size,)))
        assert np.abs(company.faces_C[row] - end.faces_C[0]).max() <= TOLERANCE_K, size


@pytest.mark.parametrize("start", [0.3, 3.0])
def test_properties_follow_from_wherever_the_way_began(start: float) -> None:
    """From a colder and from a hotter case, with rows of two members that drift unlike far: at the
    stop no layer's resistance is older than the drift allowed, 2e-3 per kelvin."""
    sizes = (1.0, 2.0)
    first = solve(warm(), fire((start,)))
    net = warm(2)
    found = solve(net, fire(sizes), first.state, lent=first.secants)
    assert found.converged
    mean = found.faces_C.mean(axis=2)
    plane = mean[:, 0] - (mean[:, 0] - mean[:, 2]) * (
        found.r_m2K_W[:, 0] / found.r_m2K_W[:, :2].sum(axis=1)
    )
    r, _ = net.properties(
        np.stack([mean[:, 0], plane, mean[:, 1]], axis=1),
        np.stack([plane, mean[:, 2], mean[:, 3]], axis=1),
    )
    assert np.abs(found.r_m2K_W / r - 1.0).max() <= (DRIFT_K + TOLERANCE_K) * 2e-3


def one_pass(net: Network, what: Drive, start: Solution | None = None) -> Passes:
    state = first_guess(net, what) if start is None else start.state
    passes = Passes(net, what, state, None, None, near=start is not None)
    assert passes.run(1e9)[0] == 1
    return passes


def test_what_is_handed_out_is_where_the_last_pass_ended() -> None:
    """Spectrum and what is added to it give the faces at the samples looked at, also far from the
    solution, where much is added."""
    passes = one_pass(network(WALLS), fire((1.0,)))
    assert np.abs(passes.ahead).max() > 1.0
    found = passes.found().faces_C
    np.testing.assert_allclose(found[..., passes.fill.chosen], passes.state.faces_C, rtol=1e-9)


def test_the_face_that_moves_most_is_known() -> None:
    """One pass from the first guess, whose faces are at 150 degC and 35 degC. The thin wall's faces
    are 1 and 3; with walls changed round the answer changes with them."""
    for order in ((0, 1), (1, 0)):
        net = network([WALLS[i] for i in order])
        what = fire((1.0, 0.2))
        net = replace(net, face_emissivity=np.tile(net.face_emissivity, (2, 1)))
        passes = one_pass(net, what)
        start = first_guess(net, what).faces_C[..., passes.fill.chosen]
        moved = np.abs(passes.state.faces_C - start).max(axis=(0, 2))
        assert passes.restless == moved.argmax()
        assert moved.max() > 1.2 * np.sort(moved)[-2]


def test_a_start_of_one_case_or_of_each() -> None:
    """The state of one case starts all members; the states of all start each its own."""
    one = solve(network(WALLS), fire((1.0,)))
    all_of = solve(network(WALLS, members=len(SIZES)), fire(SIZES))
    each = one_pass(network(WALLS, members=len(SIZES)), fire(SIZES), all_of)
    assert np.abs(each.state.faces_C - all_of.faces_C[..., each.fill.chosen]).max() < 2 * TOLERANCE_K
    same = one_pass(network(WALLS, members=3), fire((1.0, 1.0, 1.0)), one)
    for row in range(3):
        assert np.abs(same.state.faces_C[row] - one.faces_C[0, :, same.fill.chosen].T).max() < 0.2


def test_energy_is_counted_at_every_stage() -> None:
    """After one pass from the first guess much heat is not accounted for, and the gap says how
    much, of every member: heat less faces less chimney over heat."""
    net, what = network(WALLS, members=2), fire((1.0, 0.5))
    found = one_pass(net, what).found()
    released = what.heat_W.mean(axis=1)
    lost = -(found.q_W_m2[:, 2:].mean(axis=2) @ net.face_area_m2[2:])
    gap = np.abs(released - lost - found.gas.exit_W.mean(axis=1)) / released
    np.testing.assert_allclose(found.energy_gap, gap, rtol=1e-9)
    assert gap.min() > 0.01


# A fire of 8 kW in a light box of boards: the first corrections are made while the faces swing.
LIGHT = (
    Wall(layers=[(2.2219875779001983, 2262.6275517508966)], area_m2=0.3178946646618892),
    Wall(layers=[(1.3287568896283353, 1504.3402250586362)], area_m2=1.6548731830897225),
)  # fmt: skip


def swinging(heat_W: float = 8000.0) -> Drive:
    lit = np.sin(np.pi * np.minimum(np.arange(N) / 24.0, 1.0)) ** 2
    return drive(
        heat_W * lit[None], 0.0003 + 0.003 * lit, burning=np.arange(N) <= 24,
        flame_emissivity=0.3 * lit,
    )  # fmt: skip


def test_a_slow_heater_settles_sooner_where_its_corrections_are_made_anew(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """With the first corrections alone some 90 passes, and the same means in the end: to half a
    kelvin, since a wall this light (2 kJ/m2K) rings between the samples that are looked at."""
    helped = solve(network(LIGHT), swinging())
    monkeypatch.setattr(passes, "SLOW", 10_000)
    plain = solve(network(LIGHT), swinging())
    assert helped.converged and plain.converged
    assert SLOW < helped.passes < plain.passes
    assert np.abs(helped.faces_C.mean(axis=2) - plain.faces_C.mean(axis=2)).max() <= 0.5


def test_no_pass_leads_a_face_beyond_all_that_can_be(monkeypatch: pytest.MonkeyPatch) -> None:
    """30 kW in the same box: more than its walls and gas can take up below 2200 degC, the hottest
    that is looked at. It does not settle and says so; on the way no face is looked at beyond."""
    seen: list[tuple[float, float]] = []
    evaluate = Heater.evaluate

    def spy(self: Heater, state: State) -> Pass:
        seen.append((float(state.faces_C.min()), float(state.faces_C.max())))
        return evaluate(self, state)

    monkeypatch.setattr(Heater, "evaluate", spy)
    found = solve(network(LIGHT), swinging(60_000.0))
    assert not found.converged
    low, high = zip(*seen)
    assert LOWEST_C <= min(low) and max(high) <= HIGHEST_C and len(seen) == found.passes
    assert 0 <= found.restless_face < 4


@pytest.mark.parametrize("most", range(3, 9))
def test_passes_that_run_out_hand_out_every_member_its_own(
    monkeypatch: pytest.MonkeyPatch, most: int
) -> None:
    """Members set down in the very last pass left the others with each other's heat flows."""
    monkeypatch.setattr(passes, "MOST_PASSES", most)
    start = solve(warm(), fire((1.0,))).state
    company = solve(warm(len(SIZES)), fire(SIZES), start)
    flows = company.q_W_m2[:, 0].mean(axis=1)
    for row, size in enumerate(SIZES):
        alone = solve(warm(), fire((size,)), start)
        assert flows[row] == pytest.approx(alone.q_W_m2[0, 0].mean(), rel=0.02, abs=5.0), row


@pytest.mark.parametrize("start", [None, 4.0])
def test_the_last_change_is_that_of_whoever_moved_most(start: float | None) -> None:
    """Of all members, up or down: from the first guess they rise, from a hotter case they fall."""
    what, net = fire((0.2, 1.0)), network(WALLS, members=2)
    before = None if start is None else solve(network(WALLS), fire((start,)))
    state = first_guess(net, what) if before is None else before.state
    work = Passes(net, what, state, None, None, near=before is not None)
    count, worst = work.run(1e9)
    moved = work.state.faces_C - state.faces_C[..., work.fill.chosen]
    assert count == 1
    assert worst == pytest.approx(np.abs(moved).max(), rel=1e-9)
    assert work.restless == np.abs(moved).max(axis=(0, 2)).argmax()
    each = np.abs(moved).max(axis=(1, 2))
    assert each.max() > 1.2 * each.min()


def test_every_member_closes_its_heat(monkeypatch: pytest.MonkeyPatch) -> None:
    """Asked for a millionth, the passes go on until the last member has it."""
    monkeypatch.setattr(passes, "ENERGY_TOLERANCE", 1e-6)
    found = solve(warm(len(SIZES)), fire(SIZES))
    assert found.passes < MOST_PASSES and found.energy_gap <= 1e-6


def test_a_heater_without_channels_has_none_to_tell_of() -> None:
    found = solve(network(WALLS, members=2), fire((1.0, 0.5)))
    assert found.branches.shape == (2, 4, 0)
    assert found.channel_W_m2.shape == (2, 2) and not found.channel_W_m2.any()
