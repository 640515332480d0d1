"""The periodic regime by harmonic balance: every face's history over one firing cycle.

Unknown: the temperature of every wall face and gas zone on N uniform samples of the cycle. One
pass takes the faces, marches the gas for all samples at once, forms the heat flow into every
face, writes it as a Robin condition with a film coefficient that is constant in time plus the
remainder as forcing, and lets the layered walls answer linearly, harmonic by harmonic. The passes
are accelerated (Anderson, per member) and repeated until no face moves by more than 0.1 K.
There is no loop over time and none over members.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from stovelint.heat.gaspath import GasPass
from stovelint.heat.heater import STEEPER, Heater, State
from stovelint.heat.layers import harmonics_rad_s
from stovelint.heat.mixing import Mixer
from stovelint.heat.network import GROUND, OUTDOORS, ROOM, Drive, Network
from stovelint.heat.sampling import at_samples, between_samples, looked_at
from stovelint.heat.stiff import Correction
from stovelint.heat.walls import Walls

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

TOLERANCE_K = 0.1
ENERGY_TOLERANCE = 8e-4
CORRECTIONS = 3
SETTLED_K = (np.inf, 20.0, 3.0)
RENEW_BELOW_K, DRIFT_K = 1.0, 1.0
"""Properties are renewed near the end when a face's mean has drifted this far since the last time:
conductivities move by at most 0.2 % per kelvin."""
FIRST_MARGIN, MARGIN = 1.5, 1.1
"""On the films the correction is made for: too high converges slowly, too low not at all."""
MOST_PASSES = 120


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
    outside_film_W_m2K: Floats
    """(M, 2W) mean over the cycle of the film each face sees."""
    passes: int
    change_K: float
    """The last pass's largest change of a face."""
    energy_gap: float
    """Largest of the members' heat that no account holds, over the heat released."""
    state: State
    """To start a case like this from; all N samples."""

    @property
    def converged(self) -> bool:
        return self.change_K <= TOLERANCE_K and self.energy_gap <= ENERGY_TOLERANCE


def first_guess(net: Network, drive: Drive, chosen: Ints) -> State:
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
    zones = 150.0 + rise[:, None] * fire[:, None, chosen]
    return State(faces, zones, None)


def solve(net: Network, drive: Drive, start: State | None = None) -> Solution:
    """Find the periodic regime. `start` (the `state` of one case like these, or of each of them)
    shortens the way.

    Does not raise on failure: look at `converged`. Deterministic: fixed order, no random state.
    """
    m, n, w = drive.members, drive.samples, net.walls
    chosen = looked_at(drive)
    fill = between_samples(chosen, n)
    heater = Heater(net, at_samples(drive, chosen))
    walls = Walls(net, harmonics_rad_s(drive.period_s, n))
    if start is None:
        state = first_guess(net, drive, chosen)
    else:
        faces, zones, rays = start
        assert rays is not None  # a solution's state has them
        each = m if faces.shape[0] == 1 else 1
        state = State(
            np.repeat(faces, each, axis=0), np.repeat(zones[..., chosen], each, axis=0),
            np.repeat(rays[..., chosen], each, axis=0),
        )  # fmt: skip
    mixer = Mixer(2 * w, chosen)
    renewals, change, passes, gap = 0, np.inf, 0, np.inf
    q = films = state.faces_C
    for passes in range(1, MOST_PASSES + 1):
        seen = State(state.faces_C[..., chosen], state.zones_C, state.irradiation)
        q_seen, gas, irradiation, films = heater.evaluate(seen)
        q = q_seen @ fill
        mean = state.faces_C.mean(axis=-1)
        if renewals == 0 or (
            renewals < CORRECTIONS and (change < SETTLED_K[renewals] or passes == 4 * renewals)
        ):
            rest = State(seen.faces_C, gas.t_C, irradiation)
            walls.renew(mean, (films @ fill).mean(axis=-1))
            calm = renewals > 0 or start is not None
            fix = _correction(
                heater, walls, rest, films, chosen, fill, MARGIN if calm else FIRST_MARGIN,
                closed=calm,
            )  # fmt: skip
            renewals += 1
            mixer.forget()
        elif change < RENEW_BELOW_K and np.abs(mean - walls.mean_C).max() > DRIFT_K:
            walls.renew(mean, walls.film)
            mixer.forget()
        moved = walls.answer(state.faces_C, q) - state.faces_C
        fix.apply(moved)
        change = float(np.abs(moved).max())
        if not np.isfinite(change):
            break
        faces = state.faces_C + moved
        if change <= TOLERANCE_K and np.abs(mean - walls.mean_C).max() <= DRIFT_K:
            gap = float(energy_gap(net, drive, q, gas.exit_W @ fill).max())
            if gap <= ENERGY_TOLERANCE:
                state = State(faces, gas.t_C, irradiation)
                break
        state = State(*mixer.next(state.faces_C, faces, gas.t_C), irradiation)
    whole = GasPass(t_C=gas.t_C @ fill, exit_C=gas.exit_C @ fill, exit_W=gas.exit_W @ fill)
    rays = irradiation @ fill
    return Solution(
        faces_C=state.faces_C, gas=whole, q_W_m2=q, r_m2K_W=walls.r, c_J_m2K=walls.c,
        outside_film_W_m2K=(films @ fill).mean(axis=-1) / STEEPER, passes=passes, change_K=change,
        energy_gap=gap, state=State(state.faces_C, whole.t_C, rays),
    )  # fmt: skip


def energy_gap(net: Network, drive: Drive, q_W_m2: Floats, exit_W: Floats) -> Floats:
    """Heat released less heat that left through faces and chimney, over heat released, (M,)."""
    released = drive.heat_W.mean(axis=1)
    left = net.face_zone < 0
    lost = -(q_W_m2[:, left].mean(axis=2) * net.face_area_m2[left]).sum(axis=1)
    return np.asarray(np.abs(released - lost - exit_W.mean(axis=1)) / released)


def _correction(
    heater: Heater, walls: Walls, rest: State, films: Floats, chosen: Ints, fill: Floats,
    margin: float, *, closed: bool,
) -> Correction:  # fmt: skip
    return Correction(
        walls.wall, walls.film, walls.ratio, margin * (films.max(axis=0) @ fill),
        heater.groups(rest, films) if closed else [], chosen, fill,
    )  # fmt: skip
