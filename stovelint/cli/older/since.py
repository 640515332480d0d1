"""`--since REV`: what of an answer is new against an older revision of the plan.

Compared are the files as they lie on the disk, committed or not, with what the revision holds.
Nothing is checked out; see `stovelint.history`.
"""

from __future__ import annotations

import os
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Callable, Iterable, Mapping, Sequence

from stovelint.cli.answers.one import Desk, review_plan
from stovelint.cli.choice.lookup import name_in
from stovelint.cli.find import listed, shown_name
from stovelint.cli.older.gone import gone, told_gone
from stovelint.cli.older.oldshelf import OldShelf
from stovelint.errors import BuildFileError, CatalogueError, SourceError, UsageError
from stovelint.history import open_repository, open_revision, renamed
from stovelint.place import Mistake
from stovelint.report.answer import Answer
from stovelint.source import DISK, read_plan
from stovelint.source.text import MAX_BYTES

if TYPE_CHECKING:
    from stovelint.catalogue import Catalogue
    from stovelint.history import Revision
    from stovelint.source import Shelf, Source
    from stovelint.store import Store


@dataclass(frozen=True, kw_only=True, slots=True)
class Since:
    """An older revision, and where the plans of this call stood in it."""

    revision: Revision
    now: Mapping[str, str]
    """Path of each plan -> its name in the repository."""
    before: Mapping[str, str]
    """Path of each plan that was there -> the name that it had."""
    gone: tuple[str, ...]
    """Plans of the folders in this call that were there and are no more, as reports call them."""

    @property
    def shelf(self) -> OldShelf:
        """Everything in it, by name in the repository."""
        return OldShelf(self.revision)

    def shown_before(self, path: str) -> str:
        """How reports call a plan as it was: counted from the same folder as it is now."""
        if self.now[path] == self.before[path]:
            return shown_name(path)
        here = os.path.dirname(self.now[path]) or "."
        way = os.path.relpath(self.before[path], here)
        return shown_name(os.path.normpath(os.path.join(os.path.dirname(path), way)))


def open_since(given: str, paths: Iterable[str], plans: Sequence[str]) -> Since:
    """Find the revision, and in it the plans.

    Args:
        given: the revision, as typed.
        paths: files and folders, as typed.
        plans: the plans found by them.

    Raises:
        UsageError: there is no such revision, no repository, or a plan lies outside of it.
    """
    first = plans[0]
    repository = open_repository(os.path.dirname(os.path.realpath(first)), shown_name(first))
    if repository.within_another() and not _within(repository.root):
        # Its branches are of its own making, and need not have to do with those that are meant.
        raise UsageError(
            f"--since: {shown_name(first)} lies in a repository within another one, such as a "
            "submodule, and it has a history of its own",
            "review it on its own, from there",
        )
    revision = open_revision(repository, given)
    now = {plan: _name(plan, revision) for plan in plans}
    for plan, name in now.items():
        over = revision.submodule(name)
        if over is not None:
            raise UsageError(
                f"--since: {plan} lies in the submodule {over}, which has a history of its own",
                "review it on its own, from there",
            )
    shelf = OldShelf(revision)
    named = set(now.values())
    missing = [one for one in gone(revision) if one not in named]
    fresh = {
        plan: data
        for plan, name in now.items()
        if name not in revision.entries and (data := _read(DISK, plan))
    }
    moved = renamed(fresh, missing, lambda name: _read(shelf, name))
    before = {plan: moved.get(plan, name) for plan, name in now.items()}
    return Since(
        revision=revision,
        now=now,
        before={plan: name for plan, name in before.items() if name in revision.entries},
        gone=told_gone(
            repository.root, paths, [one for one in missing if one not in moved.values()]
        ),
    )


def compared(
    answer: Answer, path: str, since: Since, desk: Desk, store: Store | None = None
) -> Answer:
    """An answer with the standing of all that it says; as it is where it says nothing of the heat.

    Args:
        answer: for the plan as it is.
        path: the plan, as it was found.
        since: the older revision.
        desk: what both are judged by.
        store: of kept answers; that for the older revision is kept as well.
    """
    from stovelint.review.compare import all_unchanged, compare
    from stovelint.review.weaker import weakened

    review = answer.review
    if review is None:
        return answer
    given = since.revision.given
    if _untouched(path, since):
        return replace(answer, review=all_unchanged(review, since=given, file_before=answer.file))
    try:
        source = read_plan(path, answer.file)
    except BuildFileError as error:  # somebody has written to it meanwhile
        found = tuple(one for one in error.mistakes if isinstance(one, Mistake))
        return Answer(file=answer.file, mistakes=found)
    name = since.before.get(path)
    if name == since.now[path] and _same(source, since):
        return replace(answer, review=all_unchanged(review, since=given, file_before=answer.file))
    old = None if name is None else _old(name, since.shown_before(path), since, desk, store)
    before = None if old is None else old.review
    marked = compare(
        review, before, since=given, file_before=None if old is None else old.file,
        not_compared="" if old is None or before is not None else _why(old),
    )  # fmt: skip
    weaker = weakened(
        review.build, None if before is None else before.build, places=source.places,
        stakes={rule.name: rule.stakes for rule in desk.book}, burns=_burns(desk.catalogue),
    )  # fmt: skip
    return replace(answer, review=replace(marked, weakened=weaker))


def at_once(answer: Answer, path: str, since: Since, desk: Desk) -> Answer | None:
    """As `compared`, where no heat is to be computed for it; else None."""
    name = since.before.get(path)
    if answer.review is not None and name is not None and not _untouched(path, since):
        try:
            if name != since.now[path] or not _same(read_plan(path, answer.file), since):
                return None
        except BuildFileError:
            return None
    return compared(answer, path, since, desk)


def told_missing(since: Since) -> tuple[str, str]:
    """`no more there since main: old.heater.yaml`, and what to do; twice nothing."""
    if not since.gone:
        return "", ""
    said = f"no more there since {since.revision.given}: {listed(since.gone)}"
    return said, "see to it that this was meant"


def _untouched(path: str, since: Since) -> bool:
    """Whether a plan that is based on nothing holds what it held; a thousand are told at once."""
    from stovelint.cli.answers.kept import may_be_based

    name, data = since.before.get(path), _read(DISK, path)
    if name is None or name != since.now[path] or data is None or may_be_based(data):
        return False
    return since.revision.same(name, data)


def _same(source: Source, since: Since) -> bool:
    """Whether a plan and all that it is based on hold what they held."""
    for path, data in source.files:
        try:
            name = _name(path, since.revision)
        except UsageError:
            return False
        if not since.revision.same(name, data):
            return False
    return True


def _old(name: str, shown: str, since: Since, desk: Desk, store: Store | None) -> Answer:
    from stovelint.cli.answers.kept import compute, find

    bare = replace(desk, remedies=False)
    shelf = since.shelf
    if store is None:
        return review_plan(name, shown, bare, shelf)
    # Its answers are kept apart: they lack remedies, and other bases may be read for them.
    apart = replace(store, mark=f"{store.mark} before {shelf.root_of(name)}")
    return find(name, shown, apart, shelf) or compute(
        name, shown, apart, shelf, lambda noted: review_plan(name, shown, bare, noted)
    )


def _why(old: Answer) -> str:
    if old.failure:
        return old.failure
    first, *more = sorted(old.mistakes, key=Mistake.sort_key)
    also = f", and {len(more)} more mistake{'s' * (len(more) > 1)}" if more else ""
    return f"{first.span.label()}: {first.message}{also}"


def _burns(catalogue: Catalogue) -> Callable[[str], bool]:
    def burns(name: str) -> bool:
        try:
            material = catalogue.get(name)
        except CatalogueError:  # of the older plan; the one as it is was checked
            return True
        return material.combustible or material.treat_as_combustible == "yes"

    return burns


def _name(path: str, revision: Revision) -> str:
    """Name of a file within the repository; that of a link, where a file of its own stood there.

    Raises:
        UsageError: it lies outside.
    """
    real = revision.repository.inside(path)
    as_typed = name_in(path, revision.repository.root)
    entry = None if as_typed is None else revision.entries.get(as_typed)
    return real if as_typed is None or entry is None or entry.kind != "file" else as_typed


def _within(root: str) -> bool:
    """Whether the command runs in a folder or below it."""
    try:
        here = os.path.realpath(os.getcwd())
    except OSError:  # the current folder is not there any more
        return False
    return os.path.join(here, "").startswith(os.path.join(root, ""))


def _read(shelf: Shelf, path: str) -> bytes | None:
    try:
        data = shelf.read(path)
    except SourceError:
        return None
    return data if len(data) <= MAX_BYTES else None
