"""What a change to the shop's settings would let pass that they do not let pass now.

Against an older revision the settings of that revision are used. Those on the disk have no say in
the call, but once the change is taken they will, so each weaker one is told.
"""

from __future__ import annotations

import os
import stat
import sys
from dataclasses import dataclass
from typing import TYPE_CHECKING, Iterable, Mapping, Sequence, cast

from stovelint.cli.choice.lookup import Place, look_up, placed
from stovelint.errors import SourceError, UsageError
from stovelint.hold import LEAST, USUAL, holds
from stovelint.report.lines import plain
from stovelint.report.told import Notice
from stovelint.rule.level import RANK
from stovelint.trust.held import MOST_BYTES

if TYPE_CHECKING:
    from stovelint.cli.answers.one import Desk
    from stovelint.cli.older.since import Since
    from stovelint.hold import Hold
    from stovelint.place import Span
    from stovelint.rule.level import Level, Stakes
    from stovelint.settings import Settings
    from stovelint.settings.materials import OwnMaterial

LEVEL: Level = "warning"
"""A weaker claim of a plan has the same."""
MOST_NAMED = 20
SEE = "see to it that somebody who may decide this has agreed, or put back what stood there"


@dataclass(frozen=True, kw_only=True, slots=True)
class Shelved:
    """Settings as they are somewhere, with all that they name."""

    settings: Settings
    materials: Mapping[str, OwnMaterial]
    place: Place | None


def tell_weaker(
    named: str | None, plans: Sequence[str], since: Since, desk: Desk
) -> tuple[Notice, ...]:
    """As `weaker_settings`, also told on stderr."""
    stakes = {rule.name: rule.stakes for rule in desk.book}
    told = weaker_settings(named, plans, since, stakes, desk.hold)
    for notice in told:
        print(plain(f"stovelint: {notice.message}; {notice.remedy}"), file=sys.stderr)
    return told


def weaker_settings(
    named: str | None, plans: Sequence[str], since: Since, stakes: Mapping[str, Stakes], hold: Hold
) -> tuple[Notice, ...]:
    """What the settings on the disk ask less for than those of the older revision.

    Args:
        named: the file of settings that the call names; None: the one above the plans.
        plans: the build files of the call.
        since: the older revision.
        stakes: of the rules, by name.
        hold: what holds a plan in this call.

    Raises:
        SettingsError: those on the disk have mistakes; these would stop every review.
    """
    if named is not None:
        before, now = placed(named, since), placed(named, None)
    else:
        found = look_up(plans, since)
        try:
            here = look_up(plans, None)
        except UsageError as error:
            said = f"on the disk {error.message}; in {since.revision.given} they do not"
            return (_notice(said, "danger", hold, None),)
        if found is None and here is None:
            return ()
        return _told(_shelved(found), _shelved(here), since, stakes, hold)
    return _told(_shelved(_there(before)), _shelved(_there(now)), since, stakes, hold)


def _there(place: Place) -> Place | None:
    """The place, where there is a file."""
    try:
        place.shelf.read(place.path)
    except SourceError:
        return None
    return place


def _shelved(place: Place | None) -> Shelved:
    from stovelint.settings import no_settings, read_settings
    from stovelint.settings.materials import read_materials

    if place is None:
        return Shelved(settings=no_settings(), materials={}, place=None)
    settings = read_settings(place.path, place.shelf, place.shown)
    own = {one.name: one for one in read_materials(settings, place.shelf)}
    return Shelved(settings=settings, materials=own, place=place)


def _told(
    before: Shelved, now: Shelved, since: Since, stakes: Mapping[str, Stakes], hold: Hold
) -> tuple[Notice, ...]:
    old, new = before.settings, now.settings
    file = new.file or f"{old.file} (not there any more)"
    told: list[Notice] = []

    def tell(said: str, at_stake: Stakes, *path: str | int) -> None:
        span = None if new.places is None else new.places.key(path)
        told.append(_notice(f"{file}: {said}", at_stake, hold, span))

    if old.jurisdiction is not None and new.jurisdiction != old.jurisdiction:
        is_now = "none is named" if new.jurisdiction is None else f"is {new.jurisdiction}"
        tell(
            f"the code of plans that name none was {old.jurisdiction}, and {is_now}",
            "danger", "jurisdiction",
        )  # fmt: skip
    was, here = (cast("Hold", one.hold_at or USUAL) for one in (old, new))
    freed = _freed(was, here)
    if freed:
        tell(f"`hold_at` was {was}, and is {here}", freed, "hold_at")
    for name in sorted(set(new.without) - set(old.without)):
        tell(
            f"the rule {name} was asked, and is left out", stakes.get(name, "danger"),
            "without", new.without.index(name),
        )  # fmt: skip
    for name, own in sorted(now.materials.items()):
        known = before.materials.get(name)
        if known is None or known.row != own.row:
            how, here_it = "has changed", "here it counts as it was"
            if known is None:
                how = "is new"
                here_it = f"a plan can name it as soon as {since.revision.given} holds it"
            said = f"the shop's own material {name} {how} ({own.file}); {here_it}"
            tell(said, "danger", "materials")
    for folder in old.rules:
        if folder not in new.rules:
            tell(f"the rules in {folder} were named, and are no more", "danger", "rules")
    if old.rules_required and not new.rules_required:
        tell("the shop's own rules were required, and are no more", "danger", "rules_required")
    for folder in new.rules:
        if folder in old.rules and before.place is not None and now.place is not None:
            lies = os.path.normpath(os.path.join(os.path.realpath(new.folder), folder))
            changed = _changed(old.within(folder), lies, since)
            if changed:
                files = ", ".join(changed)
                tell(f"the rules in {folder} have changed: {files}", "danger", "rules")
    return tuple(told)


def _freed(was: Hold, here: Hold) -> Stakes | None:
    """The highest stakes of what was held and would be no more."""
    for stakes, least in sorted(LEAST[was].items(), key=lambda pair: _order(pair[0])):
        now = LEAST[here].get(stakes)
        if now is None or RANK[now] > RANK[least]:
            return stakes
    return None


def _order(stakes: Stakes) -> int:
    from stovelint.rule.level import STAKES

    return STAKES.index(stakes)


def _notice(said: str, stakes: Stakes, hold: Hold, span: Span | None) -> Notice:
    return Notice(
        message=f"weaker settings ({stakes}): {said}", remedy=SEE, span=span,
        holds=holds(hold, stakes, LEVEL),
    )  # fmt: skip


def _changed(before: str, now: str, since: Since) -> list[str]:
    """Files of a folder that are not what they were, are new, or gone; none shows its letters."""
    prefix = f"{before}/"
    old = {
        name[len(prefix) :] for name in since.revision.entries if name.startswith(prefix)
    }
    if os.path.realpath(now) != now:
        return ["a link leads there"]  # perhaps to all that lies on the machine
    found = [
        name
        for name in sorted(old | set(_files(now)))
        if not _same(os.path.join(now, *name.split("/")), prefix + name, since)
    ]
    more = len(found) - MOST_NAMED
    return found if more <= 0 else [*found[:MOST_NAMED], f"and {more} more"]


def _same(path: str, name: str, since: Since) -> bool:
    try:
        if not stat.S_ISREG(os.lstat(path).st_mode):  # to read from a pipe might never end
            return False
        with open(path, "rb") as handle:
            data = handle.read(MOST_BYTES + 1)
    except OSError:
        return False
    return since.revision.same(name, data)


def _files(folder: str) -> Iterable[str]:
    for here, folders, files in os.walk(folder):
        folders[:] = [name for name in folders if name != "__pycache__" and name[0] != "."]
        for file in files:
            if file[0] != ".":
                yield os.path.relpath(os.path.join(here, file), folder).replace(os.sep, "/")
