"""View factors inside an upright chamber cut into horizontal bands.

The chamber is taken as a cylinder of equal hydraulic radius, for which exchange between bands and
ends is exact: with F(d) the view factor between two equal coaxial disks a distance d apart,

    F(d) = (X - sqrt(X^2 - 4)) / 2,   X = 2 + (d/r)^2

all band factors follow by view-factor algebra (standard configuration, e.g. Incropera Table 13.2;
recalled, and checked in the tests by reciprocity, closure and limits).
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]


def disk_view_factor(distance_m: Floats, radius_m: float) -> Floats:
    """View factor between equal coaxial disks. `distance_m` any shape, >= 0; 1 at contact.

    >>> float(disk_view_factor(np.array(1.0), 1.0).round(4))
    0.382
    """
    x = 2.0 + (np.asarray(distance_m) / radius_m) ** 2
    return np.asarray(0.5 * (x - np.sqrt(x * x - 4.0)), dtype=np.float64)


def band_exchange(edges_m: Floats, radius_m: float, areas_m2: Floats) -> Floats:
    """Share of the radiation that leaves zone i (row) and meets zone j (column).

    Zones from the top: ceiling disk, the bands between consecutive `edges_m` (descending
    elevations, shape (bands + 1,)), floor disk. `areas_m2` shape (bands + 2,): the true wetted
    areas of the zones, which need not be those of the cylinder (a core may stand in the bell).
    Returns shape (bands + 2, bands + 2); rows sum to 1 and areas_i x_ij = areas_j x_ji.

    The cylinder's own factors are scaled symmetrically to the true areas, so that both rules hold
    exactly whatever the areas are. An area of zero takes no part.
    """
    heights = edges_m[0] - edges_m
    disk = np.pi * radius_m**2
    cumulative = disk_view_factor(np.abs(heights[:, None] - heights[None, :]), radius_m)
    count = len(edges_m) - 1
    flows = np.zeros((count + 2, count + 2))
    # disk to band: what passes its near edge but not its far edge
    flows[0, 1:-1] = disk * (cumulative[0, :-1] - cumulative[0, 1:])
    flows[-1, 1:-1] = disk * (cumulative[-1, 1:] - cumulative[-1, :-1])
    flows[1:-1, 0], flows[1:-1, -1] = flows[0, 1:-1], flows[-1, 1:-1]
    flows[0, -1] = flows[-1, 0] = disk * cumulative[0, -1]
    for i in range(count):
        for j in range(i + 1, count):
            flows[i + 1, j + 1] = flows[j + 1, i + 1] = disk * (
                cumulative[i + 1, j] - cumulative[i + 1, j + 1]
                - cumulative[i, j] + cumulative[i, j + 1]
            )  # fmt: skip
        side = 2.0 * np.pi * radius_m * (heights[i + 1] - heights[i])
        flows[i + 1, i + 1] = side - 2.0 * disk * (1.0 - cumulative[i, i + 1])
    return symmetric_shares(flows, areas_m2)


def symmetric_shares(flows_m2: Floats, areas_m2: Floats) -> Floats:
    """Scale a symmetric exchange-area matrix so that its rows sum to `areas_m2`; return shares.

    The scaling D F D keeps symmetry (reciprocity) exact and is repeated until the rows close to
    1e-12; the last rest goes on the diagonal, so a zone sees itself and no energy is made. Areas
    that no exchange can fill (a ceiling larger than all it sees) cannot close: every exchange is
    then cut down until no zone gives more than it has.
    """
    live = areas_m2 > 0.0
    live &= (flows_m2 @ live) > 0.0  # what sees nothing that takes part sees itself
    shares = np.eye(len(areas_m2))
    if not live.any():
        return shares
    flows = flows_m2[np.ix_(live, live)]
    areas = areas_m2[live]
    scale = np.sqrt(areas / flows.sum(axis=1))
    for _ in range(200):
        rows = scale * (flows @ scale)
        scale = scale * np.sqrt(areas / rows)
        if np.abs(rows / areas - 1.0).max() < 1e-12:
            break
    exchange = scale[:, None] * flows * scale[None, :]
    fits = np.minimum(areas / exchange.sum(axis=1), 1.0)
    exchange *= np.minimum(fits[:, None], fits[None, :])
    exchange[np.diag_indices_from(exchange)] += areas - exchange.sum(axis=1)
    index = np.flatnonzero(live)
    shares[np.ix_(index, index)] = exchange / areas[:, None]
    return shares
