"""What a Python file imports, read from its text; also inside functions and TYPE_CHECKING."""

from __future__ import annotations

import ast
from dataclasses import dataclass
from pathlib import Path
from typing import Iterator


@dataclass(frozen=True, kw_only=True)
class Import:
    line: int
    module: str
    names: tuple[str, ...]
    """Names taken from the module; empty for a plain `import`."""


def imports_of(text: str) -> Iterator[Import]:
    """Every import statement, and every module that is imported by a name in quotes."""
    for node in ast.walk(ast.parse(text)):
        if isinstance(node, ast.Import):
            for alias in node.names:
                yield Import(line=node.lineno, module=alias.name, names=())
        elif isinstance(node, ast.ImportFrom):
            module = "." * node.level + (node.module or "")
            names = tuple(alias.name for alias in node.names)
            yield Import(line=node.lineno, module=module, names=names)
        elif isinstance(node, ast.Call) and node.args:
            called = node.func
            name = called.attr if isinstance(called, ast.Attribute) else getattr(called, "id", "")
            first = node.args[0]
            if name in ("import_module", "__import__") and isinstance(first, ast.Constant):
                yield Import(line=node.lineno, module=str(first.value), names=())


def imports_of_file(path: Path) -> list[Import]:
    return list(imports_of(path.read_text(encoding="utf-8")))
