"""Every limit of every shipped rule decides: below, on and above it, and moved by 1 %.

A row that no verdict hangs on is no limit, and a comparison that is off by a little is a wrong
limit. So each row must have a witness in its rule's own test file, and the witness must flip.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from importlib import import_module
from importlib.util import find_spec
from typing import Iterator, Sequence

import pytest

from stovelint.rule import Limit, LimitTable
from stovelint.rulebook import Rule
from tests.rules.make import RULE_NAMES, moved, open_rule
from tests.rules.witness import HAIR, NUDGE, Witness, moved_out, outward, value_of

TABLE_COLUMN = 36.0
"""The column at which tables are read: the clearance of a heater without protection, in."""
CLOSE = 1e-8
"""Ten times what two ways of writing a size may differ by (`stovelint.rule.limits.CLOSE`)."""


@cache
def rule_of(name: str) -> Rule:
    return open_rule(name)


def witnesses(name: str) -> Sequence[tuple[str, Witness]]:
    module = f"tests.rules.test_{name.replace('-', '_')}"
    return getattr(import_module(module), "WITNESSES", ()) if find_spec(module) else ()


def row_of(name: str, row: str) -> Limit:
    limits = rule_of(name).limits
    return value_of(limits.rows[row] if row in limits.rows else limits.tables[row], TABLE_COLUMN)


ALL = [(name, row, witness) for name in RULE_NAMES for row, witness in witnesses(name)]
IDS = [f"{name}/{row}" for name, row, _ in ALL]


@pytest.mark.parametrize("name", RULE_NAMES)
def test_every_row_has_a_witness(name: str) -> None:
    rows, seen = set(rule_of(name).limits), {row for row, _ in witnesses(name)}
    assert seen <= rows, f"no such row in {name}: {', '.join(sorted(seen - rows))}"
    lacking = ", ".join(row for row in rule_of(name).limits if row not in seen)
    assert not lacking, f"add to WITNESSES of the tests of {name}: {lacking}"


# -- the verdict ----------------------------------------------------------------------------


@pytest.mark.parametrize(("name", "row", "witness"), ALL, ids=IDS)
def test_the_verdict_below_on_and_above_it(name: str, row: str, witness: Witness) -> None:
    rule, limit = rule_of(name), row_of(name, row)
    step = 1.0 if witness.whole else max(HAIR * abs(limit.base), CLOSE)
    out = outward(limit, witness)
    inside = limit.base if witness.whole else limit.base - out * step
    said = [witness.says(value, rule) for value in (inside, limit.base, limit.base + out * step)]
    assert said in ([False, False, True], [True, True, False])


@pytest.mark.parametrize(("name", "row", "witness"), ALL, ids=IDS)
def test_the_verdict_flips_when_it_is_moved_by_one_percent(
    name: str, row: str, witness: Witness
) -> None:
    rule, limit = rule_of(name), row_of(name, row)
    out = outward(limit, witness)
    stricter, laxer = (moved_out(rule, row, witness, sign, out) for sign in (-1.0, 1.0))
    calm = witness.says(limit.base, rule)
    if witness.whole:  # nothing lies between two counts
        assert witness.says(limit.base, stricter) is not calm
        assert witness.says(limit.base, laxer) is calm
        return
    inside, past = (limit.base * (1.0 + side * out * NUDGE / 2.0) for side in (-1.0, 1.0))
    assert witness.says(inside, rule) is calm and witness.says(inside, stricter) is not calm
    assert witness.says(past, rule) is not calm and witness.says(past, laxer) is calm


# -- the comparison -------------------------------------------------------------------------


def single_limits() -> Iterator[tuple[str, Limit]]:
    """Every row, and every printed value of every table, as the limit it is compared as."""
    for name in RULE_NAMES:
        for row in rule_of(name).limits.all():
            if isinstance(row, Limit):
                yield f"{name}/{row.name}", row
                continue
            for column in row.columns:
                yield f"{name}/{row.name} at {column:g}", value_of(row, column)


SINGLE = list(single_limits())


@pytest.mark.parametrize("limit", [one for _, one in SINGLE], ids=[one for one, _ in SINGLE])
def test_the_comparison_below_on_and_above_and_moved(limit: Limit) -> None:
    out, base = (1.0 if limit.sense == "at most" else -1.0), limit.base
    step = max(HAIR * abs(base), CLOSE)
    assert [limit.is_past(v) for v in (base - out * step, base, base + out * step)] == [
        False, False, True,
    ]  # fmt: skip
    stricter, laxer = (limit.scaled(1.0 + sign * out * NUDGE) for sign in (-1.0, 1.0))
    inside, past = (base * (1.0 + side * out * NUDGE / 2.0) for side in (-1.0, 1.0))
    assert not limit.is_past(inside) and stricter.is_past(inside)
    assert limit.is_past(past) and not laxer.is_past(past)


# -- the walk itself ------------------------------------------------------------------------


def test_the_walk_sees_a_row_without_a_witness(monkeypatch: pytest.MonkeyPatch) -> None:
    rule = rule_of("concrete-elevation")
    rows = dict(rule.limits.rows) | {"spare": rule.limits.rows["mean"]}
    spare = replace(rule, limits=replace(rule.limits, rows=rows))
    monkeypatch.setitem(globals(), "rule_of", lambda name: spare)
    with pytest.raises(AssertionError, match="add to WITNESSES .*: spare"):
        test_every_row_has_a_witness("concrete-elevation")


def test_moving_a_table_moves_all_its_values() -> None:
    rule = rule_of("combustible-clearance")
    before, after = (r.limits.tables["brick-side"] for r in (rule, moved(rule, "brick-side", 1.01)))
    assert isinstance(after, LimitTable) and after.columns == before.columns
    assert after.values == pytest.approx([1.01 * value for value in before.values], rel=1e-12)
