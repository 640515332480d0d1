"""Many plans: what is known already, the rest over several processes, in the order of the call."""

from __future__ import annotations

import os
import sys
from typing import TYPE_CHECKING, Callable, Generator, Iterator, Sequence

from stovelint.errors import StovelintError, UsageError

if TYPE_CHECKING:
    from stovelint.report.answer import Answer

Work = Callable[[int], "Answer"]
"""Answers the plan of that number."""

FEW = 4
"""Plans that one process does: up to here another one costs more than it gives, and nobody
wants to be told how far it is."""

_work: Work | None = None
"""In a process of the pool: what it is there for. It is handed on by forking, since a rule is
code that was loaded by its place and cannot be sent."""


def count_jobs(text: str | None) -> int | None:
    """Number of processes as typed; None: as many as it makes sense to have.

    Raises:
        UsageError: it is no whole number from 1 to 256.
    """
    if text is None:
        return None
    if not (text.isascii() and text.isdigit() and 1 <= int(text[:4]) <= 256 and len(text) <= 3):
        raise UsageError("--jobs is no whole number from 1 to 256", "write for instance --jobs 2")
    return int(text)


def answers(
    count: int,
    known: Callable[[int], Answer | None],
    work: Work,
    *,
    jobs: int | None,
    progress: bool,
) -> Iterator[Answer]:
    """The answers for all plans, in order, each as soon as it and those before it are there.

    Args:
        count: how many plans.
        known: the answer for a plan that needs no computing; asked once for each.
        work: computes one.
        jobs: processes to use; None: one for each core, though none for fewer than four plans.
        progress: whether to tell on stderr how far it is.

    Raises:
        StovelintError: a process was ended from outside.
    """
    found = [known(number) for number in range(count)]
    todo = [number for number in range(count) if found[number] is None]
    told = _Progress(len(todo) if progress and len(todo) > FEW else 0)
    doing = _spread(todo, work, _processes(len(todo), jobs))
    try:
        for answer in found:
            if answer is None:
                told.step()
                answer = next(doing)
            yield answer
    finally:
        told.end()
        doing.close()


def _processes(todo: int, jobs: int | None) -> int:
    if sys.platform != "linux":  # elsewhere a process that uses numpy is not to be forked
        return 1
    if jobs is None:
        jobs = min(len(os.sched_getaffinity(0)), todo // FEW)
    return max(1, min(jobs, todo))


def _spread(
    todo: Sequence[int], work: Work, processes: int
) -> Generator[Answer, None, None]:
    if processes == 1:
        for number in todo:
            yield work(number)
        return
    from concurrent.futures import ProcessPoolExecutor
    from concurrent.futures.process import BrokenProcessPool
    from multiprocessing import active_children, get_context

    pool = ProcessPoolExecutor(
        processes, mp_context=get_context("fork"), initializer=_begin, initargs=(work,)
    )
    try:
        for future in [pool.submit(_one, number) for number in todo]:
            yield future.result()
    except BrokenProcessPool:
        raise StovelintError(
            "a process of this review was ended from outside; was memory short? Try --jobs 1"
        ) from None
    except BaseException:
        # Stopped by hand, or nobody reads on: nothing that is still computed is of any use.
        for child in active_children():
            child.terminate()
        raise
    finally:
        pool.shutdown(wait=True, cancel_futures=True)


def _begin(work: Work) -> None:
    import signal

    global _work
    _work = work
    # Ctrl-C goes to all processes of a terminal; the first one answers it for all.
    signal.signal(signal.SIGINT, signal.SIG_IGN)


def _one(number: int) -> Answer:
    assert _work is not None  # every process began with it
    return _work(number)


class _Progress:
    """How far it is, in one line of a terminal that is taken away again. It counts plans and
    reads no clock, so that it is the same in every run."""

    def __init__(self, total: int) -> None:
        self._total = total if sys.stderr.isatty() else 0
        self._at = 0
        self._shown = ""

    def step(self) -> None:
        if self._total:
            self._at += 1
            self._show(f"computing plan {self._at} of {self._total}")

    def end(self) -> None:
        if self._shown:
            self._show("")
        self._total = 0

    def _show(self, text: str) -> None:
        blank = " " * (len(self._shown) - len(text))
        sys.stderr.write(f"\r{text}{blank}" if text else f"\r{blank}\r")
        sys.stderr.flush()
        self._shown = text
