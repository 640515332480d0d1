"""A property over temperature: a table with its spread, and how far beyond it may be used.

Nothing is ever clamped: outside the covered range a curve refuses.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Mapping, Sequence

import numpy as np
from numpy.typing import ArrayLike, NDArray

from stovelint.errors import CatalogueError

Floats = NDArray[np.float64]
Row = Mapping[str, object]

ROOM_C = 20.0
COLD_TABLE_C = 40.0
"""A table that starts above this says nothing of room temperature; a band at 20 degC then does."""


@dataclass(frozen=True, kw_only=True, repr=False, eq=False)
class Curve:
    """One property of one material over temperature.

    `points_C`, `values`: shape (n,), increasing; what the table holds, plus the knots beyond it.
    `low_factors`, `high_factors`: shape (n,), the spread as factors on `values` without widening.
    """

    subject: str
    """For messages: `conductivity of granite`."""
    points_C: Floats
    values: Floats
    low_factors: Floats
    high_factors: Floats
    table_low_C: float
    table_high_C: float
    """Ends of what the row's source speaks of (equal for a single figure)."""
    low_C: float
    high_C: float
    """Ends of the covered range, table and beyond."""
    widen_below_per_100K: float
    widen_above_per_100K: float
    grade: str
    source: str
    grade_below: str
    grade_above: str
    """Grade of what lies beyond the table (`judgement` is ours and says why in the data)."""

    def covers(self, T_C_min: float, T_C_max: float) -> bool:
        """True when both ends lie in the covered range; a number that is not finite never does."""
        return bool(self.low_C <= T_C_min and T_C_max <= self.high_C)

    def at(self, T_C: ArrayLike) -> Floats:
        """Typical value at T_C (any shape), linear between points.

        Raises CatalogueError when any T_C lies outside `low_C` to `high_C`.
        """
        T = self._checked(T_C)
        return np.asarray(np.interp(T, self.points_C, self.values), dtype=np.float64)

    def spread_low(self, T_C: ArrayLike) -> Floats:
        """Factor from the typical to the low value at T_C, at most 1, wider beyond the table."""
        T = self._checked(T_C)
        plain = np.interp(T, self.points_C, self.low_factors)
        return np.asarray(plain / (1.0 + self.widening(T)), dtype=np.float64)

    def spread_high(self, T_C: ArrayLike) -> Floats:
        """Factor from the typical to the high value at T_C, at least 1, wider beyond the table."""
        T = self._checked(T_C)
        plain = np.interp(T, self.points_C, self.high_factors)
        return np.asarray(plain * (1.0 + self.widening(T)), dtype=np.float64)

    def widening(self, T_C: ArrayLike) -> Floats:
        """Extra relative spread at T_C: zero inside the table, linear beyond it."""
        T = np.asarray(T_C, dtype=np.float64)
        below = np.maximum(self.table_low_C - T, 0.0) * (self.widen_below_per_100K / 100.0)
        above = np.maximum(T - self.table_high_C, 0.0) * (self.widen_above_per_100K / 100.0)
        return np.asarray(below + above, dtype=np.float64)

    def beyond_sentence(self, name: str, property: str, T_min: float, T_max: float) -> str | None:
        """What a report must say when T_min to T_max leaves the table; None when it does not,
        or when the extra spread is below half a percent."""
        under = float(self.widening(T_min)) if T_min < self.table_low_C else 0.0
        over = float(self.widening(T_max)) if T_max > self.table_high_C else 0.0
        uses = []
        if under >= 0.005:
            uses.append(f"down to {T_min:.0f} degC with {100.0 * under:.0f} % more spread "
                        f"({self.grade_below})")
        if over >= 0.005:
            uses.append(f"up to {T_max:.0f} degC with {100.0 * over:.0f} % more spread "
                        f"({self.grade_above})")
        if not uses:
            return None
        if self.table_low_C == self.table_high_C:
            known = f"at {self.table_low_C:.0f} degC only"
        else:
            known = f"from {self.table_low_C:.0f} to {self.table_high_C:.0f} degC"
        return f"{property} of {name} is known {known}; used {' and '.join(uses)}"

    def _checked(self, T_C: ArrayLike) -> Floats:
        T = np.asarray(T_C, dtype=np.float64)
        if T.size and not self.covers(float(T.min()), float(T.max())):
            raise CatalogueError(
                f"{self.subject} is asked for {T.min():.0f} to {T.max():.0f} degC, "
                f"but is known, with what may be assumed beyond its table, "
                f"from {self.low_C:.0f} to {self.high_C:.0f} degC",
                "leave this place unjudged, or give the material a longer table",
            )
        return T


def build_curve(subject: str, row: Row, class_row: Row, any_row: Row) -> Curve:
    """Curve of one `[property]` block of a material row.

    subject: for messages. row: the block. class_row, any_row: the same block of the material's
    class and of class `any`, which speak where the row does not.

    Rules, the same for every material: a `lower_limit` table makes the typical value the middle of
    the two limits and the spread their distance; a `band_20C` [low, typical, high] and `also_20C`
    (figures of disagreeing sources) set the spread; where the table starts above 40 degC the
    band's typical value is its point at 20 degC; otherwise the class's `spread` holds.
    """
    points = _pairs(row["points"])
    band = [float(x) for x in _numbers(row.get("band_20C", ()))]
    if band and points[0][0] > COLD_TABLE_C:
        points = [(ROOM_C, band[1]), *points]
    T = np.array([p[0] for p in points])
    values = np.array([p[1] for p in points])
    if "lower_limit" in row:
        lower = np.array([p[1] for p in _pairs(row["lower_limit"])])
        middle = (values + lower) / 2.0
        low_factors, high_factors, values = lower / middle, values / middle, middle
    else:
        low, high = _room_factors(values[0], band, row, class_row)
        low_factors, high_factors = np.full(T.shape, low), np.full(T.shape, high)
    below, above = (
        _first(side, row, class_row, any_row) for side in ("below", "above")
    )
    pre = _knots(subject, below, T, values, end=0)
    post = _knots(subject, above, T, values, end=-1)
    n_pre, n_post = len(pre), len(post)
    return Curve(
        subject=subject,
        points_C=np.concatenate(([p[0] for p in pre], T, [p[0] for p in post])),
        values=np.concatenate(([p[1] for p in pre], values, [p[1] for p in post])),
        low_factors=np.pad(low_factors, (n_pre, n_post), mode="edge"),
        high_factors=np.pad(high_factors, (n_pre, n_post), mode="edge"),
        table_low_C=float(T[0]),
        table_high_C=float(T[-1]),
        low_C=pre[0][0] if pre else float(T[0]),
        high_C=post[-1][0] if post else float(T[-1]),
        widen_below_per_100K=_number(below.get("widen_per_100K", 0.0)),
        widen_above_per_100K=_number(above.get("widen_per_100K", 0.0)),
        grade=str(row["grade"]),
        source=str(row["source"]),
        grade_below=str(below.get("grade", "")),
        grade_above=str(above.get("grade", "")),
    )


def _room_factors(
    first: float, band: list[float], row: Row, class_row: Row
) -> tuple[float, float]:
    """Low and high factor on the value nearest to room temperature."""
    if not band:
        low, high = _numbers(class_row["spread"])
        return low, high
    others = [*band, *_numbers(row.get("also_20C", ()))]
    return min(min(others) / first, 1.0), max(max(others) / first, 1.0)


def _knots(
    subject: str, beyond: Row, T: Floats, values: Floats, *, end: int
) -> list[tuple[float, float]]:
    """Points beyond one end of the table, in rising order: recalled ones, then the limit."""
    if not beyond:
        return []
    sign = -1.0 if end == 0 else 1.0
    chain = [(float(a), float(b)) for a, b in zip(T, values)]
    if end == 0:
        chain.reverse()
    n_table = len(chain)
    chain += sorted(_pairs(beyond.get("points", ())), key=lambda p: sign * p[0])
    last_T, last = chain[-1]
    to_C = _number(beyond["to_C"])
    if sign * (to_C - last_T) > 0.0:
        chain.append((to_C, last + _slope(beyond, chain) * (to_C - last_T)))
    steps = [sign * (b[0] - a[0]) for a, b in zip(chain, chain[1:])]
    if min(steps, default=1.0) <= 0.0 or min(p[1] for p in chain) <= 0.0:
        raise CatalogueError(
            f"{subject}: the points beyond the table do not rise in temperature, "
            f"or fall to nothing",
            "correct the row's `below` or `above` block",
        )
    knots = chain[n_table:]
    return knots[::-1] if end == 0 else knots


def _slope(beyond: Row, chain: list[tuple[float, float]]) -> float:
    """Slope per kelvin with which the last point of the chain goes on."""
    last_T, last = chain[-1]
    if beyond["how"] == "held":
        return 0.0
    if "slope_per_100K" in beyond:
        return last * _number(beyond["slope_per_100K"]) / 100.0
    if len(chain) < 2:
        return 0.0
    near_T, near = chain[-2]
    return (last - near) / (last_T - near_T)


def _first(side: str, *rows: Row) -> Row:
    """The first of the blocks that says something about this side of the table."""
    for row in rows:
        block = row.get(side)
        if isinstance(block, Mapping):
            return block
    return {}


def _number(value: object) -> float:
    if isinstance(value, (int, float)):
        return float(value)
    raise TypeError(f"not a number: {value!r}")


def _numbers(value: object) -> list[float]:
    if not isinstance(value, Sequence):
        raise TypeError(f"not a list of numbers: {value!r}")
    return [_number(x) for x in value]


def _pairs(value: object) -> list[tuple[float, float]]:
    if not isinstance(value, Sequence):
        raise TypeError(f"not a list of points: {value!r}")
    return [(_number(p[0]), _number(p[1])) for p in value]
