"""Plans of an older revision that are no more."""

from __future__ import annotations

import os
from typing import TYPE_CHECKING, Iterable, Sequence

from stovelint.cli.find import shown_name
from stovelint.place import PLANS

if TYPE_CHECKING:
    from stovelint.history import Revision


def gone(revision: Revision) -> list[str]:
    """Names of plans that are no more on the disk, or have a link or a folder in their place."""
    return [
        name
        for name, entry in sorted(revision.entries.items())
        if entry.kind == "file"
        and name.endswith(PLANS)
        and not _stands(os.path.join(revision.repository.root, *name.split("/")))
    ]


def _stands(path: str) -> bool:
    return os.path.isfile(path) and os.path.realpath(path) == path


def told_gone(root: str, paths: Iterable[str], gone: Sequence[str]) -> tuple[str, ...]:
    """Those that would have been found by this call, each as reports would call it."""
    told = set()
    for path in paths:
        if not os.path.isdir(path):
            continue
        here = os.path.realpath(path)
        for name in gone:
            way = os.path.relpath(os.path.join(root, name), here)
            if not any(step.startswith(".") for step in way.split(os.sep)):
                told.add(shown_name(os.path.normpath(os.path.join(path, way))))
    return tuple(sorted(told))
