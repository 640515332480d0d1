"""Many plans: processes, kept answers, progress, and being stopped."""

from __future__ import annotations

import json
import os
import pty
import signal
import subprocess
import sys
import time
from pathlib import Path
from typing import Iterator

import pytest

from stovelint.cli import main
from stovelint.cli.answers.many import FEW, answers
from stovelint.errors import StovelintError
from stovelint.report.answer import Answer
from tests.cli.test_cli import CLEAR
from tests.report import plans
from tests.tree import ROOT

Said = pytest.CaptureFixture[str]
COUNT = 5


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Four clear plans, told apart by their titles, and one with a mistake."""
    here = tmp_path_factory.mktemp("plans")
    text = CLEAR.read_text(encoding="utf-8")
    title = next(line for line in text.splitlines() if line.startswith("title:"))
    for number in range(COUNT - 1):
        plans.written(here, f"p{number}", text.replace(title, f"title: Boat Shed {number}"))
    plans.written(here, "q", plans.misnamed())
    return here


def produced(out: Path, *arguments: str) -> bytes:
    status = main(["review", *arguments, "--as", "json", "--out", str(out)])
    assert status == json.loads(out.read_bytes())["status"]
    return out.read_bytes()


@pytest.fixture(scope="module")
def alone(folder: Path, tmp_path_factory: pytest.TempPathFactory) -> bytes:
    """What one process says, without kept answers."""
    out = tmp_path_factory.mktemp("out") / "report.json"
    return produced(out, str(folder), "--jobs", "1", "--no-cache")


def test_processes_say_what_one_says(folder: Path, alone: bytes, tmp_path: Path) -> None:
    assert produced(tmp_path / "r.json", str(folder), "--jobs", "3", "--no-cache") == alone
    document = json.loads(alone)
    assert [Path(plan["file"]).name[0] for plan in document["plans"]] == [*"pppp", "q"]
    assert document["outcomes"]["could not be reviewed"] == 1


def test_kept_answers_say_the_same_and_compute_nothing(
    folder: Path, alone: bytes, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    assert produced(tmp_path / "r.json", str(folder), "--jobs", "2") == alone
    monkeypatch.setattr("stovelint.cli.answers.clerk.review_plan", lambda *_: pytest.fail("computed"))
    assert produced(tmp_path / "r.json", str(folder)) == alone


def test_no_cache_neither_takes_nor_leaves(
    folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    produced(tmp_path / "r.json", str(folder / "p0.heater.yaml"), "--no-cache")
    assert not (tmp_path / "cache").exists()


def test_answers_among_the_plans_are_not_believed(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A contribution could bring them along; what names them is no secret."""
    (tmp_path / "plans").mkdir()
    plan = plans.written(tmp_path / "plans", "kiln", CLEAR.read_text(encoding="utf-8"))
    cache = tmp_path / ".cache"
    monkeypatch.setenv("XDG_CACHE_HOME", str(cache))
    (tmp_path / ".git").mkdir()
    right = produced(tmp_path / "r.json", plan)
    assert not [path for path in cache.rglob("*") if path.is_file()]
    (tmp_path / ".git").rmdir()
    produced(tmp_path / "r.json", plan)
    (kept,) = (path for path in cache.rglob("*") if path.is_file())
    other = plans.written(tmp_path / "plans", "bare", plans.BARE.read_text(encoding="utf-8"))
    produced(tmp_path / "r.json", other)
    (more,) = (path for path in cache.rglob("*") if path.is_file() and path != kept)
    kept.write_bytes(more.read_bytes())
    assert produced(tmp_path / "r.json", plan) != right, "they are as good as the program"
    (tmp_path / ".git").mkdir()
    assert produced(tmp_path / "r.json", plan) == right


@pytest.mark.parametrize(
    "changed", [["--hold-at", "consider"], ["--without", "wet-stone"], ["--on", "2026-11-25"]]
)
def test_another_call_gets_another_answer(
    changed: list[str], folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    plan = str(folder / "p1.heater.yaml")
    produced(tmp_path / "r.json", plan)
    kept = produced(tmp_path / "r.json", plan, *changed)
    assert kept == produced(tmp_path / "s.json", plan, *changed, "--no-cache")


def test_a_plan_written_while_it_is_reviewed_is_not_taken_for_the_old_one(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The answer is kept under the bytes that were read, not under what lies there afterwards."""
    from stovelint.cli.answers import clerk, one

    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    text = CLEAR.read_text(encoding="utf-8")
    file = Path(plans.written(tmp_path, "kiln", text))
    whole = one.review_plan

    def slowly(*given: object) -> Answer:
        answer = whole(*given)  # type: ignore[arg-type]
        file.write_text("format: 2\n", encoding="utf-8")
        return answer

    monkeypatch.setattr(clerk, "review_plan", slowly)
    first = json.loads(produced(tmp_path / "r.json", str(file)))
    monkeypatch.setattr(clerk, "review_plan", whole)
    second = json.loads(produced(tmp_path / "r.json", str(file)))
    assert [first["plans"][0]["outcome"], second["plans"][0]["outcome"]] == [
        "clear", "could not be reviewed",
    ]  # fmt: skip


@pytest.mark.parametrize("typed", ["0", "-1", "two", "1.5", "257", "9" * 5000, ""])
def test_jobs_is_a_count(typed: str, capsys: Said) -> None:
    assert main(["review", str(CLEAR), f"--jobs={typed}"]) == 2
    shown = capsys.readouterr()
    assert shown.out == "" and "--jobs" in shown.err and shown.err.count("\n") == 1


# -- in order, and ended cleanly ----------------------------------------------------------------


def named(number: int) -> Answer:
    return Answer(file=f"{number}", failure=f"in process {os.getpid()}")


def test_answers_come_in_order_from_other_processes() -> None:
    found = list(answers(9, lambda n: named(-n) if n % 3 == 0 and n else None, named,
                         jobs=3, progress=False))  # fmt: skip
    assert [one.file for one in found] == ["0", "1", "2", "-3", "4", "5", "-6", "7", "8"]
    here = f"in process {os.getpid()}"
    assert found[3].failure == here and found[1].failure != here


def test_few_plans_are_not_spread() -> None:
    found = list(answers(FEW - 1, lambda n: None, named, jobs=None, progress=False))
    assert {one.failure for one in found} == {f"in process {os.getpid()}"}


def test_a_process_that_is_killed_is_told() -> None:
    def die(number: int) -> Answer:
        if number == 1:
            os.kill(os.getpid(), signal.SIGKILL)
        return named(number)

    with pytest.raises(StovelintError, match="ended from outside"):
        list(answers(4, lambda n: None, die, jobs=2, progress=False))


# -- as a whole process -------------------------------------------------------------------------


def command(*arguments: str) -> list[str]:
    return [sys.executable, "-m", "stovelint", "review", *arguments]


def children(of: int) -> list[int]:
    """Processes started by another; field 4 of /proc/PID/stat, behind a name in brackets."""
    found = []
    for stat in Path("/proc").glob("[0-9]*/stat"):
        try:
            fields = stat.read_text(encoding="utf-8").rpartition(") ")[2].split()
        except OSError:  # it has ended meanwhile
            continue
        if int(fields[1]) == of:
            found.append(int(stat.parent.name))
    return found


def test_ctrl_c_leaves_nothing_half_written_and_nobody_running(
    folder: Path, tmp_path: Path
) -> None:
    """As a terminal does it: the signal goes to every process of the group."""
    out = tmp_path / "report.json"
    out.write_text("the old one")
    running = subprocess.Popen(
        command(str(folder), "--jobs", "2", "--as", "json", "--out", str(out)),
        cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.PIPE, start_new_session=True,
        env={**os.environ, "XDG_CACHE_HOME": str(tmp_path / "cache")},
    )  # fmt: skip
    workers: list[int] = []
    for _ in range(600):
        workers = children(running.pid)
        if len(workers) == 2 or running.poll() is not None:
            break
        time.sleep(0.05)
    assert len(workers) == 2, "it was over before it could be stopped"
    os.killpg(running.pid, signal.SIGINT)
    said, wrong = running.communicate(timeout=60)
    assert (running.returncode, said) == (2, b"")
    assert wrong == b"stovelint: stopped before the end\n"
    assert out.read_text() == "the old one" and sorted(tmp_path.glob(".report*")) == []
    assert [pid for pid in workers if alive(pid)] == []
    kept = [path for path in (tmp_path / "cache").rglob("*") if path.is_file()]
    assert all(len(path.name) == 62 for path in kept), "a part of an answer was left"


def alive(pid: int) -> bool:
    try:
        os.kill(pid, 0)
    except ProcessLookupError:
        return False
    return True


def terminal(arguments: list[str], stdout: int | None = None) -> tuple[int, str]:
    """Status of a command, and what it writes to a terminal on stderr."""
    ours, theirs = pty.openpty()
    running = subprocess.Popen(
        arguments, cwd=ROOT, stdout=theirs if stdout is None else stdout, stderr=theirs
    )
    os.close(theirs)
    said = b"".join(chunks(ours))
    return running.wait(), said.decode()


def chunks(handle: int) -> Iterator[bytes]:
    while True:
        try:
            chunk = os.read(handle, 4096)
        except OSError:  # Linux says so when the last writer has gone
            return
        if not chunk:
            return
        yield chunk


def test_a_terminal_is_told_how_far_a_long_run_is(folder: Path, tmp_path: Path) -> None:
    out = str(tmp_path / "r.json")
    arguments = command(str(folder), "--as", "json", "--out", out, "--no-cache")
    status, said = terminal(arguments, subprocess.DEVNULL)
    assert status == 2
    assert f"\rcomputing plan 1 of {COUNT}" in said and f"\rcomputing plan {COUNT} of {COUNT}" in said
    assert said.endswith("\r"), "the line must be taken away again"


def test_a_short_run_or_a_file_is_told_nothing(folder: Path, tmp_path: Path) -> None:
    status, said = terminal(command(str(folder / "q.heater.yaml"), "--no-cache"),
                            subprocess.DEVNULL)  # fmt: skip
    assert (status, said) == (2, "")
    done = subprocess.run(
        command(str(folder), "--no-cache"), cwd=ROOT, capture_output=True, check=False
    )
    assert done.stderr == b""
