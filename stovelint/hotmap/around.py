"""Surroundings: the first combustible of each, warmed by every part of the heater that it sees."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Callable, Iterable, Literal, Sequence

import numpy as np
from numpy.typing import NDArray

from stovelint.build import Build, Layer, Surrounding
from stovelint.catalogue.catalogue import Catalogue
from stovelint.heat.clearance import (
    effective_outside_film_W_m2K, surrounding_face_C, view_share,
)  # fmt: skip
from stovelint.heat.films import outside_film_W_m2K, radiation_W_m2K
from stovelint.heat.gaps import Lie, gap_resistance_m2K_W
from stovelint.heat.heater import OUTER_ORIENTATION, STEEPER
from stovelint.heat.network import ROOM
from stovelint.hotmap.covered import Cover, cover, in_contact, touches
from stovelint.hotmap.layerheat import Insides, Run
from stovelint.hotmap.patches import OPENING_KINDS, TOP_KINDS, UPRIGHT_KINDS, Patch
from stovelint.hotmap.profile import Profile, spread
from stovelint.hotmap.records import CombustibleHeat, Spread
from stovelint.hotmap.zones import Room

Floats = NDArray[np.float64]

NEAR_M = 0.30
"""A gap wider than this with nothing said about it is the open room (judgement: nobody closes so
wide a gap without drawing it)."""
FAR_FILM_m2K_W = 0.13
"""Surface resistance on the far side of a surrounding (ISO 6946 Rsi, second-hand)."""
TABLE_AT_C = 60.0
"""Of wood that begins to matter."""
GAP_BESIDE_K, GAP_STEP_K = 20.0, 10.0
"""How much warmer than that air in front of it is, and cooler behind it; the step across
(judgement)."""
GAP_LIES: dict[str, Lie] = {"above": "hot_below", "below": "hot_above"}
OUTER_EMISSIVITY = 0.9


@dataclass(frozen=True, kw_only=True, eq=False)
class Target:
    """A surrounding as the heat sees it: resistances in front of and behind its combustible."""

    combustible: Layer
    first: Layer
    covered: bool
    cover_m2K_W: float
    behind_m2K_W: float
    kind: Literal["vented", "closed"]
    gap_m: float


def target(surrounding: Surrounding, catalogue: Catalogue) -> Target | None:
    """None when nothing in it burns."""
    cover = behind = 0.0
    found: Layer | None = None
    for layer in surrounding.layers:
        if found is None and layer.material and catalogue.get(layer.material).combustible:
            found = layer
        side = GAP_BESIDE_K if found is None else -GAP_BESIDE_K
        resistance = _resistance_m2K_W(layer, surrounding.at, TABLE_AT_C + side, catalogue)
        if found is None:
            cover += resistance
        else:
            behind += resistance
    if found is None:
        return None
    gap = surrounding.gap
    open_room = gap is None and surrounding.distance_m >= NEAR_M
    vented = open_room or (gap is not None and gap.kind == "vented")
    kind: Literal["vented", "closed"] = "vented" if vented else "closed"
    return Target(
        combustible=found, first=surrounding.layers[0],
        covered=found is not surrounding.layers[0] or kind == "closed", cover_m2K_W=cover,
        behind_m2K_W=behind + FAR_FILM_m2K_W, kind=kind, gap_m=surrounding.distance_m,
    )  # fmt: skip


def _resistance_m2K_W(layer: Layer, at: str, air_C: float, catalogue: Catalogue) -> float:
    """Air is counted as closed, at its own warmth: the table for 10 degC would give half as much
    again to a gap in front of wood that is hot."""
    if layer.material is None:
        return float(gap_resistance_m2K_W(
            air_C + 0.5 * GAP_STEP_K, air_C - 0.5 * GAP_STEP_K, layer.thickness_m,
            OUTER_EMISSIVITY, OUTER_EMISSIVITY, 1.0, GAP_LIES.get(at, "vertical"),
        ))  # fmt: skip
    curve = catalogue.get(layer.material).conductivity
    if curve is None or not curve.covers(TABLE_AT_C, TABLE_AT_C):
        return 0.0  # no credit where nothing is known
    return layer.thickness_m / float(curve.at(TABLE_AT_C))


def combustibles(
    build: Build, catalogue: Catalogue, rooms: dict[str, Room], insides: Insides,
    covers: Sequence[Cover],
) -> tuple[CombustibleHeat, ...]:  # fmt: skip
    """One record per surrounding that can burn and part that it sees (the part's hottest patch).
    `covers`: patches under the surroundings that touch them (`covers_of`)."""
    patches, runs = tuple(insides.patches), insides.runs
    seen: dict[int, Skin] = {}  # only what a surrounding faces is asked for its skin

    def skin_of(i: int) -> Skin:
        if i not in seen:
            seen[i] = skin(insides, i)
        return seen[i]

    outer = [i for i, p in enumerate(patches) if p.cold == ROOM and p.closed_by is None]
    result = []
    for surrounding in build.surroundings.values():
        aim = target(surrounding, catalogue)
        if aim is None:
            continue
        near = [(one.patch, one.insides) for one in covers if one.surrounding is surrounding]
        near += [
            (patch, insides.told(i)) for i, patch in enumerate(patches)
            if patch.closed_by == surrounding.name
        ]  # fmt: skip
        if near or touches(surrounding):
            result.extend(_touched(surrounding, aim, near))
            continue
        scenes = []
        for part in seen_parts(build, rooms, patches, surrounding):
            own = [i for i in outer if patches[i].parts[-1] == part]
            warmest = max(own, key=lambda i: (skin_of(i).peak_C.high, -i))
            scene = _Scene(
                surrounding=surrounding, aim=aim, patch=patches[warmest], skin=skin_of(warmest),
                build=build, room=rooms[patches[warmest].chamber], catalogue=catalogue,
                heater_height_m=_heater_height_m(patches, rooms),
                room_C=runs[0].drive.room_C[:, 0],
            )  # fmt: skip
            scenes.append(scene)
        result.extend(_warmed_by_each(scenes))
    return tuple(result)


def covers_of(
    build: Build, catalogue: Catalogue, rooms: dict[str, Room], patches: tuple[Patch, ...],
    runs: list[Run],
) -> list[Cover]:  # fmt: skip
    """Every patch that a surrounding touches, reckoned under it."""
    return [
        cover(surrounding, patch, index, catalogue, runs)
        for surrounding in build.surroundings.values() if touches(surrounding)
        for part in seen_parts(build, rooms, patches, surrounding)
        for index, patch in enumerate(patches)
        if patch.cold == ROOM and patch.closed_by is None and patch.parts[-1] == part
    ]  # fmt: skip


def _touched(
    surrounding: Surrounding, aim: Target, near: list[tuple[Patch, list[Profile]]]
) -> list[CombustibleHeat]:
    """Per part, the patch whose combustible peaks highest."""
    at = surrounding.layers.index(aim.combustible)
    found: dict[str, CombustibleHeat] = {}
    for patch, insides in near:
        one = in_contact(surrounding, patch, insides, aim.covered, at)
        best = found.get(one.seen_part)
        if best is None or one.peak_C.high > best.peak_C.high:
            found[one.seen_part] = one
    return list(found.values())


@dataclass(frozen=True, kw_only=True, eq=False)
class Skin:
    """The outer face of a patch: its peak and mean, and the mean of what warms the patch's hot face
    through its film (gas and rays), degC."""

    peak_C: Spread
    mean_C: Spread
    source_mean_C: Floats


def skin(insides: Insides, index: int) -> Skin:
    """Skin of a patch, `index` in the network, over all runs."""
    runs = insides.runs
    histories = [inside.cold_C for inside in insides.told(index)]
    source = [
        run.solution.faces_C[:, index].mean(axis=1) + run.solution.q_W_m2[:, index].mean(axis=1)
        / (STEEPER * run.solution.outside_film_W_m2K[:, index])
        for run in runs
    ]
    return Skin(
        peak_C=spread([h.max(axis=1) for h in histories]),
        mean_C=spread([h.mean(axis=1) for h in histories]),
        source_mean_C=np.asarray(np.stack(source).max(axis=0)),
    )


def _heater_height_m(patches: tuple[Patch, ...], rooms: dict[str, Room]) -> float:
    upright = [
        p for p in patches
        if p.cold == ROOM and p.cold_film == "vertical" and not rooms[p.chamber].lying
    ]  # fmt: skip
    if not upright:
        return 1.0
    return max(p.to_m for p in upright) - min(p.from_m for p in upright)


def seen_parts(
    build: Build, rooms: dict[str, Room], patches: tuple[Patch, ...], surrounding: Surrounding
) -> list[str]:
    """Parts whose outer face a surrounding sees, in the order of the file.

    Beside: upright parts that face the room on that side; above: the highest caps; below: floors
    that face a room underneath.
    """
    outer = [p for p in patches if p.cold == ROOM and p.closed_by is None]
    at = surrounding.at
    if surrounding.on is not None:
        return [surrounding.on] if any(p.parts[-1] == surrounding.on for p in outer) else []
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


@dataclass(frozen=True, kw_only=True, eq=False)
class _Scene:
    """All that one surrounding in front of one patch needs."""

    surrounding: Surrounding
    aim: Target
    patch: Patch
    skin: Skin
    build: Build
    room: Room
    catalogue: Catalogue
    heater_height_m: float
    room_C: Floats


def _seen_size_m(scene: _Scene, side: str) -> tuple[float, float]:
    """Width and height of what the surrounding sees of the part's kind."""
    if scene.build.parts[scene.patch.parts[-1]].kind in OPENING_KINDS:
        return scene.patch.area_m2**0.5, scene.patch.area_m2**0.5
    outside = 2.0 * min(scene.patch.thickness_m, 0.3)
    if side != "beside":
        return scene.room.side_m("front") + outside, scene.room.side_m("left") + outside
    height = scene.room.height_m if scene.room.lying else scene.heater_height_m
    return scene.room.side_m(scene.surrounding.at) + outside, height


def _warmed_by_each(scenes: Sequence[_Scene]) -> list[CombustibleHeat]:
    """One surrounding by every part that it sees, in their order; parts that look the same way are
    reckoned side by side, since a plan may hold hundreds."""
    by_film: dict[str, list[int]] = {}
    for number, scene in enumerate(scenes):
        by_film.setdefault(OUTER_ORIENTATION[scene.patch.cold_film], []).append(number)
    found: dict[int, CombustibleHeat] = {}
    for numbers in by_film.values():
        found.update(zip(numbers, _warmed([scenes[number] for number in numbers])))
    return [found[number] for number in range(len(scenes))]


def _column(values: Iterable[float]) -> Floats:
    """A value for each part, to go with a row of cases for each."""
    return np.array([[value] for value in values], dtype=np.float64)


def _warmed(scenes: Sequence[_Scene]) -> list[CombustibleHeat]:
    """One surrounding, by parts whose outer faces look the same way."""
    surrounding, aim, room_C = scenes[0].surrounding, scenes[0].aim, scenes[0].room_C
    catalogue = scenes[0].catalogue
    at = surrounding.at
    side: Literal["beside", "above", "below"] = at if at in ("above", "below") else "beside"
    sizes = [_seen_size_m(scene, side) for scene in scenes]
    width, height = (_column(one) for one in zip(*sizes))
    skin_e = _column(
        _emissivity(scene.patch.leaves[-1].material, catalogue) for scene in scenes
    )
    wall_e = _emissivity(aim.first.material, catalogue)
    gap = surrounding.gap
    openings = (gap.bottom_m2_m, gap.top_m2_m) if gap is not None else (None, None)
    distance = max(aim.gap_m, 1e-3)
    view = view_share(distance, width, height)
    if side != "beside" and aim.kind == "closed":
        view = np.ones_like(view)  # what closes a gap hides the room

    def beside(t_C: Floats) -> Floats:
        return effective_outside_film_W_m2K(
            t_C, room_C, distance, height, skin_e, wall_e, aim.kind, *openings,
            aim.cover_m2K_W + aim.behind_m2K_W, view=view,
        )  # fmt: skip

    def level(t_C: Floats) -> Floats:
        """As `beside`, but air reaches a level gap, if it may, only through its edges."""
        skin_C = np.maximum(t_C, room_C + 0.5)
        step = skin_C - room_C
        flux = surrounding_face_C(
            skin_C, room_C, distance, height, skin_e, wall_e, aim.kind, *openings,
            0.0, aim.cover_m2K_W + aim.behind_m2K_W, view=view, side=side,
        )  # fmt: skip
        pair = 1.0 / (1.0 / skin_e + 1.0 / wall_e - 1.0)
        rays = view * radiation_W_m2K(skin_C, flux.face_C, pair) * (skin_C - flux.face_C)
        rays += (1.0 - view) * radiation_W_m2K(skin_C, room_C, skin_e) * step
        free = _free_film(scenes, skin_C) - radiation_W_m2K(skin_C, room_C, OUTER_EMISSIVITY)
        edges = np.zeros_like(width)
        if aim.kind == "vented":
            edges = np.minimum((width + height) * distance / (width * height), 1.0)
        return np.asarray((rays + (1.0 - edges) * (flux.flux_W_m2 - rays)) / step + edges * free)

    rise = _skin_rise_K(scenes, beside if side == "beside" else level)
    peaks, means = [one.skin.peak_C for one in scenes], [one.skin.mean_C for one in scenes]
    skins = np.array([
        [one.values for one in peaks], [one.floor for one in peaks],
        [one.values for one in means], [one.floor for one in means],
    ]) + rise  # fmt: skip
    near = surrounding_face_C(
        skins, room_C, distance, height, skin_e, wall_e, aim.kind, *openings,
        aim.cover_m2K_W, aim.behind_m2K_W, view=view, side=side,
    )  # fmt: skip
    face, covered = np.asarray(near.face_C), np.asarray(near.covered_C)

    def pair(rows: Floats, first: int, number: int) -> Spread:
        return Spread(
            values=rows[first, number], floor=rows[first + 1, number], over=room_C
        )

    return [
        CombustibleHeat(
            surrounding=surrounding.name, seen_part=scene.patch.parts[-1],
            seen_where=scene.patch.where, layer=aim.combustible, covered=aim.covered,
            surface_peak_C=pair(face, 0, n), surface_mean_C=pair(face, 2, n),
            peak_C=pair(covered, 0, n), mean_C=pair(covered, 2, n),
            skin_peak_C=pair(skins, 0, n), skin_mean_C=pair(skins, 2, n),
        )
        for n, scene in enumerate(scenes)
    ]  # fmt: skip


def _emissivity(material: str | None, catalogue: Catalogue) -> float:
    return catalogue.get(material).emissivity.typical if material else OUTER_EMISSIVITY


def _free_film(scenes: Sequence[_Scene], skin_C: Floats) -> Floats:
    """Of skins with nothing near them (about 10 W/m2K at these skins)."""
    return outside_film_W_m2K(
        skin_C, scenes[0].room_C, OUTER_EMISSIVITY,
        _column(scene.patch.cold_height_m for scene in scenes),
        OUTER_ORIENTATION[scenes[0].patch.cold_film],
    )  # fmt: skip


def _skin_rise_K(scenes: Sequence[_Scene], film: Callable[[Floats], Floats]) -> Floats:
    """How much a near wall, ceiling or floor warms the skin's mean: the new film behind all that
    the heat passes from the gas on, for the whole wall warms, its hot face too.

    The resistance follows from the means of gas and skin and the free film of the outside; steady
    state, three rounds. The gas keeps its warmth: where all of a cap or a base is closed in it
    rises too, and a skin with little behind it by up to a sixth more than here (computed,
    `tests/hotmap/test_around.py`).
    """
    source = np.array([scene.skin.source_mean_C for scene in scenes])
    skin_C = np.array([scene.skin.mean_C.values for scene in scenes])
    room_C = scenes[0].room_C
    flux = np.maximum(_free_film(scenes, skin_C) * (skin_C - room_C), 1e-6)
    resistance = np.maximum(source - skin_C, 1e-3) / flux
    warmed = skin_C
    for _ in range(3):
        near = film(warmed)
        warmed = (source / resistance + near * room_C) / (1.0 / resistance + near)
    return np.asarray(np.maximum(warmed - skin_C, 0.0))
