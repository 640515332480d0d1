"""Runs tests against a changed module: in forked children, in copies, a few at a time.

Nothing is written to the working tree: a trial works in a copy of the project. Its child is forked
from a process that has loaded the heavy libraries already but nothing of the project, so that a
trial takes little longer than its tests.
"""

from __future__ import annotations

import os
import shutil
import signal
import sys
import time
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from importlib import import_module
from pathlib import Path

COPIED = ("stovelint", "tests", "rules", "schemas", "fixtures")
HEAVY = (
    "numpy", "numpy.testing", "scipy.integrate", "scipy.optimize", "scipy.special", "scipy.linalg",
    "hypothesis", "hypothesis.strategies", "_pytest.doctest", "pytest", "ht", "fluids", "cantera",
    "CoolProp.CoolProp", "jsonschema", "jsonschema_rs", "ruamel.yaml", "skfem", "tomli",
)  # fmt: skip
PASSED = 0
BROKEN = (3, 4, 5, 99)
"""The trial itself went wrong: an error inside pytest, nothing to run, an error of ours."""
SLOWEST_S = 120.0


@dataclass(frozen=True, kw_only=True)
class Trial:
    """`text` takes the place of the file `path` while pytest runs `suite`."""

    path: str
    text: str
    suite: tuple[str, ...]
    limit_s: float


@dataclass(frozen=True, kw_only=True)
class Outcome:
    """How pytest ended (None: it was stopped at the time limit), and after how long."""

    status: int | None
    seconds: float

    @property
    def killed(self) -> bool:
        return self.status != PASSED


def load_heavy() -> None:
    """Once, before the first trial."""
    for name in HEAVY:
        import_module(name)


def copy_project(root: Path, to: Path) -> None:
    """What the tests need, without compiled files."""
    left_out = shutil.ignore_patterns("__pycache__", "*.egg-info", ".*")
    for name in COPIED:
        shutil.copytree(root / name, to / name, ignore=left_out)
    shutil.copy(root / "pyproject.toml", to / "pyproject.toml")


class _Bench:
    """One copy, and the trial that runs in it."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.trial: Trial | None = None
        self.pid = 0
        self.began = 0.0
        self.true_text = ""

    def start(self, trial: Trial) -> None:
        path = self.folder / trial.path
        self.true_text = path.read_text(encoding="utf-8")
        self.trial, self.began = trial, time.monotonic()
        if trial.text != self.true_text:
            path.write_text(trial.text, encoding="utf-8")
            for compiled in path.parent.glob(f"__pycache__/{path.stem}.*.pyc"):
                compiled.unlink()
        self.pid = os.fork()
        if self.pid == 0:
            status = BROKEN[-1]
            try:
                status = _child(self.folder, trial.suite, trial.text == self.true_text)
            finally:
                os._exit(status)

    def poll(self) -> Outcome | None:
        """The outcome once the child has ended, by itself or at the limit."""
        assert self.trial is not None
        taken = time.monotonic() - self.began
        done, status = os.waitpid(self.pid, os.WNOHANG)
        if not done and taken <= self.trial.limit_s:
            return None
        if not done:
            os.kill(self.pid, signal.SIGKILL)
            os.waitpid(self.pid, 0)
        (self.folder / self.trial.path).write_text(self.true_text, encoding="utf-8")
        self.trial = None
        return Outcome(
            status=os.waitstatus_to_exitcode(status) if done else None, seconds=taken
        )


def run(
    trials: Iterable[Trial], folders: list[Path], seen: Callable[[int, Outcome], None]
) -> None:
    """All trials, one at a time in each of the copies; `seen` gets their number and outcome."""
    benches = [_Bench(folder) for folder in folders]
    running: dict[int, _Bench] = {}
    waiting = enumerate(trials)
    more = True
    while more or running:
        for bench in benches:
            if more and bench not in running.values():
                number, trial = next(waiting, (-1, None))
                if trial is None:
                    more = False
                    break
                bench.start(trial)
                running[number] = bench
        for number, bench in list(running.items()):
            outcome = bench.poll()
            if outcome is not None:
                del running[number]
                seen(number, outcome)
        time.sleep(0.005)


class _Quick:
    """A plug-in of pytest: an example that fails is enough, the smallest one is not looked for."""

    def pytest_configure(self) -> None:
        from hypothesis import Phase, settings

        quick = settings(settings(), phases=(Phase.explicit, Phase.generate))
        settings.register_profile("mutants", quick)
        settings.load_profile("mutants")


def _child(folder: Path, suite: tuple[str, ...], compiles: bool) -> int:
    """In the forked child: the project's modules come from the copy. Returns pytest's status."""
    sink = os.open(os.devnull, os.O_RDWR)
    for stream in (0, 1, 2):
        os.dup2(sink, stream)
    os.chdir(folder)
    sys.path[:] = [str(folder)] + [p for p in sys.path if not (Path(p) / "stovelint").is_dir()]
    for name in [n for n in sys.modules if n.partition(".")[0] in ("stovelint", "tests")]:
        del sys.modules[name]
    sys.dont_write_bytecode = not compiles
    import pytest

    options = ["-x", "-q", "--tb=no", "-p", "no:cacheprovider"]
    options += ["-W", "ignore::pytest.PytestAssertRewriteWarning"]  # libraries loaded before
    return int(pytest.main([*options, *suite], plugins=[_Quick()]))
