"""What lies on the heater or leans against it: the skin under it rises."""

from __future__ import annotations

import numpy as np
import pytest

from stovelint.hotmap import covered as module
from stovelint.hotmap.records import CycleHeat
from tests.heat.close import close
from tests.hotmap.plans import CATALOGUE, Tree, cycle, patch, plain, with_

WOOL = {"material": "mineral-wool", "thickness": "50 mm"}
BOARD = {"material": "softwood", "thickness": "28 mm"}
CAP = ("parts", "bell-cap", "layers")


def on_cap(*layers: object, **more: object) -> Tree:
    tree = plain()
    tree["surroundings"] = {
        "seat": {"at": "above", "distance": "0 mm", "layers": list(layers), **more}
    }
    return tree


def skin_C(heat: CycleHeat, where: str = "span") -> tuple[float, float]:
    layer = patch(heat, "bell-cap", where).layers[-1]
    return layer.cold.mean_C.mid, layer.cold.peak_C.mid


def test_a_cover_is_a_layer_of_the_part() -> None:
    """The network itself as referee: the same layers drawn as those of a small piece of the cap.
    There the far film is that of a lively top, 9 and not 7.7, on a fifteenth of the resistance."""
    mean, peak = skin_C(cycle(on_cap(WOOL, BOARD)), "under seat")
    layers = plain()["parts"]["bell-cap"]["layers"]
    piece = {**plain()["parts"]["bell-cap"], "area": "0.02 m2", "layers": [*layers, WOOL, BOARD]}
    slab = patch(cycle(with_(plain(), (("parts", "piece"), piece))), "piece", "span").layers[1].cold
    close(mean, slab.mean_C.mid, within=0.02, source="the layers drawn in the cap",
          because="the film to the gas is kept as it was")  # fmt: skip
    close(peak, slab.peak_C.mid, within=0.02, source="the layers drawn in the cap",
          because="the film to the gas is kept as it was")  # fmt: skip


def test_a_cover_over_all_of_a_cap_is_told_too_low() -> None:
    """What the model leaves out, with its size: covered all over, the cap warms its bell, which
    warms it: its rise is up to 8 % higher than reckoned under a small cover, never lower."""
    mean, _ = skin_C(cycle(on_cap(WOOL, BOARD)), "under seat")
    layers = plain()["parts"]["bell-cap"]["layers"]
    drawn = cycle(with_(plain(), (CAP, [*layers, WOOL, BOARD])))
    whole = patch(drawn, "bell-cap", "span").layers[1].cold.mean_C.mid
    assert mean - 20.0 < whole - 20.0 < 1.08 * (mean - 20.0)


def test_the_mean_is_a_series_of_resistances() -> None:
    """50 mm of wool, 28 mm of wood and 0.13 m2K/W: one heat flow passes all three."""
    (case,) = cycle(on_cap(WOOL, BOARD)).combustibles
    skin, wood = case.skin_mean_C.mid, case.mean_C.mid
    assert case.seen_part == "bell-cap" and case.layer.material == "softwood" and case.covered
    k = {name: CATALOGUE.get(name).conductivity for name in ("mineral-wool", "softwood")}
    wool_k, wood_k = k["mineral-wool"], k["softwood"]
    assert wool_k is not None and wood_k is not None
    wool = 0.050 / float(wool_k.at(0.5 * (skin + wood)))
    behind = 0.028 / float(wood_k.at(0.5 * (wood + 20.0))) + 0.13
    close((skin - wood) / wool, (wood - 20.0) / behind, within=0.005,
          source="one flow through all", because="k read off at the middle of a layer")  # fmt: skip


def test_wood_laid_on_the_skin_is_as_warm_as_the_skin() -> None:
    heat = cycle(on_cap(BOARD))
    (case,) = heat.combustibles
    assert case.peak_C.mid == case.skin_peak_C.mid == case.surface_peak_C.mid
    assert case.mean_C.mid == case.skin_mean_C.mid
    bare, under = skin_C(heat), skin_C(heat, "under seat")
    assert under[0] == pytest.approx(case.skin_mean_C.mid)
    assert case.mean_C.mid > bare[0] + 5.0 and under[1] > bare[1]


def test_more_cover_warmer_skin() -> None:
    found = [
        skin_C(cycle(on_cap(*[WOOL] * n)), "under seat")[0] for n in (1, 2, 3)
    ]  # a cover that does not burn warms the part all the same
    assert found == sorted(found) and found[2] > found[0] + 3.0


def test_it_touches_only_what_it_lies_on() -> None:
    """Without `on` it is taken to touch all that lies or stands on its side."""
    tree = on_cap(BOARD)
    tree["surroundings"]["shelf"] = {**tree["surroundings"]["seat"], "at": "back"}
    tree["surroundings"]["panel"] = {
        **tree["surroundings"]["seat"], "at": "back", "on": "firebox-wall"
    }
    seen: dict[str, list[str]] = {}
    for case in cycle(tree).combustibles:
        seen.setdefault(case.surrounding, []).append(case.seen_part)
    assert seen["panel"] == ["firebox-wall"]
    assert sorted(seen["shelf"]) == ["bell-wall", "firebox-wall"]
    lower = on_cap(BOARD, on="firebox-cap")
    assert [c.seen_part for c in cycle(lower).combustibles] == ["firebox-cap"]


def test_the_hottest_band_speaks_for_the_part() -> None:
    tree = on_cap(BOARD)
    tree["surroundings"]["seat"].update({"at": "left", "on": "bell-wall"})
    heat = cycle(tree)
    (case,) = heat.combustibles
    bands = [p for p in heat.of_part("bell-wall") if p.where.startswith("under seat")]
    assert len(bands) > 3
    assert case.peak_C.high == max(p.layers[-1].cold.peak_C.high for p in bands)


def test_a_millimetre_touches_and_two_do_not() -> None:
    def covers(distance: str) -> bool:
        tree = on_cap(BOARD)
        tree["surroundings"]["seat"]["distance"] = distance
        return any(p.where.startswith("under seat") for p in cycle(tree).of_part("bell-cap"))

    assert covers("0.9 mm") and not covers("1.1 mm")


def test_rounds_of_properties_are_enough(monkeypatch: pytest.MonkeyPatch) -> None:
    few = skin_C(cycle(on_cap(WOOL, BOARD)), "under seat")
    monkeypatch.setattr(module, "ROUNDS", 10 * module.ROUNDS)
    many = skin_C(cycle(on_cap(WOOL, BOARD)), "under seat")
    np.testing.assert_allclose(few, many, atol=0.02)


def test_all_cases_have_their_own() -> None:
    heat = cycle(on_cap(WOOL, BOARD), members=4)
    (case,) = heat.combustibles
    assert case.skin_mean_C.values.shape == (4,) and len(set(case.skin_mean_C.values)) == 4
    bare = patch(heat, "bell-cap", "span").layers[-1].cold.mean_C
    assert (case.skin_mean_C.values > bare.values).all()
