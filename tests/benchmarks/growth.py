"""How the cost of the heat grows with parts, with layers, with samples in time and with cases.

    python tests/benchmarks/growth.py [--runs 3] [PLAN]

Each size doubles the one before; printed is processor time, and the exponent p in time ~ size^p
between neighbours (1: twice the size takes twice as long). The least of a few runs counts, since
whatever disturbs a run only makes it longer. Nothing is judged: no unit test reads the figures.

Parts are doubled by copying every wall (a copy takes as much heat as the first, so this is another
heater); layers by cutting every solid layer in two; samples by asking for more of them in the burn.
Imports are not counted, nor is reading. The last column is the number of passes that the slowest
of its solutions took: where it differs, time per pass is what grows as the exponent in brackets.
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
from stovelint.heat.periodic import Solution, solve
from stovelint.hotmap import cases, compute
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


def with_samples(times: int, work: Callable[[], object]) -> Callable[[], object]:
    """The work with `times` as many samples in the cycle, and as many in every burn."""
    names = ("SAMPLES_IN_BURN", "SAMPLES_IN_LOAD", "FEWEST_SAMPLES")
    usual = {name: getattr(cases, name) for name in names}

    def more() -> object:
        try:
            for name, count in usual.items():
                setattr(cases, name, times * count)
            return work()
        finally:
            for name, count in usual.items():
                setattr(cases, name, count)

    return more


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

    passes: list[int] = []

    def counted(*args: Any, **more: Any) -> Solution:
        found = solve(*args, **more)
        passes.append(found.passes)
        return found

    setattr(compute, "solve", counted)

    def solved(changed: Tree, members: int = 32) -> Callable[[], object]:
        build = assemble_tree(changed, places)
        return lambda: Solver(catalogue, states=("usual",), members=members)(build)

    sizes = (1, 2, 4, 8)
    jobs: list[Job] = [("parts", n, solved(with_copies(tree, n))) for n in sizes]
    jobs += [("layers", n, solved(with_leaves(tree, n))) for n in sizes[:3]]
    jobs += [("samples", n, with_samples(n, solved(tree))) for n in sizes]
    jobs += [("cases", n, solved(tree, n)) for n in (16, 32, 64, 128)]

    print("grows        size       ms  exponent  (each pass)  passes")
    before: tuple[str, int, float, int] | None = None
    for what, size, work in jobs:
        passes.clear()
        try:
            taken = least_s(work, given.runs)
        except (BuildFileError, HeatError) as error:
            raise SystemExit(f"{what} x {size}: {error}") from error
        exponent = each = ""
        most = max(passes)
        if before is not None and before[0] == what:
            larger, longer = math.log(size / before[1]), math.log(taken / before[2])
            exponent = f"{longer / larger:.2f}"
            each = f"({(longer - math.log(most / before[3])) / larger:.2f})"
        print(f"{what:<10}{size:>7}{1000.0 * taken:>9.0f}{exponent:>10}{each:>13}{most:>8}")
        before = (what, size, taken, most)


if __name__ == "__main__":
    main()
