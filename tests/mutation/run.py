"""Mutation testing of the heat floor: are small mistakes in it noticed?

    .venv/bin/python tests/mutation/run.py [MODULE ...] [--every K] [--only TEXT] [--again REPORT]

Makes small wrong versions (mutants) of each module of stovelint/heat, one change at a time, and
runs the fast tests that belong to the module against each. A mutant that no test notices survives.
`--every K` takes about every K-th mutant, always the same ones; `--only TEXT` those whose line or
change holds TEXT; `--again REPORT` those that an earlier run's output names; `--list` runs nothing.
Survivors that were looked at and found to change no result are listed with their reason in
judged.toml; they still count as survivors. The goal is at most 10 %. A judgement whose line has
changed is named, to be made again.

Ends with 1 when more survive, or when one survives that nobody has judged.
"""

from __future__ import annotations

import argparse
import os
import re
import sys
import tempfile
import tomllib
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent.parent
sys.path.insert(0, str(ROOT))
for library in ("OPENBLAS", "OMP", "MKL"):
    os.environ[f"{library}_NUM_THREADS"] = "1"  # the trials share the processors already

from tests.mutation.mutants import Mutant, mutants  # noqa: E402
from tests.mutation.suites import HEAT, modules, suite  # noqa: E402
from tests.mutation.trial import (  # noqa: E402
    BROKEN, PASSED, SLOWEST_S, Outcome, Trial, copy_project, load_heavy, run,
)  # fmt: skip

JUDGED = Path(__file__).resolve().parent / "judged.toml"
GOAL = 0.10


def judged() -> dict[tuple[str, str, str], str]:
    """(module, line of code, change) to the reason why the survivor changes no result."""
    with JUDGED.open("rb") as file:
        rows = tomllib.load(file)["judged"]
    return {
        (row["module"], row["code"], what): row["reason"] for row in rows for what in row["whats"]
    }


class Module:
    """One module, its mutants and what became of them."""

    def __init__(self, name: str, every: int, only: str, again: str | None) -> None:
        self.name, self.path = name, f"{HEAT}/{name}.py"
        self.source = (ROOT / self.path).read_text(encoding="utf-8")
        self.suite = tuple(suite(name))
        self.mutants = [
            mutant for mutant in mutants(self.source)
            if mutant.number % every == 0 and (only in mutant.code or only in mutant.what)
            and (again is None or re.search(
                rf"^{name}:\d+ {re.escape(mutant.what)}(  \[|$)", again, re.M
            ))
        ]  # fmt: skip
        self.survivors: list[Mutant] = []

    def trial(self, text: str, limit_s: float) -> Trial:
        return Trial(path=self.path, text=text, suite=self.suite, limit_s=limit_s)


def try_module(module: Module, folders: list[Path]) -> None:
    """Run all its mutants. The tests must pass on the true module first, in every copy."""
    limits: list[float] = []

    def true_seen(number: int, outcome: Outcome) -> None:
        if outcome.status != PASSED:
            raise SystemExit(
                f"{module.name}: its tests end with {outcome.status} on the module as it is: "
                f"pytest -x {' '.join(module.suite)}"
            )
        limits.append(min(SLOWEST_S, 10.0 + 5.0 * outcome.seconds))

    for folder in folders:
        run([module.trial(module.source, SLOWEST_S)], [folder], true_seen)

    def seen(number: int, outcome: Outcome) -> None:
        if outcome.status in BROKEN:
            raise SystemExit(f"{module.name}: a trial ended with {outcome.status}")
        if not outcome.killed:
            module.survivors.append(module.mutants[number])

    trials = [module.trial(mutant.text, max(limits)) for mutant in module.mutants]
    run(trials, folders, seen)
    module.survivors.sort(key=lambda mutant: mutant.line)


def report(module: Module, known: dict[tuple[str, str, str], str]) -> int:
    """Print the survivors and the count; the number of survivors that nobody has judged."""
    unjudged = 0
    for mutant in module.survivors:
        reason = known.get((module.name, mutant.code, mutant.what))
        unjudged += reason is None
        print(f"{module.name}:{mutant.line} {mutant.what}" + (f"  [{reason}]" if reason else ""))
    total, left = len(module.mutants), len(module.survivors)
    print(
        f"{module.name:<12} mutants {total:>4}  killed {total - left:>4}  survived {left:>3}"
        f"  {100.0 * left / max(total, 1):5.1f} %  not judged {unjudged}",
        flush=True,
    )
    return unjudged


def stale(names: list[str], known: dict[tuple[str, str, str], str]) -> list[str]:
    """Judgements about lines or changes that these modules no longer have."""
    there = {
        (name, mutant.code, mutant.what) for name in names
        for mutant in mutants((ROOT / HEAT / f"{name}.py").read_text(encoding="utf-8"))
    }  # fmt: skip
    return [
        f"{module}: {what} in {code!r}" for module, code, what in known
        if module in names and (module, code, what) not in there
    ]


def main() -> int:
    parser = argparse.ArgumentParser(description="Mutation testing of the heat floor.")
    parser.add_argument("modules", nargs="*", metavar="MODULE", help="such as films; default all")
    parser.add_argument("--every", type=int, default=1, metavar="K", help="every K-th mutant")
    parser.add_argument("--only", default="", metavar="TEXT", help="lines or changes with TEXT")
    parser.add_argument("--jobs", type=int, default=os.cpu_count() or 1, help="copies to work in")
    parser.add_argument("--list", action="store_true", help="name the mutants, run nothing")
    parser.add_argument("--again", type=Path, metavar="REPORT", help="survivors of an earlier run")
    asked = parser.parse_args()
    unknown = sorted(set(asked.modules) - set(modules()))
    if unknown:
        parser.error(f"no module {', '.join(unknown)} in {HEAT}; there are {', '.join(modules())}")
    again = asked.again.read_text(encoding="utf-8") if asked.again else None
    chosen = [
        Module(name, asked.every, asked.only, again) for name in asked.modules or modules()
    ]
    if asked.list:
        for module in chosen:
            for mutant in module.mutants:
                print(f"{module.name}:{mutant.line} {mutant.what}")
        return 0
    load_heavy()
    known = judged()
    unjudged = 0
    with tempfile.TemporaryDirectory() as folder:
        folders = [Path(folder) / str(job) for job in range(asked.jobs)]
        for copy in folders:
            copy_project(ROOT, copy)
        for module in chosen:
            if module.mutants:
                try_module(module, folders)
                unjudged += report(module, known)
    for row in stale([module.name for module in chosen], known):
        print(f"judged, but no longer there: {row}")
    total = sum(len(module.mutants) for module in chosen)
    left = sum(len(module.survivors) for module in chosen)
    share = left / max(total, 1)
    print(
        f"{'all':<12} mutants {total:>4}  killed {total - left:>4}  survived {left:>3}"
        f"  {100.0 * share:5.1f} %  not judged {unjudged}"
    )
    return int(share > GOAL or unjudged > 0)


if __name__ == "__main__":
    sys.exit(main())
