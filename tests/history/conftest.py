"""No test here meets the configuration of this machine, nor a repository around the folder."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.history.scratch import ALONE


@pytest.fixture(autouse=True)
def alone(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    for name, value in ALONE.items():
        monkeypatch.setenv(name, value)
    monkeypatch.setenv("GIT_CEILING_DIRECTORIES", str(tmp_path.parent))
