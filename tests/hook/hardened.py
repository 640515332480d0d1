"""What is wrong with a workflow of a code host, seen from somebody who sends in a change."""

from __future__ import annotations

import re
from typing import Any, Iterator, Mapping

from ruamel.yaml import YAML

PINNED = re.compile(r"[\w.-]+(?:/[\w.-]+)+@[0-9a-f]{40}")
USES = re.compile(r"^[ -]*uses:[ ]*(\S+)([ ]+# v\d+\.\d+\.\d+)?$", re.M)
"""Each use as it stands in the text, with the version that stands beside the hash."""
DANGEROUS = ("pull_request_target", "workflow_run", "issue_comment")
"""What starts with the rights of the repository, and may be started by a stranger."""
MAY_WRITE = {"id-token", "security-events"}
"""Rights that one job may need; no recipe writes to the repository."""


def read(text: str) -> Mapping[str, Any]:
    """A workflow as plain data. Raises on YAML that is none, or holds a key twice."""
    found = YAML(typ="safe", pure=True).load(text)
    assert isinstance(found, dict)
    return found


def pins(text: str) -> Iterator[tuple[str, str]]:
    """Each use of another's work, and the version written beside it."""
    for found, version in USES.findall(text):
        yield found, version.strip("# ")


def faults(text: str) -> list[str]:
    """All that is wrong; nothing where all is well."""
    flow = read(text)
    found = [f"started by {word}" for word in DANGEROUS if word in flow["on"]]
    if flow.get("permissions") != {"contents": "read"}:
        found.append("rights at the top are not `contents: read` alone")
    if "concurrency" not in flow:
        found.append("no concurrency")
    if "secrets." in text:
        found.append("needs a secret")
    for name, job in flow["jobs"].items():
        found += [f"{name}: {fault}" for fault in _job(job)]
    noted = list(pins(text))
    used = [step["uses"] for job in flow["jobs"].values() for step in _steps(job) if "uses" in step]
    if [use for use, _ in noted] != used:
        found.append("a use is written in a way that hides it")
    found += [f"{use}: not pinned by its hash" for use in used if not PINNED.fullmatch(use)]
    found += [f"{use}: no version beside the hash" for use, version in noted if not version]
    return found


def _steps(job: Mapping[str, Any]) -> list[dict[str, Any]]:
    steps = job.get("steps", [])
    assert isinstance(steps, list)
    return steps


def _job(job: Mapping[str, Any]) -> Iterator[str]:
    if not isinstance(job.get("timeout-minutes"), int):
        yield "no timeout"
    if "uses" in job:
        yield "the whole job is another's"
    steps = _steps(job)
    rights = job.get("permissions", {})
    if not isinstance(rights, dict):
        yield "rights without limit"
        return
    for right, may in rights.items():
        if may == "write" and right not in MAY_WRITE:
            yield f"may write {right}"
    if rights.get("id-token") == "write" and any(
        "run" in step or "checkout" in step["uses"] for step in steps
    ):
        yield "may speak for the repository, and runs something of it"
    for step in steps:
        if "${{" in str(step.get("run", "")):
            yield "puts what others wrote into a script"
        kept = step.get("with", {}).get("persist-credentials")
        if "actions/checkout@" in step.get("uses", "") and kept is not False:
            yield "leaves the token in the checkout"
