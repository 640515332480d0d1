"""Limits with their birth certificates, read from a rule's `limits.toml`."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Iterable, Iterator, Literal, Mapping

import tomli

from stovelint.errors import RulebookError

if TYPE_CHECKING:
    from stovelint.rule.finding import Unit

Grade = Literal["read", "second-hand", "recalled", "practice", "computed"]
Sense = Literal["at most", "at least"]

GRADES: tuple[Grade, ...] = ("read", "second-hand", "recalled", "practice")
"""Grades that a limit may have: what was computed here is an expectation, no limit."""
# Base units of the package; a limit keeps the unit that its source prints.
FACTORS: Mapping[str, float] = {
    "degC": 1.0, "K": 1.0, "h": 1.0, "count": 1.0, "m": 1.0, "mm": 0.001, "in": 0.0254,
    "per mille": 0.001,
}  # fmt: skip
BASE_UNITS: Mapping[str, Unit] = {
    "degC": "degC", "K": "K", "h": "h", "count": "count", "m": "m", "mm": "m", "in": "m",
    "per mille": "strain",
}  # fmt: skip
REQUIRED = ("key", "unit", "meaning", "scope", "title", "edition", "clause", "grade")
OPTIONAL = ("binds", "note")
# Two ways of writing one length (4 in, 101.6 mm) must not differ in the last bit.
CLOSE = 1e-9


@dataclass(frozen=True, kw_only=True, slots=True)
class Source:
    """Where a number comes from, and how surely it is known."""

    title: str
    edition: str
    clause: str
    grade: Grade


@dataclass(frozen=True, kw_only=True, slots=True)
class Limit:
    """One number that something is held against."""

    name: str
    """Row name in `limits.toml`."""
    key: str
    """Short reference printed beside it, for instance `CON-93`."""
    value: float
    unit: str
    sense: Sense
    meaning: str
    scope: str
    source: Source
    binds: tuple[str, ...] = ()
    """Jurisdictions in which this clause is law; empty: a physical limit, true everywhere."""
    note: str = ""

    @property
    def base(self) -> float:
        """The value in degC, K, h, m, as a strain (m/m) or as a plain count."""
        return self.value * FACTORS[self.unit]

    @property
    def base_unit(self) -> Unit:
        """The unit of `base`."""
        return BASE_UNITS[self.unit]

    def scaled(self, factor: float) -> Limit:
        """The same limit with its value multiplied (a shield that halves a distance)."""
        return Limit(
            name=self.name, key=self.key, value=self.value * factor, unit=self.unit,
            sense=self.sense, meaning=self.meaning, scope=self.scope, source=self.source,
            binds=self.binds, note=self.note,
        )  # fmt: skip

    def is_past(self, value: float) -> bool:
        """Whether a value in the base unit is past the limit (on the limit is not past it)."""
        if self.sense == "at most":
            return value > self.base + CLOSE
        return value < self.base - CLOSE


@dataclass(frozen=True, kw_only=True, slots=True)
class LimitTable:
    """A row of a printed table: one value for each column."""

    name: str
    key: str
    columns: tuple[float, ...]
    values: tuple[float, ...]
    unit: str
    meaning: str
    scope: str
    source: Source
    binds: tuple[str, ...] = ()
    note: str = ""

    def at(self, column: float) -> float | None:
        """The value between two printed columns, by straight line; None outside the table.

        Args:
            column: in the table's own unit.

        Valid between the first and the last column only: the clause forbids going beyond.

        Source: SF-INTERP, IMC 308.6 (Chicago reprint), read.
        """
        points = sorted(zip(self.columns, self.values))
        if not points[0][0] <= column <= points[-1][0]:
            return None
        for (x0, y0), (x1, y1) in zip(points, points[1:]):
            if column <= x1:
                return y0 + (y1 - y0) * (column - x0) / (x1 - x0)
        return points[-1][1]

    def limit(self, column: float) -> Limit | None:
        """The value at a column as a limit that a distance must keep; None outside."""
        value = self.at(column)
        if value is None:
            return None
        return Limit(
            name=self.name, key=self.key, value=value, unit=self.unit, sense="at least",
            meaning=self.meaning, scope=self.scope, source=self.source, binds=self.binds,
            note=self.note,
        )  # fmt: skip


@dataclass(frozen=True, kw_only=True, slots=True)
class Limits:
    """All numbers of one rule, by row name."""

    rows: Mapping[str, Limit]
    tables: Mapping[str, LimitTable]

    def __iter__(self) -> Iterator[str]:
        yield from self.rows
        yield from self.tables

    def all(self) -> Iterator[Limit | LimitTable]:
        """Every row, tables last."""
        yield from self.rows.values()
        yield from self.tables.values()

    @staticmethod
    def read(text: str, culprit: str) -> Limits:
        """Read a `limits.toml`; every row must be complete.

        Args:
            text: the TOML text.
            culprit: the file, for messages.

        Raises:
            RulebookError: the text is not TOML, a row lacks a field or has one too many, or one
                key names two sources. One fault of every row that has any.
        """
        try:
            tree = tomli.loads(text)
        except tomli.TOMLDecodeError as error:
            raise RulebookError(culprit, f"is not TOML: {error}", "mend the file") from None
        rows: dict[str, Limit] = {}
        tables: dict[str, LimitTable] = {}
        faults: list[RulebookError] = []
        for name, row in tree.items():
            try:
                if not isinstance(row, dict):
                    raise RulebookError(
                        culprit, f"`{name}` stands outside a row", f"write a table [{name}]"
                    )
                if "columns" in row:
                    tables[name] = _table(name, row, culprit)
                else:
                    rows[name] = _limit(name, row, culprit)
            except RulebookError as fault:
                faults.append(fault)
        if not tree:
            faults.append(RulebookError(culprit, "holds no limit", "a rule needs a row: add it"))
        limits = Limits(rows=rows, tables=tables)
        faults += one_source_each((row, culprit) for row in limits.all())
        if faults:
            raise RulebookError.together(faults)
        return limits


def one_source_each(rows: Iterable[tuple[Limit | LimitTable, str]]) -> Iterator[RulebookError]:
    """A fault for every row whose key stands for another source already.

    A report lists sources by key, so one key cannot stand for two of them. Several rows may share
    a key: they are figures of one clause.

    Args:
        rows: each with its file, for messages.
    """
    first: dict[str, Limit | LimitTable] = {}
    for row, culprit in rows:
        other = first.setdefault(row.key, row).source
        if (other.title, other.edition) != (row.source.title, row.source.edition):
            yield RulebookError(
                culprit,
                f"row `{row.name}`: the key {row.key} stands for another source already "
                f"({other.title})",
                "give it a key of its own, or the same title and edition",
            )


def _limit(name: str, row: Mapping[str, Any], culprit: str) -> Limit:
    _whole(name, row, ("value", "sense"), culprit)
    _number(name, "value", row["value"], culprit)
    if row["sense"] not in ("at most", "at least"):
        raise RulebookError(
            culprit, f"row `{name}`: sense is {row['sense']!r}", "write `at most` or `at least`"
        )
    return Limit(
        name=name, key=row["key"], value=float(row["value"]), unit=row["unit"],
        sense=row["sense"], meaning=row["meaning"], scope=row["scope"], source=_source(row),
        binds=tuple(row.get("binds", ())), note=row.get("note", ""),
    )  # fmt: skip


def _table(name: str, row: Mapping[str, Any], culprit: str) -> LimitTable:
    _whole(name, row, ("columns", "values"), culprit)
    columns, values = row["columns"], row["values"]
    if not isinstance(columns, list) or not isinstance(values, list):
        raise RulebookError(
            culprit, f"row `{name}`: columns and values are no lists", "write [1, 2] for each"
        )
    for number in (*columns, *values):
        _number(name, "columns and values", number, culprit)
    if len(columns) != len(values) or len(columns) < 2:
        raise RulebookError(
            culprit,
            f"row `{name}` has {len(columns)} columns and {len(values)} values",
            "give one value for each of at least two columns",
        )
    if len(set(columns)) != len(columns):
        raise RulebookError(
            culprit, f"row `{name}` has a column twice", "give each column once"
        )
    return LimitTable(
        name=name, key=row["key"], columns=tuple(map(float, columns)),
        values=tuple(map(float, values)), unit=row["unit"], meaning=row["meaning"],
        scope=row["scope"], source=_source(row), binds=tuple(row.get("binds", ())),
        note=row.get("note", ""),
    )  # fmt: skip


def _source(row: Mapping[str, Any]) -> Source:
    return Source(
        title=row["title"], edition=row["edition"], clause=row["clause"], grade=row["grade"]
    )


def _whole(name: str, row: Mapping[str, Any], numbers: tuple[str, ...], culprit: str) -> None:
    for key in (*numbers, *REQUIRED):
        if key not in row:
            raise RulebookError(
                culprit, f"row `{name}` has no `{key}`", "no number without a complete row: add it"
            )
    for key in row:
        if key not in numbers and key not in REQUIRED and key not in OPTIONAL:
            raise RulebookError(
                culprit, f"row `{name}` has an unknown key `{key}`", f"known: {_known(numbers)}"
            )
    for key in REQUIRED:
        if not isinstance(row[key], str) or not row[key].strip():
            raise RulebookError(
                culprit, f"row `{name}`: `{key}` is not a text", "write it in quotes, not empty"
            )
    binds, note = row.get("binds", []), row.get("note", "")
    if not isinstance(binds, list) or not all(isinstance(one, str) for one in binds):
        raise RulebookError(
            culprit, f"row `{name}`: `binds` is no list of texts", 'write ["IRC-2021"]'
        )
    if not isinstance(note, str):
        raise RulebookError(culprit, f"row `{name}`: `note` is not a text", "write it in quotes")
    if row["unit"] not in FACTORS:
        raise RulebookError(
            culprit, f"row `{name}`: unknown unit {row['unit']!r}", f"one of {', '.join(FACTORS)}"
        )
    if row["grade"] not in GRADES:
        raise RulebookError(
            culprit, f"row `{name}`: unknown grade {row['grade']!r}", f"one of {', '.join(GRADES)}"
        )


def _number(name: str, key: str, value: object, culprit: str) -> None:
    # Nothing is ever past a limit that is not a number.
    if isinstance(value, bool) or not isinstance(value, (int, float)) or not math.isfinite(value):
        raise RulebookError(culprit, f"row `{name}`: {key}: {value!r} is no number", "write one")


def _known(numbers: tuple[str, ...]) -> str:
    return ", ".join((*numbers, *REQUIRED, *OPTIONAL))
