"""Materials of a shop's own: data like the catalogue's, and vetted like it."""

from __future__ import annotations

import os
import posixpath
from dataclasses import dataclass
from typing import TYPE_CHECKING, Iterable, Mapping

from stovelint.catalogue import Catalogue
from stovelint.catalogue.bounds import read_bounds
from stovelint.catalogue.vet import NAME, read_sources, vet_row
from stovelint.errors import BuildFileError, SettingsError, SourceError
from stovelint.place import MOST_MISTAKES, Mistake, Path, Span, shortened
from stovelint.schema import MATERIAL, mistakes
from stovelint.settings.toml import parse
from stovelint.source import DISK, Cabinet
from stovelint.source.text import decode, refuse

if TYPE_CHECKING:
    from stovelint.settings.read import Settings

SUFFIX = ".toml"
MOST_FILES = 500
"""In all folders together; the catalogue that ships has about a hundred."""
MAX_BYTES = 32 * 1024
"""Of one material; the longest that ships has 5 kilobytes."""
MOST_BYTES = 1024 * 1024
"""Of all together; those that ship have a quarter of it."""


@dataclass(frozen=True, kw_only=True, slots=True)
class OwnMaterial:
    """One material of the shop's own."""

    name: str
    file: str
    """As reports print it."""
    row: Mapping[str, object]
    content: bytes


def read_materials(settings: Settings, shelf: Cabinet = DISK) -> tuple[OwnMaterial, ...]:
    """All materials of the folders that the settings name, sorted by name.

    Args:
        settings: what the shop chose.
        shelf: where its files are read from: the disk, or a revision.

    Raises:
        SettingsError: with every mistake in every file, located; a folder that cannot be had is
            located in the settings.
    """
    if not settings.materials:
        return ()
    wrong: list[Mistake] = []
    files: dict[str, tuple[str, Path]] = {}
    for index, folder in enumerate(settings.materials):
        where: Path = ("materials", index)
        try:
            for name in _names(settings, folder, shelf):
                path = os.path.join(settings.within(folder), name)
                files.setdefault(path, (_shown(settings, folder, name), where))
        except SourceError as fault:
            wrong.append(settings.mistake(where, f"`{folder}`: {fault.message}", fault.remedy))
    if len(files) > MOST_FILES:
        said = f"the folders hold {len(files)} materials, {MOST_FILES} are read"
        wrong.append(settings.mistake(("materials",), said, "name folders with fewer"))
        files = {}
    found: dict[str, OwnMaterial] = {}
    room = MOST_BYTES
    for path, (shown, _) in files.items():
        if len(wrong) > MOST_MISTAKES:
            break
        try:
            own = _read(path, shown, shelf)
        except BuildFileError as error:
            wrong += [one for one in error.mistakes if isinstance(one, Mistake)]
            continue
        if own.name in found:
            said = f"material {own.name} stands already in {found[own.name].file}"
            wrong.append(refuse(shown, "", 0, said, "give one of the two files another name"))
            continue
        found[own.name] = own
        room -= len(own.content)
        if room < 0:
            said = f"the materials together are longer than the {MOST_BYTES} bytes that are read"
            wrong.append(settings.mistake(("materials",), said, "name folders with fewer"))
            break
    if wrong:
        raise SettingsError(settings.file, shortened(wrong))
    return tuple(found[name] for name in sorted(found))


def _names(settings: Settings, folder: str, shelf: Cabinet) -> Iterable[str]:
    held = shelf.names(settings.within(folder), settings.folder)
    names = [one for one in held if one.endswith(SUFFIX) and not one.startswith(".")]
    if not names:
        raise SourceError("the folder holds no material", f"a material is a file <name>{SUFFIX}")
    return names


def _shown(settings: Settings, folder: str, name: str) -> str:
    """`shop/materials/lake-stone.toml`, beside the name of the settings."""
    return posixpath.normpath(posixpath.join(posixpath.dirname(settings.file), folder, name))


def _read(path: str, shown: str, shelf: Cabinet) -> OwnMaterial:
    name = posixpath.basename(shown)[: -len(SUFFIX)]
    try:
        data = shelf.read(path)
    except SourceError as fault:
        raise BuildFileError((refuse(shown, "", 0, fault.message, fault.remedy),)) from None
    if len(data) > MAX_BYTES:
        said = f"the material is longer than the {MAX_BYTES} bytes that are read"
        remedy = "keep to what a material can say, some dozen lines"
        raise BuildFileError((refuse(shown, "", 0, said, remedy),))
    text, bom = decode(data, shown)
    source = parse(text, shown, bom=bom)
    wrong = [*source.mistakes, *mistakes(source.tree, source.places, MATERIAL)]
    top = source.places.value(())
    wrong += [
        Mistake(span=top, path=(), message=message, remedy=remedy)
        for message, remedy in _name_faults(name)
    ]
    catalogue = Catalogue()
    if not wrong:
        for one in vet_row(
            name, source.tree, catalogue.classes(), read_bounds(), read_sources()
        ):
            span: Span = source.places.value(one.path)
            wrong.append(
                Mistake(span=span, path=one.path, message=one.message, remedy=one.remedy)
            )
    if wrong:
        raise BuildFileError(tuple(wrong))
    return OwnMaterial(name=name, file=shown, row=source.tree, content=data)


def _name_faults(name: str) -> Iterable[tuple[str, str]]:
    if NAME.match(name) is None:
        yield (
            f"`{name}` cannot be the name of a material",
            "name the file with small letters, digits and hyphens, beginning with a letter",
        )
    elif name in Catalogue().names():
        # A plan that names it would be judged by other figures here than anywhere else.
        yield (
            f"the catalogue already holds a material called {name}",
            "give the material of your own another name",
        )
