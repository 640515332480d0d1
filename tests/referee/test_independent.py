"""The referee shares nothing with the package: no import, no data file, only numpy and readers."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.imports import imports_of

HERE = Path(__file__).parent
SOURCES = sorted(path for path in HERE.glob("*.py") if not path.name.startswith("test_"))
MAY = ("__future__", "dataclasses", "fractions", "functools", "math", "numpy", "pathlib", "re",
       "ruamel", "tests.referee", "tomli", "typing")  # fmt: skip


def foreign(text: str) -> list[str]:
    """Modules that a referee's file may not import."""
    return [
        one.module for one in imports_of(text)
        if not any(one.module == name or one.module.startswith(f"{name}.") for name in MAY)
    ]  # fmt: skip


@pytest.mark.parametrize("path", SOURCES, ids=lambda path: str(path.name))
def test_the_referee_stands_alone(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    assert foreign(text) == []
    assert "stovelint" not in text, f"{path.name} reaches for the package"


@pytest.mark.parametrize(
    "text",
    ["import stovelint", "def f():\n    from stovelint.heat import films",
     "import tests.heat.close",
     "import importlib\nimportlib.import_module('stovelint.heat.gas')"],
)  # fmt: skip
def test_the_check_sees_what_it_looks_for(text: str) -> None:
    assert foreign(text)
