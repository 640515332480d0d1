"""The recipes of README.md, as data."""

from __future__ import annotations

import re
from typing import Any, Iterator

from ruamel.yaml import YAML

from tests.tree import ROOT

PAGE = (ROOT / "README.md").read_text(encoding="utf-8")
SECTION = PAGE[PAGE.index("\n## In git and CI\n") : PAGE.index("\n## How hot, and how sure\n")]
FENCED = re.compile(r"^```(\w+)\n(.*?)^```$", re.M | re.S)
QUOTED = re.compile(r"`([^`\n]+(?:\n[^`\n]+)?)`")
CALL = re.compile(r"(?:~/stovelint/bin/)?stovelint (?:review|survey|vouch)\b[^'|>)\n]*")
"""A call of ours up to where the shell takes over."""


def blocks(kind: str) -> list[str]:
    """The fenced texts of one kind, in order."""
    return [text for found, text in FENCED.findall(SECTION) if found == kind]


def data(text: str) -> Any:
    """A recipe as plain data; raises on YAML that is none, or holds a key twice."""
    return YAML(typ="safe", pure=True).load(text)


CONFIG, ACTIONS, GITLAB = blocks("yml")


def calls() -> Iterator[str]:
    """Every call of ours in the section: in a recipe, in a line for a shell, within a sentence."""
    for _, text in FENCED.findall(SECTION):
        yield from CALL.findall(text)
    for quoted in QUOTED.findall(FENCED.sub("", SECTION)):
        yield from CALL.findall(" ".join(quoted.split("\n")))
