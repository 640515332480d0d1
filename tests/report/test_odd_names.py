"""Files with odd names, reviewed by the command in every form: each report is whole and harmless.

The plans lie in two folders, the clear ones and those with mistakes. Every form is written twice,
under another seed of Python's hashes, and read back by a reader of its own kind.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Callable, Iterator, Mapping
from urllib.parse import unquote_to_bytes

import pytest
from junitparser import JUnitXml

from stovelint.cli.forms import FORMS
from stovelint.place import PLAN
from stovelint.report.visible import inert, visible
from tests.report import plans
from tests.report.commonmark import pages, taking_effect
from tests.report.runner import commands
from tests.tree import ROOT

NAMES = tuple(
    sorted(
        name + PLAN
        for name in (
            "a;b", "line\nbreak", "r\rn", "\u00e9t\u00e9 \u043f\u0435\u0447\u044c", "with space",
            "100%", "%0A::error::x", "quo\"te's", "caf\udce9", "-leading", "--out=x", "::error::x",
            "\n::error::x", "##[error]x", "esc\x1b[31m\t", "`<b>`|@mason #12", "a,b:c", "\u202eb",
            "&amp;", "]]>",
        )
    )
)  # fmt: skip
FOLDERS = {"clear": NAMES[::4], "mistaken": NAMES}
"""Solving a plan takes a moment, finding its mistakes takes none."""
STATUS = {"clear": 0, "mistaken": 2}
OUTCOME = {"clear": "clear", "mistaken": "could not be reviewed"}


@dataclass(frozen=True, kw_only=True)
class Ran:
    status: int
    out: str
    err: str


@pytest.fixture(scope="module")
def root(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The plans, and a place for answers to be kept in: solving each once is enough."""
    root = tmp_path_factory.mktemp("odd")
    texts = {"clear": plans.CLEAR.read_text(encoding="utf-8"), "mistaken": plans.mistaken()}
    for folder, text in texts.items():
        (root / folder).mkdir()
        for name in FOLDERS[folder]:
            (root / folder / name).write_text(text, encoding="utf-8")
    return root


def ran(root: Path, folder: str, form: str, seed: str) -> Ran:
    done = subprocess.run(
        [sys.executable, "-m", "stovelint", "review", ".", "--as", form],
        cwd=root / folder, capture_output=True, check=False,
        env={**os.environ, "PYTHONPATH": str(ROOT), "PYTHONHASHSEED": seed, "PYTHONUTF8": "1",
             "XDG_CACHE_HOME": str(root / "kept")},
    )  # fmt: skip
    return Ran(
        status=done.returncode, out=done.stdout.decode("utf-8"), err=done.stderr.decode("utf-8")
    )


@pytest.mark.parametrize("folder", list(FOLDERS))
@pytest.mark.parametrize("form", FORMS)
def test_a_report_on_odd_names_is_whole_and_harmless(root: Path, form: str, folder: str) -> None:
    first, second = (ran(root, folder, form, seed) for seed in ("1", "4242"))
    assert first == second, "the same input gives the same bytes"
    assert (first.status, first.err) == (STATUS[folder], "")
    assert all(line.isprintable() for line in first.out.split("\n")), "no raw control character"
    allowed = {"error", "warning", "notice"} if form == "annotations" else set()
    assert {one.name for one in commands(first.out)} <= allowed
    READ[form](first.out, folder)


# -- readers: each finds every plan by its name, with its outcome ---------------------------------


def _text(out: str, folder: str) -> None:
    ends = f"outcome: {OUTCOME[folder]}"
    reports = out.split("-" * 100)
    names = FOLDERS[folder]
    assert len(reports) == len(names) + 1
    for name, report in zip(names, reports):
        assert inert(visible(name)) in report and ends in report
    assert reports[-1].rstrip().endswith(f"{len(names)} plans: {len(names)} {OUTCOME[folder]}")


def _json(out: str, folder: str) -> None:
    read = json.loads(out)
    assert [one["file"].encode() for one in read["plans"]] == [_held(name) for name in FOLDERS[folder]]
    assert {one["outcome"] for one in read["plans"]} == {OUTCOME[folder]}


def _sarif(out: str, folder: str) -> None:
    (run,) = json.loads(out)["runs"]
    found = {unquote_to_bytes(uri) for uri in _uris(run)}
    if folder == "mistaken":
        assert {os.fsencode(name) for name in NAMES} <= found
    assert run["invocations"][0]["exitCode"] == STATUS[folder]


def _uris(node: Any) -> Iterator[str]:
    if isinstance(node, dict):
        for key, value in node.items():
            if key == "artifactLocation" and "uri" in value:
                yield value["uri"]
            yield from _uris(value)
    if isinstance(node, list):
        for value in node:
            yield from _uris(value)


def _junit(out: str, folder: str) -> None:
    read = JUnitXml.fromstring(out.encode())
    assert isinstance(read, JUnitXml)
    assert [suite.name for suite in read] == [visible(name) for name in FOLDERS[folder]]
    assert read.failures == 0 and bool(read.errors) == (folder == "mistaken")


def _codequality(out: str, folder: str) -> None:
    paths = {one["location"]["path"].encode() for one in json.loads(out)}
    assert paths == ({_held(name) for name in NAMES} if folder == "mistaken" else set())


def _annotations(out: str, folder: str) -> None:
    found = commands(out)
    if folder == "clear":
        assert found == []
    else:  # ten are shown, and the last of them tells of all the others
        assert len(found) == 10
        shown = {one.properties["file"] for one in found}
        kept = {name.encode("utf-8", "surrogateescape") for name in NAMES}
        assert {one.encode() for one in shown if one.isprintable()} <= kept
        assert all(inert(visible(name)) in out or name in shown for name in NAMES)
    assert out.count(f"outcome: {OUTCOME[folder]}") == len(FOLDERS[folder])


def _markdown(out: str, folder: str) -> None:
    host, other = pages(out)
    assert taking_effect(host) == taking_effect(other) == []
    assert host.text == other.text
    assert all(visible(name) in host.text for name in FOLDERS[folder])
    assert f"{OUTCOME[folder]}: " in host.text


def _held(name: str) -> bytes:
    """A name as JSON holds it: itself, but for bytes that are no UTF-8."""
    return visible(name).encode() if "\udce9" in name else name.encode()


READ: Mapping[str, Callable[[str, str], None]] = {
    "text": _text, "json": _json, "sarif": _sarif, "sarif-upload": _sarif, "junit": _junit,
    "codequality": _codequality, "annotations": _annotations, "markdown": _markdown,
}  # fmt: skip


def test_every_form_is_read() -> None:
    assert set(READ) == set(FORMS)


def test_what_is_said_besides_is_harmless_too(tmp_path: Path) -> None:
    """On standard error, and where the report goes to a file."""
    (tmp_path / "empty\n::error::x").mkdir()
    for name in NAMES:
        (tmp_path / name).write_text("title: [", encoding="utf-8")
        (tmp_path / name).with_suffix(".yml").write_text("", encoding="utf-8")
    here = tmp_path.parent / f"{tmp_path.name}-cache"
    for words in (
        ["review", "."], ["review", ".", "--as", "json", "--out", "report.json"],
        ["review", "\n::error::no such file"], ["review", "empty\n::error::x"],
        ["survey", "\n::error::x.heater.yaml"], ["review", ".", "--only", "\n::error::x"],
        ["review", ".", "--out", "\n::error::x/y"], ["review", ".", "--on", "\n::error::x"],
        ["review", ".", "--as", "\n::error::x"], ["survey", ".", "--why", "\n::error::x"],
        ["\n::error::x"], ["review", "##[error]x"],
    ):  # fmt: skip
        done = subprocess.run(
            [sys.executable, "-m", "stovelint", *words], cwd=tmp_path, capture_output=True,
            check=False, env={**os.environ, "PYTHONPATH": str(ROOT), "XDG_CACHE_HOME": str(here)},
        )  # fmt: skip
        said = done.stdout.decode("utf-8") + done.stderr.decode("utf-8")
        assert done.returncode == 2 and said.strip(), words
        assert commands(said) == [], words
        assert all(line.isprintable() for line in said.split("\n")), words
