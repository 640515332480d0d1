"""Calling git so that what a checkout configures cannot run a program."""

from __future__ import annotations

import os
import subprocess
from dataclasses import dataclass
from typing import Mapping, Sequence

from stovelint.errors import UsageError

# A repository that somebody hands over may name programs in its own configuration.
HARMLESS = (
    "--no-pager", "--no-replace-objects", "-c", "core.fsmonitor=false",
    "-c", "core.hooksPath=/dev/null", "-c", "diff.external=", "-c", "protocol.allow=never",
    # Plain files of a checkout may look like a bare repository, with a history of its own making.
    "-c", "safe.bareRepository=explicit", "-c", "core.warnAmbiguousRefs=true",
)  # fmt: skip
KEPT = ("GIT_CEILING_DIRECTORIES", "GIT_DISCOVERY_ACROSS_FILESYSTEM", "GIT_CONFIG_GLOBAL",
        "GIT_CONFIG_NOSYSTEM", "GIT_CONFIG_SYSTEM")  # fmt: skip
"""Of what the caller's environment tells git; the rest may point to another repository, as it does
within a hook, or write traces."""
SET: Mapping[str, str] = {
    "LC_ALL": "C",
    "GIT_OPTIONAL_LOCKS": "0",
    "GIT_TERMINAL_PROMPT": "0",
    "GIT_ALLOW_PROTOCOL": "none",  # an object that is not there must not be fetched
    "GIT_NO_LAZY_FETCH": "1",
}


@dataclass(frozen=True, kw_only=True, slots=True)
class Done:
    """What one call of git gave."""

    status: int
    out: bytes
    said: str


def git(folder: str, *words: str, most: int | None = None) -> Done:
    """Call git in a folder.

    Args:
        folder: where it runs.
        words: its command, with options and arguments.
        most: bytes of its output that are read; None: all.

    Raises:
        UsageError: it is not there, or cannot be started.
    """
    call = ["git", "-C", folder, *HARMLESS, *words]
    try:
        process = subprocess.Popen(
            call, stdin=subprocess.DEVNULL, stdout=subprocess.PIPE,
            stderr=subprocess.PIPE if most is None else subprocess.DEVNULL, env=environment(),
        )  # fmt: skip
    except FileNotFoundError:
        raise UsageError(
            "--since asks git, and git is not installed", "install it, or leave --since away"
        ) from None
    except (OSError, ValueError) as fault:
        said = fault.strerror if isinstance(fault, OSError) else str(fault)
        raise UsageError(
            f"--since asks git, and it cannot be started ({said})", "check that `git` runs here"
        ) from None
    with process:
        if most is None:
            out, said_bytes = process.communicate()
            return Done(
                status=process.returncode, out=out, said=said_bytes.decode("utf-8", "replace")
            )
        assert process.stdout is not None
        out = process.stdout.read(most)
        if len(out) == most:
            process.kill()
            process.wait()
            return Done(status=0, out=out, said="")
        return Done(status=process.wait(), out=out, said="")


def environment() -> dict[str, str]:
    """The caller's environment without what it tells git, but for where to look, and with ours."""
    kept = {
        name: value
        for name, value in os.environ.items()
        if not name.startswith("GIT_") or name in KEPT
    }
    return {**kept, **SET}


def lines(words: Sequence[str]) -> str:
    """Several short texts as one line.

    >>> lines(["fatal: no such\\n", "thing"])
    'fatal: no such thing'
    """
    return " ".join(" ".join(words).split())
