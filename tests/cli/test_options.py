"""The options of `stovelint review`: what each does, and how each says no."""

from __future__ import annotations

import json
import os
import re
import stat
from pathlib import Path
from typing import Any

import pytest

from stovelint import rulebook
from stovelint.cli import main
from stovelint.cli.choice.choose import choose
from stovelint.cli.find import find_plans
from stovelint.cli.out import MOST_TRIES, write_whole
from stovelint.errors import UsageError
from stovelint.hold import LEAST, SAID, USUAL
from stovelint.schema import is_valid
from stovelint.source.yaml import parse
from tests.cli.test_cli import BARE, CLEAR, NOTED, ran
from tests.report import plans
from tests.tree import ROOT

Said = pytest.CaptureFixture[str]
BOOK = rulebook.load()
NAMES = [rule.name for rule in BOOK]


def refused(said: Said, *arguments: str) -> str:
    """What is said to a call that is refused: one line, status 2, nothing on stdout."""
    assert main(["review", *arguments]) == 2
    shown = said.readouterr()
    assert shown.out == "" and shown.err.startswith("stovelint: ") and shown.err.count("\n") == 1
    return shown.err


def told(said: Said, status: int, *arguments: str) -> str:
    assert main(["review", *arguments]) == status
    shown = said.readouterr()
    assert shown.err == ""
    return shown.out


# -- --as, --units ------------------------------------------------------------------------------


def test_as_json_is_one_document_on_stdout(capsys: Said) -> None:
    document = json.loads(told(capsys, 0, str(CLEAR), "--as", "json"))
    assert [plan["outcome"] for plan in document["plans"]] == ["clear"]
    assert document["status"] == 0 and document["rules"]["asked"] == NAMES


def test_as_text_is_the_same_as_saying_nothing(capsys: Said) -> None:
    assert told(capsys, 0, str(CLEAR), "--as", "text") == told(capsys, 0, str(CLEAR))


@pytest.mark.parametrize(
    ("option", "word"), [("--as", "xml"), ("--units", "metric"), ("--hold-at", "never")]
)
def test_a_word_that_an_option_does_not_know_is_refused(option: str, word: str) -> None:
    done = ran("review", str(CLEAR), option, word)
    assert done.returncode == 2 and option in done.stderr and word in done.stderr


def test_options_cannot_be_shortened() -> None:
    """A shortened one would change its meaning when a longer one is added."""
    done = ran("review", str(CLEAR), "--hold", "danger")
    assert done.returncode == 2 and "--hold" in done.stderr


def test_us_units(capsys: Said) -> None:
    us = told(capsys, 1, str(BARE), "--units", "us")
    assert " squeezed to " in us and re.search(r"\d mm\b", us.split("sources")[0]) is None
    assert " degF (" in us and "17.6 lb" in us and " degC" not in us.split("sources")[0]
    assert max(map(len, us.splitlines())) <= 100


def test_a_survey_in_us_units(capsys: Said) -> None:
    assert main(["survey", str(BARE), "--units", "us"]) == 0
    out = capsys.readouterr().out
    assert "Figures in degF" in out and " degC" not in out and " mm" not in out
    assert max(map(len, out.splitlines())) <= 100


def test_json_is_si_and_another_wish_is_refused(capsys: Said) -> None:
    assert "always SI" in refused(capsys, str(CLEAR), "--as", "json", "--units", "us")
    told(capsys, 0, str(CLEAR), "--as", "json", "--units", "si")


# -- --out --------------------------------------------------------------------------------------


@pytest.mark.parametrize("form", ["text", "json"])
def test_out_holds_what_would_have_been_printed(
    form: str, tmp_path: Path, capsys: Said
) -> None:
    bad, out = plans.written(tmp_path, "bad", plans.mistaken()), tmp_path / "report"
    call = (bad, str(CLEAR), "--as", form)
    printed = told(capsys, 2, *call)
    shown = told(capsys, 2, *call, "--out", str(out))
    assert out.read_text(encoding="utf-8") == printed
    assert sorted(os.listdir(tmp_path)) == ["bad.heater.yaml", "report"], "nothing else is left"
    lines = " ".join(shown.split())
    assert f"{bad} outcome: could not be reviewed" in lines and len(shown) < 500
    assert f"{CLEAR} outcome: clear" in lines
    assert shown.endswith("\n\n2 plans: 1 clear, 1 could not be reviewed\n")


def test_out_takes_the_place_of_an_older_report_and_keeps_who_may_read_it(
    tmp_path: Path, capsys: Said
) -> None:
    out, link = tmp_path / "report.txt", tmp_path / "latest.txt"
    out.write_text("old", encoding="utf-8")
    out.chmod(0o640)
    link.symlink_to(out)
    told(capsys, 0, str(CLEAR), "--out", str(link))
    assert link.is_symlink() and "outcome: clear" in out.read_text(encoding="utf-8")
    assert stat.S_IMODE(out.stat().st_mode) == 0o640


@pytest.mark.parametrize("name", ["heaters.sarif", "reports/heaters.sarif", "sub/heaters.sarif"])
def test_no_link_of_a_repository_says_where_a_report_goes(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], name: str
) -> None:
    """A contribution may bring the link along, to what its reader's shell runs at every start."""
    home, shop = tmp_path / "home", tmp_path / "shop"
    for folder in (home / ".git", shop / ".git", shop / "sub"):
        folder.mkdir(parents=True)
    plan = plans.written(shop, "kiln", CLEAR.read_text(encoding="utf-8"))
    (home / "heaters.sarif").write_text("kept", encoding="utf-8")
    (shop / "reports").symlink_to("../home")
    (shop / "heaters.sarif").symlink_to("../home/heaters.sarif")
    (shop / "sub/heaters.sarif").symlink_to("../kiln.heater.yaml.copy")
    assert main(["review", plan, "--out", str(shop / name)]) == 2
    assert "leads through a link of the repository" in capsys.readouterr().err
    assert (home / "heaters.sarif").read_text(encoding="utf-8") == "kept"
    assert not (shop / "kiln.heater.yaml.copy").exists()
    beside = tmp_path / "link"
    beside.symlink_to(shop)
    assert main(["review", plan, "--out", str(beside / "new.txt")]) == 0, "outside it may be one"


def test_out_also_tells_of_a_plan_that_could_not_be_reviewed(
    tmp_path: Path, capsys: Said
) -> None:
    bad = plans.written(tmp_path, "bad", plans.mistaken())
    out = tmp_path / "report.txt"
    assert told(capsys, 2, bad, "--out", str(out)).endswith("outcome: could not be reviewed\n")
    assert "has no unit: 100" in out.read_text(encoding="utf-8")


def test_out_is_refused_before_anything_is_computed(
    tmp_path: Path, capsys: Said, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("stovelint.cli.answers.clerk.review_plan", lambda *_: pytest.fail("computed"))
    plan = plans.written(tmp_path, "plan", plans.bare())
    other = plans.written(tmp_path, "other", plans.bare())
    hidden = tmp_path / "plan"
    hidden.symlink_to(plan)
    for target, says in (
        (str(tmp_path), "is a folder"),
        (f"{tmp_path}/new/", "is a folder"),
        (str(tmp_path / "gone" / "x.txt"), "in a folder that is not there"),
        (plan, "would write over a plan"),
        (other, "would write over a plan"),
        (str(hidden), "would write over a plan"),
        (os.devnull, "is no plain file"),
        ("/dev/stdout", "is no plain file"),
        ("/dev/../dev/fd/1", "is no plain file"),
        ("/proc/self/fd/1", "is no plain file"),
        ("-", "leave --out away to print"),
        ("", "has no name"),
    ):
        assert says in refused(capsys, plan, "--out", target), target
    with monkeypatch.context() as patch:
        patch.setattr("os.access", lambda *_: False)  # root may write anywhere
        said = refused(capsys, plan, "--out", str(tmp_path / "x"))
    assert "cannot be written to" in said
    assert Path(plan).read_text(encoding="utf-8") == plans.bare()


@pytest.mark.parametrize("step", ["os.open", "os.fsync", "os.replace"])
def test_a_write_that_fails_leaves_the_old_report_and_nothing_else(
    step: str, tmp_path: Path, capsys: Said, monkeypatch: pytest.MonkeyPatch
) -> None:
    out = tmp_path / "report.txt"
    out.write_text("old", encoding="utf-8")

    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(step, full)
    with pytest.raises(UsageError, match="No space left on device"):
        write_whole(str(out), "new")
    monkeypatch.undo()
    assert (os.listdir(tmp_path), out.read_text(encoding="utf-8")) == (["report.txt"], "old")


def test_stopped_while_writing_nothing_is_left(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def stop(*_: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr("os.replace", stop)
    with pytest.raises(KeyboardInterrupt):
        write_whole(str(tmp_path / "report.txt"), "new")
    assert os.listdir(tmp_path) == []


def test_what_another_run_left_unfinished_is_in_nobodys_way(tmp_path: Path) -> None:
    out = tmp_path / "report.txt"
    (tmp_path / ".report.txt.part").write_text("half", encoding="utf-8")
    write_whole(str(out), "new")
    assert out.read_text(encoding="utf-8") == "new"
    assert (tmp_path / ".report.txt.part").read_text(encoding="utf-8") == "half"
    for number in range(1, MOST_TRIES):
        (tmp_path / f".report.txt.part{number}").touch()
    with pytest.raises(UsageError, match="unfinished"):
        write_whole(str(out), "newer")


# -- --only, --without --------------------------------------------------------------------------


def test_only_some_rules_never_look_like_a_full_review(tmp_path: Path, capsys: Said) -> None:
    out = tmp_path / "x"
    text = told(capsys, 0, str(BARE), "--only", "wet-stone,brittle-stone")
    head = text.splitlines()[:4]
    assert head[0].endswith(f"outcome: clear by 2 of {len(BOOK)} rules")
    assert head[3].startswith("left out, so this is no full review: base-combustible, ")
    assert f"Outcome clear by 2 of {len(BOOK)} rules: nothing to correct." in text
    call = (str(BARE), "--only", "wet-stone", "--only", "brittle-stone")
    assert told(capsys, 0, *call) == text, "given twice is the same as with a comma"
    line = told(capsys, 0, *call, "--out", str(out))
    assert line.endswith(f"outcome: clear by 2 of {len(BOOK)} rules\n")
    document = json.loads(told(capsys, 0, *call, "--as", "json"))
    assert document["rules"]["asked"] == ["brittle-stone", "wet-stone"]
    assert sorted(document["rules"]["left_out"] + document["rules"]["asked"]) == NAMES
    assert document["plans"][0]["complete"] is False


def test_without_is_the_other_half_of_only(capsys: Said) -> None:
    rest = ",".join(name for name in NAMES if name != "wet-stone")
    without = told(capsys, 0, str(BARE), "--without", rest)
    assert without == told(capsys, 0, str(BARE), "--only", "wet-stone")
    assert f" by 1 of {len(BOOK)} rules" in without


def test_a_remedy_must_please_the_rules_that_were_left_out(
    capsys: Said, monkeypatch: pytest.MonkeyPatch
) -> None:
    seen: list[int] = []
    from stovelint.remedy import Search

    begin = Search.__init__

    def spy(self: Search, **given: Any) -> None:
        seen.append(len(given["rules"]))
        begin(self, **given)

    monkeypatch.setattr(Search, "__init__", spy)
    told(capsys, 1, str(BARE), "--only", "cap-insulation")
    assert seen == [len(BOOK)]


def test_what_remains_is_told_for_the_rules_asked(tmp_path: Path, capsys: Said) -> None:
    plan = plans.written(tmp_path, "both", plans.bare() + plans.SURROUNDED)
    text = " ".join(told(capsys, 1, plan, "--only", "combustible-clearance").split())
    assert f"by 1 of {len(BOOK)} rules nothing remains that must or should change." in text
    assert "cap insulation" not in text


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (("--only", "wet-stown"), ("no rule `wet-stown`", "(did you mean wet-stone?); the rules")),
        (("--only", "zzz"), ("--only: there is no rule `zzz`; the rules are: base-combustible",)),
        (("--without", "wet-stone,"), ("a name is missing beside a comma",)),
        (("--without", "x1,wet-stone,x2"), ("`x1`", "`x2`")),
        (("--only", "wet-stone", "--without", "brittle-stone"), ("both given",)),
        (("--without", ",".join(NAMES)), ("leaves no rule",)),
    ],
)
def test_rules_that_cannot_be_meant(
    arguments: tuple[str, ...], says: tuple[str, ...], capsys: Said
) -> None:
    said = refused(capsys, str(CLEAR), *arguments)
    assert all(word in said for word in says), said


def test_rules_are_chosen_in_the_order_of_the_book() -> None:
    kept, left = choose(BOOK, ["wet-stone, brittle-stone"], [])
    assert [rule.name for rule in kept] == ["brittle-stone", "wet-stone"]
    assert left == tuple(name for name in NAMES if name not in ("brittle-stone", "wet-stone"))
    assert choose(BOOK, [], []) == (BOOK, ())


# -- --hold-at ----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("plan", "hold", "outcome", "status"),
    [
        (BARE, "danger", "as noted", 0), (BARE, "must", "revise", 1),
        (BARE, "breakage", "revise", 1), (NOTED, "breakage", "as noted", 0),
        (NOTED, "must", "as noted", 0), (NOTED, "should", "revise", 1),
        (NOTED, "consider", "revise", 1), (CLEAR, "consider", "clear", 0),
    ],
)  # fmt: skip
def test_what_holds_a_plan(
    plan: Path, hold: str, outcome: str, status: int, capsys: Said
) -> None:
    text = told(capsys, status, str(plan), "--hold-at", hold)
    assert text.splitlines()[0].endswith(f"outcome: {outcome}")
    assert ("what holds the plan here: " in text) == (hold != "breakage")


def test_the_page_and_the_help_say_what_holds_a_plan() -> None:
    page = (ROOT / "README.md").read_text(encoding="utf-8")
    rows = page.split("| `--hold-at` | what holds a plan |\n| --- | --- |\n")[1].split("\n\n")[0]
    usual = {hold: " (usual)" if hold == USUAL else "" for hold in LEAST}
    assert rows.splitlines() == [f"| `{hold}` | {SAID[hold]}{usual[hold]} |" for hold in LEAST]
    help_text = " ".join(ran("review", "--help").stdout.split())
    for hold in LEAST:
        assert f"{hold} {SAID[hold]}{usual[hold]}" in help_text


def test_the_page_names_every_option() -> None:
    page = (ROOT / "README.md").read_text(encoding="utf-8")
    section = page.split("## Options and variances")[1].split("\n## ")[0]
    shown = set(re.findall(r"^ +(--[a-z-]+)", ran("review", "--help").stdout, re.M))
    assert shown >= {"--as", "--since", "--settings", "--no-cache"}, "else the pattern is at fault"
    rows = [line.split(" | ")[0] for line in section.splitlines() if line.startswith("| `--")]
    named = set(re.findall(r"`(--[a-z-]+)", " ".join(rows)))
    assert shown <= named, shown - named
    elsewhere = set(re.findall(r"^ +(--[a-z-]+)", ran("survey", "--help").stdout, re.M))
    assert named <= shown | elsewhere, "the page names an option that is not there"


def test_the_variance_of_the_page_is_one() -> None:
    page = (ROOT / "README.md").read_text(encoding="utf-8")
    (shown,) = re.findall(r"```text\n(variances:\n.*?)```", page, re.S)
    tree = parse(plans.bare() + shown, "page").tree
    assert is_valid(tree) and set(tree["variances"]) == {"cap-for-now"}


# -- --on and variances -------------------------------------------------------------------------


def test_an_agreed_fault_is_listed_and_does_not_hold(tmp_path: Path, capsys: Said) -> None:
    plan = plans.written(tmp_path, "agreed", plans.agreed())
    text = told(capsys, 0, plan)
    assert text.splitlines()[0].endswith("outcome: as noted, 1 danger accepted")
    flowing = " ".join(text.split())
    assert "1 cap insulation accepted (breakage, 32 of 32 cases)" in flowing
    assert (
        "agreed by owner until 2027-04-30: relaid in spring (variance cap-for-now; without it: "
        "must change)" in flowing
    )
    assert "variance dried consider (advice)" in flowing and "no end was checked" in flowing
    assert "one item to consider, two items accepted." in flowing and "\n    do  " not in text.split("variance dried")[0]
    ended = told(capsys, 1, plan, "--on", "2027-05-01")
    flowing = " ".join(ended.split())
    assert "day: 2027-05-01" in flowing and "no end was checked" not in flowing
    assert "expired: it held until 2027-04-30; this review is of 2027-05-01" in flowing
    assert "two items must change, three items to consider." in flowing


@pytest.mark.parametrize("day", ["tomorrow", "2027-02-29", "27-05-01", ""])
def test_a_day_that_is_none_is_refused(day: str, capsys: Said) -> None:
    said = refused(capsys, str(CLEAR), "--on", day)
    assert "--on: " in said and "2027-06-30" in said


@pytest.mark.parametrize("command", ["review", "survey"])
def test_a_variance_for_an_unknown_rule_is_a_mistake_of_the_plan(
    command: str, tmp_path: Path, capsys: Said
) -> None:
    plan = plans.written(tmp_path, "misnamed", plans.misnamed())
    assert main([command, plan]) == 2
    out = " ".join(capsys.readouterr().out.split())
    assert "there is no rule `wet-stown` do did you mean `wet-stone`?" in out
    assert "no material is called perlit" in out


# -- which plans, in which order ----------------------------------------------------------------


def test_the_order_of_arguments_changes_nothing(tmp_path: Path, capsys: Said) -> None:
    a, b = (plans.written(tmp_path, name, plans.mistaken()) for name in ("a", "b"))
    forth = told(capsys, 2, a, b)
    assert told(capsys, 2, b, a) == forth
    assert told(capsys, 2, b, str(tmp_path), a, b) == forth


def test_one_file_under_several_names_is_one_plan(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    plans.written(tmp_path, "a", "")
    (tmp_path / "long-name.heater.yaml").symlink_to("a.heater.yaml")
    one = ("a.heater.yaml",)
    whole = str(tmp_path / "a.heater.yaml")
    assert find_plans(["a.heater.yaml", whole, "./a.heater.yaml"]).plans == one
    assert find_plans([whole, ".", "a.heater.yaml"]).plans == one
    assert find_plans(["long-name.heater.yaml", "a.heater.yaml"]).plans == one
    assert find_plans(["gone", "gone"]).plans == ("gone",)
