"""What is built is what is in the tree, and the wheel reviews a plan as the checkout does."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import tomllib
import zipfile
from pathlib import Path

import pytest

from tests.tree import DEMO, PACKAGE, ROOT, RULES, SCHEMAS

BUILT_FROM = ("stovelint", "rules", "schemas")
LEFT_OUT = shutil.ignore_patterns("__pycache__", "*.egg-info")


def settings() -> dict[str, object]:
    text = (ROOT / "pyproject.toml").read_text(encoding="utf-8")
    found = tomllib.loads(text)["tool"]["setuptools"]
    assert isinstance(found, dict)
    return found


def test_every_sub_package_is_listed() -> None:
    tree = {
        ".".join(p.parent.relative_to(ROOT).parts)
        for p in PACKAGE.rglob("__init__.py")
        if "__pycache__" not in p.parts
    }
    assert settings()["packages"] == sorted(tree | {"stovelint.rules", "stovelint.schemas"})


def test_no_python_file_lies_outside_a_package() -> None:
    for path in PACKAGE.rglob("*.py"):
        assert (path.parent / "__init__.py").exists(), path.relative_to(ROOT)


def shipped_tree() -> set[str]:
    """Names that the wheel must hold: every file of the three folders."""
    inside = {"stovelint": "stovelint", "rules": "stovelint/rules", "schemas": "stovelint/schemas"}
    names = set()
    for folder in BUILT_FROM:
        for path in (ROOT / folder).rglob("*"):
            if path.is_file() and "__pycache__" not in path.parts:
                names.add(f"{inside[folder]}/{path.relative_to(ROOT / folder).as_posix()}")
    return names


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The wheel, built from a copy so that the tree stays as it is, without a registry."""
    copy = tmp_path_factory.mktemp("copy")
    for folder in BUILT_FROM:
        shutil.copytree(ROOT / folder, copy / folder, ignore=LEFT_OUT)
    for name in ("pyproject.toml", "README.md", "LICENSE"):
        shutil.copy(ROOT / name, copy / name)
    build = [sys.executable, "-m", "pip", "--disable-pip-version-check", "wheel", "--quiet"]
    subprocess.run(
        [*build, "--no-deps", "--no-build-isolation", "--wheel-dir", str(copy / "out"), str(copy)],
        check=True,
        env={**os.environ, "PYTHONWARNINGS": "default"},
    )
    (built,) = (copy / "out").glob("*.whl")
    return built


def test_the_wheel_holds_the_tree(wheel: Path) -> None:
    with zipfile.ZipFile(wheel) as archive:
        held = {name for name in archive.namelist() if ".dist-info/" not in name}
    assert held == shipped_tree()


def test_the_wheel_carries_licence_and_typing_mark(wheel: Path) -> None:
    with zipfile.ZipFile(wheel) as archive:
        names = archive.namelist()
        (metadata,) = (n for n in names if n.endswith(".dist-info/METADATA"))
        text = archive.read(metadata).decode("utf-8")
    assert "License-Expression: MIT\n" in text
    assert any(n.endswith("/LICENSE") for n in names)
    assert "stovelint/py.typed" in names


def run_review(
    work: Path, library: Path | None, name: str = DEMO, *options: str
) -> subprocess.CompletedProcess[bytes]:
    """Review a plan from `work`, with the package in `library` or as installed."""
    plan = work / name
    plan.parent.mkdir(parents=True)
    shutil.copy(ROOT / name, plan)
    env = {k: v for k, v in os.environ.items() if k != "PYTHONPATH"}
    if library is not None:
        env["PYTHONPATH"] = str(library)
    return subprocess.run(
        [sys.executable, "-m", "stovelint", "review", name, *options],
        cwd=work,
        env=env,
        capture_output=True,
        check=False,
    )


def test_the_wheel_behaves_like_the_checkout(wheel: Path, tmp_path: Path) -> None:
    library = tmp_path / "library"
    with zipfile.ZipFile(wheel) as archive:
        archive.extractall(library)
    from_wheel = run_review(tmp_path / "a", library)
    from_tree = run_review(tmp_path / "b", None)
    assert from_wheel.stderr == from_tree.stderr == b""
    assert from_wheel.returncode == from_tree.returncode == 1
    assert from_wheel.stdout == from_tree.stdout
    # The first run must really have used the wheel.
    where = subprocess.run(
        [sys.executable, "-c", "import stovelint.rules as r; print(r.__file__)"],
        cwd=tmp_path,
        env={**os.environ, "PYTHONPATH": str(library)},
        capture_output=True,
        text=True,
        check=True,
    )
    assert Path(where.stdout.strip()).is_relative_to(library)


def test_the_wheel_writes_the_same_json(wheel: Path, tmp_path: Path) -> None:
    library = tmp_path / "library"
    with zipfile.ZipFile(wheel) as archive:
        archive.extractall(library)
    assert (library / "stovelint" / "schemas" / "report-1.json").read_bytes() == (
        SCHEMAS / "report-1.json"
    ).read_bytes()
    small = "rules/cap-insulation/fails/bare-concrete.heater.yaml"
    from_wheel = run_review(tmp_path / "a", library, small, "--as", "json")
    from_tree = run_review(tmp_path / "b", None, small, "--as", "json")
    assert from_wheel.stderr == from_tree.stderr == b""
    assert from_wheel.returncode == from_tree.returncode == 1
    assert from_wheel.stdout == from_tree.stdout and b'"cap-insulation"' in from_tree.stdout


def test_the_data_folders_are_packages() -> None:
    assert (RULES / "__init__.py").exists() and (SCHEMAS / "__init__.py").exists()
