"""By what a call judges: which settings are found, what wins over them, and what is told."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from stovelint.cli import main
from stovelint.cli.choice.settle import Settled, Wish, settle
from stovelint.errors import RulebookError, SettingsError, UsageError
from stovelint.trust import TrustError
from tests.settings.shopfloor import RULES, shop, told
from tests.tree import ROOT

Said = pytest.CaptureFixture[str]
OWN = "warm-back"
FAST = ROOT / "rules" / "wet-stone" / "stands" / "soapstone-to-the-gas.heater.yaml"


@pytest.fixture(autouse=True)
def state(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A state of its own for each test, beside its plans and never around them."""
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    return tmp_path / "state" / "stovelint" / "vouched.json"


@pytest.fixture()
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A shop in the folder `shop` of the current folder."""
    made = shop(tmp_path)
    monkeypatch.chdir(tmp_path)
    return made


def settled(*plans: str, **wish: object) -> Settled:
    return settle(Wish(**wish), plans or ("shop/bench.heater.yaml",))  # type: ignore[arg-type]


def write(folder: Path, text: str) -> Path:
    folder.mkdir(parents=True, exist_ok=True)
    file = folder / "stovelint.toml"
    file.write_text("format = 1\n" + text, encoding="utf-8")
    return file


def names(found: Settled) -> set[str]:
    return {rule.name for rule in found.book}


# -- which settings -----------------------------------------------------------------------------


def test_those_above_the_plan_are_found(here: Path) -> None:
    found = settled()
    assert found.shop.file == "shop/stovelint.toml" and found.shop.jurisdiction == "IRC-2021"
    assert (found.hold, found.units) == ("should", "us") and "wet-stone" in found.left_out
    assert "lake-stone" in found.catalogue.names()


def test_where_the_plan_lies_counts_and_not_the_current_folder(
    here: Path, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    deep = here / "houses" / "kiln"
    deep.mkdir(parents=True)
    monkeypatch.chdir(write(tmp_path / "elsewhere", 'hold_at = "consider"').parent)
    assert settled(str(deep / "a.heater.yaml")).shop.file == "../shop/stovelint.toml"
    monkeypatch.chdir(deep)
    assert settled("a.heater.yaml").shop.file == "../../stovelint.toml"


def test_a_repository_within_another_has_its_own(tmp_path: Path) -> None:
    write(tmp_path, 'hold_at = "consider"')
    inner = tmp_path / "inner"
    (inner / ".git").mkdir(parents=True)
    plan = str(inner / "plans" / "a.heater.yaml")
    (inner / "plans").mkdir()
    assert settled(plan).shop.file == "" and settled(plan).hold == "breakage"
    write(inner, 'hold_at = "must"')
    assert settled(plan).hold == "must"
    assert settled(str(tmp_path / "a.heater.yaml")).hold == "consider"


def test_a_plan_in_no_repository_has_none(tmp_path: Path) -> None:
    found = settled(str(tmp_path / "a.heater.yaml"))
    assert found.shop.file == "" and (found.hold, found.units) == ("breakage", "si")
    assert found.notices == () and OWN not in names(found)


def test_plans_under_different_settings_are_not_judged_together(
    here: Path, tmp_path: Path
) -> None:
    write(tmp_path / "other", "")
    alone = tmp_path / "alone"
    alone.mkdir()
    for other, said in (("other/b.heater.yaml", "other/stovelint.toml"),
                        ("alone/b.heater.yaml", "none")):  # fmt: skip
        with pytest.raises(UsageError) as caught:
            settled("shop/bench.heater.yaml", other)
        assert f"{other} under {said}" in str(caught.value)
        assert "shop/bench.heater.yaml under shop/stovelint.toml" in str(caught.value)
        assert "--settings" in caught.value.remedy
        assert settled("shop/bench.heater.yaml", other, look=False).shop.file == ""
        one = settled("shop/bench.heater.yaml", other, settings="shop/stovelint.toml")
        assert one.shop.file == "shop/stovelint.toml"


def test_a_file_that_is_named(here: Path, tmp_path: Path) -> None:
    write(tmp_path / "other", 'units = "si"\nhold_at = "must"').rename(tmp_path / "winter.toml")
    found = settled(settings="winter.toml")
    assert (found.shop.file, found.hold, found.units) == ("winter.toml", "must", "si")


@pytest.mark.parametrize(
    ("wish", "said"),
    [
        ({"settings": "a.toml", "look": False}, "both given"),
        ({"settings": "shop"}, "no plain file"),
    ],
)
def test_what_the_call_cannot_mean(here: Path, wish: dict[str, object], said: str) -> None:
    with pytest.raises(UsageError, match=said):
        settled(**wish)


def test_a_named_file_that_is_not_there(here: Path) -> None:
    with pytest.raises(SettingsError) as caught:
        settled(settings="none.toml")
    assert told(caught.value)[0][:2] == ("none.toml:1:1", "there is no such file")


def test_a_pipe_is_not_waited_for(here: Path) -> None:
    (here / "stovelint.toml").unlink()
    os.mkfifo(here / "stovelint.toml")
    with pytest.raises(UsageError, match="shop/stovelint.toml is no plain file"):
        settled()


# -- what wins ----------------------------------------------------------------------------------


def test_the_call_wins_over_the_settings(here: Path) -> None:
    assert settled(hold="must").hold == "must"
    assert settled(units="si").units == "si"
    found = settled(without=("brittle-stone",))
    assert "brittle-stone" in found.left_out and "wet-stone" not in found.left_out
    found = settled(only=("wet-stone",))
    assert [rule.name for rule in found.rules] == ["wet-stone"]


def test_settings_may_not_leave_out_what_is_not_there(here: Path) -> None:
    write(here, 'without = ["wet-stone", "wet-stones", "x"]\n')
    with pytest.raises(SettingsError) as caught:
        settled()
    first, second = told(caught.value)
    assert first == (
        "shop/stovelint.toml:2:25", "there is no rule `wet-stones`",
        "did you mean wet-stone or brittle-stone?",
    )  # fmt: skip
    assert second[0] == "shop/stovelint.toml:2:39" and "one of: " in second[2]


def test_settings_may_not_leave_out_everything(here: Path) -> None:
    every = ", ".join(f'"{name}"' for name in sorted(names(settled(look=False))))
    write(here, f"without = [{every}]\n")
    with pytest.raises(SettingsError) as caught:
        settled()
    assert told(caught.value)[0][1] == "it leaves no rule"


def test_a_rule_of_a_folder_that_is_passed_over_may_be_left_out(here: Path) -> None:
    write(here, f'rules = ["rules"]\nwithout = ["{OWN}"]\n')
    assert OWN in settled().left_out
    with_it = settled(rules=("shop/rules",))
    assert OWN in names(with_it) and OWN in with_it.left_out


# -- rules --------------------------------------------------------------------------------------


def test_settings_alone_run_no_code(here: Path, capsys: Said) -> None:
    code = here / "rules" / OWN / "rule.py"
    trap = here.parent / "trap"
    code.write_text(f"open({str(trap)!r}, 'w')\n", encoding="utf-8")
    found = settled()
    assert OWN not in names(found) and OWN in found.left_out and not trap.exists()
    (notice,) = found.notices
    assert "you have not vouched" in notice.message and "shop/rules" in notice.message
    assert "stovelint vouch shop/rules" in notice.remedy and "--rules shop/rules" in notice.remedy
    assert notice.span is not None and notice.span.label() == "shop/stovelint.toml:8:10"
    assert not notice.stops and "NOT ASKED: the rules in shop/rules" in found.shop.head
    assert capsys.readouterr().err == f"stovelint: {notice.message}; {notice.remedy}\n"


def test_the_call_may_name_the_folder(here: Path, capsys: Said) -> None:
    found = settled(rules=("shop/rules",))
    assert OWN in names(found) and found.notices == () and capsys.readouterr().err == ""
    assert "with the rules in shop/rules" in found.shop.head


def test_the_call_may_name_a_folder_without_any_settings(here: Path, tmp_path: Path) -> None:
    found = settled(rules=("shop/rules",), look=False)
    assert OWN in names(found) and found.shop.file == ""
    assert settled(str(tmp_path / "x.heater.yaml"), rules=(str(RULES),)).shop.file == ""


def test_required_rules_stop_the_call(here: Path) -> None:
    write(here, 'rules = ["rules"]\nrules_required = true\n')
    (notice,) = settled().notices
    assert notice.stops and "shop/stovelint.toml requires them" in notice.message
    assert settled(rules=("shop/rules",)).notices == ()


@pytest.mark.parametrize("folder", ["none", "shop/bench.heater.yaml"])
def test_a_folder_of_the_call_that_is_none(here: Path, folder: str) -> None:
    with pytest.raises(TrustError, match="--rules"):
        settled(rules=(folder,))


def test_a_folder_of_the_settings_that_is_not_there(here: Path) -> None:
    write(here, 'rules = ["none"]\nmaterials = ["no"]\n')
    with pytest.raises(SettingsError) as caught:
        settled()
    assert [one[0] for one in told(caught.value)] == [
        "shop/stovelint.toml:2:10", "shop/stovelint.toml:3:14"
    ]


def test_a_link_that_leads_out_is_a_mistake_even_of_the_call(here: Path, tmp_path: Path) -> None:
    (here / "rules").rename(tmp_path / "away")
    (here / "rules").symlink_to(tmp_path / "away")
    with pytest.raises(SettingsError) as caught:
        settled()
    assert "leads out" in told(caught.value)[0][1]
    with pytest.raises(TrustError, match="leads out of the repository"):
        settled(rules=("shop/rules",), look=False)
    assert OWN in names(settled(rules=("away",), look=False))


def test_a_folder_of_another_user_is_passed_over(
    here: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    mine = os.getuid()
    monkeypatch.setattr(os, "getuid", lambda: mine + 1)
    (notice,) = settled().notices
    assert "belongs to another user" in notice.message
    with pytest.raises(TrustError, match="another user"):
        settled(rules=("shop/rules",))


def test_rules_that_are_not_whole_are_told_like_any(here: Path) -> None:
    (here / "rules" / OWN / "README.md").unlink()
    with pytest.raises(RulebookError, match="shop/rules/warm-back: has no README.md"):
        settled(rules=("shop/rules",))


def test_what_changes_an_answer_changes_its_mark(here: Path) -> None:
    """Kept answers are found again by this."""
    seen = [settled().shop.marks, settled(rules=("shop/rules",)).shop.marks]
    code = here / "rules" / OWN / "rule.py"
    code.write_text(code.read_text(encoding="utf-8") + "\n", encoding="utf-8")
    seen.append(settled(rules=("shop/rules",)).shop.marks)
    stone = here / "materials" / "lake-stone.toml"
    stone.write_text(stone.read_text(encoding="utf-8") + "\n", encoding="utf-8")
    seen.append(settled(rules=("shop/rules",)).shop.marks)
    write(here, 'jurisdiction = "own"\n')
    seen.append(settled().shop.marks)
    assert len(set(seen)) == len(seen)


# -- the whole command --------------------------------------------------------------------------


@pytest.fixture()
def quick(here: Path) -> Path:
    """A plan that takes little time, and names no code."""
    text = FAST.read_text(encoding="utf-8").replace("jurisdiction: IRC-2021\n", "")
    (here / "bench.heater.yaml").write_text(text, encoding="utf-8")
    return here


def test_the_report_tells_of_the_settings(quick: Path, capsys: Said) -> None:
    assert main(["review", "shop/bench.heater.yaml"]) == 0
    shown = capsys.readouterr()
    head = shown.out.split("\n\n")[0]
    assert "\nsettings: shop/stovelint.toml\nNOT ASKED: the rules in shop/rules\n" in head
    assert "code: IRC-2021" in head and " lb every" in head and "left out" in head
    assert "the plan names no code; IRC-2021 is the shop's (shop/stovelint.toml)" in shown.out
    assert shown.err.count("\n") == 1 and "not vouched" in shown.err


def test_without_settings_nothing_is_told_of_them(quick: Path, capsys: Said) -> None:
    assert main(["review", "shop/bench.heater.yaml", "--no-settings"]) == 0
    shown = capsys.readouterr()
    assert "settings" not in shown.out and "code: not named" in shown.out and shown.err == ""
    assert " kg every" in shown.out


def test_a_plan_that_names_its_code_keeps_it(quick: Path, capsys: Said) -> None:
    plan = quick / "bench.heater.yaml"
    text = plan.read_text(encoding="utf-8")
    plan.write_text(f"jurisdiction: lakeside by-law\n{text}", encoding="utf-8")
    assert main(["review", "shop/bench.heater.yaml"]) == 0
    out = capsys.readouterr().out
    assert "code: lakeside by-law" in out and "is the shop's" not in out


def test_required_rules_end_the_call_with_2(quick: Path, capsys: Said) -> None:
    write(quick, 'rules = ["rules"]\nrules_required = true\n')
    assert main(["review", "shop/bench.heater.yaml"]) == 2
    shown = capsys.readouterr()
    assert "requires them" in shown.err
    asks = "; shop/stovelint.toml requires them, so this is no review\n"
    assert f"\nNOT ASKED: the rules in shop/rules{asks}" in shown.out
    assert main(["review", "shop/bench.heater.yaml", "--rules", "shop/rules"]) == 0


@pytest.mark.parametrize("form", ["json", "sarif", "junit", "markdown", "annotations"])
def test_documents_tell_what_was_passed_over(quick: Path, capsys: Said, form: str) -> None:
    assert main(["review", "shop/bench.heater.yaml", "--as", form]) == 0
    out = capsys.readouterr().out
    assert "have not vouched for that folder" in out
    if form == "json":
        made = json.loads(out)
        assert made["notices"][0]["place"]["path"] == "shop/stovelint.toml"
        assert made["settings"] == "shop/stovelint.toml"
        assert made["plans"][0]["jurisdiction"] == "IRC-2021"


def test_a_variance_for_a_rule_that_is_passed_over_is_no_mistake(
    quick: Path, capsys: Said
) -> None:
    plan = quick / "bench.heater.yaml"
    text = plan.read_text(encoding="utf-8")
    plan.write_text(
        text + "variances:\n  warm: {rule: warm-back, part: bell-wall, reason: wanted so, "
        "who: the owner}\n", encoding="utf-8",
    )  # fmt: skip
    assert main(["review", "shop/bench.heater.yaml"]) == 0
    assert "the variance warm was not weighed" in " ".join(capsys.readouterr().out.split())


def test_mistakes_in_settings_are_listed_like_those_of_a_plan(here: Path, capsys: Said) -> None:
    write(here, 'unit = "us"\nhold_at = "all"\n')
    for command in ("review", "survey"):
        assert main([command, "shop/bench.heater.yaml"]) == 2
        shown = capsys.readouterr()
        assert shown.out == "" and shown.err.startswith("shop/stovelint.toml  ")
        assert "outcome: could not be used\n2 things stand in the way\n" in shown.err
        assert "shop/stovelint.toml:2:1" in shown.err and "shop/stovelint.toml:3:11" in shown.err


def test_the_survey_goes_by_the_settings(here: Path, capsys: Said) -> None:
    assert main(["survey", "shop/bench.heater.yaml"]) == 0
    out = " ".join(capsys.readouterr().out.split())
    assert "degF" in out and "degC" not in out
    assert "lake-stone is a material of the shop's own (shop/materials/lake-stone.toml)" in out
    assert main(["survey", "shop/bench.heater.yaml", "--no-settings"]) == 2
    assert "no material is called lake-stone" in capsys.readouterr().out


def test_the_survey_says_whose_figures_it_proposes(quick: Path, capsys: Said) -> None:
    """The plan holds no lake stone; the survey names it as what might go there."""
    assert main(["survey", "shop/bench.heater.yaml"]) == 0
    out = " ".join(capsys.readouterr().out.split())
    assert "granite, lake-stone, limestone" in out
    assert out.count("lake-stone is a material of the shop's own") == 1


def test_a_rule_that_breaks_is_contained(quick: Path, capsys: Said) -> None:
    code = quick / "rules" / OWN / "rule.py"
    text = code.read_text(encoding="utf-8")
    code.write_text(text.replace('scene.limit("lean")\n', 'scene.limit("lean")\n    1 / 0\n'),
                    encoding="utf-8")  # fmt: skip
    assert main(["review", "shop/bench.heater.yaml", "--rules", "shop/rules"]) == 2
    out = " ".join(capsys.readouterr().out.split())
    assert "the rule warm back broke" in out and "ZeroDivisionError" in out
    assert "Traceback" not in out


def test_a_report_never_takes_the_place_of_the_settings(here: Path, capsys: Said) -> None:
    before = (here / "stovelint.toml").read_bytes()
    assert main(["review", "shop/bench.heater.yaml", "--out", "shop/stovelint.toml"]) == 2
    assert "would write over the settings" in capsys.readouterr().err
    assert (here / "stovelint.toml").read_bytes() == before


# -- what lies in the current folder --------------------------------------------------------------


@pytest.mark.parametrize("module", ["numpy", "json", "tomli", "stovelint"])
def test_the_command_imports_nothing_from_the_current_folder(tmp_path: Path, module: str) -> None:
    """As the console script does: it lies in a folder of its own."""
    (tmp_path / f"{module}.py").write_text("raise SystemExit('from here')\n", encoding="utf-8")
    script = Path(sys.executable).parent / "stovelint"
    if not script.exists():
        script = tmp_path / "bin" / "stovelint"
        script.parent.mkdir()
        script.write_text(
            "import sys\nfrom stovelint.cli import main\nsys.exit(main())\n", encoding="utf-8"
        )
    done = subprocess.run(
        [sys.executable, str(script), "review", str(FAST), "--as", "json", "--no-cache"],
        cwd=tmp_path, capture_output=True, text=True, check=False,
        env={"PATH": "", "PYTHONPATH": str(ROOT)},
    )  # fmt: skip
    assert done.returncode == 0 and json.loads(done.stdout)["status"] == 0, done.stderr


@pytest.mark.parametrize("module", ["numpy", "json", "tomli"])
def test_nor_does_python_m(tmp_path: Path, module: str) -> None:
    """Only `stovelint` itself would be taken from there: that is what `-m` means."""
    (tmp_path / f"{module}.py").write_text("raise SystemExit('from here')\n", encoding="utf-8")
    done = subprocess.run(
        [sys.executable, "-m", "stovelint", "review", str(FAST), "--as", "json", "--no-cache"],
        cwd=tmp_path, capture_output=True, text=True, check=False,
        env={"PATH": "", "PYTHONPATH": str(ROOT)},
    )  # fmt: skip
    assert done.returncode == 0 and json.loads(done.stdout)["status"] == 0, done.stderr
