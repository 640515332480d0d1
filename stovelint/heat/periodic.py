"""The periodic regime by harmonic balance: every face's history over one firing cycle.

Unknown: the temperature of every wall face and gas zone on N uniform samples of the cycle. One
pass takes the faces, marches the gas for all samples at once, forms the heat flow into every
face, writes it as a Robin condition with a film coefficient that is constant in time plus the
remainder as forcing, and lets the layered walls answer linearly, harmonic by harmonic. The passes
are accelerated (Anderson, per member) and repeated until no face moves by more than 0.1 K; members
that have come to rest long before are set down on the way. There is no loop over time and none
over members.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from stovelint.heat.gaspath import GasPass
from stovelint.heat.heater import STEEPER, State
from stovelint.heat.mixing import Secants
from stovelint.heat.network import GROUND, OUTDOORS, ROOM, Drive, Network
from stovelint.heat.passes import ENERGY_TOLERANCE, TOLERANCE_K, Passes

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]


@dataclass(frozen=True, kw_only=True, eq=False)
class Solution:
    """A converged cycle. Temperatures in degC, heat flow densities in W/m2 into the wall."""

    faces_C: Floats
    """(M, 2W, N)."""
    gas: GasPass
    q_W_m2: Floats
    """(M, 2W, N), per true area of the face."""
    r_m2K_W: Floats
    c_J_m2K: Floats
    """(M, layers), per hot-face area."""
    channel_W_m2: Floats
    """(M, W) mean heat that the air in each wall takes, per hot-face area."""
    branches: Floats
    """(M, 4, K) a, b, d (W/m2K, per hot-face area) and in_C of the channels."""
    outside_film_W_m2K: Floats
    """(M, 2W) mean over the cycle of the film each face sees."""
    passes: int
    change_K: float
    """The last pass's largest change of a face."""
    restless_face: int
    """The face, of 2W, that changed most, in the last pass whose changes were finite."""
    energy_gap: float
    """Largest of the members' heat that no account holds, over the heat released."""
    state: State
    """To start a case like this from; all N samples."""
    secants: Secants | None
    """To lend to a case like this."""

    @property
    def converged(self) -> bool:
        return self.change_K <= TOLERANCE_K and self.energy_gap <= ENERGY_TOLERANCE


def first_guess(net: Network, drive: Drive) -> State:
    """A lukewarm heater, so that the first films are of the right size."""
    m, n = drive.members, drive.samples
    faces = np.full((m, 2 * net.walls, n), 150.0)
    for ambient, value in (
        (ROOM, drive.room_C), (OUTDOORS, drive.outdoors_C), (GROUND, drive.ground_C)
    ):  # fmt: skip
        index = np.flatnonzero(net.face_zone == ambient)
        faces[:, index] = value[:, :, None] + (15.0 if ambient != GROUND else 0.0)
    fire = drive.heat_W / np.maximum(drive.heat_W.max(axis=1, keepdims=True), 1e-9)
    rise = 350.0 + 400.0 * net.zone_flame
    return State(faces, 150.0 + rise[:, None] * fire[:, None], None)


def solve(
    net: Network, drive: Drive, start: State | None = None, *, lent: Secants | None = None,
    chosen: Ints | None = None, enough_K: float = TOLERANCE_K,
) -> Solution:  # fmt: skip
    """Find the periodic regime. `start` (the `state` of one case like these, or of each of them)
    and `lent` (the `secants` of one) shorten the way.

    Args: `chosen` the samples at which the gas is evaluated, instead of those the drive asks for,
    rising from the first sample (otherwise ValueError);
    `enough_K` the change at which to stop. More than TOLERANCE_K will do for a solution that only
    lends its state and secants; `converged` is then False.

    Does not raise on failure: look at `converged`. Deterministic: fixed order, no random state.
    """
    near = start is not None
    passes = Passes(net, drive, start or first_guess(net, drive), lent, chosen, near=near)
    count, change_K = passes.run(enough_K)
    found = passes.found()
    return Solution(
        faces_C=found.faces_C, gas=found.gas, q_W_m2=found.q_W_m2, r_m2K_W=found.r_m2K_W,
        c_J_m2K=found.c_J_m2K, channel_W_m2=found.channel_W_m2, branches=found.branches,
        outside_film_W_m2K=found.film_W_m2K / STEEPER, passes=count,
        change_K=change_K, restless_face=passes.restless, energy_gap=float(found.energy_gap.max()),
        state=State(found.faces_C, found.gas.t_C, found.irradiation), secants=passes.secants(),
    )  # fmt: skip
