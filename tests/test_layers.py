"""Floors: a module imports only from the floors above its own, as DEVELOPERS.md lists them."""

from __future__ import annotations

import re
import sys
from dataclasses import dataclass
from pathlib import Path
from typing import Iterable, Mapping

import pytest

from tests.imports import Import, imports_of, imports_of_file
from tests.tree import PACKAGE, ROOT, RULES, python_files, shown

RULES_MAY = ("stovelint.rule", "stovelint.quantity")
RULES_MAY_STANDARD = {"__future__", "collections", "dataclasses", "itertools", "math", "typing"}
ROW = re.compile(r"^\| `(\w+)` \|[^|]*\|([^|]*)\|([^|]*)\|$")


@dataclass(frozen=True, kw_only=True)
class Floor:
    height: int
    not_ours: frozenset[str]
    """Floors above that it must not know all the same."""
    foreign: frozenset[str]
    """Top-level modules from outside the standard library that it may import."""


def _words(cell: str) -> frozenset[str]:
    return frozenset(re.findall(r"`([\w.]+)`", cell))


def read_floors(text: str) -> dict[str, Floor]:
    """The table of DEVELOPERS.md, top floor first."""
    start = text.index("| floor |")
    table = text[start : text.index("\n\n", start)].splitlines()[2:]
    floors: dict[str, Floor] = {}
    for line in table:
        row = ROW.match(line)
        assert row is not None, f"DEVELOPERS.md: this row of the floors is not as the rest: {line}"
        floors[row[1]] = Floor(
            height=len(floors), not_ours=_words(row[2]), foreign=_words(row[3])
        )
    return floors


FLOORS = read_floors((ROOT / "DEVELOPERS.md").read_text(encoding="utf-8"))


def floor_of(module: str) -> str | None:
    """`stovelint.heat.layers` -> `heat`; the bare package has no floor."""
    parts = module.split(".")
    return parts[1] if len(parts) > 1 else None


def targets(one: Import) -> Iterable[str]:
    """Modules of ours that an import reaches; `from stovelint import x` reaches floor x."""
    if one.module == "stovelint" and one.names:
        for name in one.names:
            if name != "__version__":
                yield f"stovelint.{name}"
    elif one.module.split(".")[0] == "stovelint":
        yield one.module


def upward(here: str, imports: Iterable[Import], floors: Mapping[str, Floor]) -> list[str]:
    """What is wrong with the imports of one module that lives on floor `here`."""
    mine = floors[here]
    wrong: list[str] = []
    for one in imports:
        if one.module.startswith("."):
            wrong.append(f"line {one.line}: write the import in full, from stovelint")
        for target in targets(one):
            there = floor_of(target)
            if there == here or there is None:
                continue
            if there not in floors:
                wrong.append(f"line {one.line}: {target} stands on no floor")
            elif floors[there].height > mine.height:
                wrong.append(f"line {one.line}: {here} is above {there} and must not import it")
            elif there in mine.not_ours:
                wrong.append(f"line {one.line}: {here} must not know {there}")
    return wrong


MODULES = [p for p in python_files(PACKAGE) if p not in (PACKAGE / "__init__.py",)]


@pytest.mark.parametrize("path", MODULES, ids=shown)
def test_no_module_imports_upward(path: Path) -> None:
    relative = path.relative_to(PACKAGE)
    here = "cli" if relative.name == "__main__.py" else relative.parts[0].removesuffix(".py")
    assert here in FLOORS, f"{shown(path)} stands on no floor of DEVELOPERS.md"
    assert upward(here, imports_of_file(path), FLOORS) == []


def test_the_package_itself_imports_nothing_of_ours() -> None:
    found = imports_of_file(PACKAGE / "__init__.py")
    assert [one for one in found if list(targets(one))] == []


@pytest.mark.parametrize("path", MODULES, ids=shown)
def test_only_named_libraries_are_imported(path: Path) -> None:
    here = path.relative_to(PACKAGE).parts[0].removesuffix(".py")
    foreign = {
        top
        for one in imports_of_file(path)
        if (top := one.module.split(".")[0]) not in sys.stdlib_module_names
        and top not in ("stovelint", "")
    }
    allowed = FLOORS["cli" if here == "__main__" else here].foreign
    assert foreign <= allowed, f"{shown(path)} imports {sorted(foreign - allowed)}"


@pytest.mark.parametrize("path", sorted(RULES.glob("*/*.py")), ids=shown)
def test_rules_import_only_the_contract(path: Path) -> None:
    for one in imports_of_file(path):
        ours = any(one.module == name or one.module.startswith(f"{name}.") for name in RULES_MAY)
        standard = one.module.split(".")[0] in RULES_MAY_STANDARD
        assert ours or standard, f"{shown(path)}:{one.line} imports {one.module}"


def test_every_floor_exists() -> None:
    built = {p.relative_to(PACKAGE).parts[0].removesuffix(".py") for p in MODULES}
    assert set(FLOORS) == built - {"__main__"}


SKETCH = {
    "top": Floor(height=0, not_ours=frozenset(), foreign=frozenset()),
    "middle": Floor(height=1, not_ours=frozenset(), foreign=frozenset()),
    "low": Floor(height=2, not_ours=frozenset({"top"}), foreign=frozenset()),
}


@pytest.mark.parametrize(
    ("here", "text", "fault"),
    [
        ("middle", "from stovelint.top import x", None),
        ("middle", "from stovelint.middle.part import x", None),
        ("middle", "from stovelint import __version__", None),
        ("middle", "from stovelint.low import x", "must not import"),
        ("middle", "def f():\n    import stovelint.low.part", "must not import"),
        ("middle", "from stovelint import low", "must not import"),
        ("middle", "import importlib\nimportlib.import_module('stovelint.low')", "must not import"),
        ("middle", "from .part import x", "in full"),
        ("middle", "from stovelint.cellar import x", "on no floor"),
        ("low", "from stovelint.middle import x", None),
        ("low", "from stovelint.top import x", "must not know"),
    ],
)
def test_the_check_sees_upward_imports(here: str, text: str, fault: str | None) -> None:
    found = upward(here, imports_of(text), SKETCH)
    assert (fault is None and found == []) or (fault is not None and fault in "".join(found))
