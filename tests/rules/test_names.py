"""Renaming a material with equal properties changes no verdict; nor does the order of things."""

from __future__ import annotations

from dataclasses import replace

import pytest

from stovelint.build import Build, Layer
from stovelint.catalogue import Catalogue
from stovelint.hotmap.records import HotMap
from stovelint.review import run_rule
from tests.rules import make
from tests.rules.make import combustible, layer, layer_heat, open_rule, patch, spread

NAMES = ["base-combustible", "cap-insulation", "combustible-clearance", "concrete-elevation"]


def renamed(one: Layer) -> Layer:
    return one if one.material is None else replace(one, material=f"quay-{one.material}")


def everything(rename: bool) -> tuple[Build, HotMap]:
    """A plan in which each of the four rules has something to say."""

    def named(*layers: Layer) -> list[Layer]:
        return [renamed(one) if rename else one for one in layers]

    wall = make.part("wall", "wall", named(layer("hollow-block-normal", 0.14)))
    cap = make.part("cap", "cap", named(layer("aes-blanket-128", 0.012), layer("slate", 0.04)))
    base = make.part("base", "base", named(layer("clay-brick-common"), layer("plywood", 0.02)))
    near = make.surrounding(
        "studs", "back", 0.2, named(layer("gypsum-board", 0.0125), layer("softwood", 0.09)),
        shield=("quay-mild-steel" if rename else "mild-steel", 0.03),
    )  # fmt: skip
    hot = make.hot(
        [
            patch(one, [layer_heat(x, spread(260.0), spread(110.0)) for x in one.layers])
            for one in (wall, cap, base)
        ],
        [combustible("studs", near.layers[-1], spread(90.0), spread(60.0), covered=True)],
    )
    return make.build([wall, cap, base], [near]), hot


@pytest.mark.parametrize("name", NAMES)
def test_equal_properties_get_equal_verdicts(name: str) -> None:
    plain = Catalogue()
    quay = Catalogue(
        {f"quay-{one}": plain._row(one) for one in plain.names()}
    )

    def said(rename: bool) -> list[tuple[object, ...]]:
        build, hot = everything(rename)
        catalogue = quay if rename else plain
        done = run_rule(open_rule(name), build=build, hot=hot, catalogue=catalogue)
        assert done.crash is None
        return [(f.subject, f.path, f.level, f.measures) for f in done.findings]

    assert said(True) == said(False) != []
