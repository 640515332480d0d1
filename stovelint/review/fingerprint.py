"""A name for a finding that stays the same while the file around it is edited.

It goes by rule, by what it is about and by what was compared, never by line, column, list index
or computed figure: text above may move it, another load may warm it, and it is still the same
finding. Layers are told apart by their material, and by their order among layers of the same
material in one part.

Version 1. What makes it up must not change under this version: reports that people keep are
matched by it.
"""

from __future__ import annotations

import hashlib
from typing import TYPE_CHECKING, Iterable

if TYPE_CHECKING:
    from stovelint.build import Build
    from stovelint.place import Path
    from stovelint.review.records import Item, Review

VERSION = 1
SIGNS = 32
"""Hexadecimal digits that are kept: 128 bits."""


def fingerprints(review: Review) -> tuple[str, ...]:
    """One for each item of a review, in its order; no two are alike.

    The name of the file is not part of it, so that it lives through a renaming.
    """
    return told_apart(_of(item, review.build) for item in review.items)


def told_apart(marks: Iterable[str]) -> tuple[str, ...]:
    """Hashes of texts; of equal ones the second and further are counted.

    >>> one, two, three = told_apart(["a", "a", "b"])
    >>> len({one, two, three}), told_apart(["b"]) == (three,)
    (3, True)
    """
    seen: dict[str, int] = {}
    found = []
    for mark in marks:
        seen[mark] = nth = seen.get(mark, 0) + 1
        text = mark if nth == 1 else f"{mark}\n{nth}"
        found.append(hashlib.sha256(text.encode("utf-8", "surrogatepass")).hexdigest()[:SIGNS])
    return tuple(found)


def steady_path(path: Path, build: Build) -> tuple[str, ...]:
    """A path with the index of a layer replaced by its material and its order among its like."""
    steps = [str(step) for step in path]
    if len(path) >= 4 and path[2] == "layers" and isinstance(path[3], int):
        owners = build.surroundings if path[0] == "surroundings" else build.parts
        owner = owners.get(str(path[1]))
        if owner is not None and path[3] < len(owner.layers):
            material = owner.layers[path[3]].material
            alike = sum(layer.material == material for layer in owner.layers[: path[3]])
            steps[3] = f"{material or 'gap'} {alike + 1}"
    return tuple(steps)


def _of(item: Item, build: Build) -> str:
    finding = item.finding
    limit = finding.lead.limit
    return "\n".join(
        (
            finding.rule, finding.subject, *steady_path(finding.path, build),
            finding.lead.what, "" if limit is None else limit.key,
        )
    )  # fmt: skip
