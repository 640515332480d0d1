"""How far a bar outgrows the body around it when both are heated together."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from stovelint.catalogue.concrete import Aggregate, free_strain, strain_end_C
from stovelint.catalogue.records import Material

Floats = NDArray[np.float64]

MADE_C = 20.0
STEP_K = 1.0
GRID = 1001
CONCRETES: tuple[tuple[str, Aggregate], ...] = (
    ("siliceous concrete", "siliceous"), ("limestone concrete", "calcareous"),
)  # fmt: skip


@dataclass(frozen=True, kw_only=True, eq=False)
class Mismatch:
    """Largest difference of free growth met on the way up to a peak (-), one value per case."""

    low: Floats
    typical: Floats
    high: Floats
    ends_C: float | None
    """Where a strain curve ended below the highest peak: the values are then at least these."""


def free_growth(material: Material, T_C: Floats) -> tuple[Floats, Floats, Floats] | None:
    """Free strain from 20 degC at T_C (-), as (low, typical, high); None without a figure.

    A row with a strain curve follows it, without a range (a design curve has none); any other
    grows by its mean expansion, e = a (T - 20), with the range of a.

    T_C: any shape, degC, within the curve.
    """
    if material.free_strain is not None:
        strain = free_strain(material.free_strain, T_C)
        return strain, strain, strain
    mean = material.expansion_1e6_K
    if mean is None:
        return None
    rise = (np.asarray(T_C, dtype=np.float64) - MADE_C) * 1e-6
    return mean.low * rise, mean.typical * rise, mean.high * rise


def mismatch(bar: Material, body: Material, peaks_C: Floats) -> Mismatch | None:
    """Running maximum of |growth of the bar - growth of the body| from 20 degC up to each peak.

    The maximum on the way counts, not the value at the peak: the curves of steel and of siliceous
    concrete cross again above 400 degC, and what has cracked at 270 degC stays cracked. Bar and
    body are taken at one temperature, that of the bar.

    Args:
        bar: what lies in the body.
        body: the layer around it.
        peaks_C: shape (cases,), degC, at least 20.

    None when either has no figure. Valid up to the end of the curves; beyond it the maximum up to
    there is handed out, which is a lower bound, and `ends_C` says so.

    Source: definition of free strain; curves EN 1992-1-2 cl. 3.3.1 and 3.4.
    """
    end = min(
        (strain_end_C(m.free_strain) for m in (bar, body) if m.free_strain is not None),
        default=float("inf"),
    )
    top = float(peaks_C.max())
    stop = min(max(top, MADE_C), end)
    grid = np.append(np.arange(MADE_C, stop, STEP_K), stop)
    of_bar, of_body = free_growth(bar, grid), free_growth(body, grid)
    if of_bar is None or of_body is None:
        return None
    most = np.maximum(np.abs(of_bar[2] - of_body[0]), np.abs(of_bar[0] - of_body[2]))
    least = np.maximum(0.0, np.maximum(of_bar[0] - of_body[2], of_body[0] - of_bar[2]))
    low, typical, high = (
        np.interp(peaks_C, grid, np.maximum.accumulate(gap))
        for gap in (least, np.abs(of_bar[1] - of_body[1]), most)
    )
    return Mismatch(low=low, typical=typical, high=high, ends_C=end if top > end else None)


def against_concrete(bar: Material, peak_C: float) -> tuple[tuple[str, float], ...]:
    """What the mismatch of a bar would come to in siliceous and in limestone concrete, nearest
    match first: (words, strain). For comparison only; empty when the bar has no figure."""
    found = []
    for words, curve in CONCRETES:
        stop = min(peak_C, strain_end_C(bar.free_strain or curve), strain_end_C(curve))
        grid = np.linspace(MADE_C, max(stop, MADE_C), GRID)
        own = free_growth(bar, grid)
        if own is not None:
            found.append((float(np.abs(own[1] - free_strain(curve, grid)).max()), words))
    return tuple((words, strain) for strain, words in sorted(found))
