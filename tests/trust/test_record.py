"""The record of what a user vouched for: where it lies, and when it is not believed."""

from __future__ import annotations

import json
import os
from pathlib import Path

import pytest

from stovelint.errors import UsageError
from stovelint.trust import Record, record_path
from stovelint.trust.record import alone

DIGEST = "ab" * 32


def test_it_lies_where_the_specification_says(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_STATE_HOME", "/state")
    assert record_path() == "/state/stovelint/vouched.json"
    monkeypatch.setenv("HOME", "/home/anna")
    for ignored in ("", "state", "./state", "../state"):
        monkeypatch.setenv("XDG_STATE_HOME", ignored)
        assert record_path() == "/home/anna/.local/state/stovelint/vouched.json"
    monkeypatch.delenv("XDG_STATE_HOME")
    assert record_path() == "/home/anna/.local/state/stovelint/vouched.json"


def test_a_home_that_is_no_place(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_STATE_HOME", "state")
    monkeypatch.setenv("HOME", "here")
    with pytest.raises(UsageError, match="no home"):
        record_path()


def test_what_was_saved_is_read(tmp_path: Path) -> None:
    path = str(tmp_path / "deep" / "vouched.json")
    assert Record.read(path) == Record(digests={})
    with alone(path):
        Record(digests={"/shop/b": DIGEST, "/shop/a": DIGEST}).save(path)
    assert Record.read(path).digests == {"/shop/a": DIGEST, "/shop/b": DIGEST}
    assert os.stat(path).st_mode & 0o777 == 0o600
    assert os.stat(os.path.dirname(path)).st_mode & 0o777 == 0o700
    assert sorted(os.listdir(os.path.dirname(path))) == ["vouched.json", "vouched.json.lock"]


@pytest.mark.parametrize(
    "data",
    [
        b"", b"{", b"[]", b"null", b"\xff", b"[" * 100_000, b'{"format": 2, "vouched": {}}',
        b'{"format": 1}', b'{"format": 1, "vouched": []}',
        b'{"format": 1, "vouched": {"shop": "' + DIGEST.encode() + b'"}}',
        b'{"format": 1, "vouched": {"/shop": 3}}',
        b'{"format": 1, "vouched": {"/shop": "' + b"zz" * 32 + b'"}}',
        b'{"format": 1, "vouched": {"/shop": "abab"}}',
        b'{"format": 1, "vouched": {}}' + b" " * 2**20,
    ],
)  # fmt: skip
def test_a_damaged_record_vouches_for_nothing(tmp_path: Path, data: bytes) -> None:
    path = tmp_path / "vouched.json"
    path.write_bytes(data)
    path.chmod(0o600)
    found = Record.read(str(path))
    assert found.digests == {} and found.fault


def test_a_record_that_others_may_write_to(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "vouched.json"
    path.write_text(json.dumps({"format": 1, "vouched": {"/shop": DIGEST}}), encoding="ascii")
    path.chmod(0o600)
    assert Record.read(str(path)).digests == {"/shop": DIGEST}
    for mode in (0o620, 0o602):
        path.chmod(mode)
        assert Record.read(str(path)) == Record(digests={}, fault="others may write to it")
    path.chmod(0o600)
    mine = os.getuid()
    monkeypatch.setattr(os, "getuid", lambda: mine + 1)
    assert Record.read(str(path)).fault == "it belongs to another user"


def test_a_folder_in_its_place(tmp_path: Path) -> None:
    assert "cannot be read" in Record.read(str(tmp_path)).fault


def test_a_write_that_fails_leaves_the_old_one(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = str(tmp_path / "vouched.json")
    Record(digests={"/shop": DIGEST}).save(path)

    def full(source: str, target: str) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "replace", full)
    with pytest.raises(OSError):
        Record(digests={}).save(path)
    assert Record.read(path).digests == {"/shop": DIGEST}
    assert os.listdir(tmp_path) == ["vouched.json"]


def test_a_record_needs_a_home_to_speak_of_rules(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from stovelint.cli.choice.settle import Wish, settle
    from tests.settings.shopfloor import shop

    monkeypatch.setenv("XDG_STATE_HOME", "state")
    monkeypatch.setenv("HOME", "here")
    (notice,) = settle(Wish(), (str(shop(tmp_path) / "bench.heater.yaml"),)).notices
    assert "no home" in notice.message
