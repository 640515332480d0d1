"""Which repository a plan lies in, and which commit a revision names."""

from __future__ import annotations

import os
from dataclasses import dataclass

from stovelint.errors import UsageError
from stovelint.history.git import git, lines

WITHOUT = "review without --since"


@dataclass(frozen=True, kw_only=True, slots=True)
class Repository:
    """A work tree that git keeps."""

    root: str
    """Its folder, without links."""
    object_format: str
    """How git names content: `sha1` or `sha256`."""

    def inside(self, path: str) -> str:
        """Name of a file within the repository, with `/` between folders; links are followed.

        Raises:
            UsageError: it lies outside.
        """
        real = os.path.realpath(path)
        if os.path.commonpath((self.root, real)) != self.root or real == self.root:
            raise UsageError(
                f"--since: {path} lies outside of the repository of other plans of this call",
                f"review those of each repository in a call of their own, or {WITHOUT}",
            )
        return os.path.relpath(real, self.root).replace(os.sep, "/")

    def commit(self, revision: str) -> str:
        """The commit that a revision names: a branch, a tag, a hash, `HEAD~1`.

        Raises:
            UsageError: there is none such, and what to do.
        """
        here = f"--since {revision}"
        if not revision:
            raise UsageError("--since has no revision", "name a commit, a branch or a tag")
        if "\0" in revision:
            raise UsageError("--since: a revision holds no null character", "check its name")
        done = git(
            self.root, "rev-parse", "--verify", "--quiet", "--end-of-options",
            f"{revision}^{{commit}}",
        )  # fmt: skip
        found = done.out.decode("ascii", "replace").strip()
        if done.status == 0 and found and set(found) <= set("0123456789abcdef"):
            return found
        if git(self.root, "rev-parse", "--verify", "--quiet", "HEAD").status:
            raise UsageError(
                f"{here}: this repository has no commit yet", f"commit first, or {WITHOUT}"
            )
        shallow = git(self.root, "rev-parse", "--is-shallow-repository").out.strip() == b"true"
        if shallow:
            raise UsageError(
                f"{here}: this clone holds only the last commits, and not that one",
                "fetch it before the review, with the whole history (`git fetch --unshallow`) or "
                "this commit alone",
            )
        raise UsageError(
            f"{here}: git knows no such commit here",
            "check the name; of a branch elsewhere it is `origin/main` once that was fetched",
        )


def open_repository(folder: str, what: str = "the plans") -> Repository:
    """The repository that a folder lies in.

    Args:
        folder: the folder.
        what: how a message calls what lies there.

    Raises:
        UsageError: there is none, it has no work tree, or git does not trust its owner.
    """
    done = git(folder, "rev-parse", "--show-object-format", "--show-toplevel")
    if done.status == 0:
        kind, _, root = done.out.partition(b"\n")
        named = os.fsdecode(root.removesuffix(b"\n"))
        return Repository(root=os.path.realpath(named), object_format=kind.decode("ascii"))
    said = done.said
    if "dubious ownership" in said or "unsafe repository" in said:
        raise UsageError(
            "--since: the repository belongs to another user, and git does not open it",
            "where you trust it, say so: `git config --global --add safe.directory FOLDER`",
        )
    if "must be run in a work tree" in said:
        raise UsageError(
            "--since compares with the files on disk, and this repository is a bare one",
            "clone it, and review there",
        )
    if "not a git repository" in said:
        raise UsageError(
            f"--since: no git repository holds {what}", f"run it in a clone, or {WITHOUT}"
        )
    raise UsageError(
        f"--since: git cannot read the repository ({lines([said])})", f"mend it, or {WITHOUT}"
    )
