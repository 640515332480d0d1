"""Against an older revision: settings, materials and rules are those of that revision."""

from __future__ import annotations

import subprocess
from pathlib import Path

import pytest

from stovelint.cli.choice.settle import Settled, Wish, settle
from stovelint.cli.older.since import open_since
from stovelint.errors import UsageError
from stovelint.trust import TrustError, hold
from tests.settings.shopfloor import shop

OWN = "warm-back"
PLAN = "shop/bench.heater.yaml"


def git(folder: Path, *words: str) -> None:
    subprocess.run(
        ["git", "-c", "user.name=Mason", "-c", "user.email=mason@lakeside.example", *words],
        cwd=folder, check=True, capture_output=True,
    )  # fmt: skip


@pytest.fixture()
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A repository with a shop in it, all of it committed; the current folder is its root."""
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    root = tmp_path / "root"
    root.mkdir()
    made = shop(root)
    git(root, "init", "--quiet")
    git(root, "add", "--all")
    git(root, "commit", "--quiet", "--message", "The shop")
    monkeypatch.chdir(root)
    return made


def settled(**wish: object) -> Settled:
    return settle(Wish(**wish), (PLAN,), open_since("HEAD", (PLAN,), (PLAN,)))  # type: ignore[arg-type]


def names(found: Settled) -> set[str]:
    return {rule.name for rule in found.book}


def test_a_contribution_does_not_change_what_it_is_judged_by(here: Path) -> None:
    settings = here / "stovelint.toml"
    settings.write_text('format = 1\nhold_at = "must"\nwithout = ["brittle-stone"]\n')
    (here / "materials" / "lake-stone.toml").write_text("nonsense")
    found = settled()
    assert (found.hold, found.units) == ("should", "us") and "wet-stone" in found.left_out
    assert "brittle-stone" not in found.left_out
    assert found.catalogue.get("lake-stone").max_service.C == 150.0
    assert found.shop.file == "shop/stovelint.toml"
    settings.unlink()
    assert settled().hold == "should"


def test_settings_that_are_only_now_there_have_no_say(here: Path) -> None:
    git(here, "rm", "--quiet", "--cached", "stovelint.toml")
    git(here, "commit", "--quiet", "--message", "No settings")
    assert (here / "stovelint.toml").exists()
    found = settled()
    assert found.shop.file == "" and found.hold == "breakage"


def test_code_of_the_contribution_is_never_run(here: Path) -> None:
    """Neither by the settings nor by the call: both then mean the folder as it was."""
    code = here / "rules" / OWN / "rule.py"
    trap = here.parent / "trap"
    code.write_text(code.read_text(encoding="utf-8") + f"\nopen({str(trap)!r}, 'w')\n")
    assert OWN in names(settled(rules=("shop/rules",))) and not trap.exists()


def test_the_word_is_for_the_bytes_of_the_revision(
    here: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from stovelint.cli import main

    assert main(["vouch", "shop/rules"]) == 0
    found = settled()
    assert OWN in names(found)
    (held,) = [mark for mark in found.shop.marks if mark == hold("shop/rules").digest]
    code = here / "rules" / OWN / "rule.py"
    code.write_text(code.read_text(encoding="utf-8") + "#")
    assert OWN in names(settled()), "what was vouched for is in the revision, and runs"
    assert main(["vouch", "shop/rules"]) == 0
    (notice,) = settled().notices
    assert "has changed since you vouched" in notice.message and held not in settled().shop.marks


def test_a_folder_that_is_only_now_there(here: Path) -> None:
    (here / "rules").rename(here / "fresh")
    with pytest.raises(TrustError, match="--rules shop/fresh: there was no such folder in HEAD"):
        settled(rules=("shop/fresh",))


def test_a_folder_outside_of_the_repository_is_of_the_disk(here: Path, tmp_path: Path) -> None:
    (here / "rules").rename(tmp_path / "own")
    assert OWN in names(settled(rules=(str(tmp_path / "own"),)))


def test_plans_under_different_settings(here: Path) -> None:
    (here.parent / "other").mkdir()
    other = "other/b.heater.yaml"
    (here.parent / other).write_text("format: 1\n")
    since = open_since("HEAD", (PLAN, other), (PLAN, other))
    with pytest.raises(UsageError, match="other/b.heater.yaml under none"):
        settle(Wish(), (PLAN, other), since)
    assert settle(Wish(look=False), (PLAN, other), since).shop.file == ""


def test_links_of_a_contribution_make_the_call_mean_nothing_else(here: Path) -> None:
    lax = here / "lax.toml"
    lax.write_text('format = 1\nhold_at = "must"\n')
    (here / "other").mkdir()
    (here / "other" / "note").touch()
    git(here, "add", "--all")
    git(here, "commit", "--quiet", "--message", "What lies beside")
    (here / "stovelint.toml").unlink()
    (here / "stovelint.toml").symlink_to("lax.toml")
    (here / "rules").rename(here / "away")
    (here / "rules").symlink_to("other")
    found = settled(settings="shop/stovelint.toml", rules=("shop/rules",))
    assert found.hold == "should" and OWN in names(found)


def test_links_in_the_revision_are_not_followed(here: Path) -> None:
    (here / "rules").rename(here / "truly")
    (here / "rules").symlink_to("truly")
    git(here, "add", "--all")
    git(here, "commit", "--quiet", "--message", "A link")
    with pytest.raises(TrustError, match="shop/rules"):
        settled(rules=("shop/rules",))
