"""Build + catalogue -> the arrays of the heat network."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from stovelint.catalogue.catalogue import Catalogue
from stovelint.heat.enclosure import band_exchange
from stovelint.heat.network import Duct, Enclosure, FilmKind, Network
from stovelint.hotmap.cases import between
from stovelint.hotmap.channels import channels_of
from stovelint.hotmap.patches import Patch
from stovelint.hotmap.properties import GAP_EMISSIVITY, Properties
from stovelint.hotmap.ways import GasWays
from stovelint.hotmap.zones import Room

Floats = NDArray[np.float64]

BEAM = 3.6
"""Mean beam length over volume / surface of a gas body (Hottel; recalled)."""
NO_PATH_M, UNSEEN = 0.0, 0.0
"""A declared core touches what bounds it: no gas between them, and no rays past it (nor a few, that
mirrors would throw to and fro for fifty passes)."""
DUCT_KINDS = ("riser", "flue-run", "buried-pipe", "chimney")
RISER_FLAME = 0.5
"""Flames thin out behind the throat (judgement)."""


def network(
    rooms: dict[str, Room], patches: tuple[Patch, ...], ways: GasWays, properties: Properties,
    catalogue: Catalogue, at: dict[str, Floats],
) -> Network:  # fmt: skip
    """Arrays for the solver, zones in the rooms' order, walls in the patches' order."""
    count = sum(len(room.zones) for room in rooms.values())
    walls = len(patches)
    hot_area = np.array([p.area_m2 for p in patches])
    ratio = np.array([p.cold_ratio for p in patches])
    face_zone = np.array([p.hot_zone for p in patches] + [p.cold for p in patches])
    face_area = np.concatenate([hot_area, hot_area * ratio])
    cores = np.array(
        [z.index for r in rooms.values() if r.chamber.declared for z in r.zones], dtype=np.int64
    )
    at_core = np.isin(face_zone, cores)
    drawn: list[FilmKind] = [p.hot_film for p in patches] + [p.cold_film for p in patches]
    films = tuple("contact" if touches else film for film, touches in zip(drawn, at_core))
    height = np.array([p.hot_height_m for p in patches] + [p.cold_height_m for p in patches])
    path = np.empty(count)
    flame = np.zeros(count)
    ducts: list[Duct | None] = [None] * count
    enclosures = []
    for room in rooms.values():
        index = np.array([z.index for z in room.zones])
        path[index] = _beam_m(room, rooms, index, face_zone, face_area)
        if room.chamber.declared is not None:
            path[index] = NO_PATH_M
        elif room.chamber.kind == "firebox" and not room.banded:
            flame[index] = 1.0
        if room.chamber.kind in DUCT_KINDS:
            for z in index:
                ducts[z] = Duct(
                    area_m2=room.section_m2, hydraulic_diameter_m=room.hydraulic_diameter_m
                )
        if room.chamber.kind == "riser":
            flame[index] = RISER_FLAME
        if room.banded:
            enclosures.append(_bell_enclosure(room, index, face_zone, face_area, films))
        else:
            enclosures.extend(Enclosure(zones=np.array([z]), shares=np.ones((1, 1))) for z in index)
    return Network(
        zone_path_m=path, zone_duct=tuple(ducts), zone_flame=flame,
        ways=ways.ways, way_flow=np.array(ways.flow), exits=ways.exits,
        enclosures=tuple(enclosures), face_zone=face_zone, face_area_m2=face_area,
        face_film=films, face_height_m=height,
        face_emissivity=np.where(at_core, UNSEEN, _emissivity(patches, catalogue, at)),
        jet_faces=tuple(i for i in range(walls) if patches[i].jet),
        layers=tuple(properties.layers), properties=properties,
        channels=channels_of(rooms, patches, properties, at),
    )  # fmt: skip


def _beam_m(
    room: Room, rooms: dict[str, Room], index: NDArray[np.int64], face_zone: NDArray[np.int64],
    face_area: Floats,
) -> float:  # fmt: skip
    volume = room.section_m2 * room.length_m if room.lying else room.plan_m2 * room.height_m
    for other in rooms.values():
        if other.chamber.inside == room.chamber.name:
            volume -= other.plan_m2 * min(other.height_m, room.height_m)
    area = float(face_area[np.isin(face_zone, index)].sum())
    ends = 2.0 * room.section_m2 if room.chamber.kind in DUCT_KINDS else 0.0
    return BEAM * max(volume, 1e-4) / max(area + ends, 1e-3)


def _bell_enclosure(
    room: Room, index: NDArray[np.int64], face_zone: NDArray[np.int64], face_area: Floats,
    films: tuple[str, ...],
) -> Enclosure:  # fmt: skip
    """Exchange between bands, with the ceiling in the crown's zone and the floor in the lowest."""
    kinds = np.array(films)
    top = float(face_area[(face_zone == index[0]) & (kinds == "ceiling")].sum())
    bottom = float(face_area[(face_zone == index[-1]) & (kinds == "floor")].sum())
    bands = np.array([face_area[face_zone == z].sum() for z in index])
    bands[0] -= top
    bands[-1] -= bottom
    edges = np.array([room.zones[0].high_m] + [z.low_m for z in room.zones])
    side = max(float(bands.sum()), 1e-6)
    radius = max(2.0 * room.plan_m2 * room.height_m / side, 0.02)
    areas = np.concatenate([[top], np.maximum(bands, 0.0), [bottom]])
    shares = band_exchange(edges, radius, areas)
    flows = areas[:, None] * shares
    # ceiling into the first band, floor into the last
    n = len(bands)
    join = np.zeros((n, n + 2))
    join[range(n), range(1, n + 1)] = 1.0
    join[0, 0] = join[-1, -1] = 1.0
    merged = join @ flows @ join.T
    total = merged.sum(axis=1)
    merged[total == 0.0, total == 0.0] = 1.0
    return Enclosure(zones=index, shares=merged / np.maximum(merged.sum(axis=1), 1e-12)[:, None])


def _emissivity(patches: tuple[Patch, ...], catalogue: Catalogue, at: dict[str, Floats]) -> Floats:
    """(M, 2W): each face's own range, all at the case's place."""
    columns = []
    for end in (0, -1):
        for patch in patches:
            name = patch.leaves[end].material
            if name is None:
                columns.append(np.full_like(at["emissivity"], GAP_EMISSIVITY))
                continue
            triple = catalogue.get(name).emissivity
            columns.append(between(triple.low, triple.typical, triple.high, at["emissivity"]))
    return np.minimum(np.array(columns).T, 0.99)
