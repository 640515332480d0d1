"""The user's record of what they vouched for: folders by their true path, with the hash of each.

It lies among the user's own files (XDG Base Directory Specification 0.8: `XDG_STATE_HOME`, else
`~/.local/state`), never in a repository. A record that is damaged, or that somebody else can
write to, vouches for nothing, and is never written over.
"""

from __future__ import annotations

import contextlib
import os
from dataclasses import dataclass
from typing import Iterator, Mapping

from stovelint.errors import UsageError

FORMAT = 1
MOST_BYTES = 1024 * 1024
DIGITS = frozenset("0123456789abcdef")


def record_path() -> str:
    """Where the user's record lies; whether it is there or not.

    Raises:
        UsageError: the user has no home.
    """
    home = os.environ.get("XDG_STATE_HOME", "")
    if not os.path.isabs(home):  # the specification: what is relative is to be ignored
        home = os.path.join(os.path.expanduser("~"), ".local", "state")
    if not os.path.isabs(home):
        raise UsageError("there is no home to keep a record in", "set XDG_STATE_HOME or HOME")
    return os.path.join(home, "stovelint", "vouched.json")


@dataclass(frozen=True, kw_only=True, slots=True)
class Record:
    """What the user vouched for."""

    digests: Mapping[str, str]
    """Hash of each folder, by its true path."""
    fault: str = ""
    """Why the record cannot be believed; it then vouches for nothing."""

    @staticmethod
    def read(path: str) -> Record:
        """The record as it is; an empty one where there is none."""
        try:
            with open(path, "rb") as stream:
                about = os.fstat(stream.fileno())
                data = stream.read(MOST_BYTES + 1)
        except FileNotFoundError:
            return Record(digests={})
        except OSError as error:
            return Record(digests={}, fault=f"it cannot be read ({error.strerror})")
        if hasattr(os, "getuid") and about.st_uid != os.getuid():
            return Record(digests={}, fault="it belongs to another user")
        if about.st_mode & 0o022:
            return Record(digests={}, fault="others may write to it")
        return _parsed(data)

    def save(self, path: str) -> None:
        """Write it beside the old one, then let it take its place; see `alone`.

        Raises:
            OSError: it cannot be written; the old one stays.
        """
        import json

        document = {"format": FORMAT, "vouched": dict(sorted(self.digests.items()))}
        text = json.dumps(document, indent=1, ensure_ascii=True) + "\n"
        beside = f"{path}.part"
        try:
            handle = os.open(beside, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600)
            with os.fdopen(handle, "w", encoding="ascii") as stream:
                stream.write(text)
                stream.flush()
                os.fsync(stream.fileno())
            os.replace(beside, path)
        except BaseException:
            with contextlib.suppress(OSError):
                os.unlink(beside)
            raise


@contextlib.contextmanager
def alone(path: str) -> Iterator[None]:
    """Let no other process read and write the record in between; makes its folder.

    Raises:
        OSError: the folder cannot be made, or the lock not be had.
    """
    os.makedirs(os.path.dirname(path), mode=0o700, exist_ok=True)
    handle = os.open(f"{path}.lock", os.O_RDWR | os.O_CREAT, 0o600)
    try:
        try:
            import fcntl
        except ImportError:  # not on this system: two calls at once may then lose one of them
            yield
            return
        fcntl.flock(handle, fcntl.LOCK_EX)
        yield
    finally:
        os.close(handle)


def _parsed(data: bytes) -> Record:
    import json

    if len(data) > MOST_BYTES:
        return Record(digests={}, fault="it is far too long")
    try:
        tree = json.loads(data)
    except (ValueError, RecursionError):
        return Record(digests={}, fault="it is damaged")
    digests = tree.get("vouched") if isinstance(tree, dict) else None
    if not isinstance(digests, dict) or tree.get("format") != FORMAT:
        return Record(digests={}, fault="it is not of a form that this version knows")
    for folder, digest in digests.items():
        whole = isinstance(digest, str) and len(digest) == 64 and set(digest) <= DIGITS
        if not (os.path.isabs(folder) and whole):
            return Record(digests={}, fault="it is damaged")
    return Record(digests=digests)
