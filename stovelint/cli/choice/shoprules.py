"""A shop's own rules: which folders of them may run in this call, and which are passed over.

Rules are code. Settings come with the repository and can only name folders; code runs when the
call names the folder too, or when the user has vouched for the folder as it is.
"""

from __future__ import annotations

import os
from dataclasses import dataclass
from typing import TYPE_CHECKING, Mapping, Sequence

from stovelint.cli.choice.lookup import Place, placed
from stovelint.errors import SourceError, UsageError
from stovelint.report.told import Notice
from stovelint.source import DISK, Cabinet
from stovelint.source.root import MARKS, lies_among, lies_in, root_of
from stovelint.trust import Held, Record, TrustError, hold, of_files, record_path
from stovelint.trust.held import MOST_BYTES, MOST_FILES

if TYPE_CHECKING:
    from stovelint.cli.older.since import Since
    from stovelint.place import Mistake
    from stovelint.settings import Settings


@dataclass(frozen=True, kw_only=True, slots=True)
class ShopRules:
    """What became of every folder."""

    held: tuple[Held, ...] = ()
    """Those whose rules are asked, read already."""
    skipped: Mapping[str, tuple[str, ...]]
    """Names of the rules in those that are passed over, by folder as reports call it."""
    notices: tuple[Notice, ...] = ()
    mistakes: tuple[Mistake, ...] = ()
    """In the settings."""


def shop_rules(
    settings: Settings, found: Place | None, named: Sequence[str], since: Since | None
) -> ShopRules:
    """Decide about every folder of rules that the call or the settings name.

    Args:
        settings: what the shop chose.
        found: where they are; None: there are none.
        named: folders that the call names.
        since: the older revision that both are taken from, where there is one.

    Raises:
        TrustError: a folder that the call names is not to be run.
    """
    held = [_by_call(folder, since) for folder in dict.fromkeys(named)]
    asked = {os.path.realpath(folder) for folder in named}
    skipped: dict[str, tuple[str, ...]] = {}
    notices: list[Notice] = []
    mistakes: list[Mistake] = []
    record: tuple[Record, str] | None = None
    for index, folder in enumerate(settings.rules):
        assert found is not None  # else nothing would be named
        here = _below(found, settings.within(folder), folder)
        key = os.path.realpath(here.disk)
        if key in asked:
            continue
        asked.add(key)
        try:
            here.shelf.names(here.path, settings.folder)
        except SourceError as fault:
            said = f"`{folder}`: {fault.message}"
            mistakes.append(settings.mistake(("rules", index), said, fault.remedy))
            continue
        record = record or _record(found)
        try:
            read = _hold(here)
        except TrustError as fault:
            why, remedy = fault.message, fault.remedy
            names: tuple[str, ...] = ()
        else:
            if record[0].digests.get(key) == read.digest:
                held.append(read)
                continue
            why, remedy = _why(record, key, here.shown)
            names = read.rules
        skipped[here.shown] = names
        required = f" ({settings.file} requires them)" if settings.rules_required else ""
        notices.append(
            Notice(
                message=f"the rules in {here.shown} were not asked{required}: {why}",
                remedy=remedy,
                span=None if settings.places is None else settings.places.value(("rules", index)),
                stops=settings.rules_required,
            )
        )
    return ShopRules(
        held=tuple(held), skipped=skipped, notices=tuple(notices), mistakes=tuple(mistakes)
    )


def _why(record: tuple[Record, str], key: str, shown: str) -> tuple[str, str]:
    digests, fault = record[0].digests, record[0].fault or record[1]
    remedy = f"look through it, then run `stovelint vouch {shown}`, or call with --rules {shown}"
    if fault:
        return f"the record of what you vouched for cannot be believed, {fault}", (
            "see `stovelint vouch --list`"
        )
    if key in digests:
        return "the folder has changed since you vouched for it", remedy
    return "you have not vouched for that folder", remedy


def _record(found: Place) -> tuple[Record, str]:
    """The user's record, and why it is not one where it lies among the plans."""
    try:
        path = record_path()
    except UsageError as error:
        return Record(digests={}), error.message
    if lies_in(path, root_of(found.disk)) or lies_among(path, [found.disk]):
        # Whoever writes the rules could then vouch for them too.
        return Record(digests={}), "it lies in the repository that it should speak of"
    return Record.read(path), ""


def _by_call(folder: str, since: Since | None) -> Held:
    here = placed(folder, since)
    if here.shelf is DISK and not _straight(folder):
        raise TrustError(
            f"--rules {folder}: a link on the way leads out of the repository",
            "name the folder where it truly lies",
        )
    try:
        return _hold(here)
    except SourceError as fault:
        raise TrustError(f"--rules {folder}: {fault.message}", fault.remedy) from None
    except TrustError as fault:
        raise TrustError(f"--rules: {fault.message}", fault.remedy) from None


def _straight(folder: str) -> bool:
    """Whether a folder truly lies in the root that its path, taken as typed, leads through."""
    here = os.path.dirname(os.path.abspath(folder))
    while not any(os.path.lexists(os.path.join(here, mark)) for mark in MARKS):
        above = os.path.dirname(here)
        if above == here:
            return True  # in no repository, so that nobody else put a link there
        here = above
    return lies_in(folder, os.path.realpath(here))


def _below(found: Place, path: str, folder: str) -> Place:
    disk = os.path.join(os.path.dirname(found.disk), *folder.split("/"))
    return Place(path=path, shelf=found.shelf, disk=os.path.normpath(disk))


def _hold(here: Place) -> Held:
    """Every file of a folder, read once.

    Raises:
        TrustError: it is not to be run.
        SourceError: it is not there.
    """
    if here.shelf is DISK:
        return hold(here.disk, here.shown)
    files: dict[str, bytes] = {}
    room = MOST_BYTES
    for path in _walk(here.shelf, here.path, ""):
        files[path] = here.shelf.read(f"{here.path}/{path}")
        room -= len(files[path])
        if room < 0 or len(files) > MOST_FILES:
            raise TrustError(f"{here.shown} is larger than any folder of rules", "take files out")
    return of_files(here.shown, files)


def _walk(shelf: Cabinet, folder: str, below: str) -> list[str]:
    found = []
    for name in shelf.names(f"{folder}/{below}".rstrip("/"), folder):
        if name.endswith("/"):
            found += _walk(shelf, folder, below + name)
        else:
            found.append(below + name)
    return found
