"""The examples beside each rule, solved with the full ensemble, do what they say."""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path

import pytest
import tomli

from stovelint.assemble import Loaded, load
from stovelint.hotmap.compute import hot_map
from stovelint.hotmap.records import HotMap
from stovelint.place import pointer
from stovelint.review import Review, review
from stovelint.rule import level_of
from stovelint.rulebook import EXPECT, PLAN
from tests.rules.make import CATALOGUE, open_rule
from tests.tree import RULES

STANDS = sorted(RULES.glob(f"*/stands/*{PLAN}"))
FAILS = sorted(RULES.glob(f"*/fails/*{PLAN}"))


@lru_cache(maxsize=None)
def solved(plan: Path) -> tuple[Loaded, HotMap]:
    loaded = load(str(plan), plan.name)
    return loaded, hot_map(loaded.build, CATALOGUE)


def reviewed(plan: Path) -> Review:
    """Reviewed by the rule that the example belongs to, alone."""
    loaded, hot = solved(plan)
    result = review(
        file=plan.name, places=loaded.source.places, build=loaded.build, hot=hot,
        catalogue=CATALOGUE, rules=[open_rule(plan.parent.parent.name)],
    )  # fmt: skip
    assert result.crashes == ()
    return result


def name(plan: Path) -> str:
    return f"{plan.parent.parent.name}/{plan.name.removesuffix(PLAN)}"


@pytest.mark.parametrize("plan", STANDS, ids=name)
def test_it_is_left_alone(plan: Path) -> None:
    result = reviewed(plan)
    assert result.items == () and result.open == ()


@pytest.mark.parametrize("plan", FAILS, ids=name)
def test_it_fails_as_expected_and_nowhere_else(plan: Path) -> None:
    expected = tomli.loads(
        plan.with_name(plan.name.removesuffix(PLAN) + EXPECT).read_text(encoding="utf-8")
    )["finding"]
    result = reviewed(plan)
    assert {pointer(i.finding.path) for i in result.items} == {row["path"] for row in expected}
    for row in expected:
        assert set(row) == {"path", "quantity", "limit", "level"}
        levels = {
            level_of(item.finding.stakes, m)
            for item in result.items
            if pointer(item.finding.path) == row["path"]
            for m in item.finding.measures
            if m.counts and m.limit is not None
            and (m.what, m.limit.key) == (row["quantity"], row["limit"])
        }  # fmt: skip
        assert row["level"] in levels, f"{row} against {levels}"


@pytest.mark.parametrize("plan", FAILS, ids=name)
def test_the_place_is_the_line_that_causes_it(plan: Path) -> None:
    lines = plan.read_text(encoding="utf-8").splitlines()
    for item in reviewed(plan).items:
        start, end = item.span.start, item.span.end
        assert start.line == end.line
        pointed = lines[start.line][start.column : end.column]
        loaded, _ = solved(plan)
        node: object = loaded.source.tree
        for step in item.finding.path:
            node = node[step]  # type: ignore[index]
        assert pointed == node
