"""TOML text -> tree and places."""

from __future__ import annotations

import tomli

from stovelint.errors import BuildFileError
from stovelint.place import Places
from stovelint.source import Source
from stovelint.source.record import LazyEntries
from stovelint.source.text import refuse


def parse(text: str, file: str, *, bom: bool = False) -> Source:
    """Tree of one TOML text; only the file as a whole has a place.

    Raises:
        BuildFileError: the text is not TOML; located.
    """
    try:
        tree = tomli.loads(text)
    except tomli.TOMLDecodeError as error:
        wrong = refuse(file, text, error.pos, f"this is not TOML: {error.msg}", "mend the line")
        raise BuildFileError((wrong,)) from None
    except RecursionError:
        wrong = refuse(file, text, 0, "things are nested too deep", "take brackets out")
        raise BuildFileError((wrong,)) from None
    whole = (None, None, (0, 0, 0), (0, 0, 0))
    return Source(
        file=file, text=text, bom=bom, tree=tree, places=Places(entries=LazyEntries(file, {(): whole}))
    )
