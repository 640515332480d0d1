"""Many drawn plans, each of which must end as `tests.drawn.examine` asks.

    python -m tests.drawn.many [--kind wild] [--count 2000] [--seed 1] [--first 1] [--members 2] [--keep DIR]

Kinds: `plausible` and `wild` plans of `tests.drawn.plans`, `changed` ones of `tests.drawn.changed`.
Kind, seed and number make a plan, so that `--first 17 --count 1` looks at one again. Printed are how many ended in which way, the
reasons why plans did not settle, and every fault; with `--keep` the plans at fault, and those that
did not settle, are written there. `--whole N` runs the whole command, with all cases and remedies,
on every Nth plan. Exit status 1 when a plan is at fault or took longer than `--seconds`.
"""

from __future__ import annotations

import argparse
import re
import subprocess
import sys
import tempfile
import time
import traceback
from collections import Counter
from pathlib import Path

from tests.drawn.examine import NO_NUMBER, Verdict, examine, text_of
from tests.drawn.kinds import KINDS, numbered



def _examined(text: str, members: int, *, full: bool) -> Verdict:
    """Whatever is raised is a fault, and where it was raised."""
    try:
        return examine(text, members=members, full=full)
    except Exception as error:
        last = traceback.extract_tb(error.__traceback__)[-1]
        where = f"{Path(last.filename).name}:{last.lineno}"
        said = f"{type(error).__name__}: {error} ({where})"
        return Verdict(ending="judged", faults=(said,), said="", seconds=0.0)


def whole_command(text: str, seconds: float) -> list[str]:
    """Faults of `stovelint review` and `stovelint survey` on one plan."""
    faults: list[str] = []
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "drawn.heater.yaml"
        file.write_text(text, encoding="utf-8")
        for command in ("review", "survey"):
            begun = time.perf_counter()
            done = subprocess.run(
                [sys.executable, "-m", "stovelint", command, str(file)],
                capture_output=True, text=True, check=False,
            )  # fmt: skip
            took = time.perf_counter() - begun
            said = done.stdout + done.stderr
            if took > seconds:
                faults.append(f"{command} took {took:.0f} s")
            if done.returncode not in (0, 1, 2) or done.stderr or "broke" in said:
                faults.append(f"{command}, status {done.returncode}: {said[-400:]}")
            if NO_NUMBER.search(said):
                faults.append(f"{command} printed {NO_NUMBER.search(said)}")
    return faults


def main() -> int:
    assert __doc__ is not None
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--kind", choices=sorted(KINDS), default="wild")
    parser.add_argument("--count", type=int, default=2000)
    parser.add_argument("--first", type=int, default=1)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--members", type=int, default=2)
    parser.add_argument("--keep", type=Path)
    parser.add_argument("--whole", type=int, default=0)
    parser.add_argument("--seconds", type=float, default=20.0)
    parser.add_argument("--minutes", type=float, default=600.0, help="stop after so long")
    parser.add_argument("--brief", action="store_true", help="only how the plans end")
    asked = parser.parse_args()
    endings: Counter[str] = Counter()
    reasons: Counter[str] = Counter()
    slowest = 0.0
    at_fault = 0

    first = asked.first
    begun = time.monotonic()
    for number in range(first, first + asked.count):
        if time.monotonic() - begun > 60.0 * asked.minutes:
            break
        text = text_of(numbered(asked.kind, asked.seed, number))
        one = _examined(text, asked.members, full=not asked.brief)
        faults = list(one.faults)
        if one.seconds > asked.seconds:
            faults.append(f"took {one.seconds:.0f} s")
        if asked.whole and number % asked.whole == 0:
            faults += whole_command(text, asked.seconds)
        endings[one.ending] += 1
        slowest = max(slowest, one.seconds)
        if one.ending != "judged":
            reasons[re.sub(r"\d+(\.\d+)?", "#", one.said)[:150]] += 1
        name = f"{asked.kind}-{asked.seed}-{number}"
        if faults:
            at_fault += 1
            print(f"{name}: {faults[0][:400]}", flush=True)
        unsettled = one.ending in ("not judged", "some judged") or "settle" in one.said
        if asked.keep and (faults or unsettled):
            asked.keep.mkdir(parents=True, exist_ok=True)
            (asked.keep / f"{name}.heater.yaml").write_text(text, encoding="utf-8")

    print(f"{sum(endings.values())} {asked.kind} plans, seed {asked.seed}: {at_fault} at fault; "
          f"slowest {slowest:.1f} s")  # fmt: skip
    for ending, count in endings.most_common():
        print(f"{count:>6} {ending}")
    for reason, count in reasons.most_common(25):
        print(f"{count:>6}   {reason}")
    return int(at_fault > 0)


if __name__ == "__main__":
    raise SystemExit(main())
