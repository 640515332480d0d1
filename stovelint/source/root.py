"""The root of a plan: the folder in which everything must lie that is read for the plan.

It is the nearest folder above the plan that holds `.git` or `stovelint.toml`, otherwise the
plan's own folder. A plan may come from anybody. Without this rule its `based_on`, or a link in
its place, could have any file of the machine read that looks like a plan, and parts of it told
in a report. Links are followed first, so that what counts is where a file truly lies.
"""

from __future__ import annotations

import os
import posixpath
import re
from typing import Iterable

from stovelint.errors import SourceError
from stovelint.place import PLANS

MARKS = (".git", "stovelint.toml")
"""What makes a folder a root. `.git` is a file in a linked work tree, and counts as well."""

_SCHEME = re.compile(r"[A-Za-z][A-Za-z0-9+.-]*:")
"""RFC 3986, section 3.1; it fits a drive letter too, which is as unwelcome."""
_LONGEST = 1024
BESIDE = "name a file beside the plan or below its root, for instance `kit-core.heater.yaml`"
TOGETHER = (
    "keep both in one repository, or put a `stovelint.toml` into the folder that holds both"
)


def root_of(file: str) -> str:
    """The root of a file on the disk, as an absolute path without links.

    >>> os.path.isabs(root_of("kiln.heater.yaml"))
    True
    """
    folder = os.path.realpath(os.path.dirname(file) or os.curdir)
    here = folder
    while True:
        if any(os.path.lexists(os.path.join(here, mark)) for mark in MARKS):
            return here
        above = os.path.dirname(here)
        if above == here:
            return folder
        here = above


def lies_among(path: str, files: Iterable[str]) -> bool:
    """Whether a path lies in any repository that one of the files lies in, however far above.

    What lies there may have come with the files, and must not speak for them.
    """
    real = os.path.realpath(path)
    seen: set[str] = set()
    for file in files:
        here = os.path.realpath(os.path.dirname(file) or os.curdir)
        while here not in seen:
            seen.add(here)
            if lies_in(real, here) and os.path.lexists(os.path.join(here, MARKS[0])):
                return True
            here = os.path.dirname(here)
    return False


def lies_in(file: str, root: str) -> bool:
    """Whether a file on the disk truly lies in a folder, all links followed."""
    return os.path.realpath(file).startswith(os.path.join(root, ""))


def joined(by: str, named: str) -> str:
    """The path that `based_on: named` means in the file `by`, by its text alone.

    It is normalised, with `/` between the folders, and begins as `by` begins; it may still lead
    out of the root.

    Raises:
        SourceError: this can be no path to a build file of the same root.

    >>> joined("plans/signal-box.heater.yaml", "../kits/kit-core.heater.yaml")
    'kits/kit-core.heater.yaml'
    """
    if not named.isprintable():
        raise SourceError("the path holds a sign that cannot be seen", BESIDE)
    if not named.strip():
        raise SourceError("the path is empty", BESIDE)
    if len(named) > _LONGEST:
        raise SourceError(f"the path is longer than {_LONGEST} signs", BESIDE)
    if _SCHEME.match(named):
        raise SourceError("this is an address or a drive, and only files of this root are read",
                          BESIDE)  # fmt: skip
    if "\\" in named:
        raise SourceError("the path holds a backslash", "write `/` between folders")
    if named.startswith("/"):
        raise SourceError("the path is absolute, and means nothing on another machine", BESIDE)
    if named.startswith("~"):
        raise SourceError("`~` means nothing here", BESIDE)
    if not named.endswith(PLANS):
        raise SourceError("this is no name of a build file", f"it ends in {' or '.join(PLANS)}")
    return posixpath.normpath(posixpath.join(posixpath.dirname(by.replace(os.sep, "/")), named))


def joined_in_tree(by: str, named: str) -> str:
    """As `joined`, for paths that count from the root; none may lead out of it.

    >>> joined_in_tree("plans/signal-box.heater.yaml", "../../kit-core.heater.yaml")
    Traceback (most recent call last):
    ...
    stovelint.errors.SourceError: the path leads out of the root of the plan; keep both in one \
repository, or put a `stovelint.toml` into the folder that holds both
    """
    path = joined(by, named)
    if path.startswith(("../", "/")):
        raise leads_out()
    return path


def leads_out() -> SourceError:
    """What is wrong with a path to a file that does not lie in the root."""
    return SourceError("the path leads out of the root of the plan", TOGETHER)
