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
    title: Span | None = None
    """Where the plan says what it is."""
    chambers: Mapping[str, Span] = field(default_factory=dict)
    """Where each chamber begins."""
    fixes: Mapping[tuple[int, int], tuple[Replacement, ...]] = field(default_factory=dict)
    """By index of a finding and of one of its proposals: the change as replacements of text, where
    it can be made exactly so within the plan's own file."""

    flows: Mapping[int, tuple[Step, ...]] = field(default_factory=dict)
    """By index of a finding: the way of the heat in the hardest firing, hot face first."""

    def line_end(self, file: str, line: int) -> int | None:
        r"""Column behind the last sign of a line, from 0; None where the text is not known.

        >>> Sites(texts={"a": "one\r\nfour\n"}).line_end("a", 0)
        3
        """
        lines = self.texts[file].split("\n") if file in self.texts else ()
        return len(lines[line].removesuffix("\r")) if line < len(lines) else None


NO_SITES = Sites()
