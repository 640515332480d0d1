"""A plan that changes another: `based_on` followed from file to file, and all of them merged."""

from __future__ import annotations

import posixpath
from itertools import islice
from typing import Any

from stovelint.errors import BuildFileError, SourceError
from stovelint.place import MOST_MISTAKES, Mistake, Path, shortened
from stovelint.quantity.numbers import shown
from stovelint.quantity.spelling import closest
from stovelint.source.merge import idle, merge
from stovelint.source.merged import merged
from stovelint.source.record import Source, Tree
from stovelint.source.root import BESIDE, joined
from stovelint.source.shelf import Shelf
from stovelint.source.text import MAX_BYTES

KEY = "based_on"
MOST_BASES = 8
"""Longest row of bases: far beyond what anyone could follow, and short enough to read at once."""
MOST_COMPARED = 300
"""Among more names than that no close spelling is looked for; no record of a plan has as many."""
MOST_LISTED = 12


def on_bases(plan: Source, shelf: Shelf) -> Source:
    """The plan merged with all that it is based on.

    A file is read relative to the one that names it, and must lie in the root of the plan (see
    `stovelint.source.root`).
    Errors: `BuildFileError` when a base cannot be had; with all mistakes of all files read.
    """
    chain = _read(plan, shelf)
    mistakes = [mistake for source in chain for mistake in source.mistakes]
    tree: Tree = chain[-1].tree
    for number in range(len(chain) - 2, -1, -1):
        patch = {key: value for key, value in chain[number].tree.items() if key != KEY}
        bases = ", ".join(source.file for source in chain[number + 1 :])
        for path, there in islice(idle(tree, patch), MOST_MISTAKES + 1):
            mistakes.append(_idle(chain[number], path, there, bases))
        tree = merge(tree, patch)
    return Source(
        file=plan.file, text=plan.text, bom=plan.bom, tree=tree, places=merged(chain, tree),
        mistakes=tuple(sorted(mistakes, key=Mistake.sort_key)), path=plan.path, data=plan.data,
        chain=chain,
    )  # fmt: skip


def _read(plan: Source, shelf: Shelf) -> tuple[Source, ...]:
    """The plan and its bases, each by itself."""
    from stovelint.source.read import read_one

    chain = [plan]
    passed = [posixpath.normpath(plan.path)]
    while KEY in chain[-1].tree:
        last = chain[-1]
        named: Any = last.tree[KEY]
        try:
            if not isinstance(named, str):
                raise SourceError("`based_on` is not the path of a build file", BESIDE)
            file = joined(last.file, named)
            path = shelf.base_path(plan.path, last.path, named)
            if posixpath.normpath(path) in passed:
                raise SourceError(
                    f"here it goes round in a circle, back to {file}",
                    "one of the files must stand by itself: delete its `based_on` line",
                )
            if len(chain) > MOST_BASES:
                raise SourceError(
                    f"more than {MOST_BASES} files are based on one another",
                    "base the plan on a file further down the row",
                )
            data = _fetched(shelf, path, file)
            if sum(len(one.data) for one in chain) + len(data) > MAX_BYTES:
                raise SourceError(
                    f"with this the plan is larger than the {MAX_BYTES} bytes that are read",
                    "a build file is text of some hundred lines: check that these are the right "
                    "files",
                )
        except SourceError as fault:
            raise _stopped(chain, _at(last, (KEY,), fault.message, fault.remedy)) from None
        passed.append(posixpath.normpath(path))
        try:
            chain.append(read_one(data, file, path))
        except BuildFileError as fault:
            raise _stopped(chain, *fault.mistakes) from None
    return tuple(chain)


def _fetched(shelf: Shelf, path: str, file: str) -> bytes:
    try:
        return shelf.read(path)
    except SourceError as fault:
        raise SourceError(f"`{file}`: {fault.message}", fault.remedy) from None


def _stopped(chain: list[Source], *mistakes: object) -> BuildFileError:
    """What stops the reading, together with what was wrong before."""
    found = [one for one in mistakes if isinstance(one, Mistake)]
    found += [mistake for source in chain for mistake in source.mistakes]
    return BuildFileError(shortened(found))


def _idle(source: Source, path: Path, there: tuple[str, ...], bases: str) -> Mistake:
    """A `null` that removes nothing: what was to go would stay in the plan, and nobody would
    know."""
    name = str(path[-1])
    near = closest(name, there) if len(there) <= MOST_COMPARED else ()
    if near:
        remedy = "did you mean " + " or ".join(f"`{word}`" for word in near) + "?"
    else:
        remedy = "delete this line"
        if there:
            more = ", ..." if len(there) > MOST_LISTED else ""
            listed = ", ".join(map(shown, there[:MOST_LISTED]))
            remedy += f"; what could be taken away here: {listed}{more}"
    message = f"`{shown(name)}` is to be taken away, but {bases} holds no such entry here"
    return _at(source, path, message, remedy)


def _at(source: Source, path: Path, message: str, remedy: str) -> Mistake:
    span = source.places.value(path) if path == (KEY,) else source.places.key(path)
    return Mistake(span=span, path=path, message=message, remedy=remedy)
