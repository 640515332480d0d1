"""What lies on the heater or leans against it, or closes a cavity: layers in series, no gap of
open air between.

A cavity's far side is part of its patch already. What touches a part is reckoned for each patch
it covers: the gas keeps its temperature, and the patch's own layers and those of the cover answer
it together, to the resistance of a far face. The skin under a cover so rises towards the heat
inside. The cover is taken as small beside the chamber: one over all of a cap warms the bell too,
and the rise of the skin is then up to 8 % more (computed, `tests/hotmap/test_covered.py`).
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from stovelint.build import Surrounding
from stovelint.catalogue.catalogue import Catalogue
from stovelint.heat.heater import STEEPER
from stovelint.heat.layers import chain, face_temperatures, harmonics_rad_s, layer_admittance
from stovelint.hotmap.cavity import owner
from stovelint.hotmap.layerheat import LazyLayers, Run, layer_makers
from stovelint.hotmap.patches import Patch
from stovelint.hotmap.profile import Profile, Slice, spread
from stovelint.hotmap.properties import Properties
from stovelint.hotmap.records import CombustibleHeat, PatchHeat
from stovelint.hotmap.stack import Leaf, leaves

Floats = NDArray[np.float64]

CONTACT_M = 1e-3
"""Nearer than this it touches."""
FAR_FILM_W_m2K = 1.0 / 0.13
"""Of the far face of what covers (ISO 6946 Rsi, second-hand)."""
ROUNDS = 8
"""Of the layers' properties at their own temperature; a test compares with many more."""


def touches(surrounding: Surrounding) -> bool:
    return surrounding.distance_m < CONTACT_M


def covered_patch(
    patch: Patch, surrounding: Surrounding, families: dict[str, str]
) -> Patch:
    """The patch with the cover's layers behind its own."""
    extra = leaves([(owner(surrounding), x) for x in surrounding.layers], families, False)
    depth = patch.thickness_m
    # a thing leans on the middle of a side, where the wall is flat
    growth_per_m = 0.0 if patch.flat_sides else patch.growth_per_m
    return replace(
        patch, growth_per_m=growth_per_m,
        leaves=(*patch.leaves, *(replace(x, depth_m=x.depth_m + depth) for x in extra)),
        closed_by=surrounding.name,
    )


def under_cover(
    patch: Patch, index: int, covered: Patch, catalogue: Catalogue, run: Run
) -> tuple[Profile, Properties]:
    """The inside of a covered patch. A channel of the patch's own counts as a closed gap."""
    net, drive, solution = run.net, run.drive, run.solution
    properties = Properties((covered,), catalogue, run.properties.at)
    film = solution.outside_film_W_m2K[:, index] * STEEPER
    gas = solution.faces_C[:, index] + solution.q_W_m2[:, index] / film[:, None]
    wave = np.fft.rfft(gas, axis=1)
    omega = harmonics_rad_s(drive.period_s, drive.samples)
    room = np.zeros((drive.members, len(omega)), dtype=np.complex128)
    room[:, 0] = drive.room_C[:, 0] * drive.samples
    ratio = covered.cold_ratio
    far = np.full(drive.members, FAR_FILM_W_m2K) * ratio
    count = len(covered.leaves)
    planes = np.linspace(gas.mean(axis=1), drive.room_C[:, 0], count + 1, axis=1)
    for _ in range(ROUNDS):
        r, c = properties(planes[:, :-1], planes[:, 1:])
        fall = np.concatenate([1.0 / film[:, None], r, 1.0 / far[:, None]], axis=1).cumsum(axis=1)
        drop = (gas.mean(axis=1) - drive.room_C[:, 0])[:, None] * fall[:, :-1] / fall[:, -1:]
        planes = gas.mean(axis=1)[:, None] - drop
    wall = chain([layer_admittance(r[:, i], c[:, i], omega) for i in range(count)])
    hot, cold = face_temperatures(wall, film, wave, far, room)
    slices = [
        Slice(
            top_m=leaf.depth_m, thickness_m=leaf.thickness_m, r_m2K_W=r[:, i], c_J_m2K=c[:, i]
        )
        for i, leaf in enumerate(covered.leaves)
    ]  # fmt: skip
    n = drive.samples
    inside = Profile(
        slices, np.fft.irfft(hot, n=n, axis=1), np.fft.irfft(cold, n=n, axis=1), drive.period_s,
        drive.room_C[:, 0],
    )  # fmt: skip
    return inside, properties


@dataclass(frozen=True, kw_only=True, eq=False)
class Cover:
    """A patch under what touches it."""

    surrounding: Surrounding
    patch: Patch
    """With the cover's layers."""
    insides: list[Profile]
    heat: PatchHeat


def cover(
    surrounding: Surrounding, patch: Patch, index: int, catalogue: Catalogue, runs: list[Run]
) -> Cover:
    """Patch `index` of the network under a surrounding that touches it."""
    families = {
        x.material: catalogue.get(x.material).family for x in surrounding.layers if x.material
    }
    covered = covered_patch(patch, surrounding, families)
    found = [under_cover(patch, index, covered, catalogue, run) for run in runs]
    insides = [inside for inside, _ in found]
    properties = found[0][1]
    place = {id(leaf): i for i, leaf in enumerate(covered.leaves)}

    def judge(leaf: Leaf, low: float, high: float) -> tuple[str | None, list[str]]:
        return properties.judge(place[id(leaf)], low, high)

    part = patch.parts[-1]
    where = f"under {surrounding.name}"
    if patch.along_m is not None or patch.from_m != patch.to_m:
        where += f", {patch.where}"
    again = replace(covered, area_m2=0.0)  # the piece was weighed without its cover
    none = spread([np.zeros(run.drive.members) for run in runs])
    heat = PatchHeat(
        part=part, chamber=patch.chamber, where=where, from_m=patch.from_m, to_m=patch.to_m,
        along_m=patch.along_m, area_m2=0.0, heat_in_kWh=none,
        layers=LazyLayers(layer_makers(again, part, insides, judge, runs)),
    )  # fmt: skip
    return Cover(surrounding=surrounding, patch=covered, insides=insides, heat=heat)


def in_contact(
    surrounding: Surrounding, patch: Patch, insides: list[Profile], combustible_covered: bool,
    wood_at: int,
) -> CombustibleHeat:  # fmt: skip
    """What burns in a surrounding whose layers are in a patch's stack. `wood_at`: which of its
    layers it is. Its own first layer's face is that of the surrounding; the heater's skin is where
    the patch's parts end."""
    own = [leaf for leaf in patch.leaves if leaf.part in patch.parts]
    skin_m = own[-1].depth_m + own[-1].thickness_m
    first, wood = surrounding.layers[0], surrounding.layers[wood_at]
    starts = {
        leaf.layer.path: leaf.depth_m for leaf in reversed(patch.leaves) if leaf.layer is not None
    }

    def peak(depth_m: float) -> list[Floats]:
        return [np.asarray(i.at(depth_m).max(axis=1)) for i in insides]

    def mean(depth_m: float) -> list[Floats]:
        return [i.mean_at(depth_m) for i in insides]

    face_m, wood_m = starts[first.path], starts[wood.path]
    room_C = insides[0].room_C
    return CombustibleHeat(
        surrounding=surrounding.name, seen_part=patch.parts[-1], seen_where=patch.where,
        layer=wood, covered=combustible_covered, surface_peak_C=spread(peak(face_m), room_C),
        surface_mean_C=spread(mean(face_m), room_C), peak_C=spread(peak(wood_m), room_C),
        mean_C=spread(mean(wood_m), room_C), skin_peak_C=spread(peak(skin_m), room_C),
        skin_mean_C=spread(mean(skin_m), room_C),
    )  # fmt: skip
