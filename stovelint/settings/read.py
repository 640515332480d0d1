"""`stovelint.toml` -> a frozen record, or every mistake in it at its line."""

from __future__ import annotations

import os
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Mapping

from stovelint.errors import BuildFileError, SettingsError, SourceError
from stovelint.place import Mistake, Path, Places
from stovelint.schema import SETTINGS, mistakes
from stovelint.settings.toml import parse
from stovelint.source import DISK, Shelf
from stovelint.source.text import decode, refuse

if TYPE_CHECKING:
    from stovelint.quantity import Units

NAME = "stovelint.toml"
MAX_BYTES = 64 * 1024
"""Largest file of settings that is read; one with every key is well under a kilobyte."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Settings:
    """What a shop chose; None or empty where it says nothing."""

    file: str
    """As reports print it; empty where there is no such file."""
    folder: str
    """The folder that holds it: all that it names is counted from there."""
    jurisdiction: str | None = None
    """Code of the plans that name none."""
    hold_at: str | None = None
    """A word of `stovelint.hold.LEAST`."""
    units: Units | None = None
    without: tuple[str, ...] = ()
    """Names of rules to leave out, as written."""
    materials: tuple[str, ...] = ()
    """Folders with materials, as written."""
    rules: tuple[str, ...] = ()
    """Folders with rules, as written; naming them runs nothing."""
    rules_required: bool = False
    places: Places | None = None
    """Where everything stands in the file; None where there is none."""

    def mistake(self, path: Path, message: str, remedy: str) -> Mistake:
        """Something that is wrong with what stands at a path of the file."""
        assert self.places is not None, "without a file nothing can be wrong in it"
        return Mistake(
            span=self.places.value(path), path=path, message=message, remedy=remedy
        )

    def within(self, name: str) -> str:
        """Path of a folder that the file names."""
        return os.path.normpath(os.path.join(self.folder, *name.split("/")))


def no_settings() -> Settings:
    """The settings of a shop that chose nothing."""
    return Settings(file="", folder="")


def read_settings(path: str, shelf: Shelf = DISK, shown: str | None = None) -> Settings:
    """Read one file of settings.

    Args:
        path: the file.
        shelf: where it is read from: the disk, or a revision.
        shown: how reports call it; None: by its path, with `/` between folders.

    Raises:
        SettingsError: with every mistake of the file, located.
    """
    file = path.replace(os.sep, "/") if shown is None else shown
    try:
        data = shelf.read(path)
    except SourceError as fault:
        raise SettingsError(file, (refuse(file, "", 0, fault.message, fault.remedy),)) from None
    if len(data) > MAX_BYTES:
        message = f"the settings are longer than the {MAX_BYTES} bytes that are read"
        remedy = "keep to what `stovelint.toml` can say, a few lines"
        raise SettingsError(file, (refuse(file, "", 0, message, remedy),))
    try:
        text, bom = decode(data, file)
        source = parse(text, file, bom=bom)
    except BuildFileError as error:
        found = tuple(one for one in error.mistakes if isinstance(one, Mistake))
        raise SettingsError(file, found) from None
    wrong = [*source.mistakes, *mistakes(source.tree, source.places, SETTINGS)]
    wrong += _leaves(source.tree, source.places)
    if wrong:
        raise SettingsError(file, tuple(wrong))
    return _settings(source.tree, source.places, path, file)


def _settings(tree: Mapping[str, Any], places: Places, path: str, file: str) -> Settings:
    return Settings(
        file=file,
        folder=os.path.dirname(path),
        jurisdiction=tree.get("jurisdiction"),
        hold_at=tree.get("hold_at"),
        units=tree.get("units"),
        without=tuple(tree.get("without", ())),
        materials=tuple(tree.get("materials", ())),
        rules=tuple(tree.get("rules", ())),
        rules_required=tree.get("rules_required", False),
        places=places,
    )


def _leaves(tree: Mapping[str, Any], places: Places) -> list[Mistake]:
    """Folders that by their very names lie outside the folder of the settings."""
    found = []
    for key in ("materials", "rules"):
        names = tree.get(key)
        for index, name in enumerate(names if isinstance(names, list) else ()):
            if not isinstance(name, str) or not name:
                continue  # of which the schema has told already
            if "\\" in name:
                said = "is written with `\\`", "write `/` between folders"
            elif name.startswith("/") or name[1:2] == ":":
                said = "is no place below these settings", "count it from the folder of this file"
            elif ".." in name.split("/"):
                said = "leads out with `..`", "name a folder below that of this file"
            elif name.strip("./") == "":
                said = "is the whole folder", "name a folder in it"
            else:
                continue
            path = (key, index)
            found.append(
                Mistake(span=places.value(path), path=path,
                        message=f"folder `{name}` {said[0]}", remedy=said[1])
            )  # fmt: skip
    return found
