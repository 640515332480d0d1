"""What is done with one input, and what must not come of it."""

from __future__ import annotations

import json
import signal
import traceback
import unicodedata
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Iterator

from stovelint.assemble import Loaded, load
from stovelint.build import Build
from stovelint.catalogue import Catalogue
from stovelint.errors import BuildFileError, SourceError
from stovelint.place import Mistake, Places
from stovelint.report.answer import Answer
from stovelint.report.machine import machine_report
from stovelint.report.mistakes import mistakes_text
from stovelint.review import check_materials
from stovelint.rulebook import load as load_book
from stovelint.source.text import MAX_BYTES
from stovelint.variance import check_variances
from tests.fuzz.seeds import base_text

BASE = "x.heater.yaml"
CATALOGUE = Catalogue()
BOOK = load_book()
ASKED = [rule.name for rule in BOOK]
SECONDS = 5
"""Of processor time, for one input: one that is refused must not take longer."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Ending:
    """How one input ended, and what is wrong with that."""

    said: str
    """`valid`, or how many mistakes and the first of them."""
    faults: tuple[str, ...]
    loaded: Loaded | None = None


class _Late(Exception):
    """An input takes too long."""


class Only:
    """A shelf with one file on it, and the base that it may name."""

    def __init__(self, path: str, data: bytes) -> None:
        self.held = {path: data, BASE: base_text().encode("utf-8")}

    def read(self, path: str) -> bytes:
        if path not in self.held:
            raise SourceError("there is no such file", "check the name and the folder")
        return self.held[path][: MAX_BYTES + 1]

    def base_path(self, plan: str, last: str, named: str) -> str:
        """All lie in one folder."""
        return named


@contextmanager
def watched(seconds: float) -> Iterator[None]:
    """Raise in the middle of what takes longer than so much processor time.

    Code in C is interrupted only when it comes back; what never does is ended by `many`.
    """

    def late(number: int, frame: object) -> None:
        raise _Late

    before = signal.signal(signal.SIGVTALRM, late)
    signal.setitimer(signal.ITIMER_VIRTUAL, seconds)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_VIRTUAL, 0)
        signal.signal(signal.SIGVTALRM, before)


def ends(data: bytes, name: str, seconds: float = SECONDS) -> Ending:
    """Read, check and assemble one input under a file name, and put its mistakes in words."""
    try:
        with watched(seconds):
            return _ends(data, name)
    except _Late as late:
        last = traceback.extract_tb(late.__traceback__)[-2]  # the last one is `late` itself
        where = f"{Path(last.filename).name}:{last.lineno}"
        return Ending(said="late", faults=(f"takes more than {seconds} s, in {where}",))
    except Exception as error:
        last = traceback.extract_tb(error.__traceback__)[-1]
        where = f"{Path(last.filename).name}:{last.lineno}"
        said = f"{type(error).__name__}: {str(error)[:200]} ({where})"
        return Ending(said="broken", faults=(said,))


def _ends(data: bytes, name: str) -> Ending:
    def names(build: Build, places: Places) -> tuple[Mistake, ...]:
        return (
            *check_materials(build, CATALOGUE, places), *check_variances(build, ASKED, places),
        )  # fmt: skip

    try:
        loaded = load(name, also=names, shelf=Only(name, data))
    except BuildFileError as error:
        mistakes = tuple(one for one in error.mistakes if isinstance(one, Mistake))
        faults = _faults(mistakes, data, name)
        if len(mistakes) != len(error.mistakes) or not mistakes:
            faults.append("refused without mistakes")
        said = f"{len(mistakes)} mistakes: {mistakes[0].message[:60]}" if mistakes else ""
        return Ending(said=ascii(said)[1:-1], faults=tuple(faults))
    return Ending(said="valid", faults=(), loaded=loaded)


def _faults(mistakes: tuple[Mistake, ...], data: bytes, name: str) -> list[str]:
    """Mistakes without a place in the file or without a remedy, and what must not be printed."""
    faults: list[str] = []
    texts = {BASE: base_text(), name: data.decode("utf-8", "replace").removeprefix("\ufeff")}
    for one in mistakes:
        start, end = one.span.start, one.span.end
        text = texts.get(one.span.file, "")
        lines = text.split("\n")
        if not (one.message and one.remedy):
            faults.append(f"no message or remedy: {one}")
        if one.span.file not in texts or not (
            0 <= start.line <= end.line < len(lines)
            and 0 <= start.offset <= end.offset <= len(text)
            and start.column <= len(lines[start.line])
            and end.column <= len(lines[end.line])
        ):
            faults.append(f"outside of the file: {one.span}")
        if len(one.message) > 400 or len(one.remedy) > 3000:
            faults.append(f"very long: {one.message[:80]} / {one.remedy[:80]}")
    if len(mistakes) > 201:
        faults.append(f"{len(mistakes)} mistakes are listed")
    faults += _shown(mistakes, name)
    return faults


def _shown(mistakes: tuple[Mistake, ...], name: str) -> list[str]:
    texts = [mistakes_text(name, mistakes)]
    if len(texts[0]) % 4 == 0:  # the document takes as long as all the rest
        answer = Answer(file=name, mistakes=mistakes)
        texts.append(machine_report([answer], asked=ASKED, left_out=()))
        json.loads(texts[1])
    faults = [
        f"prints {sign!a}" for text in texts for sign in set(text)
        if sign != "\n" and unicodedata.category(sign) in ("Cc", "Cs", "Zl", "Zp", "Cf", "Co", "Cn")
    ]  # fmt: skip
    return faults


def reviewed(loaded: Loaded, name: str) -> list[str]:
    """Faults of the whole review of a valid plan, without remedies."""
    from stovelint.cli.answers.one import Desk, review_plan
    from stovelint.hold import USUAL
    from stovelint.report.text import text_report

    desk = Desk(
        catalogue=CATALOGUE, book=BOOK, rules=BOOK, left_out=(), hold=USUAL, on=None,
        remedies=False,
    )  # fmt: skip
    source = loaded.source
    data = source.text.encode("utf-8")
    answer = review_plan(name, name, desk, Only(name, data))
    faults: list[str] = []
    if "itself broke" in answer.failure:
        faults.append(answer.failure[:300])
    if answer.review is not None:
        faults += [f"{crash.rule}: {crash.message}" for crash in answer.review.crashes]
        said = text_report(answer.review, {})
        faults += [
            f"prints {sign!a}" for sign in set(said)
            if sign != "\n" and not sign.isprintable()
        ]  # fmt: skip
    return faults + _shown(answer.mistakes, name)
