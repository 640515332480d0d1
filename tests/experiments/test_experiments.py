"""Open experiments against the model: what is within 20 % and inside the range, point by point.

Source, set-up and expected values stand in `fixtures/experiments/`. The tolerance is the 20 % of a
temperature rise that the project aims at; nothing is fitted to a case, so what misses is listed by
name with a physical reason, and the list must be exact: better or worse, a change shows here.
"""

from __future__ import annotations

from functools import cache

import pytest

from tests.experiments import room_with_fire
from tests.experiments.every import CASES
from tests.experiments.point import FOLDER, Point, fixture
from tests.experiments.table import lines

every_case = pytest.mark.parametrize("case", CASES)


@cache
def found(case: str) -> tuple[Point, ...]:
    return CASES[case]()


@every_case
def test_points_that_miss_are_the_ones_listed(case: str) -> None:
    for p in found(case):
        print(
            f"{p.name}: measured {p.measured:.4g}, {p.low:.4g} / {p.mid:.4g} / {p.high:.4g} "
            f"{p.unit}, rise {p.error_percent:+.0f} %"
        )
    today = fixture(case)["today"]
    assert [p.name for p in found(case) if not p.close] == today["not_close"]
    assert [p.name for p in found(case) if not p.inside] == today["outside"]


@every_case
def test_every_miss_has_a_reason_and_the_side_it_says(case: str) -> None:
    points = {p.name: p for p in found(case)}
    told = {name: miss for miss in fixture(case).get("miss", []) for name in miss["points"]}
    assert sorted(told) == sorted(n for n, p in points.items() if not (p.close and p.inside))
    for name, miss in told.items():
        assert len(miss["reason"].split()) > 12
        low_sides = ("too cool", "too little")
        assert miss["side"] in ("too warm", "too much", *low_sides)
        assert (points[name].mid < points[name].measured) == (miss["side"] in low_sides)


@every_case
def test_provenance_is_kept(case: str) -> None:
    data = fixture(case)
    for key in ("title", "checks", "citation", "how", "licence", "grade", "measured"):
        assert data[key], key


def test_no_fixture_is_left_undriven() -> None:
    assert sorted(path.stem for path in FOLDER.glob("*.toml")) == sorted(CASES)


def test_the_page_shows_the_table() -> None:
    page = (FOLDER.parents[1] / "README.md").read_text(encoding="utf-8")
    summary = "\n".join(lines({case: found(case) for case in CASES})).split("\n\n")[0]
    assert f"\n\n{summary}\n\n" in page
    _, _, close, inside, *_ = summary.split("| all temperatures")[1].split("\n")[0].split("|")
    assert f"at {close.strip()} of 78 points" in " ".join(page.split())
    assert f"inside the range at {inside.strip()}," in " ".join(page.split())


def test_what_the_page_says_of_walls_that_conduct_more_holds() -> None:
    """Two and a half times the assumed conductivity, which the measured heat balance of the room
    asks for; the model itself does not use it."""
    page = " ".join((FOLDER.parents[1] / "README.md").read_text(encoding="utf-8").split())
    points = room_with_fire.points(conductive=2.5)
    close = sum(p.close for p in points)
    assert f"{close} of its {len(points)} points would be close" in page
    assert close > 2 * sum(p.close for p in found(room_with_fire.CASE))


def test_the_table_names_every_point_once() -> None:
    text = list(lines({case: found(case) for case in CASES}))
    for case in CASES:
        for p in found(case):
            assert sum(line.startswith(f"| {p.name} |") for line in text) == 1
