"""Bands of gas: two of them solved by hand, the balance of each, and what stirs them."""

from __future__ import annotations

import math

import numpy as np
import pytest
from numpy.typing import NDArray

from stovelint.heat.bands import (
    C_REF, Caloric, Exchange, Flows, backflow, band_temperatures,
)  # fmt: skip
from tests.heat.close import close

Floats = NDArray[np.float64]


def one(value: float) -> Floats:
    return np.full((1, 1), value)


def gas(a: float = 1010.0, b: float = 0.12) -> Caloric:
    return Caloric(one(a), one(b))


def exchange(g: list[float], t_eq: list[float]) -> Exchange:
    column = np.array(g)[None, :, None]
    return Exchange(g=column, t_eq=np.array(t_eq)[None, :, None], g_convective=column)


OLD = np.array([310.0, 520.0, 240.0, 410.0])
"""Of the last pass, in the order of the zones."""
ZONES = (1, 3, 0, 2)
"""Bands from the top: not in the order of the zones."""
G, EQ = [6.0, 14.0, 3.0, 9.0], [70.0, 150.0, 40.0, 110.0]
DRAWN, DOWN, UP = (0.004, 0.002, 0.006, 0.008), (0.03, 0.021, 0.027), (0.009, 0.004, 0.012)
FED = {1: (0.011, 33.0), 3: (0.006, 180.0)}
OWN_FLOW, OWN_TAU = 0.013, 900.0


def stack(n: int, **other: object) -> Flows:
    """The upper n bands of the four; all that moves is not nought and no two numbers are alike."""
    values: dict[str, object] = {
        "top": one(OWN_FLOW + sum(DRAWN[:n])), "own": one(OWN_FLOW * OWN_TAU),
        "drawn": [one(x) for x in DRAWN[:n]], "down": [one(x) for x in DOWN[: n - 1]],
        "up": [one(x) for x in UP[: n - 1]],
        "fed": {i: (one(m), one(tau)) for i, (m, tau) in FED.items() if i < n},
    }
    return Flows(**{**values, **other})  # type: ignore[arg-type]


def dense(n: int) -> tuple[Floats, Floats]:
    """tau and mean temperature of the upper n bands from all their equations at once.

    For each band tau = a (what comes, mixed) + (1 - a) tau_eq; the last unknown is the gas that
    comes in at the top, own heat and all that was drawn over its flow.
    """
    matrix, right = np.eye(n + 1), np.zeros(n + 1)
    through = np.zeros(n)
    for i in range(n):
        z = ZONES[i]
        comes = [(n, OWN_FLOW + sum(DRAWN[:n])) if i == 0 else (i - 1, DOWN[i - 1])]
        if i < n - 1:
            comes.append((i + 1, UP[i]))
        fed, tau_fed = FED.get(i, (0.0, 0.0))
        f = sum(flow for _, flow in comes) + fed
        cp = 1010.0 + 0.12 * OLD[z]
        a = math.exp(-G[z] / (f * cp))
        tau_old = (1010.0 * OLD[z] + 0.06 * OLD[z] ** 2) / 1100.0
        for j, flow in comes:
            matrix[i, j] -= a * flow / f
        right[i] = a * fed * tau_fed / f + (1 - a) * (tau_old + (EQ[z] - OLD[z]) * cp / 1100.0)
        through[i] = f
    matrix[n, n] = OWN_FLOW + sum(DRAWN[:n])
    matrix[n, :n] -= DRAWN[:n]
    right[n] = OWN_FLOW * OWN_TAU
    tau = np.linalg.solve(matrix, right)
    means = []
    for i in range(n):
        z = ZONES[i]
        brought = (OWN_FLOW + sum(DRAWN[:n])) * tau[n] if i == 0 else DOWN[i - 1] * tau[i - 1]
        brought += UP[i] * tau[i + 1] if i < n - 1 else 0.0
        fed, tau_fed = FED.get(i, (0.0, 0.0))
        brought += fed * tau_fed
        means.append(EQ[z] + 1100.0 * (brought - through[i] * tau[i]) / G[z])
    return np.asarray(tau[:n], dtype=np.float64), np.array(means)


def march(n: int) -> tuple[Floats, Floats]:
    means, taus = band_temperatures(
        ZONES[:n], stack(n), OLD[None, :, None], exchange(G, EQ), gas()
    )
    assert list(means) == list(ZONES[:n])
    return np.ravel(taus), np.array([float(means[z][0, 0]) for z in ZONES[:n]])


@pytest.mark.parametrize("n", [1, 2, 3, 4])
def test_the_march_solves_all_equations_at_once(n: int) -> None:
    """Every flow of every band is at work: a jet that draws, both ways through each joint, gas fed
    from outside in the middle and at the foot."""
    tau, means = dense(n)
    ours, middle = march(n)
    close(ours, tau, within=1e-10, because="the same linear equations, other order",
          source="balance of each band")  # fmt: skip
    close(middle, means, within=1e-8, because="the same linear equations, other order",
          source="balance of each band")  # fmt: skip


def test_two_bands_by_hand() -> None:
    """cp 1100 but for 1e-9 T, so tau = T. 10 g/s of 800 degC and 10 g/s drawn from below enter the
    crown, 5 g/s rise into it; 25 g/s sink from it into the foot. g = f cp ln 2 halves the step to
    walls of 100 and 60 degC:

        T1 = 100 + (mix - 100) / 2,  mix = (20 top + 5 T2) / 25,  T2 = 60 + (T1 - 60) / 2,
        20 top = 10 * 800 + 10 T2

    so T1 = 50 + (8000 + 15 T2) / 50 = 210 + 0.3 T2 and T2 = 30 + T1 / 2: T1 = 219 / 0.85.
    """
    t_1 = 219.0 / 0.85
    t_2 = 30.0 + 0.5 * t_1
    half = 0.025 * 1100.0 * math.log(2.0)
    flows = Flows(
        top=one(0.02), own=one(8.0), drawn=[one(0.0), one(0.01)], down=[one(0.025)],
        up=[one(0.005)], fed={},
    )  # fmt: skip
    means, taus = band_temperatures(
        (0, 1), flows, np.full((1, 2, 1), 300.0), exchange([half, half], [100.0, 60.0]),
        gas(1100.0, 1e-9),
    )  # fmt: skip
    close(np.ravel(taus), [t_1, t_2], within=1e-6, because="the line of cp is not quite level",
          source="two equations by hand")  # fmt: skip
    # what enters a band falls by as much as it stood over the walls at the end: over g = f cp ln 2
    # its mean stands over the walls by that fall over ln 2
    close([means[0][0, 0], means[1][0, 0]],
          [100.0 + (t_1 - 100.0) / math.log(2.0), 60.0 + (t_2 - 60.0) / math.log(2.0)],
          within=1e-6, because="the line of cp is not quite level",
          source="logarithmic mean of the step to the wall")  # fmt: skip


def test_what_the_faces_get_is_what_the_gas_brings_less_what_leaves() -> None:
    """Heat of the whole stack: own and fed come in; what is left over at each band leaves."""
    n = 4
    tau, means = march(n)
    came_up, went_down = (*UP, 0.0), (*DOWN, 0.0)
    leaves = 0.0
    for i in range(n):
        fed, _ = FED.get(i, (0.0, 0.0))
        from_above = OWN_FLOW + sum(DRAWN) if i == 0 else DOWN[i - 1]
        into = from_above + came_up[i] + fed
        away = into - DRAWN[i] - went_down[i] - (UP[i - 1] if i else 0.0)
        leaves += C_REF * away * tau[i]
    brought = C_REF * (OWN_FLOW * OWN_TAU + sum(m * t for m, t in FED.values()))
    taken = sum(G[z] * (t - EQ[z]) for z, t in zip(ZONES, means))
    close(taken, brought - leaves, within=1e-9, because="nothing but rounding",
          source="first law of thermodynamics")  # fmt: skip


def test_gas_as_warm_as_its_walls_stays_so() -> None:
    """400 degC everywhere: nothing is exchanged, whatever flows."""
    tau = gas().tau(one(400.0))
    flows = stack(
        4, own=OWN_FLOW * tau, fed={i: (one(m), tau) for i, (m, _) in FED.items()},
    )  # fmt: skip
    means, taus = band_temperatures(
        ZONES, flows, np.full((1, 4, 1), 400.0), exchange(G, [400.0] * 4), gas()
    )
    close([float(t[0, 0]) for t in means.values()], [400.0] * 4, within=1e-9,
          because="nothing but rounding", source="second law of thermodynamics")  # fmt: skip
    close(np.ravel(taus), [tau[0, 0]] * 4, within=1e-12, because="nothing but rounding",
          source="second law of thermodynamics")  # fmt: skip


def test_members_and_samples_do_not_touch() -> None:
    """Two members of three samples at once as each alone."""
    rng = np.random.default_rng(5)

    def table(low: float, high: float) -> Floats:
        return rng.uniform(low, high, (2, 3))

    flows = Flows(
        top=table(0.03, 0.05), own=table(5.0, 20.0), drawn=[table(0.0, 0.01) for _ in range(3)],
        down=[table(0.01, 0.03) for _ in range(2)], up=[table(0.0, 0.02) for _ in range(2)],
        fed={2: (table(0.0, 0.01), table(20.0, 60.0))},
    )  # fmt: skip
    g, eq, old = (rng.uniform(*ends, (2, 3, 3)) for ends in ((2, 9), (50, 200), (200, 600)))
    line = Caloric(table(1000.0, 1050.0), table(0.1, 0.15))
    means, taus = band_temperatures(
        (0, 1, 2), flows, old, Exchange(g=g, t_eq=eq, g_convective=g), line
    )
    for m, n in np.ndindex(2, 3):
        at = (slice(m, m + 1), slice(n, n + 1))
        cut = (slice(m, m + 1), slice(None), slice(n, n + 1))
        alone, tau = band_temperatures(
            (0, 1, 2),
            Flows(top=flows.top[at], own=flows.own[at], drawn=[x[at] for x in flows.drawn],
                  down=[x[at] for x in flows.down], up=[x[at] for x in flows.up],
                  fed={2: (flows.fed[2][0][at], flows.fed[2][1][at])}),
            old[cut], Exchange(g=g[cut], t_eq=eq[cut], g_convective=g[cut]),
            Caloric(line.a[at], line.b[at]),
        )  # fmt: skip
        for z in range(3):
            assert means[z][m, n] == pytest.approx(alone[z][0, 0], rel=1e-13)
            assert taus[z][m, n] == pytest.approx(tau[z][0, 0], rel=1e-13)


def test_the_line_of_the_heat_capacity_and_its_integral() -> None:
    """cp(250) = 1010 + 0.12 * 250 = 1040; heat content to 250 degC by hand:
    (1010 * 250 + 0.06 * 250^2) = 256 250 J/kg, over 1100."""
    line = gas()
    assert C_REF == 1100.0
    close(line.cp(one(250.0)), [[1040.0]], within=1e-13, because="a sum by hand",
          source="line of cp")  # fmt: skip
    close(line.tau(one(250.0)), [[256250.0 / 1100.0]], within=1e-13, because="a sum by hand",
          source="integral of the line")  # fmt: skip


@pytest.mark.parametrize("t", [-20.0, 0.5, 20.0, 400.0, 1500.0])
def test_heat_content_and_temperature_undo_each_other(t: float) -> None:
    close(gas().t(gas().tau(one(t))), [[t]], within=1e-10, because="a square root and a square",
          source="definition of the line")  # fmt: skip


def test_less_heat_than_the_line_holds_is_its_coldest() -> None:
    """Below the foot of the parabola there is no temperature: the foot, -a / b, stands for it."""
    line = gas(1000.0, 10.0)
    foot = float(line.tau(one(-100.0))[0, 0])
    assert line.t(one(foot - 5.0)).tolist() == [[-100.0]]
    assert float(line.t(one(foot + 1e-3))[0, 0]) > -100.0


def test_backflow_of_bands() -> None:
    """By hand: x = 0 nothing; 3/4: (3/4 - 1 + 5/4) / 2 = 1/2; 4/3: (1/3 + 5/3) / 2 = 1."""
    close(backflow(np.array([0.75, 4.0 / 3.0])), [0.5, 1.0], within=1e-14,
          because="squares that come out even", source="3-4-5 triangle")  # fmt: skip
    assert float(backflow(np.array(0.0))) == 0.0


@pytest.mark.parametrize("r", [0.01, 0.5, 3.0, 80.0])
def test_backflow_spreads_as_asked(r: float) -> None:
    """2 r (1 + r) / (1 + 2 r) = x, and back."""
    x = 2.0 * r * (1.0 + r) / (1.0 + 2.0 * r)
    close(backflow(np.array(x)), r, within=1e-10, because="the root of the same equation",
          source="variance of a random walk")  # fmt: skip


def test_backflow_weak_and_strong() -> None:
    close(backflow(np.array(1e-4)), 5e-5, within=1e-3, because="x^2 / 4 is left out",
          source="series for weak mixing")  # fmt: skip
    close(backflow(np.array(1e4)), 1e4 - 0.5, within=1e-8, because="1 / (4 x) is left out",
          source="series for strong mixing")  # fmt: skip
