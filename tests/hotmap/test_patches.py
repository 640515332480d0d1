"""Parts cut into patches: every area once, corners, openings, what lies on the far side."""

from __future__ import annotations

from math import log, pi

import numpy as np
import pytest

from stovelint.heat.network import GROUND, ROOM
from stovelint.hotmap.cutplan import Plan, cut
from stovelint.hotmap.patches import Patch
from tests.heat.close import close
from tests.hotmap.plans import CATALOGUE, Tree, built, demo, plain, with_

DRAWN = "sizes of the plan, by hand"
CLOSED = "the same sums of the same sizes"


def plan(tree: Tree) -> Plan:
    return cut(built(tree), CATALOGUE)


def of(found: Plan, part: str) -> list[Patch]:
    return [p for p in found.patches if part in p.parts]


def area(found: Plan, part: str) -> float:
    return sum(p.area_m2 for p in of(found, part))


def test_walls_and_caps_add_up_to_their_chambers() -> None:
    found = plan(plain())
    assert found.unsolved == ()
    expected = {
        "bell-wall": 4 * 0.9 * 1.8, "bell-cap": 0.81, "firebox-wall": 4 * 0.4 * 0.5,
        "firebox-cap": 0.16, "base": 0.81 + 0.16,
    }  # fmt: skip
    close([area(found, name) for name in expected], list(expected.values()), within=1e-9,
          because=CLOSED, source=DRAWN)  # fmt: skip


def test_a_stated_area_is_kept() -> None:
    found = plan(demo())
    stated = {
        "firebox-wall": 0.58, "firebox-front": 0.063, "door": 0.105, "bell-base": 0.33,
        "bell-wall-low": 3.70, "bench-mouth": 0.06,
    }  # fmt: skip
    close([area(found, name) for name in stated], list(stated.values()), within=1e-9,
          because=CLOSED, source=DRAWN)  # fmt: skip


def test_a_door_is_left_out_of_its_wall() -> None:
    door = {
        "kind": "glass", "bounds": "firebox", "sides": ["front"], "faces": "room",
        "area": "0.12 m2", "layers": [{"material": "glass-ceramic", "thickness": "4 mm"}],
    }  # fmt: skip
    found = plan(with_(plain(), (("parts", "door"), door)))
    close([area(found, "firebox-wall"), area(found, "door")], [0.8 - 0.12, 0.12], within=1e-9,
          because=CLOSED, source=DRAWN)  # fmt: skip
    assert found.unsolved == ()


def test_a_door_in_another_side_takes_nothing() -> None:
    sides = {"left": ["left", "right", "back"], "front": ["front"]}
    tree = with_(plain(), (("parts", "firebox-wall", "sides"), sides["left"]))
    front = {**tree["parts"]["firebox-wall"], "sides": sides["front"]}
    door = {
        "kind": "door", "bounds": "firebox", "sides": ["front"], "faces": "room",
        "area": "0.1 m2", "layers": [{"material": "cast-iron-grey", "thickness": "8 mm"}],
    }  # fmt: skip
    found = plan(with_(tree, (("parts", "front"), front), (("parts", "door"), door)))
    close([area(found, "firebox-wall"), area(found, "front")], [0.6, 0.1], within=1e-9,
          because=CLOSED, source=DRAWN)  # fmt: skip


def test_walls_of_two_materials_share_the_round_by_side() -> None:
    """A stone front: the wall that names no side takes the other three."""
    front = {
        "kind": "wall", "bounds": "bell", "sides": ["front"], "faces": "room",
        "layers": [{"material": "soapstone", "thickness": "80 mm"}],
    }  # fmt: skip
    found = plan(with_(plain(), (("parts", "front"), front)))
    close([area(found, "front"), area(found, "bell-wall")], [0.9 * 1.8, 3 * 0.9 * 1.8],
          within=1e-9, because=CLOSED, source=DRAWN)  # fmt: skip


# -- corners -----------------------------------------------------------------------------------


def conductance_W_K(patches: list[Patch], k_W_mK: float) -> float:
    """Of all patches of one homogeneous wall: area at mid-depth over thickness, times k."""
    return sum(
        p.area_m2 * (1.0 + p.growth_per_m * 0.5 * p.thickness_m) * k_W_mK / p.thickness_m
        for p in patches
    )


def test_each_corner_adds_half_a_thickness() -> None:
    found = of(plan(plain()), "bell-wall")
    thickness, height = 0.102, 1.8
    flat = (3.6 / thickness + 4 * (1.0 - 2.0 / pi * log(2.0))) * height
    close(conductance_W_K(found, 1.0), flat, within=1e-9, because="the same closed form",
          source="shape factor of an edge, conformal mapping (recalled)")  # fmt: skip
    inner, outer = 0.9, 0.9 + 2.0 * thickness
    square = 2.0 * pi * height / (0.785 * log(outer / inner))
    close(conductance_W_K(found, 1.0), square, within=0.05,
          because="the two textbook forms are this far apart for so thin a wall",
          source="square channel, W/w < 1.4 (Incropera table 4.1, recalled)")  # fmt: skip


def test_round_walls_widen_with_their_radius() -> None:
    found = of(plan(demo()), "riser-wall")
    height = sum(p.to_m - p.from_m for p in found)
    exact = 2.0 * pi * height / log(1.0 + 0.064 / 0.09)
    close(sum(p.area_m2 * p.leads(p.leaves[0]) / 0.064 for p in found), exact, within=1e-9,
          because="the same closed form",
          source="hollow cylinder, conduction by the logarithm of the radii")  # fmt: skip
    close([p.cold_ratio for p in found], np.full(len(found), 1.0 + 0.064 / 0.09), within=1e-9,
          because="outer over inner circumference", source=DRAWN)  # fmt: skip


def test_caps_floors_and_openings_do_not_widen() -> None:
    for patch in plan(demo()).patches:
        if patch.hot_film in ("ceiling", "floor") or "door" in patch.parts:
            assert patch.growth_per_m == 0.0


# -- far sides ---------------------------------------------------------------------------------


def test_the_core_faces_the_bands_that_it_stands_in() -> None:
    found = plan(demo())
    bands = {z.index: z for z in found.rooms["bell"].zones}
    for name in ("firebox-wall", "riser-wall"):
        for patch in of(found, name):
            band = bands[patch.cold]
            assert band.low_m - 1e-9 <= patch.from_m and patch.to_m <= band.high_m + 1e-9
    (roof,) = of(found, "firebox-roof")
    # its upper face lies at 555 + 60 mm
    assert bands[roof.cold].low_m < 0.615 < bands[roof.cold].high_m


def test_everything_outside_faces_the_room_or_the_ground() -> None:
    found = plan(demo())
    assert {p.cold for n in ("bell-wall-low", "bell-cap", "door") for p in of(found, n)} == {ROOM}
    assert {p.cold for n in ("core-base", "bench-base") for p in of(found, n)} == {GROUND}


def test_only_the_ceiling_of_a_bell_is_swept_by_the_jet() -> None:
    assert {p.parts[0] for p in plan(demo()).patches if p.jet} == {"bell-cap"}


def test_a_floor_lies_on_its_base() -> None:
    floor = {
        "kind": "floor", "bounds": "firebox", "faces": "room",
        "layers": [{"material": "firebrick-high-duty", "thickness": "64 mm"}],
    }  # fmt: skip
    found = plan(with_(plain(), (("parts", "fire-floor"), floor)))
    (under,) = [p for p in found.patches if p.chamber == "firebox" and p.hot_film == "floor"]
    assert under.parts == ("fire-floor", "base")
    assert [leaf.material for leaf in under.leaves] == [
        "firebrick-high-duty", "clay-brick-common", "perlite-loose", "softwood",
    ]  # fmt: skip


def test_a_core_takes_its_footprint_from_the_bells_floor() -> None:
    """Without a stated area: inner sizes and the walls that face the bell, 114.3 mm round the
    firebox and 64 mm round the riser; the front of the core stands in the front of the bell."""
    found = plan(with_(demo(), (("parts", "bell-base", "area"), None)))
    t, r = 0.1143, 0.064
    firebox = (0.35 + 2 * t) * (0.45 + 2 * t)
    riser = pi * (0.09 + r) ** 2
    close(area(found, "bell-base"), 0.752 - firebox - riser, within=1e-6, because=CLOSED,
          source=DRAWN)  # fmt: skip


# -- what cannot be placed ---------------------------------------------------------------------


def subjects(tree: Tree) -> dict[str, str]:
    return {one.subject: one.reason for one in plan(tree).unsolved}


def test_a_hole_is_asked_about() -> None:
    told = subjects(with_(plain(), (("parts", "bell-wall", "to"), "1.5 m")))
    assert "5.40 m2 of 6.48 m2" in told["bell"] and "leave open 1.08 m2" in told["bell"]


def test_walls_given_twice_are_asked_about() -> None:
    tree = plain()
    twice = {**tree["parts"]["bell-wall"], "from": "1 m"}
    assert "overlap on 2.88 m2" in subjects(with_(tree, (("parts", "more"), twice)))["bell"]


@pytest.mark.parametrize(
    ("part", "subject", "word"),
    [("bell-cap", "bell", "top"), ("base", "bell", "bottom"), ("base", "firebox", "bottom")],
)
def test_an_open_end_is_asked_about(part: str, subject: str, word: str) -> None:
    assert word in subjects(with_(plain(), (("parts", part), None)))[subject]


def test_a_door_without_a_size_is_asked_about() -> None:
    door = {
        "kind": "door", "bounds": "firebox", "sides": ["front"], "faces": "room",
        "layers": [{"material": "cast-iron-grey", "thickness": "8 mm"}],
    }  # fmt: skip
    assert "size" in subjects(with_(plain(), (("parts", "door"), door)))["door"]
