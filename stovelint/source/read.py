"""Read a build file and hand it to the parser of its format."""

from __future__ import annotations

from stovelint.errors import BuildFileError, SourceError
from stovelint.source import yaml
from stovelint.source.record import Source
from stovelint.source.shelf import DISK, Shelf
from stovelint.source.text import decode, refuse


def read_plan(path_text: str, display_name: str | None = None, shelf: Shelf = DISK) -> Source:
    """Read one build file into a tree and the places of everything in it.

    Args: `path_text`: the file; `display_name`: how messages shall call it (default: the path
    with forward slashes); `shelf`: where it is read from.
    Errors: `BuildFileError` when the file cannot be opened or is no YAML; what does not stop
    the reading is left in `Source.mistakes`.

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
    text, bom = decode(data, file)
    return yaml.parse(text, file, bom=bom)
