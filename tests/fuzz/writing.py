"""Trees as text in the three formats, and back: what tests need that do not type plans by hand.

The TOML here is written in more than one way on purpose, by `style`: with tables and lists of
tables, with dotted keys, or with everything in braces.
"""

from __future__ import annotations

import json
import re
from typing import Any

BARE = re.compile(r"[A-Za-z0-9_-]+")
STYLES = ("tables", "dotted", "inline")


def as_json(tree: object, indent: int | None = 1, *, ascii_only: bool = True) -> str:
    return json.dumps(tree, indent=indent, ensure_ascii=ascii_only) + "\n"


def as_yaml(tree: object) -> str:
    """JSON is YAML, as long as no tab and no escape beyond those of YAML stands in it."""
    return json.dumps(tree, indent=1, ensure_ascii=False) + "\n"


def key(text: str) -> str:
    return text if BARE.fullmatch(text) else value(text)


def value(node: Any) -> str:
    """A value on one line."""
    if isinstance(node, bool):
        return "true" if node else "false"
    if isinstance(node, str):
        return json.dumps(node, ensure_ascii=False).replace("\x7f", "\\u007f")
    if isinstance(node, dict):
        inner = ", ".join(f"{key(name)} = {value(held)}" for name, held in node.items())
        return "{" + inner + "}"
    if isinstance(node, list):
        return "[" + ", ".join(map(value, node)) + "]"
    if node is None:
        return '""'  # TOML has no word for nothing
    return repr(node)


def as_toml(tree: dict[str, Any], style: str = "tables") -> str:
    """A TOML text that says the same."""
    lines: list[str] = []
    if style == "inline":
        lines = [f"{key(name)} = {value(node)}" for name, node in tree.items()]
    else:
        _table(lines, (), tree, dotted=style == "dotted")
    return "\n".join(lines) + "\n"


def _table(lines: list[str], path: tuple[str, ...], tree: dict[str, Any], *, dotted: bool) -> None:
    later = []
    for name, node in tree.items():
        if dotted and isinstance(node, dict) and node:
            _dotted(lines, (name,), node)
        elif isinstance(node, dict) or _records(node):
            later.append((name, node))
        else:
            lines.append(f"{key(name)} = {value(node)}")
    for name, node in later:
        here = (*path, name)
        header = ".".join(map(key, here))
        for one in node if isinstance(node, list) else [node]:
            lines.append(f"\n[[{header}]]" if isinstance(node, list) else f"\n[{header}]")
            _table(lines, here, one, dotted=dotted)


def _dotted(lines: list[str], path: tuple[str, ...], tree: dict[str, Any]) -> None:
    for name, node in tree.items():
        here = (*path, name)
        if isinstance(node, dict) and node:
            _dotted(lines, here, node)
        else:
            lines.append(f"{'.'.join(map(key, here))} = {value(node)}")


def _records(node: Any) -> bool:
    return isinstance(node, list) and bool(node) and all(isinstance(one, dict) for one in node)
