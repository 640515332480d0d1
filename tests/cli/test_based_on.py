"""The Signal Box studio, built on a kit core: both files from the command line."""

from __future__ import annotations

import json
import shutil
from pathlib import Path
from typing import Any

import pytest

from stovelint.cli import main
from tests.tree import ROOT

FOLDER = ROOT / "fixtures" / "based-on"
KIT = "kit-core.heater.yaml"
BOX = "signal-box.heater.yaml"


@pytest.fixture
def shop(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Both plans in a repository, from which they are named."""
    for name in (KIT, BOX):
        shutil.copy(FOLDER / name, tmp_path / name)
    (tmp_path / ".git").mkdir()
    monkeypatch.chdir(tmp_path)
    return tmp_path


def line(name: str, text: str) -> int:
    lines = (FOLDER / name).read_text(encoding="utf-8").split("\n")
    (number,) = (n for n, one in enumerate(lines, start=1) if one.strip().startswith(text))
    return number


def test_the_kit_stands_by_itself_and_the_studio_fails_in_both_files(
    shop: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """As the heads of both files say; the boards are in the kit's, and became wrong here."""
    assert main(["review", ".", "--as", "json"]) == 1
    made: Any = json.loads(capsys.readouterr().out)
    kit, box = made["plans"]
    assert (kit["file"], kit["outcome"], kit["findings"]) == (KIT, "clear", [])
    assert (box["file"], box["outcome"], box["title"]) == (BOX, "revise", "Signal Box studio")
    assert (kit["based_on"], box["based_on"]) == ([], [KIT])
    assert box["by_others"] == [{"what": "chimney", "who": "mason on site"}]
    assert box["firing"]["hardest"]["loads"] == 3
    places = {
        (one["rule"], one["part"], one["place"]["path"], one["place"]["line"])
        for one in box["findings"]
    }
    blocks = line(BOX, "layers: [{material: hollow")
    stone = line(BOX, "layers: [{material: granite")
    boards = line(KIT, "distance: 150 mm")
    assert places == {
        ("concrete-elevation", "bell-wall-high", BOX, blocks),
        ("cap-insulation", "bell-cap", BOX, stone),
        ("brittle-stone", "bell-cap", BOX, stone),
        ("wet-stone", "bell-cap", BOX, stone),
        ("combustible-clearance", "wall-behind", KIT, boards),
    }
    for one in box["findings"]:
        files = {hand["place"]["path"] for hand in one["related"]}
        assert files == {BOX if one["place"]["path"] == KIT else KIT}


def test_the_text_shows_both_files(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["review", BOX, "--only", "combustible-clearance"]) == 1
    lines = capsys.readouterr().out.split("\n")
    assert lines[0].startswith("Signal Box studio, SB-05 revision A ")
    assert lines[1:3] == [f"plan: {BOX}", f"based on: {KIT}"]
    (at,) = (n for n, one in enumerate(lines) if one.startswith("    at "))
    assert lines[at].endswith(f" {KIT}:{line(KIT, 'distance: 150 mm')}:15")
    said = " ".join(" ".join(lines[at + 1 : at + 3]).split())
    high, loads = line(BOX, "bell-wall-high:"), line(BOX, "hardest:")
    assert f"also set bell-wall-high at {BOX}:{high}:3; hardest / loads at {BOX}:{loads}:13" in said


def test_a_survey_reads_both_files(shop: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["survey", BOX]) == 0
    said = capsys.readouterr().out
    assert "\nbell-wall-high " in said and "\nfirebox-front " in said
    (shop / KIT).unlink()
    assert main(["survey", BOX]) == 2
    said = capsys.readouterr().out
    assert f"{BOX}:{line(BOX, 'based_on:')}:11" in said and "there is no such file" in said


def test_mistakes_of_both_files_in_one_list(
    shop: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    kit, box = (shop / KIT).read_text("utf-8"), (shop / BOX).read_text("utf-8")
    (shop / KIT).write_text(kit.replace("moisture: 16 %", "moisture: 16"), encoding="utf-8")
    (shop / BOX).write_text(box.replace("combustion-air: null", "combustion: null"), "utf-8")
    assert main(["review", BOX]) == 2
    said = capsys.readouterr().out
    assert said.startswith(f"{BOX} ") and "2 things stand in the way" in said
    assert f" {KIT}:{line(KIT, 'moisture:')}:13\n" in said
    assert f" {BOX}:{line(BOX, 'combustion-air:')}:3\n" in said
    assert "did you mean `combustion-air`?" in said


def test_an_answer_is_not_kept_beyond_a_change_of_the_base(
    shop: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Kept answers go by the content of all files that made them."""
    monkeypatch.setenv("XDG_CACHE_HOME", str(shop / "kept"))
    (shop / "small.heater.yaml").write_text(
        f"based_on: {KIT}\ntitle: Small studio\n", encoding="utf-8"
    )
    assert main(["review", "small.heater.yaml"]) == 0
    once = capsys.readouterr().out
    assert any((shop / "kept").rglob("*")), "nothing was kept"
    assert main(["review", "small.heater.yaml"]) == 0
    assert capsys.readouterr().out == once
    kit = (shop / KIT).read_text("utf-8")
    (shop / KIT).write_text(kit.replace("distance: 150 mm", "distance: 50 mm"), encoding="utf-8")
    assert main(["review", "small.heater.yaml"]) == 1
    assert "outcome: revise" in capsys.readouterr().out
    (shop / KIT).unlink()
    assert main(["review", "small.heater.yaml"]) == 2
