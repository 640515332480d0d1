"""The folder of kept answers: one file for each, written whole, believed only when whole.

The folder is the user's own (XDG Base Directory Specification 0.8: `XDG_CACHE_HOME`, else
`~/.cache`); it may be deleted at any time. Nothing in it is trusted further than needed: a file
is read as records of this program and nothing else, so that it can run no code; one that is
damaged, cut short or not ours is passed over. Whoever can write into it could still put a false
answer there, as they could change the program.
"""

from __future__ import annotations

import dataclasses
import hashlib
import io
import os
import pickle
from dataclasses import dataclass
from typing import TYPE_CHECKING, Callable

if TYPE_CHECKING:
    from stovelint.report.answer import Answer

MAGIC = b"stovelint answer 1\n"
MOST_IN_A_DRAWER = 128
"""Files in each of 256 folders; beyond that the oldest go. Some 32 000 answers, each as large
as the text of its plan and 3 to 10 kB for what is said of it."""
Base = tuple[str, str]
"""A file that a plan is based on, by the path it was read from, and the hash of its content."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Store:
    """Kept answers of one program, one set of rules and materials, one call."""

    folder: str
    mark: str
    """See `make_mark`."""

    def find(
        self, words: tuple[str, ...], content: bytes, read: Callable[[str], bytes | None]
    ) -> Answer | None:
        """The answer kept for a plan, or None.

        Args:
            words: what else the answer depends on: names of the file.
            content: of the plan.
            read: hands out the content of a file that the plan is based on, None if it cannot.
        """
        try:
            with open(self._file(words, content), "rb") as stream:
                kept = stream.read()
            bases, answer = _unpacked(kept)
            for path, mark in bases:
                now = read(path)
                if now is None or hashlib.sha256(now).hexdigest() != mark:
                    return None
            return answer
        except Exception:  # a damaged file may fail in any way, and is only worth passing over
            return None

    def keep(
        self, words: tuple[str, ...], content: bytes, answer: Answer, bases: tuple[Base, ...]
    ) -> None:
        """Keep an answer. A store that cannot be written to keeps nothing, and that is no fault."""
        file = self._file(words, content)
        drawer = os.path.dirname(file)
        beside = f"{file}.{os.getpid()}"
        try:
            os.makedirs(drawer, mode=0o700, exist_ok=True)
            _thin_out(drawer)
            with open(beside, "wb") as stream:
                stream.write(_packed(answer, bases))
            os.replace(beside, file)
        except BaseException as error:
            try:
                os.unlink(beside)
            except OSError:
                pass
            if not isinstance(error, OSError):
                raise

    def _file(self, words: tuple[str, ...], content: bytes) -> str:
        total = hashlib.sha256(self.mark.encode())
        for word in words:
            total.update(hashlib.sha256(word.encode("utf-8", "surrogateescape")).digest())
        total.update(content)
        name = total.hexdigest()
        return os.path.join(self.folder, name[:2], name[2:])


def open_store(mark: str) -> Store | None:
    """The user's store; None where there is no place for one, or it is somebody else's."""
    home = os.environ.get("XDG_CACHE_HOME", "")
    if not os.path.isabs(home):  # the specification: what is relative is to be ignored
        home = os.path.join(os.path.expanduser("~"), ".cache")
    folder = os.path.join(home, "stovelint", "answers")
    if not os.path.isabs(folder):
        return None
    try:
        os.makedirs(folder, mode=0o700, exist_ok=True)
        about = os.stat(folder)
    except OSError:
        return None
    others_write = about.st_mode & 0o022
    if hasattr(os, "getuid") and (about.st_uid != os.getuid() or others_write):
        return None
    return Store(folder=folder, mark=mark)


class _Records(pickle.Unpickler):
    """Reads frozen records of this program; no function and no other class can be named."""

    def find_class(self, module: str, name: str) -> type:
        if module.split(".")[0] == "stovelint":
            found = super().find_class(module, name)
            if isinstance(found, type) and dataclasses.is_dataclass(found):
                return found
        raise pickle.UnpicklingError(f"{module}.{name} is no record")


def _packed(answer: Answer, bases: tuple[Base, ...]) -> bytes:
    body = pickle.dumps((bases, answer), protocol=5)
    return MAGIC + hashlib.sha256(body).digest() + body


def _unpacked(kept: bytes) -> tuple[tuple[Base, ...], Answer]:
    body = kept[len(MAGIC) + 32 :]
    if kept[: len(MAGIC)] != MAGIC or hashlib.sha256(body).digest() != kept[len(MAGIC) :][:32]:
        raise ValueError("not whole")
    found: tuple[tuple[Base, ...], Answer] = _Records(io.BytesIO(body)).load()
    return found


def _thin_out(drawer: str) -> None:
    with os.scandir(drawer) as entries:
        files = sorted((entry.stat().st_mtime, entry.path) for entry in entries)
    for _, file in files[: max(0, len(files) - MOST_IN_A_DRAWER + 1)]:
        os.unlink(file)
