"""The catalogue of materials: refuses what it does not hold, never guesses, reads only what is
asked for."""

from __future__ import annotations

import os
from typing import Iterable, Mapping, cast

import tomli

from stovelint.catalogue.records import ClassVerdict, Material
from stovelint.catalogue.rows import build_material
from stovelint.errors import CatalogueError

HERE = os.path.dirname(os.path.abspath(__file__))
DATA = os.path.join(HERE, "data")
SUFFIX = ".toml"

Row = Mapping[str, object]


class Catalogue:
    """All materials by name, one small text file each, read when first asked for.

    >>> catalogue = Catalogue()
    >>> catalogue.get("granite").max_service.C
    200.0
    >>> catalogue.get("granit")
    Traceback (most recent call last):
    ...
    stovelint.errors.CatalogueError: no material is called granit; did you mean granite?
    """

    def __init__(self, extra: Mapping[str, Row] | None = None) -> None:
        """extra: rows of one's own by name, in the shape of the files in `data/`; a name of the
        catalogue cannot be taken over by one."""
        self._extra = dict(extra or {})
        self._read: dict[str, Material] = {}
        self._names: tuple[str, ...] | None = None
        self._classes: Mapping[str, Row] | None = None
        for name in self._extra:
            if os.path.exists(_file(name)):
                raise CatalogueError(
                    f"the catalogue already holds a material called {name}",
                    "give the material of your own another name",
                )

    def names(self) -> tuple[str, ...]:
        """Every name, sorted; reads no row."""
        if self._names is None:
            shipped = [f[: -len(SUFFIX)] for f in os.listdir(DATA) if f.endswith(SUFFIX)]
            self._names = tuple(sorted([*shipped, *self._extra]))
        return self._names

    def get(self, name: str) -> Material:
        """The material of that exact name. Raises CatalogueError, close spellings suggested."""
        found = self._read.get(name)
        if found is None:
            found = self._read[name] = build_material(name, self._row(name), self.classes())
        return found

    def layer_material(self, name: str, role: str | None = None) -> Material:
        """The material, if it may be a layer of a part.

        role: the layer's role; what burns out needs `sacrificial`, and nothing else may have it.
        Reinforcement is refused.
        """
        material = self.get(name)
        if material.usable_as == "reinforcement":
            raise CatalogueError(
                f"{name} is reinforcement, not a layer",
                "name it under `reinforcement` of the layer that holds it",
            )
        if material.usable_as == "sacrificial" and role != "sacrificial":
            raise CatalogueError(
                f"{name} burns out and cannot stay as a layer",
                "give the layer `role: sacrificial` if it is meant to leave a gap",
            )
        if material.usable_as != "sacrificial" and role == "sacrificial":
            # Every rule leaves a sacrificial layer alone, so the word must not silence them.
            raise CatalogueError(
                f"{name} neither burns nor rots away, so it leaves no gap"
                if material.treat_as_combustible == "no"
                else f"{name} cannot be counted on to burn out and leave a gap",
                "leave `role` out, or name what burns out, for instance burn-out-card",
            )
        return material

    def classes(self) -> Mapping[str, Row]:
        """Defaults per material class, as read from `classes.toml`."""
        if self._classes is None:
            self._classes = cast(Mapping[str, Row], _parse(os.path.join(HERE, "classes.toml")))
        return self._classes

    def may_go(self, peak_high_C: float, mean_high_C: float) -> list[ClassVerdict]:
        """Which materials stand a place that peaks at peak_high_C with mean_high_C, by class.

        Compares the mean with `max_service` and the peak with `max_peak`; nothing else (not span,
        shock, gas or water). Combustible, sacrificial and reinforcing materials are left out.
        """
        groups: dict[str, tuple[list[str], list[str]]] = {}
        for material in self._heater_materials():
            stands = (
                mean_high_C <= material.max_service.C and peak_high_C <= material.max_peak.C
            )
            groups.setdefault(material.family, ([], []))[0 if stands else 1].append(material.name)
        return [
            ClassVerdict(
                family=family,
                title=str(self.classes()[family]["title"]),
                may=tuple(may),
                may_not=tuple(may_not),
            )
            for family, (may, may_not) in sorted(groups.items())
        ]

    def _heater_materials(self) -> Iterable[Material]:
        for name in self.names():
            material = self.get(name)
            if material.usable_as == "layer" and material.treat_as_combustible != "yes":
                yield material

    def _row(self, name: str) -> Row:
        if name in self._extra:
            return self._extra[name]
        if name not in self.names():
            raise self._unknown(name)
        return _parse(_file(name))

    def _unknown(self, name: str) -> CatalogueError:
        import difflib  # only needed for the message

        close = difflib.get_close_matches(name, self.names(), n=3, cutoff=0.6)
        if not close:
            head = name.split("-")[0]
            close = [n for n in self.names() if len(head) > 2 and head in n][:3]
        remedy = (
            f"did you mean {' or '.join(close)}?" if close
            else "choose a name of the catalogue, for instance clay-brick-common"
        )  # fmt: skip
        return CatalogueError(f"no material is called {name}", remedy)


def _file(name: str) -> str:
    return os.path.join(DATA, name + SUFFIX)


def _parse(path: str) -> Row:
    with open(path, encoding="utf-8") as file:
        return tomli.loads(file.read())
