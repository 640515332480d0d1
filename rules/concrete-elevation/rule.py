"""How high up concrete and block may go in this heater."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Iterable, Iterator

from stovelint.rule import Finding, Insulate, Limit, Note, Outcome, Scene, Swap, rule

if TYPE_CHECKING:
    from stovelint.rule import Layer, LayerHeat, Part, PatchHeat

    Banded = tuple[PatchHeat, LayerHeat]

CEMENT = frozenset({"portland-concrete", "concrete-block"})
WHY = (
    "cement paste loses its bound water in daily heat, shrinks while the stone in it swells, and "
    "the units crack and crumble from the hot face"
)


def stays_below_up_to(
    profile: Iterable[tuple[float, float]], limit: float, low_m: float, high_m: float
) -> float:
    """Elevation, m, up to which a temperature profile stays at or below a limit.

    Straight lines between the points, level beyond the ends; counted from `low_m` upwards.

    Args:
        profile: (elevation m, temperature degC), in any order.
        limit: degC.
        low_m: lower edge.
        high_m: upper edge.

    >>> stays_below_up_to([(0.5, 80.0), (1.5, 120.0)], 100.0, 0.0, 2.0)
    1.0
    """
    hottest: dict[float, float] = {}
    for at, value in profile:
        hottest[at] = max(value, hottest.get(at, value))
    points = sorted(hottest.items())
    points = [(low_m, points[0][1]), *points, (high_m, points[-1][1])]
    if points[0][1] > limit:
        return low_m
    for (z0, t0), (z1, t1) in zip(points, points[1:]):
        if t1 > limit:
            return max(low_m, min(high_m, z0 + (z1 - z0) * (limit - t0) / (t1 - t0)))
    return high_m


def highest_course(up_to_m: float, gauge_m: float, first: int, last: int) -> int | None:
    """The highest course whose top lies at or below an elevation; None: not even the first.

    Course n of a gauge reaches from (n - 1) gauges to n gauges above the datum.

    >>> highest_course(0.61, 0.2, 1, 5), highest_course(0.19, 0.2, 1, 5)
    (3, None)
    """
    course = math.floor(up_to_m / gauge_m + 1e-6)
    return None if course < first else min(course, last)


@rule(stakes="breakage")
def concrete_elevation(scene: Scene) -> Iterator[Outcome]:
    """Portland concrete and block in walls, by course.

    Looks at: every layer of Portland concrete or concrete block in a wall, facing or partition.
    Needs: the heat of the wall in the usual and the hardest firing.
    Silent: when mean and peak, 10 mm under the hot face, keep their limits in every course.
    """
    for part in scene.parts("wall", "facing", "partition"):
        for index, layer in enumerate(part.layers):
            material = scene.material(layer)
            if material is None or material.family not in CEMENT:
                continue
            mild = scene.holding(part, layer, "usual")
            hard = scene.holding(part, layer, "hardest")
            if not mild or not hard:
                yield scene.no_heat(part)
                break
            opens = [scene.layer_unjudged(part, heat) for _, heat in (*mild, *hard)]
            if any(opens):
                yield next(case for case in opens if case is not None)
                continue
            yield from _judge(scene, part, index, mild, hard)


def _judge(
    scene: Scene, part: Part, index: int, mild: list[Banded], hard: list[Banded]
) -> Iterator[Finding]:
    layer = part.layers[index]
    mean, excursion = scene.limit("mean"), scene.limit("excursion")
    means = [
        scene.compare("mean", heat.hot_zone.mean_C, mean, subject=part.name,
                      where=scene.place(part, patch))
        for patch, heat in mild
    ]  # fmt: skip
    peaks = [
        scene.compare("peak", heat.hot_zone.peak_C, excursion, subject=part.name,
                      where=scene.place(part, patch))
        for patch, heat in hard
    ]  # fmt: skip
    worst = (scene.worst(peaks), scene.worst(means))
    face = scene.face(index)
    if any(measure.counts for measure in worst):
        high_means = [(_middle(patch), heat.hot_zone.mean_C.high) for patch, heat in mild]
        high_peaks = [(_middle(patch), heat.hot_zone.peak_C.high) for patch, heat in hard]
        edges = (min(p.from_m for p, _ in hard), max(p.to_m for p, _ in hard))
        yield scene.finding(
            part,
            path=(*layer.path, "material"),
            walk_to=scene.walk_to(part, worst[0].where, face),
            found=f"{layer.material} in {part.name}",
            measures=worst,
            why=WHY,
            notes=(
                _reach(scene, part, "mean", mean, high_means, edges),
                _reach(scene, part, "excursion", excursion, high_peaks, edges),
            ),
            moves=(
                *((Insulate(part=part.path, index=0, use="lining"),) if index == 0 else ()),
                Swap(layer=layer.path, use="brick"),
            ),
        )
        return
    bulk = scene.worst(
        scene.compare("bulk mean", heat.middle.mean_C, scene.limit("bulk"), subject=part.name,
                      where=scene.place(part, patch))
        for patch, heat in mild
    )  # fmt: skip
    daily = scene.worst(
        scene.compare("usual peak", heat.hot_zone.peak_C, scene.limit("daily"),
                      subject=part.name, where=scene.place(part, patch))
        for patch, heat in mild
    )  # fmt: skip
    if bulk.counts or daily.counts:
        patch, heat = max(mild, key=lambda pair: pair[1].hours_above_121_C.high)
        told = scene.tell("time above 121 degC in each cycle", heat.hours_above_121_C, "h",
                          where=scene.place(part, patch))  # fmt: skip
        yield scene.finding(
            part,
            path=(*layer.path, "material"),
            walk_to=scene.walk_to(part, bulk.where, face),
            found=f"{layer.material} in {part.name}",
            measures=(bulk, daily, *((told,) if told.high > 0.0 else ())),
            why="it keeps its limits, but paste that is warm all year grows weaker and shrinks",
            stakes="advice",
        )


def _middle(patch: PatchHeat) -> float:
    return (patch.from_m + patch.to_m) / 2.0


def _reach(
    scene: Scene, part: Part, word: str, limit: Limit, profile: list[tuple[float, float]],
    edges: tuple[float, float],
) -> Note:  # fmt: skip
    """Up to which course (or elevation) one limit holds at the unfavourable end of the range."""
    up_to = stays_below_up_to(profile, limit.base, *edges)
    if part.courses is not None:
        gauge = part.courses.gauge
        course = highest_course(
            up_to, scene.build.gauges_m[gauge], part.courses.first, part.courses.last
        )
        if course is None:
            return Note(text=f"no course of it keeps the {word} limit in every case")
        return Note(text=f"the {word} limit holds in every case up to {gauge} course {course}")
    if up_to <= edges[0]:
        return Note(text=f"no height of it keeps the {word} limit in every case")
    return Note(
        text=f"the {word} limit holds in every case up to {{}} above the datum",
        values=((up_to, "m"),),
    )

