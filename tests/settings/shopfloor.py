"""The example shop of these tests, copied to where a test may change it."""

from __future__ import annotations

import shutil
from pathlib import Path

from stovelint.errors import SettingsError
from stovelint.place import Mistake

SHOP = Path(__file__).parent / "shop"
RULES = SHOP / "rules"


def shop(folder: Path) -> Path:
    """A copy of the whole shop in a folder of that name below `folder`."""
    made = folder / "shop"
    shutil.copytree(SHOP, made, ignore=shutil.ignore_patterns("__pycache__"))
    return made


def told(error: SettingsError) -> list[tuple[str, str, str]]:
    """Place, message and remedy of every mistake, in the order of the file."""
    found = [one for one in error.mistakes if isinstance(one, Mistake)]
    assert len(found) == len(error.mistakes)
    return [
        (one.span.label(), one.message, one.remedy) for one in sorted(found, key=Mistake.sort_key)
    ]
