"""How far a joist keeps heat back, from the layers of its patch, at the warmth of a floor."""

from __future__ import annotations

from stovelint.catalogue.catalogue import Catalogue
from stovelint.heat.gaps import gap_resistance_m2K_W
from stovelint.heat.joists import joist_resistance_m2K_W
from stovelint.hotmap.patches import Patch
from stovelint.hotmap.stack import Leaf

AT_C = 60.0
"""At which conductivities are read: where wood begins to matter."""
STEP_K = 20.0
"""Across a cavity there."""
EMISSIVITY = 0.9
FILM_W_m2K = 1.0 / 0.13
"""Of the underside (ISO 6946 Rsi, second-hand)."""


def joist_factor(patch: Patch, place: int, catalogue: Catalogue) -> float:
    """Factor on the conductivity of a leaf that is a joist; 1 where nothing lies over it."""
    leaf = patch.leaves[place]
    assert leaf.layer is not None and leaf.layer.joists is not None and leaf.material is not None
    above = [_slice(one, catalogue) for one in patch.leaves[:place]]
    below = [_slice(one, catalogue) for one in patch.leaves[place + 1 :]]
    wood = _slice(leaf, catalogue)[1]
    if not above or wood <= 0.0 or any(k <= 0.0 for _, k in (*above, *below)):
        return 1.0  # what the catalogue does not know is refused where it is judged
    joists = leaf.layer.joists
    between: float | None = None
    if joists.between == "closed":
        between = _air_W_mK(leaf.thickness_m)
    elif joists.between != "open":
        between = _conductivity_W_mK(joists.between, catalogue)
    resistance = joist_resistance_m2K_W(
        above, leaf.thickness_m, wood, between, below, joists.width_m, joists.spacing_m, FILM_W_m2K
    )
    return leaf.thickness_m / (wood * max(resistance, 1e-3))


def _slice(leaf: Leaf, catalogue: Catalogue) -> tuple[float, float]:
    if leaf.material is None:
        return leaf.thickness_m, _air_W_mK(leaf.thickness_m)
    return leaf.thickness_m, _conductivity_W_mK(leaf.material, catalogue)


def _conductivity_W_mK(name: str, catalogue: Catalogue) -> float:
    curve = catalogue.get(name).conductivity
    return 0.0 if curve is None or not curve.covers(AT_C, AT_C) else float(curve.at(AT_C))


def _air_W_mK(thickness_m: float) -> float:
    high, low = AT_C + 0.5 * STEP_K, AT_C - 0.5 * STEP_K
    resistance = gap_resistance_m2K_W(
        high, low, thickness_m, EMISSIVITY, EMISSIVITY, 1.0, "hot_above"
    )
    return thickness_m / float(resistance)
