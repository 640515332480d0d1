"""How fast errors fall when samples, cells, steps or elements are doubled: observed orders.

A wrong formula may still come near; it does not come nearer at the order that theory gives.
"""

from __future__ import annotations

from math import pi
from typing import Callable, Sequence

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.optimize import brentq
from scipy.special import erfc, erfcx

from stovelint.heat.layers import (
    chain,
    face_temperatures,
    harmonics_rad_s,
    inner_temperature,
    layer_admittance,
)
from stovelint.heat.periodic import Solution, solve
from tests.heat.close import close
from tests.heat.small import Wall as Slab
from tests.heat.small import drive, network
from tests.heat.test_corner import excess
from tests.referee import walls as referee
from tests.referee.march import GAMMA
from tests.referee.stacks import leaves_of
from tests.referee.test_pieces import brick_wall

Floats = NDArray[np.float64]


def order(values: Sequence[float]) -> float:
    """Observed order of three results, each with twice the resolution of the one before."""
    coarse, middle, fine = values
    return float(np.log2((coarse - middle) / (middle - fine)))


# -- the periodic solver, in samples of the cycle ---------------------------------------------

NET = network([Slab(area_m2=0.70, layers=[(0.104, 2.3e5)]),
               Slab(area_m2=0.35, layers=[(0.170, 4.8e4)])])  # fmt: skip


def cycle(fire_W: Callable[[Floats], Floats], n: int, every: int = 1) -> Solution:
    """Solved on n samples to far below what is compared; gas looked at at each `every`-th."""
    heat = fire_W(np.arange(n) / n)
    return solve(NET, drive(heat, 0.002), chosen=np.arange(0, n, every), enough_K=1e-7)


def kinked(x: Floats) -> Floats:
    """Straight up and down, with its crest in the middle: amplitudes fall as 1 / n^2."""
    return np.asarray(300.0 + 1200.0 * (1.0 - np.abs(2.0 * x - 1.0)))


def smooth(x: Floats) -> Floats:
    return np.asarray(900.0 + 600.0 * np.sin(2.0 * pi * x))


def test_samples_on_a_fire_with_a_kink() -> None:
    """Harmonics beyond n / 2 appear under a wrong frequency. Those of the fire fall as 1 / n^2,
    those of the face as 1 / n^2.5, since fast waves enter stone as 1 / sqrt(n). Where all their
    crests meet, at the kink, their sum is in error by n^-1.5; in the mean, by n^-2."""
    faces = [cycle(kinked, n).faces_C[0, 0] for n in (96, 192, 384)]
    source = "aliasing of a Fourier series with a kink"
    near = "two doublings seen, next terms a power of n smaller"
    close(order([f[len(f) // 2] for f in faces]), 1.5, within=0.03, because=near, source=source)
    close(order([float(f.mean()) for f in faces]), 2.0, within=0.03, because=near, source=source)
    assert abs(faces[0][48] - faces[1][96]) < 0.03  # K, at the resolution of a plan's cycle


def test_samples_on_a_smooth_fire() -> None:
    """No kink, no power law: all that 24 samples leave is below the tolerance of the passes."""
    few, many = cycle(smooth, 24), cycle(smooth, 384)
    source = "Fourier series of a smooth function"
    close(few.faces_C[0, :, ::6], many.faces_C[0, :, ::96], within=1e-6,
          because="falls faster than any power; 1e-7 K is where the passes stop",
          source=source)  # fmt: skip
    off = [abs(float(cycle(smooth, n).faces_C[0, 0, n // 4] - many.faces_C[0, 0, 96]))
           for n in (4, 8, 16)]  # fmt: skip
    first, second = np.log2(off[0] / off[1]), np.log2(off[1] / off[2])
    assert first > 3.0 and second > first + 1.5  # the order itself grows


def test_gas_looked_at_now_and_then() -> None:
    """Heat flows straight between samples looked at: in error by the square of their distance."""
    means = [float(cycle(smooth, 384, every).faces_C[0, 0].mean()) for every in (16, 8, 4)]
    crests = [float(cycle(smooth, 384, every).faces_C[0, 0, 96]) for every in (16, 8, 4)]
    for values in (means, crests):
        close(order(values), 2.0, within=0.05, because="two doublings seen, next term a square",
              source="straight lines between points of a smooth curve")  # fmt: skip


# -- the wall's harmonics against closed forms of a sudden change ------------------------------

K_W_mK, RHO_CP = 1.0, 2000.0 * 960.0
ALPHA = K_W_mK / RHO_CP


def after_a_step(
    thickness_m: float, split_m: float, film: float, gas_C: float, n: int, both: bool
) -> tuple[Floats, Floats, Floats]:
    """Wall of 20 degC whose gas becomes hot for half of 32 days: hours, face, plane at `split_m`.
    The far side meets the same gas (`both`) or is held at 20 degC."""
    period = 32.0 * 86400.0
    omega = harmonics_rad_s(period, n)
    gas = np.where(np.arange(n) < n // 2, gas_C - 20.0, 0.0)
    gas[[0, n // 2]] = 0.5 * (gas_C - 20.0)  # the mean of both sides of a jump
    wave = np.fft.rfft(gas)
    parts = [layer_admittance(np.array(d / K_W_mK), np.array(d * RHO_CP), omega)
             for d in (split_m, thickness_m - split_m)]  # fmt: skip
    t1, t2 = face_temperatures(
        chain(parts), np.array(film), wave, np.array(film if both else 1e9),
        wave if both else 0.0 * wave,
    )  # fmt: skip
    inside = inner_temperature(parts[0], parts[1], t1, t2)
    hours = np.arange(n) * period / n / 3600.0
    return hours, 20.0 + np.fft.irfft(t1, n), 20.0 + np.fft.irfft(inside, n)


HOURS = np.array([0.5, 1.0, 2.0])


def test_plane_wall_heated_from_both_sides() -> None:
    """0.24 m, h 20 on both sides, gas 600 degC: Bi 2.4, zeta tan zeta = Bi."""
    zetas = [float(brentq(lambda z: z * np.tan(z) - 2.4, i * pi + 1e-9, (i + 0.5) * pi - 1e-9))
             for i in range(40)]  # fmt: skip
    source = "physics notes 4 and 8, plane wall of Biot number 2.4"
    close(zetas[:4], [1.130562, 3.715153, 6.630479, 9.668099], within=1e-6,
          because="printed to seven digits", source=source)  # fmt: skip
    times = np.array([0.5, 1.0, 2.0, 4.0])
    centre, surface = np.zeros(4), np.zeros(4)
    for z in zetas:
        c = 4.0 * np.sin(z) / (2.0 * z + np.sin(2.0 * z))
        fade = c * np.exp(-z * z * ALPHA * times * 3600.0 / 0.12**2)
        centre, surface = centre + fade, surface + fade * np.cos(z)
    rows = [600.0 - 580.0 * part for part in (centre, surface)]
    close(rows, [[21.351, 38.776, 107.943, 244.400], [273.855, 329.064, 385.058, 448.316]],
          within=6e-4, unit="K", because="printed to a thousandth", source=source)  # fmt: skip
    hours, face, middle = after_a_step(0.24, 0.12, 20.0, 600.0, 32 * 24 * 64, True)
    at = np.searchsorted(hours, times - 1e-9)
    close([middle[at], face[at]], rows, within=0.01, unit="K",
          because="a sample each 56 s; the step is spread over one of them", source=source)


def test_thick_wall_suddenly_heated() -> None:
    """h 25, gas 800 degC, surface and 0.1 m deep; 0.8 m of wall stands for an endless one: heat
    gets 0.12 m far in two hours."""
    hours, face, inside = after_a_step(0.8, 0.1, 25.0, 800.0, 32 * 24 * 64, False)
    at = np.searchsorted(hours, HOURS - 1e-9)

    def exact(x: float) -> Floats:
        t = HOURS * 3600.0
        u, v = x / (2.0 * np.sqrt(ALPHA * t)), 25.0 * np.sqrt(ALPHA * t) / K_W_mK
        return np.asarray(20.0 + 780.0 * (erfc(u) - np.exp(-u * u) * erfcx(u + v)))

    source = "physics notes 4 and 8, erfc solutions with a film"
    for found, x, rows in ((face, 0.0, [409.0, 483.0, 553.0]), (inside, 0.1, [24.5, 52.2, 124.4])):
        close(exact(x), rows, within=0.002, because="printed to three digits", source=source)
        close(found[at], exact(x), within=0.02, unit="K",
              because="a sample each 56 s; the step is spread over one of them", source=source)


# -- the second solver's walls, in cells and steps ---------------------------------------------


def bare(cells: int) -> referee.Walls:
    """0.4 m of brick in equal cells."""
    wall = brick_wall()
    with pytest.MonkeyPatch.context() as patch:
        for name in ("FINE", "MIDDLE", "COARSE"):
            patch.setattr(referee, name, 0.4 / cells)
        walls = referee.Walls([wall], [leaves_of(wall)])
    walls.set_properties([np.array([20.0, 20.0])])
    assert walls.n == cells
    return walls


def left_of_a_wave(cells: int, steps: int, two_stages: bool) -> float:
    """Half a cosine across a wall that nothing enters fades by exp(-(pi/L)^2 a t): share left."""
    walls, hours = bare(cells), 6.0
    step = hours * 3600.0 / steps
    shape = np.cos(pi * (np.arange(cells) + 0.5) / cells)
    t = shape[None].copy()
    stage = walls.stage(GAMMA * step if two_stages else step)

    def solved(x: Floats) -> Floats:
        return np.asarray(np.einsum("wij,wj->wi", stage.inverse, stage.store * x))

    for _ in range(steps):
        first = solved(t)
        t = solved(t + (1.0 - GAMMA) / GAMMA * (first - t)) if two_stages else first
    return float((t[0] @ shape) / (shape @ shape))


BRICK = 0.78 / (1760.0 * 800.0)
"""Of the second solver's brick at room temperature, m2/s."""


@pytest.mark.parametrize(("two_stages", "expected"), [(False, 1.0), (True, 2.0)])
def test_steps_of_the_second_solver(two_stages: bool, expected: float) -> None:
    values = [left_of_a_wave(100, n, two_stages) for n in (24, 48, 96)]
    close(order(values), expected, within=0.05, because="two doublings seen",
          source="implicit Euler 1; two-stage scheme of Alexander 2")  # fmt: skip


def test_cells_of_the_second_solver() -> None:
    values = [left_of_a_wave(n, 600, True) for n in (10, 20, 40)]
    close(order(values), 2.0, within=0.02, because="two doublings seen, next term n^-4",
          source="central differences on equal cells")  # fmt: skip
    limit = values[2] + (values[2] - values[1]) / 3.0
    close(limit, np.exp(-((pi / 0.4) ** 2) * BRICK * 6.0 * 3600.0), within=1e-4,
          because="extrapolated in cells; 600 steps leave 1e-6", source="fading cosine, exact")


# -- finite elements at an inner edge -----------------------------------------------------------


def test_elements_at_the_edge_of_a_corner() -> None:
    """At an edge of 270 degrees the field goes as r^(2/3): energy converges as h^(4/3), whatever
    the elements' own order."""
    values = [excess(0.4, 0.2, n) for n in (4, 8, 16)]
    close(order(values), 4.0 / 3.0, within=0.01, because="two doublings seen, smooth part h^4",
          source="singular solutions at re-entrant edges")  # fmt: skip
