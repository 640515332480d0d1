"""The solver of a plan and its variations: what is shared changes no result."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray

from stovelint.catalogue import Catalogue
from stovelint.errors import HeatError
from stovelint.hotmap.compute import Solver, side_by_side
from stovelint.hotmap.records import HotMap
from tests.hotmap.plans import built, demo, inserted, with_

# Two ways to the same solution differ by what a pass may still move: 0.1 K, times what is left of
# it after each further pass (less than 0.8): under 0.5 K, far below any range printed.
SAME_K = 0.5


def faces(hot: HotMap) -> NDArray[np.float64]:
    """Hot-face peaks of all patches in the hardest state, (patches, members)."""
    cycle = hot.cycles["hardest"]
    return np.array([p.layers[0].hot.peak_C.values for p in cycle.patches])


AS_DRAWN = built(demo())
INSULATED = built(
    inserted(
        demo(), ("parts", "bell-cap", "layers", 0),
        {"material": "aes-blanket-128", "thickness": "25 mm"},
    )
)  # fmt: skip
WALL_AWAY = built(with_(demo(), (("surroundings", "stud-wall", "distance"), "1200 mm")))


@pytest.fixture(scope="module")
def solver() -> Solver:
    solver = Solver(Catalogue(), states=("hardest",))
    solver(AS_DRAWN)
    return solver


def test_a_variation_from_near_is_the_one_from_cold(solver: Solver) -> None:
    near = faces(solver(INSULATED))
    cold = faces(Solver(Catalogue(), states=("hardest",))(INSULATED))
    assert np.abs(near - cold).max() < SAME_K


def test_a_few_cases_are_those_cases_of_all(solver: Solver) -> None:
    few = faces(solver(INSULATED, (3, 17)))
    whole = faces(solver(INSULATED))
    assert few.shape[1] == 2
    assert np.abs(few - whole[:, [3, 17]]).max() < SAME_K


def test_moving_a_surrounding_changes_no_temperature_of_the_heater(solver: Solver) -> None:
    before, after = solver(AS_DRAWN), solver(WALL_AWAY)
    assert (faces(before) == faces(after)).all()
    near, far = (
        max(c.peak_C.high for c in hot.cycles["hardest"].combustibles if c.surrounding == "stud-wall")
        for hot in (before, after)
    )  # fmt: skip
    assert far < near - 20.0  # from 90 mm to 1.2 m: it sees a third of what it saw


def test_works_side_by_side_keep_their_order_and_their_errors() -> None:
    assert side_by_side([lambda i=i: i * i for i in range(5)]) == [0, 1, 4, 9, 16]  # type: ignore[misc]

    def breaks() -> int:
        raise ZeroDivisionError("on purpose")

    with pytest.raises(ZeroDivisionError, match="on purpose"):
        side_by_side([lambda: 1, breaks])


def test_a_declared_core_without_size_is_refused_in_words() -> None:
    """The first solver divided by it."""
    core = with_(
        demo(),
        (("chambers", "firebox", "size"), None),
        (
            ("chambers", "firebox", "declared"),
            {"wall": "500 degC", "exit": "800 degC", "source": "its maker"},
        ),
    )
    with pytest.raises(HeatError, match="firebox is not known, .*with its outside") as caught:
        Solver(Catalogue())(built(core))
    assert caught.value.path == ("chambers", "firebox", "declared")


def test_a_chamber_without_walls_is_refused_in_words() -> None:
    """A riser whose only wall faces a cavity: its gas had nothing to give heat to."""
    open_riser = with_(demo(), (("parts", "riser-wall", "faces"), "cavity"))
    with pytest.raises(HeatError, match="no wall of riser can be reckoned .*cavity") as caught:
        Solver(Catalogue())(built(open_riser))
    assert caught.value.path == ("chambers", "riser") and "give it walls" in caught.value.remedy
