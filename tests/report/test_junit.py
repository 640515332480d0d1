"""The JUnit report, read back by `junitparser`: counts, names, texts, and the server's verdict."""

from __future__ import annotations

import io
from dataclasses import replace

import pytest
from junitparser import Error, Failure, JUnitXml, Skipped, TestCase, TestSuite

from stovelint.hold import LEAST, Hold
from stovelint.report.answer import Answer
from stovelint.report.junit import junit_report
from stovelint.report.told import Notice, Told
from tests.report.make import FILE, review
from tests.report.tell import answered, everything, found, mistake, told, weakened


def suites(call: Told) -> list[TestSuite]:
    """What the reader finds; it refuses what is no XML, and its counts must be those we wrote."""
    text = junit_report(call)
    assert text.isascii() and text.startswith('<?xml version="1.0" encoding="UTF-8"?>\n')
    read = JUnitXml.fromstring(text.encode("ascii"))
    assert isinstance(read, JUnitXml)
    found = list(read)
    written = (read.tests, read.failures, read.errors, read.skipped)
    for one in found:
        one.update_statistics()  # type: ignore[no-untyped-call]
    read.update_statistics()  # type: ignore[no-untyped-call]
    assert written == (read.tests, read.failures, read.errors, read.skipped)
    for suite in found:
        names = [case.name for case in suite]
        assert len(names) == len(set(names)), "readers drop what is named alike"
        assert all(case.classname == suite.name for case in suite)
    return found


def by_name(suite: TestSuite) -> dict[str, TestCase]:
    return {case.name: case for case in suite}


def results(case: TestCase) -> list[type]:
    return [type(one) for one in case.result]


def test_a_case_for_everything_told_and_every_silent_rule() -> None:
    (suite,) = suites(told(answered(everything())))
    cases = by_name(suite)
    cap = "cap-insulation /parts/bell-cap/layers/0"
    assert list(cases) == [
        cap, f"{cap} no. 2", f"{cap} no. 3", f"{cap} no. 4", f"{cap} no. 5", f"{cap} no. 6",
        "cap-insulation /parts/a", "combustible-clearance open /surroundings/studs",
        "wet-stone open /parts/b", "base-combustible", "brittle-stone", "gas-path",
    ]  # fmt: skip
    assert results(cases[cap]) == [Failure]
    assert results(cases[f"{cap} no. 4"]) == []  # breakage to be considered holds nothing
    assert results(cases["cap-insulation /parts/a"]) == [Skipped]
    assert results(cases["combustible-clearance open /surroundings/studs"]) == [Failure]
    assert results(cases["wet-stone open /parts/b"]) == [Skipped]
    assert results(cases["base-combustible"]) == [Skipped]
    assert results(cases["brittle-stone"]) == results(cases["gas-path"]) == []
    assert suite._elem.find("testcase").get("file") == FILE
    assert suite._elem.find("testcase").get("line") == "11"
    assert "time" not in suite._elem.find("testcase").attrib


def test_a_failure_has_the_whole_text() -> None:
    (suite,) = suites(told(answered(everything())))
    (failure,) = next(iter(suite)).result
    assert failure.type == "must change (breakage, 32 of 32 cases)"
    assert failure.message == (
        "cap insulation at bell / cap / hot face: bare concrete: span peak 324 degC (272 to 387)"
    )
    assert failure.text.splitlines() == [
        "found: bare concrete: span peak 324 degC (272 to 387)",
        "may take: 175 degC in excursions (CON-175, read)",
        "why: it cracks across the span",
        "do: 1 in blanket under it: span peak 324 degC (272 to 387)",
    ]


def test_what_does_not_fail_keeps_its_text() -> None:
    cases = by_name(suites(told(answered(everything())))[0])
    noted = cases["cap-insulation /parts/bell-cap/layers/0 no. 4"].system_out
    assert noted.startswith("consider (breakage, 32 of 32 cases): cap insulation at bell")
    (skipped,) = cases["cap-insulation /parts/a"].result
    assert skipped.message.startswith("accepted by the owner: relaid in spring (variance v;")
    (asked,) = cases["wet-stone open /parts/b"].result
    assert asked.message.endswith("its water is not known; say how it is open")


@pytest.mark.parametrize("hold", list(LEAST))
@pytest.mark.parametrize("crash", [False, True])
def test_the_server_and_the_command_agree(hold: Hold, crash: bool) -> None:
    quiet = replace(review(found("breakage", "warning")), hold=hold)
    for one in (everything(hold=hold, crash=crash), quiet, replace(review(), hold=hold)):
        call = told(answered(one))
        read = suites(call)
        failed = sum(suite.failures for suite in read)
        errors = sum(suite.errors for suite in read)
        assert bool(failed) == (one.verdict == "revise")
        assert bool(errors) == (call.status == 2)


def test_what_could_not_be_reviewed_is_an_error() -> None:
    call = told(
        Answer(file="a.heater.yaml", mistakes=(mistake(), mistake("it has no unit"))),
        Answer(file="b.heater.yaml", failure="its heat could not be computed"),
        answered(everything(crash=True)),
        notices=(
            Notice(message="no settings here", remedy="name them", stops=True),
            Notice(message="an old key", remedy="drop it"),
            Notice(message="weaker settings", remedy="say why", holds=True),
        ),
    )  # fmt: skip
    first, second, third, last = suites(call)
    assert [results(case) for case in first] == [[Error], [Error]]
    assert [case.name for case in first] == [
        "build file /parts/bell-cap", "build file /parts/bell-cap no. 2",
    ]  # fmt: skip
    assert next(iter(second)).result[0].text == "wrong: its heat could not be computed"
    (broken,) = by_name(third)["brittle-stone"].result
    assert isinstance(broken, Error) and "it divides by zero" in broken.text
    assert last.name == "the call" and [results(case) for case in last] == [[Error], [], [Failure]]
    assert first._elem.find("properties/property").get("value") == "could not be reviewed"


def test_against_an_older_revision() -> None:
    old = replace(
        everything(standing="unchanged"), since="main", file_before=FILE,
        gone=(
            found("danger", "error", path=("parts", "gone"), text="bare softwood"),
            found(text="there was one more of these"),
        ),
    )  # fmt: skip
    (suite,) = suites(told(answered(old), since="main"))
    assert suite.failures == suite.errors == 0
    cases = by_name(suite)
    stands = cases["cap-insulation /parts/bell-cap/layers/0"].system_out
    assert stands.startswith("must change (breakage, 32 of 32 cases), as it stood in main: ")
    assert cases["cap-insulation /parts/gone"].system_out == "gone since main: bare softwood"
    assert len(cases) == 13, "a name that stands for something now is not taken for what is gone"
    weaker = replace(old, weakened=(weakened(),))
    (suite,) = suites(told(answered(weaker), since="main"))
    (case,) = [case for case in suite if results(case) == [Failure]]
    assert case.name == "weaker claim /firing/hardest/charge"


def test_names_stay_apart_and_letters_readable() -> None:
    """A name that looks like a counted one, and all that XML cannot hold."""
    hostile = "bad\x00\x1b[31m\n]]><failure/>&\u202e\ufffe ##[add-mask]caf\u00e9"
    items = [
        found(path=("p",)), found(path=("p",)), found(path=("p no. 2",)), found(text=hostile),
    ]  # fmt: skip
    name = "odd\n\x07\udce9.heater.yaml"
    (suite,) = suites(told(answered(review(*items, title=hostile), file=name)))
    assert [case.name for case in suite][:3] == [
        "cap-insulation /p", "cap-insulation /p no. 2", "cap-insulation /p no. 2 no. 2",
    ]  # fmt: skip
    assert suite.name == r"odd\n\x07\xe9.heater.yaml"
    failure = list(suite)[3].result[0]
    assert failure.text.splitlines()[0].startswith(
        r"found: bad\x00\x1b[31m\n]]><failure/>&\u202e\ufffe ##[add-mask]caf" + "\u00e9: "
    )
    text = junit_report(told(answered(review(*items, title=hostile), file=name)))
    assert "##[" not in text and io.StringIO(text).read().count("<failure/>") == 0


def test_paths_count_from_the_root_of_the_repository() -> None:
    call = told(answered(review(found()), file="kiln.heater.yaml"), prefix="plans/")
    (suite,) = suites(call)
    assert suite.name == "plans/kiln.heater.yaml"
    assert suite._elem.find("testcase").get("file") == "plans/kiln.heater.yaml"
