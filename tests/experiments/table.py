"""Prints the table of experiments as Markdown: `python tests/experiments/table.py`."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Iterator, Mapping

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from tests.experiments.every import CASES
from tests.experiments.point import Point, fixture


def _number(value: float, unit: str) -> str:
    return f"{value:.0f}" if unit == "degC" else f"{value:.3f}"


def _summary(case: str, points: tuple[Point, ...]) -> str:
    errors = sorted(p.error_percent for p in points)
    return (
        f"| {fixture(case)['title']} | {len(points)} | {sum(p.close for p in points)} | "
        f"{sum(p.inside for p in points)} | {errors[0]:+.0f} to {errors[-1]:+.0f} |"
    )


def lines(found: Mapping[str, tuple[Point, ...]]) -> Iterator[str]:
    """A summary by case, then every point."""
    yield "| experiment | points | within 20 % | inside the range | error of the rise (or flow), % |"
    yield "| --- | --- | --- | --- | --- |"
    for case, points in found.items():
        yield _summary(case, points)
    every = [p for points in found.values() for p in points]
    for name, some in (
        ("all temperatures", [p for p in every if p.unit == "degC"]),
        ("all flows", [p for p in every if p.unit != "degC"]),
    ):
        close, inside = sum(p.close for p in some), sum(p.inside for p in some)
        yield f"| {name} | {len(some)} | {close} | {inside} | |"
    for case, points in found.items():
        yield ""
        yield f"**{fixture(case)['title']}** ({fixture(case)['citation']})"
        yield ""
        yield "| point | unit | measured | low | mid | high | error of the rise (or flow), % | inside |"
        yield "| --- | --- | --- | --- | --- | --- | --- | --- |"
        for p in points:
            values = " | ".join(_number(v, p.unit) for v in (p.measured, p.low, p.mid, p.high))
            yield (
                f"| {p.name} | {p.unit} | {values} | {p.error_percent:+.0f} | "
                f"{'yes' if p.inside else 'no'} |"
            )


if __name__ == "__main__":
    print("\n".join(lines({case: points() for case, points in CASES.items()})))
