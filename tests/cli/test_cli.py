"""The command line from outside: exit status, folders, bad input, and never a traceback."""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
from pathlib import Path

import pytest

import stovelint
from stovelint.cli import main
from stovelint.cli.find import ENDING, find_plans
from stovelint.errors import HeatError, UsageError
from stovelint.place import PLANS
from tests.report import plans
from tests.tree import ROOT, RULES

CLEAR = RULES / "cap-insulation" / "stands" / "castable-cap.heater.yaml"
NOTED = RULES / "brittle-stone" / "fails" / "uncut-slab.heater.yaml"
BARE = RULES / "cap-insulation" / "fails" / "bare-concrete.heater.yaml"
REVISE = RULES / "base-combustible" / "fails" / "planks-under-two-inches.heater.yaml"


def ran(*arguments: str, cwd: Path = ROOT) -> subprocess.CompletedProcess[str]:
    done = subprocess.run(
        [sys.executable, "-m", "stovelint", *arguments],
        cwd=cwd, capture_output=True, text=True, encoding="utf-8", check=False,
        env={"PYTHONPATH": str(ROOT), "PATH": "", "PYTHONUTF8": "1"},
    )  # fmt: skip
    assert "Traceback" not in done.stderr + done.stdout
    return done


@pytest.mark.parametrize(
    ("plan", "outcome", "status"),
    [(CLEAR, "clear", 0), (NOTED, "as noted", 0), (REVISE, "revise", 1)],
)
def test_exit_status_follows_the_outcome(
    plan: Path, outcome: str, status: int, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["review", str(plan)]) == status
    said = capsys.readouterr()
    assert said.out.splitlines()[0].endswith(f"outcome: {outcome}") and said.err == ""


def test_a_remedy_is_found_and_passes_when_it_is_written_into_the_plan(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """What the report says under `do` is typed into the file by hand here, and stands."""
    assert main(["review", str(BARE)]) == 1
    said = " ".join(capsys.readouterr().out.split())
    do = said[said.index(" do ") + 4 :]
    size = do[: do.index(" soluble fibre (AES) blanket on the hot side of bell-cap")]
    left = do[do.index("squeezed to ") + 12 : do.index(" at the bearing")]
    text = BARE.read_text(encoding="utf-8")
    slab = "      - {material: concrete-normal-siliceous, thickness: 60 mm"
    blanket = f"      - {{material: aes-blanket-128, thickness: {size}}}\n"
    changed = text.replace(slab, blanket + slab)
    changed = changed.replace("bearing: 100 mm", f"bearing: {{width: 100 mm, insulation: {left}}}")
    assert changed.count("aes-blanket") == 1 and left in changed
    plan = tmp_path / "mended.heater.yaml"
    plan.write_text(changed, encoding="utf-8")
    assert main(["review", str(plan)]) == 0
    assert "outcome: clear" in capsys.readouterr().out


def test_a_survey_of_one_plan(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["survey", str(CLEAR)]) == 0
    out = capsys.readouterr().out
    assert "heat survey" in out and "bell-cap" in out and "may go" in out
    assert max(map(len, out.splitlines())) <= 100


def test_as_a_module_with_its_paths_as_given(tmp_path: Path) -> None:
    (tmp_path / "plans").mkdir()
    text = CLEAR.read_text(encoding="utf-8")
    (tmp_path / "plans" / "kiln.heater.yaml").write_text(text, encoding="utf-8")
    (tmp_path / "plans" / "notes.yaml").write_text("x: 1\n", encoding="utf-8")
    done = ran("review", "plans", cwd=tmp_path)
    assert (done.returncode, done.stderr) == (0, "")
    assert str(tmp_path) not in done.stdout


def test_version_and_help() -> None:
    assert ran("--version").stdout == f"stovelint {stovelint.__version__}\n"
    assert "0 clear or as noted, 1 revise, 2 could not be reviewed" in ran("--help").stdout
    said = ran("review", "--help").stdout
    assert all(f"*{ending}" in said for ending in PLANS)


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        ((), "COMMAND is missing; see stovelint --help"),
        (("reveiw", "a"), "COMMAND: there is no `reveiw`, did you mean review? It is one of "
                          "review, survey, vouch; see stovelint --help"),
        (("review",), "PATH is missing; see stovelint review --help"),
        (("survey", "a", "b"), "nothing here is called b; see stovelint survey --help"),
        (("review", "a", "--red"), "nothing here is called --red; see stovelint review --help"),
        (("review", "a", "--units", "mm"), "--units: there is no `mm`. It is one of si, us; see "
                                           "stovelint review --help"),
        (("review", "a", "--as"), "--as: nothing stands behind it that it could mean; see "
                                  "stovelint review --help"),
        (("vouch", "--list=x"), "--list takes no value, and `x` is given; "
                                "see stovelint vouch --help"),
    ],
)  # fmt: skip
def test_a_call_that_means_nothing_is_refused(arguments: tuple[str, ...], said: str) -> None:
    done = ran(*arguments)
    assert (done.returncode, done.stdout, done.stderr) == (2, "", f"stovelint: {said}\n")


@pytest.mark.parametrize(
    ("name", "content", "fault"),
    [
        ("gone.heater.yaml", None, "there is no such file"),
        ("empty.heater.yaml", b"", ""),
        ("list.heater.yaml", b"- 1\n", ""),
        ("torn.heater.yaml", b"title: [\n", ""),
        ("bytes.heater.yaml", b"\xff\xfe\x00\x01", ""),
        ("deep.heater.yaml", b"[" * 5000, ""),
        ("wrong.heater.yaml", b"format: 1\ntitle: 3\nparts: {a: 1}\n", ""),
    ],
)
@pytest.mark.parametrize("command", ["review", "survey"])
def test_what_is_no_plan_is_told_with_its_place(
    command: str, name: str, content: bytes | None, fault: str, tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
) -> None:  # fmt: skip
    plan = tmp_path / name
    if content is not None:
        plan.write_bytes(content)
    assert main([command, str(plan)]) == 2
    out = capsys.readouterr().out
    assert f"could not be {command}ed" in out and " do " in out and fault in out
    assert f"{name}:" in out and "itself broke" not in out


def test_a_name_that_is_empty_is_refused(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["review", ""]) == 2
    assert capsys.readouterr().err == (
        "stovelint: a PATH is empty; name a plan or a folder; `.` is this one\n"
    )
    assert main(["survey", ""]) == 2
    assert "there is no such file" in capsys.readouterr().out


def test_the_root_itself_is_a_folder_and_no_link(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / ".git").mkdir()
    monkeypatch.chdir(tmp_path)
    assert main(["survey", "."]) == 2
    assert "this is a folder, not a file" in capsys.readouterr().out


def test_a_material_that_is_not_known_is_a_located_mistake(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    plan = tmp_path / "typo.heater.yaml"
    right, wrong = "fireclay, thickness: 7", "fireclai, thickness: 7"
    text = CLEAR.read_text(encoding="utf-8").replace(right, wrong)
    plan.write_text(text, encoding="utf-8")
    line = next(n for n, x in enumerate(text.splitlines(), 1) if "fireclai" in x)
    assert main(["review", str(plan)]) == 2
    out = capsys.readouterr().out
    assert f"typo.heater.yaml:{line}:" in out and "castable-dense-fireclay" in out


def told_at(text: str, folder: Path, said: pytest.CaptureFixture[str]) -> list[str]:
    """Where the mistakes of a plan are told, in the order told."""
    assert main(["review", plans.written(folder, "x", text)]) == 2
    lines = [re.sub(r"/\S*x\.heater\.yaml:\d+:\d+", "", x) for x in said.readouterr().out.splitlines()]
    return [x.split("  at  ")[1].strip() for x in lines if "  at  " in x]


def test_mistakes_of_every_kind_are_told_at_once(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """README.md: all mistakes of a file are listed at once; also what only the catalogue and the
    rulebook know, whatever else is wrong, and none twice."""
    assert sorted(told_at(plans.every_kind(), tmp_path, capsys)) == sorted(plans.EVERY_KIND)
    for where in plans.EVERY_KIND:
        left = sorted(told_at(plans.every_kind(where), tmp_path, capsys))
        assert left == sorted(set(plans.EVERY_KIND) - {where})


@pytest.mark.parametrize(
    ("right", "wrong"),
    [
        ("material: castable-dense-fireclay", "material: 7"),
        ("material: castable-dense-fireclay", "material: Granite!"),
        ("material: castable-dense-fireclay, ", ""),
        ("layers: [{material: castable-dense-fireclay, thickness: 60 mm}]", "layers: 1"),
        ("rule: wet-stone", "rule: 1"),
        ("rule: wet-stone, ", ""),
        ("firing:\n", "fire:\n"),
    ],
)
def test_a_name_that_cannot_be_read_is_told_once(
    right: str, wrong: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """What the schema has said the catalogue and the rulebook do not say again."""
    text = plans.agreed()
    assert text.count(right) == 1
    assert len(told_at(text.replace(right, wrong), tmp_path, capsys)) == 1


def test_one_bad_plan_does_not_hide_the_others(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    bad = tmp_path / "bad.heater.yaml"
    bad.write_text("format: 1\n", encoding="utf-8")
    assert main(["review", str(bad), str(CLEAR)]) == 2
    out = capsys.readouterr().out
    assert "outcome: could not be reviewed" in out and "outcome: clear" in out
    assert out.endswith("2 plans: 1 clear, 1 could not be reviewed\n")
    assert f"plan: {CLEAR}\n" in out
    last = " ".join(out.split("-" * 100)[-1].split())
    assert f"{CLEAR} outcome: clear" in last and f"{bad} outcome: could not" in last


def test_dangers_accepted_are_in_the_outcome_line_and_the_tally(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    one, two = (plans.written(tmp_path, name, plans.agreed()) for name in ("one", "two"))
    assert main(["review", one, str(CLEAR), "--out", str(tmp_path / "x")]) == 0
    out = capsys.readouterr().out
    assert f"{one} outcome: as noted, 1 danger accepted" in " ".join(out.split())
    assert out.endswith("\n\n2 plans: 1 clear, 1 as noted; 1 danger accepted\n")
    assert main(["review", one, two]) == 0
    assert capsys.readouterr().out.endswith("\n\n2 plans: 2 as noted; 2 dangers accepted\n")


@pytest.mark.parametrize("failure", [HeatError("a face still moves"), KeyError("slip")])
def test_a_failure_inside_is_a_sentence(
    failure: Exception, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def broken(*_: object, **__: object) -> None:
        raise failure

    monkeypatch.setattr("stovelint.hotmap.compute.Solver.__call__", broken)
    assert main(["review", str(CLEAR)]) == 2
    review = capsys.readouterr()
    assert main(["survey", str(CLEAR)]) == 2
    survey = capsys.readouterr()
    for said in (review.out + review.err, survey.out + survey.err):
        assert "Traceback" not in said
        if isinstance(failure, HeatError):
            assert "its heat could not be computed: a face still moves" in said
        else:
            said = " ".join(said.split())
            assert re.search("stovelint itself broke.*: KeyError", said) and "report it" in said


def test_a_rule_that_breaks_gives_status_2(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    from dataclasses import replace
    from typing import Iterator

    from stovelint import rulebook
    from stovelint.rule import Outcome, Scene

    def slip(scene: Scene) -> Iterator[Outcome]:
        yield from ()
        raise ValueError("a slip of the rule")

    book = rulebook.load()
    broken = (replace(book[0], function=slip), *book[1:])
    monkeypatch.setattr("stovelint.rulebook.load", lambda: broken)
    assert main(["review", str(CLEAR)]) == 2
    out = " ".join(capsys.readouterr().out.split())
    assert f"the rule {book[0].name.replace('-', ' ')} broke" in out and "a slip of the rule" in out
    assert "not complete" in out


def test_stopped_by_hand(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def stop(*_: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr("stovelint.cli.answers.clerk.review_plan", stop)
    assert main(["review", str(CLEAR)]) == 2
    assert capsys.readouterr().err == "stovelint: stopped before the end\n"


def test_a_reader_that_goes_away_is_no_fault() -> None:
    done = subprocess.run(
        f"'{sys.executable}' -m stovelint survey '{CLEAR}' | head -c 20",
        shell=True, cwd=ROOT, capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert done.stderr == "" and len(done.stdout) == 20


def test_a_terminal_of_few_letters_still_gets_the_report(tmp_path: Path) -> None:
    plan = tmp_path / "kiln.heater.yaml"
    text = CLEAR.read_text(encoding="utf-8").replace("Kiln Cottage", "S\u00e4gewerk")
    plan.write_text(text, encoding="utf-8")
    done = subprocess.run(
        [sys.executable, "-m", "stovelint", "review", str(plan)], cwd=ROOT, capture_output=True,
        check=False, env={"PYTHONIOENCODING": "ascii", "PATH": ""},
    )  # fmt: skip
    assert (done.returncode, done.stderr) == (0, b"") and b"S\\xe4gewerk" in done.stdout


def test_folders_are_searched_in_a_fixed_order_and_each_plan_once(tmp_path: Path) -> None:
    for name in ("b/one", "a/two", ".git/three", "a/.old/four"):
        file = tmp_path / f"{name}.heater.yaml"
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_text("", encoding="utf-8")
    one = str(tmp_path / "b" / "one.heater.yaml")
    assert find_plans([str(tmp_path), one]).plans == (str(tmp_path / "a" / "two.heater.yaml"), one)
    assert find_plans([one, str(tmp_path)]) == find_plans([str(tmp_path), one])


def test_a_folder_without_plans_is_told(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(UsageError):
        find_plans([str(tmp_path)])
    assert main(["review", str(tmp_path)]) == 2
    assert "no plan in" in capsys.readouterr().err


def test_a_folder_that_cannot_be_read_is_told(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Root may read everything, so the refusal of the system is stood in for."""
    (tmp_path / "one.heater.yaml").write_text("", encoding="utf-8")
    shut = tmp_path / "shut"
    shut.mkdir()
    look = os.scandir

    def scandir(path: str) -> object:
        if str(path) == str(shut):
            raise PermissionError(13, "Permission denied", path)
        return look(path)

    monkeypatch.setattr("os.scandir", scandir)
    assert main(["review", str(tmp_path)]) == 2
    said = capsys.readouterr()
    assert said.out == "" and f"{shut} cannot be read (Permission denied)" in said.err
    assert "name the plans themselves" in said.err


def test_files_that_only_look_like_plans_are_told(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    for name in ("kiln.heater.yml", "shed.Heater.YAML", "notes.yml", "one.heater.yaml.orig"):
        (tmp_path / name).write_text("", encoding="utf-8")
    near = f"not looked at: {tmp_path}/kiln.heater.yml, {tmp_path}/shed.Heater.YAML"
    assert main(["review", str(tmp_path)]) == 2
    assert f"no plan in {tmp_path} ({near});" in capsys.readouterr().err
    plan = plans.written(tmp_path, "plan", CLEAR.read_text(encoding="utf-8"))
    assert main(["review", str(tmp_path), "--as", "json"]) == 0
    said = capsys.readouterr()
    assert said.err == f"stovelint: {near}; {ENDING}\n"
    (notice,) = json.loads(said.out)["notices"]
    assert (notice["message"], notice["remedy"]) == (near, ENDING), "who reads it knows as well"
    named = str(tmp_path / "kiln.heater.yml")
    assert find_plans([named, str(tmp_path)]).plans == (named, plan), "a file named is looked at"
    assert named not in find_plans([named, str(tmp_path)]).passed_over


def test_a_linked_folder_is_not_entered(tmp_path: Path) -> None:
    plans.written(tmp_path, "one", "")
    (tmp_path / "round").symlink_to(tmp_path)
    (found,) = find_plans([str(tmp_path)]).plans
    assert found == str(tmp_path / "one.heater.yaml")
    assert find_plans([str(tmp_path / "round")]).plans == (f"{tmp_path}/round/one.heater.yaml",)


@pytest.mark.parametrize(
    "arguments",
    [("review", str(CLEAR)), ("review", str(CLEAR), "--as", "json"), ("survey", str(CLEAR)),
     ("review", "--help"), ("--version",)],
)  # fmt: skip
def test_an_output_that_cannot_be_written_is_no_fault_of_ours(arguments: tuple[str, ...]) -> None:
    """/dev/full takes nothing: `No space left on device`."""
    with open("/dev/full", "wb") as full:
        done = subprocess.run(
            [sys.executable, "-m", "stovelint", *arguments], cwd=ROOT, stdout=full,
            stderr=subprocess.PIPE, text=True, check=False,
        )  # fmt: skip
    assert done.returncode == 2
    assert done.stderr == (
        "stovelint: the output cannot be written (No space left on device); make room, or send it "
        "elsewhere\n"
    )
