"""Which file that is gone stands now under another name, perhaps with edits.

Own measure, since git's would run the filters that a checkout may name on the files of the work
tree: two files are one when at least half of the larger one, by bytes of whole lines, is in both.
"""

from __future__ import annotations

from collections import Counter
from typing import Callable, Mapping, Sequence

LEAST_ALIKE = 0.5
"""Share from which on they are the same file; git's usual one."""
MOST_PAIRS = 10_000
"""Beyond that many pairs only files of the very same content are taken for one."""


def renamed(
    now: Mapping[str, bytes], before: Sequence[str], read: Callable[[str], bytes | None]
) -> dict[str, str]:
    """For names that are new, the name that each had; every old one is given once.

    Args:
        now: the new files with their content.
        before: names of the files that are gone.
        read: content of one of these; None where it cannot be had.

    >>> old = {"a": b"one\\ntwo\\nthree\\n", "b": b"other\\n"}
    >>> renamed({"c": b"one\\ntwo\\nfour\\n"}, ["a", "b"], old.get)
    {'c': 'a'}
    """
    if not now or not before:
        return {}
    contents = {name: data for name in sorted(before) if (data := read(name)) is not None}
    found: dict[str, str] = {}
    by_content: dict[bytes, list[str]] = {}
    for name, data in contents.items():
        by_content.setdefault(data, []).append(name)
    for name in sorted(now):
        same = by_content.get(now[name])
        if same and now[name]:
            found[name] = same.pop(0)
    taken = set(found.values())
    left = [name for name in sorted(now) if name not in found]
    free = [name for name in contents if name not in taken]
    if len(left) * len(free) > MOST_PAIRS:
        return found
    old_lines = {name: _lines(contents[name]) for name in free}
    old_sizes = {name: _bytes(lines) for name, lines in old_lines.items()}
    pairs = []
    for name in left:
        here = _lines(now[name])
        size = _bytes(here)
        for other in free:
            most, least = max(size, old_sizes[other], 1), min(size, old_sizes[other])
            if least < LEAST_ALIKE * most:
                continue  # seen without a look at the lines, of which a hostile file has many
            share = _bytes(here & old_lines[other]) / most
            if share >= LEAST_ALIKE:
                pairs.append((-share, name, other))
    for _, name, other in sorted(pairs):
        if name not in found and other not in taken:
            found[name] = other
            taken.add(other)
    return dict(sorted(found.items()))


def _lines(data: bytes) -> Counter[bytes]:
    # Line ends are left out, so that a file that only changed them is the same.
    return Counter(line.rstrip(b"\r") for line in data.split(b"\n"))


def _bytes(lines: Counter[bytes]) -> int:
    return sum(len(line) * count for line, count in lines.items())
