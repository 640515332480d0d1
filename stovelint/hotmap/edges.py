"""The bearing edge of a cap: it rests on the wall, so the wall's top warms it, not the gas.

Heat flows from the wall, at half the bearing's width behind its hot face, through the last 50 mm
of wall under the cap and through what is left of the cap's soft insulation. Lateral conduction in
the cap is left out (at most 1 K between courses, found by time-stepping reference runs; only the
last 50 mm differ, which is the length used here). The edge takes nothing from the gas and does
not act back on the wall.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from stovelint.build import Build, Part
from stovelint.catalogue.catalogue import Catalogue
from stovelint.heat.layers import chain, face_temperatures, harmonics_rad_s, layer_admittance
from stovelint.hotmap.layerheat import LazyLayers, Run, layer_makers, profiles
from stovelint.hotmap.patches import Patch
from stovelint.hotmap.profile import Profile, Slice, spread
from stovelint.hotmap.records import PatchHeat
from stovelint.hotmap.stack import Leaf

Floats = NDArray[np.float64]

UNDER_CAP_M = 0.05
SQUEEZED = 0.5
"""What is left of a soft layer under a bearing when the plan does not say (common practice, no
source; blankets are laid to be squeezed to about half)."""


def bearing_patches(
    build: Build, catalogue: Catalogue, patches: tuple[Patch, ...], runs: list[Run]
) -> list[PatchHeat]:
    """The bearing edge of every cap that says how it bears, as one patch each."""
    result = []
    for index, patch in enumerate(patches):
        part = build.parts[patch.parts[0]]
        if part.bearing is None or patch.hot_film != "ceiling" or patch.where != "span":
            continue
        under = [
            i for i, other in enumerate(patches)
            if other.hot_film != "ceiling" and other.chamber == patch.chamber
            and other.hot_film in ("vertical", "duct") and abs(other.to_m - patch.from_m) < 1e-3
            and (part.carried_by is None or part.carried_by in other.parts)
        ]  # fmt: skip
        if under:
            result.append(_edge(part, catalogue, patches, index, under, runs))
    return result


def _edge(
    part: Part, catalogue: Catalogue, patches: tuple[Patch, ...], index: int, under: list[int],
    runs: list[Run],
) -> PatchHeat:  # fmt: skip
    patch = patches[index]
    assert part.bearing is not None
    leaves = _squeezed(patch.leaves, catalogue, part.bearing.insulation_m)
    areas = np.array([patches[i].area_m2 for i in under])
    insides = []
    for run in runs:
        depth = [min(0.5 * part.bearing.width_m, 0.5 * patches[i].thickness_m) for i in under]
        walls = [
            profiles(patches[i], i, [run])[0].at(d) for i, d in zip(under, depth)
        ]
        below = np.tensordot(areas / areas.sum(), np.array(walls), axes=1)
        contact = _contact_m2K_W(run, patches, under, depth, areas)
        insides.append(_inside(run, patch, index, leaves, below, contact))
    rows = dict(zip((id(leaf) for leaf in leaves), runs[0].net.layers[index]))

    def judge(leaf: Leaf, low: float, high: float) -> tuple[str | None, list[str]]:
        return runs[0].properties.judge(rows[id(leaf)], low, high)

    width = part.bearing.width_m
    around = 4.0 * width * (patch.area_m2**0.5 + width)
    edge = replace(patch, leaves=leaves, area_m2=around)
    makers = layer_makers(edge, part.name, insides, judge, runs)
    none = spread([np.zeros(run.drive.members) for run in runs])
    return PatchHeat(
        part=part.name, chamber=patch.chamber, where="bearing edge", from_m=patch.from_m,
        to_m=patch.to_m, along_m=patch.along_m, area_m2=around, heat_in_kWh=none,
        layers=LazyLayers(makers),
    )


def _squeezed(
    leaves: tuple[Leaf, ...], catalogue: Catalogue, insulation_m: float | None
) -> tuple[Leaf, ...]:
    """The cap's leaves with soft ones at their thickness under the bearing."""
    soft = [leaf for leaf in leaves if leaf.material and catalogue.get(leaf.material).soft]
    total = sum(leaf.thickness_m for leaf in soft)
    share = SQUEEZED if insulation_m is None or not total else insulation_m / total
    depth = 0.0
    result = []
    for leaf in leaves:
        thickness = leaf.thickness_m * (share if leaf in soft else 1.0)
        result.append(replace(leaf, thickness_m=max(thickness, 1e-4), depth_m=depth))
        depth += max(thickness, 1e-4)
    return tuple(result)


def _contact_m2K_W(
    run: Run, patches: tuple[Patch, ...], under: list[int], depth: list[float], areas: Floats
) -> Floats:
    """Resistance of the wall's last 50 mm, from the leaf that lies at the bearing's middle."""
    conductance = np.zeros(run.drive.members)
    for i, d, area in zip(under, depth, areas):
        at = next(
            n for n, leaf in enumerate(patches[i].leaves)
            if leaf.depth_m + leaf.thickness_m >= d - 1e-9
        )  # fmt: skip
        leaf, row = patches[i].leaves[at], run.net.layers[i][at]
        # upwards the heat's way does not widen as it does through a corner
        k = leaf.thickness_m / (run.solution.r_m2K_W[:, row] * run.properties.rows[row].growth)
        conductance += area / areas.sum() * k / UNDER_CAP_M
    return np.asarray(1.0 / conductance)


def _inside(
    run: Run, patch: Patch, index: int, leaves: tuple[Leaf, ...], below_C: Floats,
    contact_m2K_W: Floats,
) -> Profile:  # fmt: skip
    rows = run.net.layers[index]
    slices = []
    for old, leaf, row in zip(patch.leaves, leaves, rows):
        share = leaf.thickness_m / old.thickness_m
        slices.append(
            Slice(
                top_m=leaf.depth_m, thickness_m=leaf.thickness_m,
                r_m2K_W=run.solution.r_m2K_W[:, row] * share,
                c_J_m2K=run.solution.c_J_m2K[:, row] * share,
            )
        )  # fmt: skip
    omega = harmonics_rad_s(run.drive.period_s, run.drive.samples)
    wall = chain([layer_admittance(s.r_m2K_W, s.c_J_m2K, omega) for s in slices])
    cold = run.net.walls + index
    air = {-1: run.drive.room_C, -2: run.drive.outdoors_C}.get(patch.cold, run.drive.room_C)
    drive_cold = np.zeros((run.drive.members, len(omega)), dtype=np.complex128)
    drive_cold[:, 0] = air[:, 0] * run.drive.samples
    hot, far = face_temperatures(
        wall, 1.0 / contact_m2K_W, np.fft.rfft(below_C, axis=1),
        run.solution.outside_film_W_m2K[:, cold], drive_cold,
    )  # fmt: skip
    n = run.drive.samples
    return Profile(
        slices, np.fft.irfft(hot, n=n, axis=1), np.fft.irfft(far, n=n, axis=1),
        run.drive.period_s, run.drive.room_C[:, 0],
    )  # fmt: skip
