"""The comparison itself must be able to fail, and must refuse loose tolerances."""

from __future__ import annotations

import math

import pytest

from tests.heat.close import close

WHY = "a made-up reason here"
WHERE = "made-up source"


def test_accepts_inside_and_rejects_outside() -> None:
    close(1.01, 1.0, within=0.011, because=WHY, source=WHERE)
    with pytest.raises(AssertionError, match="made-up source says"):
        close(1.012, 1.0, within=0.011, because=WHY, source=WHERE)


def test_one_bad_value_of_many_is_enough() -> None:
    with pytest.raises(AssertionError):
        close([1.0, 2.1], [1.0, 2.0], within=0.04, because=WHY, source=WHERE)


def test_not_a_number_is_never_close() -> None:
    with pytest.raises(AssertionError):
        close(math.nan, 1.0, within=0.1, because=WHY, source=WHERE)


@pytest.mark.parametrize("within", [0.0, -0.1, 0.21, math.nan])
def test_refuses_a_relative_tolerance_that_proves_nothing(within: float) -> None:
    with pytest.raises(ValueError, match="relative tolerance"):
        close(1.0, 1.0, within=within, because=WHY, source=WHERE)


def test_refuses_a_wide_tolerance_in_units() -> None:
    close(100.0, 110.0, within=10.0, unit="K", because=WHY, source=WHERE)
    with pytest.raises(ValueError, match="wider than 20 %"):
        close(100.0, 110.0, within=23.0, unit="K", because=WHY, source=WHERE)


@pytest.mark.parametrize(("because", "source"), [("", WHERE), ("so", WHERE), (WHY, "")])
def test_refuses_silence_on_source_or_reason(because: str, source: str) -> None:
    with pytest.raises(ValueError, match="needs a source"):
        close(1.0, 1.0, within=0.1, because=because, source=source)
