"""The schema of the standard and a reader from elsewhere take our documents, and count alike."""

from __future__ import annotations

import csv
import hashlib
import json
import subprocess
import sys
from collections import Counter
from pathlib import Path
from typing import Any

import jsonschema  # type: ignore[import-untyped]
import jsonschema_rs
import pytest

from stovelint.report.sarif import sarif_report
from tests.report import sarif_make

SCHEMA_FILE = Path(__file__).parent / "oasis" / "sarif-schema-2.1.0.json"
SCHEMA = json.loads(SCHEMA_FILE.read_text(encoding="utf-8"))
DOCUMENTS = {
    f"{name}{' for upload' * upload}": sarif_report(told, upload=upload)
    for name, told in (
        ("everything", sarif_make.everything()),
        ("compared", sarif_make.compared()),
        ("nothing", sarif_make.told()),
        ("quiet", sarif_make.told(sarif_make.quiet(), left_out=("wet-stone",))),
    )
    for upload in (False, True)
}


def test_the_schema_is_the_one_of_the_standard() -> None:
    content = SCHEMA_FILE.read_bytes()
    known = "c3b4bb2d6093897483348925aaa73af03b3e3f4bd4ca38cef26dcb4212a2682e"
    assert hashlib.sha256(content).hexdigest() == known
    assert SCHEMA["$schema"] == "http://json-schema.org/draft-04/schema#"
    assert SCHEMA["id"] == json.loads(DOCUMENTS["nothing"])["$schema"]


@pytest.mark.parametrize("name", DOCUMENTS)
def test_the_schema_takes_it(name: str) -> None:
    log = json.loads(DOCUMENTS[name])
    checker = jsonschema.Draft4Validator(SCHEMA, format_checker=jsonschema.FormatChecker())
    assert [error.message for error in checker.iter_errors(log)] == []
    fast = jsonschema_rs.Draft4Validator(SCHEMA, validate_formats=True)
    assert [error.message for error in fast.iter_errors(log)] == []


@pytest.mark.parametrize("path", [("version",), ("runs", 0, "tool"), ("runs", 0, "results", 0,
                                  "message"), ("runs", 0, "invocations", 0,
                                  "executionSuccessful")])  # fmt: skip
def test_the_schema_sees_what_is_missing(path: tuple[str | int, ...]) -> None:
    log = json.loads(DOCUMENTS["everything"])
    node: Any = log
    for step in path[:-1]:
        node = node[step]
    del node[path[-1]]
    assert list(jsonschema.Draft4Validator(SCHEMA).iter_errors(log))
    assert not jsonschema_rs.Draft4Validator(SCHEMA).is_valid(log)


@pytest.mark.parametrize("name", DOCUMENTS)
def test_it_is_strict_json_in_ascii(name: str) -> None:
    def refuse(word: str) -> None:
        raise AssertionError(f"{word} is no JSON")

    text = DOCUMENTS[name]
    assert text.isascii() and text.endswith("}\n")
    json.loads(text, parse_constant=refuse)


def _sarif(folder: Path, *args: str) -> str:
    """The reader has its own program; run as a module it is the same."""
    code = "import sys; from sarif.cmdline.main import main; sys.exit(main())"
    done = subprocess.run(
        [sys.executable, "-c", code, *args], capture_output=True, text=True, cwd=folder, timeout=120
    )
    assert done.returncode == 0, done.stderr
    return done.stdout


def test_a_reader_from_elsewhere_counts_alike(tmp_path: Path) -> None:
    """It reads neither kind nor suppressions, as hosts do, so it is given what hosts are given."""
    text = DOCUMENTS["everything for upload"]
    (tmp_path / "up.sarif").write_text(text, encoding="utf-8")
    ours = json.loads(text)["runs"][0]["results"]
    levels = Counter(one["level"] for one in ours)
    said = _sarif(tmp_path, "summary", "up.sarif")
    for level in ("error", "warning", "note"):
        assert f"{level}: {levels[level]}" in said
    _sarif(tmp_path, "csv", "--output", "up.csv", "up.sarif")
    with open(tmp_path / "up.csv", encoding="utf-8", newline="") as stream:
        rows = list(csv.DictReader(stream))
    theirs = Counter((row["Severity"], int(row["Line"]), row["Location"]) for row in rows)
    places = [one["locations"][0]["physicalLocation"] for one in ours]
    assert theirs == Counter(
        (one["level"], place["region"]["startLine"], place["artifactLocation"]["uri"])
        for one, place in zip(ours, places)
    )
    assert {row["Tool"] for row in rows} == {"stovelint"}


def test_that_reader_would_count_what_was_accepted(tmp_path: Path) -> None:
    """Why there is a form for upload: of the whole document it makes issues of all that passed."""
    text = DOCUMENTS["everything"]
    (tmp_path / "all.sarif").write_text(text, encoding="utf-8")
    _sarif(tmp_path, "csv", "--output", "all.csv", "all.sarif")
    with open(tmp_path / "all.csv", encoding="utf-8", newline="") as stream:
        rows = list(csv.DictReader(stream))
    open_ones = json.loads(DOCUMENTS["everything for upload"])["runs"][0]["results"]
    assert len(rows) > len(open_ones)
