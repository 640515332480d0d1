"""Looking things up in a tree that may be damaged, noting what is wrong and where.

What the schema has already said is not said again: a value of the wrong shape is passed over.
Where a figure cannot be had, not-a-number stands in for it, so that no comparison with it holds
and no mistake follows from another; it never leaves this floor, since a noted mistake stops it.
"""

from __future__ import annotations

import re
from typing import Any, Iterable, Iterator

from stovelint.assemble.bounds import Bound
from stovelint.errors import QuantityError
from stovelint.place import MOST_MISTAKES, Mistake, Path, Places
from stovelint.quantity import PARSERS
from stovelint.quantity.numbers import shown
from stovelint.schema import closest

NAN = float("nan")
MOST_FOUND = 2 * MOST_MISTAKES
MOST_SUGGESTED = 50
"""Wrong names for which close spellings are looked for, since that takes its time."""
MOST_NAMES = 30
LONG = 200
_NAMED = re.compile(r"`([^`]{41,})`|\S{61,}")
"""What a plan calls something, as long as no name may be."""


def _short(hit: re.Match[str]) -> str:
    return shown(hit.group()) if hit.group(1) is None else f"`{shown(hit.group(1))}`"



class Sheet:
    """The mistakes of one plan."""

    def __init__(self, places: Places, misshaped: Iterable[Path] = ()) -> None:
        self.places = places
        self.misshaped = tuple(misshaped)
        self.mistakes: list[Mistake] = []
        self.suggested = 0

    def note(self, path: Path, message: str, remedy: str, at_key: bool = False) -> None:
        if len(self.mistakes) > MOST_FOUND:
            return  # more than anyone reads in one go
        span = self.places.key(path) if at_key else self.places.value(path)
        said = message if len(message) <= LONG else _NAMED.sub(_short, message)
        self.mistakes.append(Mistake(span=span, path=path, message=said, remedy=remedy))

    def whole(self, key: str) -> bool:
        """Whether the schema found nothing wrong in one main part of the file, nor with the
        names of the main parts; only then does it mean something that a thing is not there."""
        return not any(path[:1] == (key,) or len(path) == 1 for path in self.misshaped)

    def unknown(self, path: Path, name: str, what: str, names: Iterable[str]) -> None:
        """Note a name that nothing bears, with close spellings or all there are."""
        known = list(names)
        self.suggested += 1
        near = closest(name, known) if self.suggested <= MOST_SUGGESTED else ()
        if near:
            remedy = "did you mean " + " or ".join(f"`{word}`" for word in near) + "?"
        elif known:
            remedy = "there are: " + ", ".join(map(shown, known[:MOST_NAMES]))
            if len(known) > MOST_NAMES:
                remedy += f" and {len(known) - MOST_NAMES} more"
        else:
            remedy = f"add a {what} of that name"
        self.note(path, f"there is no {what} `{name}`", remedy)


class Record:
    """One map of the tree."""

    __slots__ = ("data", "path", "sheet")

    def __init__(self, sheet: Sheet, data: dict[str, Any], path: Path) -> None:
        self.sheet = sheet
        self.data = data
        self.path = path

    def has(self, key: str) -> bool:
        return key in self.data

    def at(self, key: str) -> Path:
        return (*self.path, key)

    def note(self, key: str, message: str, remedy: str, at_key: bool = False) -> None:
        self.sheet.note(self.at(key), message, remedy, at_key)

    def text(self, key: str) -> str:
        value = self.data.get(key)
        return value if isinstance(value, str) else ""

    def maybe_text(self, key: str) -> str | None:
        value = self.data.get(key)
        return value if isinstance(value, str) else None

    def whole(self, key: str, default: int) -> int:
        """A whole number; `2.0` is one, as it is for the schema."""
        value = self.data.get(key, default)
        whole = isinstance(value, (int, float)) and not isinstance(value, bool)
        return int(value) if whole and value == value // 1 else default

    def parsed(self, key: str, kind: str) -> Any:
        """The value of a quantity; None when it is absent, misshaped or wrong."""
        text = self.data.get(key)
        if not isinstance(text, str):
            return None
        try:
            return PARSERS[kind](text)
        except QuantityError as fault:
            self.note(key, f"`{key}`: {fault.message}", fault.remedy)
            return None

    def maybe(self, key: str, bound: Bound) -> float | None:
        """An optional quantity within its screening bounds."""
        value = self.parsed(key, bound.kind)
        if value is None:
            return NAN if key in self.data else None
        if not bound.low <= value <= bound.high:
            text = " ".join(self.text(key).split())
            message = f"`{key}`: {text} cannot be meant"
            self.note(key, message, f"check number and unit; believed is {bound.text()}")
            return NAN
        return float(value)

    def number(self, key: str, bound: Bound, default: float = NAN) -> float:
        """A quantity within its screening bounds, or `default` when it is absent."""
        value = self.maybe(key, bound)
        return default if value is None else value

    def child(self, key: str) -> Record | None:
        value = self.data.get(key)
        return Record(self.sheet, value, self.at(key)) if isinstance(value, dict) else None

    def names(self, key: str) -> tuple[str, ...]:
        """All names in an open map, also of records that are damaged."""
        value = self.data.get(key)
        return tuple(value) if isinstance(value, dict) else ()

    def entries(self, key: str) -> Iterator[tuple[str, Record]]:
        """The named records of an open map."""
        inner = self.child(key)
        if inner is not None:
            for name, value in inner.data.items():
                if isinstance(value, dict):
                    yield name, Record(self.sheet, value, inner.at(name))

    def texts(self, key: str) -> tuple[str, ...]:
        """The texts of a list; a lone text is a list of one."""
        value = self.data.get(key)
        if isinstance(value, str):
            return (value,)
        return tuple(v for v in value if isinstance(v, str)) if isinstance(value, list) else ()

    def records(self, key: str) -> Iterator[Record]:
        """The records of a list."""
        value = self.data.get(key)
        if isinstance(value, list):
            for place, item in enumerate(value):
                if isinstance(item, dict):
                    yield Record(self.sheet, item, (*self.path, key, place))
