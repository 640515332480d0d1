"""How many plans a second are reviewed, computed and from the cache.

    python tests/benchmarks/many_plans.py [--count 1000] [--jobs 2]

Writes small heaters into a temporary folder, no two alike (sizes, materials, thicknesses and
charges; the same ones every time), and reviews the folder three times: without a cache, into an
empty one, and out of the full one. The three must print the same bytes. Whether a plan is clear is
counted, not judged: a finding costs a search for what puts it right, so most of them should be.
Rates are of the wall clock and mean something on a quiet machine only; processor time per plan is
told with them. The goals are 20 plans a second on two cores, and twenty times that from the cache.
"""

from __future__ import annotations

import argparse
import os
import re
import resource
import subprocess
import sys
import tempfile
import time
from pathlib import Path
from typing import NamedTuple

ROOT = Path(__file__).resolve().parent.parent.parent
GOAL_PER_S, GOAL_RATIO = 20.0, 20.0

PLAN = """\
format: 1
title: Kiln Cottage {number}
drawing: KC-{number:04d}
jurisdiction: IRC-2021
by_others: {{chimney: mason on site}}
firing:
  wood: {wood}
  moisture: {moisture} %
  usual: {{charge: {charge} kg, burn: {burn} min, every: {every} h}}
  damper: {{after_burn: ajar, share: 3 %}}
coursing: {{datum: top of the base, gauges: {{brick: 75 mm}}}}
chambers:
  firebox:
    kind: firebox
    inside: bell
    size: {{width: {width} mm, depth: 450 mm, height: 450 mm}}
    bottom: 75 mm
    leads_to: bell
  bell:
    kind: bell
    size: {{width: {bell_width} mm, depth: {bell_depth} mm, height: {height} mm}}
    bottom: 0 mm
    leads_to: chimney
    leaves_at: 150 mm
  chimney: {{kind: chimney, size: {{diameter: 180 mm, height: 5 m}}}}
parts:
  core-base:
    kind: base
    bounds: firebox
    faces: ground
    layers:
      - {{material: firebrick-medium-duty, thickness: 64 mm}}
      - {{material: clay-brick-common, thickness: 76 mm}}
      - {{material: perlite-loose, thickness: {perlite} mm}}
      - {{material: concrete-normal-siliceous, thickness: 100 mm}}
  firebox-wall:
    kind: wall
    bounds: firebox
    faces: bell
    layers: [{{material: firebrick-medium-duty, thickness: {core} mm}}]
  firebox-roof:
    kind: cap
    bounds: firebox
    faces: bell
    layers: [{{material: castable-dense-fireclay, thickness: {roof} mm}}]
  bell-base:
    kind: base
    bounds: bell
    faces: ground
    layers:
      - {{material: clay-brick-common, thickness: 65 mm}}
      - {{material: perlite-loose, thickness: {perlite} mm}}
      - {{material: concrete-normal-siliceous, thickness: 100 mm}}
  bell-wall: {{kind: wall, bounds: bell, faces: room, layers: [{wall}]}}
  bell-cap:
    kind: cap
    bounds: bell
    faces: room
    bearing: 100 mm
    layers: [{{material: castable-dense-fireclay, thickness: {cap} mm}}]
"""

WALLS = (
    "{material: clay-brick-common, thickness: 102 mm}",
    "{material: clay-brick-common, thickness: 114 mm}",
    "{material: firebrick-medium-duty, thickness: 64 mm}, "
    "{material: clay-brick-common, thickness: 102 mm}",
    "{material: clay-brick-common, thickness: 90 mm}, {gap: 6 mm, kind: closed}, "
    "{material: clay-brick-common, thickness: 90 mm}",
)
VARIED: dict[str, tuple[object, ...]] = {
    "charge": (6, 7, 8, 9, 10), "wall": WALLS, "height": (1400, 1500, 1600, 1700, 1800),
    "bell_width": (750, 800, 850), "cap": (75, 90, 100), "wood": ("softwood", "hardwood"),
    "burn": (60, 75, 90), "moisture": (15, 16, 18, 20), "core": (64, 114), "every": (12, 24),
    "bell_depth": (850, 900, 950), "perlite": (100, 120, 150), "roof": (60, 75),
    "width": (350, 400),
}  # fmt: skip
"""What differs from plan to plan: the first fastest, so that neighbours differ in most."""


def plan(number: int) -> str:
    """The text of one plan, the same for the same number."""
    chosen: dict[str, object] = {}
    rest = 104729 * number  # a prime, so that the slow ones change from plan to plan too
    for name, values in VARIED.items():
        rest, place = divmod(rest, len(values))
        chosen[name] = values[place]
    return PLAN.format(number=number, **chosen)


class Run(NamedTuple):
    """One review of the whole folder."""

    wall_s: float
    cpu_s: float
    said: bytes


def review(folder: Path, cache: Path, *more: str) -> Run:
    """Review the folder in a process of its own; what cannot be reviewed ends the benchmark."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    start = time.perf_counter()
    done = subprocess.run(
        [sys.executable, "-m", "stovelint", "review", *more, str(folder)], cwd=ROOT,
        env={**os.environ, "XDG_CACHE_HOME": str(cache)}, capture_output=True, check=False,
    )  # fmt: skip
    wall = time.perf_counter() - start
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    if done.returncode not in (0, 1):
        raise SystemExit(f"the review ended with {done.returncode}:\n{done.stderr.decode()}")
    cpu = (after.ru_utime + after.ru_stime) - (before.ru_utime + before.ru_stime)
    return Run(wall, cpu, done.stdout)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--count", type=int, default=1000)
    parser.add_argument("--jobs", type=int, default=2)
    given = parser.parse_args()
    count, jobs = given.count, ("--jobs", str(given.jobs))

    with tempfile.TemporaryDirectory() as temporary:
        folder, cache = Path(temporary) / "plans", Path(temporary) / "cache"
        folder.mkdir()
        for number in range(count):
            (folder / f"kiln-{number:04d}.heater.yaml").write_text(plan(number), encoding="utf-8")
        runs = {
            "computed": review(folder, cache, *jobs, "--no-cache"),
            "into the cache": review(folder, cache, *jobs),
            "from the cache": review(folder, cache, *jobs),
        }
    if len({run.said for run in runs.values()}) > 1:
        raise SystemExit("the reviews differ with and without the cache")
    clear = len(re.findall(rb"(?m)^Kiln Cottage .*outcome: clear$", runs["computed"].said))
    print(f"{count} plans, {clear} clear, {given.jobs} at a time")
    for name, run in runs.items():
        print(f"{name:<16}{count / run.wall_s:>9.1f} plans/s{1e3 * run.cpu_s / count:>9.1f} "
              "ms of processor time each")  # fmt: skip
    ratio = runs["computed"].wall_s / runs["from the cache"].wall_s
    print(f"from the cache {ratio:.1f} times as fast")
    print(f"goals: {GOAL_PER_S:.0f} plans/s on two cores, and {GOAL_RATIO:.0f} times that")


if __name__ == "__main__":
    main()
