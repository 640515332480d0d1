"""Opening one plan for a command: file -> records, catalogue and heat, or its mistakes."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Iterable

from stovelint.cli.choice.shop import NO_SHOP

if TYPE_CHECKING:
    from stovelint.assemble import Loaded
    from stovelint.build import Build
    from stovelint.catalogue import Catalogue
    from stovelint.cli.choice.shop import Shop
    from stovelint.errors import BuildFileError, HeatError
    from stovelint.hotmap.compute import Solver
    from stovelint.hotmap.records import HotMap
    from stovelint.place import Mistake, Places
    from stovelint.source import Shelf


@dataclass(frozen=True, kw_only=True, slots=True)
class OpenPlan:
    """A plan with its heat, and the solver that knows it (for variations of the plan)."""

    loaded: Loaded
    catalogue: Catalogue
    hot: HotMap
    solver: Solver


def open_plan(
    path: str,
    catalogue: Catalogue,
    rules: Iterable[str],
    *,
    shown: str | None = None,
    shelf: Shelf | None = None,
    shop: Shop = NO_SHOP,
) -> OpenPlan:
    """Read, check and solve one plan.

    Args:
        path: the build file.
        catalogue: the materials.
        rules: names of all rules of the book; variances may name no other.
        shown: how messages call the file; None: by its path.
        shelf: where files are read from; None: the disk.
        shop: what the shop's settings add.

    Raises:
        BuildFileError: with every mistake of the file, names of materials and rules included, or
            with the place where the plan lacks what its heat asks for.
        HeatError: the temperatures could not be computed, and no place in the file is why.
    """
    from stovelint.assemble import load
    from stovelint.errors import HeatError
    from stovelint.hotmap.compute import Solver
    from stovelint.review import check_materials
    from stovelint.source import DISK
    from stovelint.variance import check_variances

    def names(build: Build, places: Places) -> tuple[Mistake, ...]:
        return (
            *check_materials(build, catalogue, places), *check_variances(build, rules, places),
        )  # fmt: skip

    loaded = load(path, shown, also=names, shelf=shelf or DISK)
    solver = Solver(catalogue)
    try:
        hot = solver(loaded.build)
    except HeatError as error:
        raise located(error, loaded.source.places) from error
    hot = shop.noted(hot, loaded.build)
    loaded = replace(loaded, build=shop.fitted(loaded.build))
    return OpenPlan(loaded=loaded, catalogue=catalogue, hot=hot, solver=solver)


def located(error: HeatError, places: Places) -> BuildFileError | HeatError:
    """The error as a mistake at its line in the file, where it names one."""
    from stovelint.errors import BuildFileError
    from stovelint.place import Mistake

    if not error.path:
        return error
    return BuildFileError(
        (Mistake(span=places.value(error.path), path=error.path, message=error.message,
                 remedy=error.remedy),)
    )  # fmt: skip
