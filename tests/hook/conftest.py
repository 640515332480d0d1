"""One repository of hooks and one of a shop for all tests: their environment is built once."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Iterator, Mapping

import pytest

from tests.hook.scratch import (
    CONFIG,
    Scratch,
    checkout_as_repository,
    config,
    own_environment,
    scratch,
)


@dataclass(frozen=True, kw_only=True, slots=True)
class Source:
    """Where the shop gets the hooks from."""

    folder: Path
    revision: str


@pytest.fixture(scope="session")
def environment(tmp_path_factory: pytest.TempPathFactory) -> Mapping[str, str]:
    return own_environment(tmp_path_factory.mktemp("home"))


@pytest.fixture(scope="session")
def source(environment: Mapping[str, str], tmp_path_factory: pytest.TempPathFactory) -> Source:
    folder = tmp_path_factory.mktemp("source") / "hooks"
    return Source(folder=folder, revision=checkout_as_repository(folder, environment))


@pytest.fixture(scope="session")
def furnished(
    environment: Mapping[str, str], source: Source, tmp_path_factory: pytest.TempPathFactory
) -> Scratch:
    made = scratch(tmp_path_factory.mktemp("shop") / "plans", environment)
    made.stage(CONFIG, config(source.folder, source.revision, "id: stovelint"))
    made.must("git", "commit", "--quiet", "--message", "Begin")
    kinds = ("pre-commit", "pre-merge-commit", "pre-push")
    done = made.hooks("install", "--install-hooks", *(f"--hook-type={kind}" for kind in kinds))
    assert done.status == 0, done.said
    return made


@pytest.fixture
def shop(furnished: Scratch) -> Iterator[Scratch]:
    """The shop with nothing but its configuration, whatever the test before has left."""
    first = furnished.must("git", "rev-list", "--max-parents=0", "HEAD").strip()
    yield furnished
    furnished.must("git", "checkout", "--quiet", "--force", "main")
    furnished.must("git", "reset", "--quiet", "--hard", first)
    furnished.must("git", "clean", "--quiet", "-ffdx")
