"""Close spellings, to be suggested and never assumed."""

from __future__ import annotations

from typing import Iterable


def closest(word: str, words: Iterable[str]) -> tuple[str, ...]:
    """At most two of `words` that look like `word`, best first, ties in alphabetical order.

    >>> closest("layer", ["layers", "kind", "faces"])
    ('layers',)
    """
    import difflib  # only on the way to a mistake

    return tuple(difflib.get_close_matches(word[:60], sorted(words), n=2, cutoff=0.6))
