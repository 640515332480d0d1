"""Which tests must notice a mistake in which module of the heat floor."""

from __future__ import annotations

from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent.parent
HEAT = "stovelint/heat"
TESTS = "tests/heat"

ALSO: dict[str, tuple[str, ...]] = {
    "bands": ("test_gaspath", "test_hearth"),
    "fuel": ("test_cantera",),
    "passes": ("test_branches",),
    "periodic": ("test_passes",),
    "walls": ("test_branches", "test_channel", "test_passes"),
    "gas": ("test_cantera",),
    "films": ("test_cantera",),
}
"""Test files that a module needs besides the one of its own name; fast ones only."""


def modules() -> list[str]:
    """Every module of the floor that a mutant can be made of."""
    names = (path.stem for path in (ROOT / HEAT).glob("*.py"))
    return sorted(name for name in names if name not in ("__init__", "arrays"))


def suite(module: str) -> list[str]:
    """Paths that pytest is given for a module: its doctests, its own tests, then the others'."""
    files = [f"{HEAT}/{module}.py", f"{TESTS}/test_{module}.py"]
    files += sorted(
        path.relative_to(ROOT).as_posix() for path in (ROOT / TESTS).glob(f"test_{module}_*.py")
    )
    files += [f"{TESTS}/{name}.py" for name in ALSO.get(module, ())]
    return [name for name in dict.fromkeys(files) if (ROOT / name).exists()]
