"""The files of one revision, read from git's store."""

from __future__ import annotations

import hashlib
import os
from dataclasses import dataclass
from typing import Literal, Mapping

from stovelint.errors import SourceError, UsageError
from stovelint.history.git import git, lines
from stovelint.history.repository import Repository

Kind = Literal["file", "link", "submodule"]
KINDS: Mapping[str, Kind] = {"120000": "link", "160000": "submodule"}


@dataclass(frozen=True, kw_only=True, slots=True)
class Entry:
    """What stands under one name."""

    kind: Kind
    name: str
    """Of its content, as git calls it."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Revision:
    """One commit of a repository, and everything that it holds."""

    given: str
    """As the caller named it."""
    commit: str
    repository: Repository
    entries: Mapping[str, Entry]
    """By name within the repository, `/` between folders."""

    def read(self, name: str, most: int) -> bytes:
        """Content of one file, of a large one not more than `most` bytes.

        Raises:
            SourceError: it was not there, or was no file of its own.
        """
        entry = self.entries.get(name)
        if entry is None:
            over = self.submodule(name)
            if over is not None:
                raise SourceError(
                    f"it lies in the submodule {over}, which has a history of its own",
                    "review it from there",
                )
            raise SourceError(f"there was no such file in {self.given}", "check the name")
        if entry.kind == "link":
            raise SourceError(
                f"it was a link in {self.given}, and links are not followed there",
                "put the file itself in its place",
            )
        if entry.kind == "submodule":
            raise SourceError("it is a submodule, and no file", "name a file")
        done = git(self.repository.root, "cat-file", "blob", entry.name, most=most)
        if done.status:
            raise SourceError(
                f"git does not hold its content of {self.given}",
                "fetch it before the review; what is missing is never fetched by it",
            )
        return done.out

    def submodule(self, name: str) -> str | None:
        """The submodule that a name leads into, where it does."""
        steps = name.split("/")
        for count in range(1, len(steps)):
            over = "/".join(steps[:count])
            entry = self.entries.get(over)
            if entry is not None and entry.kind == "submodule":
                return over
        return None

    def same(self, name: str, data: bytes) -> bool:
        """Whether a file held just this; nothing is read for the answer."""
        entry = self.entries.get(name)
        return entry is not None and entry.kind == "file" and entry.name == self.named(data)

    def named(self, data: bytes) -> str:
        """What git would call this content: the hash of `blob`, its length, and itself."""
        made = hashlib.new(self.repository.object_format, usedforsecurity=False)
        made.update(b"blob %d\0" % len(data))
        made.update(data)
        return made.hexdigest()


def open_revision(repository: Repository, given: str) -> Revision:
    """All that a revision holds, by name.

    Raises:
        UsageError: there is no such revision, or git cannot list it.
    """
    commit = repository.commit(given)
    done = git(repository.root, "ls-tree", "-r", "-z", "--full-tree", commit)
    if done.status:
        raise UsageError(
            f"--since {given}: git cannot list its files ({lines([done.said])})",
            "fetch what is missing, or check the repository with `git fsck`",
        )
    entries = dict(_entry(row) for row in done.out.split(b"\0") if row)
    return Revision(given=given, commit=commit, repository=repository, entries=entries)


def _entry(row: bytes) -> tuple[str, Entry]:
    """`100644 blob ce0136 TAB plans/kiln.heater.yaml`."""
    said, _, name = row.partition(b"\t")
    mode, _, content = said.decode("ascii").split(" ")
    return os.fsdecode(name), Entry(kind=KINDS.get(mode, "file"), name=content)
