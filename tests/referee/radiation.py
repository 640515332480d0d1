"""View factors within a bell, and exchange of radiation through absorbing gas.

A bell is taken as the cylinder of equal volume and side area. Between coaxial equal disks a
distance d apart the view factor is F = 1 + (s - sqrt(s^2 + 4 s))/2 with s = (d/r)^2 (Incropera,
Table 13.2, recalled); bands and ends follow, since all that passes from disk to disk passes
through what lies between. The exchange areas are then scaled symmetrically to the true areas.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]


def disk_to_disk(distance: Floats, radius: float) -> Floats:
    s = (distance / radius) ** 2
    return np.asarray(1.0 + 0.5 * (s - np.sqrt(s * s + 4.0 * s)))


def bell_exchange(
    edges: Floats, radius: float, bands: Floats, ceiling: float, floor: float
) -> Floats:
    """Exchange areas between the zones of a bell (n, n), m2; rows sum to the zones' areas.

    `edges` (n + 1,) elevations from the top; `bands` (n,) wetted side areas; the ceiling belongs
    to the first zone, the floor to the last.
    """
    n = len(bands)
    passed = np.pi * radius**2 * disk_to_disk(np.abs(edges[:, None] - edges[None, :]), radius)
    # Take the disks at the two ends as surfaces of their own: ceiling, bands, floor.
    raw = np.zeros((n + 2, n + 2))
    raw[1:-1, 1:-1] = -np.diff(np.diff(passed, axis=0), axis=1)
    raw[range(1, n + 1), range(1, n + 1)] += 2.0 * np.pi * radius * -np.diff(edges)
    raw[0, 1:-1] = raw[1:-1, 0] = -np.diff(passed[0])
    raw[-1, 1:-1] = raw[1:-1, -1] = np.diff(passed[-1])
    raw[0, -1] = raw[-1, 0] = passed[0, -1]
    areas = np.concatenate([[ceiling], bands, [floor]])
    live = np.flatnonzero(areas > 1e-12)
    exchange = np.zeros_like(raw)
    exchange[np.ix_(live, live)] = scaled(raw[np.ix_(live, live)], areas[live])
    join = np.zeros((n, n + 2))
    join[0, 0] = join[n - 1, n + 1] = 1.0
    join[range(n), range(1, n + 1)] = 1.0
    return np.asarray(join @ exchange @ join.T)


def scaled(raw: Floats, areas: Floats) -> Floats:
    """d_i raw_ij d_j with rows that sum to `areas`."""
    d = np.sqrt(areas / raw.sum(axis=1))
    for _ in range(5000):
        d = np.sqrt(d * areas / (raw @ d))
    result = d[:, None] * raw * d[None, :]
    left = areas - result.sum(axis=1)
    assert np.abs(left).max() < 1e-6 * areas.max(), "a face of this bell sees too little"
    return np.asarray(result + np.diag(left))


def irradiation(
    shares: Floats, emitted: Floats, reflectance: Floats, own: Floats, absorptivity: Floats
) -> tuple[Floats, Floats]:
    """What falls on the zones' faces, and what of it came from faces before the gas took its part,
    both W/m2 (n,), all reflections summed: J = emitted + reflectance (own + (1 - a) shares J)."""
    through = 1.0 - absorptivity
    system = np.eye(len(emitted)) - (reflectance * through)[:, None] * shares
    radiosity = np.linalg.solve(system, emitted + reflectance * own)
    arriving = shares @ radiosity
    return own + through * arriving, arriving
