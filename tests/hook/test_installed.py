"""The hook as a shop has it: installed by the real framework, and asked by git itself."""

from __future__ import annotations

import re
from pathlib import Path

from tests.hook.conftest import Source
from tests.hook.scratch import CONFIG, Scratch, config, scratch
from tests.tree import RULES

BAD = (RULES / "cap-insulation" / "fails" / "bare-concrete.heater.yaml").read_bytes()
GOOD = (RULES / "cap-insulation" / "stands" / "castable-cap.heater.yaml").read_bytes()
MISTAKEN = GOOD.replace(b"moisture: 18 %", b"moisture: 18", 1)
AT = 1 + MISTAKEN[: MISTAKEN.index(b"moisture: 18\n")].count(b"\n")
"""Line of the mistake."""
PLAN = "kiln.heater.yaml"
AGREED = b"""variances:
  cap-for-now: {rule: cap-insulation, part: bell-cap, reason: relaid in spring, who: owner}
"""
BUILDER = b"""format: 1
based_on: kit.heater.yaml
title: Boat Shed bakery
parts:
  bell-cap:
    layers: [{material: concrete-normal-siliceous, thickness: 60 mm, pieces: 1000 mm x 1100 mm}]
"""
"""A bare cap where the kit has a good one."""


def test_a_bad_plan_is_refused_and_the_mended_one_passes(shop: Scratch) -> None:
    before = shop.commits
    shop.stage(PLAN, BAD)
    done = shop.commit()
    assert done.status == 1 and shop.commits == before
    assert "- hook id: stovelint\n- exit code: 1\n" in done.said
    assert "outcome: revise\nplan: kiln.heater.yaml\n" in done.said
    place = r"^    at +bell / bell-cap / hot face +kiln\.heater\.yaml:\d+:\d+$"
    assert re.search(place, done.said, re.M)
    shop.stage(PLAN, GOOD)
    done = shop.commit()
    assert done.status == 0, done.said
    assert "Passed" in done.said and shop.commits == before + 1
    assert shop.must("git", "show", f"HEAD:{PLAN}").encode() == GOOD


def test_what_is_staged_counts_and_not_what_lies_there(shop: Scratch) -> None:
    shop.stage(PLAN, GOOD)
    shop.write(PLAN, BAD)
    done = shop.commit()
    assert done.status == 0, done.said
    assert (shop.folder / PLAN).read_bytes() == BAD, "what was not staged must come back"
    shop.must("git", "add", PLAN)
    shop.write(PLAN, GOOD)
    done = shop.commit()
    assert done.status == 1 and "outcome: revise" in done.said
    assert (shop.folder / PLAN).read_bytes() == GOOD


def test_a_mistake_is_refused_with_its_place(shop: Scratch) -> None:
    shop.stage(PLAN, MISTAKEN)
    done = shop.commit()
    assert done.status == 1 and "- exit code: 2\n" in done.said
    assert f"{PLAN}:{AT}:" in done.said and "Traceback" not in done.said


def test_names_of_all_sorts_are_told_as_they_are(shop: Scratch) -> None:
    names = (
        "K\u00fcche und Ofen.heater.yaml",
        "--hold-at=danger.heater.yaml",
        "a;b & 'c'/$(d).heater.yaml",
        "\u7089/\u7089.heater.yaml",
    )
    for name in names:
        shop.stage(name, MISTAKEN)
    done = shop.commit()
    assert done.status == 1 and "- exit code: 2\n" in done.said
    for name in names:
        assert f"{name}:{AT}:" in done.said
    assert f"{len(names)} plans: {len(names)} could not be reviewed\n" in done.said


def test_many_plans_give_one_report_in_the_order_of_their_names(shop: Scratch) -> None:
    names = [f"{number:02}.heater.yaml" for number in range(41)]
    for name in names:
        shop.write(name, MISTAKEN)
    shop.must("git", "add", ".")
    done = shop.commit()
    told = re.findall(r"^(\d\d\.heater\.yaml) +outcome: could not be reviewed$", done.said, re.M)
    assert told == [*names, *names], "each with its mistakes, then the outcomes"
    assert re.findall(r"^(\d+) plans: ", done.said, re.M) == ["41"]


def test_other_files_and_a_deleted_plan_do_not_start_it(shop: Scratch) -> None:
    shop.stage(PLAN, MISTAKEN)
    shop.must("git", "commit", "--quiet", "--no-verify", "--message", "Past the hook")
    shop.stage("notes.yaml", b"x: 1\n")
    done = shop.commit()
    assert done.status == 0 and "(no files to check)Skipped" in done.said
    shop.must("git", "rm", "--quiet", PLAN)
    done = shop.commit()
    assert done.status == 0 and "(no files to check)Skipped" in done.said


def test_a_merge_that_brings_a_bad_plan_is_stopped(shop: Scratch) -> None:
    shop.must("git", "checkout", "--quiet", "-b", "other")
    shop.stage(PLAN, MISTAKEN)
    shop.must("git", "commit", "--quiet", "--no-verify", "--message", "Past the hook")
    shop.must("git", "checkout", "--quiet", "main")
    shop.stage("notes.md", b"x\n")
    assert shop.commit().status == 0
    before = shop.commits
    done = shop.run("git", "merge", "--no-edit", "other")
    assert done.status != 0 and f"{PLAN}:{AT}:" in done.said and shop.commits == before
    shop.must("git", "branch", "--quiet", "-D", "other")


def test_a_push_that_holds_a_bad_plan_is_stopped(shop: Scratch, tmp_path: Path) -> None:
    shared = scratch(tmp_path / "shared", shop.environment)
    shared.must("git", "config", "receive.denyCurrentBranch", "ignore")
    first = shop.must("git", "rev-parse", "HEAD").strip()
    shop.must("git", "push", "--quiet", "--no-verify", shared.folder, "main")
    shop.stage(PLAN, MISTAKEN)
    shop.must("git", "commit", "--quiet", "--no-verify", "--message", "Past the hook")
    done = shop.run("git", "push", shared.folder, "main")
    assert done.status != 0 and f"{PLAN}:{AT}:" in done.said
    assert shared.must("git", "rev-parse", "main").strip() == first


def test_a_changed_base_is_held_for_the_plan_that_rests_on_it(
    shop: Scratch, source: Source
) -> None:
    """The variance that a plan took over is withdrawn; the hook for changed plans sees the base."""
    shop.stage("kit.heater.yaml", GOOD + AGREED)
    shop.stage("bakery.heater.yaml", BUILDER)
    done = shop.commit()
    assert done.status == 0, done.said
    shop.stage(CONFIG, config(source.folder, source.revision, "id: stovelint", "id: stovelint-all"))
    shop.stage("kit.heater.yaml", GOOD)
    done = shop.commit()
    changed, all_of_them = done.said.split("heat review of all plans")
    assert "Passed" in changed and "- hook id: stovelint-all\n" in all_of_them
    told = re.findall(r"^(\w+)\.heater\.yaml +outcome: (\w+)$", all_of_them, re.M)
    assert told == [("bakery", "revise"), ("kit", "clear")] and done.status == 1


def test_settings_start_the_review_of_every_plan(shop: Scratch, source: Source) -> None:
    """A plan that nobody touched may come out otherwise; the hook for changed plans is silent."""
    shop.stage(PLAN, MISTAKEN)
    shop.must("git", "commit", "--quiet", "--no-verify", "--message", "Past the hook")
    both = config(source.folder, source.revision, "id: stovelint", "id: stovelint-all")
    shop.stage(CONFIG, both)
    done = shop.commit()
    assert done.status == 0 and done.said.count("(no files to check)Skipped") == 2
    shop.stage("stovelint.toml", b"format = 1\n")
    done = shop.commit()
    assert done.status == 1 and done.said.count("(no files to check)Skipped") == 1
    assert "- hook id: stovelint-all\n" in done.said and f"{PLAN}:{AT}:" in done.said


def test_a_shop_may_hold_at_more_and_by_hand(shop: Scratch, source: Source) -> None:
    noted = (RULES / "brittle-stone" / "fails" / "uncut-slab.heater.yaml").read_bytes()
    shop.stage(PLAN, noted)
    assert shop.hooks("run", "--hook-stage", "manual").status == 0
    strict = "{id: stovelint, args: [--hold-at, should, --]}"
    shop.stage(CONFIG, config(source.folder, source.revision, strict))
    done = shop.hooks("run", "--hook-stage", "manual")
    assert done.status == 1 and "- exit code: 1\n" in done.said and "outcome: revise" in done.said


def test_what_the_last_commit_already_had_may_pass(shop: Scratch, source: Source) -> None:
    shop.stage(PLAN, BAD)
    new = "{id: stovelint, args: [--since, HEAD, --]}"
    shop.stage(CONFIG, config(source.folder, source.revision, new))
    assert shop.commit().status == 1, "all of it is new in the first commit of a plan"
    shop.must("git", "commit", "--quiet", "--no-verify", "--message", "Past the hook")
    shop.stage(PLAN, b"# relaid in spring\n" + BAD)
    done = shop.commit()
    assert done.status == 0 and "Passed" in done.said
    shop.stage("other.heater.yaml", BAD)
    done = shop.commit()
    assert done.status == 1 and "outcome: revise\nplan: other.heater.yaml\n" in done.said
