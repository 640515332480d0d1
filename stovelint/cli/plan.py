"""Opening one plan for a command: file -> records, catalogue and heat, or its mistakes."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Iterable

if TYPE_CHECKING:
    from stovelint.assemble import Loaded
    from stovelint.build import Build
    from stovelint.catalogue import Catalogue
    from stovelint.hotmap.compute import Solver
    from stovelint.hotmap.records import HotMap
    from stovelint.place import Mistake, Places


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

    def names(build: Build, places: Places) -> tuple[Mistake, ...]:
        return (
            *check_materials(build, catalogue, places), *check_variances(build, rules, places),
        )  # fmt: skip

    loaded = load(path, also=names)
    solver = Solver(catalogue)
    return OpenPlan(
        loaded=loaded, catalogue=catalogue, hot=solver(loaded.build), solver=solver
    )
