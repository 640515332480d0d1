"""A folder of rules in memory: what is hashed, what is refused, and that no more is run."""

from __future__ import annotations

import os
import shutil
import sys
from pathlib import Path

import pytest

from stovelint import rulebook
from stovelint.errors import RulebookError
from stovelint.trust import TrustError, hold, of_files
from stovelint.trust import held as module
from tests.settings.shopfloor import RULES


@pytest.fixture()
def rules(tmp_path: Path) -> Path:
    made = tmp_path / "rules"
    shutil.copytree(RULES, made, ignore=shutil.ignore_patterns("__pycache__"))
    return made


def refused(folder: Path) -> str:
    with pytest.raises(TrustError) as caught:
        hold(str(folder), "shop/rules")
    assert caught.value.remedy and str(folder) not in str(caught.value)
    return caught.value.message


# -- the hash -----------------------------------------------------------------------------------


def test_the_hash_is_of_names_and_contents_alone(rules: Path, tmp_path: Path) -> None:
    first = hold(str(rules))
    moved = shutil.move(rules, tmp_path / "elsewhere")
    os.utime(Path(moved) / "warm-back" / "rule.py", (1, 1))
    assert hold(str(moved)).digest == first.digest and len(first.digest) == 64


@pytest.mark.parametrize(
    "path", ["warm-back/rule.py", "warm-back/README.md", "warm-back/fails/thin.heater.yaml"]
)
def test_any_byte_counts(rules: Path, path: str) -> None:
    before = hold(str(rules)).digest
    file = rules / path
    data = file.read_bytes()
    file.write_bytes(data[:-1] + bytes([data[-1] ^ 1]))
    assert hold(str(rules)).digest != before
    file.write_bytes(data)
    assert hold(str(rules)).digest == before


def test_names_count_and_so_does_where_one_ends() -> None:
    digests = [
        of_files("shop", files).digest
        for files in (
            {"a": b"bc"}, {"ab": b"c"}, {"a": b"b", "c": b""}, {"a": b"", "bc": b""}, {"a": b""},
            {"b": b"bc"}, {},
        )
    ]  # fmt: skip
    assert len(set(digests)) == len(digests)


def test_a_file_more_or_less(rules: Path) -> None:
    before = hold(str(rules)).digest
    (rules / "note").write_bytes(b"")
    assert hold(str(rules)).digest != before


def test_what_cannot_be_loaded_does_not_count(rules: Path) -> None:
    """A test run in the folder leaves compiled code there; nothing reads it."""
    before = hold(str(rules))
    (rules / "warm-back" / "__pycache__").mkdir()
    (rules / "warm-back" / "__pycache__" / "rule.cpython-311.pyc").write_bytes(b"anything")
    (rules / ".hidden").mkdir()
    (rules / ".hidden" / "rule.py").write_bytes(b"anything")
    after = hold(str(rules))
    assert after == before and after.rules == ("warm-back",)


# -- what is refused ----------------------------------------------------------------------------


def test_no_folder(tmp_path: Path) -> None:
    assert "no folder" in refused(tmp_path / "none")
    (tmp_path / "file").touch()
    assert "no folder" in refused(tmp_path / "file")


@pytest.mark.parametrize("path", ["warm-back/rule.py", "warm-back/fails"])
def test_links_are_refused(rules: Path, tmp_path: Path, path: str) -> None:
    (rules / path).rename(tmp_path / "away")
    (rules / path).symlink_to(tmp_path / "away")
    assert refused(rules) == f"shop/rules/{path} is a link"


def test_a_pipe_is_refused_and_not_waited_for(rules: Path) -> None:
    os.mkfifo(rules / "warm-back" / "pipe")
    assert "no plain file" in refused(rules)


def test_what_belongs_to_somebody_else(rules: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    mine = os.getuid()
    monkeypatch.setattr(os, "getuid", lambda: mine + 1)
    assert refused(rules) == "shop/rules belongs to another user"


def test_one_file_of_somebody_else(rules: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    theirs = os.stat(rules / "warm-back" / "limits.toml").st_ino
    own = module._own

    def look(about: os.stat_result, shown: str) -> None:
        if about.st_ino == theirs:
            about = os.stat_result((*about[:4], os.getuid() + 1, *about[5:10]))
        own(about, shown)

    monkeypatch.setattr(module, "_own", look)
    assert refused(rules) == "shop/rules/warm-back/limits.toml belongs to another user"


@pytest.mark.parametrize("path", ["", "warm-back", "warm-back/rule.py"])
def test_what_anybody_may_write_to(rules: Path, path: str) -> None:
    file = rules / path
    file.chmod(file.stat().st_mode | 0o002)
    assert refused(rules).startswith("anybody may write to shop/rules")


def test_what_is_too_much(rules: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(module, "MOST_FILES", 5)
    assert "more than 5 files" in refused(rules)
    monkeypatch.undo()
    monkeypatch.setattr(module, "MOST_BYTES", 2000)
    assert "more than 2000 bytes" in refused(rules)
    monkeypatch.undo()
    deep = rules.joinpath(*"abcdefghij")
    deep.mkdir(parents=True)
    assert "too deep" in refused(rules)


# -- what is run --------------------------------------------------------------------------------


def test_the_very_bytes_that_were_read_are_run(rules: Path) -> None:
    """Whatever becomes of the disk after the hash was taken, nothing of it is loaded."""
    held = hold(str(rules), "shop/rules")
    shutil.rmtree(rules)
    book = {rule.name: rule for rule in rulebook.load([held])}
    assert book["warm-back"].limits.rows["lean"].value == 60.0
    assert book["warm-back"].folder == "shop/rules/warm-back"
    assert sys.modules["stovelint_rule_warm_back"].__file__ == "shop/rules/warm-back/rule.py"


def test_nothing_is_left_in_the_folder(rules: Path) -> None:
    before = sorted(rules.rglob("*"))
    rulebook.load([hold(str(rules))])
    assert sorted(rules.rglob("*")) == before


def test_a_held_folder_is_vetted_like_one_on_the_disk(rules: Path) -> None:
    (rules / "warm-back" / "README.md").write_text("# Warm back\n", encoding="utf-8")
    (rules / "warm-back" / "fails" / "thin.expect.toml").unlink()
    code = rules / "warm-back" / "rule.py"
    code.write_text(code.read_text(encoding="utf-8") + "\nimport os\n", encoding="utf-8")
    said = []
    for given in (str(rules), hold(str(rules))):
        with pytest.raises(RulebookError) as caught:
            rulebook.load([given])
        said.append(str(caught.value))
    assert said[0] == said[1] and said[0].count("\n") >= 4


def test_code_that_breaks_while_it_loads(rules: Path) -> None:
    code = rules / "warm-back" / "rule.py"
    code.write_text(code.read_text(encoding="utf-8") + "\n1 / 0\n", encoding="utf-8")
    with pytest.raises(RulebookError, match="ZeroDivisionError"):
        rulebook.load([hold(str(rules))])
    assert "stovelint_rule_warm_back" not in sys.modules


def test_a_folder_without_rules(tmp_path: Path) -> None:
    (tmp_path / "note").touch()
    with pytest.raises(RulebookError, match="holds no rule folder"):
        rulebook.load([hold(str(tmp_path))])
