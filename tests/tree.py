"""Where the checkout and its pieces are, for the tests that look at the project itself."""

from __future__ import annotations

from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
PACKAGE = ROOT / "stovelint"
RULES = ROOT / "rules"
SCHEMAS = ROOT / "schemas"
DEMO = "fixtures/plans/ferry-house.heater.yaml"


def python_files(folder: Path) -> list[Path]:
    """All Python files under `folder`, sorted."""
    return sorted(p for p in folder.rglob("*.py") if "__pycache__" not in p.parts)


def shown(path: Path) -> str:
    """The path as a person in the checkout would write it."""
    return path.relative_to(ROOT).as_posix()
