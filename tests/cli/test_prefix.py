"""Where the command runs within a repository."""

from __future__ import annotations

from pathlib import Path

import pytest

from stovelint.cli.prefix import repository_prefix, repository_root


def test_from_the_root_to_the_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    inside = tmp_path / "plans" / "sp ace"
    inside.mkdir(parents=True)
    (tmp_path / ".git").mkdir()
    monkeypatch.chdir(inside)
    assert repository_root() == str(tmp_path)
    assert repository_prefix() == "plans/sp ace/"
    monkeypatch.chdir(tmp_path)
    assert repository_prefix() == ""


def test_a_linked_tree_has_a_file_there(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    linked = tmp_path / "linked"
    (linked / "plans").mkdir(parents=True)
    (tmp_path / ".git").mkdir()
    (linked / ".git").write_text("gitdir: elsewhere\n", encoding="utf-8")
    monkeypatch.chdir(linked / "plans")
    assert (repository_root(), repository_prefix()) == (str(linked), "plans/")


def test_no_repository_no_prefix(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr("stovelint.cli.prefix.MARK", ".no-such-mark")
    assert (repository_root(), repository_prefix()) == ("", "")


def test_a_folder_that_is_gone(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    gone = tmp_path / "gone"
    gone.mkdir()
    monkeypatch.chdir(gone)
    gone.rmdir()
    assert (repository_root(), repository_prefix()) == ("", "")
