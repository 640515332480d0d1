"""The middle of a flat side: hotter than the wall as a whole, whose corners stay cool.

A patch stands for a stretch of wall with its share of the chamber's corners, so that its heat is
right; the faces it is solved with lie between those of the corners and those of the middle of a
side, whose rise over the room is up to 13 % more. What is told of a wall are the temperatures in
the middle of its sides: the layers without any widening, under the same gas and rays as the whole
(`heat.beside`). Where walls are thick and sides short the corners are felt there too; that part of
the difference is given back, in the mean only, for swings do not reach so far (`heat.corner`). No
patch is added for it, and it is found only where it is asked for.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from stovelint.heat.beside import beside_C
from stovelint.heat.corner import felt_at_middle
from stovelint.heat.heater import STEEPER
from stovelint.heat.layers import Admittance, chain, layer_admittance
from stovelint.heat.radiation import SIGMA
from stovelint.hotmap.profile import Profile, Slice

if TYPE_CHECKING:
    from stovelint.hotmap.layerheat import Run

Floats = NDArray[np.float64]


PROPERTY_ROUNDS = 2
"""In which the layers' properties follow their own means; the last moves them by some 0.1 %."""


class Middle(Profile):
    """The inside of a flat side; it is found when it is first asked for."""

    def __init__(self, whole: Profile, run: Run, index: int, half_side: float) -> None:
        """`whole`: the patch as it was solved; `index`: of it in the network; `half_side`: half of
        the chamber's inner side over the thickness."""
        self.period_s, self.room_C, self.samples = whole.period_s, whole.room_C, whole.samples
        self.omega, self.end_m = whole.omega, whole.end_m
        self._whole, self._run, self._index, self._half_side = whole, run, index, half_side
        self._pair = [index, run.net.walls + index]
        self._told: dict[float, Floats] = {}

    def at(self, depth_m: float) -> Floats:
        """History at a depth from the hot face, (members, samples)."""
        key = round(depth_m, 9)
        if key not in self._told:
            flat = self._flat.at(depth_m)
            lead = flat.mean(axis=1) - self._whole.mean_at(depth_m)
            self._told[key] = flat - (self._felt * lead)[:, None]
        return self._told[key]

    def mean_at(self, depth_m: float) -> Floats:
        """Mean over the cycle at a depth, (members,)."""
        flat = self._flat.mean_at(depth_m)
        return flat - self._felt * (flat - self._whole.mean_at(depth_m))

    @property
    def slices(self) -> list[Slice]:  # type: ignore[override]
        return self._flat.slices

    @property
    def hot_C(self) -> Floats:  # type: ignore[override]
        return self.at(0.0)

    @property
    def cold_C(self) -> Floats:  # type: ignore[override]
        return self.at(self.end_m)

    @cached_property
    def _flat(self) -> Profile:
        """Straight layers, with properties at the means that they come to by themselves."""
        properties, rows = self._run.properties, self._run.net.layers[self._index]
        found = [
            replace(s, r_m2K_W=s.r_m2K_W * properties.rows[row].growth,
                    c_J_m2K=s.c_J_m2K / properties.rows[row].holds)
            for s, row in zip(self._whole.slices, rows)
        ]  # fmt: skip
        hot, cold = self._faces(self._layers_of(found)).mean(axis=-1).T
        for _ in range(PROPERTY_ROUNDS):
            passed = np.cumsum([np.zeros_like(hot), *(s.r_m2K_W for s in found)], axis=0)
            planes = hot + (cold - hot) * passed / passed[-1]
            parts = [properties.leaf(row, *planes[i : i + 2]) for i, row in enumerate(rows)]
            found = [replace(s, r_m2K_W=r, c_J_m2K=c) for s, (r, c) in zip(found, parts)]
        layers = self._layers_of(found)
        faces = self._faces(layers)
        return Profile(
            found, faces[:, 0].copy(), faces[:, 1].copy(), self.period_s, self.room_C, layers
        )

    @cached_property
    def _felt(self) -> Floats:
        """How much of what the flat wall is hotter than the whole the corners take, (members,)."""
        through = np.sum([s.r_m2K_W for s in self._flat.slices], axis=0)
        hot, cold = (self._slope.mean(axis=-1) * through[:, None]).T
        return felt_at_middle(hot, cold, self._half_side)

    def _layers_of(self, slices: list[Slice]) -> list[Admittance]:
        return [layer_admittance(s.r_m2K_W, s.c_J_m2K, self.omega) for s in slices]

    def _faces(self, layers: list[Admittance]) -> Floats:
        """(M, 2, N), degC."""
        solution, pair = self._run.solution, self._pair
        return beside_C(chain(layers), solution.faces_C[:, pair], solution.q_W_m2[:, pair], self._slope)

    @cached_property
    def _slope(self) -> Floats:
        return _slope_W_m2K(self._run, self._pair, self._run.solution.faces_C[:, self._pair])


def _slope_W_m2K(run: Run, pair: list[int], faces_C: Floats) -> Floats:
    """dq/dT of the faces over the cycle, (M, 2, N).

    Known is its mean. In it the rays vary most, with the third power of the face's temperature;
    the air's part is taken as even over the cycle.
    """
    mean = STEEPER * run.solution.outside_film_W_m2K[:, pair, None]
    rays = 4.0 * SIGMA * run.net.face_emissivity[:, pair, None] * (faces_C + 273.15) ** 3
    inside = (run.net.face_zone[pair] >= 0)[:, None]
    return np.where(inside, np.maximum(mean - rays.mean(axis=-1, keepdims=True), 0.5) + rays, mean)
