"""How what reinforces a layer lies in it, and how far it outgrows the body around it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from stovelint.rule.finding import Measure

if TYPE_CHECKING:
    from stovelint.build import Layer
    from stovelint.catalogue import Material
    from stovelint.hotmap.records import Spread
    from stovelint.rule.limits import Limit

LOOKS = 5
"""Depths looked at where the plan does not say one."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Depths:
    """Where in its layer a bar's middle may lie, m below the layer's hot face."""

    metres: tuple[float, ...]
    """One depth when the plan says it; else both ends and places between."""
    unsaid: tuple[str, ...]
    """Keys of `reinforcement` that would say it."""


def depths(layer: Layer, row: Material) -> Depths:
    """Depths at which the middle of a layer's reinforcement may lie: cover + diameter / 2.

    What is not said is bounded: the diameter by the sizes it is sold in, the cover by the faces
    of the layer. What is spread through the mix lies everywhere.

    Args:
        layer: a layer with reinforcement.
        row: the catalogue's row of that reinforcement.
    """
    drawn, sold = layer.reinforcement, row.reinforces
    assert drawn is not None and sold is not None
    thick = layer.thickness_m
    if sold.form == "needle":
        return Depths(metres=_between(0.0, thick), unsaid=())
    thin_m, thick_m = diameters(layer, row) or (0.0, 0.0)
    unsaid: tuple[str, ...] = () if thin_m == thick_m else ("diameter",)
    if drawn.cover_m is None:
        low, high = 0.5 * thin_m, thick - 0.5 * thin_m
        unsaid = ("cover", *unsaid)
    else:
        low, high = drawn.cover_m + 0.5 * thin_m, drawn.cover_m + 0.5 * thick_m
    low, high = min(low, thick), min(max(low, high), thick)
    return Depths(metres=(low,) if low == high else _between(low, high), unsaid=unsaid)


def diameters(layer: Layer, row: Material) -> tuple[float, float] | None:
    """Thinnest and thickest that the reinforcement of a layer can be, m; None where no thickness
    is drawn and none is sold."""
    drawn, sold = layer.reinforcement, row.reinforces
    if drawn is not None and drawn.diameter_m is not None:
        return drawn.diameter_m, drawn.diameter_m
    if sold is None or sold.diameter_mm is None:
        return None
    return 0.001 * sold.diameter_mm[0], 0.001 * sold.diameter_mm[2]


@dataclass(frozen=True, kw_only=True, slots=True)
class Outgrowth:
    """How far a bar outgrows its body on the way to its peak."""

    measure: Measure
    """Told, never judged: it ranks bodies and clears none."""
    ends_C: float | None
    """Where a strain curve ended below the peak: the figures are then at least these."""
    others: tuple[tuple[str, float], ...]
    """The same at the middle peak in well-known bodies, nearest match first."""


def outgrowth(bar: Material, body: Material, peak_C: Spread, *, where: str) -> Outgrowth | None:
    """Running maximum of the expansion mismatch of bar and body up to each case's peak.

    Args:
        bar: what lies in the body; body: the layer around it.
        peak_C: peak at the middle of the bar.
        where: the place it was taken from.

    None when bar or body has no expansion in the catalogue.
    Source: see `stovelint.catalogue.growth`.
    """
    from stovelint.catalogue.growth import against_concrete, mismatch

    found = mismatch(bar, body, peak_C.values)
    if found is None:
        return None
    middle = sorted(found.typical.tolist())
    half = len(middle) // 2
    return Outgrowth(
        measure=Measure(
            what="mismatch", where=where, unit="strain", low=float(found.low.min()),
            mid=0.5 * (middle[half] + middle[-1 - half]), high=float(found.high.max()),
            limit=None, past=0, cases=peak_C.cases, exact=False, counts=False,
        ),
        ends_C=found.ends_C,
        others=against_concrete(bar, peak_C.mid),
    )  # fmt: skip


def cover_takes(layer: Layer, body: Material, limit: Limit) -> float | None:
    """Mismatch (-) at which the drawn cover of a bar reaches a cracking strain; None where cover,
    diameter or the body's modulus is not known.

    The nearer surface counts, be it the hot or the cold one.
    Source: see `stovelint.hotmap.bars`.
    """
    from stovelint.hotmap.bars import cover_takes as takes

    drawn = layer.reinforcement
    if drawn is None or drawn.cover_m is None or drawn.diameter_m is None:
        return None
    behind = layer.thickness_m - drawn.cover_m - drawn.diameter_m
    return takes(limit.base, body, drawn.diameter_m, min(drawn.cover_m, behind))


def _between(low: float, high: float) -> tuple[float, ...]:
    step = (high - low) / (LOOKS - 1)
    return (*(low + step * i for i in range(LOOKS - 1)), high)
