"""What `.pre-commit-hooks.yaml` offers, read by the framework itself and by us."""

from __future__ import annotations

import re
import shlex
from pathlib import Path
from typing import Any

import pytest
from ruamel.yaml import YAML

from stovelint.cli.arguments import parser
from stovelint.place import PLANS
from tests.hook.scratch import own_environment, scratch
from tests.tree import ROOT

MANIFEST = ROOT / ".pre-commit-hooks.yaml"
OFFERED: list[dict[str, Any]] = YAML(typ="safe").load(MANIFEST.read_text(encoding="utf-8"))
CHANGED, ALL = OFFERED
STAGES = ["pre-commit", "pre-merge-commit", "pre-push", "manual"]


def test_the_framework_takes_the_manifest(tmp_path: Path) -> None:
    shop = scratch(tmp_path / "shop", own_environment(tmp_path / "home"))
    done = shop.hooks("validate-manifest", MANIFEST)
    assert (done.status, done.said) == (0, "")
    shop.write("bad.yaml", MANIFEST.read_bytes().replace(b"entry:", b"entries:", 1))
    assert shop.hooks("validate-manifest", "bad.yaml").status == 1


def test_both_run_at_every_moment_at_which_a_plan_moves_on() -> None:
    assert [hook["id"] for hook in OFFERED] == ["stovelint", "stovelint-all"]
    for hook in OFFERED:
        assert hook["language"] == "python" and hook["require_serial"] is True
        assert hook["stages"] == STAGES and hook["minimum_pre_commit_version"] == "3.2.0"
        assert hook["types_or"] == ["yaml", "toml", "json"]


@pytest.mark.parametrize("ending", PLANS)
@pytest.mark.parametrize("stem", ["kiln", "plans/fh 07", "a.b/\u00f6fen", "--out=x"])
def test_every_plan_starts_both(stem: str, ending: str) -> None:
    assert all(re.search(hook["files"], stem + ending) for hook in OFFERED)


@pytest.mark.parametrize(
    "name",
    ["kiln.heater.yml", "heater.yaml", "kiln.heater.yaml.orig", "kiln.heater.yaml/x.md", "x.json"],
)
def test_nothing_else_starts_any(name: str) -> None:
    assert not any(re.search(hook["files"], name) for hook in OFFERED)


def test_settings_start_only_the_review_of_all() -> None:
    for name in ("stovelint.toml", "shop/stovelint.toml"):
        assert re.search(ALL["files"], name) and not re.search(CHANGED["files"], name)
    assert re.search(ALL["files"], "not-stovelint.toml") is None


def test_what_they_call_can_be_called() -> None:
    for hook, handed in ((CHANGED, ["--since=x.heater.yaml", "b.heater.toml"]), (ALL, [])):
        program, *words = shlex.split(hook["entry"])
        assert program == "stovelint"
        given = parser().parse_args([*words, *hook.get("args", []), *handed])
        assert given.command == "review" and given.paths == (handed or ["."])
    assert ALL["pass_filenames"] is False and "pass_filenames" not in CHANGED


def test_a_shop_may_add_options_to_both() -> None:
    for hook, handed, end in ((CHANGED, ["a.heater.yaml"], ["--"]), (ALL, [], [])):
        _, *words = shlex.split(hook["entry"])
        given = parser().parse_args([*words, "--hold-at", "should", *end, *handed])
        assert given.hold == "should" and given.paths == (handed or ["."])
