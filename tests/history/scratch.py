"""Small repositories for the tests, made with git as it comes, whatever is configured here."""

from __future__ import annotations

import os
import subprocess
from pathlib import Path
from typing import Mapping

ALONE: Mapping[str, str] = {
    "GIT_CONFIG_GLOBAL": "/dev/null",
    "GIT_CONFIG_NOSYSTEM": "1",
    "GIT_AUTHOR_NAME": "A Builder",
    "GIT_AUTHOR_EMAIL": "builder@example.invalid",
    "GIT_AUTHOR_DATE": "2026-01-01T00:00:00Z",
    "GIT_COMMITTER_NAME": "A Builder",
    "GIT_COMMITTER_EMAIL": "builder@example.invalid",
    "GIT_COMMITTER_DATE": "2026-01-01T00:00:00Z",
}


class Scratch:
    """One repository with a work tree."""

    def __init__(self, root: Path, *options: str) -> None:
        root.mkdir(parents=True, exist_ok=True)
        self.root = root
        self.git("init", "-q", "-b", "main", *options)

    def git(self, *words: str) -> str:
        """Call git as a person would; fails where git does."""
        kept = {name: value for name, value in os.environ.items() if not name.startswith("GIT_")}
        done = subprocess.run(
            ["git", *words], cwd=self.root, env={**kept, **ALONE}, check=True,
            stdin=subprocess.DEVNULL, capture_output=True,
        )  # fmt: skip
        return done.stdout.decode("utf-8", "replace").strip()

    def write(self, name: str, text: str | bytes) -> Path:
        """Put a file into the work tree."""
        path = self.root / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(text.encode("utf-8") if isinstance(text, str) else text)
        return path

    def commit(self, files: Mapping[str, str | bytes] = {}, message: str = "as it is") -> str:
        """Write files, commit all that is there, and name the commit."""
        for name, text in files.items():
            self.write(name, text)
        self.git("add", "-A")
        self.git("commit", "-q", "--allow-empty", "-m", message)
        return self.git("rev-parse", "HEAD")
