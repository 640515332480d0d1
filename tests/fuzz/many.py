"""Many inputs, each of which must end in a plan or in located mistakes.

    python -m tests.fuzz.many [--count 2000] [--seed 1] [--first 1] [--jobs 1] [--keep DIR]

Seed and number make an input, so that `--first 17 --count 1` looks at one again. About one of 500
goes through the whole review, without remedies. Inputs at fault are written to DIR, and one that
hangs in code that cannot be interrupted ends the process. Exit status 1 when one is at fault.
"""

from __future__ import annotations

import argparse
import contextlib
import faulthandler
import io
import multiprocessing
import sys
import time
import warnings
from collections import Counter
from dataclasses import dataclass, field
from pathlib import Path

from tests.fuzz.mutate import made
from tests.fuzz.target import Ending, ends, reviewed, watched

PORTION = 500
EVERY = 50
"""Of so many inputs the last is reviewed, if it is a valid plan: of 500 about one."""
HANGS_S = 300.0
REVIEW_S = 120.0


@dataclass(kw_only=True)
class Tally:
    """What came of some inputs."""

    count: int = 0
    valid: int = 0
    reviews: int = 0
    refused: Counter[str] = field(default_factory=Counter)
    slowest: float = 0.0
    faults: list[tuple[int, str]] = field(default_factory=list)

    def add(self, other: Tally) -> None:
        self.count += other.count
        self.valid += other.valid
        self.reviews += other.reviews
        self.refused += other.refused
        self.slowest = max(self.slowest, other.slowest)
        self.faults += other.faults


def one(seed: int, number: int) -> Ending:
    """One input by its number; what is printed meanwhile is a fault."""
    given = made(seed, number)
    said = io.StringIO()
    with contextlib.redirect_stdout(said), contextlib.redirect_stderr(said):
        ending = ends(given.data, given.name)
    if said.getvalue():
        printed = f"printed {said.getvalue()[:100]!a}"
        return Ending(said=ending.said, faults=(*ending.faults, printed))
    return ending


def portion(seed: int, first: int, count: int, *, whole: bool = True) -> Tally:
    """Some inputs in a row; `whole`: review some of the valid ones."""
    tally = Tally(count=count)
    for number in range(first, first + count):
        begun = time.process_time()
        if number % 50 == 0 or number == first:  # each time it costs milliseconds
            faulthandler.dump_traceback_later(HANGS_S, exit=True)
        ending = one(seed, number)
        tally.slowest = max(tally.slowest, time.process_time() - begun)
        tally.faults += [(number, fault) for fault in ending.faults]
        if ending.loaded is None:
            kind = ending.said.split(":")
            tally.refused["".join(s for s in kind[-1] if s.isalpha() or s == " ")[:40].strip()] += 1
            continue
        tally.valid += 1
        if whole and number % EVERY == 0:
            tally.reviews += 1
            faulthandler.cancel_dump_traceback_later()
            given = made(seed, number)
            with watched(REVIEW_S):
                tally.faults += [(number, fault) for fault in reviewed(ending.loaded, given.name)]
    faulthandler.cancel_dump_traceback_later()
    return tally


def _portion(words: tuple[int, int, int]) -> Tally:
    warnings.simplefilter("error")
    return portion(*words)


def main() -> int:
    assert __doc__ is not None
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--count", type=int, default=2000)
    parser.add_argument("--first", type=int, default=1)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--jobs", type=int, default=1)
    parser.add_argument("--keep", type=Path)
    asked = parser.parse_args()
    begun = time.monotonic()
    last = asked.first + asked.count
    jobs = [
        (asked.seed, first, min(PORTION, last - first))
        for first in range(asked.first, last, PORTION)
    ]
    whole = Tally()
    with contextlib.ExitStack() as stack:
        if asked.jobs > 1:
            context = multiprocessing.get_context("spawn")
            pool = stack.enter_context(context.Pool(asked.jobs))
            answers = pool.imap(_portion, jobs)
        else:
            answers = map(_portion, jobs)  # type: ignore[assignment]
        for tally in answers:
            whole.add(tally)
            for number, fault in tally.faults:
                given = made(asked.seed, number)
                print(f"{asked.seed}-{number} {given.name}: {fault[:300]}", flush=True)
                if asked.keep:
                    asked.keep.mkdir(parents=True, exist_ok=True)
                    ending = given.name.partition(".")[2]
                    (asked.keep / f"{asked.seed}-{number}.{ending}").write_bytes(given.data)
            if whole.count % (20 * PORTION) == 0:
                rate = whole.count / (time.monotonic() - begun)
                print(f"{whole.count} looked at, {rate:.0f} a second", file=sys.stderr, flush=True)
    print(
        f"{whole.count} inputs, seed {asked.seed}: {len({n for n, _ in whole.faults})} at fault; "
        f"{whole.valid} valid plans, {whole.reviews} of them reviewed; "
        f"slowest {whole.slowest:.2f} s; "
        f"{whole.count / (time.monotonic() - begun):.0f} a second"
    )
    for said, count in whole.refused.most_common(40):
        print(f"{count:>8} {said}")
    return int(bool(whole.faults))


if __name__ == "__main__":
    raise SystemExit(main())
