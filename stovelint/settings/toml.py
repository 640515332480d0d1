"""TOML text -> tree and places, also where it says nothing."""

from __future__ import annotations

from stovelint.place import Path, Places
from stovelint.source import Source, toml
from stovelint.source.record import LazyEntries, Raw


def parse(text: str, file: str, *, bom: bool = False) -> Source:
    """Tree and places of one TOML text; of an empty one an empty tree, so that the schema can say
    what is missing.

    Raises:
        BuildFileError: the text is not TOML; located.

    >>> parse("# nothing yet", "stovelint.toml").tree
    {}
    """
    if any(line.strip() and not line.strip().startswith("#") for line in text.split("\n")):
        return toml.parse(text, file, bom=bom)
    start = (0, 0, 0)
    raw: dict[Path, Raw] = {(): (None, None, start, start)}
    return Source(
        file=file, text=text, bom=bom, tree={}, places=Places(entries=LazyEntries(file, raw))
    )
