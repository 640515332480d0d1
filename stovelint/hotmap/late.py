"""What is told of a plan and often asked by nobody: made when it is first looked at."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Callable, TypeVar, overload

Item = TypeVar("Item")


class Late(Sequence[Item]):
    """Items that are found together, when the first is asked for.

    >>> some = Late(lambda: print("found") or (3, 4))
    >>> len(some), some[0]
    found
    (2, 3)
    """

    def __init__(self, find: Callable[[], Sequence[Item]]) -> None:
        self._find = find
        self._found: Sequence[Item] | None = None

    def _all(self) -> Sequence[Item]:
        if self._found is None:
            self._found = self._find()
        return self._found

    def __len__(self) -> int:
        return len(self._all())

    @overload
    def __getitem__(self, index: int) -> Item: ...
    @overload
    def __getitem__(self, index: slice) -> Sequence[Item]: ...
    def __getitem__(self, index: int | slice) -> Item | Sequence[Item]:
        return self._all()[index]
