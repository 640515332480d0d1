"""Where a thing stands: path in the tree -> file, line, column, end.

Internally every position is 0-based (line, code-point column, character offset);
it becomes 1-based only where a report prints it.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Iterable, Mapping, Protocol

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
class Elsewhere:
    """A place in another file that has its share in a record; `taken_away`: it removed an entry."""

    path: Path
    span: Span
    taken_away: bool = False


class Bases(Protocol):
    """How the files of a plan that is based on others share in it."""

    @property
    def plan(self) -> str:
        """Name of the file that changes the others."""
        ...

    @property
    def files(self) -> tuple[str, ...]:
        """Names of the others, the nearest first."""
        ...

    @property
    def taken_over(self) -> Span:
        """Where in the plan the nearest of them is named."""
        ...

    def elsewhere(self, record: Path, file: str) -> tuple[Elsewhere, ...]:
        """Where files other than `file` share in a record: above it, each change that they made;
        below it, where the record began."""
        ...


@dataclass(frozen=True, kw_only=True, slots=True)
class Places:
    """All positions of one plan: of its file, or of all files that it was merged from."""

    entries: Mapping[Path, Entry]
    bases: Bases | None = None
    """None: the plan is one file."""

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


MOST_MISTAKES = 200
"""As many mistakes of one file are told at most: nobody works through more in one go."""


def shortened(mistakes: Iterable[Mistake]) -> tuple[Mistake, ...]:
    """The first mistakes in the order of the file, each once; where there are too many, the last
    one says how many are left out: at least, since nobody looks on once there are too many."""
    kept: list[Mistake] = []
    for mistake in sorted(mistakes, key=Mistake.sort_key):
        if not kept or mistake != kept[-1]:
            kept.append(mistake)
    if len(kept) <= MOST_MISTAKES:
        return tuple(kept)
    first = kept[MOST_MISTAKES]
    end = Mistake(
        span=first.span, path=first.path,
        message=f"the list ends here, and at least {len(kept) - MOST_MISTAKES} more would follow",
        remedy="put right what is listed, then ask again",
    )  # fmt: skip
    return (*kept[:MOST_MISTAKES], end)


def pointer(path: Path) -> str:
    """JSON Pointer (RFC 6901) of a path.

    >>> pointer(("parts", "bell-cap", "layers", 0))
    '/parts/bell-cap/layers/0'
    """
    return "".join("/" + str(step).replace("~", "~0").replace("/", "~1") for step in path)
