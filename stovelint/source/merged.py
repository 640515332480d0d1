"""Places of a plan that several files make up: each thing stands in the file that set it.

Nothing is put together beforehand. Which file set a value is found by walking their trees, and
only that file is asked for the position; a clean plan asks for few.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from stovelint.place import Elsewhere, Entry, Path, Places, Span
from stovelint.source.record import Source, Tree


class MergedEntries(Mapping[Path, Entry]):
    """The entry of the topmost file that sets a path.

    A path that a `null` took away is in it, with the place of the `null`: who misses what was
    there is to be sent to the line that took it.
    """

    __slots__ = ("_chain",)

    def __init__(self, chain: tuple[Source, ...]) -> None:
        self._chain = chain

    def setter(self, path: Path) -> int | None:
        """Number of the file that set what stands at `path`, the plan being 0; None: nothing."""
        maps = -1
        for number, source in enumerate(self._chain):
            here: Any = source.tree
            for depth, step in enumerate(path):
                if isinstance(here, dict):
                    if step not in here:
                        maps = max(maps, depth)
                        break
                    here = here[step]
                elif isinstance(here, list) and depth > maps:
                    if not isinstance(step, int) or step >= len(here):
                        return None
                    here = here[step]
                else:
                    return None  # a list or a value that hides all that is below
            else:
                return number
        return None

    def __getitem__(self, path: Path) -> Entry:
        number = self.setter(path)
        if number is None:
            raise KeyError(path)
        return self._chain[number].places.entries[path]

    def __iter__(self) -> Iterator[Path]:
        for number, source in enumerate(self._chain):
            for path in source.places.entries:
                if self.setter(path) == number:
                    yield path

    def __len__(self) -> int:
        return sum(1 for _ in self)


class MergedBases:
    """What a report can ask of a plan that was merged; see `stovelint.place.Bases`."""

    __slots__ = ("_chain", "_entries", "_tree")

    def __init__(self, chain: tuple[Source, ...], entries: MergedEntries, tree: Tree) -> None:
        self._chain = chain
        self._entries = entries
        self._tree = tree

    @property
    def plan(self) -> str:
        """See `Bases`."""
        return self._chain[0].file

    @property
    def files(self) -> tuple[str, ...]:
        """See `Bases`."""
        return tuple(source.file for source in self._chain[1:])

    @property
    def taken_over(self) -> Span:
        """See `Bases`."""
        return self._chain[0].places.value(("based_on",))

    def elsewhere(self, record: Path, file: str) -> tuple[Elsewhere, ...]:
        """See `Bases`."""
        own = [source.file for source in self._chain].index(file)
        setters = dict(self._leaves(record))
        found: list[Elsewhere] = []
        for number, source in enumerate(self._chain):
            if number < own:
                found += self._changes(number, record, setters)
            elif number > own and number in setters.values():
                found.append(Elsewhere(path=record, span=source.places.key(record)))
        return tuple(found)

    def _leaves(self, path: Path) -> Iterator[tuple[Path, int]]:
        """All that stands at `path` and below, lists whole, with the number of who set it."""
        there, node = _at(self._tree, path)
        waiting = [(path, node)] if there else []
        while waiting:
            path, node = waiting.pop()
            if isinstance(node, dict) and node:
                waiting += [((*path, key), value) for key, value in node.items()]
                continue
            number = self._entries.setter(path)
            if number is not None:
                yield path, number

    def _changes(self, number: int, record: Path, setters: dict[Path, int]) -> list[Elsewhere]:
        """What one file changed in a record that began below it: as little as says it all."""
        source = self._chain[number]
        there, node = _at(source.tree, record)
        waiting = [(record, node)] if there else []
        found: list[Elsewhere] = []
        while waiting:
            path, node = waiting.pop()
            below = {by for leaf, by in setters.items() if leaf[: len(path)] == path}
            if node is None:
                if self._entries.setter(path) == number:
                    found.append(
                        Elsewhere(path=path, span=source.places.key(path), taken_away=True)
                    )
            elif isinstance(node, dict) and below != {number}:
                waiting += [((*path, key), value) for key, value in node.items()]
            elif number in below:
                found.append(Elsewhere(path=path, span=source.places.key(path)))
        return sorted(found, key=lambda one: one.span.start.offset)


def merged(chain: tuple[Source, ...], tree: Tree) -> Places:
    """Places of the tree that the files of `chain`, the plan first, were merged to."""
    entries = MergedEntries(chain)
    return Places(entries=entries, bases=MergedBases(chain, entries, tree))


def _at(tree: Any, path: Path) -> tuple[bool, Any]:
    """Whether a tree holds a path of map entries, and what stands there."""
    here = tree
    for step in path:
        if not isinstance(here, dict) or step not in here:
            return False, None
        here = here[step]
    return True, here
