"""Claims of a plan that ask for less than they did, each told with what stood there."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from stovelint.build import Build, Damper, Declared, Site, Surrounding, Variance
from stovelint.place import Entry, Mark, Path, Places, Span
from stovelint.review.records import Weakened
from stovelint.review.weaker import weakened
from stovelint.rule.level import Stakes
from tests.rules.make import build, chamber, layer, part, surrounding
from tests.rules.test_variance import lines, variance

WOOD = ("softwood", "plywood")
STAKES: dict[str, Stakes] = {"wet-stone": "breakage", "combustible-clearance": "danger"}


def told(now: Build, before: Build | None, places: Places | None = None) -> list[Weakened]:
    found = weakened(
        now, before, places=places or lines(), stakes=STAKES, burns=WOOD.__contains__
    )
    assert all(one.remedy for one in found)
    return list(found)


def only(now: Build, before: Build | None) -> Weakened:
    (one,) = told(now, before)
    return one


def fired(plan: Build, state: Any = "usual", **changes: Any) -> Build:
    firings = {**plan.firings, state: replace(plan.firings[state], **changes)}
    return replace(plan, firings=firings)


# -- variances ----------------------------------------------------------------------------------


def agreed(*variances: Variance) -> Build:
    return replace(build(), variances={one.name: one for one in variances})


STUDS = variance("studs", rule="combustible-clearance", part="studs", until="2026-06-30")


def test_the_same_is_not_told() -> None:
    assert told(build(), build()) == [] and told(agreed(STUDS), agreed(STUDS)) == []
    assert told(agreed(), agreed(STUDS)) == []
    # By what it is for, and not by its name.
    assert told(agreed(replace(STUDS, name="other", reason="y")), agreed(STUDS)) == []


def test_a_new_variance() -> None:
    one = only(agreed(STUDS), agreed())
    assert one.what == (
        "the variance studs is new: it accepts what combustible-clearance says of studs"
    )
    assert (one.stakes, one.path) == ("danger", ("variances", "studs"))
    assert only(agreed(replace(STUDS, rule="wet-stone")), agreed()).stakes == "breakage"
    assert only(agreed(replace(STUDS, rule="own-rule")), agreed()).stakes == "danger"


def test_a_plan_that_was_not_there_has_only_new_variances() -> None:
    assert told(build(), None) == []
    assert "is new" in only(agreed(STUDS), None).what


def test_a_variance_for_something_else() -> None:
    one = only(agreed(replace(STUDS, part="ceiling")), agreed(STUDS))
    assert "was for what combustible-clearance says of studs" in one.what
    assert one.what.endswith("accepts what combustible-clearance says of ceiling")


def test_a_variance_for_a_part_that_only_took_over_the_name() -> None:
    chambers = (chamber("bell", "bell"), chamber("oven", "oven"))
    held = variance("cap", rule="cap-insulation", part="top")

    def capped(over: str, name: str = "cap") -> Build:
        made = build((part("top", "cap", [BOARD], bounds=(over,)),), chambers=chambers)
        return replace(made, variances={name: replace(held, name=name)})

    assert only(capped("oven"), capped("bell")).what == (
        "the variance cap is for top, which was a cap of a bell to room, and is now a cap of "
        "an oven to room"
    )
    assert told(capped("bell", "other"), capped("bell")) == []


@pytest.mark.parametrize(
    ("was", "here", "said"),
    [
        ("2026-06-30", "2026-07-01", "held until 2026-06-30 and holds until 2026-07-01"),
        ("2026-06-30", None, "held until 2026-06-30 and holds without an end"),
        ("2026-06-30", "2026-06-29", None), (None, "2026-06-30", None), (None, None, None),
    ],
)  # fmt: skip
def test_a_variance_for_longer(was: str | None, here: str | None, said: str | None) -> None:
    found = told(agreed(replace(STUDS, until=here)), agreed(replace(STUDS, until=was)))
    assert [one.what for one in found] == ([] if said is None else [f"the variance studs {said}"])
    for one in found:
        assert one.path == ("variances", "studs", *(("until",) if here else ()))


# -- the fire -----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("key", "changes"),
    [
        ("charge", {"charge_kg": 9.9}), ("loads", {"loads": 0}), ("every", {"every_s": 86400.0}),
        ("burn", {"burn_s": 5400.0}),
    ],
)  # fmt: skip
@pytest.mark.parametrize("state", ["usual", "hardest"])
def test_a_milder_fire(state: str, key: str, changes: dict[str, float]) -> None:
    before = fired(build(), state, assumed=False)
    one = only(fired(before, state, **changes), before)
    assert (one.stakes, one.path) == ("danger", ("firing", state, key))
    assert one.what.startswith(f"the {state} firing was ") and "10 kg every 12 h" in one.what
    assert told(before, fired(before, state, **changes)) == [], "a harder one asks for more"


def test_the_least_fire_is_milder_when_larger() -> None:
    before = fired(build(), "least", assumed=False)
    one = only(fired(before, "least", charge_kg=11.0), before)
    assert (one.stakes, one.path) == ("performance", ("firing", "least", "charge"))
    assert told(fired(before, "least", charge_kg=9.0), before) == []


def test_the_same_in_another_unit_is_no_change() -> None:
    assert told(fired(build(), charge_kg=10.0 * (1 - 1e-12)), build()) == []


def test_a_hardest_fire_that_is_no_more_said() -> None:
    before = fired(build(), "hardest", assumed=False)
    one = only(fired(before, "hardest", assumed=True), before)
    assert one.what.endswith("(assumed, since the plan does not say it any more)")
    assert one.path == ("firing", "hardest")


def test_a_hardest_fire_that_was_assumed_and_is_said_milder() -> None:
    one = only(fired(build(), "hardest", assumed=False, loads=1), build())
    assert "2 x 10 kg every 12 h, each burning 80 min (assumed), and is 1 x" in one.what


def test_what_follows_from_the_usual_fire_is_told_once() -> None:
    now = fired(fired(fired(build(), charge_kg=8.0), "hardest", charge_kg=8.0), "least", loads=2)
    assert [one.path for one in told(now, build())] == [("firing", "usual", "charge")]


@pytest.mark.parametrize(
    ("moisture", "stakes", "word"),
    [(0.25, "danger", "cooler"), (0.12, "performance", "less water")],
)
def test_other_wood(moisture: float, stakes: Stakes, word: str) -> None:
    now = replace(build(), fuel=replace(build().fuel, moisture=moisture))
    one = only(now, build())
    assert one.stakes == stakes and word in one.what and "18 %" in one.what


def test_a_cooler_room() -> None:
    one = only(replace(build(), site=Site(room_C=15.0)), build())
    assert one.what.startswith("the room was at 20 degC, and is at 15 degC")
    assert told(replace(build(), site=Site(room_C=25.0)), build()) == []


def damped(after_burn: Any, share: float | None = None) -> Build:
    made = Damper(after_burn=after_burn, share=share, path=("firing", "damper"))
    return replace(build(), damper=made)


@pytest.mark.parametrize(
    ("here", "was", "said"),
    [
        (damped("open"), damped("tight"), "was left tight after the burn, and is left open"),
        (damped("open"), damped("ajar", 0.03), "left ajar by 3 % after the burn, and is left open"),
        (damped("ajar", 0.05), damped("ajar", 0.03),
         "left ajar by 3 % after the burn, and is left ajar by 5 %"),
        (damped("tight"), damped(None), "both ends were computed; now it is left tight"),
        (damped("ajar", 0.03), damped("ajar", 0.05), ""), (damped(None), damped("open"), ""),
        (damped("tight"), damped("open"), ""), (damped("open"), damped("open"), ""),
    ],
)  # fmt: skip
def test_the_damper(here: Build, was: Build, said: str) -> None:
    found = told(here, was)
    assert [said in one.what for one in found] == ([True] if said else [])
    assert all(one.path[-1] in ("share", "after_burn") for one in found)


# -- scope --------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("here", "was", "said"),
    [
        (None, "IRC-2021", "was IRC-2021, and none is named"),
        ("IRC-2012", "IRC-2021", "was IRC-2021, and is IRC-2012"),
        ("IRC-2021", None, ""), ("IRC-2021", "IRC-2021", ""),
    ],
)  # fmt: skip
def test_the_code(here: str | None, was: str | None, said: str) -> None:
    found = told(build(jurisdiction=here), build(jurisdiction=was))
    assert [said in one.what for one in found] == ([True] if said else [])


def test_more_left_to_others() -> None:
    now = replace(build(), by_others={"chimney": "mason", "air": "owner"})
    one = only(now, replace(now, by_others={"chimney": "mason"}))
    assert one.what == "`air` was in this plan's own hands, and is left to others: owner"
    assert one.path == ("by_others", "air")


def declared(wall_C: float, exit_C: float) -> Build:
    said = Declared(
        wall_C=wall_C, exit_C=exit_C, source="its paper", path=("chambers", "core", "declared")
    )
    core = replace(chamber("core", "firebox"), declared=said)
    return build(chambers=(core, chamber("bell", "bell")))


def test_what_a_maker_declares() -> None:
    before = declared(300.0, 500.0)
    assert told(declared(310.0, 510.0), before) == []
    wall, exit_ = told(declared(299.0, 499.0), before)[::-1]
    assert {wall.path[-1], exit_.path[-1]} == {"wall", "exit"}
    assert any("declared as 300 degC, and is declared as 299 degC" in w.what for w in (wall, exit_))
    bare = build(chambers=(chamber("core", "firebox"), chamber("bell", "bell")))
    assert "has it no more" in only(bare, before).what
    assert only(before, bare).what == (
        "the inside of core was reckoned, and its maker's word is taken for it now"
    )
    colder = declared(200.0, 500.0).chambers["core"]
    other = build(chambers=(replace(colder, name="fire"), chamber("bell", "bell")))
    assert "outer face of fire was declared as 300" in only(other, before).what, "by any name"
    assert told(build(), before) == [], "what is not there any more claims nothing"


# -- what burns near it -------------------------------------------------------------------------

BOARD, STUD = layer("gypsum-board", 0.0125), layer("softwood", 0.09)


def near(name: str = "studs", **changes: Any) -> Build:
    made = surrounding(name, "back", 0.3, (BOARD, STUD), openings=(0.09, 0.09))
    return build(surroundings=(replace(made, **changes),))


def gap(**changes: Any) -> Any:
    found = near().surroundings["studs"].gap
    assert found is not None
    return replace(found, **changes)


def shielded(air_m: float | None, kind: str = "mild-steel") -> Build:
    shield = None if air_m is None else (kind, air_m)
    return build(surroundings=(surrounding("studs", "back", 0.3, (STUD,), shield=shield),))


@pytest.mark.parametrize(
    ("here", "was", "said", "path"),
    [
        (near(distance_m=0.4), near(), "stood 300 mm off, and stands 400 mm off", ("distance",)),
        (near(at="left"), near(), "was at the side `back`, and is at `left`", ("at",)),
        (near(on="wall"), near(), "was held against what it saw, and is against wall", ()),
        (near(), near(on="wall"), "was held against wall, and is against what it sees", ()),
        (shielded(0.025), shielded(None), "had no shield before it, and has one of mild-steel",
         ("shield",)),
        (shielded(0.05), shielded(0.025), "was 25 mm, and is 50 mm", ("shield", "air")),
        (shielded(0.025, "granite"), shielded(0.025), "was of mild-steel, and is of granite",
         ("shield", "kind")),
        (near(layers=(BOARD, BOARD, STUD)), near(),
         "was 12.5 mm of gypsum-board, and is 12.5 mm of gypsum-board, 12.5 mm of gypsum-board",
         ("layers",)),
        (near(layers=(layer(gap="vented"), STUD)), near(layers=(STUD,)),
         "there was nothing, and is 100 mm of air", ("layers",)),
        (near(layers=(layer("soapstone", 0.005), STUD)), near(), "5 mm of soapstone", ("layers",)),
        (near(), near(gap=gap(kind="closed")), "was closed, and is vented", ("gap",)),
        (near(gap=gap(top_m2_m=0.12)), near(), "at the top", ("gap",)),
        (near(gap=gap(bottom_m2_m=0.12)), near(), "at the bottom", ("gap",)),
        (near(layers=(BOARD,)), near(), "held what burns (softwood), and has none", ("layers",)),
        (near(layers=(STUD,)), near(layers=(STUD, layer("plywood"))),
         "(softwood, plywood), and has less of it", ("layers",)),
    ],
)  # fmt: skip
def test_a_surrounding_that_asks_for_less(here: Build, was: Build, said: str, path: Path) -> None:
    one = only(here, was)
    assert said in one.what and one.stakes == "danger"
    assert one.path == ("surroundings", "studs", *path)
    # What a review may have asked for is told and does not hold; who is nowhere or elsewhere does.
    asked_for = path[:1] in (("distance",), ("shield",), ("gap",), ("layers",))
    assert one.level == ("note" if asked_for else "warning")


@pytest.mark.parametrize(
    ("here", "was"),
    [
        (near(distance_m=0.2), near()), (shielded(None), shielded(0.025)),
        (shielded(0.02), shielded(0.025)), (near(gap=gap(kind="closed")), near()),
        (near(gap=gap(top_m2_m=None)), near()), (near(), near(gap=None)), (near(gap=None), near()),
        (near(layers=(BOARD, STUD, STUD)), near()), (near(), build()),
        (near(layers=(layer("gypsum-board", 0.01), STUD)), near()),
    ],
)  # fmt: skip
def test_a_surrounding_that_asks_for_more_or_answers_a_question(here: Build, was: Build) -> None:
    assert told(here, was) == []


def test_a_surrounding_that_is_gone() -> None:
    one = only(build(), near())
    assert one.what == "studs stood 300 mm off (back), and is not in the plan any more"
    assert one.path == ("surroundings",)


def test_another_name_is_not_gone() -> None:
    def named(name: str) -> Build:
        made: Surrounding = near().surroundings["studs"]
        return build(surroundings=(replace(made, name=name, path=("surroundings", name)),))

    assert told(named("wall"), near()) == []
    moved = replace(named("wall").surroundings["wall"], distance_m=0.5)
    assert only(build(surroundings=(moved,)), near()).path == ("surroundings", "wall", "distance")
    other = replace(named("wall").surroundings["wall"], at="left")
    assert "not in the plan" in only(build(surroundings=(other,)), near()).what


def test_wood_that_is_gone_from_a_part() -> None:
    def base(*layers: Any) -> Build:
        return build([part("base", "base", layers)])

    planks = base(layer("perlite-loose"), layer("softwood"))
    one = only(base(layer("perlite-loose")), planks)
    assert one.what == "base held what burns (softwood), and has none"
    assert one.path == ("parts", "base", "layers")
    assert only(build(), planks).path == ("parts",)
    assert told(base(layer("perlite-loose", 0.3), layer("plywood")), planks) == []
    burnt = base(layer("cardboard", role="sacrificial"))
    assert told(base(layer("perlite-loose")), burnt) == []


# -- places -------------------------------------------------------------------------------------


def test_they_stand_in_the_order_of_the_file_each_on_one_line() -> None:
    start, end = (Mark(line=n, column=0, offset=n * 9) for n in (0, 40))
    whole = Entry(key=None, value=Span(file="kiln.heater.yaml", start=start, end=end))
    known = lines(("variances",), ("variances", "studs"), ("firing", "usual", "charge"))
    places = Places(entries={**known.entries, (): whole})
    now = replace(fired(agreed(STUDS), charge_kg=8.0), jurisdiction=None)
    found = told(now, build(), places)
    assert [one.path[0] for one in found] == ["jurisdiction", "variances", "firing"]
    assert all(one.span.start.line == one.span.end.line for one in found)
    assert [one.span.start.line for one in found] == [0, 2, 3]

