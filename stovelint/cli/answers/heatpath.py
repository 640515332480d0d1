"""The way of the heat to the outer face, through the place that a finding speaks of."""

from __future__ import annotations

from typing import TYPE_CHECKING, Mapping

from stovelint.report.sites import Step

if TYPE_CHECKING:
    from stovelint.build import FiringState
    from stovelint.hotmap.records import DepthHeat, HotMap, PatchHeat
    from stovelint.place import Path, Places
    from stovelint.review import Item, Review

STATE: FiringState = "hardest"
"""The firing that peaks are judged by."""


def heat_paths(review: Review, hot: HotMap, places: Places) -> Mapping[int, tuple[Step, ...]]:
    """For each finding of computed heat in a part: its layers from the hot face to the outer one.

    Args:
        review: the review.
        hot: the heat of the plan.
        places: where everything stands.

    Of the places that the finding names, the hottest is told. Nothing is told of a finding by
    clause, nor through a layer whose temperatures must not be judged.
    """
    if STATE not in hot.cycles:
        return {}
    found: dict[int, tuple[Step, ...]] = {}
    known: dict[tuple[str, tuple[str, ...]], tuple[Step, ...]] = {}
    for index, item in enumerate(review.items):
        if item.finding.lead.exact:
            continue
        named = tuple(sorted({m.where for m in item.finding.measures if m.where}))
        key = (item.finding.subject, named)
        if key not in known:
            known[key] = _through(item, named, hot, places)
        if known[key]:
            found[index] = known[key]
    return found


def _through(
    item: Item, named: tuple[str, ...], hot: HotMap, places: Places
) -> tuple[Step, ...]:
    patches = [one for one in hot.cycles[STATE].of_part(item.finding.subject) if one.layers]
    patches = [one for one in patches if one.where in named] or patches
    if not patches:
        return ()
    patch = max(patches, key=lambda one: one.layers[0].hot.peak_C.mid)
    if any(one.unjudged is not None for one in patch.layers):
        return ()
    return _steps(patch, places)


def _steps(patch: PatchHeat, places: Places) -> tuple[Step, ...]:
    steps = []
    for number, heat in enumerate(patch.layers, start=1):
        what = heat.layer.material or "gap"
        words = f"{patch.where}: hot side of layer {number}, {what}"
        steps.append(_step(words, heat.layer.path, heat.hot, places))
    last = patch.layers[-1]
    words = f"{patch.where}: outer face"
    return (*steps, _step(words, last.layer.path, last.cold, places))


def _step(words: str, path: Path, heat: DepthHeat, places: Places) -> Step:
    peak, mean = heat.peak_C, heat.mean_C
    return Step(
        words=words, path=path, span=places.value(path),
        peak_C=(peak.low, peak.mid, peak.high), mean_C=(mean.low, mean.mid, mean.high),
    )  # fmt: skip
