"""Where the command runs within a repository. Asks the folders alone; no other program is run."""

from __future__ import annotations

import os

MARK = ".git"
"""A folder, or in a linked working tree a file, that lies in the root of a repository."""


def repository_root() -> str:
    """Absolute path of the root of the repository around the current folder; empty: there is none.

    Empty as well where the current folder is not there any more.
    """
    try:
        here = os.getcwd()
    except OSError:
        return ""
    while not os.path.lexists(os.path.join(here, MARK)):
        above = os.path.dirname(here)
        if above == here:
            return ""
        here = above
    return here.replace(os.sep, "/")


def repository_prefix(root: str | None = None) -> str:
    """From the root of the repository to the current folder, `plans/houses/`; empty in the root.

    Args:
        root: what `repository_root` found; None: it is looked for.
    """
    root = repository_root() if root is None else root
    if not root:
        return ""
    rest = os.path.relpath(os.getcwd(), root).replace(os.sep, "/")
    return "" if rest == "." else f"{rest}/"
