"""Heat that a layer holds over its cycle, and the hours for which a heater gives heat."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from stovelint.heat.layers import harmonics_rad_s

if TYPE_CHECKING:
    from stovelint.heat.arrays import Floats


def mean_through_C(
    hot_C: Floats, cold_C: Floats, r_m2K_W: Floats, c_J_m2K: Floats, period_s: float
) -> Floats:
    """Mean temperature through a layer over one cycle, from the histories of its two faces.

    Per harmonic T = (t1 + t2) tanh(z / 2) / z with z = sqrt(i omega R C), the mean of the exact
    wave inside; 1/2 (t1 + t2) where nothing changes. Times C it is the heat the layer holds.

    Args:
        hot_C, cold_C: (members, samples) of one cycle, degC.
        r_m2K_W, c_J_m2K: (members,), resistance and heat capacity of the layer, > 0.
        period_s: s.

    Returns (members, samples). Exact for a homogeneous layer in a periodic regime.

    >>> steady = mean_through_C(np.full((1, 4), 90.0), np.full((1, 4), 50.0), np.ones(1),
    ...                         np.ones(1), 3600.0)
    >>> steady.tolist()
    [[70.0, 70.0, 70.0, 70.0]]
    """
    samples = hot_C.shape[1]
    omega = harmonics_rad_s(period_s, samples)
    z = np.sqrt(1j * omega * (r_m2K_W * c_J_m2K)[:, None])
    thin = np.abs(z) < 1e-4
    safe = np.where(thin, 1.0, z)
    share = np.where(thin, 0.5, np.tanh(0.5 * safe) / safe)
    waves = np.fft.rfft(hot_C + cold_C, axis=1)
    return np.asarray(np.fft.irfft(share * waves, n=samples, axis=1))


def hours_above_share(output_W: Floats, period_s: float, share: float) -> Floats:
    """Hours from the start of the cycle until the output, past its peak, falls below a share of it.

    Straight between samples. A case that does not fall so far before the next start, or only
    after it, counts as the whole cycle.

    Args:
        output_W: (members, samples) of one cycle that repeats; any unit.
        period_s: s.
        share: of the peak, 0 to 1.

    Returns (members,), h.

    >>> hours_above_share(np.array([[0.0, 8.0, 6.0, 2.0]]), 4 * 3600.0, 0.5).tolist()
    [2.5]
    """
    samples = output_W.shape[1]
    result = np.empty(output_W.shape[0])
    for i, row in enumerate(output_W):
        peak = int(np.argmax(row))
        level = share * row[peak]
        rest = np.append(row[peak:], row[0])
        below = np.flatnonzero(rest < level)
        if not below.size:
            result[i] = period_s
            continue
        after = int(below[0])
        part = (rest[after - 1] - level) / (rest[after - 1] - rest[after])
        result[i] = (peak + after - 1 + part) * period_s / samples
    return result / 3600.0
