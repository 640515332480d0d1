"""A tree without what is too much of anything: what lists mistakes must not drown in them."""

from __future__ import annotations

from itertools import islice
from typing import Any

WIDEST = 300
"""Entries of one record or list that are looked at. The schema allows less of everything, so that
a wider one has been refused already."""


def trimmed(tree: dict[str, Any]) -> dict[str, Any]:
    """The tree with the first entries of every record and list; the very tree where that is all.

    >>> len(trimmed({"parts": [1] * 1000})["parts"])
    300
    """
    if not _wide(tree):
        return tree
    top: dict[str, Any] = {}
    ahead: list[tuple[Any, Any]] = [(tree, top)]
    while ahead:
        node, copy = ahead.pop()
        pairs = node.items() if isinstance(node, dict) else enumerate(node)
        for step, inner in islice(pairs, WIDEST):
            kept: Any = inner
            if isinstance(inner, (dict, list)):
                kept = {} if isinstance(inner, dict) else []
                ahead.append((inner, kept))
            if isinstance(copy, list):
                copy.append(kept)
            else:
                copy[step] = kept
    return top


def _wide(tree: dict[str, Any]) -> bool:
    ahead: list[Any] = [tree]
    while ahead:
        node = ahead.pop()
        if isinstance(node, (dict, list)):
            if len(node) > WIDEST:
                return True
            ahead.extend(node.values() if isinstance(node, dict) else node)
    return False
