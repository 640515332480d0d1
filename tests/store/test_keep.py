"""Kept answers: found again by content, believed only when whole, never able to run anything."""

from __future__ import annotations

import hashlib
import os
import pickle
from dataclasses import replace
from pathlib import Path

import pytest

from stovelint.place import Mark, Mistake, Span
from stovelint.report.answer import Answer
from stovelint.store import Store, make_mark, open_store
from stovelint.store.keep import MAGIC, MOST_IN_A_DRAWER, _packed

NAMES = ("a.heater.yaml", "a.heater.yaml", "")
CONTENT = b"format: 1\n"


def answer(message: str) -> Answer:
    at = Mark(line=0, column=0, offset=0)
    span = Span(file="a.heater.yaml", start=at, end=at)
    return Answer(
        file="a.heater.yaml",
        mistakes=(Mistake(span=span, path=("title",), message=message, remedy="add it"),),
    )


def nothing(path: str) -> bytes | None:
    return None


@pytest.fixture
def store(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Store:
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path))
    opened = open_store("mark")
    assert opened is not None
    return opened


def file_of(store: Store) -> Path:
    (file,) = (path for path in Path(store.folder).rglob("*") if path.is_file())
    return file


def test_what_was_kept_is_found_again(store: Store) -> None:
    assert store.find(NAMES, CONTENT, nothing) is None
    store.keep(NAMES, CONTENT, answer("`title` is missing"), ())
    assert store.find(NAMES, CONTENT, nothing) == answer("`title` is missing")


@pytest.mark.parametrize(
    "other",
    [
        {"content": CONTENT + b"\n"},
        {"words": ("b.heater.yaml", *NAMES[1:])},
        {"words": (NAMES[0] + NAMES[1], "", "")},
        {"mark": "another"},
    ],
    ids=["content", "name", "joined", "program"],
)
def test_whatever_made_it_is_part_of_its_name(store: Store, other: dict[str, object]) -> None:
    store.keep(NAMES, CONTENT, answer("kept"), ())
    asked = replace(store, mark=str(other.get("mark", store.mark)))
    words = other.get("words", NAMES)
    content = other.get("content", CONTENT)
    assert isinstance(words, tuple) and isinstance(content, bytes)
    assert asked.find(words, content, nothing) is None


def test_a_base_that_changed_or_went_makes_it_worthless(store: Store) -> None:
    bases = (("core.heater.yaml", hashlib.sha256(b"core").hexdigest()),)
    store.keep(NAMES, CONTENT, answer("kept"), bases)
    assert store.find(NAMES, CONTENT, {"core.heater.yaml": b"core"}.get) is not None
    assert store.find(NAMES, CONTENT, {"core.heater.yaml": b"other"}.get) is None
    assert store.find(NAMES, CONTENT, nothing) is None


def test_every_damage_is_passed_over_and_mended(store: Store) -> None:
    store.keep(NAMES, CONTENT, answer("kept"), ())
    file = file_of(store)
    whole = file.read_bytes()
    for length in range(0, len(whole), 7):
        file.write_bytes(whole[:length])
        assert store.find(NAMES, CONTENT, nothing) is None
    for at in range(len(whole)):
        file.write_bytes(whole[:at] + bytes([whole[at] ^ 1]) + whole[at + 1 :])
        assert store.find(NAMES, CONTENT, nothing) is None
    store.keep(NAMES, CONTENT, answer("kept"), ())
    assert file.read_bytes() == whole and store.find(NAMES, CONTENT, nothing) == answer("kept")


class Planted:
    """What a hostile file would ask for: a call while it is read."""

    def __init__(self, mark: Path) -> None:
        self.mark = mark

    def __reduce__(self) -> tuple[object, ...]:
        return os.mkdir, (str(self.mark),)


def test_a_planted_file_runs_nothing(store: Store, tmp_path: Path) -> None:
    """It is whole by its hash, which anybody can compute; still it can name no function."""
    mark = tmp_path / "ran"
    store.keep(NAMES, CONTENT, answer("kept"), ())
    body = pickle.dumps(((), Planted(mark)))
    file_of(store).write_bytes(MAGIC + hashlib.sha256(body).digest() + body)
    assert store.find(NAMES, CONTENT, nothing) is None
    assert not mark.exists()
    pickle.loads(body)
    assert mark.exists(), "the planted file would have run nothing anyway"


def test_functions_of_ours_cannot_be_named_either(store: Store) -> None:
    store.keep(NAMES, CONTENT, answer("kept"), ())
    body = b"cstovelint.cli\nmain\n(]tR."  # main([])
    file_of(store).write_bytes(MAGIC + hashlib.sha256(body).digest() + body)
    assert store.find(NAMES, CONTENT, nothing) is None


def test_a_drawer_does_not_grow_without_end(store: Store) -> None:
    store.keep(NAMES, CONTENT, answer("kept"), ())
    drawer = file_of(store).parent
    for number in range(3 * MOST_IN_A_DRAWER):
        (drawer / f"old{number:04}").write_bytes(b"")
        os.utime(drawer / f"old{number:04}", (number, number))
    store.keep(NAMES, CONTENT, answer("kept"), ())
    left = sorted(path.name for path in drawer.iterdir())
    assert len(left) <= MOST_IN_A_DRAWER + 1 and "old0000" not in left
    assert f"old{3 * MOST_IN_A_DRAWER - 1:04}" in left
    assert store.find(NAMES, CONTENT, nothing) is not None


def test_a_full_or_locked_disk_is_no_fault(store: Store, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("os.replace", full)
    store.keep(NAMES, CONTENT, answer("kept"), ())
    assert not [path for path in Path(store.folder).rglob("*") if path.is_file()]


def test_stopped_while_writing_leaves_nothing(
    store: Store, monkeypatch: pytest.MonkeyPatch
) -> None:
    def stop(*_: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr("os.replace", stop)
    with pytest.raises(KeyboardInterrupt):
        store.keep(NAMES, CONTENT, answer("kept"), ())
    assert not [path for path in Path(store.folder).rglob("*") if path.is_file()]


# -- where it lies ------------------------------------------------------------------------------


def test_a_relative_place_is_ignored(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_CACHE_HOME", "cache")
    monkeypatch.setenv("HOME", str(tmp_path))
    monkeypatch.chdir(tmp_path)
    opened = open_store("mark")
    assert opened is not None
    assert opened.folder == str(tmp_path / ".cache" / "stovelint" / "answers")
    assert not (tmp_path / "cache").exists()


def test_no_place_means_no_store(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_CACHE_HOME", "/dev/null/nowhere")
    assert open_store("mark") is None


def test_a_place_that_others_write_to_is_not_used(store: Store) -> None:
    os.chmod(store.folder, 0o777)
    assert open_store("mark") is None
    os.chmod(store.folder, 0o700)
    assert open_store("mark") is not None


# -- what made it -------------------------------------------------------------------------------


def test_the_mark_goes_by_words_and_by_every_file(monkeypatch: pytest.MonkeyPatch) -> None:
    plain = make_mark(("a", "b"))
    assert make_mark(("a", "b")) == plain
    assert len({plain, make_mark(("ab",)), make_mark(("b", "a")), make_mark()}) == 4


@pytest.mark.parametrize(
    "name", ["rules/wet-stone/limits.toml", "rules/wet-stone/rule.py", "schemas/build-1.json",
             "stovelint/catalogue/data/granite.toml", "stovelint/heat/layers.py"],
)  # fmt: skip
def test_one_changed_letter_in_the_program_changes_the_mark(
    name: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    import shutil

    from stovelint.store import make
    from tests.tree import ROOT

    for shelf in ("stovelint", "rules", "schemas"):
        shutil.copytree(ROOT / shelf, tmp_path / shelf, ignore=shutil.ignore_patterns("*.pyc"))
    monkeypatch.setattr(make, "__file__", str(tmp_path / "stovelint" / "store" / "make.py"))
    before = make.make_mark()
    file = tmp_path / name
    assert file.is_file()
    file.write_bytes(file.read_bytes() + b"\n")
    assert make.make_mark() != before


def test_an_answer_takes_little_room() -> None:
    assert len(_packed(answer("kept"), ())) < 1000
