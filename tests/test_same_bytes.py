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
EXCUSED = {
    ("stovelint/cli/prefix.py", "getcwd"): "hosts count names from the root of the repository",
    ("stovelint/cli/older/since.py", "getcwd"): "a revision is asked for in one repository only",
    ("stovelint/store/keep.py", "getpid"): "tells half-written files of two processes apart",
}
"""Calls that no byte of a report's text, and no verdict, depends on."""
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
            if (shown(path), name) not in EXCUSED:
                assert name not in FORBIDDEN_CALLS, f"{shown(path)}:{node.lineno}: {name}()"


@pytest.mark.parametrize(("file", "call"), EXCUSED)
def test_no_excuse_stands_for_nothing(file: str, call: str) -> None:
    assert f"{call}()" in (ROOT / file).read_text(encoding="utf-8")


@pytest.fixture(scope="module")
def reports() -> tuple[bytes, bytes]:
    """The same review under two seeds of Python's hashes."""
    return run_under("1", "review", DEMO, status=1), run_under("4242", "review", DEMO, status=1)


def run_under(seed: str, *arguments: str, status: int, begin: str = "") -> bytes:
    """What a fresh process prints; `begin` is run in it before the command."""
    script = f"import sys\nfrom stovelint.cli import main\n{begin}\nsys.exit(main(sys.argv[1:]))"
    done = subprocess.run(
        [sys.executable, "-c", script, *arguments],
        cwd=ROOT,
        env={**os.environ, "PYTHONHASHSEED": seed},
        capture_output=True,
        check=False,
    )
    assert (done.returncode, done.stderr) == (status, b"")
    return done.stdout


def test_another_hash_seed_gives_the_same_bytes(reports: tuple[bytes, bytes]) -> None:
    assert reports[0] == reports[1]


def test_the_report_names_no_folder_of_this_machine(reports: tuple[bytes, bytes]) -> None:
    text = reports[0].decode("utf-8")
    assert str(ROOT) not in text and str(Path.home()) not in text


BACKWARDS = """
from stovelint import rulebook
forwards = rulebook.load
rulebook.load = lambda: tuple(reversed(forwards()))
"""
SMALL = (
    "rules/cap-insulation/fails/bare-concrete.heater.yaml",
    "rules/cap-insulation/stands/castable-cap.heater.yaml",
    "rules/brittle-stone/fails/granite-to-the-gas.heater.yaml",
)


ALL_DOCUMENTS = """
from stovelint.cli import forms
writers = list(forms.DOCUMENTS.values())
forms.DOCUMENTS["json"] = lambda told, units: "".join(write(told, units) for write in writers)
"""
"""One review is enough to write it in every form, one behind the other."""


@pytest.mark.parametrize("form", ["text", "json"])
def test_seed_order_of_rules_and_order_of_arguments_change_no_byte(form: str) -> None:
    """All three at once: the plans show findings of several rules, remedies and sources."""
    forth = run_under("1", "review", *SMALL, "--as", form, status=1, begin=ALL_DOCUMENTS)
    back = run_under(
        "4242", "review", *reversed(SMALL), "--as", form, status=1,
        begin=ALL_DOCUMENTS + BACKWARDS,
    )  # fmt: skip
    assert forth == back
    assert forth.count(b"wet-stone" if form == "json" else b"wet stone") >= 1
    assert str(ROOT).encode() not in forth
    if form == "json":
        for sign in (b"sarif-schema-2.1.0", b"<testsuites", b'"fingerprint"', b"::error file=",
                     b"<!-- stovelint review -->"):  # fmt: skip
            assert sign in forth


def test_the_rules_were_really_turned_round() -> None:
    shown = run_under(
        "1", "review", SMALL[1], "--only", "zzz", status=2,
        begin=f"{BACKWARDS}sys.stderr = sys.stdout",
    )  # fmt: skip
    assert shown.index(b"wet-stone") < shown.index(b"base-combustible")
