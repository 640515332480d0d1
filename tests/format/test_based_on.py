"""`based_on`: what is merged, where each thing then stands, and what stops it."""

from __future__ import annotations

import json
from typing import Any, Iterator

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from stovelint.assemble import assemble
from stovelint.errors import BuildFileError
from stovelint.place import MOST_MISTAKES, Mistake, Path, Span
from stovelint.source import Source
from stovelint.source.based_on import MOST_BASES
from stovelint.source.text import MAX_BYTES
from tests.format.plans import TEXT
from tests.format.shelves import Memory, as_json, as_toml, as_yaml, read, refused
from tests.format.test_merge import by_the_book
from tests.format.test_yaml_places import assert_counts_like_an_editor

CORE = """\
format: 1
title: Kit core
site: {room: 20 degC, altitude: 200 m}
parts:
  lid:
    kind: cap
    layers:
      - {material: granite}
      - {material: ifb-23}
  door: {kind: glass, area: 1 m2}
"""
BOX = """\
format: 1
based_on: kits/kit-core.heater.yaml
title: Signal Box
site:
  altitude: null
parts:
  lid:
    layers: [{material: soapstone}]
  door: {area: 2 m2}
  shelf: {kind: wall}
"""
TWO = {"kits/kit-core.heater.yaml": CORE, "box.heater.yaml": BOX}


def stands(texts: dict[str, str], span: Span) -> str:
    return texts[span.file][span.start.offset : span.end.offset]


# -- places -------------------------------------------------------------------------------------


def test_the_tree_is_merged_and_does_not_say_what_it_is_based_on() -> None:
    assert read(TWO, "box.heater.yaml").tree == {
        "format": 1,
        "title": "Signal Box",
        "site": {"room": "20 degC"},
        "parts": {
            "lid": {"kind": "cap", "layers": [{"material": "soapstone"}]},
            "door": {"kind": "glass", "area": "2 m2"},
            "shelf": {"kind": "wall"},
        },
    }


@pytest.mark.parametrize(
    ("path", "label", "text"),
    [
        (("title",), "box.heater.yaml:3:8", "Signal Box"),
        (("site", "room"), "kits/kit-core.heater.yaml:3:14", "20 degC"),
        (("parts", "lid", "kind"), "kits/kit-core.heater.yaml:6:11", "cap"),
        (("parts", "lid", "layers", 0, "material"), "box.heater.yaml:8:25", "soapstone"),
        (("parts", "door", "kind"), "kits/kit-core.heater.yaml:10:16", "glass"),
        (("parts", "door", "area"), "box.heater.yaml:9:16", "2 m2"),
        (("parts", "shelf", "kind"), "box.heater.yaml:10:17", "wall"),
        # What is in neither, at the nearest parent in the topmost file that has it.
        (("parts", "door", "layers"), "box.heater.yaml:9:3", "door"),
        (("parts", "lid", "layers", 1, "material"), "box.heater.yaml:8:5", "layers"),
        (("site", "outdoors"), "box.heater.yaml:4:1", "site"),
        (("firing",), "box.heater.yaml:1:1", BOX.rstrip("\n")),
        # What was taken away, where it was taken.
        (("site", "altitude"), "box.heater.yaml:5:13", "null"),
        (("based_on",), "box.heater.yaml:2:11", "kits/kit-core.heater.yaml"),
    ],
)
def test_everything_stands_in_the_file_that_set_it(path: Path, label: str, text: str) -> None:
    span = read(TWO, "box.heater.yaml").places.value(path)
    assert (span.label(), stands(TWO, span)) == (label, text)


def test_the_source_keeps_every_file_as_it_is() -> None:
    source = read(TWO, "box.heater.yaml")
    assert (source.file, source.text) == ("box.heater.yaml", BOX)
    assert [(one.file, one.text) for one in source.chain] == [
        ("box.heater.yaml", BOX), ("kits/kit-core.heater.yaml", CORE),
    ]  # fmt: skip
    assert source.chain[0].tree["based_on"] == "kits/kit-core.heater.yaml"
    assert source.chain[0].places.value(("parts", "lid")).file == "box.heater.yaml"
    assert source.files == (
        ("box.heater.yaml", BOX.encode()), ("kits/kit-core.heater.yaml", CORE.encode()),
    )  # fmt: skip
    alone = read(TWO, "kits/kit-core.heater.yaml")
    assert alone.chain == () and alone.places.bases is None
    assert alone.files == (("kits/kit-core.heater.yaml", CORE.encode()),)


def test_nothing_is_located_that_nobody_asks_for(monkeypatch: pytest.MonkeyPatch) -> None:
    """A clean plan must not pay for the positions of a base in JSON."""
    from stovelint.source import json as json_format

    core = as_json(read(TWO, "kits/kit-core.heater.yaml").tree)
    texts = {**TWO, "kits/kit-core.heater.json": core}
    texts["box.heater.yaml"] = BOX.replace("kit-core.heater.yaml", "kit-core.heater.json")
    monkeypatch.setattr(json_format, "scan_json", lambda *_: pytest.fail("scanned"))
    places = read(texts, "box.heater.yaml").places
    assert places.value(("parts", "door", "area")).label() == "box.heater.yaml:9:16"
    monkeypatch.undo()
    assert places.value(("parts", "door", "kind")).file == "kits/kit-core.heater.json"


NAMES = st.sampled_from(["lid", "door", "size", "b"])
LEAVES = st.integers(-9, 99) | st.booleans() | st.text("\u00e9\U0001f525 a:#'\"{", max_size=4)
VALUES = LEAVES | st.lists(LEAVES, max_size=3)


def trees(leaves: st.SearchStrategy[Any]) -> st.SearchStrategy[dict[str, Any]]:
    inner = st.recursive(leaves, lambda one: st.dictionaries(NAMES, one, max_size=3), max_leaves=9)
    return st.dictionaries(NAMES, inner, min_size=1, max_size=4)


PATCHES = st.tuples(
    trees(VALUES | st.none()), st.sampled_from([("json", as_json), ("yaml", as_yaml)])
) | st.tuples(trees(VALUES), st.just(("toml", as_toml)))


@settings(max_examples=200)
@given(st.lists(PATCHES, min_size=2, max_size=4))
def test_every_leaf_of_the_merged_tree_stands_where_it_is_said_to(drawn: list[Any]) -> None:
    """The text at the place of a value, read for itself, is that value; in every mix of formats."""
    names = [f"plan-{number}.heater.{ending}" for number, (_, (ending, _)) in enumerate(drawn)]
    texts: dict[str, str] = {}
    expected: Any = {}
    for number in reversed(range(len(drawn))):
        tree, (_, write) = drawn[number]
        if number == len(drawn) - 1:
            tree = expected = by_the_book({}, tree)
        else:
            expected = by_the_book(expected, tree)
            tree = {"based_on": names[number + 1], **tree}
        texts[names[number]] = write(tree)
    assume(texts[names[-1]].strip() not in ("", "{}"))  # a base that says nothing is refused
    source = read(texts, names[0])
    assert source.tree == expected
    for path, value in leaves(source.tree):
        assert path in source.places.entries
        entry = source.places.entries[path]
        if value != {}:  # an empty map may stand there as one whose entries are all taken away
            assert json.loads(stands(texts, entry.value)) == value, path
        if entry.key is not None:
            assert stands(texts, entry.key).strip("\"'").split(".")[-1] == path[-1]
            assert_counts_like_an_editor(texts[entry.key.file], entry.key.start)


def leaves(node: Any, path: Path = ()) -> Iterator[tuple[Path, Any]]:
    if isinstance(node, dict) and node:
        for key, value in node.items():
            yield from leaves(value, (*path, key))
        return
    if path:
        yield path, node
    if isinstance(node, list):
        for number, value in enumerate(node):
            yield from leaves(value, (*path, number))


@pytest.mark.parametrize(
    ("base", "middle", "plan", "path", "where"),
    [
        # A map above a list hides the list, wherever a map is written again on top.
        ("a: [x, y]", "a: {b: 1}", "c: 1", ("a", 0), "middle"),
        ("a: {b: 1, c: 2}", "a: null", "a: {b: 3}", ("a", "c"), "plan"),
        ("a: {b: 1}", "a: x", "a: {c: 3}", ("a", "b"), "plan"),
        ("a: {b: {c: 1}}", "a: {b: [1]}", "d: 1", ("a", "b", "c"), "middle"),
        ("a: {b: 1}", "c: 1", "c: 2", ("a", "b"), "base"),
        ("a: {b: [1, 2]}", "a: {b: [3]}", "c: 2", ("a", "b", 1), "middle"),
    ],
)
def test_what_is_hidden_is_not_found_below(
    base: str, middle: str, plan: str, path: Path, where: str
) -> None:
    texts = {
        "base.heater.yaml": base,
        "middle.heater.yaml": f"based_on: base.heater.yaml\n{middle}",
        "plan.heater.yaml": f"based_on: middle.heater.yaml\n{plan}",
    }
    assert read(texts, "plan.heater.yaml").places.value(path).file == f"{where}.heater.yaml"


# -- mistakes of the merged plan ----------------------------------------------------------------


def wrong(texts: dict[str, str], plan: str = "box.heater.yaml") -> list[tuple[str, str]]:
    """Place and message of every mistake."""
    try:
        assemble(read(texts, plan))
    except BuildFileError as error:
        return [(m.span.label(), m.message) for m in error.mistakes if isinstance(m, Mistake)]
    return []


def on_example(patch: str, base: str = TEXT) -> list[tuple[str, str]]:
    """Mistakes of a plan that changes the example."""
    patch = f"based_on: example.heater.yaml\n{patch}"
    return wrong({"example.heater.yaml": base, "box.heater.yaml": patch})


def test_a_patch_that_says_little_makes_a_whole_plan() -> None:
    assert on_example("title: Signal Box\n") == []


def test_mistakes_stand_in_the_file_that_made_them() -> None:
    base = TEXT.replace("moisture: 18 %", "moisture: 18")
    said = on_example("parts:\n  door: {area: 10}\n  bell-cap: {layers: null}\n", base)
    where = [label.rsplit(":", 1)[0] for label, _ in said]
    line = base[: base.index("moisture: 18")].count("\n") + 1
    assert where == ["box.heater.yaml:3", "box.heater.yaml:4", f"example.heater.yaml:{line}"]
    assert said[1][1] == "`layers` is missing in `bell-cap`"


def test_both_files_are_read_to_the_end() -> None:
    """What does not stop the reading of either is told together with the rest."""
    said = on_example("title: a\ntitle: b\nfirring: {}\n", TEXT + "\nnotes: y\n")
    assert [label.split(":")[0] for label, _ in said] == [
        "box.heater.yaml", "box.heater.yaml", "example.heater.yaml",
    ]  # fmt: skip
    assert "already given" in said[0][1] and "unknown key `firring`" in said[1][1]


@pytest.mark.parametrize(
    ("patch", "label", "message", "remedy"),
    [
        ("parts: {lidd: null}", "box.heater.yaml:2:9", "`lidd` is to be taken away", "`lid`?"),
        ("coursing: null", "box.heater.yaml:2:1", "`coursing` is to be taken away",
         "what could be taken away here: format, title, site, parts"),
        ("new: {area: null}", "box.heater.yaml:2:7", "`area` is to be taken away",
         "delete this line"),
        ("title: {a: null}", "box.heater.yaml:2:9", "`a` is to be taken away", "delete this line"),
    ],
)  # fmt: skip
def test_a_null_that_removes_nothing_is_told(
    patch: str, label: str, message: str, remedy: str
) -> None:
    texts = {**TWO, "box.heater.yaml": f"based_on: kits/kit-core.heater.yaml\n{patch}\n"}
    (one,) = read(texts, "box.heater.yaml").mistakes
    assert (one.span.label(), one.message.split(",")[0]) == (label, message)
    assert one.remedy.endswith(remedy) and "kits/kit-core.heater.yaml holds no" in one.message


def test_an_empty_value_of_the_base_is_no_removal() -> None:
    texts = {**TWO, "kits/kit-core.heater.yaml": CORE + "notes:\n"}
    source = read(texts, "box.heater.yaml")
    assert source.tree["notes"] is None and source.mistakes == ()


# -- bases that cannot be had -------------------------------------------------------------------


@pytest.mark.parametrize(
    ("named", "message"),
    [
        ("kits/gone.heater.yaml", "`kits/gone.heater.yaml`: there is no such file"),
        ("3", "`based_on` is not the path of a build file"),
        ("[kit-core.heater.yaml]", "`based_on` is not the path of a build file"),
        ("null", "`based_on` is not the path of a build file"),
        ("true", "`based_on` is not the path of a build file"),
        ("''", "the path is empty"),
        ("/etc/kit-core.heater.yaml", "the path is absolute, and means nothing on another machine"),
        ("~/kit-core.heater.yaml", "`~` means nothing here"),
        ("~mason/kit-core.heater.yaml", "`~` means nothing here"),
        (r"kits\kit-core.heater.yaml", "the path holds a backslash"),
        ("https://kits.example/kit-core.heater.yaml",
         "this is an address or a drive, and only files of this root are read"),
        ("file:kit-core.heater.yaml",
         "this is an address or a drive, and only files of this root are read"),
        ("C:/kit-core.heater.yaml",
         "this is an address or a drive, and only files of this root are read"),
        ("../kit-core.heater.yaml", "the path leads out of the root of the plan"),
        ("kits/../../kit-core.heater.yaml", "the path leads out of the root of the plan"),
        ("notes.txt", "this is no name of a build file"),
        (".git/config", "this is no name of a build file"),
        ("x" * 1100 + ".heater.yaml", "the path is longer than 1024 signs"),
        ('"kit\\u00adcore.heater.yaml"', "the path holds a sign that cannot be seen"),
        ("box.heater.yaml", "here it goes round in a circle, back to box.heater.yaml"),
        ("kits/../box.heater.yaml", "here it goes round in a circle, back to box.heater.yaml"),
    ],
)  # fmt: skip
def test_a_base_that_cannot_be_is_told_at_its_name(named: str, message: str) -> None:
    text = f"format: 1\nbased_on: {named}\n"
    (one,) = refused({**TWO, "box.heater.yaml": text}, "box.heater.yaml")
    assert one.message == message and one.remedy
    assert one.path == ("based_on",) and one.span.label() == "box.heater.yaml:2:11"


def test_a_name_with_an_unseen_sign_never_reaches_the_shelf() -> None:
    from stovelint.source import read_plan

    shelf = Memory({"box.heater.yaml": 'based_on: "a\\0.heater.yaml"\n'})
    with pytest.raises(BuildFileError):
        read_plan("box.heater.yaml", shelf=shelf)
    assert shelf.asked == ["box.heater.yaml"]


def row(length: int, end: str = "title: Kit core\n") -> dict[str, str]:
    """A plan with so many bases in a row."""
    texts = {
        f"p{number}.heater.yaml": f"based_on: p{number + 1}.heater.yaml\nnotes: n{number}\n"
        for number in range(length)
    }
    return {**texts, f"p{length}.heater.yaml": end}


def test_a_row_of_bases_may_be_so_long_and_no_longer() -> None:
    source = read(row(MOST_BASES), "p0.heater.yaml")
    assert source.tree == {"title": "Kit core", "notes": "n0"}
    assert len(source.files) == MOST_BASES + 1
    bases = source.places.bases
    assert bases is not None and bases.plan == "p0.heater.yaml"
    assert bases.files == tuple(f"p{number}.heater.yaml" for number in range(1, MOST_BASES + 1))
    (one,) = refused(row(MOST_BASES + 1), "p0.heater.yaml")
    assert one.span.label() == f"p{MOST_BASES}.heater.yaml:1:11"
    assert one.message == f"more than {MOST_BASES} files are based on one another"


def test_a_circle_is_told_where_it_closes() -> None:
    texts = row(2, "based_on: p1.heater.yaml\n")
    (one,) = refused(texts, "p0.heater.yaml")
    assert one.span.label() == "p2.heater.yaml:1:11" and "back to p1.heater.yaml" in one.message


def test_a_broken_base_tells_its_own_mistakes_and_those_of_the_plan() -> None:
    texts = row(1, "title: [Kit\n")
    texts["p0.heater.yaml"] += "notes: again\n"
    said = refused(texts, "p0.heater.yaml")
    assert [one.span.label() for one in said] == ["p0.heater.yaml:3:1", "p1.heater.yaml:2:1"]


def test_names_are_told_as_the_plan_was_named() -> None:
    texts = {f"shop/plans/{name}": text for name, text in TWO.items()}
    texts["shop/kit-core.heater.yaml"] = CORE
    texts["shop/plans/box.heater.yaml"] = BOX.replace("kits/", "../")
    source = read(texts, "shop/plans/box.heater.yaml")
    assert [one.file for one in source.chain] == [
        "shop/plans/box.heater.yaml", "shop/kit-core.heater.yaml",
    ]  # fmt: skip


# -- what a report asks -------------------------------------------------------------------------


def elsewhere(source: Source, record: Path, file: str) -> list[str]:
    bases = source.places.bases
    assert bases is not None
    return [
        f"{'/'.join(map(str, one.path))} {one.span.label()}{' gone' if one.taken_away else ''}"
        for one in bases.elsewhere(record, file)
    ]


@pytest.mark.parametrize(
    ("record", "file", "said"),
    [
        # From the plan: where the record began.
        ("parts lid", "box", ["parts/lid kits/kit-core.heater.yaml:5:3"]),
        ("parts shelf", "box", []),
        ("site", "box", ["site kits/kit-core.heater.yaml:3:1"]),
        ("title", "box", []),
        # From the base: each change.
        ("parts lid", "core", ["parts/lid/layers box.heater.yaml:8:5"]),
        ("parts door", "core", ["parts/door/area box.heater.yaml:9:10"]),
        ("parts shelf", "core", ["parts/shelf box.heater.yaml:10:3"]),
        ("site", "core", ["site/altitude box.heater.yaml:5:3 gone"]),
        ("parts gone", "core", []),
    ],
)
def test_who_else_shares_in_a_record(record: str, file: str, said: list[str]) -> None:
    name = {"box": "box.heater.yaml", "core": "kits/kit-core.heater.yaml"}[file]
    assert elsewhere(read(TWO, "box.heater.yaml"), tuple(record.split()), name) == said


def test_a_change_that_was_changed_again_is_not_told() -> None:
    texts = {
        "base.heater.yaml": "a: {b: 1, c: 2, d: 3}",
        "middle.heater.yaml": "based_on: base.heater.yaml\na: {b: 4, c: 5}\n",
        "plan.heater.yaml": "based_on: middle.heater.yaml\na: {b: 6}\n",
    }
    source = read(texts, "plan.heater.yaml")
    assert elsewhere(source, ("a",), "base.heater.yaml") == [
        "a/b plan.heater.yaml:2:5", "a/c middle.heater.yaml:2:11",
    ]  # fmt: skip
    assert elsewhere(source, ("a",), "middle.heater.yaml") == [
        "a/b plan.heater.yaml:2:5", "a base.heater.yaml:1:1",
    ]  # fmt: skip
    texts["plan.heater.yaml"] = "based_on: middle.heater.yaml\na: {b: 6, c: 7, d: 8}\n"
    assert elsewhere(read(texts, "plan.heater.yaml"), ("a",), "plan.heater.yaml") == []


def test_what_was_taken_away_and_set_again_is_only_set() -> None:
    texts = {
        "base.heater.yaml": "a: {b: 1, c: 2, d: 3}",
        "middle.heater.yaml": "based_on: base.heater.yaml\na: {b: null, c: null}\n",
        "plan.heater.yaml": "based_on: middle.heater.yaml\na: {b: 6}\n",
    }
    assert elsewhere(read(texts, "plan.heater.yaml"), ("a",), "base.heater.yaml") == [
        "a/b plan.heater.yaml:2:5", "a/c middle.heater.yaml:2:14 gone",
    ]  # fmt: skip


# -- files that are made to be too much ---------------------------------------------------------


def test_all_files_of_a_plan_count_as_one() -> None:
    half = "notes: " + "x" * (MAX_BYTES // 2)
    texts = row(2, f"{half}\n")
    assert len(read(texts, "p0.heater.yaml").files) == 3
    texts["p1.heater.yaml"] += f"title: {half[7:]}\n"
    (one,) = refused(texts, "p0.heater.yaml")
    assert one.span.label() == "p1.heater.yaml:1:11"
    assert "with this the plan is larger" in one.message


def test_many_idle_nulls_are_not_all_told() -> None:
    names = [f"a{number}" for number in range(5000)]
    texts = {
        "core.heater.yaml": "\n".join(f"b{number}: 1" for number in range(5000)),
        "box.heater.yaml": "based_on: core.heater.yaml\n" + "\n".join(f"{n}:" for n in names),
    }
    mistakes = read(texts, "box.heater.yaml").mistakes
    assert len(mistakes) == MOST_MISTAKES + 1
    assert all(len(one.remedy) < 200 and one.remedy.endswith(", ...") for one in mistakes)
    assert len(wrong(texts)) == MOST_MISTAKES + 1


def test_a_long_row_of_mistakes_in_a_base_is_cut_short() -> None:
    texts = {
        "box.heater.yaml": "based_on: core.heater.yaml\n",
        "core.heater.yaml": "a: [" + "&x y, " * 999,
    }
    assert len(refused(texts, "box.heater.yaml")) <= MOST_MISTAKES + 1
