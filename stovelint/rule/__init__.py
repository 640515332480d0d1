"""The contract between rules and everything else. A rule imports from here and nowhere else.

A rule is a generator `def <name>(scene: Scene) -> Iterator[Outcome]`, marked with `@rule`. It
never prints, opens files, or raises for a violation. Silence means: looked at and fine, or the
thing is not in this heater.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from stovelint.rule.bars import cover_takes, depths, diameters, outgrowth
from stovelint.rule.barwords import how_it_lies, instead, ranked
from stovelint.rule.finding import Finding, Measure, Note, NotJudged, Outcome
from stovelint.rule.level import Level, Likelihood, Stakes, level_of, likelihood
from stovelint.rule.limits import Grade, Limit, Limits, LimitTable, Source
from stovelint.rule.marker import RuleFunction, rule
from stovelint.rule.moves import (
    Cut, Insulate, Loosen, Move, MoveAway, Reinforce, Swap, Thicken,
)  # fmt: skip
from stovelint.rule.pieces import along, edge_bound_K
from stovelint.rule.scene import Scene

if TYPE_CHECKING:  # for the annotations of rules only
    from stovelint.build import FiringState as FiringState
    from stovelint.build import Layer as Layer
    from stovelint.build import Part as Part
    from stovelint.build import PartKind as PartKind
    from stovelint.build import Surrounding as Surrounding
    from stovelint.catalogue import Material as Material
    from stovelint.hotmap.records import CombustibleHeat as CombustibleHeat
    from stovelint.hotmap.records import LayerHeat as LayerHeat
    from stovelint.hotmap.records import PatchHeat as PatchHeat
    from stovelint.hotmap.records import Spread as Spread
    from stovelint.rule.bars import Outgrowth as Outgrowth

__all__ = [
    "Cut",
    "Finding",
    "Grade",
    "Insulate",
    "Level",
    "Likelihood",
    "Limit",
    "LimitTable",
    "Limits",
    "Loosen",
    "Measure",
    "Move",
    "MoveAway",
    "NotJudged",
    "Note",
    "Outcome",
    "Reinforce",
    "RuleFunction",
    "Scene",
    "Source",
    "Stakes",
    "Swap",
    "Thicken",
    "along",
    "cover_takes",
    "depths",
    "diameters",
    "edge_bound_K",
    "how_it_lies",
    "instead",
    "level_of",
    "likelihood",
    "outgrowth",
    "ranked",
    "rule",
]
