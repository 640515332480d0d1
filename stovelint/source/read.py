"""Read a build file and hand it to the parser of its format."""

from __future__ import annotations

from dataclasses import replace

from stovelint.errors import BuildFileError, SourceError
from stovelint.source.formats import parse_text
from stovelint.source.record import Source
from stovelint.source.shelf import DISK, Shelf
from stovelint.source.text import decode, refuse


def read_plan(path_text: str, display_name: str | None = None, shelf: Shelf = DISK) -> Source:
    """Read one build file, and all that it is based on, into a tree and the places of everything
    in it.

    Args: `path_text`: the file; `display_name`: how messages shall call it (default: the path
    with forward slashes); `shelf`: where files are read from.
    Errors: `BuildFileError` when a file cannot be opened or cannot be read in its format; what
    does not stop the reading is left in `Source.mistakes`.

    >>> read_plan("no-such-place/kiln.heater.yaml")
    Traceback (most recent call last):
    ...
    stovelint.errors.BuildFileError: 1 mistakes in the build file
    """
    file = path_text.replace("\\", "/") if display_name is None else display_name
    try:
        data = shelf.read(path_text)
    except SourceError as fault:
        mistake = refuse(file, "", 0, fault.message, fault.remedy)
        raise BuildFileError((mistake,)) from None
    source = read_one(data, file, path_text)
    if "based_on" not in source.tree:
        return source
    from stovelint.source.based_on import on_bases

    return on_bases(source, shelf)


def read_one(data: bytes, file: str, path: str) -> Source:
    """The tree and the places of one file by itself.

    Args: `data`: its content; `file`: how messages call it; `path`: from where it was read.
    Errors: `BuildFileError` when there is no tree to go on with.
    """
    text, bom = decode(data, file)
    return replace(parse_text(path, text, file, bom=bom), path=path, data=data)
