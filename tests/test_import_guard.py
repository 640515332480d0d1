"""A review starts fast because it imports little: these modules must stay out of its way."""

from __future__ import annotations

import re
import subprocess
import sys

from tests.tree import DEMO, ROOT

LAZY = {
    "asyncio": "no part of a review waits for anything",
    "concurrent.futures": "only many plans are spread over processes",
    "difflib": "only a misspelt name needs it",
    "email": "came in with importlib.metadata",
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


def offenders(loaded: set[str]) -> set[str]:
    return {
        name
        for name in loaded
        if any(name == lazy or name.startswith(f"{lazy}.") for lazy in LAZY)
    }


def test_a_review_imports_no_lazy_module() -> None:
    loaded = modules_imported_by("review", DEMO)
    assert {"stovelint.review", "numpy"} <= loaded, "the run was no review"
    assert offenders(loaded - brought_by("numpy", "ruamel.yaml", "jsonschema_rs")) == set()


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
