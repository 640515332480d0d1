"""Open a build file and hand it to the parser of its format."""

from __future__ import annotations

from stovelint.errors import BuildFileError
from stovelint.source import yaml
from stovelint.source.record import Source
from stovelint.source.text import MAX_BYTES, decode, refuse


def read_plan(path_text: str, display_name: str | None = None) -> Source:
    """Read one build file into a tree and the places of everything in it.

    Args: `path_text`: the file; `display_name`: how messages shall call it (default: the path
    with forward slashes).
    Errors: `BuildFileError` when the file cannot be opened or is no YAML; what does not stop
    the reading is left in `Source.mistakes`.

    >>> read_plan("no-such-place/kiln.heater.yaml")
    Traceback (most recent call last):
    ...
    stovelint.errors.BuildFileError: 1 mistakes in the build file
    """
    file = path_text.replace("\\", "/") if display_name is None else display_name
    try:
        with open(path_text, "rb") as handle:
            data = handle.read(MAX_BYTES + 1)
    except (OSError, ValueError) as fault:
        message, remedy = _why_not_opened(fault)
        raise BuildFileError((refuse(file, "", 0, message, remedy),)) from None
    text, bom = decode(data, file)
    return yaml.parse(text, file, bom=bom)


def _why_not_opened(fault: OSError | ValueError) -> tuple[str, str]:
    if isinstance(fault, FileNotFoundError):
        return "there is no such file", "check the name and the folder"
    if isinstance(fault, IsADirectoryError):
        return "this is a folder, not a file", "name the build file in it"
    if isinstance(fault, PermissionError):
        return "the file may not be read", "check its permissions"
    return "the file cannot be opened", "check the name and the disk"
