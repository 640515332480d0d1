"""A round pipe in a mass of cob: its patches against the shape factor and finite elements."""

from __future__ import annotations

from math import inf, log, pi

import numpy as np
import pytest
import skfem
from skfem.helpers import dot, grad

from stovelint.heat.network import ROOM
from stovelint.heat.shapes import Mass, buried_pipe
from stovelint.hotmap.buried import WIDEST, buried_sentences, over_mean
from stovelint.hotmap.compute import hot_map
from stovelint.hotmap.cutplan import cut
from stovelint.hotmap.patches import Patch
from tests.heat.close import close
from tests.heat.test_shapes import _ring
from tests.hotmap.plans import CATALOGUE, Tree, built, plain, with_

EXACT = "closed forms on both sides, only rounding"
FEM = "scikit-fem 12.0.2, quadratic square elements"


def cob(thickness: str) -> list[dict[str, str]]:
    return [{"material": "cob", "thickness": thickness}]


def tree(side: str = "200 mm", top: str | None = "150 mm", foot: str | None = "200 mm",
         **size: str) -> Tree:  # fmt: skip
    """The plain plan with a pipe of 150 mm, 1.2 m long, after the bell."""
    size = size or {"diameter": "150 mm"}
    pipe = {"kind": "buried-pipe", "size": {"length": "1.2 m", **size}, "bottom": "100 mm",
            "leads_to": "chimney"}  # fmt: skip
    changes: list[tuple[tuple[str, ...], object]] = [
        (("chambers", "pipe"), pipe), (("chambers", "bell", "leads_to"), "pipe"),
        (("parts", "flank"), {"kind": "wall", "bounds": "pipe", "faces": "room",
                              "sides": ["front", "back"], "layers": cob(side)}),
    ]  # fmt: skip
    if top:
        changes.append((("parts", "seat"), {"kind": "bench-top", "bounds": "pipe", "faces": "room",
                                            "layers": cob(top)}))  # fmt: skip
    if foot:
        changes.append((("parts", "foot"), {"kind": "base", "bounds": "pipe", "faces": "room",
                                            "layers": cob(foot)}))  # fmt: skip
    return with_(plain(), *changes)


def piece(of: Tree) -> list[Patch]:
    """The patches round the first half of the pipe."""
    patches = [p for p in cut(built(of), CATALOGUE).patches if p.chamber == "pipe"]
    return [p for p in patches if p.hot_zone == patches[0].hot_zone]


def way(patch: Patch) -> float:
    """Resistance times conductivity of the layers, 1/m."""
    return sum(x.thickness_m / patch.leads(x) for x in patch.leaves) / patch.area_m2


@pytest.mark.parametrize(("top", "foot", "mass"), [
    ("150 mm", "200 mm", Mass(0.275, 0.275, 0.275, 0.225)),
    ("200 mm", "200 mm", Mass(0.275, 0.275, 0.275, 0.275)),
    ("150 mm", None, Mass(0.275, 0.275, inf, 0.225)),
])  # fmt: skip
def test_the_patches_make_up_the_shape_factor(top: str, foot: str | None, mass: Mass) -> None:
    found = piece(tree(top=top, foot=foot))
    factor, shares = buried_pipe(0.15, mass)
    close(sum(p.area_m2 for p in found), pi * 0.15 * 0.6, within=1e-9, because=EXACT,
          source="girth times length")  # fmt: skip
    close(sum(1.0 / way(p) for p in found), 0.6 * factor, within=1e-9, because=EXACT,
          source="shape factor of heat.shapes")  # fmt: skip
    seat = next(p for p in found if p.parts == ("seat",))
    close(1.0 / way(seat), 0.6 * factor * shares[3], within=1e-9, because=EXACT,
          source="share through the upper face")  # fmt: skip
    close(seat.cold_ratio, mass.above / 0.075, within=1e-9, because=EXACT,
          source="depth over radius")  # fmt: skip
    widths = [1.0 + seat.growth_per_m * leaf.depth_m for leaf in seat.leaves]
    assert max(b / a for a, b in zip(widths, widths[1:])) <= WIDEST + 1e-9
    close(sum(leaf.thickness_m for leaf in seat.leaves), mass.above - 0.075, within=1e-9,
          because=EXACT, source="the drawn layer")  # fmt: skip


def test_between_films_by_finite_elements() -> None:
    """Film of 12 W/m2K in the pipe, 10 on all faces, cob of 0.8: the whole flow, and how much
    hotter the face right over the pipe is than the effective one."""
    k, inside, outside = 0.8, 12.0, 10.0
    mass = Mass(0.275, 0.275, 0.275, 0.225)
    mesh = _ring(0.075, mass, 24, 18)
    basis = skfem.Basis(mesh, skfem.ElementQuad2())
    form = skfem.BilinearForm(lambda u, v, w: k * dot(grad(u), grad(v))).assemble(basis)
    on_pipe = mesh.facets_satisfying(lambda x: np.hypot(x[0], x[1]) < 0.0751, boundaries_only=True)
    out = np.setdiff1d(mesh.boundary_facets(), on_pipe)
    whole, right = form, np.zeros(basis.N)
    for facets, film, gas in ((on_pipe, inside, 1.0), (out, outside, 0.0)):
        face = skfem.FacetBasis(mesh, skfem.ElementQuad2(), facets=facets)
        load = skfem.LinearForm(lambda v, w: v).assemble(face)
        whole = whole + film * skfem.BilinearForm(lambda u, v, w: u * v).assemble(face)
        right = right + film * gas * load
    t = skfem.solve(whole, right)
    flow = outside * float(load @ t)
    found = piece(tree())
    ours = [
        1.0 / (1.0 / (inside * p.area_m2) + way(p) / k + 1.0 / (outside * p.area_m2 * p.cold_ratio))
        for p in found
    ]
    close(sum(ours) / 0.6, flow, within=0.03, because="the film's width is of first order only",
          source=FEM)  # fmt: skip
    x, y = basis.doflocs
    over = float(t[np.argmin(np.hypot(x, y - mass.above))])
    seat = next(i for i, p in enumerate(found) if p.parts == ("seat",))
    told = ours[seat] / (outside * found[seat].area_m2 * found[seat].cold_ratio)
    # one face alone is the worst: others that are near draw their part of the heat away
    assert told < over < told * over_mean(0.225, k / outside)


def test_over_mean() -> None:
    close(over_mean(1e6), 2.0, within=1e-6, because="a film that is all but none",
          source="peak of z / pi (x^2 + z^2) times 2 pi z")  # fmt: skip
    close(over_mean(0.16), 2.0 * log(2.0), within=1e-12, because=EXACT, source="worked by hand")


def test_one_below_another_material_and_the_ground() -> None:
    """Soil only follows the mass: it moves no share."""
    grounded = with_(tree(), (("parts", "foot", "faces"), "ground"))
    for one, other in zip(piece(tree()), piece(grounded)):
        close(other.area_m2, one.area_m2, within=1e-9, because=EXACT, source="the same mass")
    foot = next(p for p in piece(grounded) if p.parts == ("foot",))
    assert any(leaf.kind == "soil" for leaf in foot.leaves)
    said = buried_sentences(piece(grounded))
    assert len(said) == 2 and all(s.startswith("pipe lies ") for s in said)
    assert "225 mm deep in seat" in " ".join(said)


def test_too_thin_a_mass_is_not_judged() -> None:
    thin = cut(built(tree(top="30 mm")), CATALOGUE)
    assert [u.subject for u in thin.unsolved if "half the pipe's radius" in u.reason] == ["pipe"]
    assert not [p for p in thin.patches if p.chamber == "pipe"]
    enough = cut(built(tree(top="38 mm")), CATALOGUE)
    assert not [u for u in enough.unsolved if u.subject == "pipe"]


def test_a_square_pipe_is_cut_as_a_flue() -> None:
    found = piece(tree(width="150 mm", height="150 mm"))
    assert all(p.bulge == "flat" and p.cold_to_hot is None for p in found)


def test_a_whole_plan_settles_and_says_how() -> None:
    found = hot_map(built(tree()), CATALOGUE, states=("usual",), members=1)
    heat = found.cycles["usual"]
    assert heat.energy_gap < 1e-3
    assert [s for s in found.assumptions if s.startswith("pipe lies 225 mm deep in seat")]
    seat, flank = (heat.of_part(name)[0].layers[-1].cold.mean_C.mid for name in ("seat", "flank"))
    assert 21.0 < min(flank, seat) < heat.of_part("seat")[0].layers[0].hot.mean_C.mid
    assert all(p.cold == ROOM for p in piece(tree()))
