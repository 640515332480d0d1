"""Ties through insulation and tees in a cap, in whole plans."""

from __future__ import annotations

import numpy as np
import pytest
import skfem
from skfem.helpers import dot, grad

from stovelint.heat.fins import tie, web_in_slab
from stovelint.hotmap.bridges import AT_C, INTO_M, Bridge, bridge, bridge_sentences
from stovelint.hotmap.compute import hot_map
from stovelint.hotmap.cutplan import cut
from stovelint.hotmap.patches import Patch
from tests.heat.close import close
from tests.hotmap.plans import CATALOGUE, Tree, built, plain, with_

LAYER = ("parts", "bell-cap", "layers", 0)
TOP = ("parts", "firebox-cap", "layers", 0)
TIES = {"material": "mild-steel", "diameter": "6 mm", "each": "250 mm"}
TEES = {"material": "mild-steel", "web": "60 mm", "thick": "6 mm", "each": "230 mm"}
EXACT = "the same closed form, only rounding"


def k_of(name: str) -> float:
    curve = CATALOGUE.get(name).conductivity
    assert curve is not None
    return float(np.interp(AT_C, curve.points_C, curve.values))


def patch_of(tree: Tree, part: str) -> Patch:
    return next(p for p in cut(built(tree), CATALOGUE).patches if p.parts == (part,))


def test_ties_under_a_cap() -> None:
    """Blanket of 25 mm under concrete: gas on one side, so the tie's hot end holds on to air."""
    patch = patch_of(with_(plain(), ((*LAYER, "ties"), TIES)), "bell-cap")
    found = bridge(patch.leaves, 0, CATALOGUE)
    concrete, fibre = k_of("concrete-normal-siliceous"), k_of("ceramic-fibre-blanket-128")
    one = tie(0.006, 0.025, 0.05, k_of("mild-steel"), 0.05, concrete)
    more = float(one.through_W_K) / 0.25**2 * 0.025 / fibre
    close(found.factor, 1.0 + more, within=1e-9, because=EXACT, source="worked by hand")
    over = min(float(one.through_W_K / one.cold_end_W_K),
               float(one.through_W_K) / (2 * np.pi * concrete * 0.01))  # fmt: skip
    close(found.over, over, within=1e-9, because=EXACT, source="by hand, 10 mm under the top")
    assert bridge(patch.leaves, 1, CATALOGUE) == Bridge(1.0, 0.0)
    deeper = patch_of(with_(plain(), ((*LAYER, "ties"), {**TIES, "into": "55 mm"})), "bell-cap")
    assert bridge(deeper.leaves, 0, CATALOGUE).over > found.over
    assert INTO_M == 0.05


def test_a_tie_in_brick_is_kept_at_its_warmth() -> None:
    """A rod in a steady fall whose cold end is insulated stands over the brick by the fall along
    some 30 of 102 mm, however little the air beyond holds on to it."""
    layers = [{"gap": "10 mm", "kind": "closed"},
              {"material": "clay-brick-common", "thickness": "102 mm", "ties": TIES}]  # fmt: skip
    facing = with_(plain(), (("parts", "bell-wall", "layers"),
                             [{"material": "clay-brick-common", "thickness": "102 mm"}, *layers]))
    patch = patch_of(facing, "bell-wall")
    found = bridge(patch.leaves, 2, CATALOGUE)
    k, brick = k_of("mild-steel"), k_of("clay-brick-common")
    metres, step = 0.102, 0.00025
    place = np.arange(0.0, metres + step / 2, step)
    g, section = 2 * np.pi * brick / np.log(250 / 6), np.pi * 0.003**2
    # node by node: k A t'' = g (t - body), the hot end as the body, no heat out of the cold end
    lead = k * section / step**2
    rows = np.diag(np.full(place.size, 2 * lead + g))
    rows -= lead * (np.eye(place.size, k=1) + np.eye(place.size, k=-1))
    rows[-1, -2], rows[0, 0], rows[0, 1] = -2 * lead, 1.0, 0.0
    given = g * (1.0 - place / metres)
    given[0] = 1.0
    rod = np.linalg.solve(rows, given)
    close(found.over, float(rod[-1]), within=0.01, because="steps of 0.25 mm",
          source="finite differences")  # fmt: skip
    assert found.over < 0.32


def test_ties_between_two_skins() -> None:
    """Between brick and brick a tie holds on both sides and leads several times as much."""
    layers = [{"material": "clay-brick-common", "thickness": "102 mm"},
              {"material": "mineral-wool", "thickness": "50 mm", "ties": TIES},
              {"material": "clay-brick-common", "thickness": "102 mm"}]  # fmt: skip
    patch = patch_of(with_(plain(), (("parts", "bell-wall", "layers"), layers)), "bell-wall")
    found = bridge(patch.leaves, 1, CATALOGUE)
    brick, wool = k_of("clay-brick-common"), k_of("mineral-wool")
    one = tie(0.006, 0.05, 0.05, k_of("mild-steel"), brick, brick)
    close(found.factor, 1.0 + float(one.through_W_K) / 0.0625 * 0.05 / wool, within=1e-9,
          because=EXACT, source="worked by hand")  # fmt: skip
    assert found.factor > 1.08


def test_tees_in_a_cap() -> None:
    """The castable's first 60 of 100 mm stand in webs."""
    tree = with_(plain(), ((*TOP, "tees"), TEES))
    patch = patch_of(tree, "firebox-cap")
    assert [round(leaf.thickness_m, 3) for leaf in patch.leaves] == [0.06, 0.04]
    k = k_of("castable-dense-fireclay")
    web = web_in_slab(0.006, 0.06, 0.23, k_of("mild-steel"), k)
    found = bridge(patch.leaves, 0, CATALOGUE)
    factor = float(web.conductance_W_m2K) * 0.06 / k
    close(found.factor, factor, within=1e-9, because=EXACT, source="worked by hand")
    fall = 0.06 / factor
    close(found.over, float(web.tip) * fall / (fall + 0.04) * np.exp(-2 * 0.04 / 0.06), within=1e-9,
          because=EXACT, source="worked by hand")  # fmt: skip
    assert bridge(patch.leaves, 1, CATALOGUE) == Bridge(1.0, 0.0)


@pytest.mark.parametrize(("deep", "thick"), [(0.05, 0.064), (0.05, 0.1), (0.08, 0.1)])
def test_a_web_s_end_is_felt_on_the_skin(deep: float, thick: float) -> None:
    """The skin over a web by finite elements (half a bay, brick of 0.9, film of 10 W/m2K): an
    estimate, so it is only held between half and twice."""
    t, half, k = 0.006, 0.125, 0.9
    x = np.concatenate([np.linspace(0, t / 2, 4), t / 2 + (half - t / 2)
                        * np.linspace(0, 1, 21)[1:] ** 2])  # fmt: skip
    y = np.concatenate([deep * (1 - (1 - np.linspace(0, 1, 15)) ** 1.5),
                        deep + (thick - deep) * np.linspace(0, 1, 15)[1:] ** 1.5])  # fmt: skip
    mesh = skfem.MeshQuad.init_tensor(x, y)
    basis = skfem.Basis(mesh, skfem.ElementQuad2())
    middle = mesh.p[:, mesh.t].mean(axis=1)
    body = np.where((middle[0] < t / 2) & (middle[1] < deep), 50.0, k)
    form = skfem.BilinearForm(lambda u, v, w: w["k"] * dot(grad(u), grad(v))).assemble(
        basis, k=basis.with_element(skfem.ElementQuad0()).interpolate(body)
    )
    top = mesh.facets_satisfying(lambda p: p[1] > thick - 1e-9, boundaries_only=True)
    face = skfem.FacetBasis(mesh, skfem.ElementQuad2(), facets=top)
    mass = skfem.BilinearForm(lambda u, v, w: u * v).assemble(face)
    load = skfem.LinearForm(lambda v, w: v).assemble(face)
    hot = np.flatnonzero(basis.doflocs[1] < 1e-9)
    temp = basis.zeros()
    temp[hot] = 1.0
    temp = skfem.solve(*skfem.condense(form + 10.0 * mass, x=temp, D=hot))
    mean = float(load @ temp) / half
    true = float(temp[basis.get_dofs(top).flatten()].max()) - mean
    web = web_in_slab(t, deep, 0.25, 50.0, k)
    fall = 10.0 * mean / float(web.conductance_W_m2K)
    estimate = float(web.tip) * fall * np.exp(-2.0 * (thick - deep) / deep)
    assert 0.5 * true < estimate < 2.0 * true


def test_the_survey_is_told() -> None:
    tree = with_(plain(), ((*TOP, "tees"), TEES), ((*LAYER, "ties"), TIES))
    plan = built(tree)
    found = hot_map(plan, CATALOGUE, states=("usual",), members=1)
    said = [s for s in found.assumptions if "mild-steel" in s]
    assert len(said) == 2
    start = "tees of mild-steel in the castable-dense-fireclay of firebox-cap lead "
    assert any(s.startswith(start) for s in said)
    patches = cut(plan, CATALOGUE).patches
    assert bridge_sentences(patches, CATALOGUE, found.cycles) != []
    bare = hot_map(built(plain()), CATALOGUE, states=("usual",), members=1)
    assert not [s for s in bare.assumptions if "mild-steel" in s]

    def mean(of: object, part: str) -> float:
        assert hasattr(of, "cycles")
        return float(of.cycles["usual"].of_part(part)[0].layers[-1].cold.mean_C.mid)

    assert mean(found, "firebox-cap") > mean(bare, "firebox-cap") + 2.0
    assert mean(found, "bell-cap") > mean(bare, "bell-cap")
