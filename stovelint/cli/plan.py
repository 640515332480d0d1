"""Opening one plan for a command: file -> records, catalogue and heat, or its mistakes."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Iterable

from stovelint.errors import BuildFileError

if TYPE_CHECKING:
    from stovelint.assemble import Loaded
    from stovelint.catalogue import Catalogue
    from stovelint.hotmap.compute import Solver
    from stovelint.hotmap.records import HotMap


@dataclass(frozen=True, kw_only=True, slots=True)
class OpenPlan:
    """A plan with its heat, and the solver that knows it (for variations of the plan)."""

    loaded: Loaded
    catalogue: Catalogue
    hot: HotMap
    solver: Solver


def open_plan(path: str, catalogue: Catalogue, rules: Iterable[str]) -> OpenPlan:
    """Read, check and solve one plan.

    Args:
        path: the build file.
        catalogue: the materials.
        rules: names of all rules of the book; variances may name no other.

    Raises:
        BuildFileError: with every mistake of the file, names of materials and rules included.
        HeatError: the temperatures could not be computed.
    """
    from stovelint.assemble import load
    from stovelint.hotmap.compute import Solver
    from stovelint.review import check_materials
    from stovelint.variance import check_variances

    loaded = load(path)
    places = loaded.source.places
    mistakes = (
        *check_materials(loaded.build, catalogue, places),
        *check_variances(loaded.build, rules, places),
    )
    if mistakes:
        raise BuildFileError(mistakes)
    solver = Solver(catalogue)
    return OpenPlan(
        loaded=loaded, catalogue=catalogue, hot=solver(loaded.build), solver=solver
    )
