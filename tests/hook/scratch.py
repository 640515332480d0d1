"""Scratch repositories, and the real framework run in them with nobody's own settings."""

from __future__ import annotations

import os
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path
from typing import Mapping

from tests.tree import ROOT

PERSON = {
    "GIT_AUTHOR_NAME": "A Builder",
    "GIT_AUTHOR_EMAIL": "builder@example.invalid",
    "GIT_COMMITTER_NAME": "A Builder",
    "GIT_COMMITTER_EMAIL": "builder@example.invalid",
}
OURS_ALONE = ("GIT_", "PRE_COMMIT", "XDG_", "PYTHON", "VIRTUAL_ENV", "STOVELINT", "SKIP")
"""Variables that whoever runs the tests may have set, by how they start."""
FRAMEWORK = (sys.executable, "-m", "pre_commit")
CONFIG = ".pre-commit-config.yaml"


def own_environment(home: Path) -> Mapping[str, str]:
    """An environment in which nobody has settings; what pip was told by the caller stays."""
    home.mkdir(parents=True, exist_ok=True)
    (home / "gitconfig").write_text("[init]\n\tdefaultBranch = main\n", encoding="utf-8")
    kept = {key: value for key, value in os.environ.items() if not key.startswith(OURS_ALONE)}
    return {
        **kept,
        **PERSON,
        "HOME": str(home),
        "GIT_CONFIG_GLOBAL": str(home / "gitconfig"),
        "GIT_CONFIG_NOSYSTEM": "1",
        "PRE_COMMIT_HOME": str(home / "hooks"),
        "PIP_CACHE_DIR": str(home / "pip"),
        "PRE_COMMIT_COLOR": "never",
        "LC_ALL": "C.UTF-8",
    }


@dataclass(frozen=True, kw_only=True, slots=True)
class Done:
    """What a command said, both streams together, and how it ended."""

    status: int
    said: str


@dataclass(frozen=True, kw_only=True, slots=True)
class Scratch:
    """One git repository of a design shop."""

    folder: Path
    environment: Mapping[str, str]

    def run(self, *words: str | Path) -> Done:
        """Run a command in the repository."""
        done = subprocess.run(
            [str(word) for word in words],
            cwd=self.folder,
            env=dict(self.environment),
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            text=True,
            encoding="utf-8",
            check=False,
        )
        return Done(status=done.returncode, said=done.stdout)

    def must(self, *words: str | Path) -> str:
        """What a command says that has to go well."""
        done = self.run(*words)
        assert done.status == 0, f"{words}: {done.said}"
        return done.said

    def hooks(self, *words: str | Path) -> Done:
        """Run the framework."""
        return self.run(*FRAMEWORK, *words)

    def write(self, name: str, content: bytes) -> None:
        """Put a file into the working tree."""
        path = self.folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(content)

    def stage(self, name: str, content: bytes) -> None:
        """Put a file into the working tree and into the next commit."""
        self.write(name, content)
        self.must("git", "add", "--", name)

    def commit(self) -> Done:
        """Try to commit what is staged; a hook may refuse."""
        return self.run("git", "commit", "--quiet", "--message", "Change a plan")

    @property
    def commits(self) -> int:
        """How many commits the branch holds."""
        return int(self.must("git", "rev-list", "--count", "HEAD"))

    def clean(self) -> None:
        """Back to the last commit, with nothing else lying about."""
        self.must("git", "reset", "--quiet", "--hard")
        self.must("git", "clean", "--quiet", "-ffdx")


def scratch(folder: Path, environment: Mapping[str, str]) -> Scratch:
    """A new repository without a commit."""
    folder.mkdir(parents=True)
    made = Scratch(folder=folder, environment=environment)
    made.must("git", "init", "--quiet")
    return made


def checkout_as_repository(folder: Path, environment: Mapping[str, str]) -> str:
    """Commit the checkout as it lies there, changes and all, to a repository in `folder`.

    The checkout may be a copy without git, and its own repository is not touched.

    Returns the hash of the commit.
    """
    made = scratch(folder, environment)
    made.must("git", f"--work-tree={ROOT}", "add", "--all")
    made.must("git", f"--work-tree={ROOT}", "commit", "--quiet", "--message", "As it lies there")
    made.must("git", "reset", "--quiet", "--hard")
    return made.must("git", "rev-parse", "HEAD").strip()


def config(source: Path | str, revision: str, *hooks: str) -> bytes:
    """What a shop writes to use some of our hooks; each of `hooks` is a line of flow YAML."""
    lines = ["repos:", f"- repo: {source}", f"  rev: {revision}", "  hooks:"]
    return "".join(f"{line}\n" for line in [*lines, *(f"  - {hook}" for hook in hooks)]).encode()

