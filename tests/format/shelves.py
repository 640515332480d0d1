"""A shelf of texts in memory, and plain trees written in each format."""

from __future__ import annotations

import json
from typing import Any, Mapping

from stovelint.errors import BuildFileError, SourceError
from stovelint.place import Mistake
from stovelint.source import Source, read_plan
from stovelint.source.root import joined_in_tree


class Memory:
    """Build files by their path from the root."""

    def __init__(self, texts: Mapping[str, str]) -> None:
        self.texts = texts
        self.asked: list[str] = []

    def read(self, path: str) -> bytes:
        self.asked.append(path)
        if path not in self.texts:
            raise SourceError("there is no such file", "check the name and the folder")
        return self.texts[path].encode("utf-8")

    def base_path(self, plan: str, by: str, named: str) -> str:
        return joined_in_tree(by, named)


def read(texts: Mapping[str, str], plan: str) -> Source:
    return read_plan(plan, shelf=Memory(texts))


def refused(texts: Mapping[str, str], plan: str) -> tuple[Mistake, ...]:
    """What is wrong with a plan that cannot be merged."""
    try:
        read(texts, plan)
    except BuildFileError as error:
        return tuple(one for one in error.mistakes if isinstance(one, Mistake))
    raise AssertionError("it was read")


def as_json(tree: Any) -> str:
    return json.dumps(tree, indent=2, ensure_ascii=False)


def as_yaml(tree: dict[str, Any], indent: str = "") -> str:
    """Block maps; all that stands in them as JSON, which YAML takes."""
    text = ""
    for key, value in tree.items():
        if isinstance(value, dict) and value:
            text += f"{indent}{key}:\n{as_yaml(value, indent + '  ')}"
        else:
            text += f"{indent}{key}: {json.dumps(value, ensure_ascii=False)}\n"
    return text


def as_toml(tree: dict[str, Any], table: str = "") -> str:
    """Maps as tables, the empty ones written out; nothing in the tree may be null."""
    text = f"[{table}]\n" if table else ""
    for key, value in tree.items():
        if not isinstance(value, dict):
            text += f"{key} = {json.dumps(value, ensure_ascii=False)}\n"
        elif not value:
            text += f"{key} = {{}}\n"
    for key, value in tree.items():
        if isinstance(value, dict) and value:
            text += as_toml(value, f"{table}.{key}" if table else key)
    return text
