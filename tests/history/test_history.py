"""What is read of an older revision, and how each thing that cannot be read is refused."""

from __future__ import annotations

import os
import subprocess
from pathlib import Path

import pytest

from stovelint.errors import SourceError, UsageError
from stovelint.history import Revision, open_repository, open_revision
from stovelint.history.git import environment, git
from tests.history.scratch import Scratch

MOST = 1024 * 1024 + 1


def opened(scratch: Scratch, given: str = "HEAD") -> Revision:
    return open_revision(open_repository(str(scratch.root)), given)


def refused(folder: Path, given: str = "HEAD") -> UsageError:
    with pytest.raises(UsageError) as caught:
        open_revision(open_repository(str(folder)), given)
    assert caught.value.message.startswith("--since") and caught.value.remedy
    assert "\n" not in str(caught.value)
    return caught.value


@pytest.fixture
def scratch(tmp_path: Path) -> Scratch:
    made = Scratch(tmp_path / "shop")
    made.commit({"plans/kiln.heater.yaml": "title: one\n", "b\u00f6 x;y\n.txt": "odd name"})
    return made


# -- reading ------------------------------------------------------------------------------------


def test_an_older_file_is_read_whatever_lies_on_the_disk(scratch: Scratch) -> None:
    first = scratch.git("rev-parse", "HEAD")
    scratch.commit({"plans/kiln.heater.yaml": "title: two\n"})
    scratch.write("plans/kiln.heater.yaml", "title: three\n")
    now, before = opened(scratch), opened(scratch, first)
    name = "plans/kiln.heater.yaml"
    assert (now.read(name, MOST), before.read(name, MOST)) == (b"title: two\n", b"title: one\n")
    assert now.same(name, b"title: two\n") and not now.same(name, b"title: one\n")
    assert not now.same("plans/none.heater.yaml", b"") and before.commit == first


def test_odd_names_come_whole(scratch: Scratch) -> None:
    assert opened(scratch).read("b\u00f6 x;y\n.txt", MOST) == b"odd name"
    if os.name == "posix":
        raw = os.fsencode(scratch.root) + b"/caf\xe9.heater.yaml"
        with open(raw, "wb") as handle:
            handle.write(b"title: latin\n")
        scratch.commit()
        assert opened(scratch).read(os.fsdecode(b"caf\xe9.heater.yaml"), MOST) == b"title: latin\n"


@pytest.mark.parametrize("given", ["HEAD~1", "v1", "main^", "HEAD^{/first}"])
def test_any_way_to_name_a_commit(scratch: Scratch, given: str) -> None:
    first = scratch.commit({"a": "1"}, "first change")
    scratch.git("tag", "-a", "v1", "-m", "a tag that is an object of its own")
    scratch.commit({"a": "2"})
    assert opened(scratch, given).commit == first


def test_no_more_of_a_large_file_is_read_than_asked_for(scratch: Scratch) -> None:
    scratch.commit({"large": b"x" * (3 * MOST)})
    assert opened(scratch).read("large", MOST) == b"x" * MOST


def test_the_other_hash_of_git_serves_as_well(tmp_path: Path) -> None:
    made = Scratch(tmp_path / "long", "--object-format=sha256")
    made.commit({"a": "text"})
    found = opened(made)
    assert len(found.commit) == 64 and found.same("a", b"text") and not found.same("a", b"tex")
    assert found.read("a", MOST) == b"text"


def test_a_linked_work_tree_is_one(scratch: Scratch, tmp_path: Path) -> None:
    scratch.git("worktree", "add", "-q", str(tmp_path / "linked"))
    found = open_repository(str(tmp_path / "linked" / "plans"))
    assert found.root == str(tmp_path / "linked")
    assert found.inside(str(tmp_path / "linked/plans/kiln.heater.yaml")) == "plans/kiln.heater.yaml"


def test_index_and_work_tree_are_left_alone(scratch: Scratch) -> None:
    index = scratch.root / ".git" / "index"
    os.utime(scratch.root / "plans/kiln.heater.yaml", (1, 1))  # so that git would refresh it

    def seen() -> tuple[bytes, int, list[str]]:
        return (index.read_bytes(), index.stat().st_mtime_ns, sorted(os.listdir(index.parent)))

    before = seen()
    opened(scratch).read("plans/kiln.heater.yaml", MOST)
    assert before == seen()


def test_a_variable_of_a_hook_does_not_lead_elsewhere(
    scratch: Scratch, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    other = Scratch(tmp_path / "other")
    other.commit({"plans/kiln.heater.yaml": "title: elsewhere\n"})
    monkeypatch.setenv("GIT_DIR", str(other.root / ".git"))
    monkeypatch.setenv("GIT_WORK_TREE", str(other.root))
    trace = tmp_path / "trace"
    monkeypatch.setenv("GIT_TRACE", str(trace))
    assert opened(scratch).read("plans/kiln.heater.yaml", MOST) == b"title: one\n"
    assert not trace.exists() and "GIT_DIR" not in environment()


# -- what cannot be read ------------------------------------------------------------------------


def test_a_file_that_was_not_there(scratch: Scratch) -> None:
    with pytest.raises(SourceError, match="no such file in HEAD"):
        opened(scratch).read("plans/none.heater.yaml", MOST)


def test_a_link_is_not_followed_out(scratch: Scratch, tmp_path: Path) -> None:
    secret = tmp_path / "secret.heater.yaml"
    secret.write_text("title: secret\n", encoding="utf-8")
    (scratch.root / "link.heater.yaml").symlink_to(secret)
    (scratch.root / "out").symlink_to(tmp_path)
    scratch.commit()
    found = opened(scratch)
    with pytest.raises(SourceError, match="links are not followed"):
        found.read("link.heater.yaml", MOST)
    with pytest.raises(SourceError, match="no such file"):
        found.read("out/secret.heater.yaml", MOST)
    assert not found.same("link.heater.yaml", os.fsencode(secret))


def test_a_submodule_has_a_history_of_its_own(scratch: Scratch, tmp_path: Path) -> None:
    kits = Scratch(tmp_path / "kits")
    kits.commit({"core.heater.yaml": "title: kit\n"})
    allowed = ("-c", "protocol.file.allow=always")
    scratch.git(*allowed, "submodule", "add", "-q", str(kits.root), "kits")
    scratch.commit()
    found = opened(scratch)
    assert found.submodule("kits/core.heater.yaml") == "kits"
    with pytest.raises(SourceError, match="submodule kits"):
        found.read("kits/core.heater.yaml", MOST)
    with pytest.raises(SourceError, match="no file"):
        found.read("kits", MOST)


def test_files_that_look_like_a_repository_are_none(scratch: Scratch, tmp_path: Path) -> None:
    evil = Scratch(tmp_path / "evil")
    evil.commit({"kiln.heater.yaml": "title: worse\n"})
    for path in sorted((evil.root / ".git").rglob("*")):
        name = path.relative_to(evil.root / ".git").as_posix()
        if path.is_file() and name.split("/")[0] in ("HEAD", "objects", "refs"):
            scratch.write(f"plans/{name}", path.read_bytes())
    scratch.write("plans/config", "[core]\n\tbare = false\n\tworktree = .\n")
    scratch.commit({"plans/kiln.heater.yaml": "title: worse\n"})
    found = open_repository(str(scratch.root / "plans"))
    assert found.root == os.path.realpath(scratch.root)
    assert open_revision(found, "HEAD~1").read("plans/kiln.heater.yaml", MOST) == b"title: one\n"
    bare = open_repository(str(scratch.root / "plans/objects"))
    assert bare == found


# -- refusals -----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "given", ["no-such-branch", "-x", "--all", "--upload-pack=x", "HEAD:a", "^"]
)
def test_an_unknown_revision(scratch: Scratch, given: str) -> None:
    error = refused(scratch.root, given)
    assert given in error.message and "check the name" in error.remedy


def test_a_revision_that_is_none(scratch: Scratch) -> None:
    assert "has no revision" in refused(scratch.root, "").message
    assert "null character" in refused(scratch.root, "a\0b").message
    blob = scratch.git("rev-parse", "HEAD:plans/kiln.heater.yaml")
    assert "no such commit" in refused(scratch.root, blob).message


def test_a_tag_is_not_taken_for_a_branch_of_the_same_name(scratch: Scratch) -> None:
    first = scratch.git("rev-parse", "HEAD")
    last = scratch.commit({"a": "1"}, "a contribution")
    scratch.git("branch", "release", first)
    scratch.git("tag", "release", last)
    scratch.git("config", "core.warnAmbiguousRefs", "false")
    error = refused(scratch.root, "release")
    assert "more than one" in error.message and "refs/heads/NAME" in error.remedy
    assert opened(scratch, "refs/heads/release").commit == first
    scratch.git("update-ref", f"refs/heads/{first}", last)
    assert opened(scratch, first).commit == first, "a whole hash is always that commit"


def test_a_shallow_clone_without_it(scratch: Scratch, tmp_path: Path) -> None:
    first = scratch.git("rev-parse", "HEAD")
    scratch.commit({"a": "1"})
    scratch.git("clone", "-q", "--depth", "1", f"file://{scratch.root}", str(tmp_path / "shallow"))
    error = refused(tmp_path / "shallow", first)
    assert "only the last commits" in error.message and "git fetch --unshallow" in error.remedy


def test_before_the_first_commit(tmp_path: Path) -> None:
    error = refused(Scratch(tmp_path / "unborn").root)
    assert "no commit yet" in error.message and "commit first" in error.remedy


def test_without_a_repository(tmp_path: Path) -> None:
    assert "no git repository holds the plans" in refused(tmp_path).message


def test_a_bare_repository(tmp_path: Path) -> None:
    bare = Scratch(tmp_path / "bare", "--bare")
    error = refused(bare.root)
    assert "a bare one" in error.message and "clone" in error.remedy


def test_a_repository_of_somebody_else(
    scratch: Scratch, monkeypatch: pytest.MonkeyPatch
) -> None:
    # git's own switch for testing just this: it takes the repository for another user's.
    monkeypatch.setattr(
        "stovelint.history.git.SET", {"GIT_TEST_ASSUME_DIFFERENT_OWNER": "1", "LC_ALL": "C"}
    )
    error = refused(scratch.root)
    assert "another user" in error.message and "safe.directory" in error.remedy


def test_git_is_not_there(scratch: Scratch, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PATH", str(scratch.root))
    error = refused(scratch.root)
    assert "git is not installed" in error.message


def test_a_git_that_cannot_run(
    scratch: Scratch, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "bin").mkdir()
    broken = tmp_path / "bin" / "git"
    broken.write_bytes(b"\x7fnothing")
    broken.chmod(0o755)
    monkeypatch.setenv("PATH", str(tmp_path / "bin"))
    assert "cannot be started" in refused(scratch.root).message


def test_a_damaged_repository(scratch: Scratch) -> None:
    tree = scratch.git("rev-parse", "HEAD^{tree}")
    (scratch.root / ".git" / "objects" / tree[:2] / tree[2:]).unlink()
    error = refused(scratch.root)
    assert "cannot list" in error.message and "git fsck" in error.remedy


def test_a_plan_outside_of_the_repository(scratch: Scratch, tmp_path: Path) -> None:
    found = open_repository(str(scratch.root))
    outside = tmp_path / "shop-two.heater.yaml"
    for path in (outside, scratch.root):
        with pytest.raises(UsageError, match="lies outside"):
            found.inside(str(path))


# -- a repository that was made to do harm ------------------------------------------------------


def test_nothing_that_a_repository_configures_is_run(scratch: Scratch, tmp_path: Path) -> None:
    mark = tmp_path / "it-ran"
    trap = tmp_path / "trap"
    trap.write_text(f"#!/bin/sh\ntouch '{mark}'\ncat\n", encoding="utf-8")
    trap.chmod(0o755)
    scratch.commit({
        ".gitattributes": "* filter=trap diff=trap text=auto\n",
        "gone.heater.yaml": "title: gone\n",
    })  # fmt: skip
    for name, value in (
        ("core.fsmonitor", str(trap)), ("core.pager", str(trap)), ("pager.ls-tree", str(trap)),
        ("pager.cat-file", str(trap)), ("core.sshCommand", str(trap)), ("diff.external", str(trap)),
        ("diff.trap.textconv", str(trap)), ("diff.trap.command", str(trap)),
        ("filter.trap.clean", str(trap)), ("filter.trap.smudge", str(trap)),
        ("filter.trap.process", str(trap)), ("core.hooksPath", str(tmp_path)),
        ("alias.ls-tree", f"!{trap}"), ("core.editor", str(trap)), ("core.askPass", str(trap)),
        ("credential.helper", str(trap)), ("gpg.program", str(trap)),
    ):  # fmt: skip
        scratch.git("config", name, value)
    for hook in ("post-index-change", "post-checkout", "reference-transaction"):
        path = scratch.root / ".git" / "hooks" / hook
        path.parent.mkdir(exist_ok=True)
        path.write_bytes(trap.read_bytes())
        path.chmod(0o755)
    scratch.write("plans/kiln.heater.yaml", "title: changed\n")
    mark.unlink(missing_ok=True)
    assert opened(scratch).read("gone.heater.yaml", MOST) == b"title: gone\n"
    assert not mark.exists()
    # The trap is one: what a person would type here springs it.
    subprocess.run(["git", "diff", "HEAD"], cwd=scratch.root, capture_output=True)
    assert mark.exists()


def test_what_is_missing_is_not_fetched(scratch: Scratch, tmp_path: Path) -> None:
    """A partial clone fetches what it lacks by whatever program its remote names."""
    mark = tmp_path / "it-ran"
    trap = tmp_path / "trap"
    trap.write_text(f"#!/bin/sh\ntouch '{mark}'\n", encoding="utf-8")
    trap.chmod(0o755)
    blob = scratch.git("rev-parse", "HEAD:plans/kiln.heater.yaml")
    (scratch.root / ".git" / "objects" / blob[:2] / blob[2:]).unlink()
    scratch.git("config", "core.repositoryFormatVersion", "1")
    scratch.git("config", "extensions.partialClone", "far")
    scratch.git("config", "remote.far.promisor", "true")
    scratch.git("config", "remote.far.url", f"ext::{trap}")
    scratch.git("config", "protocol.ext.allow", "always")
    found = opened(scratch)
    with pytest.raises(SourceError, match="does not hold its content"):
        found.read("plans/kiln.heater.yaml", MOST)
    assert not mark.exists()
    subprocess.run(
        ["git", "cat-file", "blob", blob], cwd=scratch.root, capture_output=True
    )
    assert mark.exists()


def test_a_replacement_is_not_taken_for_what_was_committed(scratch: Scratch) -> None:
    blob = scratch.git("rev-parse", "HEAD:plans/kiln.heater.yaml")
    scratch.write("other", "title: forged\n")
    forged = scratch.git("hash-object", "-w", "other")
    scratch.git("replace", blob, forged)
    assert scratch.git("cat-file", "blob", blob) == "title: forged"
    assert opened(scratch).read("plans/kiln.heater.yaml", MOST) == b"title: one\n"


def test_the_whole_output_is_read(scratch: Scratch) -> None:
    assert git(str(scratch.root), "cat-file", "-t", "HEAD").out == b"commit\n"
