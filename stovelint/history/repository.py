"""Which repository a plan lies in, and which commit a revision names."""

from __future__ import annotations

import os
from dataclasses import dataclass

from stovelint.errors import UsageError
from stovelint.history.git import git, lines

WITHOUT = "review without --since"
MARK = ".git"


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

    def within_another(self) -> str:
        """Root of the work tree around this one, as around a submodule; empty: there is none."""
        return _around(os.path.dirname(self.root))

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
            self.root, "rev-parse", "--verify", "--end-of-options", f"{revision}^{{commit}}"
        )
        found = done.out.decode("ascii", "replace").strip()
        if done.status == 0 and found and set(found) <= set("0123456789abcdef"):
            if "is ambiguous" in done.said and found != revision:
                # git would take a tag before a branch, and a tag may come with a contribution.
                raise UsageError(
                    f"{here}: more than one branch or tag bears that name",
                    "say which is meant: `refs/heads/NAME` is a branch, `refs/tags/NAME` a tag, "
                    "`refs/remotes/origin/NAME` a branch elsewhere",
                )
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
    done = git(_around(folder) or folder, "rev-parse", "--show-object-format", "--show-toplevel")
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
    if "must be run in a work tree" in said or "safe.bareRepository" in said:
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


def _around(folder: str) -> str:
    """The nearest folder, from this one up, that holds `.git`; empty: there is none.

    git alone would also take a folder that looks like a bare repository, and its files may have
    come with a contribution; that they are called `.git` git itself lets nobody commit.
    """
    ceilings = os.environ.get("GIT_CEILING_DIRECTORIES", "").split(os.pathsep)
    stop = {os.path.realpath(one) for one in ceilings if one}
    here = os.path.realpath(folder)
    while not os.path.lexists(os.path.join(here, MARK)):
        above = os.path.dirname(here)
        if above == here or above in stop:
            return ""
        here = above
    return here
