"""How a code host's runner reads the log of a job, written from its rules and not from our writer.

- Each line of standard output and of standard error is looked at; a line ends with a line feed, a
  carriage return or both.
- After blanks at its beginning are taken away, a line that starts with `::` is a command: a name,
  then perhaps a blank and properties parted by commas, then `::`, then its data.
- Otherwise `##[name ...]data` is one, anywhere in the line.
- `%0D`, `%0A` and `%25` stand for letters in data; in properties `%3A` and `%2C` do as well.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Mapping

LETTERS = {"%0D": "\r", "%0A": "\n", "%25": "%"}
IN_PROPERTIES = {**LETTERS, "%3A": ":", "%2C": ","}


@dataclass(frozen=True, kw_only=True)
class Command:
    name: str
    properties: Mapping[str, str]
    data: str


def commands(log: str) -> list[Command]:
    """All commands that a runner would carry out."""
    return [one for line in re.split("\r\n|\r|\n", log) if (one := _command(line)) is not None]


def _command(line: str) -> Command | None:
    line = line.lstrip()
    if line.startswith("::"):
        head, parted, data = line[2:].partition("::")
        if parted:
            return _made(head, data)
    start = line.find("##[")
    if start >= 0 and "]" in line[start:]:
        head, _, data = line[start + 3 :].partition("]")
        return _made(head, data)
    return None


def _made(head: str, data: str) -> Command:
    name, _, rest = head.partition(" ")
    pairs = [pair.partition("=") for pair in rest.split(",") if pair]
    return Command(
        name=name,
        properties={key.strip(): _decoded(value, IN_PROPERTIES) for key, _, value in pairs},
        data=_decoded(data, LETTERS),
    )


def _decoded(text: str, letters: Mapping[str, str]) -> str:
    return re.sub("|".join(letters), lambda found: letters[found[0]], text)
