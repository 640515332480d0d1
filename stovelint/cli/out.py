"""Writing a report to a file: all of it or nothing."""

from __future__ import annotations

import os
import stat
from typing import Iterable

from stovelint.errors import UsageError
from stovelint.place import PLANS
from stovelint.source.root import MARKS

MOST_TRIES = 100
DEVICES = ("/dev", "/proc")


def check_out(path: str, plans: Iterable[str]) -> None:
    """Refuse, before anything is computed, what could not be written or must not be.

    Args:
        path: the file to write.
        plans: the build files that are to be reviewed.

    Raises:
        UsageError: the path is a folder, a device or a plan, its folder is not there, or a link of
            a repository leads elsewhere.
    """
    here = f"--out {path}"
    another = "name another file"
    if not path:
        raise UsageError("--out has no name", "name a file")
    if path == "-":
        raise UsageError(f"{here} is no file", f"leave --out away to print, or write ./{path}")
    # By name: what such a path leads to may be a plain file that somebody else has open.
    if any(os.path.abspath(path).startswith(f"{one}/") for one in DEVICES):
        raise UsageError(f"{here} is no plain file", f"{another}, or leave --out away to print")
    real = os.path.realpath(path)
    folder = os.path.dirname(real)
    if _by_link(path):
        raise UsageError(
            f"{here} leads through a link of the repository, and so to any file",
            "delete the link, or name a file outside of the repository",
        )
    if os.path.isdir(real) or path.endswith(("/", os.sep)):
        raise UsageError(f"{here} is a folder", "name a file in it")
    if os.path.basename(real) == MARKS[1]:
        raise UsageError(f"{here} would write over the settings of a shop", another)
    if real.endswith(PLANS) or real in map(os.path.realpath, plans):
        raise UsageError(f"{here} would write over a plan", another)
    if os.path.lexists(real) and not os.path.isfile(real):
        raise UsageError(f"{here} is no plain file", f"{another}, or leave --out away to print")
    if not os.path.isdir(folder):
        raise UsageError(f"{here} lies in a folder that is not there", "make the folder first")
    if not os.access(folder, os.W_OK | os.X_OK):
        raise UsageError(f"{here} lies in a folder that cannot be written to", another)


def _by_link(path: str) -> bool:
    """Whether a link leads away from where the path, taken by its words, lies in a repository.

    A contribution may bring a link of that very name along, to a file of whoever runs the review.
    """
    here = os.path.abspath(path)
    real, steps = os.path.realpath(here), ""
    while True:
        here, step = os.path.split(here)
        if not step:
            return False
        steps = os.path.join(step, steps) if steps else step
        marked = os.path.lexists(os.path.join(here, MARKS[0]))
        if marked and real != os.path.join(os.path.realpath(here), steps):
            return True


def write_whole(path: str, text: str) -> None:
    """Write a file beside the one named, then let it take its place.

    Whoever reads the path sees the old content or the new, never a part.

    Raises:
        UsageError: it cannot be written; the old content stays.
    """
    real = os.path.realpath(path)
    beside = ""
    try:
        beside, handle = _open_beside(real)
        with os.fdopen(handle, "w", encoding="utf-8", newline="\n") as stream:
            stream.write(text)
            stream.flush()
            os.fsync(stream.fileno())
        if os.path.exists(real):
            os.chmod(beside, stat.S_IMODE(os.stat(real).st_mode))
        os.replace(beside, real)
    except BaseException as error:
        if beside and os.path.exists(beside):
            os.unlink(beside)
        if isinstance(error, OSError):
            raise UsageError(
                f"--out {path} cannot be written ({error.strerror})", "name another file"
            ) from None
        raise


def _open_beside(real: str) -> tuple[str, int]:
    """A new file in the same folder, under the first name that is free: no chance is needed."""
    folder, name = os.path.split(real)
    for number in range(MOST_TRIES):
        beside = os.path.join(folder, f".{name}.part{number or ''}")
        try:
            return beside, os.open(beside, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o666)
        except FileExistsError:
            continue
    raise UsageError(
        f"--out {real} has {MOST_TRIES} unfinished files beside it", f"delete .{name}.part*"
    )
