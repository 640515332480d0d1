"""A rule folder is whole or it is refused, with the culprit and the remedy named."""

from __future__ import annotations

import shutil
from pathlib import Path
from typing import Callable

import pytest

from stovelint import rulebook
from stovelint.cli import main
from stovelint.errors import RulebookError
from stovelint.rulebook import vet
from tests.rules.make import RULE_NAMES
from tests.tree import DEMO, ROOT, RULES


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
    """The one fault of a folder, as it is told."""
    with pytest.raises(RulebookError) as caught:
        rulebook.open_folder(str(folder))
    assert caught.value.remedy and not caught.value.others, str(caught.value)
    assert str(folder) in caught.value.culprit
    return str(caught.value)


def test_the_book_holds_every_folder_by_name() -> None:
    book = rulebook.load()
    assert [rule.name for rule in book] == list(RULE_NAMES)
    assert len({rule.function for rule in book}) == len(book) >= 7


def test_a_whole_folder_of_a_shop_is_taken(tmp_path: Path) -> None:
    folder = copied(tmp_path)
    assert rulebook.open_folder(str(folder)).stakes == "breakage"


def test_no_bytecode_is_left_in_a_shops_folder(tmp_path: Path) -> None:
    folder = copied(tmp_path)
    before = sorted(folder.rglob("*"))
    rulebook.open_folder(str(folder))
    assert sorted(folder.rglob("*")) == before


# -- one fault at a time --------------------------------------------------------------------


@pytest.mark.parametrize("name", ["rule.py", "limits.toml", "README.md"])
def test_a_missing_file_is_named(tmp_path: Path, name: str) -> None:
    folder = copied(tmp_path)
    (folder / name).unlink()
    assert f"has no {name}" in refused(folder)


@pytest.mark.parametrize("name", ["rule.py", "limits.toml", "README.md"])
def test_a_file_that_is_no_text_is_named(tmp_path: Path, name: str) -> None:
    folder = copied(tmp_path)
    (folder / name).write_bytes(b"\xff\xfe\x00")
    assert f"{name}: is not UTF-8" in refused(folder)
    (folder / name).unlink()
    (folder / name).mkdir()
    assert f"{name}: cannot be read" in refused(folder)


@pytest.mark.parametrize("name", ["stands", "fails"])
def test_missing_examples_are_named(tmp_path: Path, name: str) -> None:
    folder = copied(tmp_path)
    shutil.rmtree(folder / name)
    assert f"no example in {name}/" in refused(folder)
    (folder / name).mkdir()
    (folder / name / "notes.txt").write_text("x", encoding="utf-8")
    assert f"no example in {name}/" in refused(folder)


def test_a_failing_example_must_say_what_it_shows(tmp_path: Path) -> None:
    folder = copied(tmp_path)
    (folder / "fails" / "bare-slate.expect.toml").unlink()
    assert "bare-slate.heater.yaml: says nowhere" in refused(folder)


def test_what_an_example_shows_needs_the_example(tmp_path: Path) -> None:
    folder = copied(tmp_path)
    (folder / "fails" / "bare-slate.heater.yaml").unlink()
    assert "bare-slate.expect.toml: has no plan beside it" in refused(folder)


@pytest.mark.parametrize(
    ("old", "new", "fault"),
    [
        ('path = "', 'paths = "', "finding 1 has no `path`"),
        ('quantity = "peak"', "", "finding 1 has no `quantity`"),
        ('limit = "CAP-149"', "", "finding 1 has no `limit`"),
        ('limit = "CAP-149"', 'limit = " "', "finding 1 has no `limit`"),
        ('quantity = "peak"', "quantity = 3", "finding 1 has no `quantity`"),
        ('limit = "CAP-149"', 'limit = "CAP-150"', "names the limit `CAP-150`, which limits.toml"),
        ('level = "warning"', 'level = "grave"', "level is 'grave'"),
        ('level = "warning"', "level = 2", "level is 2"),
        ('level = "warning"', 'levels = "warning"', "unknown key `levels`"),
        ('path = "/parts', 'path = "parts', "does not start at the top"),
        ("[[finding]]", "[finding]", "does not hold findings"),
        ("[[finding]]", "[[findings]]", "does not hold findings"),
        ("[[finding]]", "x = 1\n[[finding]]", "does not hold findings"),
        ("[[finding]]", "[[finding", "is not TOML"),
    ],
)
def test_an_example_must_say_it_wholly(tmp_path: Path, old: str, new: str, fault: str) -> None:
    folder = copied(tmp_path)
    rewrite(folder / "fails" / "bare-slate.expect.toml", lambda text: text.replace(old, new, 1))
    with pytest.raises(RulebookError) as caught:
        rulebook.open_folder(str(folder))
    assert fault in str(caught.value)
    assert "bare-slate.expect.toml" in caught.value.culprit and caught.value.remedy


def test_an_example_that_shows_nothing_is_refused(tmp_path: Path) -> None:
    folder = copied(tmp_path)
    for text in ("", "finding = []\n", "finding = 3\n"):
        (folder / "fails" / "bare-slate.expect.toml").write_text(text, encoding="utf-8")
        assert "does not hold findings" in refused(folder)
    (folder / "fails" / "bare-slate.expect.toml").write_text("finding = [3]\n", encoding="utf-8")
    assert "finding 1 is no table" in refused(folder)
    (folder / "fails" / "bare-slate.expect.toml").write_bytes(b"\xff")
    assert "bare-slate.expect.toml: is not UTF-8" in refused(folder)


def test_a_materials_own_limit_may_be_expected(tmp_path: Path) -> None:
    folder = copied(tmp_path)
    rewrite(
        folder / "fails" / "bare-slate.expect.toml", lambda t: t.replace("CAP-149", "slate peak")
    )
    assert rulebook.open_folder(str(folder)).name == "cap-insulation"


@pytest.mark.parametrize(
    ("old", "new", "fault"),
    [
        ('grade = "practice"', 'grade = "sure"', "row `underside`: unknown grade 'sure'"),
        ('grade = "practice"', 'grade = "computed"', "row `underside`: unknown grade 'computed'"),
        ('grade = "practice"', "", "row `underside` has no `grade`"),
        ("value = 149", "", "row `underside` has no `value`"),
        ('title = "common practice, no source"', "", "row `underside` has no `title`"),
        ('key = "CON-175"', 'key = "REF-538"', "the key REF-538 stands for another source already"),
        ("[refractory]", "[", "is not TOML"),
    ],
)
def test_limits_must_be_whole(tmp_path: Path, old: str, new: str, fault: str) -> None:
    folder = copied(tmp_path)
    rewrite(folder / "limits.toml", lambda text: text.replace(old, new, 1))
    with pytest.raises(RulebookError) as caught:
        rulebook.open_folder(str(folder))
    assert fault in str(caught.value) and caught.value.culprit == str(folder / "limits.toml")


def test_a_row_that_stands_twice_is_refused(tmp_path: Path) -> None:
    folder = copied(tmp_path)
    rewrite(folder / "limits.toml", lambda text: text.replace("[excursion]", "[mean]", 1))
    assert "is not TOML" in refused(folder) and "mean" in refused(folder)


def test_a_limit_that_the_rule_never_asks_for_is_refused(tmp_path: Path) -> None:
    folder = copied(tmp_path)
    row = (folder / "limits.toml").read_text(encoding="utf-8").split("\n\n")[0]
    rewrite(
        folder / "limits.toml", lambda text: f"{text}\n{row.replace('[underside]', '[spare]')}\n"
    )
    assert "rule.py: never asks for the limit `spare`" in refused(folder)


@pytest.mark.parametrize("quote", ['"', "'"])
def test_a_limit_that_is_asked_for_in_vain_is_refused(tmp_path: Path, quote: str) -> None:
    folder = copied(tmp_path)
    asks = f"scene.limit({quote}clay{quote})"
    rewrite(folder / "rule.py", lambda t: t.replace('scene.limit("refractory")', asks))
    with pytest.raises(RulebookError) as caught:
        rulebook.open_folder(str(folder))
    assert "asks for limit `clay`" in str(caught.value)
    assert "never asks for the limit `refractory`" in str(caught.value)


@pytest.mark.parametrize(
    ("row", "text", "asked"),
    [
        ("fi-hot-from", 'limits[f"fi-{surface}-from"]', True),
        ("fi-hot-to", 'limits[f"fi-{surface}-from"]', False),
        ("fi-from", 'limits[f"fi-{surface}-from"]', False),
        ("fi-hot-side", """limits[f"fi-{x}-{'above' if up else 'side'}"]""", True),
        ("fi-hot-side", "limits[f'fi-{x}-side']", True),
        ("edge-low", 'limits[f"edge-{row}"]', True),
        ("low-edge", 'limits[f"{row}-edge"]', True),
        ("low-edges", 'limits[f"{row}-edge"]', False),
        ("hedge-low", 'limits[f"edge-{row}"]', False),
        ("edge-low", 'f"the edge-{row} is bad"', False),
        ("edge-low", "limits['edge-low']", True),
        ("edge-low", "edge-low", False),
    ],
)
def test_names_that_are_put_together_count_as_asked_for(row: str, text: str, asked: bool) -> None:
    some = rulebook.open_folder(str(RULES / "cap-insulation"), own=True).limits
    limits = type(some)(rows={row: some.rows["mean"]}, tables={})
    assert bool(list(vet.vet_asked("rule.py", text, limits))) is not asked


@pytest.mark.parametrize(
    ("old", "new", "fault"),
    [
        ("CAP-149", "CAP-150", "README.md: does not name CAP-149"),
        ("CON-93, CON-175", "CON-*", None),
        ("CON-93, CON-175", "CON-9", "does not name CON-93"),
        ("**Looks at**", "**Sees**", "does not say `Looks at`"),
        ("**Why.**", "", "does not say `Why`"),
        ("**What to do.**", "", "does not say `What to do`"),
    ],
)
def test_the_page_must_be_whole(tmp_path: Path, old: str, new: str, fault: str | None) -> None:
    folder = copied(tmp_path)
    rewrite(folder / "README.md", lambda text: text.replace(old, new))
    if fault is None:
        assert rulebook.open_folder(str(folder)).name == "cap-insulation"
        return
    with pytest.raises(RulebookError) as caught:
        rulebook.open_folder(str(folder))
    assert fault in str(caught.value) and caught.value.culprit == str(folder / "README.md")


@pytest.mark.parametrize(
    ("old", "new", "fault"),
    [
        ("def cap_insulation", "def cap_isolation", "named cap_insulation like its folder"),
        ('@rule(stakes="breakage")\n', "", "marked functions are: none"),
        ('@rule(stakes="breakage")', '@rule(stakes="doom")', "stakes are 'doom'"),
        ("def _judge", '@rule(stakes="advice")\ndef second', "cap_insulation, second"),
        ("def cap_insulation(", "def cap_insulation(:", "does not load (SyntaxError"),
        ("CEMENT = ", "1 / 0\nCEMENT = ", "does not load (ZeroDivisionError"),
        ("CEMENT = ", "raise SystemExit\nCEMENT = ", "does not load (SystemExit"),
        ("    Looks at:", "    Views:", "does not say `Looks at:`"),
        ("    Needs:", "    Wants:", "does not say `Needs:`"),
        ("    Silent:", "    Quiet:", "does not say `Silent:`"),
    ],
)
def test_a_wrong_rule_is_refused(tmp_path: Path, old: str, new: str, fault: str) -> None:
    folder = copied(tmp_path)
    rewrite(folder / "rule.py", lambda text: text.replace(old, new, 1))
    assert fault in refused(folder)


HEAD = "from __future__ import annotations\n"


@pytest.mark.parametrize(
    ("line", "fault"),
    [
        ("import os", "imports os"),
        ("import math, os", "imports os"),
        ("import math; import os", "imports os"),
        ("from os import path", "imports os"),
        ("from stovelint.hotmap import records", "imports stovelint.hotmap"),
        ("from stovelint import review", "imports stovelint"),
        ("from stovelint.rulebook import load", "imports stovelint.rulebook"),
        ("from .other import x", "imports .other"),
        ("import numpy as np", "imports numpy"),
        ("def f() -> None:\n    import os", "imports os"),
        ("def f() -> None:\n    print('x')", "calls print()"),
        ("def f() -> None:\n    open('x')", "calls open()"),
        ("def f() -> None:\n    __import__('os')", "calls __import__()"),
        ("def f() -> None:\n    exec('x')", "calls exec()"),
    ],
)
def test_what_a_rule_must_not_do_is_refused_before_it_runs(
    tmp_path: Path, line: str, fault: str
) -> None:
    folder = copied(tmp_path)
    rewrite(folder / "rule.py", lambda t: t.replace(HEAD, f"{HEAD}{line}\nraise SystemExit\n"))
    said = refused(folder)
    assert fault in said and "rule.py: line " in said and "does not load" not in said


@pytest.mark.parametrize(
    "line",
    [
        "import math",
        "import itertools, math",
        "import math as m",
        "from collections import Counter",
        "from stovelint.quantity import parse_length_m",
        "# it is important that nothing is open(ed)",
        "def f(x: list[int]) -> None:\n    x.open()  # type: ignore[attr-defined]",
        "NOTE = 'do not import os here'",
    ],
)
def test_what_only_looks_odd_is_taken(tmp_path: Path, line: str) -> None:
    folder = copied(tmp_path)
    rewrite(folder / "rule.py", lambda text: text.replace(HEAD, f"{HEAD}{line}\n"))
    assert rulebook.open_folder(str(folder)).name == "cap-insulation"


@pytest.mark.parametrize("name", RULE_NAMES)
def test_no_shipped_rule_costs_a_parser(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    def never(text: str) -> None:
        raise AssertionError("the text of a good rule was parsed")

    monkeypatch.setattr(vet, "_parsed", never)
    rulebook.open_folder(str(RULES / name), own=True)


PLAIN = '''"""A rule."""
from stovelint.rule import rule

USES = ("underside", "mean", "excursion", "refractory")


@rule(stakes="advice")
def cap_insulation(scene):
    """Looks at: nothing. Needs: nothing. Silent: always."""
    BODY
'''


def test_a_rule_is_a_generator_with_a_docstring(tmp_path: Path) -> None:
    folder = copied(tmp_path)
    said = {
        PLAIN.replace("BODY", "yield"): None,
        PLAIN.replace("BODY", "return ()"): "is no generator",
        PLAIN.replace("Looks at: nothing. Needs: nothing. Silent: always.", " ").replace(
            "BODY", "yield"
        ): "no docstring",
    }
    for text, fault in said.items():
        (folder / "rule.py").write_text(text, encoding="utf-8")
        if fault is None:
            assert rulebook.open_folder(str(folder)).stakes == "advice"
        else:
            assert fault in refused(folder)


def test_without_docstrings_in_the_interpreter_none_is_asked_for(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Python -OO leaves out every docstring; the review must not stop for that."""
    assert list(vet.vet_docstring("rule.py", "r", None))
    monkeypatch.setattr("stovelint.rulebook.vet.sys.flags", type("F", (), {"optimize": 2}))
    assert list(vet.vet_docstring("rule.py", "r", None)) == []


@pytest.mark.parametrize("name", ["Cap-Insulation", "cap insulation", "2-caps", "cap.insulation"])
def test_a_folder_must_bear_the_name_of_a_rule(tmp_path: Path, name: str) -> None:
    copied(tmp_path).rename(tmp_path / name)
    assert "cannot be the name of a rule" in refused(tmp_path / name)


# -- several faults, several folders --------------------------------------------------------


def test_all_faults_of_a_folder_are_told_at_once(tmp_path: Path) -> None:
    folder = copied(tmp_path)
    (folder / "README.md").unlink()
    shutil.rmtree(folder / "stands")
    (folder / "fails" / "bare-slate.expect.toml").unlink()
    rewrite(folder / "limits.toml", lambda t: t.replace("value = 149", "").replace("93", "nan", 2))
    rewrite(folder / "rule.py", lambda text: text.replace(HEAD, f"{HEAD}import os\n"))
    with pytest.raises(RulebookError) as caught:
        rulebook.open_folder(str(folder))
    told = str(caught.value)
    for fault in (
        "has no README.md", "no example in stands/", "says nowhere", "row `underside` has no",
        "nan is no number", "imports os",
    ):  # fmt: skip
        assert told.count(fault) == 1, fault
    assert len(told.splitlines()) == 6


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


def test_faults_of_all_folders_are_told_at_once(tmp_path: Path) -> None:
    for name in ("cap-insulation", "concrete-elevation"):
        (copied(tmp_path, name) / "README.md").unlink()
    with pytest.raises(RulebookError) as caught:
        rulebook.load([str(tmp_path)])
    assert [line.split(":")[0] for line in str(caught.value).splitlines()] == [
        str(tmp_path / "cap-insulation"), str(tmp_path / "concrete-elevation"),
    ]  # fmt: skip


def test_one_key_stands_for_one_source_in_the_whole_book(tmp_path: Path) -> None:
    folder = copied(tmp_path)
    folder.rename(tmp_path / "cap-of-ours")
    folder = tmp_path / "cap-of-ours"
    rewrite(folder / "rule.py", lambda text: text.replace("cap_insulation", "cap_of_ours"))
    assert "cap-of-ours" in {rule.name for rule in rulebook.load([str(tmp_path)])}
    rewrite(
        folder / "limits.toml", lambda t: t.replace("common practice, no source", "a shop's book")
    )
    with pytest.raises(RulebookError, match="the key CAP-149 stands for another source already"):
        rulebook.load([str(tmp_path)])


def test_a_shelf_without_rules_is_no_book(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(rulebook, "own_folder", lambda: str(tmp_path))
    with pytest.raises(RulebookError, match="holds no rule"):
        rulebook.load()


@pytest.mark.parametrize(
    ("command", "file"),
    [("review", "rule.py"), ("review", "limits.toml"), ("survey", "README.md")],
)
def test_a_broken_book_stops_a_command_with_a_sentence(
    command: str, file: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:  # fmt: skip
    folder = copied(tmp_path)
    (folder / file).unlink()
    monkeypatch.setattr(rulebook, "own_folder", lambda: str(tmp_path))
    assert main([command, str(ROOT / DEMO)]) == 2
    said = capsys.readouterr()
    assert said.out == ""
    assert said.err == (
        f"stovelint: {folder}: has no {file}; a rule folder holds one: add it\n"
    )


@pytest.mark.parametrize("name", RULE_NAMES)
def test_every_page_gives_grades_in_a_table(name: str) -> None:
    page = (RULES / name / "README.md").read_text(encoding="utf-8")
    for word in ("**Looks at**", "**Why.**", "**Judged", "**What to do.**", "| grade |"):
        assert word in page
