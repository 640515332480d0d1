"""Parts of a comment, and what gives way where not all of them have room in it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Sequence

MOST_BYTES = 65_000
"""Hosts refuse comments of more than 65,536 characters; bytes are never fewer than those."""
FOR_THE_CUT = 1_000
"""Bytes kept for the sentence that says what was cut."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Section:
    """Blocks of one kind under a title of their own."""

    rank: int
    """Those with the highest give way first."""
    noun: str
    """What its blocks are, where they are counted as cut."""
    blocks: tuple[str, ...]
    """Markdown, each ended by a line break."""
    title: str = ""
    fold: str = ""
    """Title of a part that is folded; it is then shown on demand only."""

    @property
    def opening(self) -> str:
        """What stands before the blocks."""
        if self.fold:
            return f"<details><summary>{self.fold}</summary>\n\n"
        return f"**{self.title}**\n\n" if self.title else ""

    @property
    def closing(self) -> str:
        """What stands behind them."""
        return "\n</details>\n" if self.fold else ""


def fitted(
    head: Sequence[str], sections: Sequence[Section], end: str, *, most: int = MOST_BYTES
) -> str:
    """All sections in order, as far as they have room; what has none is counted in a sentence.

    Args:
        head: what always stands first, behind which the sentence goes.
        sections: in their order.
        end: what always stands last.
        most: bytes for all of it.
    """
    start = _clip("\n".join(head), most // 4)
    room = most - _size(start) - _size(end) - FOR_THE_CUT
    kept = [0] * len(sections)
    full = False
    for index in sorted(range(len(sections)), key=lambda i: (sections[i].rank, i)):
        section = sections[index]
        frame = _size(section.opening) + _size(section.closing) + 1
        for block in section.blocks:
            cost = _size(block) + (0 if kept[index] else frame)
            if full or cost > room:
                full = True  # nothing that matters less may stand where this had no room
                break
            room -= cost
            kept[index] += 1
    cut: dict[str, int] = {}
    for section, count in zip(sections, kept):
        if count < len(section.blocks):
            cut[section.noun] = cut.get(section.noun, 0) + len(section.blocks) - count
    parts = [start]
    if cut:
        said = ", ".join(f"{count} {noun}" for noun, count in cut.items())
        parts.append(
            f"**Cut, since a comment takes no more: {said}.** "
            "The correction list has them all: review with `--as text`.\n"
        )
    for section, count in zip(sections, kept):
        if count:
            blocks = "".join(section.blocks[:count]).rstrip("\n") + "\n"
            parts.append(section.opening + blocks + section.closing)
    return "\n".join([*parts, end])


def _size(text: str) -> int:
    return len(text.encode("utf-8", "backslashreplace"))


def _clip(text: str, most: int) -> str:
    if _size(text) <= most:
        return text
    return text.encode("utf-8")[:most].decode("utf-8", "ignore") + " [cut]\n"
