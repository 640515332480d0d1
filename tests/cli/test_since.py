"""`review --since REV`: a contribution against what stood there before."""

from __future__ import annotations

import json
import os
import shutil
from pathlib import Path
from typing import Any, Callable, Iterator

import pytest

from stovelint.cli import main
from stovelint.cli.older import since as since_module
from tests.history.scratch import ALONE, Scratch
from tests.report.plans import BARE, CLEAR, SURROUNDED
from tests.tree import ROOT, RULES

Said = pytest.CaptureFixture[str]
Json = dict[str, Any]
NEAR = RULES / "combustible-clearance" / "fails" / "near-a-thin-wall.heater.yaml"
VARIANCE = """
variances:
  cap: {rule: cap-insulation, part: bell-cap, reason: relaid in spring, who: owner}
"""
BASED = "based_on: ../kits/core.heater.yaml\ntitle: Signal Box studio\n"


def bare() -> str:
    return BARE.read_text(encoding="utf-8")


def near(distance: str = "4 in") -> str:
    text = NEAR.read_text(encoding="utf-8")
    assert text.count("distance: 4 in") == 1
    return text.replace("distance: 4 in", f"distance: {distance}")


def lit(charge: str) -> str:
    text = bare()
    assert text.count("charge: 8 kg") == 1
    return text.replace("charge: 8 kg", f"charge: {charge}")


@pytest.fixture(scope="module")
def kept(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Answers of these tests, so that no plan is computed twice."""
    return tmp_path_factory.mktemp("kept")


@pytest.fixture(autouse=True)
def alone(monkeypatch: pytest.MonkeyPatch, kept: Path, tmp_path: Path) -> None:
    monkeypatch.setenv("GIT_CEILING_DIRECTORIES", str(tmp_path))
    monkeypatch.setenv("XDG_CACHE_HOME", str(kept))
    for name, value in ALONE.items():
        monkeypatch.setenv(name, value)


@pytest.fixture
def shop(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Scratch]:
    """A repository with one plan of every kind; the command runs in its root."""
    made = Scratch(tmp_path / "shop")
    made.commit({
        "plans/bare.heater.yaml": bare(), "plans/clear.heater.yaml": CLEAR.read_bytes(),
        "plans/near.heater.yaml": near(),
    })  # fmt: skip
    monkeypatch.chdir(made.root)
    yield made


def document(said: Said, *arguments: str, status: int | None = None, since: str = "HEAD") -> Json:
    found = main(["review", *arguments, "--since", since, "--as", "json"])
    made: Json = json.loads(said.readouterr().out)
    assert found == made["status"] and (status is None or found == status)
    return made


def plan(said: Said, *arguments: str, status: int | None = None) -> Json:
    (one,) = document(said, *arguments, status=status)["plans"]
    assert isinstance(one, dict)
    return one


def standings(one: Json) -> dict[str, str]:
    return {found["rule"]: found["standing"] for found in one["findings"]}


def never(*_: object, **__: object) -> Any:
    raise AssertionError("the older plan was computed")


# -- new, worse, unchanged, gone ----------------------------------------------------------------


def test_what_stood_there_holds_nothing_and_is_not_computed_again(
    shop: Scratch, capsys: Said, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(since_module, "_old", never)
    made = document(capsys, "plans", status=0)
    assert made["since"] == "HEAD" and made["outcomes"] == {
        "clear": 1, "as noted": 2, "revise": 0, "could not be reviewed": 0,
    }  # fmt: skip
    first, clear, last = made["plans"]
    assert (standings(first), standings(clear)) == ({"cap-insulation": "unchanged"}, {})
    assert standings(last) == {"combustible-clearance": "unchanged"}
    assert first["file_before"] == first["file"] == "plans/bare.heater.yaml"


def test_a_new_finding_holds_and_a_cured_one_is_gone(shop: Scratch, capsys: Said) -> None:
    shop.write("plans/clear.heater.yaml", bare())
    shop.write("plans/bare.heater.yaml", "# above\n" + CLEAR.read_text(encoding="utf-8"))
    cured, broken, _ = document(capsys, "plans", status=1)["plans"]
    assert (cured["outcome"], cured["findings"], len(cured["gone"])) == ("clear", [], 1)
    (gone,) = cured["gone"]
    assert (gone["rule"], gone["standing"]) == ("cap-insulation", None)
    assert gone["place"]["path"] == "plans/bare.heater.yaml"
    assert (broken["outcome"], standings(broken)) == ("revise", {"cap-insulation": "new"})


def test_a_wall_moved_nearer_is_worse(shop: Scratch, capsys: Said) -> None:
    shop.write("plans/near.heater.yaml", near("50 mm"))
    one = plan(capsys, "plans/near.heater.yaml", status=1)
    assert standings(one) == {"combustible-clearance": "worse"} and one["weakened"] == []
    assert one["findings"][0]["before"] == {"level": "error", "accepted_by": None}


def test_a_wall_moved_off_is_told_and_holds_nothing(shop: Scratch, capsys: Said) -> None:
    """It is what the review of the older plan asks for."""
    shop.write("plans/near.heater.yaml", near("40 in"))
    one = plan(capsys, "plans/near.heater.yaml", status=0)
    (weaker,) = one["weakened"]
    assert (one["findings"], weaker["stakes"], weaker["level"]) == ([], "danger", "note")
    assert weaker["what"] == "stud-wall stood 102 mm off, and stands 1.02 m off"
    assert weaker["place"]["pointer"] == "/surroundings/stud-wall/distance"


def test_a_fire_made_milder_and_a_variance(shop: Scratch, capsys: Said) -> None:
    shop.write("plans/bare.heater.yaml", lit("7 kg") + VARIANCE)
    assert main(["review", "plans/bare.heater.yaml", "--since", "HEAD"]) == 1
    text = capsys.readouterr().out
    assert "compared with HEAD: 1 unchanged, 2 weaker claims\n" in text
    assert " 1  weaker claim                               should change   (danger)\n" in text
    assert "at        firing / usual / charge" in text and "at        variances / cap" in text
    assert "unchanged since HEAD; this holds nothing here\n 3  cap insulation, accepted: " in text
    assert "Outcome revise: two items should change, one unchanged." in text
    assert max(map(len, text.splitlines())) <= 100


def test_what_is_new_stands_before_what_is_not(shop: Scratch, capsys: Said) -> None:
    both = bare() + SURROUNDED
    shop.write("plans/bare.heater.yaml", both)
    assert main(["review", "plans/bare.heater.yaml", "--since", "HEAD"]) == 1
    text = capsys.readouterr().out
    new, folded = text.split("\nunchanged since HEAD; this holds nothing here\n")
    assert " 1  combustible clearance                      must change, new   (danger" in new
    assert " 2  cap insulation, must change: bell / bell-cap / hot face" in folded
    assert "    do        1/2 in soluble fibre" in folded and "CON-175" not in folded
    # What was fine before the wall came is fine still, in any case.
    shop.commit()
    shop.write("plans/bare.heater.yaml", bare())
    assert main(["review", "plans/bare.heater.yaml", "--since", "HEAD"]) == 1
    text = capsys.readouterr().out
    assert "\ngone since HEAD, with places as they were there\n    combustible clearance" in text
    assert "stud-wall stood 90 mm off (back), and is not in the plan any more" in text


def test_the_usual_hold_is_not_the_only_one(shop: Scratch, capsys: Said) -> None:
    text = bare().replace("jurisdiction: IRC-2021\n", "") + SURROUNDED
    shop.commit({"plans/bare.heater.yaml": text})
    shop.write("plans/bare.heater.yaml", f"# {text}")
    one = plan(capsys, "plans/bare.heater.yaml", "--hold-at", "consider", status=0)
    assert {asked["standing"] for asked in one["not_judged"]} == {"unchanged"}


# -- which plan it was --------------------------------------------------------------------------


def test_a_plan_that_was_moved_and_edited_is_the_same(shop: Scratch, capsys: Said) -> None:
    (shop.root / "plans/near.heater.yaml").unlink()
    shop.write("homes/wall.heater.yaml", "# moved\n" + near())
    made = document(capsys, "homes", status=0)
    (one,) = made["plans"]
    assert one["file_before"] == "plans/near.heater.yaml"
    assert standings(one) == {"combustible-clearance": "unchanged"}


def test_a_plan_that_git_does_not_know_is_all_new(shop: Scratch, capsys: Said) -> None:
    shop.write("plans/other.heater.yaml", bare() + VARIANCE)
    one = plan(capsys, "plans/other.heater.yaml")
    assert (one["file_before"], one["not_compared"]) == (None, None)
    assert standings(one) == {"cap-insulation": "new"} and len(one["weakened"]) == 1
    assert main(["review", "plans/other.heater.yaml", "--since", "HEAD"]) == 0
    assert "compared with HEAD: the plan was not there, so all of it is new\n" in (
        capsys.readouterr().out
    )


def test_a_plan_that_is_gone_is_told_and_no_error(shop: Scratch, capsys: Said) -> None:
    (shop.root / "plans/near.heater.yaml").unlink()
    assert main(["review", "plans", "--since", "HEAD"]) == 0
    assert capsys.readouterr().err == (
        "stovelint: no more there since HEAD: plans/near.heater.yaml; see to it that this "
        "was meant\n"
    )
    (notice,) = document(capsys, "plans", status=0)["notices"]
    assert notice["message"] == "no more there since HEAD: plans/near.heater.yaml"
    capsys.readouterr()
    assert main(["review", "plans/bare.heater.yaml", "--since", "HEAD"]) == 0
    assert capsys.readouterr().err == "", "nobody asked for the others"


def test_a_name_that_is_gone_drives_nothing(shop: Scratch, capsys: Said) -> None:
    odd = shop.write("plans/x\n::error::y \x1b[31m.heater.yaml", bare())
    shop.commit()
    odd.unlink()
    assert main(["review", "plans", "--since", "HEAD"]) == 0
    assert capsys.readouterr().err == (
        "stovelint: no more there since HEAD: plans/x\\n::error::y \\x1b[31m.heater.yaml; "
        "see to it that this was meant\n"
    )


def test_a_link_in_the_place_of_a_plan_hides_nothing(shop: Scratch, capsys: Said) -> None:
    clear = shop.root / "plans/clear.heater.yaml"
    clear.unlink()
    clear.symlink_to("bare.heater.yaml")
    one = plan(capsys, "plans/clear.heater.yaml", status=1)
    assert standings(one) == {"cap-insulation": "new"}, "of this heater it is"
    assert main(["review", "plans", "--since", "HEAD"]) == 0
    assert capsys.readouterr().err == (
        "stovelint: no more there since HEAD: plans/clear.heater.yaml; see to it that this was meant\n"
    )


@pytest.mark.parametrize("put", ["folder", "link to a folder", "link above"])
def test_a_plan_in_whose_place_is_none_is_gone(
    shop: Scratch, capsys: Said, put: str
) -> None:
    clear = shop.root / "plans/old/clear.heater.yaml"
    shop.commit({"plans/old/clear.heater.yaml": CLEAR.read_bytes()})
    clear.unlink()
    if put == "link above":
        clear.parent.rmdir()
        clear.parent.symlink_to("../.elsewhere")
        shop.write(".elsewhere/clear.heater.yaml", bare())
    elif put == "folder":
        shop.write("plans/old/clear.heater.yaml/text", "")
    else:
        clear.symlink_to("..")
    assert main(["review", "plans", "--since", "HEAD"]) == 0
    assert capsys.readouterr().err == (
        "stovelint: no more there since HEAD: plans/old/clear.heater.yaml; see to it that this was meant\n"
    )


def test_an_older_plan_with_mistakes_makes_all_new(shop: Scratch, capsys: Said) -> None:
    shop.commit({"plans/bare.heater.yaml": bare().replace("bearing: 100 mm", "bearing: 100")})
    shop.write("plans/bare.heater.yaml", bare())
    one = plan(capsys, "plans/bare.heater.yaml", status=1)
    assert standings(one) == {"cap-insulation": "new"}
    assert one["not_compared"].startswith("plans/bare.heater.yaml:50:")
    assert main(["review", "plans/bare.heater.yaml", "--since", "HEAD"]) == 1
    said = " ".join(capsys.readouterr().out.split())
    assert "all counts as new, since the plan could not be reviewed there (" in said


def test_a_mistake_in_the_plan_as_it_is_stops(shop: Scratch, capsys: Said) -> None:
    shop.commit({"plans/bare.heater.yaml": "title: no plan\n"})
    one = plan(capsys, "plans/bare.heater.yaml", status=2)
    assert one["mistakes"] and one["outcome"] == "could not be reviewed"


def test_a_link_in_the_older_revision_is_not_followed(
    shop: Scratch, tmp_path: Path, capsys: Said
) -> None:
    plain = shop.root / "plans/bare.heater.yaml"
    plain.unlink()
    plain.symlink_to("near.heater.yaml")
    shop.commit()
    plain.unlink()
    plain.write_text(bare(), encoding="utf-8")
    one = plan(capsys, "plans/bare.heater.yaml", status=1)
    assert "it was a link in HEAD" in one["not_compared"]


# -- bases --------------------------------------------------------------------------------------


@pytest.fixture
def based(shop: Scratch) -> Scratch:
    shop.commit({
        "kits/core.heater.yaml": bare(), "plans/studio.heater.yaml": BASED,
        "plans/bare.heater.yaml": CLEAR.read_bytes(), "plans/near.heater.yaml": CLEAR.read_bytes(),
    })  # fmt: skip
    return shop


def test_a_base_that_is_as_it_was(
    based: Scratch, capsys: Said, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(since_module, "_old", never)
    one = plan(capsys, "plans/studio.heater.yaml", status=0)
    assert standings(one) == {"cap-insulation": "unchanged"}


def test_a_base_that_changed_under_a_plan_that_did_not(based: Scratch, capsys: Said) -> None:
    based.write("kits/core.heater.yaml", bare() + SURROUNDED)
    one = plan(capsys, "plans/studio.heater.yaml", status=1)
    assert standings(one) == {"cap-insulation": "unchanged", "combustible-clearance": "new"}
    based.write("kits/core.heater.yaml", lit("6 kg"))
    one = plan(capsys, "plans/studio.heater.yaml", status=1)
    (weaker,) = one["weakened"]
    assert weaker["place"]["path"] == "kits/core.heater.yaml"


def test_a_link_in_the_place_of_a_base(based: Scratch, capsys: Said) -> None:
    kit = based.root / "kits/core.heater.yaml"
    based.commit({"kits/core.heater.yaml": CLEAR.read_bytes(), "kits/other.heater.yaml": bare()})
    kit.unlink()
    kit.symlink_to("other.heater.yaml")
    one = plan(capsys, "plans/studio.heater.yaml", status=1)
    assert standings(one) == {"cap-insulation": "new"}


def test_a_base_of_the_older_revision_is_read_there(based: Scratch, capsys: Said) -> None:
    (based.root / "kits/core.heater.yaml").unlink()
    based.write("plans/studio.heater.yaml", bare().replace("Kiln Cottage", "Signal Box studio"))
    one = plan(capsys, "plans/studio.heater.yaml", status=0)
    assert standings(one) == {"cap-insulation": "unchanged"}


# -- how it is called ---------------------------------------------------------------------------


def test_from_another_folder_the_names_are_as_given(
    shop: Scratch, capsys: Said, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(shop.root / "plans")
    (shop.root / "plans/near.heater.yaml").rename(shop.root / "plans/wall.heater.yaml")
    one = plan(capsys, "wall.heater.yaml", status=0)
    assert (one["file"], one["file_before"]) == ("wall.heater.yaml", "near.heater.yaml")
    monkeypatch.chdir("/")
    found = document(capsys, str(shop.root / "plans" / "wall.heater.yaml"), status=0)
    assert found["plans"][0]["file_before"] == str(shop.root / "plans" / "near.heater.yaml")


def test_several_processes_and_kept_answers_say_the_same(
    shop: Scratch, capsys: Said, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    shop.write("plans/near.heater.yaml", near("50 mm"))
    shop.write("plans/bare.heater.yaml", lit("7 kg"))
    plain = document(capsys, "plans", "--no-cache", "--jobs", "1")
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    first = document(capsys, "plans", "--jobs", "2")
    monkeypatch.setattr("stovelint.cli.answers.clerk.review_plan", never)
    monkeypatch.setattr("stovelint.cli.older.since.review_plan", never)
    again = document(capsys, "plans", "--jobs", "1")
    assert plain == first == again


def test_the_plan_is_compared_as_it_lies_on_the_disk(shop: Scratch, capsys: Said) -> None:
    """What is staged does not count, nor whether anything is committed."""
    shop.write("plans/clear.heater.yaml", bare())
    shop.git("add", "-A")
    shop.write("plans/clear.heater.yaml", CLEAR.read_bytes())
    before = shop.git("status", "--porcelain")
    assert plan(capsys, "plans/clear.heater.yaml", status=0)["outcome"] == "clear"
    assert shop.git("status", "--porcelain") == before


def refused(said: Said, *arguments: str) -> str:
    assert main(["review", *arguments]) == 2
    shown = said.readouterr()
    assert shown.out == "" and shown.err.startswith("stovelint: --since")
    assert shown.err.count("\n") == 1
    return shown.err


def test_what_cannot_be_compared_is_refused_in_a_line(
    shop: Scratch, capsys: Said, tmp_path: Path
) -> None:
    assert "git knows no such commit" in refused(capsys, "plans", "--since", "none")
    assert "git knows no such commit" in refused(capsys, "plans", "--since=--all")
    assert "has no revision" in refused(capsys, "plans", "--since", "")
    other = tmp_path / "other.heater.yaml"
    other.write_text(bare(), encoding="utf-8")
    said = refused(capsys, "plans", "../other.heater.yaml", "--since", "HEAD")
    assert "no git repository holds ../other.heater.yaml" in said


def test_a_plan_in_a_submodule_is_reviewed_on_its_own(
    shop: Scratch, capsys: Said, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    kits = Scratch(tmp_path / "kits")
    kits.commit({"core.heater.yaml": bare()})
    for name in ("kits", "stock"):
        allowed = ("-c", "protocol.file.allow=always")
        shop.git(*allowed, "submodule", "add", "-q", str(kits.root), name)
    shop.commit()
    said = refused(capsys, "plans", "stock", "--since", "HEAD")
    assert "stock/core.heater.yaml lies in the submodule stock" in said
    for paths in (["kits"], ["plans", "kits"]):
        said = refused(capsys, *paths, "--since", "HEAD")
    assert "kits/core.heater.yaml lies in a repository within another one" in said
    assert "from there" in said, "its branches are of its own making"
    monkeypatch.chdir(shop.root / "kits")
    assert plan(capsys, ".", status=0)["outcome"] == "as noted"


def test_a_hostile_checkout_runs_nothing(shop: Scratch, capsys: Said, tmp_path: Path) -> None:
    mark, trap = tmp_path / "it-ran", tmp_path / "trap"
    trap.write_text(f"#!/bin/sh\ntouch '{mark}'\ncat\n", encoding="utf-8")
    trap.chmod(0o755)
    for name in (
        "core.fsmonitor", "diff.external", "diff.trap.textconv", "filter.trap.clean",
        "filter.trap.smudge", "core.pager", "pager.ls-tree", "core.sshCommand",
    ):  # fmt: skip
        shop.git("config", name, str(trap))
    shop.write(".gitattributes", "* diff=trap filter=trap\n")
    shop.write("plans/clear.heater.yaml", "# changed\n" + CLEAR.read_text(encoding="utf-8"))
    (shop.root / "plans/near.heater.yaml").rename(shop.root / "plans/wall.heater.yaml")
    document(capsys, "plans", status=0)
    assert not mark.exists()
    shop.git("diff", "HEAD")
    assert mark.exists(), "the trap is one"


# -- settings -----------------------------------------------------------------------------------

MATERIAL = ROOT / "stovelint" / "catalogue" / "data" / "soapstone.toml"


@pytest.fixture
def strict(shop: Scratch) -> Callable[[str | None], None]:
    """Puts others in the place of a shop's strict settings; None: none."""
    usual = 'format = 1\njurisdiction = "IRC-2021"\nhold_at = "should"\n'
    shop.commit({"stovelint.toml": usual})

    def change(text: str | None) -> None:
        if text is None:
            (shop.root / "stovelint.toml").unlink()
        else:
            shop.write("stovelint.toml", text)

    return change


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ('format = 1\njurisdiction = "IRC-2021"\nhold_at = "should"\n# the same\n', []),
        ('format = 1\njurisdiction = "IRC-2021"\nhold_at = "consider"\n', []),
        ('format = 1\njurisdiction = "IRC-2021"\nhold_at = "danger"\n',
         ["weaker settings (breakage): stovelint.toml: `hold_at` was should, and is danger"]),
        ('format = 1\nhold_at = "should"\n',
         ["weaker settings (danger): stovelint.toml: the code of plans that name none was "
          "IRC-2021, and none is named"]),
        ('format = 1\njurisdiction = "IRC-2021"\nhold_at = "should"\n'
         'without = ["combustible-clearance"]\n',
         ["weaker settings (danger): stovelint.toml: the rule combustible-clearance was asked, and "
          "is left out"]),
        (None,
         ["weaker settings (danger): stovelint.toml (not there any more): the code of plans that "
          "name none was IRC-2021, and none is named",
          "weaker settings (breakage): stovelint.toml (not there any more): `hold_at` was should, "
          "and is breakage"]),
    ],
)  # fmt: skip
def test_settings_come_from_the_revision_and_weaker_ones_are_told(
    shop: Scratch, strict: Callable[[str | None], None], capsys: Said, text: str | None,
    said: list[str],
) -> None:  # fmt: skip
    strict(text)
    made = document(capsys, "plans/clear.heater.yaml", status=1 if said else 0)
    assert made["hold"]["at"] == "should" and made["rules"]["left_out"] == []
    assert [one["message"] for one in made["notices"]] == said
    assert all(one["holds"] and not one["stops"] and one["remedy"] for one in made["notices"])
    main(["review", "plans/clear.heater.yaml", "--since", "HEAD"])
    assert capsys.readouterr().err.count("weaker settings") == len(said)


def test_settings_with_mistakes_stop(shop: Scratch, strict: Callable[[str | None], None]) -> None:
    strict("format = 2\n")
    assert main(["review", "plans/clear.heater.yaml", "--since", "HEAD"]) == 2


def test_settings_nearer_to_the_plans_count(shop: Scratch, capsys: Said) -> None:
    shop.write("plans/stovelint.toml", 'format = 1\nhold_at = "danger"\n')
    (one,) = document(capsys, "plans/clear.heater.yaml", status=0)["notices"]
    assert "`hold_at` was breakage, and is danger" in one["message"]
    assert one["place"]["path"] == "plans/stovelint.toml" and one["place"]["line"] == 2
    assert not one["holds"], "the usual hold lets breakage that should change pass"


def test_materials_of_the_shop_that_change(shop: Scratch, capsys: Said) -> None:
    shop.commit({"stovelint.toml": 'format = 1\nmaterials = ["own"]\n',
                 "own/lake-stone.toml": MATERIAL.read_bytes()})  # fmt: skip
    assert document(capsys, "plans/clear.heater.yaml", status=0)["notices"] == []
    text = MATERIAL.read_text(encoding="utf-8")
    shop.write("own/lake-stone.toml", f"# a comment\n{text}")
    assert document(capsys, "plans/clear.heater.yaml", status=0)["notices"] == []
    shop.write("own/quay-stone.toml", text)
    (one,) = document(capsys, "plans/clear.heater.yaml", status=1)["notices"]
    assert one["message"].endswith(
        "the shop's own material quay-stone is new (own/quay-stone.toml); a plan can name it as "
        "soon as HEAD holds it"
    )
    (shop.root / "own" / "quay-stone.toml").unlink()
    shop.write("own/lake-stone.toml", text.replace("title =", "title = 'Lake' #", 1))
    (one,) = document(capsys, "plans/clear.heater.yaml", status=1)["notices"]
    assert one["message"].endswith("(own/lake-stone.toml); here it counts as it was")


def test_rules_of_the_shop_that_change(shop: Scratch, capsys: Said) -> None:
    rule = RULES / "wet-stone"
    files = {
        f"own/lake-stone/{path.relative_to(rule).as_posix()}": path.read_bytes()
        for path in sorted(rule.rglob("*"))
        if path.is_file() and "__pycache__" not in path.parts
    }
    shop.commit({"stovelint.toml": 'format = 1\nrules = ["own"]\n', **files})
    before = document(capsys, "plans/clear.heater.yaml")["notices"]
    assert not any("weaker" in one["message"] for one in before)
    shop.write("own/lake-stone/rule.py", "def lake_stone(scene): return iter(())\n")
    after = document(capsys, "plans/clear.heater.yaml", status=1)["notices"]
    (one,) = (one for one in after if one not in before)
    assert one["message"].endswith("the rules in own have changed: lake-stone/rule.py")
    for number in range(30):
        shop.write(f"own/more/{number:02}", "")
    after = document(capsys, "plans/clear.heater.yaml", status=1)["notices"]
    (one,) = (one for one in after if one not in before)
    assert one["message"].endswith("more/17, more/18, and 11 more")
    shutil.rmtree(shop.root / "own")
    (shop.root / "elsewhere").mkdir()
    os.mkfifo(shop.root / "elsewhere" / "pipe")
    (shop.root / "own").symlink_to("elsewhere")
    after = document(capsys, "plans/clear.heater.yaml", status=1)["notices"]
    (one,) = (one for one in after if one not in before)
    assert one["message"].endswith("the rules in own have changed: a link leads there")
    (shop.root / "own").unlink()
    (shop.root / "elsewhere").rename(shop.root / "own")
    after = document(capsys, "plans/clear.heater.yaml", status=1)["notices"]
    (one,) = (one for one in after if one not in before)
    assert ", pipe" in one["message"], "and nobody waits for what comes out of it"
    shop.write("stovelint.toml", "format = 1\n")
    after = document(capsys, "plans/clear.heater.yaml", status=1)["notices"]
    (one,) = (one for one in after if one not in before)
    assert one["message"].endswith("the rules in own were named, and are no more")


def test_no_settings_no_comparison_of_them(shop: Scratch, capsys: Said) -> None:
    shop.write("stovelint.toml", 'format = 1\nhold_at = "danger"\n')
    made = document(capsys, "plans/clear.heater.yaml", "--no-settings", status=0)
    assert made["notices"] == []


def test_settings_named_in_the_call_are_read_there_too(shop: Scratch, capsys: Said) -> None:
    shop.commit({"shop/strict.toml": 'format = 1\nhold_at = "should"\n'})
    shop.write("shop/strict.toml", 'format = 1\nhold_at = "danger"\n')
    made = document(
        capsys, "plans/clear.heater.yaml", "--settings", "shop/strict.toml", status=1
    )
    assert made["hold"]["at"] == "should" and len(made["notices"]) == 1


def test_the_environment_is_as_before(shop: Scratch, capsys: Said) -> None:
    before = dict(os.environ)
    document(capsys, "plans/clear.heater.yaml")
    assert dict(os.environ) == before
