"""Growth, gaps and joints: rows of the notes and hand counts."""

from __future__ import annotations

import numpy as np
import pytest

from stovelint.heat import movement
from tests.heat.close import close


def test_row_of_the_notes() -> None:
    close(movement.growth_m(1.2, 7e-6, 220.0, 20.0) * 1000.0, 1.7, within=0.02,
          because="two printed digits", source="expansion row of the physics notes")  # fmt: skip


def test_growth_counts_from_where_it_was_built_in() -> None:
    found = movement.growth_m(np.array([1.0, 2.0]), 1e-5, 120.0, np.array([20.0, 170.0]))
    assert found.tolist() == pytest.approx([1e-3, -1e-3])
    assert movement.growth_m(1.0, 1e-5, 20.0, 20.0) == 0.0


def test_skins_of_the_school() -> None:
    """Note in its plan: 1030 mm of brick, 230 K over the room: 1.3 mm, half to each side, which
    leaves more than 3 of 4 mm."""
    inner = movement.growth_m(1.03, 5.5e-6, 250.0, 20.0)
    close(inner * 1000.0, 1.3, within=0.003, because="given to two digits, 1.303",
          source="note in a plan of this repository")  # fmt: skip
    assert movement.gap_left_m(0.004, inner) == pytest.approx(0.004 - 0.5 * inner)


def test_gap_between_two_that_move() -> None:
    assert movement.gap_left_m(0.004, 0.003, 0.001) == pytest.approx(0.003)
    assert movement.gap_left_m(0.001, 0.004) == pytest.approx(-0.001)
    assert movement.gap_left_m(0.002, 0.005, 0.005) == 0.002


def test_joint_that_takes_it_up() -> None:
    """1.7 mm at 30 to 50 %: 5.7 to 3.4 mm."""
    found = [float(movement.joint_m(0.0017, share)) for share in movement.JOINT_GIVES]
    close(np.array(found) * 1000.0, [5.667, 3.4], within=1e-3, because="four digits by hand",
          source="joint row of the physics notes, 30 to 50 %")  # fmt: skip
