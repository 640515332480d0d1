"""Domes and vaults: the patch of a cap against exact shells, and what the plan may say."""

from __future__ import annotations

from math import pi

import pytest

from stovelint.heat.shapes import cylinder_shell, sphere_shell
from stovelint.hotmap.compute import hot_map
from stovelint.hotmap.cutplan import cut
from stovelint.hotmap.patches import Patch
from tests.heat.close import close
from tests.hotmap.plans import CATALOGUE, built, plain, with_

CAP = ("parts", "firebox-cap")
ROUND = ("chambers", "firebox", "size")
EXACT = "closed forms on both sides, only rounding"


def cap(*changes: tuple[tuple[str, ...], object]) -> Patch:
    plan = cut(built(with_(plain(), *changes)), CATALOGUE)
    return next(p for p in plan.patches if p.parts == ("firebox-cap",))


def conductance_m(patch: Patch) -> float:
    """Shape factor of the patch's layers, m."""
    return patch.area_m2 / sum(leaf.thickness_m / patch.leads(leaf) for leaf in patch.leaves)


def test_half_dome() -> None:
    """Over a round of 0.4 m: half a sphere of 0.2 m inside, 0.1 m thick."""
    patch = cap((ROUND, {"diameter": "400 mm", "height": "500 mm"}), ((*CAP, "shape"), "dome"))
    close(patch.area_m2, 2 * pi * 0.2**2, within=1e-9, because=EXACT, source="half a sphere")
    close(conductance_m(patch), sphere_shell(0.2, 0.3, 0.5), within=1e-9, because=EXACT,
          source="heat.shapes, exact shell")  # fmt: skip
    close(patch.cold_ratio, 2.25, within=1e-9, because=EXACT, source="(0.3 / 0.2)^2")
    volume = sum(patch.area_m2 * patch.holds(leaf) * leaf.thickness_m for leaf in patch.leaves)
    close(volume, 2 / 3 * pi * (0.3**3 - 0.2**3), within=1e-9, because=EXACT,
          source="half a ball less half a ball")  # fmt: skip
    assert not patch.flat_sides


def test_low_dome() -> None:
    """A rise of 0.1 m over a half span of 0.2 m: R = 0.25 m, a cap of 2 pi R h."""
    patch = cap((ROUND, {"diameter": "400 mm", "height": "500 mm"}), ((*CAP, "shape"), "dome"),
                ((*CAP, "rise"), "100 mm"))  # fmt: skip
    close(patch.growth_per_m, 4.0, within=1e-9, because=EXACT, source="1 / 0.25 m")
    close(patch.area_m2, 2 * pi * 0.25 * 0.1, within=1e-9, because=EXACT, source="spherical cap")


def test_barrel_vault() -> None:
    """Half a round over the narrower way: 0.4 m wide, 0.6 m long."""
    size = {"width": "600 mm", "depth": "400 mm", "height": "500 mm"}
    patch = cap((ROUND, size), ((*CAP, "shape"), "vault"))
    close(patch.area_m2, pi * 0.2 * 0.6, within=1e-9, because=EXACT, source="half a cylinder")
    close(conductance_m(patch), 0.6 * float(cylinder_shell(0.2, 0.3, 0.5)), within=1e-9,
          because=EXACT, source="heat.shapes, exact shell")  # fmt: skip
    close(patch.cold_ratio, 1.5, within=1e-9, because=EXACT, source="0.3 / 0.2")
    low = cap((ROUND, size), ((*CAP, "shape"), "vault"), ((*CAP, "rise"), "5 mm"))
    close(low.area_m2, 0.24, within=1e-3, because="a rise of 5 mm is all but flat",
          source="flat cap")  # fmt: skip


def test_flat_and_stated() -> None:
    flat = cap()
    assert (flat.growth_per_m, flat.bulge, flat.cold_ratio) == (0.0, "flat", 1.0)
    close(flat.area_m2, 0.16, within=1e-9, because=EXACT, source="0.4 m by 0.4 m")
    stated = cap(((*CAP, "shape"), "dome"), ((*CAP, "area"), "0.30 m2"))
    close(stated.area_m2, 0.30, within=1e-9, because=EXACT, source="the plan says so")


@pytest.mark.parametrize(("rise", "open_"), [("200 mm", 0), ("230 mm", 1)])
def test_a_rise_over_half_the_span_is_not_judged(rise: str, open_: int) -> None:
    """Half the span of a square chamber's vault is 200 mm."""
    tree = with_(plain(), ((*CAP, "shape"), "vault"), ((*CAP, "rise"), rise))
    cases = [u for u in cut(built(tree), CATALOGUE).unsolved if u.subject == "firebox-cap"]
    assert len(cases) == open_
    if cases:
        assert "more than half its span" in cases[0].reason and "`rise`" in cases[0].remedy


def test_a_dome_stays_cooler_outside_than_a_flat_cap() -> None:
    """Its skin is 2.25 times its inside: the same heat through more of it."""
    def skin(*changes: tuple[tuple[str, ...], object]) -> float:
        found = hot_map(built(with_(plain(), *changes)), CATALOGUE, states=("usual",), members=1)
        (one,) = found.cycles["usual"].of_part("firebox-cap")
        return one.layers[-1].cold.mean_C.mid

    assert skin(((*CAP, "shape"), "dome")) < 0.85 * skin()
