"""A folder of rules, held in memory: what was hashed is what is run.

Every file is read once. The hash is taken over those very bytes, and the rulebook loads those very
bytes, so that nothing on the disk can change between the question and the answer.

Names that begin with `.`, and `__pycache__`, are neither hashed nor held: no rule can be loaded
from there, and tools that somebody runs in the folder would otherwise undo the vouching.
"""

from __future__ import annotations

import hashlib
import os
import stat
from dataclasses import dataclass
from typing import Iterator, Mapping

from stovelint.errors import UsageError

MOST_FILES = 2000
MOST_BYTES = 16 * 1024 * 1024
DEEPEST = 8


class TrustError(UsageError):
    """A folder of rules that is not to be run, whoever vouched for it."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Held:
    """All files of one folder of rules."""

    folder: str
    """As messages call it."""
    files: Mapping[str, bytes]
    """By path below the folder, with `/` between the steps."""
    digest: str
    """SHA-256 over the names and contents of all of them, in hexadecimal."""

    @property
    def rules(self) -> tuple[str, ...]:
        """Names of the rule folders in it, sorted."""
        heads = {path.split("/")[0] for path in self.files if "/" in path}
        return tuple(sorted(name for name in heads if not name.startswith("_")))

    def names(self, folder: str) -> tuple[str, ...]:
        """Names of the files directly in a folder below this one, sorted; empty: there is none.

        >>> of_files("shop", {"dry-lid/rule.py": b""}).names("shop/dry-lid")
        ('rule.py',)
        """
        head = f"{folder.removeprefix(self.folder + '/')}/"
        rest = (path[len(head) :] for path in self.files if path.startswith(head))
        return tuple(sorted(path for path in rest if "/" not in path))

    def content(self, path: str) -> bytes | None:
        """Content of a file below this folder; None where there is none.

        >>> of_files("shop", {"dry-lid/rule.py": b"x"}).content("shop/dry-lid/rule.py")
        b'x'
        """
        return self.files.get(path.removeprefix(self.folder + "/"))


def of_files(folder: str, files: Mapping[str, bytes]) -> Held:
    """A folder of which the files are already read, for instance from a revision.

    Args:
        folder: as messages call it.
        files: by path below it, with `/` between the steps.

    >>> of_files("shop", {"a": b"1"}).digest == of_files("other", {"a": b"1"}).digest
    True
    """
    kept = {path: files[path] for path in sorted(files) if not _passed_over(path)}
    total = hashlib.sha256(b"stovelint rules 1\n")
    for path, content in kept.items():
        name = path.encode("utf-8", "surrogateescape")
        # Lengths first: no name or content can then be taken for parts of another.
        total.update(b"%d %d\n" % (len(name), len(content)) + name + content)
    return Held(folder=folder, files=kept, digest=total.hexdigest())


def hold(folder: str, shown: str | None = None) -> Held:
    """Read a folder of rules from the disk.

    Args:
        folder: its path.
        shown: how messages call it; None: by its path.

    Raises:
        TrustError: it is no folder, is not the user's own, holds a link or what is no plain file,
            or is larger than any folder of rules.
    """
    name = folder if shown is None else shown
    try:
        about = os.stat(folder)
    except (OSError, ValueError):
        raise TrustError(f"there is no folder {name}", "check the name") from None
    if not stat.S_ISDIR(about.st_mode):
        raise TrustError(f"{name} is no folder", "name the folder that holds the rule folders")
    _own(about, name)
    files: dict[str, bytes] = {}
    room = MOST_BYTES
    for path in _walk(folder, "", name, 0):
        if len(files) == MOST_FILES:
            raise TrustError(f"{name} holds more than {MOST_FILES} files", "take others out")
        files[path] = _content(os.path.join(folder, *path.split("/")), f"{name}/{path}", room)
        room -= len(files[path])
    return of_files(name, files)


def _passed_over(path: str) -> bool:
    return any(step.startswith(".") or step == "__pycache__" for step in path.split("/"))


def _walk(folder: str, below: str, shown: str, depth: int) -> Iterator[str]:
    if depth > DEEPEST:
        raise TrustError(f"{shown}/{below} lies too deep", "a rule folder is three folders deep")
    try:
        with os.scandir(os.path.join(folder, *below.split("/")) if below else folder) as entries:
            found = sorted(entries, key=lambda entry: entry.name)
    except OSError as error:
        said = f"{shown}/{below} cannot be read ({error.strerror})"
        raise TrustError(said, "check its permissions") from None
    for entry in found:
        if _passed_over(entry.name):
            continue
        path = f"{below}/{entry.name}" if below else entry.name
        if entry.is_symlink():
            raise TrustError(f"{shown}/{path} is a link", "put the thing itself there")
        if entry.is_dir(follow_symlinks=False):
            _own(entry.stat(follow_symlinks=False), f"{shown}/{path}")
            yield from _walk(folder, path, shown, depth + 1)
        else:
            yield path


def _content(path: str, shown: str, room: int) -> bytes:
    """Content of a plain file of the user's; a link or pipe put there meanwhile is refused."""
    flags = os.O_RDONLY | getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_NONBLOCK", 0)
    try:
        handle = os.open(path, flags)
        with os.fdopen(handle, "rb") as stream:
            about = os.fstat(handle)
            if not stat.S_ISREG(about.st_mode):
                raise TrustError(f"{shown} is no plain file", "take it out")
            _own(about, shown)
            content = stream.read(room + 1)
    except TrustError:
        raise
    except OSError as error:
        raise TrustError(
            f"{shown} cannot be read ({error.strerror})", "check its permissions"
        ) from None
    if len(content) > room:
        raise TrustError(
            f"{shown}: the folder holds more than {MOST_BYTES} bytes", "take large files out"
        )
    return content


def _own(about: os.stat_result, shown: str) -> None:
    """What somebody else owns, or may write to, somebody else can change."""
    if hasattr(os, "getuid") and about.st_uid != os.getuid():
        raise TrustError(
            f"{shown} belongs to another user", "make it your own, and look through it before"
        )
    if about.st_mode & 0o002:
        raise TrustError(f"anybody may write to {shown}", f"chmod o-w {shown}")
