"""Which plans a call names: files, and what lies in folders."""

from __future__ import annotations

import os
from dataclasses import dataclass
from typing import Iterable, Sequence

from stovelint.errors import UsageError
from stovelint.place import PLANS
from stovelint.report.lines import plain

NEAR = (*PLANS, ".heater.yml")
"""In any letters: endings of what its owner surely takes for a plan."""
MOST_NAMED = 100
ENDING = f"a plan's name ends in {', '.join(PLANS[:-1])} or {PLANS[-1]}"


@dataclass(frozen=True, kw_only=True, slots=True)
class Found:
    """What a call names, in the order of the names."""

    plans: tuple[str, ...]
    passed_over: tuple[str, ...]
    """Files in the folders that only look like plans."""


def find_plans(paths: Iterable[str]) -> Found:
    """The plans to review: files as named, folders searched; sorted by name, each file once.

    Folders that are hidden or that only a link leads to are not entered.

    Raises:
        UsageError: a name is empty, or a folder holds no plan or cannot be read.
    """
    found: set[str] = set()
    near: set[str] = set()
    for path in paths:
        if not path:
            raise UsageError("a PATH is empty", "name a plan or a folder; `.` is this one")
        if not os.path.isdir(path):
            found.add(os.path.normpath(path))
            continue
        inside, passed_over = _search(path)
        if not inside:
            also = f" ({_not_looked_at(passed_over)})" if passed_over else ""
            raise UsageError(f"no plan in {path}{also}", ENDING)
        found |= inside
        near |= passed_over
    once: dict[str, str] = {}
    # Of several ways to one file, the shortest is kept.
    for path in sorted(found, key=lambda p: (len(p), p)):
        once.setdefault(os.path.realpath(path), path)
    return Found(plans=_sorted(once.values()), passed_over=_sorted(near - found))


def shown_name(path: str) -> str:
    """How reports call a file: as it was named or found, with `/` between folders."""
    return path.replace(os.sep, "/")


def passed_over(found: Found) -> tuple[str, str]:
    """`not looked at: shop/kiln.heater.yml`, and how plans are named; twice nothing where all
    was looked at."""
    return (_not_looked_at(found.passed_over), ENDING) if found.passed_over else ("", "")


def listed(names: Sequence[str]) -> str:
    """Names in a line, the first of very many.

    >>> listed(["a.heater.yaml", "b.heater.yaml"])
    'a.heater.yaml, b.heater.yaml'
    """
    more = len(names) - MOST_NAMED
    return ", ".join(map(plain, names[:MOST_NAMED])) + (f", and {more} more" if more > 0 else "")


def _search(folder: str) -> tuple[set[str], set[str]]:
    faults: list[OSError] = []
    inside: set[str] = set()
    near: set[str] = set()
    for here, names, files in os.walk(folder, onerror=faults.append):
        names[:] = sorted(name for name in names if not name.startswith("."))
        for file in files:
            if file.endswith(PLANS):
                inside.add(os.path.normpath(os.path.join(here, file)))
            elif file.lower().endswith(NEAR):
                near.add(os.path.normpath(os.path.join(here, file)))
    if faults:
        # A plan that lies in there would be missing from the answer, and nobody would know.
        said = sorted(f"{fault.filename} cannot be read ({fault.strerror})" for fault in faults)
        raise UsageError("; ".join(said), "let the folder be read, or name the plans themselves")
    return inside, near


def _sorted(paths: Iterable[str]) -> tuple[str, ...]:
    return tuple(sorted(paths, key=lambda p: p.replace(os.sep, "/")))


def _not_looked_at(paths: Iterable[str]) -> str:
    return f"not looked at: {listed(_sorted(paths))}"
