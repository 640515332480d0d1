"""Material names of a plan against the catalogue."""

from __future__ import annotations

from typing import TYPE_CHECKING, Iterable

from stovelint.errors import CatalogueError
from stovelint.place import MOST_MISTAKES, Mistake

if TYPE_CHECKING:
    from stovelint.build import Build, Layer, Part, Surrounding
    from stovelint.catalogue import Catalogue
    from stovelint.place import Path, Places


def check_materials(build: Build, catalogue: Catalogue, places: Places) -> tuple[Mistake, ...]:
    """Material names that the catalogue does not hold, or that cannot stand where they are named.

    Args:
        build: the plan, whole or damaged; a name that could not be read is passed over.
        catalogue: the materials.
        places: where everything stands in the file.
    """
    found: list[Mistake] = []

    def note(path: Path, error: CatalogueError) -> None:
        found.append(
            Mistake(
                span=places.value(path), path=path, message=error.message, remedy=error.remedy
            )
        )

    owners: tuple[Part | Surrounding, ...] = (
        *build.parts.values(), *build.surroundings.values(),
    )  # fmt: skip
    for owner in owners:
        for layer in owner.layers:
            if len(found) > MOST_MISTAKES:
                break  # nobody reads more; and to look for close spellings takes its time
            for key, name in _names(layer):
                try:
                    _fits(catalogue, key, name, layer.role)
                except CatalogueError as error:
                    note((*layer.path, *key), error)
    for surrounding in build.surroundings.values():
        if surrounding.shield is not None and surrounding.shield.kind:
            try:
                catalogue.layer_material(surrounding.shield.kind)
            except CatalogueError as error:
                note((*surrounding.shield.path, "kind"), error)
    return tuple(sorted(found, key=lambda mistake: mistake.sort_key()))


def materials_of(build: Build) -> tuple[str, ...]:
    """Every name of a material in a plan, sorted."""
    owners: tuple[Part | Surrounding, ...] = (
        *build.parts.values(), *build.surroundings.values(),
    )  # fmt: skip
    found = {name for owner in owners for layer in owner.layers for _, name in _names(layer)}
    found |= {s.shield.kind for s in build.surroundings.values() if s.shield is not None}
    return tuple(sorted(found - {""}))


def _names(layer: Layer) -> Iterable[tuple[tuple[str, ...], str]]:
    if layer.material:
        yield ("material",), layer.material
    if layer.mortar:
        yield ("mortar",), layer.mortar
    if layer.joists is not None and layer.joists.between not in ("open", "closed", ""):
        yield ("joists", "between"), layer.joists.between
    for key, metal in (("ties", layer.ties), ("tees", layer.tees)):
        if metal is not None and metal.material:
            yield (key, "material"), metal.material
    if layer.reinforcement is not None and layer.reinforcement.kind:
        yield ("reinforcement", "kind"), layer.reinforcement.kind


def _fits(catalogue: Catalogue, key: tuple[str, ...], name: str, role: str | None) -> None:
    if key[0] in ("ties", "tees"):
        metal = catalogue.get(name)
        if metal.family not in ("metal", "reinforcement") or metal.conductivity is None:
            raise CatalogueError(
                f"{name} is no metal whose conduction is known",
                "name one, for instance stainless-304, mild-steel or rebar",
            )
    elif key in (("material",), ("joists", "between")):
        catalogue.layer_material(name, role)
    elif key == ("mortar",):
        if catalogue.get(name).family != "mortar":
            raise CatalogueError(f"{name} is no mortar", "name a mortar of the catalogue")
    elif catalogue.get(name).reinforces is None:
        raise CatalogueError(
            f"{name} is no reinforcement", "name one, for instance rebar or stainless-needles"
        )
