"""The example plan and damaged copies of it."""

from __future__ import annotations

from pathlib import Path

from stovelint.assemble import assemble
from stovelint.errors import BuildFileError
from stovelint.place import Mistake
from stovelint.source.yaml import parse

EXAMPLE = Path(__file__).parent / "example.heater.yaml"
TEXT = EXAMPLE.read_text(encoding="utf-8")


def swapped(*changes: tuple[str, str]) -> str:
    """The example with each `old` (which must stand there once) replaced by its `new`."""
    text = TEXT
    for old, new in changes:
        assert text.count(old) == 1, f"{text.count(old)} times in the example: {old}"
        text = text.replace(old, new)
    return text


def mistakes_of(text: str) -> tuple[Mistake, ...]:
    """What is wrong with a plan; nothing when it assembles."""
    try:
        assemble(parse(text, "plan"))
    except BuildFileError as error:
        found = error.mistakes
        assert found and all(isinstance(one, Mistake) for one in found)
        return tuple(one for one in found if isinstance(one, Mistake))
    return ()


def at(text: str, mistake: Mistake) -> str:
    """The text that a mistake points at."""
    return text[mistake.span.start.offset : mistake.span.end.offset]
