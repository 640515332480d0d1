"""What a report for machines needs of the build files themselves: lines, and exact changes."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Mapping

if TYPE_CHECKING:
    from stovelint.place import Path, Span
    from stovelint.remedy.replacements import Replacement


Range = tuple[float, float, float]
"""Low, middle and high."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Step:
    """One face on the way of the heat."""

    words: str
    path: Path
    span: Span
    peak_C: Range
    mean_C: Range


@dataclass(frozen=True, kw_only=True, slots=True)
class Sites:
    """The files of one plan, as far as reports point into them."""

    texts: Mapping[str, str] = field(default_factory=dict)
    """By name as reports print it: the text that lines and columns are counted in."""
    chambers: Mapping[str, Span] = field(default_factory=dict)
    """Where each chamber begins."""
    fixes: Mapping[tuple[int, int], tuple[Replacement, ...]] = field(default_factory=dict)
    """By index of a finding and of one of its proposals: the change as replacements of text, where
    it can be made exactly so within the plan's own file."""

    flows: Mapping[int, tuple[Step, ...]] = field(default_factory=dict)
    """By index of a finding: the way of the heat in the hardest firing, hot face first."""

    def line_end(self, span: Span) -> int | None:
        """Column behind the last sign of the line in which a span begins, from 0; None where the
        text is not known."""
        text = self.texts.get(span.file)
        if text is None:
            return None
        end = text.find("\n", span.start.offset)
        end = len(text) if end < 0 else end
        length = len(text[span.start.offset : end].removesuffix("\r"))
        return span.start.column + length

    def around(self, span: Span, lines: int) -> tuple[int, str] | None:
        """The number of the first line, from 0, and the text of the line in which a span begins
        with some lines above and below it; None where the text is not known."""
        text = self.texts.get(span.file)
        if text is None:
            return None
        start = span.start.offset - span.start.column
        first = span.start.line
        while start and first > span.start.line - lines:
            start = text.rfind("\n", 0, start - 1) + 1
            first -= 1
        end = span.start.offset
        for _ in range(lines + 1):
            next_end = text.find("\n", end)
            end = len(text) if next_end < 0 else next_end + 1
        return first, text[start:end].removesuffix("\n").removesuffix("\r")


NO_SITES = Sites()
