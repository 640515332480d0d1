"""What the rules see of the heat: ranges over the 32 cases, never a bare best guess."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property
from typing import Callable, Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from stovelint.build import FiringState, Layer
from stovelint.place import Path

Floats = NDArray[np.float64]


WARM_BIAS = 0.2
"""The model's own error that no input covers: chambers of open experiments with a fire in them
stayed cooler than the coolest case computed, by up to a fifth of the rise (computed,
`tests/experiments`). The low end of a range is let down by that much; what counts against a limit
is not."""


def let_down(low: Floats, over: Floats | float) -> Floats:
    """The coolest that a value may be, with what the model itself is known to err.

    over + (1 - WARM_BIAS) (low - over), where low is above. `low` (members,), `over` what its rise
    counts from, broadcast; same unit.

    >>> let_down(np.array([120.0, 10.0]), 20.0).tolist()
    [100.0, 10.0]
    """
    return np.asarray(low - WARM_BIAS * np.maximum(low - over, 0.0))


@dataclass(frozen=True, kw_only=True, eq=False)
class Spread:
    """One quantity over the ensemble.

    `values`: shape (members,), the unfavourable (hotter) value of each case; `floor`: the same
    shape, the lower envelope where two damper states were run, otherwise equal to `values`; `over`
    (members,) or one number: what a rise counts from, None for what is no temperature.
    """

    values: Floats
    floor: Floats
    over: Floats | float | None = None

    @property
    def low(self) -> float:
        """Lowest of all cases; for a temperature let down by the model's own error."""
        if self.over is None:
            return float(self.floor.min())
        return float(let_down(self.floor, self.over).min())

    @property
    def mid(self) -> float:
        ordered = np.sort(self.values)  # np.median would import masked arrays
        half = self.values.size // 2
        return float(0.5 * (ordered[half] + ordered[-1 - half]))

    @property
    def high(self) -> float:
        return float(self.values.max())

    def cases_above(self, limit: float) -> int:
        """How many of the cases are past the limit (strictly above)."""
        return int(np.count_nonzero(self.values > limit))

    @property
    def cases(self) -> int:
        return int(self.values.size)


@dataclass(frozen=True, kw_only=True, eq=False)
class DepthHeat:
    """The cycle at one depth of a patch: all degC, except swing (K) and time (s)."""

    depth_m: float
    """From the hot face of the whole part."""
    peak_C: Spread
    mean_C: Spread
    swing_K: Spread
    peak_at_s: float
    """When the median case peaks, from the light of the first load."""


@dataclass(frozen=True, kw_only=True, eq=False)
class PieceHeat:
    """One layer as a piece of stone or casting feels it."""

    through_K: Spread
    """Largest difference between its two faces at one time."""
    rise_K: Spread
    """Largest rise of its hot face within a quarter of an hour."""
    middle_C: tuple[Floats, ...]
    """History halfway through it, (members, samples); one for each damper state that was run."""


@dataclass(frozen=True, kw_only=True, eq=False)
class BodyHeat:
    """One layer of one patch as a body that is heavy, holds heat and grows."""

    volume_m3: float
    """Of its solid matter: corners in full, no cores, no air."""
    mean_C: tuple[Floats, ...]
    """History of its mean through the thickness, (members, samples); one for each damper state."""
    held_J: tuple[Floats, ...]
    """Heat in it over the room, likewise."""
    period_s: float


HOT_ZONE_M = 0.010
"""How deep under its hot face a layer is judged: what a mason calls the hot face of a block."""


@dataclass(frozen=True, kw_only=True, eq=False)
class LayerHeat:
    """One layer of one patch. What is derived is made when first asked for; most never is."""

    layer: Layer
    thickness_m: float
    """As it is built here: a soft layer is thinner under a bearing than drawn."""
    at: Callable[[float], DepthHeat]
    """The cycle at a depth (m) below the hot face of this layer, 0 to its thickness."""
    piece: Callable[[], PieceHeat]
    body: Callable[[], BodyHeat]
    history: Callable[[float], tuple[Floats, ...]]
    """Depth (m) -> degC over the cycle, (members, samples); one for each damper state."""
    hours_above: Callable[[float, float], Spread]
    """(depth m below its hot face, degC) -> hours in one firing cycle."""
    judged: Callable[[], tuple[str | None, tuple[str, ...]]]
    """-> (why its temperatures must not be judged, sentences on tables that were left)."""

    @cached_property
    def hot(self) -> DepthHeat:
        return self.at(0.0)

    @cached_property
    def hot_zone(self) -> DepthHeat:
        """10 mm below the hot face, or the middle of a thinner layer."""
        return self.at(self._zone_m)

    @cached_property
    def middle(self) -> DepthHeat:
        return self.at(0.5 * self.thickness_m)

    @cached_property
    def cold(self) -> DepthHeat:
        return self.at(self.thickness_m)

    @cached_property
    def hours_above_121_C(self) -> Spread:
        """At `hot_zone`, hours in one firing cycle."""
        return self.hours_above(self._zone_m, 121.0)

    @cached_property
    def unjudged(self) -> str | None:
        """Why this layer's temperatures must not be judged (a property missing), or None."""
        return self.judged()[0]

    @cached_property
    def beyond_table(self) -> tuple[str, ...]:
        """Sentences that name each property used outside its table, and how."""
        return self.judged()[1]

    @property
    def _zone_m(self) -> float:
        return min(HOT_ZONE_M, 0.5 * self.thickness_m)


@dataclass(frozen=True, kw_only=True, eq=False)
class PatchHeat:
    """A piece of a part that sees like conditions."""

    part: str
    chamber: str
    """The chamber (or `riser jet`) on its hot side."""
    where: str
    """For people: `course 3`, `0.40 to 0.80 m`, `span`, `bearing edge`, `under firebox` ..."""
    from_m: float
    to_m: float
    along_m: tuple[float, float] | None
    """Where it lies along a lying chamber; None in upright ones."""
    area_m2: float
    """Hot-face area, m2; heat that enters per cycle follows from `heat_in_kWh`."""
    heat_in_kWh: Spread
    layers: Sequence[LayerHeat]


@dataclass(frozen=True, kw_only=True, eq=False)
class CombustibleHeat:
    """The first combustible of one surrounding, as warmed by one part that it can see."""

    surrounding: str
    seen_part: str
    seen_where: str
    layer: Layer
    covered: bool
    """Another layer lies over it, or the gap is closed or filled."""
    surface_peak_C: Spread
    """Surface of the surrounding's first layer that faces the heater."""
    surface_mean_C: Spread
    peak_C: Spread
    """At the combustible itself."""
    mean_C: Spread
    skin_peak_C: Spread
    """The heater's own skin opposite to it."""
    skin_mean_C: Spread


@dataclass(frozen=True, kw_only=True, slots=True)
class Unsolved:
    """A part, surrounding or whole plan whose heat could not be computed, and the line to add."""

    path: Path
    subject: str
    reason: str
    remedy: str
    state: FiringState | None = None
    """A firing state of which nothing could be computed; None: what the subject names."""


@dataclass(frozen=True, kw_only=True, eq=False)
class OutputHeat:
    """Heat that leaves the faces to the room over the cycle, (members, samples), W."""

    masonry_W: Floats
    openings_W: Floats
    """Through doors and glass."""


@dataclass(frozen=True, kw_only=True, eq=False)
class CycleHeat:
    """One firing state, solved."""

    state: FiringState
    period_s: float
    burn_s: float
    patches: tuple[PatchHeat, ...]
    combustibles: Sequence[CombustibleHeat]
    chamber_peak_C: Mapping[str, Spread]
    """Gas of each chamber (hottest band), peak over the cycle."""
    exit_burn_mean_C: Spread
    released_kWh: Spread
    to_room_share: Spread
    energy_gap: float
    """Heat released minus heat accounted for, over heat released; the worst case."""
    way_shares: Mapping[tuple[str, str], Spread] = field(default_factory=dict)
    """(chamber, where to) of each way at a split that the plan leaves to the gas: share of the
    chamber's gas."""
    output: Callable[[], tuple[OutputHeat, ...]]
    """What the room gets over the cycle; one for each damper state."""

    def of_part(self, name: str) -> tuple[PatchHeat, ...]:
        """The patches of one part, lowest first."""
        return tuple(p for p in self.patches if p.part == name)


@dataclass(frozen=True, kw_only=True, eq=False)
class HotMap:
    """The heat of the whole plan: one solved cycle per firing state asked for."""

    cycles: Mapping[FiringState, CycleHeat]
    unsolved: tuple[Unsolved, ...]
    assumptions: tuple[str, ...]
    """Sentences for people: what was assumed because the file did not say."""
