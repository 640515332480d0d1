"""The JSON report: it fits its schema, says what the review says, and its patch can be applied."""

from __future__ import annotations

import json
import os
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any, Iterator

import jsonschema  # type: ignore[import-untyped]
import pytest

from stovelint.cli import main
from stovelint.hold import LEAST
from stovelint.place import Mark, Mistake, Span
from stovelint.remedy import Edit, Effect, Together
from stovelint.remedy.edits import apply
from stovelint.report.answer import Answer
from stovelint.report.figures import edits, figure
from stovelint.report.machine import machine_report
from stovelint.review import Crash
from stovelint.rule import Note
from stovelint.source.yaml import parse
from tests.report import plans
from tests.report.make import FILE, finding, item, limit, measure, proposal, question, review, span
from tests.rules.test_variance import variance
from tests.tree import DEMO, ROOT, SCHEMAS

Json = dict[str, Any]
SCHEMA: Json = json.loads((SCHEMAS / "report-1.json").read_text(encoding="utf-8"))


def faults(document: Json) -> list[str]:
    engine = jsonschema.Draft202012Validator(SCHEMA)
    return [f"{list(e.absolute_path)}: {e.message}" for e in engine.iter_errors(document)]


def produced(folder: Path, *arguments: str) -> Json:
    """What the command writes, read back; it must fit the schema."""
    out = folder / "report.json"
    main(["review", *arguments, "--as", "json", "--out", str(out)])
    document: Json = json.loads(out.read_text(encoding="ascii"))
    assert faults(document) == []
    return document


# -- whole runs ---------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("plans")


@pytest.fixture(scope="module")
def several(folder: Path) -> Json:
    """A clear plan, one with agreed faults, one not judged, two with mistakes, in one document."""
    texts = {
        "agreed": plans.agreed(), "clear": plans.CLEAR.read_text(encoding="utf-8"),
        "mistaken": plans.mistaken(), "misnamed": plans.misnamed(), "open": plans.not_judged(),
    }  # fmt: skip
    paths = [plans.written(folder, name, text) for name, text in texts.items()]
    return produced(folder, *reversed(paths), "--on", "2026-11-25")


def plan_of(document: Json, name: str) -> Json:
    (found,) = (p for p in document["plans"] if p["file"].endswith(f"{name}.heater.yaml"))
    assert isinstance(found, dict)
    return found


def test_the_demo_plan_fits_the_schema(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(ROOT)
    document = produced(tmp_path, DEMO)
    (plan,) = document["plans"]
    assert (plan["file"], plan["outcome"], plan["status"]) == (DEMO, "revise", 1)
    assert plan["complete"] and plan["together"]["edits"]
    assert [one["what"] for one in plan["by_others"]] == ["chimney", "combustion-air"]
    lines = (ROOT / DEMO).read_text(encoding="utf-8").splitlines()
    for one in plan["findings"]:
        place = one["place"]
        if place["pointer"].endswith("/material"):
            assert place["line"] == place["end_line"]
            cut = lines[place["line"] - 1][place["column"] - 1 : place["end_column"] - 1]
            assert cut and cut in one["found"], "the place is exactly what was found there"
        held = [q for q in one["quantities"] if q["limit"] is not None]
        assert held and any(q["past"] for q in held)
        sources = [s["key"] for s in one["sources"]]
        judged = list(dict.fromkeys(q["limit"]["key"] for q in held))
        assert sources[: len(judged)] == judged  # and after these, what the notes cite
        told = " ".join(note["text"] for note in one["notes"])
        assert all(key in told for key in sources[len(judged) :])


def test_plans_are_sorted_and_counted(several: Json) -> None:
    files = [plan["file"] for plan in several["plans"]]
    assert files == sorted(files) and len(files) == 5
    assert several["outcomes"] == {
        "clear": 1, "as noted": 0, "revise": 2, "could not be reviewed": 2,
    }  # fmt: skip
    assert several["status"] == 2 and several["on"] == "2026-11-25"
    assert several["rules"]["left_out"] == [] and several["hold"]["usual"]


def test_a_clear_plan(several: Json) -> None:
    plan = plan_of(several, "clear")
    assert (plan["outcome"], plan["status"], plan["findings"], plan["together"]) == (
        "clear", 0, [], None,
    )  # fmt: skip
    assert plan["firing"]["hardest"] == {
        "charge_kg": 8.0, "loads": 2, "burn_h": 1.25, "every_h": 12.0, "assumed": True,
    }  # fmt: skip
    # It holds no wood, no stone and no bars; its insulated slab was looked at and is fine.
    idle = set(plan["not_applicable"])
    assert {"combustible-clearance", "wet-stone", "cast-reinforcement"} <= idle
    assert "cap-insulation" not in idle


def test_agreed_faults_are_told_with_their_variances(several: Json) -> None:
    plan = plan_of(several, "agreed")
    told = {one["rule"]: (one["level"], one["accepted_by"]) for one in plan["findings"]}
    assert told == {
        "cap-insulation": ("error", "cap-for-now"), "combustible-clearance": ("error", None),
    }  # fmt: skip
    states = {one["name"]: (one["state"], one["level"]) for one in plan["variances"]}
    assert states == {
        "cap-for-now": ("used", None), "studs": ("expired", "note"), "dried": ("unused", "note"),
    }  # fmt: skip
    assert all(one["end_checked"] for one in plan["variances"])
    text = plans.agreed().splitlines()
    for one in plan["variances"]:
        place = one["place"]
        assert text[place["line"] - 1][place["column"] - 1 :].startswith(f"{one['name']}:")
        assert place["pointer"] == f"/variances/{one['name']}"
    # Nothing is offered against what was agreed, and it is not told again as left over.
    assert [bool(one["remedies"]) for one in plan["findings"]] == [False, True]
    assert plan["together"]["edits"] and plan["together"]["left"] == []


def test_a_question_is_told_with_the_line_to_add(several: Json) -> None:
    plan = plan_of(several, "open")
    (asked,) = (q for q in plan["not_judged"] if q["place"]["pointer"] == "/jurisdiction")
    assert (asked["rules"], asked["level"]) == (["combustible-clearance"], "warning")
    assert "jurisdiction" in asked["remedy"] and plan["jurisdiction"] is None


@pytest.mark.parametrize(
    ("name", "pointers"),
    [
        ("misnamed", ["/parts/core-base/layers/2/material", "/variances/dried/rule"]),
        ("mistaken", ["/parts/core-base/layers/2/material", "/parts/bell-cap/bearing",
                      "/variances/dried/rule"]),
    ],
)
def test_a_plan_with_mistakes_is_in_the_document(
    several: Json, name: str, pointers: list[str]
) -> None:
    plan = plan_of(several, name)
    assert (plan["outcome"], plan["status"], plan["complete"]) == (
        "could not be reviewed", 2, False,
    )  # fmt: skip
    assert [one["place"]["pointer"] for one in plan["mistakes"]] == pointers
    assert all(one["message"] and one["remedy"] for one in plan["mistakes"])
    assert plan["firing"] is None and plan["title"] is None


def test_the_edits_of_a_remedy_put_the_plan_right(folder: Path) -> None:
    """The operations are applied by a few lines of RFC 6902 here, sharing nothing with ours."""
    tree = parse(plans.bare(), "bare").tree
    (plan,) = produced(folder, plans.written(folder, "bare", plans.bare()))["plans"]
    remedy = plan["findings"][0]["remedies"][0]
    assert remedy["passes"] and plan["together"]["edits"] == remedy["edits"]
    # JSON is YAML, so the changed tree is a plan.
    mended = plans.written(folder, "mended", json.dumps(patched(tree, remedy["edits"])))
    (after,) = produced(folder, mended)["plans"]
    assert (after["outcome"], after["findings"]) == ("clear", [])


def patched(tree: Json, operations: list[Json]) -> Json:
    tree = json.loads(json.dumps(tree))
    for one in operations:
        *way, last = (s.replace("~1", "/").replace("~0", "~") for s in one["path"].split("/")[1:])
        here: Any = tree
        for step in way:
            here = here[int(step)] if isinstance(here, list) else here[step]
        if isinstance(here, list) and one["op"] == "add":
            here.insert(int(last), one["value"])
        elif isinstance(here, list):
            here[int(last)] = one["value"]
        else:
            here[last] = one["value"]
    return tree


# -- made by hand -------------------------------------------------------------------------------

CON = limit()
CLAUSE = limit("MH-CLR36", 36.0, "in", meaning="to what burns", sense="at least")


def full() -> Answer:
    """A review with one of everything."""
    concrete = finding(
        measure(272.0, 324.004, 387.126, CON, where="span"),
        measure(0.4, 0.9, 1.2, None, what="hours above"),
        notes=(Note(text="the mean limit holds up to {}", values=((0.62, "m"),)),),
    )
    near = replace(
        finding(measure(0.09, 0.09, 0.09, CLAUSE, what="distance", past=1, exact=True),
                stakes="danger"),
        rule="combustible-clearance", subject="studs", path=("surroundings", "studs", "distance"),
    )  # fmt: skip
    agreed = variance("agreed", rule="combustible-clearance", part="studs")
    does = replace(
        proposal(measure(55.0, 63.0, 75.0, CON, where="span", past=0),
                 effects=(Effect(place="bell-wall course 8", by_K=77.001, peak_C=395.0),),
                 brings=(("wet-stone", "bell-wall"),)),
        edits=(Edit(path=("parts", "a/b", "layers", 0), value={"material": "x"}, insert=True),
               Edit(path=("parts", "cap", "bearing"), value="90 mm")),
    )  # fmt: skip
    return Answer(
        file=FILE,
        review=replace(
            review(item(concrete), replace(item(near, line=70), accepted=agreed),
                   open=(question(("surroundings", "studs"), "wet-stone"),),
                   crashes=(Crash(rule="base-combustible", message="KeyError: x"),),
                   assumptions=("the hardest firing is assumed",)),
            asked=("cap-insulation",), left_out=("wet-stone",), not_applicable=("brittle-stone",),
        ),
        proposals={0: (does, proposal(passes=False))},
        together=Together(
            edits=does.edits, left=(("concrete-elevation", "bell-wall", "warning"),)
        ),
    )  # fmt: skip


@cache
def by_hand() -> str:
    return machine_report([full()], asked=["cap-insulation"], left_out=["wet-stone"])


def document() -> Json:
    made: Json = json.loads(by_hand())
    return made


def test_one_of_everything_fits_the_schema() -> None:
    assert faults(document()) == []
    (plan,) = document()["plans"]
    assert (plan["outcome"], plan["complete"]) == ("could not be reviewed", False)
    assert plan["crashes"] == [{"rule": "base-combustible", "message": "KeyError: x"}]


def test_a_finding_word_for_word() -> None:
    first = document()["plans"][0]["findings"][0]
    assert first == {
        "rule": "cap-insulation", "stakes": "breakage", "level": "error", "part": "bell-cap",
        "place": {"path": FILE, "line": 57, "column": 9, "end_line": 57, "end_column": 9,
                  "pointer": "/parts/bell-cap/layers/0"},
        "related": [],
        "walk_to": "bell / cap / hot face", "found": "bare concrete",
        "quantities": [
            {"what": "peak", "where": "span", "unit": "degC", "low": 272.0, "mid": 324.0,
             "high": 387.13,
             "limit": {"value": 175.0, "unit": "degC", "sense": "at most", "key": "CON-175",
                       "meaning": "in excursions", "scope": "x", "binds": []},
             "past": 32, "cases": 32, "exact": False},
            {"what": "hours above", "where": "", "unit": "degC", "low": 0.4, "mid": 0.9,
             "high": 1.2, "limit": None, "past": 32, "cases": 32, "exact": False},
        ],
        "cases": {"past": 32, "of": 32}, "likelihood": "certain",
        "why": "it cracks across the span",
        "notes": [{"text": "the mean limit holds up to 620 mm",
                   "values": [{"value": 0.62, "unit": "m"}]}],
        "remedies": first["remedies"],
        "sources": [{"key": "CON-175", "title": "a standard", "edition": "2001", "clause": "1.2",
                     "grade": "read"}],
        "accepted_by": None, "standing": None, "before": None,
    }  # fmt: skip


def test_a_remedy_word_for_word() -> None:
    does, tried = document()["plans"][0]["findings"][0]["remedies"]
    assert does["edits"] == [
        {"op": "add", "path": "/parts/a~1b/layers/0", "value": {"material": "x"}},
        {"op": "add", "path": "/parts/cap/bearing", "value": "90 mm"},
    ]
    assert does["effects"] == [{"where": "bell-wall course 8", "by_K": 77.0, "peak_degC": 395.0}]
    assert does["brings"] == [{"rule": "wet-stone", "part": "bell-wall"}]
    assert (does["passes"], does["recomputed"], does["with_the_others"]) == (True, True, False)
    assert (tried["passes"], tried["edits"]) == (False, [])


def test_a_clause_has_neither_cases_nor_likelihood() -> None:
    second = document()["plans"][0]["findings"][1]
    assert (second["cases"], second["likelihood"], second["accepted_by"]) == (None, None, "agreed")
    (distance,) = second["quantities"]
    assert (distance["limit"]["value"], distance["limit"]["unit"]) == (0.9144, "m")
    assert (distance["mid"], distance["exact"]) == (0.09, True)


def test_what_a_row_leaves_out_is_null() -> None:
    bare = replace(CON, source=replace(CON.source, edition="-", clause=""))
    answer = Answer(file=FILE, review=review(item(finding(measure(1.0, 2.0, 300.0, bare)))))
    (source,) = json.loads(machine_report([answer], asked=[], left_out=[]))["plans"][0][
        "findings"
    ][0]["sources"]
    assert (source["edition"], source["clause"]) == (None, None)


def test_a_failure_and_a_mistake() -> None:
    start = Mark(line=3, column=0, offset=40)
    fault = Mistake(
        span=Span(file=FILE, start=start, end=replace(start, column=5)), path=(), message="no",
        remedy="yes",
    )  # fmt: skip
    answers = [Answer(file="a", failure="did not settle"), Answer(file="b", mistakes=(fault,))]
    made = json.loads(machine_report(answers, asked=[], left_out=[]))
    assert faults(made) == [] and made["status"] == 2
    assert made["plans"][0]["failure"] == "did not settle"
    assert made["plans"][1]["mistakes"] == [
        {"place": {"path": FILE, "line": 4, "column": 1, "end_line": 4, "end_column": 6,
                   "pointer": ""}, "message": "no", "remedy": "yes"},
    ]  # fmt: skip


@pytest.mark.parametrize("hold", LEAST)
def test_the_hold_is_told_in_full(hold: Any) -> None:
    answer = Answer(file=FILE, review=replace(review(), hold=hold))
    made = json.loads(machine_report([answer], asked=[], left_out=[], hold=hold))
    assert faults(made) == []
    told = {s: level for s, level in made["hold"]["from_level"].items() if level is not None}
    assert (made["hold"]["at"], told) == (hold, dict(LEAST[hold]))


# -- figures and bytes --------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("value", "unit", "rounded"),
    [
        (324.004999, "degC", 324.0), (324.005001, "degC", 324.01), (-0.001, "K", 0.0),
        (0.0000049, "m", 0.0), (0.123456, "m", 0.12346), (5.00006, "h", 5.0001),
        (0.00059123456, "strain", 0.0005912), (7.0, "count", 7.0),
    ],
)  # fmt: skip
def test_figures_have_fixed_steps(value: float, unit: Any, rounded: float) -> None:
    made = figure(value, unit)
    assert made == rounded and str(made) != "-0.0"


def test_the_last_bits_of_the_arithmetic_do_not_show() -> None:
    def told(shift: float) -> str:
        values = (272.123 * shift, 324.456 * shift, 387.789 * shift)
        answer = Answer(file=FILE, review=review(item(finding(measure(*values, CON)))))
        return machine_report([answer], asked=[], left_out=[])

    assert told(1.0) == told(1.0 + 1e-9) == told(1.0 - 1e-9)
    assert told(1.0) != told(1.0 + 1e-4)


def test_it_is_plain_ascii_and_ends_in_one_line_break() -> None:
    answer = Answer(file=FILE, review=review(title="S\u00e4gewerk \x1b[31m"))
    text = machine_report([answer], asked=[], left_out=[])
    assert text.isascii() and text.endswith("}\n") and "\x1b" not in text
    assert json.loads(text)["plans"][0]["title"] == "S\u00e4gewerk \x1b[31m"


def test_a_file_name_that_is_no_text_is_still_one_in_the_document() -> None:
    """RFC 8259, 8.2: what software makes of a lone surrogate is anybody's guess."""
    named = os.fsdecode(b"caf\xe9-\xc3\xa9.heater.yaml")
    answer = Answer(file=named, review=review(title="\ud800 alone"))
    text = machine_report([answer], asked=[], left_out=[])
    (plan,) = json.loads(text)["plans"]
    assert plan["file"] == "caf\\xe9-\u00e9.heater.yaml"
    assert plan["title"] == "\\ud800 alone"
    text.encode("ascii").decode("ascii")
    json.dumps(json.loads(text), ensure_ascii=False).encode("utf-8")  # fails on a lone one


def test_what_is_no_number_is_not_written() -> None:
    answer = Answer(
        file=FILE, review=review(item(finding(measure(1.0, 2.0, float("nan"), CON))))
    )
    with pytest.raises(ValueError, match="JSON compliant"):
        machine_report([answer], asked=[], left_out=[])


def test_operations_say_the_same_as_our_own_edits() -> None:
    tree = {"a": {"list": [1, 2, 3]}, "b": "x"}
    made = (
        Edit(path=("a", "list", 1), value=9, insert=True), Edit(path=("a", "list", 0), value=7),
        Edit(path=("a", "list", 4), value=8, insert=True), Edit(path=("b",), value="y"),
        Edit(path=("c",), value={"d": 1}),
    )  # fmt: skip
    assert patched(tree, edits(made)) == apply(tree, made)
    assert [one["op"] for one in edits(made)] == ["add", "replace", "add", "add", "add"]


# -- the schema ---------------------------------------------------------------------------------


def records(node: object) -> Iterator[Json]:
    if isinstance(node, dict):
        if "properties" in node:
            yield node
        for value in node.values():
            yield from records(value)
    elif isinstance(node, list):
        for value in node:
            yield from records(value)


def test_the_schema_is_one() -> None:
    jsonschema.Draft202012Validator.check_schema(SCHEMA)
    assert SCHEMA["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    text = (SCHEMAS / "report-1.json").read_text(encoding="utf-8")
    assert text.isascii()


def test_every_record_is_closed_whole_and_described() -> None:
    """A key is always there: a reader need not tell missing from empty."""
    found = list(records(SCHEMA))
    assert len(found) >= 25
    for record in found:
        name = record["title"]
        assert record["additionalProperties"] is False and record["description"], name
        assert record["required"] == list(record["properties"]), name
        for key, value in record["properties"].items():
            assert value.get("description", "").endswith("."), f"{name}: {key}"


def test_every_definition_is_used() -> None:
    text = json.dumps(SCHEMA)
    for name in SCHEMA["$defs"]:
        assert f'"#/$defs/{name}"' in text, name


def spoilt() -> Iterator[tuple[str, Json]]:
    """The full document with each key of each record taken away or one added."""
    def walk(node: Any, way: tuple[Any, ...]) -> Iterator[tuple[Any, ...]]:
        if isinstance(node, dict):
            yield way
        for step, value in node.items() if isinstance(node, dict) else enumerate(node):
            if isinstance(value, (dict, list)) and "value" not in way:
                yield from walk(value, (*way, step))

    for way in walk(document(), ()):
        if "edits" in way and way[-1] == "value":
            continue  # what is written into a plan is the plan's business
        for key in (*at(document(), way), "x-other"):
            made = document()
            record = at(made, way)
            if key in record:
                del record[key]
            else:
                record[key] = 1
            yield f"{way} {key}", made


def at(node: Any, way: tuple[Any, ...]) -> Any:
    for step in way:
        node = node[step]
    return node


def test_the_schema_sees_every_missing_and_every_added_key() -> None:
    seen = 0
    engine = jsonschema.Draft202012Validator(SCHEMA)
    for name, made in spoilt():
        assert not engine.is_valid(made), name
        seen += 1
    assert seen > 150


def test_places_of_the_hand_made_review_are_counted_from_one() -> None:
    assert span(56, 8).label() == f"{FILE}:57:9"
