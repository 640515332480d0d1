"""A fault of our own, and names chosen to drive a terminal: one harmless line, status 2."""

from __future__ import annotations

import json
from pathlib import Path
from xml.etree import ElementTree

import pytest

from stovelint.cli import REPORT, main
from stovelint.cli.forms import FORMS
from tests.report.plans import written
from tests.tree import RULES

CLEAR = RULES / "cap-insulation" / "stands" / "castable-cap.heater.yaml"
DRIVING = "\x1b[31mred\x9b\u2028.heater.yaml"
"""A name that clears or colours a screen; nothing but a zero byte and `/` is barred from names."""


def harmless(text: str) -> bool:
    return all(sign.isprintable() or sign == "\n" for sign in text)


def broken(*_: object, **__: object) -> None:
    raise KeyError("a slip\nover two lines \x1b[2J")


def test_a_fault_in_one_plan_is_told_with_it(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr("stovelint.hotmap.compute.Solver.__call__", broken)
    assert main(["review", str(CLEAR)]) == 2
    said = capsys.readouterr()
    assert CLEAR.name in said.out and harmless(said.out + said.err)
    told = " ".join(said.out.split())
    assert "stovelint itself broke: KeyError:" in told and "(test_faults.py" not in told
    assert REPORT in told


@pytest.mark.parametrize(
    ("words", "where"),
    [
        (["survey", str(CLEAR)], "stovelint.hotmap.compute.Solver.__call__"),
        (["review", str(CLEAR)], "stovelint.rulebook.load"),
    ],
)
def test_a_fault_outside_the_plans_is_one_line(
    words: list[str], where: str, monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:  # fmt: skip
    monkeypatch.setattr(where, broken)
    assert main(words) == 2
    said = capsys.readouterr()
    assert said.out == "" and said.err.count("\n") == 1 and harmless(said.err)
    assert said.err.startswith(f"stovelint: stovelint itself broke at {CLEAR}: KeyError:")
    assert said.err.endswith(f"{REPORT}\n")


def test_names_do_not_drive_a_terminal(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    Path(DRIVING).write_text("title: 1\n", encoding="utf-8")
    Path("\x1b[2J.heater.yml").write_text("", encoding="utf-8")
    Path("\x1b[3J").mkdir()
    lone = written(tmp_path, "kiln", "title: 1\n")
    for words in (
        ["review", "."],
        ["review", DRIVING],
        ["survey", DRIVING],
        ["review", "\x1b[3J"],
        ["review", lone, "--out", "\x1b[3J"],
        ["review", lone, "--only", "\x1b[3J"],
        ["survey", "gone\x1b[3J.heater.yaml"],
    ):
        assert main(words) == 2
        said = capsys.readouterr()
        assert said.out + said.err, words
        assert harmless(said.out + said.err), words
    for words in (["review", "--\x1b[2J", lone], ["\x1b[2J"], ["review", lone, "--as", "\x9bx"]):
        with pytest.raises(SystemExit):
            main(words)
        said = capsys.readouterr()
        assert said.err and harmless(said.out + said.err), words


HOSTILE = """\
{"format": 1, "title": "\\u001b[2J \\u009b31m \\u2028", "\\u001b]0;x\\u0007": 1, "notes": "\\ud800",
 "chambers": {"a": {"kind": "\\u001b[31mbell", "]]>&<b>": 2, "leads_to": "\\r::error::x\\n"}},
 "parts": {"%0A::notice::": {"kind": "wall", "layers": [{"material": "<script>|`*_[x](y)"}]}}}
"""


@pytest.mark.parametrize("form", FORMS)
def test_no_form_of_the_report_repeats_what_would_drive_its_reader(
    form: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    Path("kiln.heater.json").write_text(HOSTILE, encoding="ascii")
    Path(DRIVING).write_text("title: 1\n", encoding="utf-8")
    assert main(["review", "--no-cache", "--as", form, "."]) == 2
    said = capsys.readouterr()
    assert "kiln.heater.json" in said.out and harmless(said.out + said.err)
    if form in ("json", "sarif", "sarif-upload", "codequality"):
        json.loads(said.out)
    elif form == "junit":
        ElementTree.fromstring(said.out)
    elif form == "annotations":
        assert all(line.startswith("::") for line in said.out.split("\n") if "::" in line)
        assert not any(line.startswith(("::error::x", "::notice::")) for line in said.out.split("\n"))
    elif form == "markdown":
        assert "<script>" not in said.out and "<b>" not in said.out
