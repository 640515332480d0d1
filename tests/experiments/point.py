"""One measured point and what is computed for it; the fixtures they come from."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
import tomli
from numpy.typing import ArrayLike

from stovelint.hotmap.records import let_down

FOLDER = Path(__file__).resolve().parents[2] / "fixtures" / "experiments"
CLOSE_PERCENT = 20.0
"""The goal of the project for the error of a temperature rise (judgement)."""


def fixture(case: str) -> dict[str, Any]:
    """The file of one case, as it stands."""
    return tomli.loads((FOLDER / f"{case}.toml").read_text(encoding="utf-8"))


@dataclass(frozen=True, kw_only=True, slots=True)
class Point:
    """A measured value and the range computed for it, in the same unit.

    `start` is what the rise is counted from (0 where the value is itself a flow).
    """

    name: str
    unit: str
    start: float
    measured: float
    low: float
    mid: float
    high: float

    @property
    def error_percent(self) -> float:
        """Of the rise: middle of the range against what was measured."""
        return 100.0 * (self.mid - self.measured) / (self.measured - self.start)

    @property
    def close(self) -> bool:
        return abs(self.error_percent) <= CLOSE_PERCENT

    @property
    def inside(self) -> bool:
        return self.low <= self.measured <= self.high


def point(name: str, unit: str, start: float, measured: float, found: ArrayLike) -> Point:
    """A point from the values of all cases computed: lowest (of temperatures let down as every
    range of a survey is), median, highest."""
    values = np.asarray(found, dtype=np.float64)
    if not np.isfinite(values).all():
        raise ValueError(f"{name}: a case has no finite value")
    lowest = let_down(values, start) if unit == "degC" else values
    return Point(
        name=name, unit=unit, start=start, measured=measured, low=float(lowest.min()),
        mid=float(np.median(values)), high=float(values.max()),
    )  # fmt: skip
