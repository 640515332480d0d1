"""README.md tells every option, form and setting that there is, and none that is not."""

from __future__ import annotations

import argparse
import json
import re
import tomllib
from pathlib import Path

from stovelint.cli.arguments import parser
from stovelint.cli.forms import FORMS
from stovelint.review.compare import MUCH, STEP
from stovelint.schema import SETTINGS, schema_text
from stovelint.settings import read_settings
from tests.tree import ROOT

PAGE = (ROOT / "README.md").read_text(encoding="utf-8")
OPTIONS = PAGE[PAGE.index("\n## Options and variances\n") : PAGE.index("\n## In git and CI\n")]


def rows(head: str, text: str = PAGE) -> list[list[str]]:
    """Cells of the table that begins with a head."""
    lines = text[text.index(f"\n{head}\n") + 1 :].splitlines()
    found = []
    for line in lines[2:]:
        if not line.startswith("|"):
            break
        found.append([cell.strip() for cell in line.strip("|").split(" | ")])
    return found


def taken(command: str) -> set[str]:
    """Long options of a command."""
    (commands,) = (
        action.choices
        for action in parser()._actions
        if isinstance(action, argparse._SubParsersAction)
    )
    return {
        word
        for action in commands[command]._actions
        for word in action.option_strings
        if word.startswith("--") and word != "--help"
    }


def test_every_option_is_told() -> None:
    told = [re.findall(r"--[a-z-]+", row[0]) for row in rows("| option | does |", OPTIONS)]
    assert {word for words in told for word in words} == taken("review") | taken("survey")


def test_every_form_is_told_in_the_order_of_the_help() -> None:
    assert [row[0].strip("`") for row in rows("| `--as` | for | holds |", OPTIONS)] == list(FORMS)


def test_every_setting_is_shown_and_what_is_shown_is_taken(tmp_path: Path) -> None:
    (shown,) = re.findall(r"^```toml\n(.*?)^```$", PAGE, re.M | re.S)
    file = tmp_path / "stovelint.toml"
    file.write_text(shown, encoding="utf-8")
    assert read_settings(str(file)).rules_required
    assert list(tomllib.loads(shown)) == list(json.loads(schema_text(SETTINGS))["properties"])


def test_vouching_is_told_by_words_that_it_takes() -> None:
    calls = re.findall(r"`(stovelint vouch [^`]*)`", PAGE)
    assert len(calls) >= 2
    for call in calls:
        parser().parse_args(call.split()[1:])


def test_what_counts_as_worse_is_told() -> None:
    (worse,) = (row[1] for row in rows("| | means |") if row[0] == "worse")
    assert MUCH == 1.25 and "a quarter farther" in worse
    assert (STEP["K"], STEP["degC"], STEP["m"], STEP["h"], STEP["count"]) == (10, 10, 0.01, 1, 1)
    assert "10 K, 10 mm, an hour or one piece" in worse
