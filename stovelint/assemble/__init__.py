"""From a build file to the heater as records: the only place that knows the file's key names."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from stovelint.assemble.edit import edited
from stovelint.assemble.plan import Check, read_build
from stovelint.build import Build
from stovelint.errors import BuildFileError
from stovelint.place import Mistake, Places
from stovelint.source import DISK, Shelf, Source, read_plan

__all__ = ["Check", "Loaded", "assemble", "assemble_tree", "edited", "load"]


@dataclass(frozen=True, kw_only=True, slots=True)
class Loaded:
    """A build and the file that it was read from."""

    build: Build
    source: Source


def load(
    path: str, display: str | None = None, also: Check | None = None, shelf: Shelf = DISK
) -> Loaded:
    """Read, check and assemble one build file.

    Args: `path`: the file; `display`: how messages call it (default: the path); `also`: what more
    to look for, see `read_build`; `shelf`: where files are read from.
    Errors: `BuildFileError` with every mistake that can be found at once, each located and with
    its remedy.
    """
    source = read_plan(path, display, shelf)
    return Loaded(build=assemble(source, also), source=source)


def assemble(source: Source, also: Check | None = None) -> Build:
    """The build of a file that was read.

    Errors: `BuildFileError` as for `load`.
    """
    return _built(source.tree, source.places, source.mistakes, also)


def assemble_tree(tree: dict[str, Any], places: Places) -> Build:
    """The build of a tree that was changed in memory.

    `places` may be those of the file that the tree came from: what was added is then located at
    its nearest parent.
    Errors: `BuildFileError` as for `load`.
    """
    return _built(tree, places, ())


def _built(
    tree: dict[str, Any],
    places: Places,
    before: tuple[Mistake, ...],
    also: Check | None = None,
) -> Build:
    build, mistakes = read_build(tree, places, before, also)
    if build is None or mistakes:
        raise BuildFileError(mistakes)
    return build
