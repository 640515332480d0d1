"""Variances: what they accept, when they end, and what is said of those nobody needs."""

from __future__ import annotations

from dataclasses import replace
from typing import get_args

import pytest

from stovelint.build import Build, Variance
from stovelint.hold import LEAST
from stovelint.place import Entry, Mark, Path, Places, Span
from stovelint.review import Review, review
from stovelint.rule import Outcome, Stakes
from stovelint.rulebook import Rule
from stovelint.variance import STALE, State, check_variances
from tests.format.plans import mistakes_of, swapped
from tests.rules import make
from tests.rules.make import CATALOGUE
from tests.rules.test_review import A, B, finding, rule_that, unjudged


def variance(
    name: str = "v", *, rule: str = "r", part: str = "a", until: str | None = None
) -> Variance:
    return Variance(
        name=name, rule=rule, part=part, reason="relaid in spring", who="the owner", until=until,
        path=("variances", name),
    )  # fmt: skip


def lines(*paths: Path) -> Places:
    """Keys on lines of their own, their values in column 10."""
    entries: dict[Path, Entry] = {}
    for number, path in enumerate(((), *paths)):
        key, value = (Mark(line=number, column=c, offset=number * 20 + c) for c in (2, 10))
        entries[path] = Entry(
            key=Span(file="kiln.heater.yaml", start=key, end=key),
            value=Span(file="kiln.heater.yaml", start=value, end=value),
        )
    return Places(entries=entries)


def plan(*variances: Variance) -> Build:
    return replace(make.build(), variances={one.name: one for one in variances})


def reviewed(
    *rules: Rule, variances: tuple[Variance, ...], on: str | None = None,
    left_out: tuple[str, ...] = (),
) -> Review:  # fmt: skip
    return review(
        file="kiln.heater.yaml", places=lines(A, B, *(one.path for one in variances)),
        build=plan(*variances), hot=make.hot(), catalogue=CATALOGUE, rules=rules, on=on,
        left_out=left_out,
    )  # fmt: skip


def states(result: Review) -> dict[str, State]:
    return {one.variance.name: one.state for one in result.variances}


@pytest.mark.parametrize("stakes", get_args(Stakes))
def test_a_used_variance_accepts_its_finding_which_stays_on_the_list(stakes: Stakes) -> None:
    rule = rule_that("r", finding("r", A, stakes, 32))
    bare, agreed = reviewed(rule, variances=()), reviewed(rule, variances=(variance(),))
    assert [i.level for i in agreed.items] == [i.level for i in bare.items]
    assert [i.accepted for i in agreed.items] == [variance()]
    assert states(agreed) == {"v": "used"}


def test_what_was_accepted_holds_no_plan_and_is_still_noted() -> None:
    rule = rule_that("r", finding("r", A, "danger", 32))
    assert (reviewed(rule, variances=()).verdict, reviewed(rule, variances=()).status) == (
        "revise", 1,
    )  # fmt: skip
    agreed = reviewed(rule, variances=(variance(),))
    for hold in LEAST:
        assert replace(agreed, hold=hold).verdict == "as noted"
    assert agreed.status == 0


@pytest.mark.parametrize(
    ("rule", "part"), [("r", "b"), ("s", "a"), ("s", "b"), ("r", "aa"), ("rr", "a")]
)
@pytest.mark.parametrize("stakes", ["danger", "breakage"])
def test_nothing_is_accepted_under_another_rule_or_at_another_part(
    rule: str, part: str, stakes: Stakes
) -> None:
    speaks = rule_that("r", finding("r", A, stakes, 32))
    result = reviewed(speaks, variances=(variance(rule=rule, part=part),))
    assert [i.accepted for i in result.items] == [None]
    assert (result.verdict, states(result)) == ("revise", {"v": "unused"})


def test_one_variance_among_findings_accepts_only_its_own() -> None:
    result = reviewed(
        rule_that("r", finding("r", A, "danger", 32), finding("r", B, "danger", 32)),
        rule_that("s", finding("s", A, "danger", 32)),
        variances=(variance(),),
    )
    accepted = {(i.finding.rule, i.finding.subject) for i in result.items if i.accepted}
    assert accepted == {("r", "a")} and result.verdict == "revise"


@pytest.mark.parametrize(
    ("on", "state", "verdict"),
    [
        ("2027-04-29", "used", "as noted"),
        ("2027-04-30", "used", "as noted"),  # the last day on which it holds
        ("2027-05-01", "expired", "revise"),
        ("2028-01-01", "expired", "revise"),
        ("2026-12-31", "used", "as noted"),
    ],
)
def test_it_ends_with_its_last_day(on: str, state: State, verdict: str) -> None:
    ends = variance(until="2027-04-30")
    result = reviewed(rule_that("r", finding("r", A, "danger", 32)), variances=(ends,), on=on)
    assert (states(result), result.verdict) == ({"v": state}, verdict)
    assert result.variances[0].end_checked and result.assumptions == ()


def test_without_a_day_of_review_it_is_in_force_and_that_is_said() -> None:
    rule = rule_that("r", finding("r", A, "danger", 32))
    result = reviewed(rule, variances=(variance(until="2000-01-01"),))
    assert (states(result), result.verdict) == ({"v": "used"}, "as noted")
    assert not result.variances[0].end_checked
    assert len(result.assumptions) == 1 and "no end was checked" in result.assumptions[0]
    endless = reviewed(rule, variances=(variance(),))
    assert endless.variances[0].end_checked and endless.assumptions == ()


def test_an_ended_one_is_told_at_its_own_line_with_what_to_do() -> None:
    ends = variance(until="2027-04-30")
    speaks = rule_that("r", finding("r", A, "danger", 32))
    (told,) = reviewed(speaks, variances=(ends,), on="2027-05-01").variances
    assert (told.span.start.line, told.span.start.column) == (3, 2)
    assert "until 2027-04-30; this review is of 2027-05-01" in told.found
    assert "what r finds at a counts again" in told.why and "agreed anew" in told.remedy
    (quiet,) = reviewed(rule_that("r"), variances=(ends,), on="2027-05-01").variances
    assert quiet.state == "expired" and quiet.remedy == "delete it"


def test_an_ended_one_is_not_to_be_deleted_before_its_rule_has_spoken() -> None:
    ends = variance(until="2027-04-30")
    left = reviewed(variances=(ends,), left_out=("r",), on="2027-05-01")
    broke = reviewed(rule_that("r", breaks=True), variances=(ends,), on="2027-05-01")
    for result, says in ((left, "the rule r was left out"), (broke, "the rule r broke")):
        (told,) = result.variances
        assert told.state == "expired" and told.found.endswith(f"of 2027-05-01; {says}")
        assert told.remedy.startswith("review with this rule first") and "delete" not in told.remedy


def test_what_was_accepted_is_noted_also_where_it_is_only_to_be_considered() -> None:
    """README.md, Options and variances: with something accepted a plan is at best as noted."""
    speaks = rule_that("r", finding("r", A, "breakage", 2))
    bare, agreed = reviewed(speaks, variances=()), reviewed(speaks, variances=(variance(),))
    assert [i.level for i in agreed.items] == ["note"]
    assert (bare.verdict, agreed.verdict) == ("clear", "as noted")


def test_dangers_accepted_are_counted_found_or_open() -> None:
    some = (variance("x"), variance("y", part="b"), variance("z", rule="s"))
    says = rule_that("r", finding("r", A, "danger", 32), unjudged("r", B, "danger"))
    also = rule_that("s", finding("s", A, "breakage", 32), finding("s", B, "danger", 32))
    assert reviewed(says, also, variances=some).dangers_accepted == 2
    assert reviewed(says, also, variances=()).dangers_accepted == 0


def test_no_end_is_said_to_be_open_where_its_variance_was_not_weighed() -> None:
    ends = variance(until="2027-04-30")
    assert reviewed(variances=(ends,), left_out=("r",)).assumptions == ()
    assert reviewed(rule_that("r", breaks=True), variances=(ends,)).assumptions == ()
    assert len(reviewed(rule_that("r"), variances=(ends,)).assumptions) == 1


def test_an_unused_one_is_told_and_holds_only_where_all_that_is_found_does() -> None:
    result = reviewed(rule_that("r", finding("r", B, "breakage", 2)), variances=(variance(),))
    (told,) = result.variances
    assert told.state == "unused" and "r has nothing to say at a" in told.found
    assert told.why and told.remedy.startswith("delete it")
    clear = reviewed(rule_that("r"), variances=(variance(),))
    for hold in LEAST:
        held = replace(clear, hold=hold).verdict
        assert held == ("revise" if hold == "consider" else "clear"), hold


def test_too_few_cases_are_no_finding_and_use_no_variance() -> None:
    result = reviewed(rule_that("r", finding("r", A, "danger", 1)), variances=(variance(),))
    assert (result.items, states(result)) == ((), {"v": "unused"})


def test_one_whose_rule_could_not_speak_is_not_called_unused() -> None:
    left = reviewed(variances=(variance(),), left_out=("r",))
    broke = reviewed(rule_that("r", breaks=True), variances=(variance(),))
    assert states(left) == states(broke) == {"v": "not weighed"}
    assert left.variances[0].found == "the rule r was left out"
    assert broke.variances[0].found == "the rule r broke"
    assert "not weighed" not in STALE
    # What it said before it broke is a finding all the same, and may be accepted.
    said = rule_that("r", finding("r", A, "danger", 32), breaks=True)
    assert states(reviewed(said, variances=(variance(),))) == {"v": "used"}


def test_a_question_may_be_answered_by_a_variance() -> None:
    """A rule may ask for the authority's word; written down, the word must count."""
    asks = rule_that("r", unjudged("r", A, "danger"))
    assert reviewed(asks, variances=()).verdict == "revise"
    result = reviewed(asks, variances=(variance(),))
    assert [q.accepted for q in result.open] == [variance()]
    assert (result.verdict, states(result)) == ("as noted", {"v": "used"})


def test_the_same_question_of_another_rule_stays_open() -> None:
    result = reviewed(
        rule_that("r", unjudged("r", A, "danger")), rule_that("s", unjudged("s", A, "danger")),
        rule_that("t", unjudged("t", A, "breakage")), variances=(variance(),),
    )  # fmt: skip
    told = {(q.rules, q.level, q.accepted is None) for q in result.open}
    assert told == {(("r",), "warning", False), (("s", "t"), "warning", True)}
    assert result.verdict == "revise"


def test_they_stand_in_the_order_of_the_file() -> None:
    some = (variance("z", part="a"), variance("m", part="b"), variance("c", rule="s"))
    result = reviewed(rule_that("r"), rule_that("s"), variances=some)
    assert [one.variance.name for one in result.variances] == ["z", "m", "c"]


@pytest.mark.parametrize("outcomes", [(finding("r", A, "danger", 32),), ()])
def test_the_order_of_rules_and_variances_changes_nothing(outcomes: tuple[Outcome, ...]) -> None:
    some = (variance(), variance("w", rule="s", part="b"))
    rules = [rule_that("r", *outcomes), rule_that("s", finding("s", B, "advice", 32))]
    forth = reviewed(*rules, variances=some)
    back = reviewed(*reversed(rules), variances=some)
    assert (forth.items, forth.variances) == (back.items, back.variances)


# -- what cannot be a variance ------------------------------------------------------------------


@pytest.mark.parametrize(
    ("name", "remedy"),
    [("wet-stown", "did you mean `wet-stone`?"), ("xyz", "there are: cap-insulation, wet-stone")],
)
def test_a_rule_that_is_not_in_the_book_is_a_located_mistake(name: str, remedy: str) -> None:
    good, bad = variance("v", rule="wet-stone"), variance("w", rule=name)
    places = lines(good.path, bad.path, (*bad.path, "rule"))
    found = check_variances(plan(good, bad), ["wet-stone", "cap-insulation"], places)
    (mistake,) = found
    assert mistake.message == f"there is no rule `{name}`" and mistake.remedy == remedy
    assert (mistake.path, mistake.span.start.line) == (("variances", "w", "rule"), 3)
    assert check_variances(plan(good), ["wet-stone"], places) == ()
    assert check_variances(plan(), [], places) == ()


def test_all_unknown_rules_are_told_at_once_in_the_order_of_the_file() -> None:
    some = [variance("w", rule="one"), variance("v", rule="two")]
    places = lines(*((*one.path, "rule") for one in some))
    found = check_variances(plan(*some), ["wet-stone"], places)
    assert [mistake.message for mistake in found] == [
        "there is no rule `one`", "there is no rule `two`",
    ]  # fmt: skip


UNTIL = "until: 2027-04-30"
WHOLE = "cap-for-now: {rule: cap-insulation, part: bell-cap, reason: to be relaid in spring, "
FAULTS = [
    (UNTIL, "until: 2027-02-29", "until", "no day 2027-02-29", "2027-06-30"),
    (UNTIL, "until: 2027-04-31", "until", "no day 2027-04-31", "2027-06-30"),
    (UNTIL, "until: April", "until", "cannot be `April`", "2027-06-30"),
    (UNTIL, "until: 2027-13-01", "until", "cannot be", "2027-06-30"),
    ("rule: cap-insulation", "rule: '*'", "rule", "cannot be `*`", "never for all"),
    ("part: bell-cap, r", "part: '*', r", "part", "cannot be `*`", "never for all"),
    ("part: bell-cap, r", "part: bell-cup, r", "part", "no part or surrounding", "`bell-cap`"),
    ("rule: cap-insulation, ", "", "rule", "`rule` is missing", "add `rule`"),
    (", who: owner", "", "who", "`who` is missing", "add `who`"),
]  # fmt: skip


@pytest.mark.parametrize(("old", "new", "key", "says", "remedy"), FAULTS)
def test_a_faulty_variance_is_told_once_at_its_place(
    old: str, new: str, key: str, says: str, remedy: str
) -> None:
    (mistake,) = mistakes_of(swapped((old, new)))
    assert mistake.path == ("variances", "cap-for-now", key)
    assert says in mistake.message and remedy in mistake.remedy


def test_two_variances_for_one_thing_are_refused() -> None:
    """Which of two reasons holds, and until when, would not be plain."""
    second = "again: {rule: cap-insulation, part: bell-cap, reason: y, who: owner}\n  "
    (mistake,) = mistakes_of(swapped((WHOLE, second + WHOLE)))
    assert mistake.path == ("variances", "cap-for-now", "rule")
    assert "as `again` is" in mistake.message and mistake.remedy == "keep one of the two"
    other = second.replace("bell-cap", "ceiling")
    assert mistakes_of(swapped((WHOLE, other + WHOLE))) == ()


def test_a_name_that_a_part_and_a_surrounding_bear_cannot_be_agreed_on() -> None:
    ceiling = "  ceiling: {at: above"
    (mistake,) = mistakes_of(swapped((ceiling, ceiling.replace("ceiling", "bell-cap"))))
    assert mistake.path == ("variances", "cap-for-now", "part")
    assert "of a part and of a surrounding" in mistake.message and "another name" in mistake.remedy
