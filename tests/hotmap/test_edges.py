"""The bearing edge of a cap: warmed by its wall, insulated by what is left there."""

from __future__ import annotations

import pytest

from stovelint.hotmap.records import PatchHeat
from tests.heat.close import close
from tests.hotmap.plans import CATALOGUE, Tree, cycle, patch, plain, with_

BEARING = ("parts", "bell-cap", "bearing")
LAYERS = ("parts", "bell-cap", "layers")


def edge_and_span(tree: Tree) -> tuple[PatchHeat, PatchHeat]:
    heat = cycle(tree)
    return patch(heat, "bell-cap", "bearing edge"), patch(heat, "bell-cap", "span")


def slab_hot_C(found: PatchHeat) -> tuple[float, float]:
    """Peak and mean at the hot face of the slab itself."""
    slab = found.layers[-1]
    assert slab.layer.material == "concrete-normal-siliceous"
    return slab.hot.peak_C.mid, slab.hot.mean_C.mid


def test_what_is_left_of_the_blanket_under_the_bearing() -> None:
    told, _ = edge_and_span(plain())
    assert told.layers[0].cold.depth_m == pytest.approx(0.012)
    unsaid, span = edge_and_span(with_(plain(), (BEARING, {"width": "100 mm"})))
    assert unsaid.layers[0].cold.depth_m == pytest.approx(0.0125)  # half of 25 mm
    assert span.layers[0].cold.depth_m == pytest.approx(0.025)
    assert unsaid.layers[-1].cold.depth_m == pytest.approx(0.0725)  # the slab gives no way


def test_a_bare_bearing_runs_hotter_than_the_insulated_span() -> None:
    """heat.md: 15 to 22 K in the reference run, with another wall; here only the order is held."""
    bare, span = edge_and_span(with_(plain(), (BEARING, {"width": "100 mm", "insulation": "0 mm"})))
    insulated, _ = edge_and_span(plain())
    assert slab_hot_C(bare)[1] > slab_hot_C(span)[1] + 5.0
    assert slab_hot_C(bare)[1] > slab_hot_C(insulated)[1]


def test_a_bearing_is_cooler_than_the_wall_under_it() -> None:
    """It takes nothing from the gas."""
    heat = cycle(plain())
    edge = patch(heat, "bell-cap", "bearing edge")
    top = max(heat.of_part("bell-wall"), key=lambda p: p.to_m)
    for depth in (edge.layers[0].hot, edge.layers[-1].cold):
        assert depth.peak_C.mid < top.layers[0].middle.peak_C.mid
        assert depth.mean_C.mid < top.layers[0].middle.mean_C.mid
    assert edge.heat_in_kWh.high == 0.0


def test_the_mean_is_a_series_of_resistances() -> None:
    """50 mm of brick, 12 mm of blanket, 60 mm of concrete, and the film of the cap's top."""
    heat = cycle(plain())
    edge, span = patch(heat, "bell-cap", "bearing edge"), patch(heat, "bell-cap", "span")
    top = max(heat.of_part("bell-wall"), key=lambda p: p.to_m)
    wall = top.layers[0].middle.mean_C.mid  # the bearing's middle lies 50 mm in, as does the wall's

    def r(material: str, thickness_m: float, t_C: float) -> float:
        curve = CATALOGUE.get(material).conductivity
        assert curve is not None
        return thickness_m / float(curve.at(t_C))

    blanket, slab = span.layers[0], span.layers[1]
    concrete = r("concrete-normal-siliceous", 0.06, slab.middle.mean_C.mid)
    flux = (slab.hot.mean_C.mid - slab.cold.mean_C.mid) / concrete
    film = (slab.cold.mean_C.mid - 20.0) / flux
    parts = [
        r("clay-brick-common", 0.05, wall),
        r("ceramic-fibre-blanket-128", 0.012, blanket.middle.mean_C.mid), concrete,
    ]  # fmt: skip
    through = (wall - 20.0) / (sum(parts) + film)
    close(edge.layers[-1].cold.mean_C.mid - 20.0, through * film, within=0.03,
          because="conductivities are read at means that lie a few kelvin apart",
          source="plane layers in series, steady mean")  # fmt: skip
    close(edge.layers[0].hot.mean_C.mid - 20.0, through * (film + parts[1] + parts[2]),
          within=0.03, because="as above, conductivities a few kelvin apart",
          source="plane layers in series, steady mean")  # fmt: skip


def test_a_cap_that_does_not_say_how_it_bears_has_no_edge() -> None:
    heat = cycle(with_(plain(), (BEARING, None)))
    assert [p.where for p in heat.of_part("bell-cap")] == ["span"]
