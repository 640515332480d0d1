"""A stretch of wall beside others under the same gas, against the same wall solved by itself."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray

from stovelint.heat.beside import beside_C
from stovelint.heat.layers import Admittance, chain, harmonics_rad_s, layer_admittance
from tests.heat.close import close

Floats = NDArray[np.float64]
DAY_s, SAMPLES = 86400.0, 128


def wall(thickness_m: float, k: float, members: int = 2) -> Admittance:
    omega = harmonics_rad_s(DAY_s, SAMPLES)
    r, c = np.full(members, thickness_m / k), np.full(members, 1.9e6 * thickness_m)
    return chain([layer_admittance(part * r, part * c, omega) for part in (0.4, 0.6)])


def in_time(part: NDArray[np.complex128]) -> Floats:
    """The matrix (N, N) that answers a history as a harmonic row does."""
    kernel = np.fft.irfft(part, n=SAMPLES)
    index = np.arange(SAMPLES)
    return np.asarray(kernel[(index[:, None] - index) % SAMPLES])


def solved(of: Admittance, drive: Floats, slope: Floats, ratio: float) -> Floats:
    """Faces (2, N) of one wall between q = slope (drive - T), by one dense system in time."""
    a, b, d = (in_time(part[0].astype(np.complex128)) for part in of)
    n = SAMPLES
    whole = np.zeros((2 * n, 2 * n))
    whole[:n, :n], whole[:n, n:] = a + np.diag(slope[0]), -b
    whole[n:, :n], whole[n:, n:] = -b, d + ratio * np.diag(slope[1])
    right = np.concatenate([slope[0] * drive[0], ratio * slope[1] * drive[1]])
    return np.asarray(np.linalg.solve(whole, right).reshape(2, n))


def gas(burn: Floats) -> tuple[Floats, Floats]:
    """What drives the faces (degC) and their films (W/m2K), (2, N)."""
    drive = np.stack([120.0 + 780.0 * burn, np.full(SAMPLES, 20.0)])
    slope = np.stack([18.0 + 190.0 * burn, np.full(SAMPLES, 11.0)])
    return drive, slope


BURN = np.exp(-0.5 * ((np.arange(SAMPLES) - 12.0) / 4.0) ** 2)


@pytest.mark.parametrize("thickness", [0.06, 0.12, 0.23])
def test_a_thinner_stretch(thickness: float) -> None:
    """The whole is a wall that widens (k a seventh more, cold face a fifth larger); the stretch is
    the plain one. The film varies tenfold over the day."""
    drive, slope = gas(BURN)
    whole = solved(wall(thickness, 1.03), drive, slope, 1.2)
    stretch = solved(wall(thickness, 0.9), drive, slope, 1.0)
    q = slope * (drive - whole)
    pair = [np.stack([x, x]) for x in (whole, q, slope)]
    found = beside_C(wall(thickness, 0.9), *pair)
    assert np.abs(stretch - whole).max() > 5.0
    close(found[0], stretch, within=0.6, unit="K", because="a difference of up to 20 K, sought in "
          "five directions", source="dense system in time, exact for the same films")  # fmt: skip
    # where the film is even over the cycle nothing is left to seek
    level = np.stack([np.full(SAMPLES, 40.0), slope[1]])
    even = solved(wall(thickness, 1.03), drive, level, 1.2)
    pair = [np.stack([x, x]) for x in (even, level * (drive - even), level)]
    close(beside_C(wall(thickness, 0.9), *pair)[0], solved(wall(thickness, 0.9), drive, level, 1.0),
          within=0.01, unit="K", because="the fastest harmonic's phase, taken away in one",
          source="dense system in time")  # fmt: skip
    close(found[1], found[0], within=1e-9, unit="K", because="members alike, only rounding",
          source="the other member")  # fmt: skip


def test_steady() -> None:
    """Constant gas: the flat wall by hand."""
    drive, slope = gas(np.full(SAMPLES, 0.5))
    whole = solved(wall(0.1, 1.0), drive, slope, 1.5)
    pair = [np.stack([x, x]) for x in (whole, slope * (drive - whole), slope)]
    found = beside_C(wall(0.1, 0.7), *pair)
    flow = (510.0 - 20.0) / (1 / 113.0 + 0.1 / 0.7 + 1 / 11.0)
    close(found[0, 0], np.full(SAMPLES, 510.0 - flow / 113.0), within=1e-6, unit="K",
          because="linear, only rounding", source="three resistances in a row")  # fmt: skip
    close(found[0, 1], np.full(SAMPLES, 20.0 + flow / 11.0), within=1e-6, unit="K",
          because="linear, only rounding", source="three resistances in a row")  # fmt: skip


def test_a_stretch_like_the_whole() -> None:
    drive, slope = gas(BURN)
    whole = solved(wall(0.1, 0.7), drive, slope, 1.0)
    pair = [np.stack([x, x]) for x in (whole, slope * (drive - whole), slope)]
    close(beside_C(wall(0.1, 0.7), *pair)[0], whole, within=0.01, unit="K",
          because="the fastest harmonic's phase, taken away in one",
          source="the whole itself")  # fmt: skip


def test_no_difference_at_all() -> None:
    """A cold wall in a cold room, and one member hot beside it: each is answered by itself."""
    drive, slope = gas(BURN)
    whole = solved(wall(0.1, 1.03), drive, slope, 1.2)
    cold = np.zeros((2, SAMPLES))
    found = beside_C(
        wall(0.1, 0.9), np.stack([cold, whole]), np.stack([cold, slope * (drive - whole)]),
        np.stack([slope, slope]),
    )
    assert not found[0].any()
    close(found[1], solved(wall(0.1, 0.9), drive, slope, 1.0), within=0.6, unit="K",
          because="sought in five directions", source="dense system in time")  # fmt: skip
