"""Where in the cycle the gas is evaluated, and how what is found is carried to all samples."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from stovelint.heat.core import Core
from stovelint.heat.network import Drive, Network, Pocket, Share, Way

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


class Fill:
    """Carries values at the chosen samples (..., S) to all samples, straight in between.

    `mean` (S,): weights that give the mean over the cycle. `chosen` rises from the first sample;
    otherwise ValueError.
    """

    def __init__(self, chosen: Ints, samples: int) -> None:
        if chosen[0] != 0 or chosen[-1] >= samples or (np.diff(chosen) < 1).any():
            raise ValueError(f"chosen samples must rise from 0, below {samples}: {chosen.tolist()}")
        self.chosen, self.samples = chosen, samples
        matrix = between_samples(chosen, samples)
        self.mean: Floats = matrix.mean(axis=1)
        # the first samples are all looked at and need no sum
        gaps = np.flatnonzero(np.diff(chosen) > 1)
        self.dense = int(gaps[0]) + 1 if len(gaps) else len(chosen)
        if chosen[-1] < samples - 1:
            self.dense = 1  # the way back to the first sample needs that one in the sum
        self.between = np.ascontiguousarray(matrix[self.dense - 1 :, self.dense :])

    def all(self, values: Floats) -> Floats:
        """(..., S) -> (..., N)."""
        whole = np.empty((*values.shape[:-1], self.samples))
        whole[..., : self.dense] = values[..., : self.dense]
        if self.dense < self.samples:
            np.matmul(values[..., self.dense - 1 :], self.between, out=whole[..., self.dense :])
        return whole


def between_samples(chosen: Ints, samples: int) -> Floats:
    """Matrix (S, N) that carries values at the chosen samples to all, straight in between."""
    matrix = np.zeros((len(chosen), samples))
    for i, (low, high) in enumerate(zip(chosen, [*chosen[1:], chosen[0] + samples])):
        for at in range(low, high):
            share = (at - low) / (high - low)
            matrix[i, at % samples] += 1.0 - share
            matrix[(i + 1) % len(chosen), at % samples] += share
    return matrix


def some_members(drive: Drive, rows: Ints) -> Drive:
    """The same firing for these members only."""
    return replace(
        drive, heat_W=drive.heat_W[rows], flow_kg_s=drive.flow_kg_s[rows],
        air_ratio=drive.air_ratio[rows], x_co2=drive.x_co2[rows], x_h2o=drive.x_h2o[rows],
        flame_emissivity=drive.flame_emissivity[rows], riser_share=drive.riser_share[rows],
        film_factor=drive.film_factor[rows], room_film_factor=drive.room_film_factor[rows],
        jet_factor=drive.jet_factor[rows], peclet=drive.peclet[rows],
        entrainment=drive.entrainment[rows], still_exchange=drive.still_exchange[rows],
        room_C=drive.room_C[rows], outdoors_C=drive.outdoors_C[rows],
        ground_C=drive.ground_C[rows], flame_rays=drive.flame_rays[rows],
        plume_factor=drive.plume_factor[rows],
        core=None if drive.core is None else _core_of(drive.core, rows),
    )  # fmt: skip


def network_of(net: Network, rows: Ints) -> Network:
    """The same heater for these members only."""
    net = replace(net, face_emissivity=net.face_emissivity[rows])
    if net.way_flow.ndim == 1:
        return net
    return replace(
        net, way_flow=net.way_flow[:, rows], exits=_shares_of(net.exits, rows),
        ways=tuple(_way_of(way, rows) for way in net.ways),
    )  # fmt: skip


def _way_of(way: Way, rows: Ints) -> Way:
    if isinstance(way, Pocket):
        return way
    return replace(way, inlets=_shares_of(way.inlets, rows))


def _shares_of(
    shares: tuple[tuple[int, Share], ...], rows: Ints
) -> tuple[tuple[int, Share], ...]:
    return tuple(
        (index, share[rows] if isinstance(share, np.ndarray) else share) for index, share in shares
    )


def at_samples(drive: Drive, chosen: Ints) -> Drive:
    """The same firing at the chosen samples only."""
    return replace(
        drive, heat_W=seen_at(drive.heat_W, chosen), flow_kg_s=seen_at(drive.flow_kg_s, chosen),
        air_ratio=seen_at(drive.air_ratio, chosen), x_co2=seen_at(drive.x_co2, chosen),
        x_h2o=seen_at(drive.x_h2o, chosen), burning=drive.burning[chosen],
        flame_emissivity=seen_at(drive.flame_emissivity, chosen),
        core=None if drive.core is None else _core_at(drive.core, chosen),
    )  # fmt: skip


def seen_at(values: Floats, chosen: Ints) -> Floats:
    """Values (..., N) at the chosen samples, (..., S).

    With the samples side by side in memory: `values[..., chosen]` lays them furthest apart, which
    makes all that is reckoned with the result twice as slow.
    """
    return np.take(values, chosen, axis=-1)


def _core_of(core: Core, rows: Ints) -> Core:
    return replace(
        core, wall_C=core.wall_C[rows], exit_C=core.exit_C[rows], late=core.late[rows],
        gas=core.gas[rows], heat_W=core.heat_W[rows],
    )  # fmt: skip


def _core_at(core: Core, chosen: Ints) -> Core:
    mean = between_samples(chosen, core.late.shape[1]).mean(axis=1)
    return replace(
        core, late=seen_at(core.late, chosen), gas=seen_at(core.gas, chosen), weight=mean
    )
