"""`stovelint vouch`: the word, what becomes of it, and that it is only ever the user's own."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from stovelint.cli import main
from stovelint.cli.choice.settle import Settled, Wish, settle
from stovelint.trust import hold
from tests.settings.shopfloor import shop
from tests.tree import ROOT

Said = pytest.CaptureFixture[str]
OWN = "warm-back"
PLAN = "shop/bench.heater.yaml"


@pytest.fixture(autouse=True)
def record(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    return tmp_path / "state" / "stovelint" / "vouched.json"


@pytest.fixture(autouse=True)
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    made = shop(tmp_path)
    monkeypatch.chdir(tmp_path)
    return made


def asked() -> bool:
    """Whether the shop's own rule is asked when only the settings name it."""
    return OWN in {rule.name for rule in settled().book}


def settled() -> Settled:
    return settle(Wish(), (PLAN,))


def refused(capsys: Said, *words: str) -> str:
    assert main(["vouch", *words]) == 2
    shown = capsys.readouterr()
    assert shown.out == "" and shown.err.startswith("stovelint: ") and shown.err.count("\n") == 1
    return shown.err


def test_the_whole_life_of_a_word(here: Path, record: Path, capsys: Said) -> None:
    assert not asked()
    assert main(["vouch", "shop/rules"]) == 0
    assert asked() and settled().notices == ()

    code = here / "rules" / OWN / "rule.py"
    data = code.read_bytes()
    code.write_bytes(data + b"#")
    (notice,) = settled().notices
    assert not asked() and "has changed since you vouched for it" in notice.message
    code.write_bytes(data)
    assert asked()

    code.write_bytes(data + b"#")
    capsys.readouterr()
    assert main(["vouch", "shop/rules"]) == 0
    assert capsys.readouterr().out.startswith("You vouch anew for shop/rules as it is now: ")
    assert asked()
    assert main(["vouch", "shop/rules"]) == 0
    assert capsys.readouterr().out.startswith("You vouched already for shop/rules ")

    assert main(["vouch", "--withdraw", "shop/rules"]) == 0
    assert capsys.readouterr().out == "You no longer vouch for shop/rules.\n"
    (notice,) = settled().notices
    assert "you have not vouched" in notice.message
    assert json.loads(record.read_text(encoding="ascii"))["vouched"] == {}


def test_it_is_said_what_vouching_means(here: Path, capsys: Said) -> None:
    assert main(["vouch", "shop/rules"]) == 0
    out = " ".join(capsys.readouterr().out.split())
    digest = hold(str(here / "rules")).digest
    assert f"6 files, content {digest[:16]}. Rules: {OWN} " in out
    assert "with all your rights" in out and "Nothing fences them in" in out
    with pytest.raises(SystemExit):
        main(["vouch", "--help"])
    help_text = " ".join(capsys.readouterr().out.split())
    assert "with all your rights; nothing fences it in" in help_text


def test_vouching_runs_nothing(here: Path) -> None:
    trap = here.parent / "trap"
    (here / "rules" / OWN / "rule.py").write_text(f"open({str(trap)!r}, 'w')\n", encoding="utf-8")
    assert main(["vouch", "shop/rules"]) == 0
    assert not trap.exists()


def test_the_list_tells_how_each_folder_is(here: Path, capsys: Said) -> None:
    assert main(["vouch", "--list"]) == 0
    assert capsys.readouterr().out == "You have vouched for no folder.\n"
    for name in ("changed", "gone"):
        shutil.copytree(here / "rules", here / name)
        assert main(["vouch", f"shop/{name}"]) == 0
    assert main(["vouch", "shop/rules"]) == 0
    (here / "changed" / "note").touch()
    shutil.rmtree(here / "gone")
    capsys.readouterr()
    assert main(["vouch", "--list"]) == 0
    digest = hold(str(here / "rules")).digest[:16]
    assert capsys.readouterr().out == (
        f"{here}/changed\n    content {digest}, changed since, so not vouched for\n"
        f"{here}/gone\n    content {digest}, not to be run: there is no folder {here}/gone\n"
        f"{here}/rules\n    content {digest}, as it was\n"
    )
    assert main(["vouch", "--withdraw", "shop/gone"]) == 0


def test_the_word_is_for_a_place_as_well(here: Path, tmp_path: Path) -> None:
    """The same content elsewhere is not what somebody looked through."""
    assert main(["vouch", "shop/rules"]) == 0
    other = shutil.copytree(here, tmp_path / "other")
    book = settle(Wish(), (str(other / "bench.heater.yaml"),)).book
    assert OWN not in {rule.name for rule in book}


def test_a_folder_by_another_name_is_the_same(here: Path, tmp_path: Path) -> None:
    (tmp_path / "short").symlink_to(here / "rules")
    assert main(["vouch", "short"]) == 0
    assert asked()
    assert main(["vouch", "--withdraw", str(here / "rules")]) == 0
    assert not asked()


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ((), "no folder is named"),
        (("--withdraw",), "no folder is named"),
        (("--list", "shop/rules"), "--list stands alone"),
        (("--list", "--withdraw"), "--list stands alone"),
        (("none",), "there is no folder none"),
        (("shop/bench.heater.yaml",), "is no folder"),
        (("shop/materials",), "holds no rule folder"),
        (("--withdraw", "shop/rules"), "you have not vouched for shop/rules"),
    ],
)
def test_what_cannot_be_vouched_for(capsys: Said, words: tuple[str, ...], said: str) -> None:
    assert said in refused(capsys, *words)


def test_a_link_in_the_folder(here: Path, tmp_path: Path, capsys: Said) -> None:
    (here / "rules" / OWN / "rule.py").rename(tmp_path / "rule.py")
    (here / "rules" / OWN / "rule.py").symlink_to(tmp_path / "rule.py")
    assert "shop/rules/warm-back/rule.py is a link" in refused(capsys, "shop/rules")
    (notice,) = settled().notices
    assert "is a link" in notice.message


# -- the record ---------------------------------------------------------------------------------


def test_a_damaged_record_is_told_and_never_written_over(record: Path, capsys: Said) -> None:
    assert main(["vouch", "shop/rules"]) == 0
    record.write_bytes(b"{ by hand")
    (notice,) = settled().notices
    assert not asked() and "cannot be believed, it is damaged" in notice.message
    capsys.readouterr()
    for words in (("shop/rules",), ("--withdraw", "shop/rules"), ("--list",)):
        assert "cannot be believed: it is damaged" in refused(capsys, *words)
    assert record.read_bytes() == b"{ by hand"


def test_a_record_that_others_may_write_to(record: Path, capsys: Said) -> None:
    assert main(["vouch", "shop/rules"]) == 0
    record.chmod(0o666)
    (notice,) = settled().notices
    assert "others may write to it" in notice.message
    capsys.readouterr()
    assert "others may write" in refused(capsys, "shop/rules")


def test_a_record_among_the_plans_says_nothing(
    here: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A contribution could bring it along, made out for any path that a CI uses."""
    monkeypatch.setenv("XDG_STATE_HOME", str(here / "state"))
    assert main(["vouch", "shop/rules"]) == 0
    assert not asked()
    (notice,) = settled().notices
    assert "lies in the repository" in notice.message


def test_a_record_above_the_settings_in_the_same_repository_says_nothing(
    tmp_path: Path, record: Path
) -> None:
    """Nor where settings further down make a root of their own, and a CI has its home above."""
    assert main(["vouch", "shop/rules"]) == 0 and record.is_file() and asked()
    (tmp_path / ".git").mkdir()
    assert not asked()
    (notice,) = settled().notices
    assert "lies in the repository" in notice.message


def test_a_relative_place_for_the_record_is_ignored(
    here: Path, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setenv("XDG_STATE_HOME", "shop/state")
    monkeypatch.setenv("HOME", str(tmp_path / "home"))
    assert main(["vouch", "shop/rules"]) == 0
    assert (tmp_path / "home" / ".local" / "state" / "stovelint" / "vouched.json").is_file()
    assert not (here / "state").exists() and asked()


def test_a_record_that_cannot_be_written(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: Said
) -> None:
    (tmp_path / "file").touch()
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "file"))
    assert "cannot be written" in refused(capsys, "shop/rules")


def test_many_calls_at_once_lose_no_word(here: Path, record: Path) -> None:
    folders = [here / f"rules-{number}" for number in range(6)]
    for folder in folders:
        shutil.copytree(here / "rules", folder)
    running = [
        subprocess.Popen(
            [sys.executable, "-m", "stovelint", "vouch", str(folder)],
            env={"PATH": "", "PYTHONPATH": str(ROOT), "XDG_STATE_HOME": str(record.parent.parent)},
            stdout=subprocess.DEVNULL,
        )
        for folder in folders
    ]
    assert [process.wait(60) for process in running] == [0] * len(folders)
    made = json.loads(record.read_text(encoding="ascii"))["vouched"]
    assert sorted(made) == sorted(map(str, folders))
    assert sorted(os.listdir(record.parent)) == ["vouched.json", "vouched.json.lock"]
