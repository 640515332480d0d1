"""Where the settings of a call are: beside its plans, or in the older revision of them.

They are found by where the plans lie, never by the current folder.
"""

from __future__ import annotations

import os
from dataclasses import dataclass
from typing import TYPE_CHECKING, Callable, Mapping, Sequence

from stovelint.cli.find import shown_name
from stovelint.errors import UsageError
from stovelint.source import DISK, Cabinet
from stovelint.source.root import MARKS, root_of

if TYPE_CHECKING:
    from stovelint.cli.older.since import Since

NAME = MARKS[1]


@dataclass(frozen=True, kw_only=True, slots=True)
class Place:
    """A file, or a folder, on the disk or in a revision."""

    path: str
    """As its shelf wants it."""
    shelf: Cabinet
    disk: str
    """Where it is on the disk, or would be."""

    @property
    def shown(self) -> str:
        """How reports call it: from the current folder, whatever that is."""
        try:
            return shown_name(os.path.relpath(self.disk))
        except (OSError, ValueError):  # the current folder is gone, or on another drive
            return shown_name(self.disk)


def placed(path: str, since: Since | None) -> Place:
    """A path that was typed: in the older revision where it lies in the repository.

    Args:
        path: of a file or folder of the disk.
        since: the older revision, where there is one.
    """
    name = None if since is None else name_in(path, since.revision.repository.root)
    if since is None or name is None:  # outside of the repository the disk is all there is
        return Place(path=path, shelf=DISK, disk=path)
    return in_revision(name, since)


def name_in(path: str, root: str) -> str | None:
    """Name of a path within a repository, by the words of the path; None: it lies outside.

    Links within the repository are not followed: as they are on the disk they belong to the
    contribution, and could make the call mean another folder of the older revision.
    """
    here = os.path.abspath(path)
    steps: list[str] = []
    while os.path.realpath(here) != root:
        here, step = os.path.split(here)
        if not step:
            return None
        steps.insert(0, step)
    return "/".join(steps) or None


def in_revision(name: str, since: Since) -> Place:
    """A file or folder of the older revision, by its name in the repository."""
    disk = os.path.join(since.revision.repository.root, *name.split("/"))
    return Place(path=name, shelf=since.shelf, disk=disk)


def look_up(plans: Sequence[str], since: Since | None) -> Place | None:
    """The settings of all these plans; None: there are none.

    Raises:
        UsageError: the plans lie under different settings.
    """
    of_plan = _on_disk(plans) if since is None else _in_revision(plans, since)
    found: dict[str | None, str] = {}
    for plan, path in of_plan.items():
        found.setdefault(path, plan)
    if len(found) > 1:
        raise UsageError(
            "the plans lie under different settings: "
            + "; ".join(
                f"{shown_name(plan)} under {_shown(path, since)}" for path, plan in found.items()
            ),
            "review them in calls of their own, or name one file with --settings FILE",
        )
    path = next(iter(found), None)
    if path is None:
        return None
    return Place(path=path, shelf=DISK, disk=path) if since is None else in_revision(path, since)


def _shown(path: str | None, since: Since | None) -> str:
    if path is None:
        return "none"
    return Place(path=path, shelf=DISK, disk=path).shown if since is None else (
        in_revision(path, since).shown
    )  # fmt: skip


def _on_disk(plans: Sequence[str]) -> Mapping[str, str | None]:
    by_folder: dict[str, str | None] = {}
    for folder in {os.path.dirname(plan) for plan in plans}:
        path = os.path.join(root_of(os.path.join(folder, "plan")), NAME)
        by_folder[folder] = path if os.path.lexists(path) else None
    return {plan: by_folder[os.path.dirname(plan)] for plan in plans}


def _in_revision(plans: Sequence[str], since: Since) -> Mapping[str, str | None]:
    there: Callable[[str], bool] = since.revision.entries.__contains__
    found: dict[str, str | None] = {}
    for plan in plans:
        root = since.shelf.root_of(since.before.get(plan, since.now[plan]))
        path = f"{root}/{NAME}" if root else NAME
        found[plan] = path if there(path) else None
    return found
