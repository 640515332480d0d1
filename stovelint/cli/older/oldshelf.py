"""The files of an older revision, handed out like those of the disk."""

from __future__ import annotations

import posixpath
from dataclasses import dataclass
from typing import TYPE_CHECKING

from stovelint.errors import SourceError
from stovelint.source.root import MARKS, joined_in_tree, leads_out
from stovelint.source.text import MAX_BYTES

if TYPE_CHECKING:
    from stovelint.history import Revision


@dataclass(frozen=True, slots=True)
class OldShelf:
    """A shelf whose paths count from the root of the repository. No link is followed on it."""

    revision: Revision

    def read(self, path: str) -> bytes:
        """As for `Shelf`."""
        return self.revision.read(posixpath.normpath(path), MAX_BYTES + 1)

    def base_path(self, plan: str, by: str, named: str) -> str:
        """As for `Shelf`."""
        path = joined_in_tree(by, named)
        root = self.root_of(plan)
        if root and not path.startswith(f"{root}/"):
            raise leads_out()
        return path

    def names(self, folder: str, root: str) -> tuple[str, ...]:
        """As for `Cabinet`."""
        inside = posixpath.normpath(folder)
        before = "" if inside == "." else f"{inside}/"
        found = set()
        for name in self.revision.entries:
            if name.startswith(before):
                first, more, _ = name[len(before) :].partition("/")
                found.add(first + more)
        if not found:
            given = self.revision.given
            raise SourceError(f"there was no such folder in {given}", "check the name")
        return tuple(sorted(found))

    def root_of(self, plan: str) -> str:
        """The folder out of which nothing of a plan may lead; empty for the whole repository."""
        folder = posixpath.dirname(plan)
        while folder:
            if any(f"{folder}/{mark}" in self.revision.entries for mark in MARKS):
                return folder
            folder = posixpath.dirname(folder)
        return ""
