"""What may be read for a plan: only what truly lies in its root."""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from stovelint.errors import BuildFileError, SourceError
from stovelint.place import Mistake
from stovelint.source import DISK, read_plan
from stovelint.source.root import joined, joined_in_tree, lies_in, root_of

CORE = "format: 1\ntitle: Kit core\n"


def based_on(named: str) -> str:
    return f"format: 1\nbased_on: {named}\n"


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    """A repository with plans in a folder, and a file beside the repository."""
    root = tmp_path / "shop"
    (root / "plans" / "small").mkdir(parents=True)
    (root / "kits").mkdir()
    (root / ".git").mkdir()
    (root / "kits" / "core.heater.yaml").write_text(CORE, encoding="utf-8")
    (tmp_path / "secret.heater.yaml").write_text("title: secret\n", encoding="utf-8")
    return root


def refused(plan: Path) -> Mistake:
    with pytest.raises(BuildFileError) as caught:
        read_plan(str(plan), plan.name)
    (one,) = caught.value.mistakes
    assert isinstance(one, Mistake)
    return one


def written(file: Path, text: str) -> Path:
    file.write_text(text, encoding="utf-8")
    return file


# -- the root -----------------------------------------------------------------------------------


def test_the_root_is_the_nearest_folder_with_a_mark(shop: Path) -> None:
    plan = str(shop / "plans" / "small" / "box.heater.yaml")
    assert root_of(plan) == os.path.realpath(shop)
    (shop / "plans" / "stovelint.toml").write_text("", encoding="utf-8")
    assert root_of(plan) == os.path.realpath(shop / "plans")
    assert root_of(str(shop / "kits" / "core.heater.yaml")) == os.path.realpath(shop)


def test_a_linked_work_tree_has_a_file_for_its_mark(tmp_path: Path) -> None:
    (tmp_path / "tree" / "plans").mkdir(parents=True)
    written(tmp_path / "tree" / ".git", "gitdir: elsewhere\n")
    plan = str(tmp_path / "tree" / "plans" / "box.heater.yaml")
    assert root_of(plan) == os.path.realpath(tmp_path / "tree")


def test_without_a_mark_the_root_is_the_plan_s_own_folder(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("stovelint.source.root.MARKS", ("no-folder-holds-this",))
    assert root_of(str(tmp_path / "box.heater.yaml")) == os.path.realpath(tmp_path)
    monkeypatch.chdir(tmp_path)
    assert root_of("box.heater.yaml") == os.path.realpath(tmp_path)


def test_a_folder_with_a_longer_name_is_another_folder(tmp_path: Path) -> None:
    (tmp_path / "shop-of-others").mkdir()
    assert not lies_in(str(tmp_path / "shop-of-others" / "a"), str(tmp_path / "shop"))
    assert lies_in(str(tmp_path / "shop" / "a"), str(tmp_path / "shop"))


# -- the disk -----------------------------------------------------------------------------------


def test_a_base_anywhere_in_the_root_is_read(shop: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(shop)
    written(shop / "plans" / "small" / "box.heater.yaml", based_on("../../kits/core.heater.yaml"))
    source = read_plan("plans/small/box.heater.yaml")
    assert source.tree["title"] == "Kit core"
    assert [one.file for one in source.chain] == [
        "plans/small/box.heater.yaml", "kits/core.heater.yaml",
    ]  # fmt: skip
    monkeypatch.chdir(shop / "plans" / "small")
    source = read_plan("box.heater.yaml")
    assert source.chain[1].file == "../../kits/core.heater.yaml"


def test_a_path_out_of_the_root_is_refused(shop: Path) -> None:
    plan = written(shop / "plans" / "box.heater.yaml", based_on("../../secret.heater.yaml"))
    assert refused(plan).message == "the path leads out of the root of the plan"


def test_settings_make_a_smaller_root(shop: Path) -> None:
    plan = written(shop / "plans" / "box.heater.yaml", based_on("../kits/core.heater.yaml"))
    assert read_plan(str(plan)).tree["title"] == "Kit core"
    written(shop / "plans" / "stovelint.toml", "")
    assert "out of the root" in refused(plan).message


@pytest.mark.parametrize("folder", [False, True])
def test_a_link_out_of_the_root_is_refused(shop: Path, folder: bool) -> None:
    if folder:
        (shop / "plans" / "out").symlink_to(shop.parent)
        named = "out/secret.heater.yaml"
    else:
        (shop / "plans" / "core.heater.yaml").symlink_to(shop.parent / "secret.heater.yaml")
        named = "core.heater.yaml"
    one = refused(written(shop / "plans" / "box.heater.yaml", based_on(named)))
    assert one.message == "the path leads out of the root of the plan"
    assert one.span.label() == "box.heater.yaml:2:11" and "secret" not in one.remedy


def test_a_link_within_the_root_is_followed(shop: Path) -> None:
    (shop / "plans" / "core.heater.yaml").symlink_to("../kits/core.heater.yaml")
    plan = written(shop / "plans" / "box.heater.yaml", based_on("core.heater.yaml"))
    assert read_plan(str(plan)).tree["title"] == "Kit core"


def test_links_that_go_round_end(shop: Path) -> None:
    (shop / "plans" / "a.heater.yaml").symlink_to("b.heater.yaml")
    (shop / "plans" / "b.heater.yaml").symlink_to("a.heater.yaml")
    plan = written(shop / "plans" / "box.heater.yaml", based_on("a.heater.yaml"))
    assert refused(plan).message == "`a.heater.yaml`: the file cannot be opened"


def test_a_circle_hidden_by_links_ends_all_the_same(shop: Path) -> None:
    plan = written(shop / "plans" / "box.heater.yaml", based_on("small/box.heater.yaml"))
    (shop / "plans" / "small" / "small").symlink_to(".")
    (shop / "plans" / "small" / "box.heater.yaml").symlink_to("../box.heater.yaml")
    assert "are based on one another" in refused(plan).message


def test_a_base_of_a_base_must_lie_in_the_root_of_the_plan(shop: Path) -> None:
    """Not in a root of its own: a base that only a link brings in must not bring others."""
    outside = shop.parent / "outside"
    outside.mkdir()
    written(shop.parent / "stovelint.toml", "")  # by itself, what lies outside has a larger root
    (outside / "core.heater.yaml").symlink_to(shop / "kits" / "core.heater.yaml")
    written(outside / "secret.heater.yaml", "title: secret\n")
    (shop / "plans" / "out").symlink_to(outside)
    written(shop / "kits" / "core.heater.yaml", based_on("secret.heater.yaml"))
    plan = written(shop / "plans" / "box.heater.yaml", based_on("out/core.heater.yaml"))
    assert "out of the root" in refused(plan).message


def test_dots_after_a_linked_folder_mean_what_the_disk_takes_them_for(
    shop: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "desk").symlink_to(shop / "plans")
    written(shop / "plans" / "box.heater.yaml", based_on("../kits/core.heater.yaml"))
    monkeypatch.chdir(tmp_path)
    source = read_plan("desk/box.heater.yaml")
    assert source.tree["title"] == "Kit core"
    assert source.chain[1].path == "desk/../kits/core.heater.yaml"


def test_a_plan_that_is_a_link_out_of_its_root_is_refused(shop: Path) -> None:
    plan = shop / "plans" / "box.heater.yaml"
    plan.symlink_to(shop.parent / "secret.heater.yaml")
    one = refused(plan)
    assert one.message == "a link in its place leads out of its root"
    assert (one.path, one.span.label()) == ((), "box.heater.yaml:1:1")
    plan.unlink()
    plan.symlink_to("../kits/core.heater.yaml")
    assert read_plan(str(plan)).tree["title"] == "Kit core"


def test_a_pipe_is_not_waited_for(shop: Path) -> None:
    os.mkfifo(shop / "plans" / "core.heater.yaml")
    assert refused(shop / "plans" / "core.heater.yaml").message == "this is no plain file"
    plan = written(shop / "plans" / "box.heater.yaml", based_on("core.heater.yaml"))
    assert refused(plan).message == "`core.heater.yaml`: this is no plain file"


def test_a_folder_is_no_base(shop: Path) -> None:
    (shop / "plans" / "core.heater.yaml").mkdir()
    plan = written(shop / "plans" / "box.heater.yaml", based_on("core.heater.yaml"))
    assert refused(plan).message == "`core.heater.yaml`: this is a folder, not a file"


STEPS = st.lists(
    st.sampled_from(["..", ".", "", "out", "round", "plans", "kits", "small", "shop", "gone"]),
    max_size=7,
)
LASTS = st.sampled_from(["core.heater.yaml", "secret.heater.yaml", "linked.heater.yaml"])


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=300)
@given(STEPS, LASTS)
def test_no_path_at_all_leads_out(shop: Path, steps: list[str], last: str) -> None:
    """The referee follows all links to the end and compares folders, not texts."""
    for link, target in (
        (shop / "plans" / "out", shop.parent),
        (shop / "plans" / "round", shop / "plans"),
        (shop / "plans" / "linked.heater.yaml", shop.parent / "secret.heater.yaml"),
    ):
        if not link.is_symlink():
            link.symlink_to(target)
    plan = str(shop / "plans" / "box.heater.yaml")
    meant = (shop / "plans" / "/".join([*steps, last]).lstrip("/")).resolve()
    try:
        path = DISK.base_path(plan, plan, "/".join([*steps, last]))
    except SourceError:
        assert shop.resolve() not in meant.parents or steps[:1] == [""]
    else:
        assert Path(path).resolve() == meant and shop.resolve() in meant.parents


@given(st.text(max_size=20))
def test_any_text_is_a_path_or_is_refused(text: str) -> None:
    for named in (text, f"{text}.heater.yaml"):
        try:
            assert joined_in_tree("a/b.heater.yaml", named).endswith(".heater.yaml")
        except SourceError as fault:
            assert fault.message and fault.remedy


# -- paths as text ------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("by", "named", "path"),
    [
        ("box.heater.yaml", "core.heater.yaml", "core.heater.yaml"),
        ("./box.heater.yaml", "./core.heater.toml", "core.heater.toml"),
        ("a/b/box.heater.yaml", "../c/./core.heater.json", "a/c/core.heater.json"),
        ("box.heater.yaml", "../core.heater.yaml", "../core.heater.yaml"),
        ("/shop/box.heater.yaml", "kits//core.heater.yaml", "/shop/kits/core.heater.yaml"),
        ("box.heater.yaml", "caf\u00e9 2/core.heater.yaml", "caf\u00e9 2/core.heater.yaml"),
    ],
)
def test_a_name_counts_from_the_file_that_says_it(by: str, named: str, path: str) -> None:
    assert joined(by, named) == path


def test_in_a_tree_nothing_leads_above_its_root() -> None:
    assert joined_in_tree("a/box.heater.yaml", "../core.heater.yaml") == "core.heater.yaml"
    for named in ("../../core.heater.yaml", "../b/../../core.heater.yaml"):
        with pytest.raises(SourceError, match="leads out"):
            joined_in_tree("a/box.heater.yaml", named)


def test_the_disk_says_why_it_has_no_base() -> None:
    with pytest.raises(SourceError, match="absolute"):
        DISK.base_path("box.heater.yaml", "box.heater.yaml", "/core.heater.yaml")
