"""Same input, same bytes: the package reads no clock, no network, no chance."""

from __future__ import annotations

import ast
import os
import subprocess
import sys
from pathlib import Path

import pytest

from tests.imports import imports_of_file
from tests.tree import DEMO, PACKAGE, ROOT, RULES, python_files, shown

FORBIDDEN = {
    "asyncio": "network",
    "datetime": "clock",
    "ftplib": "network",
    "getpass": "person",
    "http": "network",
    "imaplib": "network",
    "locale": "machine",
    "platform": "machine",
    "random": "chance",
    "secrets": "chance",
    "smtplib": "network",
    "socket": "network",
    "socketserver": "network",
    "ssl": "network",
    "tempfile": "chance",
    "time": "clock",
    "urllib": "network",
    "uuid": "chance",
    "xmlrpc": "network",
}
FORBIDDEN_CALLS = {"default_rng", "getcwd", "getpid", "hash", "urandom"}
SHIPPED = python_files(PACKAGE) + python_files(RULES)


@pytest.mark.parametrize("path", SHIPPED, ids=shown)
def test_nothing_asks_for_what_changes_between_runs(path: Path) -> None:
    for one in imports_of_file(path):
        top = one.module.split(".")[0]
        assert top not in FORBIDDEN, f"{shown(path)}:{one.line}: {top} ({FORBIDDEN.get(top)})"
        assert one.module != "numpy.random", f"{shown(path)}:{one.line}: chance"


@pytest.mark.parametrize("path", SHIPPED, ids=shown)
def test_nothing_calls_what_changes_between_runs(path: Path) -> None:
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Attribute):
            chance = node.attr == "random" and getattr(node.value, "id", "") in ("np", "numpy")
            assert not chance, f"{shown(path)}:{node.lineno}: chance"
        if isinstance(node, ast.Call):
            name = getattr(node.func, "attr", getattr(node.func, "id", ""))
            assert name not in FORBIDDEN_CALLS, f"{shown(path)}:{node.lineno}: {name}()"


@pytest.fixture(scope="module")
def reports() -> tuple[bytes, bytes]:
    """The same review under two seeds of Python's hashes."""
    return review_under("1"), review_under("4242")


def review_under(seed: str) -> bytes:
    done = subprocess.run(
        [sys.executable, "-m", "stovelint", "review", DEMO],
        cwd=ROOT,
        env={**os.environ, "PYTHONHASHSEED": seed},
        capture_output=True,
        check=False,
    )
    assert (done.returncode, done.stderr) == (1, b"")
    return done.stdout


def test_another_hash_seed_gives_the_same_bytes(reports: tuple[bytes, bytes]) -> None:
    assert reports[0] == reports[1]


def test_the_report_names_no_folder_of_this_machine(reports: tuple[bytes, bytes]) -> None:
    text = reports[0].decode("utf-8")
    assert str(ROOT) not in text and str(Path.home()) not in text
