"""Limits: complete rows or none; the clearance table by straight line and not beyond."""

from __future__ import annotations

import pytest

from stovelint.errors import RulebookError
from stovelint.rule import Limit, LimitTable, Limits
from tests.rules.make import open_rule

ROW = """
[mean]
key = "K"
value = 93
unit = "degC"
sense = "at most"
meaning = "as a mean"
scope = "concrete"
title = "a standard"
edition = "2001"
clause = "1.2"
grade = "read"
"""


def table(name: str) -> LimitTable:
    return open_rule("combustible-clearance").limits.tables[name]


def test_a_complete_row_is_read() -> None:
    row = Limits.read(ROW, "limits.toml").rows["mean"]
    assert (row.base, row.base_unit, row.source.grade) == (93.0, "degC", "read")


@pytest.mark.parametrize(
    ("old", "new", "fault"),
    [
        *((f"{key} = ", f"x{key} = ", f"no `{key}`") for key in (
            "key", "value", "unit", "sense", "meaning", "scope", "title", "edition", "clause",
            "grade",
        )),
        ('grade = "read"', 'grade = "read"\ncolour = "red"', "unknown key `colour`"),
        ('grade = "read"', 'grade = "sure"', "unknown grade 'sure'"),
        ('grade = "read"', 'grade = "computed"', "unknown grade 'computed'"),
        ('grade = "read"', 'grade = "read"\nbinds = "IRC-2021"', "`binds` is no list of texts"),
        ('grade = "read"', 'grade = "read"\nbinds = [2021]', "`binds` is no list of texts"),
        ('grade = "read"', 'grade = "read"\nnote = 3', "`note` is not a text"),
        ('unit = "degC"', 'unit = "furlong"', "unknown unit 'furlong'"),
        ('sense = "at most"', 'sense = "about"', "sense is 'about'"),
        ("value = 93", 'value = "93"', "is no number"),
        ("value = 93", "value = true", "is no number"),
        ("value = 93", "value = nan", "is no number"),
        ("value = 93", "value = inf", "is no number"),
        ('clause = "1.2"', 'clause = " "', "`clause` is not a text"),
        ("[mean]", "x = 1\n[mean]", "stands outside a row"),
        ("[mean]", "[mean", "is not TOML"),
        ("value = 93", "columns = [1, 2]\nvalues = [1]", "unknown key `sense`"),
    ],
)  # fmt: skip
def test_an_incomplete_row_is_refused_by_name(old: str, new: str, fault: str) -> None:
    assert old in ROW
    with pytest.raises(RulebookError) as caught:
        Limits.read(ROW.replace(old, new), "rules/x/limits.toml")
    assert fault in str(caught.value) and "rules/x/limits.toml" in str(caught.value)


@pytest.mark.parametrize(
    ("columns", "values", "fault"),
    [
        ("[1, 2]", "[1]", "2 columns and 1 values"),
        ("[1]", "[1]", "1 columns and 1 values"),
        ("[1, 1]", "[1, 2]", "has a column twice"),
        ("[1, nan]", "[1, 2]", "is no number"),
        ("[1, '2']", "[1, 2]", "is no number"),
        ("1", "[1, 2]", "are no lists"),
        ("[1, 2]", "'12'", "are no lists"),
    ],
)
def test_columns_and_values_must_pair(columns: str, values: str, fault: str) -> None:
    row = ROW.replace("value = 93", f"columns = {columns}\nvalues = {values}")
    with pytest.raises(RulebookError, match=fault):
        Limits.read(row.replace('sense = "at most"\n', ""), "limits.toml")


def test_one_fault_of_every_row_is_told_at_once() -> None:
    rows = [ROW.replace("[mean]", f"[row-{n}]").replace("93", "nan") for n in range(3)]
    with pytest.raises(RulebookError) as caught:
        Limits.read("\n".join(rows), "limits.toml")
    told = str(caught.value).splitlines()
    assert [n for n, line in enumerate(told) if f"row-{n}" in line] == [0, 1, 2]
    with pytest.raises(RulebookError, match="holds no limit"):
        Limits.read("", "limits.toml")


def test_one_key_stands_for_one_source() -> None:
    """Rows of one clause may share a key; a report lists sources by it."""
    other = ROW.replace("[mean]", "[peak]").replace("93", "175").replace("1.2", "1.3")
    assert set(Limits.read(ROW + other, "limits.toml")) == {"mean", "peak"}
    for old, new in (("a standard", "another"), ("2001", "2002")):
        with pytest.raises(RulebookError, match="row `peak`: the key K stands for another source"):
            Limits.read(ROW + other.replace(old, new), "limits.toml")


@pytest.mark.parametrize("sense", ["at most", "at least"])
def test_on_the_limit_is_not_past_it(sense: str) -> None:
    row = Limits.read(ROW.replace("at most", sense), "limits.toml").rows["mean"]
    outward = 1.0 if sense == "at most" else -1.0
    assert not row.is_past(93.0)
    assert row.is_past(93.0 + outward * 1e-6) and not row.is_past(93.0 - outward * 1e-6)


# IMC table 308.6, rows as printed (codes.md T5, T6, T34). Exact: a table is a table.
@pytest.mark.parametrize(
    ("row", "column", "expected"),
    [
        ("sheet-side", 36.0, 12.0),  # T5: sheet over 1 in air
        ("sheet-above", 36.0, 18.0),  # T5
        ("brick-side", 18.0, 12.0),  # T6: brick against the wall
        ("brick-side", 36.0, 24.0),  # T34: a third off
        ("sheet-side", 9.0, 3.0),
        ("sheet-side", 27.0, 9.0),  # midway between 36 -> 12 and 18 -> 6
        ("sheet-above", 13.5, 7.0),  # midway between 18 -> 9 and 9 -> 5
    ],
)
def test_clearance_table(row: str, column: float, expected: float) -> None:
    assert table(row).at(column) == pytest.approx(expected, abs=1e-12)


def test_brick_earns_nothing_overhead() -> None:
    # T6: above, brick is not allowed as a protection; so there is no such row.
    assert "brick-above" not in open_rule("combustible-clearance").limits.tables
    assert "brick-air-above" not in open_rule("combustible-clearance").limits.tables


@pytest.mark.parametrize("row", ["sheet-side", "sheet-above", "brick-side", "brick-air-side"])
@pytest.mark.parametrize("column", [5.99, 36.01, 48.0, 0.0])
def test_no_value_beyond_the_columns(row: str, column: float) -> None:
    assert table(row).at(column) is None and table(row).limit(column) is None


@pytest.mark.parametrize(
    ("row", "share"),
    # T34: 36 to 24 in is 33 % off, to 12 in 66.7 %, to 18 in 50 %. Tolerance: printed digits.
    [("brick-side", 0.333), ("sheet-side", 0.667), ("sheet-above", 0.5)],
)
def test_reductions_as_shares(row: str, share: float) -> None:
    left = table(row).at(36.0)
    assert left is not None and 1.0 - left / 36.0 == pytest.approx(share, abs=0.0005)


def test_a_table_row_becomes_a_limit_that_a_distance_must_keep() -> None:
    limit = table("sheet-side").limit(36.0)
    assert isinstance(limit, Limit)
    assert limit.is_past(0.30) and not limit.is_past(0.3048)
