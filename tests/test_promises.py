"""What README.md shows is what the program prints, and what it names exists."""

from __future__ import annotations

import re
import shlex
import subprocess
import sys
from functools import cache

import pytest

from stovelint.report.summary import LEVEL_WORDS
from stovelint.rule.level import BY_CASES
from tests.tree import DEMO, ROOT

PAGES = ("README.md", "DEVELOPERS.md", "CHANGELOG.md")
README = (ROOT / "README.md").read_text(encoding="utf-8")
FENCED = re.compile(r"^```(\w*)\n(.*?)^```$", re.M | re.S)
LINK = re.compile(r"\]\(([^)\s]+)\)")
CUT = "..."
"""A line that stands for lines left out."""
STATUS = {"review": 1, "survey": 0}


def blocks(kind: str) -> list[str]:
    return [text for found, text in FENCED.findall(README) if found == kind]


def fragments(text: str) -> list[str]:
    """A shown text, split where lines are left out."""
    parts = re.split(rf"^ *{re.escape(CUT)}$\n?", text, flags=re.M)
    return [part for part in parts if part.strip()]


def assert_shown_in_order(shown: str, whole: str) -> None:
    """Each fragment stands word for word in `whole`, at line starts, in the order shown."""
    pieces = fragments(shown)
    if len(pieces) == 1 and CUT not in shown.split("\n"):
        assert shown == whole
        return
    at = 0
    for piece in pieces:
        found = ("\n" + whole).find("\n" + piece, at)
        assert found >= 0, f"this is not what is printed:\n{piece}\ninstead of\n{whole}"
        at = found + len(piece)


@cache
def run(command: str) -> subprocess.CompletedProcess[str]:
    words = shlex.split(command)
    assert words[0] == "stovelint", command
    return subprocess.run(
        [sys.executable, "-m", "stovelint", *words[1:]],
        cwd=ROOT,
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=False,
    )


@pytest.mark.parametrize("text", blocks("console"), ids=[x.split("\n")[0] for x in blocks("console")])
def test_shown_output_is_what_is_printed(text: str) -> None:
    first, _, shown = text.partition("\n")
    assert first.startswith("$ ")
    done = run(first[2:])
    assert done.stderr == ""
    assert done.returncode == STATUS[first.split()[2]]
    assert_shown_in_order(shown, done.stdout)


def test_review_and_survey_are_shown() -> None:
    firsts = [text.split("\n")[0].split()[1:3] for text in blocks("console")]
    assert ["stovelint", "review"] in firsts and ["stovelint", "survey"] in firsts


def test_the_tour_quotes_the_demo_plan() -> None:
    plan = (ROOT / DEMO).read_text(encoding="utf-8")
    tour = blocks("yaml")
    assert len(tour) >= 5
    for text in tour:
        for piece in fragments(text):
            assert "\n" + piece in plan, f"the demo plan does not hold:\n{piece}"


def test_the_two_commands_are_one_line_each() -> None:
    lines = [line for text in blocks("sh") for line in text.splitlines()]
    assert len(lines) == 2
    assert all(line.startswith("python3 -m venv .venv && ") for line in lines)
    assert lines[0].endswith(f"/stovelint review {DEMO}") and lines[1].endswith("/pytest -q")


def test_continuous_integration_takes_the_commands_from_the_page() -> None:
    script = (ROOT / ".ci" / "run").read_text(encoding="utf-8")
    assert 'command_of_readme "review $demo"' in script and f"demo={DEMO}" in script
    assert 'command_of_readme "pytest -q"' in script
    assert "pip install -q -e" not in script


@pytest.mark.parametrize("page", PAGES)
def test_what_a_page_links_to_exists(page: str) -> None:
    text = (ROOT / page).read_text(encoding="utf-8")
    headings = {
        re.sub(r"[^a-z0-9 -]", "", title.lower()).replace(" ", "-")
        for title in re.findall(r"^#+ (.+)$", text, re.M)
    }
    for target in LINK.findall(text):
        if target.startswith("#"):
            assert target[1:] in headings, target
        else:
            assert (ROOT / target).exists(), target


def test_files_named_for_developers_exist() -> None:
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    named = re.findall(r"`(?:\S+ )*?((?:tests|stovelint|schemas|\.ci)/[\w./-]+)`", text)
    assert len(named) >= 6
    for name in named:
        assert (ROOT / name).exists(), name


def test_the_table_of_levels_is_the_one_in_use() -> None:
    shown: dict[tuple[str, str], str | None] = {}
    lines = README.splitlines()
    start = lines.index("| | possible | likely | certain |")
    for line in lines[start + 2 : start + 6]:
        stakes, *cells = (cell.strip() for cell in line.strip("|").split("|"))
        for word, cell in zip(("possible", "likely", "certain"), cells, strict=True):
            shown[stakes, word] = cell or None
    used = {
        (stakes, word): None if level is None else LEVEL_WORDS[level]
        for (stakes, word), level in BY_CASES.items()
    }
    assert shown == used


WORDS_OF_CERTAINTY = re.compile(r"\b(safe|approved|guarantee[sd]?|certified)\b", re.I)
COMMANDS = ("review", "survey")


@pytest.mark.parametrize("arguments", ["--help", *(f"{name} --help" for name in COMMANDS)])
def test_help_promises_nothing_it_cannot_keep(arguments: str) -> None:
    done = run(f"stovelint {arguments}")
    assert (done.returncode, done.stderr) == (0, "")
    assert WORDS_OF_CERTAINTY.search(done.stdout) is None
    assert all(line == line.rstrip() and len(line) <= 100 for line in done.stdout.splitlines())


@pytest.mark.parametrize("arguments", [f"review {DEMO}", f"survey {DEMO}"])
def test_reports_promise_nothing_they_cannot_keep(arguments: str) -> None:
    done = run(f"stovelint {arguments}")
    assert "\n" in done.stdout and done.stdout.isascii()
    assert WORDS_OF_CERTAINTY.search(done.stdout) is None


def test_help_names_every_command_of_the_page() -> None:
    help_text = run("stovelint --help").stdout
    for name in COMMANDS:
        assert re.search(rf"^ +{name}\b", help_text, re.M), name


@pytest.mark.parametrize(
    ("shown", "good"),
    [("a\nb\n", True), ("a\n...\nc\n", False), ("...\nb\n", True), ("b\n", False), ("c\n", False)],
)
def test_the_comparison_can_fail(shown: str, good: bool) -> None:
    if good:
        assert_shown_in_order(shown, "a\nb\n")
    else:
        with pytest.raises(AssertionError):
            assert_shown_in_order(shown, "a\nb\n")
