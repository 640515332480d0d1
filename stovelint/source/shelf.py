"""Where build files come from: the disk, or anything else that can hand out bytes by path."""

from __future__ import annotations

from typing import Protocol

from stovelint.errors import SourceError
from stovelint.source.text import MAX_BYTES


class Shelf(Protocol):
    """Hands out build files."""

    def read(self, path: str) -> bytes:
        """Content of one file; of a large one not more than `MAX_BYTES` + 1 bytes.

        Raises:
            SourceError: it cannot be read.
        """
        ...


class Disk:
    """The files of this machine."""

    def read(self, path: str) -> bytes:
        """As for `Shelf`."""
        try:
            with open(path, "rb") as handle:
                return handle.read(MAX_BYTES + 1)
        except (OSError, ValueError) as fault:
            raise SourceError(*_why_not_opened(fault)) from None


DISK = Disk()


def _why_not_opened(fault: OSError | ValueError) -> tuple[str, str]:
    if isinstance(fault, FileNotFoundError):
        return "there is no such file", "check the name and the folder"
    if isinstance(fault, IsADirectoryError):
        return "this is a folder, not a file", "name the build file in it"
    if isinstance(fault, PermissionError):
        return "the file may not be read", "check its permissions"
    return "the file cannot be opened", "check the name and the disk"
