"""Where in the cycle the gas is evaluated, and how what is found is carried to all samples."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from stovelint.heat.network import Drive

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

CALM, FEWEST_STEPS = 6, 27


def looked_at(drive: Drive) -> Ints:
    """Samples at which gas and films are evaluated: all while it burns, then ever fewer.

    After the fire everything fades smoothly, over hours; between two of these samples heat flows
    are taken as straight. Steps double after every CALM samples of a step, up to one part in
    FEWEST_STEPS of the cycle.
    """
    n = drive.samples
    flow = drive.flow_kg_s
    busy = drive.burning | (np.abs(flow - np.roll(flow, 1, axis=1)).max(axis=0) > 1e-9)
    last = int(np.flatnonzero(busy).max())
    chosen = list(range(last + 1))
    step, count, at = 1, 0, last
    while at + step < n:
        at += step
        chosen.append(at)
        count += 1
        if count == CALM and 2 * step <= n / FEWEST_STEPS:
            step, count = 2 * step, 0
    if chosen[-1] != n - 1:
        chosen.append(n - 1)
    return np.array(chosen)


def between_samples(chosen: Ints, samples: int) -> Floats:
    """Matrix (S, N) that carries values at the chosen samples to all, straight in between."""
    matrix = np.zeros((len(chosen), samples))
    for i, (low, high) in enumerate(zip(chosen, [*chosen[1:], chosen[0] + samples])):
        for at in range(low, high):
            share = (at - low) / (high - low)
            matrix[i, at % samples] += 1.0 - share
            matrix[(i + 1) % len(chosen), at % samples] += share
    return matrix


def at_samples(drive: Drive, chosen: Ints) -> Drive:
    """The same firing at the chosen samples only."""
    return replace(
        drive, heat_W=drive.heat_W[:, chosen], flow_kg_s=drive.flow_kg_s[:, chosen],
        air_ratio=drive.air_ratio[:, chosen], x_co2=drive.x_co2[:, chosen],
        x_h2o=drive.x_h2o[:, chosen], burning=drive.burning[chosen],
        flame_emissivity=drive.flame_emissivity[:, chosen],
    )  # fmt: skip
