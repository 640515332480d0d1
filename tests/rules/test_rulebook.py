"""A rule folder is whole or it is refused, with the culprit and the remedy named."""

from __future__ import annotations

import shutil
from pathlib import Path
from typing import Callable

import pytest

from stovelint import rulebook
from stovelint.errors import RulebookError
from tests.tree import RULES

NAMES = [
    "base-combustible", "brittle-stone", "cap-insulation", "cast-reinforcement",
    "combustible-clearance", "concrete-elevation", "wet-stone",
]  # fmt: skip


def copied(tmp_path: Path, name: str = "cap-insulation") -> Path:
    folder = tmp_path / name
    shutil.copytree(RULES / name, folder, ignore=shutil.ignore_patterns("__pycache__"))
    return folder


def rewrite(file: Path, change: Callable[[str], str]) -> None:
    before = file.read_text(encoding="utf-8")
    after = change(before)
    assert after != before, "the damage did nothing"
    file.write_text(after, encoding="utf-8")


def refused(folder: Path) -> str:
    with pytest.raises(RulebookError) as caught:
        rulebook.open_folder(str(folder))
    assert caught.value.remedy
    assert str(folder) in caught.value.culprit
    return str(caught.value)


def test_the_book_holds_the_core_rules_by_name() -> None:
    assert [rule.name for rule in rulebook.load()] == NAMES


def test_a_whole_folder_of_a_shop_is_taken(tmp_path: Path) -> None:
    folder = copied(tmp_path)
    assert rulebook.open_folder(str(folder)).stakes == "breakage"


def test_no_bytecode_is_left_in_a_shops_folder(tmp_path: Path) -> None:
    folder = copied(tmp_path)
    before = sorted(folder.rglob("*"))
    rulebook.open_folder(str(folder))
    assert sorted(folder.rglob("*")) == before


@pytest.mark.parametrize("name", ["rule.py", "limits.toml", "README.md"])
def test_a_missing_file_is_named(tmp_path: Path, name: str) -> None:
    folder = copied(tmp_path)
    (folder / name).unlink()
    assert f"has no {name}" in refused(folder)


@pytest.mark.parametrize("name", ["stands", "fails"])
def test_missing_examples_are_named(tmp_path: Path, name: str) -> None:
    folder = copied(tmp_path)
    shutil.rmtree(folder / name)
    assert f"no example in {name}/" in refused(folder)


def test_a_failing_example_must_say_what_it_shows(tmp_path: Path) -> None:
    folder = copied(tmp_path)
    (folder / "fails" / "bare-slate.expect.toml").unlink()
    assert "bare-slate.heater.yaml: says nowhere" in refused(folder)


@pytest.mark.parametrize(
    ("old", "new", "fault"),
    [
        ("def cap_insulation", "def cap_isolation", "named cap_insulation like its folder"),
        ('@rule(stakes="breakage")\n', "", "marked functions are: none"),
        ('@rule(stakes="breakage")', '@rule(stakes="doom")', "stakes are 'doom'"),
        ("def _judge", '@rule(stakes="advice")\ndef second', "cap_insulation, second"),
        ("from __future__ import annotations", "import no_such_module", "does not load"),
        ("def cap_insulation(", "def cap_insulation(:", "does not load"),
    ],
)
def test_a_wrong_rule_is_refused(tmp_path: Path, old: str, new: str, fault: str) -> None:
    folder = copied(tmp_path)
    rewrite(folder / "rule.py", lambda text: text.replace(old, new, 1))
    assert fault in refused(folder)


PLAIN = '''"""A rule."""
from stovelint.rule import rule


@rule(stakes="advice")
def cap_insulation(scene):
    """Looks at nothing."""
    BODY
'''


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        (PLAIN.replace("BODY", "return ()"), "is no generator"),
        (PLAIN.replace('"""Looks at nothing."""', "").replace("BODY", "yield"), "no docstring"),
    ],
)
def test_a_rule_is_a_generator_with_a_docstring(tmp_path: Path, text: str, fault: str) -> None:
    folder = copied(tmp_path)
    (folder / "rule.py").write_text(text, encoding="utf-8")
    assert fault in refused(folder)


def test_two_rules_of_one_name_are_refused(tmp_path: Path) -> None:
    copied(tmp_path)
    with pytest.raises(RulebookError, match="`cap-insulation` stands already in"):
        rulebook.load([str(tmp_path)])


def test_a_shelf_that_is_not_there_is_named(tmp_path: Path) -> None:
    with pytest.raises(RulebookError, match="no-such-shelf: cannot be read"):
        rulebook.load([str(tmp_path / "no-such-shelf")])


def test_hidden_folders_and_files_are_no_rules(tmp_path: Path) -> None:
    (tmp_path / ".git").mkdir()
    (tmp_path / "_shared").mkdir()
    (tmp_path / "notes.txt").write_text("x", encoding="utf-8")
    (tmp_path / "b-rule").mkdir()
    (tmp_path / "a-rule").mkdir()
    assert [Path(f).name for f in rulebook.folders(str(tmp_path))] == ["a-rule", "b-rule"]


@pytest.mark.parametrize("name", NAMES)
def test_every_limit_is_used_and_every_key_explained(name: str) -> None:
    rule = rulebook.open_folder(str(RULES / name), own=True)
    code = (RULES / name / "rule.py").read_text(encoding="utf-8")
    page = (RULES / name / "README.md").read_text(encoding="utf-8")
    for row in rule.limits:
        stem = row.rsplit("-", 1)[0] if name == "combustible-clearance" else row
        built = name == "combustible-clearance" and _is_put_together(stem, code)
        built |= name == "brittle-stone" and f'"{row.split("-")[0]}-{{' in code
        assert built or f'"{row}"' in code, f"limit {row} is never asked for"
    keys = {r.key for r in rule.limits.rows.values()}
    keys |= {r.key for r in rule.limits.tables.values()}
    for key in keys:
        family = key.split("-")[0]
        assert key in page or f"{family}-" in page, f"{key} is not on the page"


def _is_put_together(stem: str, code: str) -> bool:
    """Names of the table and of the surface classes are put together in the code."""
    if stem.startswith("fi-"):
        return "fi-{" in code
    return f'"{stem}"' in code


@pytest.mark.parametrize("name", NAMES)
def test_every_page_says_what_why_and_what_to_do(name: str) -> None:
    page = (RULES / name / "README.md").read_text(encoding="utf-8")
    for word in ("**Looks at**", "**Why.**", "**Judged", "**What to do.**", "| grade |"):
        assert word in page
