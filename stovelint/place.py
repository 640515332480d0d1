"""Where a thing stands: path in the tree -> file, line, column, end.

Internally every position is 0-based (line, code-point column, character offset);
it becomes 1-based only where a report prints it.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Mapping

Path = tuple[str | int, ...]

PLAN = ".heater.yaml"
"""How the name of a build file ends that a rule brings as an example."""
PLANS = (".heater.yaml", ".heater.toml", ".heater.json")
"""How the name of a build file ends, by its format; one tree, one schema."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Mark:
    """One point of a text: 0-based line and code-point column, and the character offset."""

    line: int
    column: int
    offset: int


@dataclass(frozen=True, kw_only=True, slots=True)
class Span:
    """A stretch of one file; `end` is exclusive."""

    file: str
    start: Mark
    end: Mark

    def label(self) -> str:
        """`file:line:column`, 1-based, as terminals and editors jump to it."""
        return f"{self.file}:{self.start.line + 1}:{self.start.column + 1}"


@dataclass(frozen=True, kw_only=True, slots=True)
class Entry:
    """Spans of one tree entry: its key (None in a list or at the root) and its value."""

    key: Span | None
    value: Span


@dataclass(frozen=True, kw_only=True, slots=True)
class Places:
    """All positions of one file."""

    entries: Mapping[Path, Entry]

    def value(self, path: Path) -> Span:
        """Span of the value at `path`, or of the key of the nearest parent that exists."""
        here = path
        while here not in self.entries:
            here = here[:-1]
        entry = self.entries[here]
        return entry.value if here == path or entry.key is None else entry.key

    def key(self, path: Path) -> Span:
        """Span of the key at `path` (the value where it has no key), or of the nearest parent."""
        here = path
        while here not in self.entries:
            here = here[:-1]
        entry = self.entries[here]
        return entry.key if entry.key is not None else entry.value


@dataclass(frozen=True, kw_only=True, slots=True)
class Mistake:
    """One thing wrong with a build file: where, what, and what to do about it."""

    span: Span
    path: Path
    message: str
    remedy: str

    def sort_key(self) -> tuple[str, int, str]:
        return (self.span.file, self.span.start.offset, self.message)


def pointer(path: Path) -> str:
    """JSON Pointer (RFC 6901) of a path.

    >>> pointer(("parts", "bell-cap", "layers", 0))
    '/parts/bell-cap/layers/0'
    """
    return "".join("/" + str(step).replace("~", "~0").replace("/", "~1") for step in path)
