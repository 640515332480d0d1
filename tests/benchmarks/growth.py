"""How the cost of the heat grows with parts, with layers and with cases.

    python tests/benchmarks/growth.py [--runs 3] [PLAN]

Each size doubles the one before; printed is processor time, and the exponent p in time ~ size^p
between neighbours (1: twice the size takes twice as long). The least of a few runs counts, since
whatever disturbs a run only makes it longer. Nothing is judged: no unit test reads the figures.

Parts are doubled by copying every wall (a copy takes as much heat as the first, so this is another
heater); layers by cutting every solid layer in two. Imports are not counted, nor is reading.
"""

from __future__ import annotations

import argparse
import math
import time
from copy import deepcopy
from pathlib import Path
from typing import Any, Callable

from stovelint.assemble import assemble_tree, load
from stovelint.catalogue import Catalogue
from stovelint.errors import BuildFileError, HeatError
from stovelint.hotmap.compute import Solver
from stovelint.quantity import parse_length_m

ROOT = Path(__file__).resolve().parent.parent.parent
PLAN = ROOT / "rules" / "concrete-elevation" / "stands" / "brick-bell.heater.yaml"
Tree = dict[str, Any]
Job = tuple[str, int, Callable[[], object]]
"""What grows, its size, and the work."""


def with_copies(tree: Tree, times: int) -> Tree:
    """The plan with every wall `times` times over; what is carried stays on the first."""
    more = deepcopy(tree)
    for turn in range(1, times):
        for name, part in tree["parts"].items():
            if part["kind"] in ("wall", "partition"):
                more["parts"][f"{name}-{turn}"] = deepcopy(part)
    return more


def with_leaves(tree: Tree, times: int) -> Tree:
    """The plan with every solid layer that may be cut in `times` layers of equal thickness."""
    finer = deepcopy(tree)
    for part in finer["parts"].values():
        leaves = []
        for layer in part["layers"]:
            if set(layer) - {"material", "thickness", "mortar", "joint"}:
                leaves.append(layer)  # what else is said of it holds for the whole
                continue
            thickness = f"{1000.0 * parse_length_m(layer['thickness']) / times:.3f} mm"
            leaves += [{**layer, "thickness": thickness} for _ in range(times)]
        part["layers"] = leaves
    return finer


def least_s(work: Callable[[], object], runs: int) -> float:
    times = []
    for _ in range(runs):
        start = time.process_time()
        work()
        times.append(time.process_time() - start)
    return min(times)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("plan", nargs="?", type=Path, default=PLAN, metavar="PLAN")
    parser.add_argument("--runs", type=int, default=3)
    given = parser.parse_args()
    loaded = load(str(given.plan))
    tree, places = loaded.source.tree, loaded.source.places
    catalogue = Catalogue()

    def solve(changed: Tree, members: int = 32) -> Callable[[], object]:
        build = assemble_tree(changed, places)
        return lambda: Solver(catalogue, states=("usual",), members=members)(build)

    sizes = (1, 2, 4)
    jobs: list[Job] = [("parts", n, solve(with_copies(tree, n))) for n in sizes]
    jobs += [("layers", n, solve(with_leaves(tree, n))) for n in sizes]
    jobs += [("cases", n, solve(tree, n)) for n in (8, 16, 32, 64)]

    print("grows        size       ms  exponent")
    before: tuple[str, int, float] | None = None
    for what, size, work in jobs:
        try:
            taken = least_s(work, given.runs)
        except (BuildFileError, HeatError) as error:
            raise SystemExit(f"{what} x {size}: {error}") from error
        exponent = ""
        if before is not None and before[0] == what:
            exponent = f"{math.log(taken / before[2]) / math.log(size / before[1]):.2f}"
        print(f"{what:<10}{size:>7}{1000.0 * taken:>9.0f}{exponent:>10}")
        before = (what, size, taken)


if __name__ == "__main__":
    main()
