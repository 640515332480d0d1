"""A review starts fast because it imports little: these modules must stay out of its way."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path
from typing import Iterable

from tests.tree import DEMO, ROOT

LAZY = {
    "asyncio": "no part of a review waits for anything",
    "concurrent.futures": "only many plans are spread over processes",
    "difflib": "only suggests a spelling when one is wrong",
    "email": "came in with importlib.metadata",
    "fractions": "slow to load; lengths are whole numbers over a power of two or ten",
    "http": "nothing goes to the network",
    "importlib.metadata": "an entry-point scan costs more than the review",
    "inspect": "slow; signatures are checked by the tests",
    "json": "only the report for machines writes it",
    "jsonschema": "lists mistakes, so only an invalid file needs it",
    "multiprocessing": "only many plans are spread over processes",
    "numpy.ma": "np.median brings it in; sort and take the middle instead",
    "numpy.random": "there is no chance in a review",
    "numpy.testing": "belongs to tests",
    "pkg_resources": "an entry-point scan costs more than the review",
    "pydoc": "pulled in by careless docstring tools",
    "referencing": "belongs to jsonschema",
    "scipy": "a test referee, no dependency",
    "subprocess": "a review starts no program",
    "unittest": "belongs to tests",
    "urllib.request": "nothing goes to the network",
    "xml": "only other report formats write it",
}
LAZY_OF_OURS = {
    "stovelint.cli.older.since": "nothing older is compared",
    "stovelint.cli.survey": "another command",
    "stovelint.history": "nothing older is compared",
    "stovelint.remedy": "a clean plan has nothing to put right",
    "stovelint.report.figures": "only the report for machines has records of figures",
    "stovelint.report.machine": "the report for machines",
    "stovelint.report.mistakes": "only an invalid plan has them",
    "stovelint.report.points": "only the forms for code hosts are written from them",
    "stovelint.report.standing": "nothing older is compared",
    "stovelint.report.survey": "another report",
    "stovelint.schema.trim": "only an invalid plan can have too much of anything",
    "stovelint.source.json": "another format",
    "stovelint.source.json_places": "another format",
    "stovelint.source.toml": "another format",
    "stovelint.source.toml_places": "another format",
    "stovelint.schema.reword": "only an invalid plan needs its mistakes put in words",
}
"""Of a review that finds nothing and is told as text."""
CLEAN = "fixtures/plans/orchard-school.heater.yaml"
FAULTY = "rules/base-combustible/fails/planks-under-two-inches.heater.yaml"
LINE = re.compile(r"^import time: +(?:self \[us\]|\d+) \| +(?:cumulative|\d+) \| +(\S+)$", re.M)


def modules_imported_by(*arguments: str) -> set[str]:
    done = subprocess.run(
        [sys.executable, "-X", "importtime", "-m", "stovelint", *arguments],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
    )
    return set(LINE.findall(done.stderr))


def offenders(loaded: set[str], lazy: Iterable[str] = LAZY) -> set[str]:
    return {
        name
        for name in loaded
        if any(name == one or name.startswith(f"{one}.") for one in lazy)
    }


def test_a_review_imports_no_lazy_module() -> None:
    loaded = modules_imported_by("review", DEMO)
    assert {"stovelint.review", "numpy"} <= loaded, "the run was no review"
    assert offenders(loaded - brought_by("numpy", "ruamel.yaml", "jsonschema_rs")) == set()


def test_a_clean_review_as_text_imports_nothing_for_other_ends() -> None:
    """`-X importtime` tells of every module, also of one that is imported within a function."""
    loaded = modules_imported_by("review", CLEAN)
    assert {"stovelint.review", "stovelint.report.text"} <= loaded, "the run was no review"
    assert offenders(loaded, LAZY_OF_OURS) == set()


def test_the_guard_sees_what_other_reviews_import() -> None:
    """Faults need remedies, machines their own report, the survey its own: each must be seen."""
    assert "stovelint.remedy" in offenders(modules_imported_by("review", FAULTY), LAZY_OF_OURS)
    seen = offenders(modules_imported_by("review", "--as", "json", CLEAN), LAZY_OF_OURS)
    assert "stovelint.report.machine" in seen
    assert "stovelint.report.survey" in offenders(
        modules_imported_by("survey", CLEAN), LAZY_OF_OURS
    )


def brought_by(*libraries: str) -> set[str]:
    """What the libraries that every review needs bring along is not ours to choose."""
    done = subprocess.run(
        [sys.executable, "-X", "importtime", "-c", f"import {', '.join(libraries)}"],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=True,
    )
    return set(LINE.findall(done.stderr))


def test_help_needs_no_numpy() -> None:
    loaded = modules_imported_by("--help")
    assert "stovelint.cli" in loaded
    assert offenders(loaded) == set() and "numpy" not in loaded


def test_no_module_is_listed_twice() -> None:
    """A second reason would take the place of the first, unseen."""
    text = Path(__file__).read_text(encoding="utf-8")
    listed = re.findall(r'^    "([a-z][\w.]*)": "', text, re.M)
    assert len(listed) == len(LAZY) + len(LAZY_OF_OURS)
