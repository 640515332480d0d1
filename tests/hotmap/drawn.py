"""Heaters drawn by chance, within what a mason would build, for properties that hold for any."""

from __future__ import annotations

from typing import Any

from hypothesis import HealthCheck, Phase, settings
from hypothesis import strategies as st

from tests.hotmap.plans import Tree

WALLS = (
    "clay-brick-common", "firebrick-medium-duty", "soapstone", "granite", "adobe",
    "hollow-block-normal", "castable-dense-fireclay", "concrete-lightweight-expanded-clay", "cob",
)  # fmt: skip
SLABS = ("concrete-normal-siliceous", "castable-dense-fireclay", "slate", "soapstone")
FILLS = ("perlite-loose", "perlite-concrete-1-6", "sand-dry", "calcium-silicate-insulation")
BLANKETS = ("ceramic-fibre-blanket-128", "aes-blanket-128", "mineral-wool")

# Nothing is made smaller when a property fails: the first heater that shows it is a heater, and
# every smaller one costs as much to solve again.
few = settings(
    max_examples=15, phases=(Phase.explicit, Phase.generate),
    suppress_health_check=[HealthCheck.too_slow], report_multiple_bugs=False,
)  # fmt: skip


def millimetres(low: int, high: int) -> st.SearchStrategy[str]:
    return st.integers(low, high).map(lambda mm: f"{mm} mm")


def layers(names: tuple[str, ...], low: int, high: int) -> st.SearchStrategy[dict[str, Any]]:
    return st.fixed_dictionaries(
        {"material": st.sampled_from(names), "thickness": millimetres(low, high)}
    )


@st.composite
def heaters(draw: st.DrawFn, *, empty: bool | None = None, tall: bool = False) -> Tree:
    """A firebox and a bell, its core inside or beside it, over a base.

    Args:
        empty: True for a bell with nothing in it, fed at its crown.
        tall: True for a bell of several bands.
    """
    beside = draw(st.booleans()) if empty is None else empty
    height = draw(st.integers(150 if tall else 110, 230)) * 10
    behind = "room" if beside else "bell"
    crown = {"bell": {"area": "250 cm2", "at": f"{height - 50} mm"}}
    firebox: Tree = {
        "kind": "firebox", "bottom": "75 mm", "leads_to": crown if beside else "bell",
        "size": {"width": draw(millimetres(300, 450)), "depth": draw(millimetres(350, 500)),
                 "height": draw(millimetres(400, 550))},
    }  # fmt: skip
    if not beside:
        firebox["inside"] = "bell"
    charge = draw(st.integers(40, 130)) / 10.0
    return {
        "format": 1,
        "title": "Signal Box studio",
        "site": {"room": "20 degC", "outdoors": "0 degC", "ground": "10 degC"},
        "by_others": {"chimney": "mason on site"},
        "firing": {
            "wood": draw(st.sampled_from(("softwood", "hardwood"))),
            "moisture": f"{draw(st.integers(12, 24))} %",
            "usual": {"charge": f"{charge:g} kg", "burn": f"{draw(st.integers(60, 120))} min",
                      "every": f"{draw(st.sampled_from((8, 12, 24)))} h"},
            "damper": {"after_burn": draw(st.sampled_from(("tight", "open")))},
        },
        "chambers": {
            "firebox": firebox,
            "bell": {
                "kind": "bell", "bottom": "0 mm", "leads_to": "chimney", "leaves_at": "100 mm",
                "size": {"width": draw(millimetres(700, 1100)),
                         "depth": draw(millimetres(750, 1100)), "height": f"{height} mm"},
            },
            "chimney": {"kind": "chimney", "size": {"diameter": "180 mm", "height": "5 m"}},
        },
        "parts": {
            "firebox-wall": {
                "kind": "wall", "bounds": "firebox", "faces": behind,
                "layers": [
                    {"material": "firebrick-medium-duty", "thickness": draw(millimetres(60, 130))}
                ],
            },
            "firebox-roof": {
                "kind": "cap", "bounds": "firebox", "faces": behind,
                "layers": [{"material": "castable-dense-fireclay", "thickness": "80 mm"}],
            },
            "bell-wall": {
                "kind": "wall", "bounds": "bell", "faces": "room",
                "layers": draw(st.lists(layers(WALLS, 50, 160), min_size=1, max_size=2)),
            },
            "bell-cap": {
                "kind": "cap", "bounds": "bell", "faces": "room", "bearing": "100 mm",
                "carried_by": "bell-wall", "layers": [draw(layers(SLABS, 40, 120))],
            },
            "base": {
                "kind": "base", "bounds": ["firebox", "bell"], "faces": "ground",
                "layers": [
                    {"material": "clay-brick-common", "thickness": "65 mm"},
                    draw(layers(FILLS, 50, 200)),
                    {"material": "concrete-normal-siliceous", "thickness": "100 mm"},
                ],
            },
        },
    }  # fmt: skip


@st.composite
def sizes(draw: st.DrawFn, low: int, high: int, least: int = 5) -> tuple[int, int]:
    """A size and a larger one, mm."""
    small = draw(st.integers(low, high - least))
    return small, draw(st.integers(small + least, high))
