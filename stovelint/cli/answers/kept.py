"""One plan, answered from what was kept, or computed and kept."""

from __future__ import annotations

import hashlib
import os
from typing import TYPE_CHECKING, Callable

from stovelint.errors import SourceError

if TYPE_CHECKING:
    from stovelint.report.answer import Answer
    from stovelint.source import Shelf
    from stovelint.store import Store


def find(path: str, shown: str, store: Store, shelf: Shelf) -> Answer | None:
    """The answer kept for a plan as it is now, with all that it is based on; None: there is none.

    Args:
        path: the build file.
        shown: how reports call it.
        store: the kept answers.
        shelf: where files are read from.
    """
    content = _read(path, shelf)
    if content is None:
        return None
    return store.find(_words(path, shown, content), content, lambda base: _read(base, shelf))


def compute(
    path: str, shown: str, store: Store, shelf: Shelf, review: Callable[[Shelf], Answer]
) -> Answer:
    """Review a plan and keep the answer, if it will be the same as long as the files are.

    It is kept under the very bytes that were reviewed, so that a file that is written to
    meanwhile is never taken for what it was before. What broke is not kept: it is to be seen
    again. Nor are mistakes of a plan that is based on others: what is missing now may be there
    the next time.

    Args:
        review: answers the plan, reading it from the shelf that it is given.
    """
    noted = Noted(shelf)
    answer = review(noted)
    content = noted.seen.pop(path, None)
    if content is None or answer.failure or (answer.review and answer.review.crashes):
        return answer
    if answer.review is None and may_be_based(content):
        return answer
    bases = tuple(
        (base, hashlib.sha256(read).hexdigest()) for base, read in sorted(noted.seen.items())
    )
    store.keep(_words(path, shown, content), content, answer, bases)
    return answer


class Noted:
    """A shelf that remembers what it handed out."""

    def __init__(self, shelf: Shelf) -> None:
        self.shelf = shelf
        self.seen: dict[str, bytes] = {}

    def read(self, path: str) -> bytes:
        """As for `Shelf`; what was read once is handed out again, whatever happens meanwhile."""
        if path not in self.seen:
            self.seen[path] = self.shelf.read(path)
        return self.seen[path]

    def base_path(self, plan: str, by: str, named: str) -> str:
        """As for `Shelf`."""
        return self.shelf.base_path(plan, by, named)


def _words(path: str, shown: str, content: bytes) -> tuple[str, ...]:
    """What else decides: the name, since positions bear it; with bases also the folder, since it
    decides which files may be read."""
    folder = os.path.realpath(os.path.dirname(path)) if may_be_based(content) else ""
    return (path, shown, folder)


def may_be_based(content: bytes) -> bool:
    """Whether a plan may be based on others, seen without reading it as a plan."""
    return b"based_on" in content or b"\\" in content  # an escape may spell the key


def _read(path: str, shelf: Shelf) -> bytes | None:
    try:
        return shelf.read(path)
    except SourceError:
        return None
