"""Small heaters as arrays, for tests: a few zones, a few walls, numbers instead of materials."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Sequence

import numpy as np
from numpy.typing import ArrayLike, NDArray

from stovelint.heat.network import ROOM, Drive, Enclosure, FilmKind, Network, Stirred, Way

Floats = NDArray[np.float64]


@dataclass(frozen=True, kw_only=True)
class Wall:
    """One wall: hot side in a zone, cold side in a zone or an ambient; layers as (R, C)."""

    layers: Sequence[tuple[float, float]] = ((0.1, 1e5),)
    zone: int = 0
    cold: int = ROOM
    area_m2: float = 1.0
    cold_ratio: float = 1.0
    film: FilmKind = "vertical"
    cold_film: FilmKind = "vertical"
    height_m: float = 1.0
    emissivity: float = 0.9
    cold_emissivity: float = 0.9


FIREBOX = Stirred(zone=0, inlets=(), heat_share="firebox")


def network(
    walls: Sequence[Wall], ways: Sequence[Way] = (FIREBOX,), *, zones: int = 1,
    way_flow: Sequence[float] = (1.0,), exits: Sequence[tuple[int, float]] = ((0, 1.0),),
    enclosures: Sequence[Enclosure] | None = None, path_m: float = 0.3, flame: float = 1.0,
    members: int = 1,
) -> Network:  # fmt: skip
    """Zones of 1 m height without ducts; every zone sees itself alone unless told otherwise."""
    table = np.array([layer for wall in walls for layer in wall.layers], dtype=np.float64)
    ends = np.cumsum([len(wall.layers) for wall in walls])
    layers = tuple(
        tuple(range(int(end) - len(wall.layers), int(end))) for wall, end in zip(walls, ends)
    )

    def properties(hot: Floats, cold: Floats) -> tuple[Floats, Floats]:
        ones = np.ones_like(hot)
        return table[:, 0] * ones, table[:, 1] * ones

    areas = [wall.area_m2 for wall in walls]
    emissivity = [w.emissivity for w in walls] + [w.cold_emissivity for w in walls]
    return Network(
        zone_path_m=np.full(zones, path_m),
        zone_duct=(None,) * zones, zone_flame=np.array([flame] + [0.0] * (zones - 1)),
        ways=tuple(ways), way_flow=np.array(way_flow, dtype=np.float64), exits=tuple(exits),
        enclosures=tuple(enclosures) if enclosures is not None else tuple(
            Enclosure(zones=np.array([z]), shares=np.ones((1, 1))) for z in range(zones)
        ),
        face_zone=np.array([w.zone for w in walls] + [w.cold for w in walls]),
        face_area_m2=np.array(areas + [w.area_m2 * w.cold_ratio for w in walls]),
        face_film=tuple([w.film for w in walls] + [w.cold_film for w in walls]),
        face_height_m=np.array([w.height_m for w in walls] * 2),
        face_emissivity=np.tile(np.array(emissivity), (members, 1)),
        jet_faces=(), layers=layers, properties=properties,
    )  # fmt: skip


def drive(
    heat_W: ArrayLike, flow_kg_s: ArrayLike, period_s: float = 43200.0, **other: Any
) -> Drive:  # fmt: skip
    """A firing of (M, N) heat; factors of 1 and clear gas unless told otherwise."""
    heat = np.atleast_2d(np.asarray(heat_W, dtype=np.float64))
    shape, column = heat.shape, np.ones((heat.shape[0], 1))
    values: dict[str, Any] = {
        "period_s": period_s, "heat_W": heat,
        "flow_kg_s": np.broadcast_to(np.asarray(flow_kg_s, dtype=np.float64), shape).copy(),
        "air_ratio": np.full(shape, 2.0), "x_co2": np.zeros(shape),
        "x_h2o": np.zeros(shape), "burning": np.ones(shape[1], dtype=bool),
        "flame_emissivity": np.zeros(shape), "riser_share": 0.0 * column,
        "film_factor": column, "room_film_factor": column, "jet_factor": column,
        "peclet": 2.0 * column, "entrainment": 0.0 * column, "still_exchange": 0.0 * column,
        "flame_rays": 0.0 * column, "plume_factor": column,
        "room_C": 20.0 * column, "outdoors_C": -5.0 * column, "ground_C": 8.0 * column,
    }  # fmt: skip
    for name, value in other.items():
        kept = values[name]
        values[name] = np.broadcast_to(np.asarray(value, dtype=kept.dtype), kept.shape).copy()
    return Drive(**{**values, "period_s": period_s})
