"""`damper: {after_burn: ...}`: each word, and none, from the plan's text to the page."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from stovelint.cli import main
from tests.hotmap.plans import PLAIN

Said = pytest.CaptureFixture[str]

LINE = "  damper: {after_burn: tight}\n"
WORDS = {
    "tight": LINE,
    "ajar": "  damper: {after_burn: ajar, share: 5 %}\n",
    "open": "  damper: {after_burn: open}\n",
    "unsaid": "",
}


def surveyed(folder: Path, word: str, said: Said) -> str:
    plan = folder / f"{word}.heater.yaml"
    plan.write_text(PLAIN.replace(LINE, WORDS[word]), encoding="utf-8")
    assert main(["survey", str(plan)]) == 0
    shown = said.readouterr()
    assert shown.err == ""
    return shown.out


def means(page: str) -> list[tuple[int, int, int]]:
    """(mid, low, high) of the mean of every layer of the firebox and bell walls, in order."""
    walls = page.split("\nfirebox-wall ")[1].split("\nbase ")[0]
    # peak, then mean
    found = re.findall(r"mm +\d+ \(\d+ to \d+\) +(\d+) \((\d+) to (\d+)\)", walls)
    return [(int(mid), int(low), int(high)) for mid, low, high in found]


def room_share(page: str) -> int:
    (share,) = re.findall(r"released in a cycle, (\d+) %", " ".join(page.split()))
    return int(share)


def test_the_tighter_the_damper_the_warmer_the_heater(tmp_path: Path, capsys: Said) -> None:
    """Room air that is drawn through all night takes heat along: the firebox and the share that
    the room gets fall from tight over ajar to open. (A bell need not: what passes carries the
    firebox's heat into it.) Where the word is missing both ends are run and ranges span both."""
    pages = {word: surveyed(tmp_path, word, capsys) for word in WORDS}
    by_word = {word: means(page) for word, page in pages.items()}
    counts = {len(rows) for rows in by_word.values()}
    assert counts != {0} and len(counts) == 1
    firebox = slice(0, 3)  # firebrick and brick of its wall, and its cap
    for end in range(3):
        for tight, ajar, free in zip(*(by_word[w][firebox] for w in ("tight", "ajar", "open"))):
            assert tight[end] > ajar[end] > free[end]
    assert room_share(pages["tight"]) > room_share(pages["ajar"]) > room_share(pages["open"])
    for unsaid, tight, free in zip(by_word["unsaid"], by_word["tight"], by_word["open"]):
        # figures are rounded to a degree
        assert abs(unsaid[1] - min(tight[1], free[1])) <= 1
        assert abs(unsaid[2] - max(tight[2], free[2])) <= 1
    flat = {word: " ".join(page.split()) for word, page in pages.items()}
    told = "the damper after the burn is not given: shut and open were both computed"
    assert [word for word, text in flat.items() if told in text] == ["unsaid"]


@pytest.mark.parametrize("word", list(WORDS))
def test_every_word_can_be_reviewed(word: str, tmp_path: Path, capsys: Said) -> None:
    plan = tmp_path / "plan.heater.yaml"
    plan.write_text(PLAIN.replace(LINE, WORDS[word]), encoding="utf-8")
    assert main(["review", str(plan)]) in (0, 1)
    said = capsys.readouterr()
    assert said.err == "" and ("both computed" in " ".join(said.out.split())) == (word == "unsaid")


def test_a_word_that_is_none_is_told_at_its_line(tmp_path: Path, capsys: Said) -> None:
    plan = tmp_path / "plan.heater.yaml"
    plan.write_text(PLAIN.replace("after_burn: tight", "after_burn: closed"), encoding="utf-8")
    assert main(["survey", str(plan)]) == 2
    line = PLAIN[: PLAIN.index("after_burn")].count("\n") + 1
    shown = capsys.readouterr()
    said = shown.out + shown.err
    assert f":{line}:" in said and "closed" in said and "tight" in said
