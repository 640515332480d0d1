"""A few dozen drawn plans, and those that once went wrong: no number that is none, no plan lost.

`python -m tests.drawn.many` draws thousands.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st

from stovelint.hotmap.records import Spread
from tests.drawn.examine import NO_NUMBER, examine, numbers, text_of
from tests.drawn.kinds import KINDS, drawn, numbered
from tests.drawn.pen import Tree

ONCE = sorted((Path(__file__).parent / "once").glob("*.heater.yaml"))
"""Plans that were lost once; each says in its head how. They draw what `many` drew with seed 1."""

few = settings(
    max_examples=6, phases=(Phase.generate,), report_multiple_bugs=False,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)  # fmt: skip


@few
@given(drawn("wild"))
def test_wild_plans_end_in_numbers_or_in_words(tree: Tree) -> None:
    assert examine(text_of(tree), members=1).faults == ()


@few
@given(drawn("changed"))
def test_changed_plans_end_in_numbers_or_in_words(tree: Tree) -> None:
    assert examine(text_of(tree), members=1).faults == ()


@pytest.mark.parametrize("kind", sorted(KINDS))
def test_the_first_plans_by_number(kind: str) -> None:
    """The same that the long command draws with seed 1."""
    endings = set()
    for number in range(1, 5):
        verdict = examine(text_of(numbered(kind, 1, number)), members=1)
        assert verdict.faults == (), number
        endings.add(verdict.ending)
    assert "judged" in endings  # else nothing was looked at


@pytest.mark.parametrize("file", ONCE, ids=lambda file: file.name.partition(".")[0])
def test_what_went_wrong_once(file: Path) -> None:
    verdict = examine(file.read_text(encoding="utf-8"), members=2, full=False)
    assert verdict.faults == () and verdict.ending == "judged", verdict.said


@given(st.sampled_from(sorted(KINDS)), st.integers(1, 50))
@few
def test_a_number_makes_one_plan(kind: str, number: int) -> None:
    assert numbered(kind, 1, number) == numbered(kind, 1, number)


def test_the_examiner_sees_what_is_no_number() -> None:
    """It must not pass because it looks at nothing."""
    good = Spread(values=np.array([1.0, 2.0]), floor=np.array([1.0, 1.5]))
    bad = Spread(values=np.array([1.0, np.inf]), floor=np.array([1.0, 1.5]))
    assert numbers({"a": (good,)}) == []
    assert numbers({"a": (good, [bad])})
    assert numbers({"a": float("nan")}) == ["hot map / a is nan"]
    assert numbers(Spread(values=good.floor - 1.0, floor=good.values))
    for text in ("peak nan degC", "(12 to inf)", "-Infinity", "NaN K"):
        assert NO_NUMBER.search(text)
    for text in ("finance", "information", "banana", "infill 3 mm"):
        assert not NO_NUMBER.search(text)


def test_the_examiner_sees_plans_refused_and_judged() -> None:
    tree = numbered("plausible", 1, 1)
    assert examine(text_of(tree), members=1).ending in ("judged", "refused")
    refused = examine(text_of({**tree, "format": 2}), members=1)
    assert refused.ending == "refused" and refused.faults == ()
