"""Surroundings: the first combustible of each, warmed by every part of the heater that it sees."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Callable

import numpy as np
from numpy.typing import NDArray

from stovelint.build import Build, Layer, Surrounding
from stovelint.catalogue.catalogue import Catalogue
from stovelint.heat.clearance import (
    effective_outside_film_W_m2K, surrounding_face_C, view_share,
)  # fmt: skip
from stovelint.heat.films import outside_film_W_m2K
from stovelint.heat.network import ROOM
from stovelint.hotmap.layerheat import Run
from stovelint.hotmap.patches import OPENING_KINDS, TOP_KINDS, UPRIGHT_KINDS, Patch
from stovelint.hotmap.records import CombustibleHeat, PatchHeat, Spread
from stovelint.hotmap.zones import Room

Floats = NDArray[np.float64]

NEAR_M = 0.30
"""A wall nearer than this warms the skin back; a gap wider than this with nothing said about it
is the open room (judgement: at 0.3 m the effective film is within 5 % of the free one)."""
FAR_FILM_m2K_W = 0.13
"""Surface resistance on the far side of a surrounding (ISO 6946 Rsi, second-hand)."""
TABLE_AT_C = 60.0
OUTER_EMISSIVITY = 0.9


@dataclass(frozen=True, kw_only=True, eq=False)
class Target:
    """A surrounding as the heat sees it: resistances in front of and behind its combustible."""

    combustible: Layer
    first: Layer
    covered: bool
    cover_m2K_W: float
    behind_m2K_W: float
    kind: str
    gap_m: float


def target(surrounding: Surrounding, catalogue: Catalogue) -> Target | None:
    """None when nothing in it burns."""
    cover = behind = 0.0
    found: Layer | None = None
    for layer in surrounding.layers:
        resistance = _resistance_m2K_W(layer, catalogue)
        if found is None and layer.material and catalogue.get(layer.material).combustible:
            found = layer
        if found is None:
            cover += resistance
        else:
            behind += resistance
    if found is None:
        return None
    gap = surrounding.gap
    open_room = gap is None and surrounding.distance_m >= NEAR_M
    kind = "vented" if open_room or (gap is not None and gap.kind == "vented") else "closed"
    return Target(
        combustible=found, first=surrounding.layers[0],
        covered=found is not surrounding.layers[0] or kind == "closed", cover_m2K_W=cover,
        behind_m2K_W=behind + FAR_FILM_m2K_W, kind=kind, gap_m=surrounding.distance_m,
    )  # fmt: skip


def _resistance_m2K_W(layer: Layer, catalogue: Catalogue) -> float:
    if layer.material is None:
        return 0.16  # a closed air gap at room temperature (ISO 6946 table value, recalled)
    curve = catalogue.get(layer.material).conductivity
    if curve is None or not curve.covers(TABLE_AT_C, TABLE_AT_C):
        return 0.0  # no credit where nothing is known
    return layer.thickness_m / float(curve.at(TABLE_AT_C))


def combustibles(
    build: Build, catalogue: Catalogue, rooms: dict[str, Room], patches: tuple[Patch, ...],
    heats: dict[str, tuple[PatchHeat, ...]], runs: list[Run],
) -> tuple[CombustibleHeat, ...]:  # fmt: skip
    """One record per surrounding that can burn and part that it sees (the part's hottest patch)."""
    result = []
    for surrounding in build.surroundings.values():
        aim = target(surrounding, catalogue)
        if aim is None:
            continue
        for part in seen_parts(build, rooms, patches, surrounding):
            warmest = max(heats[part], key=lambda p: p.layers[-1].cold.peak_C.high)
            result.append(_warmed(build, surrounding, aim, warmest, patches, rooms, catalogue, runs))
    return tuple(result)


def seen_parts(
    build: Build, rooms: dict[str, Room], patches: tuple[Patch, ...], surrounding: Surrounding
) -> list[str]:
    """Parts whose outer face a surrounding sees, in the order of the file.

    Beside: upright parts that face the room on that side; above: the highest caps; below: floors
    that face a room underneath.
    """
    outer = [p for p in patches if p.cold == ROOM]
    at = surrounding.at
    if at == "above":
        tops = [p for p in outer if build.parts[p.parts[-1]].kind in TOP_KINDS]
        levels = {p.parts[-1]: rooms[p.chamber].top_m for p in tops}
        highest = max(levels.values(), default=0.0)
        names = {name for name, level in levels.items() if level > highest - 0.05}
    elif at == "below":
        names = {p.parts[-1] for p in outer if p.cold_film == "floor"}
    else:
        names = {
            p.parts[-1] for p in outer
            if build.parts[p.parts[-1]].kind in UPRIGHT_KINDS
            and (not (sides := build.parts[p.parts[-1]].sides) or at in sides
                 or ("end" in sides and at in ("left", "right")))
        }  # fmt: skip
    return [name for name in build.parts if name in names]


def _warmed(
    build: Build, surrounding: Surrounding, aim: Target, patch: PatchHeat,
    patches: tuple[Patch, ...], rooms: dict[str, Room], catalogue: Catalogue, runs: list[Run],
) -> CombustibleHeat:  # fmt: skip
    room = rooms[patch.chamber]
    side = surrounding.at if surrounding.at in ("above", "below") else "beside"
    upright = [p for p in patches if p.cold == ROOM and p.cold_film == "vertical" and not rooms[p.chamber].lying]
    height = max((p.to_m for p in upright), default=1.0) - min((p.from_m for p in upright), default=0.0)
    thickness = max((p.thickness_m for p in patches if p.chamber == patch.chamber), default=0.0)
    width = room.side_m("front" if side != "beside" else surrounding.at) + 2.0 * min(thickness, 0.3)
    if side != "beside":
        height = room.side_m("left") + 2.0 * min(thickness, 0.3)
    elif build.parts[patch.part].kind in OPENING_KINDS:
        width = height = patch.area_m2**0.5
    outer = patch.layers[-1].layer.material
    skin_e = catalogue.get(outer).emissivity.typical if outer else OUTER_EMISSIVITY
    first = aim.first.material
    wall_e = catalogue.get(first).emissivity.typical if first else OUTER_EMISSIVITY
    gap = surrounding.gap
    openings = (gap.bottom_m2_m, gap.top_m2_m) if gap is not None else (None, None)
    room_C = runs[0].drive.room_C[:, 0]
    distance = max(aim.gap_m, 1e-3)
    view = view_share(distance, width, height)
    cold = patch.layers[-1].cold
    rise = np.zeros_like(room_C)
    if side == "beside" and aim.gap_m < NEAR_M:
        rise = _skin_rise_K(
            patch, room_C,
            lambda skin: effective_outside_film_W_m2K(
                skin, room_C, distance, height, skin_e, wall_e, aim.kind, *openings,
                aim.cover_m2K_W + aim.behind_m2K_W, view=view,
            ),
        )  # fmt: skip

    def surface(skin: Floats) -> tuple[Floats, Floats]:
        near = surrounding_face_C(
            skin, room_C, distance, height, skin_e, wall_e, aim.kind, *openings,
            aim.cover_m2K_W, aim.behind_m2K_W, view=view, side=side,
        )  # fmt: skip
        return np.asarray(near.face_C), np.asarray(near.covered_C)

    def both(skin: Spread) -> tuple[Spread, Spread, Spread]:
        high, low = surface(skin.values + rise), surface(skin.floor + rise)
        return (
            Spread(values=skin.values + rise, floor=skin.floor + rise),
            Spread(values=high[0], floor=low[0]), Spread(values=high[1], floor=low[1]),
        )  # fmt: skip

    skin_peak, face_peak, burn_peak = both(cold.peak_C)
    skin_mean, face_mean, burn_mean = both(cold.mean_C)
    return CombustibleHeat(
        surrounding=surrounding.name, seen_part=patch.part, seen_where=patch.where,
        layer=aim.combustible, covered=aim.covered, surface_peak_C=face_peak,
        surface_mean_C=face_mean, peak_C=burn_peak, mean_C=burn_mean, skin_peak_C=skin_peak,
        skin_mean_C=skin_mean,
    )  # fmt: skip


def _skin_rise_K(patch: PatchHeat, room_C: Floats, film: Callable[[Floats], Floats]) -> Floats:
    """How much a near wall warms the skin's mean: the wall's own resistance with the new film.

    The resistance follows from the patch's mean temperatures and the free film of the outside
    (about 10 W/m2K at these skins); steady state, two rounds.
    """
    inner = patch.layers[0].hot.mean_C.values
    skin = patch.layers[-1].cold.mean_C.values
    free = outside_film_W_m2K(skin, room_C, OUTER_EMISSIVITY, 1.0, "vertical")
    flux = np.maximum(free * (skin - room_C), 1e-6)
    resistance = np.maximum(inner - skin, 1e-3) / flux
    warmed = skin
    for _ in range(2):
        near = film(warmed)
        warmed = (inner / resistance + near * room_C) / (1.0 / resistance + near)
    return np.asarray(np.maximum(warmed - skin, 0.0))
