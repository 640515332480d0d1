"""The heater as arrays: gas zones, wall faces, and the ways of the gas. No names, no files.

Indices: zones 0..Z-1 are gas volumes; walls 0..W-1 each have a hot face w and a cold face W + w,
so faces run 0..2W-1. A face looks at a zone (index >= 0) or at one of the fixed surroundings
(ROOM, OUTDOORS, GROUND). Arrays that depend on the case have a leading axis of M members.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Callable, Literal

import numpy as np
from numpy.typing import NDArray

from stovelint.heat.branches import Channels
from stovelint.heat.core import Core

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

ROOM, OUTDOORS, GROUND = -1, -2, -3
FilmKind = Literal["vertical", "floor", "ceiling", "duct", "contact"]
Share = float | Floats
"""Of a way's gas: one for all members, or (M, 1)."""


@dataclass(frozen=True, kw_only=True, eq=False)
class Stirred:
    """A chamber that mixes itself: firebox, oven, barrel."""

    zone: int
    inlets: tuple[tuple[int, Share], ...]
    """(index of the way that feeds it, share of that way's gas); empty: it takes room air."""
    heat_share: Literal["firebox", "core", "none"]
    """`core`: its gas and its outer face are declared, see `Drive.core`."""


@dataclass(frozen=True, kw_only=True, eq=False)
class Plug:
    """A duct: riser, flue run, a bench on the path. Zones in the order of flow."""

    zones: tuple[int, ...]
    inlets: tuple[tuple[int, Share], ...]
    heat_weights: tuple[float, ...]
    """How the heat released in the riser spreads over the zones (sums to 1, or all 0)."""


@dataclass(frozen=True, kw_only=True, eq=False)
class Bell:
    """A chamber fed at its crown: zones from the top (the crown cell first) to the floor."""

    zones: tuple[int, ...]
    inlets: tuple[tuple[int, Share], ...]
    reach: tuple[float, ...]
    """At each joint between neighbouring bands: height of the bell over the distance between
    their middles."""
    drawn: tuple[float, ...]
    """Share of what the jet carries along that each band gives it; all 0: fed at the crown."""
    outlet: int
    """Position of the band the gas leaves from."""
    drop_m: float = math.inf
    """From the underside of the crown cell down to the middle of the port."""


@dataclass(frozen=True, kw_only=True, eq=False)
class Hearth:
    """A chamber with a fire at its foot that does not fill it: zones from the top to the floor.

    It takes room air, or what its inlets bring.
    """

    zones: tuple[int, ...]
    inlets: tuple[tuple[int, Share], ...]
    edges_m: tuple[float, ...]
    """Height of the bands' edges over the base of the fire, from the top down; one more than
    bands, the last 0."""
    diameter_m: float
    """Of a round fire of the same area."""
    reach: tuple[float, ...]
    """As in a bell."""
    inlet: int
    """Position of the band where fresh air comes in."""
    leaving: tuple[float, ...]
    """Share of the gas that leaves from each band; the sum is 1."""


@dataclass(frozen=True, kw_only=True, eq=False)
class Pocket:
    """A two-way opening: zones in a row behind it (blind bench, oven beside its mouth)."""

    zones: tuple[int, ...]
    from_zone: int
    area_m2: float
    height_m: float


Way = Stirred | Plug | Bell | Hearth | Pocket


@dataclass(frozen=True, kw_only=True, eq=False)
class Enclosure:
    """Zones that see each other. `shares[i, j]` as of `enclosure.band_exchange`."""

    zones: Ints
    shares: Floats


@dataclass(frozen=True, kw_only=True, eq=False)
class Duct:
    """Cross-section of the ducts, for faces whose film is forced flow."""

    area_m2: float
    hydraulic_diameter_m: float


@dataclass(frozen=True, kw_only=True, eq=False)
class Network:
    """Everything about the heater that no case changes, except where an axis M is named."""

    zone_path_m: Floats
    """(Z,) mean beam length."""
    zone_duct: tuple[Duct | None, ...]
    zone_flame: Floats
    """(Z,) 1 where flames burn, 0 elsewhere."""
    ways: tuple[Way, ...]
    """In the order of flow; pockets last."""
    way_flow: Floats
    """(ways,) or (ways, M, 1) share of the whole gas flow that passes each way (0 for pockets)."""
    exits: tuple[tuple[int, Share], ...]
    """(way, share of that way's gas) that goes to the chimney."""
    enclosures: tuple[Enclosure, ...]
    face_zone: Ints
    """(2W,) zone index or ROOM, OUTDOORS, GROUND."""
    face_area_m2: Floats
    """(2W,) true area of each face."""
    face_film: tuple[FilmKind, ...]
    face_height_m: Floats
    """(2W,) length for the film correlation."""
    face_emissivity: Floats
    """(M, 2W)."""
    jet_faces: tuple[int, ...]
    """Faces that the gas delivered to a crown sweeps (ceilings of bells)."""
    layers: tuple[tuple[int, ...], ...]
    """(W,) how many layers, as the running indices of each wall's layers."""
    properties: Callable[[Floats, Floats], tuple[Floats, Floats]]
    """(t_hot_C, t_cold_C), each (M, layers) mean temperatures of the layers' two boundaries ->
    (r_m2K_W, c_J_m2K), each (M, layers), per unit of hot-face area."""
    channels: Channels | None = None
    """Layers through which air of the room passes; None where there are none."""

    @property
    def walls(self) -> int:
        return len(self.layers)

    @property
    def zones(self) -> int:
        return len(self.zone_path_m)


@dataclass(frozen=True, kw_only=True, eq=False)
class Drive:
    """What one firing state does to the heater, over M members and N samples of one period.

    Scalars of the members have shape (M, 1) so that they broadcast over time.
    """

    period_s: float
    heat_W: Floats
    """(M, N) heat released."""
    flow_kg_s: Floats
    """(M, N) flue gas through the heater."""
    air_ratio: Floats
    """(M, N) of the gas; large after the burn."""
    x_co2: Floats
    x_h2o: Floats
    """(M, N) mole fractions."""
    burning: NDArray[np.bool_]
    """(N,) samples at which gas radiation and flames are reckoned with."""
    flame_emissivity: Floats
    """(M, N) luminous flame, added to the gas in the zones with flames."""
    riser_share: Floats
    """(M, 1) share of the heat released in the riser."""
    film_factor: Floats
    """(M, 1) on convection inside the heater."""
    room_film_factor: Floats
    """(M, 1) on convection outside."""
    jet_factor: Floats
    """(M, 1) crown coefficient over free convection."""
    peclet: Floats
    """(M, 1) of the descending gas of a bell."""
    entrainment: Floats
    """(M, 1) gas that the riser jet carries along on its way to the crown, over its own flow."""
    still_exchange: Floats
    """(M, 1) upward and downward exchange in a bell without flow between layers a fifth of its
    height apart, as a share of sum(hA)/cp."""
    room_C: Floats
    outdoors_C: Floats
    ground_C: Floats
    """(M, 1)."""
    flame_rays: Floats
    """(M, 1) share of a hearth's heat that leaves its flames as rays."""
    plume_factor: Floats
    """(M, 1) on what a hearth's plume draws along."""
    core: Core | None = None
    """What is declared of a core; None where there is none."""

    @property
    def members(self) -> int:
        return int(self.heat_W.shape[0])

    @property
    def samples(self) -> int:
        return int(self.heat_W.shape[1])
