"""How long a whole review takes, as a multiple of the least that any review must do.

    python tests/benchmarks/whole_command.py [--runs 21] [PLAN]

Cold processes, run in turn (floor, review, floor, review ...), so that a busy machine slows both
alike. The plan is a clean one of 200 lines unless another is named: every fault costs a search
for what puts it right, which is another measure. The median of the ratios of neighbours is the
figure to quote; the goal is 2.0. Absolute times are shown for orientation and mean nothing on a
shared machine, so no unit test reads them.
"""

from __future__ import annotations

import argparse
import subprocess
import sys
import time
from pathlib import Path
from statistics import median

ROOT = Path(__file__).resolve().parent.parent.parent
CLEAN = ROOT / "fixtures" / "plans" / "orchard-school.heater.yaml"
SCHEMA = ROOT / "schemas" / "build-1.json"
FLOOR = Path(__file__).resolve().parent / "floor.py"
GOAL = 2.0


def seconds(command: list[str], accepted: tuple[int, ...]) -> float:
    """Wall time of one process; a run that went wrong must not count as a fast one."""
    start = time.perf_counter()
    done = subprocess.run(command, cwd=ROOT, capture_output=True, check=False)
    taken = time.perf_counter() - start
    if done.returncode not in accepted:
        raise SystemExit(f"{' '.join(command)} ended with {done.returncode}:\n{done.stderr!r}")
    return taken


def line(name: str, values: list[float], unit: str, scale: float) -> str:
    low, mid, high = (scale * v for v in (min(values), median(values), max(values)))
    return f"{name:<24}{low:>9.2f}{mid:>9.2f}{high:>9.2f}  {unit}"


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("plan", nargs="?", type=Path, default=CLEAN, metavar="PLAN")
    parser.add_argument("--runs", type=int, default=21)
    given = parser.parse_args()
    plan = str(given.plan.resolve())

    floor = [sys.executable, str(FLOOR), str(SCHEMA), plan]
    review = [sys.executable, "-m", "stovelint", "review", "--no-cache", plan]
    survey = [sys.executable, "-m", "stovelint", "survey", plan]
    for command in (floor, review, survey):  # bytecode and file cache
        seconds(command, (0, 1))

    times: dict[str, list[float]] = {"floor": [], "review": [], "survey": []}
    for _ in range(given.runs):
        times["floor"].append(seconds(floor, (0,)))
        times["review"].append(seconds(review, (0, 1)))
        times["survey"].append(seconds(survey, (0,)))

    ratios = [r / f for r, f in zip(times["review"], times["floor"], strict=True)]
    print(f"{given.runs} runs each, interleaved   minimum   median  maximum")
    for name, values in times.items():
        print(line(name, values, "ms", 1000.0))
    print(line("review / floor", ratios, f"(goal {GOAL} for the median)", 1.0))


if __name__ == "__main__":
    main()
