"""Where build files come from: the disk, or anything else that can hand out bytes by path."""

from __future__ import annotations

import os
import stat
from typing import Protocol

from stovelint.errors import SourceError
from stovelint.source.root import TOGETHER, joined, leads_out, lies_in, root_of
from stovelint.source.text import MAX_BYTES


class Shelf(Protocol):
    """Hands out build files."""

    def read(self, path: str) -> bytes:
        """Content of one file; of a large one not more than `MAX_BYTES` + 1 bytes.

        Raises:
            SourceError: it cannot be read, or a link leads out of its root.
        """
        ...

    def base_path(self, plan: str, by: str, named: str) -> str:
        """Path of the file that `based_on: named` means in the file `by`, to be given to `read`.

        Args:
            plan: the build file that is read; its root is what nothing may lead out of.
            by: the file in which `based_on` stands: `plan`, or one that it is based on.
            named: what stands there.

        Raises:
            SourceError: it means no file that may be read. Whether there is one, `read` tells.
        """
        ...


class Cabinet(Shelf, Protocol):
    """A shelf that also tells what lies in a folder."""

    def names(self, folder: str, root: str) -> tuple[str, ...]:
        """Names of the files and folders in a folder, sorted; those of folders end in `/`.

        Args:
            folder: the folder.
            root: a folder out of which no link may have led on the way.

        Raises:
            SourceError: there is no such folder, it cannot be listed, or a link leads out.
        """
        ...


class Disk:
    """The files of this machine."""

    def read(self, path: str) -> bytes:
        """As for `Shelf`."""
        if "\0" not in path and not _keeps_in(path):
            raise SourceError("a link in its place leads out of its root", TOGETHER)
        try:
            kind = os.stat(path).st_mode
            if not stat.S_ISREG(kind) and not stat.S_ISDIR(kind):  # a pipe may never end
                raise SourceError("this is no plain file", "name a file that lies on the disk")
            with open(path, "rb") as handle:
                return handle.read(MAX_BYTES + 1)
        except SourceError:
            raise
        except (OSError, ValueError) as fault:
            raise SourceError(*_why_not_opened(fault)) from None

    def base_path(self, plan: str, by: str, named: str) -> str:
        """As for `Shelf`."""
        plainly = joined(by, named)
        as_opened = os.path.join(os.path.dirname(by), named)
        if not lies_in(as_opened, root_of(plan)):
            raise leads_out()
        # They differ where `..` follows a folder that is a link.
        same = os.path.realpath(as_opened) == os.path.realpath(plainly)
        return plainly if same else as_opened

    def names(self, folder: str, root: str) -> tuple[str, ...]:
        """As for `Cabinet`."""
        if not lies_in(os.path.join(folder, "x"), os.path.realpath(root)):
            raise SourceError(
                "a link on the way leads out of the root", "put the folder itself there"
            )
        try:
            with os.scandir(folder) as entries:
                # What is no plain file is passed over: to read from a pipe might never end.
                plain = (e for e in entries if e.is_dir() or e.is_file())
                return tuple(sorted(e.name + ("/" if e.is_dir() else "") for e in plain))
        except FileNotFoundError:
            raise SourceError("there is no such folder", "check the name") from None
        except NotADirectoryError:
            raise SourceError("this is a file, not a folder", "name the folder") from None
        except (OSError, ValueError):
            raise SourceError("the folder cannot be listed", "check its permissions") from None


DISK = Disk()


def _keeps_in(path: str) -> bool:
    """Whether a path leads to what lies in its root, or to the root, which is then no file."""
    root = root_of(path)
    return lies_in(path, root) or os.path.realpath(path) == root


def _why_not_opened(fault: OSError | ValueError) -> tuple[str, str]:
    if isinstance(fault, FileNotFoundError):
        return "there is no such file", "check the name and the folder"
    if isinstance(fault, IsADirectoryError):
        return "this is a folder, not a file", "name the build file in it"
    if isinstance(fault, PermissionError):
        return "the file may not be read", "check its permissions"
    return "the file cannot be opened", "check the name and the disk"
