"""What things are called, in which order they stand and in which units they are written decides
nothing: whole plans are rewritten so, and must get the same verdicts, levels and numbers."""

from __future__ import annotations

import json
import re
from dataclasses import fields, is_dataclass
from functools import cache
from pathlib import Path
from typing import Any, Callable, Mapping

import pytest

from stovelint.assemble import load
from stovelint.catalogue import Catalogue
from stovelint.cli import main
from stovelint.hotmap.compute import hot_map
from stovelint.review import Review, check_materials, review
from stovelint.rulebook import PLAN, load as load_rules
from stovelint.source import read_plan
from tests.tree import ROOT, RULES, shown

Tree = dict[str, Any]
Names = Mapping[str, str]

PLANS = sorted([*(ROOT / "fixtures" / "plans").glob(f"*{PLAN}"), *RULES.glob(f"*/*/*{PLAN}")])
SOME = [
    *sorted((ROOT / "fixtures" / "plans").glob(f"*{PLAN}")),
    *(min(rule.glob(f"fails/*{PLAN}")) for rule in sorted(RULES.glob("*-*"))),
]
"""The plans of people, and of every rule one example that it objects to."""
GROUPS = ("chambers", "parts", "surroundings")
MATERIAL_KEYS = frozenset({"material", "mortar"})


def id_of(plan: Path) -> str:
    return shown(plan).removesuffix(PLAN)


# -- rewriting a plan ---------------------------------------------------------------------------


@cache
def _text_of(plan: Path) -> str:
    return json.dumps(read_plan(str(plan), plan.name).tree)


def tree_of(plan: Path) -> Tree:
    tree: Tree = json.loads(_text_of(plan))
    return tree


def materials_renamed(node: Any, new: Callable[[str], str], names: dict[str, str]) -> Any:
    """Every material, mortar, shield and reinforcement under another name."""

    def renamed(name: str) -> str:
        names[name] = new(name)
        return names[name]

    if isinstance(node, list):
        return [materials_renamed(one, new, names) for one in node]
    if not isinstance(node, dict):
        return node
    found: Tree = {}
    for key, value in node.items():
        if key in MATERIAL_KEYS and isinstance(value, str):
            found[key] = renamed(value)
        elif key in ("shield", "reinforcement") and isinstance(value, dict):
            found[key] = {**value, "kind": renamed(value["kind"])}
        else:
            found[key] = materials_renamed(value, new, names)
    return found


def things_renamed(tree: Tree, names: Names) -> Tree:
    """Chambers, parts and surroundings under other names, also where they name one another."""

    def renamed(node: Any) -> Any:
        if isinstance(node, dict):
            return {
                names.get(key, key): value
                if key in MATERIAL_KEYS or key in ("kind", "reason", "who") else renamed(value)
                for key, value in node.items()
            }  # fmt: skip
        if isinstance(node, list):
            return [renamed(value) for value in node]
        return names.get(node, node) if isinstance(node, str) else node

    whole = (*GROUPS, "variances")
    return {key: renamed(value) if key in whole else value for key, value in tree.items()}


def turned(node: Any) -> Any:
    """Every mapping the other way round. Lists stay: layers lie in an order."""
    if isinstance(node, dict):
        return {key: turned(node[key]) for key in reversed(node)}
    return [turned(one) for one in node] if isinstance(node, list) else node


IN_OTHER_UNITS: Mapping[str, Callable[[float], str]] = {
    "mm": lambda v: f"{v / 25.4:.9f} in",
    "m": lambda v: f"{v / 0.3048:.9f} ft",
    "cm2": lambda v: f"{v / 6.4516:.9f} in2",
    "m2": lambda v: f"{v / 0.09290304:.9f} ft2",
    "cm2/m": lambda v: f"{v * 0.3048 / 6.4516:.9f} in2/ft",
    "kg": lambda v: f"{v / 0.45359237:.9f} lb",
    "degC": lambda v: f"{1.8 * v + 32.0:.9f} degF",
    "h": lambda v: f"{60.0 * v:g} min",
    "min": lambda v: f"{60.0 * v:g} s",
}
QUANTITY = re.compile(r"(?<![\w.])(-?\d+(?:\.\d+)?) (mm|m|cm2/m|cm2|m2|kg|degC|h|min)(?![\w/])")
TOLD = frozenset({"title", "notes", "drawing", "reason", "who"})


def in_other_units(node: Any) -> Any:
    if isinstance(node, dict):
        return {key: v if key in TOLD else in_other_units(v) for key, v in node.items()}
    if isinstance(node, list):
        return [in_other_units(one) for one in node]
    if not isinstance(node, str):
        return node
    return QUANTITY.sub(lambda found: IN_OTHER_UNITS[found[2]](float(found[1])), node)


# -- reviewing it -------------------------------------------------------------------------------


@cache
def book() -> tuple[Any, ...]:
    return load_rules()


def reviewed(tree: Tree, folder: Path, catalogue: Catalogue | None = None) -> Review:
    """By every rule, in the middle case; JSON is YAML, so the tree is read as any plan is."""
    file = folder / f"plan{PLAN}"
    file.write_text(json.dumps(tree, indent=1), encoding="utf-8")
    catalogue = catalogue or Catalogue()
    loaded = load(str(file), file.name)
    assert check_materials(loaded.build, catalogue, loaded.source.places) == ()
    result = review(
        file=file.name, places=loaded.source.places, build=loaded.build,
        hot=hot_map(loaded.build, catalogue, members=1), catalogue=catalogue, rules=book(),
    )  # fmt: skip
    assert result.crashes == ()
    return result


def plainly(value: Any, back: Callable[[str], str]) -> Any:
    """Records, texts and numbers as nested tuples, with every name put back."""
    if isinstance(value, str):
        return back(value)
    if is_dataclass(value) and not isinstance(value, type):
        return tuple(
            plainly(getattr(value, field.name), back)
            for field in fields(value) if field.name != "span"
        )  # fmt: skip
    if isinstance(value, (tuple, list)):
        return tuple(plainly(one, back) for one in value)
    return value


def said(result: Review, back: Callable[[str], str] = str) -> tuple[Any, ...]:
    """Everything in a review but where it stands in the file."""
    return (
        result.verdict,
        plainly(result.items, back),
        plainly(result.open, back),
        tuple(sorted(plainly(result.assumptions, back))),
    )


def putting_back(names: Names) -> Callable[[str], str]:
    """Texts with each new name as the old one again."""
    old = {new: name for name, new in names.items()}
    words = "|".join(sorted(map(re.escape, old), key=len, reverse=True))
    found = re.compile(rf"(?<![\w-])({words})(?![\w-])")
    return lambda text: found.sub(lambda one: old[one[1]], text)


def assert_same(found: Any, expected: Any, within: float) -> None:
    """Equal, but for numbers that may differ by so much."""
    if isinstance(expected, float) and isinstance(found, float):
        assert found == expected or abs(found - expected) <= within, (found, expected)
        return
    if not isinstance(expected, tuple) or not isinstance(found, tuple):
        assert found == expected
        return
    assert len(found) == len(expected), (found, expected)
    for one, other in zip(found, expected):
        assert_same(one, other, within)


@cache
def as_drawn(plan: Path, folder: Path) -> tuple[Any, ...]:
    return said(reviewed(tree_of(plan), folder))


@pytest.fixture(scope="module")
def drawn(tmp_path_factory: pytest.TempPathFactory) -> Callable[[Path], tuple[Any, ...]]:
    folder = tmp_path_factory.mktemp("drawn")
    return lambda plan: as_drawn(plan, folder)


Drawn = Callable[[Path], tuple[Any, ...]]


# -- other names --------------------------------------------------------------------------------


def other_things(tree: Tree) -> dict[str, str]:
    """Names that sort the other way round."""
    old = [name for group in GROUPS for name in tree.get(group, {})]
    return {name: f"z{99 - i}-{name[::-1].strip('-')}" for i, name in enumerate(old)}


def with_materials(tree: Tree, new: Callable[[str], str]) -> tuple[Tree, dict[str, str], Catalogue]:
    """The tree, the names, and a catalogue that holds the same rows under the new ones."""
    names: dict[str, str] = {}
    renamed = materials_renamed(tree, new, names)
    shipped = Catalogue()
    return renamed, names, Catalogue({names[old]: shipped.get(old).raw for old in names})


@pytest.mark.parametrize("plan", PLANS, ids=id_of)
def test_names_decide_nothing(plan: Path, drawn: Drawn, tmp_path: Path) -> None:
    """Materials, chambers, parts and surroundings at once: names of things sort the other way
    round, those of materials (`quay-`) fall into another place of the alphabet."""
    tree, materials, catalogue = with_materials(tree_of(plan), lambda name: f"quay-{name}")
    things = other_things(tree)
    assert materials and things
    result = reviewed(things_renamed(tree, things), tmp_path, catalogue)
    # the same sums in the same order
    assert_same(said(result, putting_back({**things, **materials})), drawn(plan), within=1e-9)


def test_what_is_held_to_be_the_same_is_not_nothing(drawn: Drawn) -> None:
    """Every rule speaks in some of these plans, at more than one level."""
    found = [(item[0][0], item[1]) for plan in PLANS for item in drawn(plan)[1]]
    assert {rule for rule, _ in found} == {rule.name for rule in book()}
    assert {level for _, level in found} == {"note", "warning", "error"}
    assert {drawn(plan)[0] for plan in PLANS} == {"clear", "as noted", "revise"}


def test_another_material_is_seen(drawn: Drawn, tmp_path: Path) -> None:
    """The comparison is no blind one: a row that differs a little is another verdict or number."""
    plan = RULES / "cap-insulation" / "fails" / f"bare-slate{PLAN}"
    tree, names, catalogue = with_materials(tree_of(plan), lambda name: f"quay-{name}")
    rows = {new: dict(catalogue.get(new).raw) for new in names.values()}
    density = dict(rows["quay-slate"]["density_kg_m3"])  # type: ignore[call-overload]
    density["value"] = [0.9 * one for one in density["value"]]
    rows["quay-slate"]["density_kg_m3"] = density
    result = reviewed(tree, tmp_path, Catalogue(rows))
    with pytest.raises(AssertionError):
        assert_same(said(result, putting_back(names)), drawn(plan), within=1e-3)


# -- other order, other units -------------------------------------------------------------------


def by_text(told: tuple[Any, ...]) -> tuple[Any, ...]:
    """Findings and questions in an order of their own, numbers left out of it."""

    def words(value: Any) -> str:
        if isinstance(value, tuple):
            return " ".join(map(words, value))
        return value if isinstance(value, str) else ""

    verdict, items, questions, assumed = told
    return verdict, tuple(sorted(items, key=words)), tuple(sorted(questions, key=words)), assumed


@pytest.mark.parametrize("plan", SOME, ids=id_of)
def test_the_order_of_the_file_decides_nothing(plan: Path, drawn: Drawn, tmp_path: Path) -> None:
    found = said(reviewed(turned(tree_of(plan)), tmp_path))
    # other sums in another order: two solutions end within 0.1 K of where both go
    assert_same(by_text(found), by_text(drawn(plan)), within=0.2)


@pytest.mark.parametrize("plan", SOME, ids=id_of)
def test_units_decide_nothing(plan: Path, drawn: Drawn, tmp_path: Path) -> None:
    tree = in_other_units(tree_of(plan))
    text = json.dumps(tree)
    assert " in\"" in text and " ft\"" in text and " lb\"" in text and " mm\"" not in text
    # nine digits of an inch; what the passes make of the last one stays well under their own 0.1 K
    assert_same(said(reviewed(tree, tmp_path)), drawn(plan), within=0.02)


# -- the whole report, remedies and all ---------------------------------------------------------


@pytest.mark.parametrize(
    "name", ["cap-insulation/fails/bare-concrete", "combustible-clearance/fails/gap-filled"]
)
def test_the_whole_report_is_the_same_but_for_the_names(
    name: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Names of the same length, so that every line breaks where it did."""
    plan = RULES / f"{name}{PLAN}"
    file = tmp_path / f"kiln{PLAN}"

    def report(tree: Tree) -> tuple[int, str]:
        file.write_text(json.dumps(tree, indent=1), encoding="utf-8")
        status = main(["review", str(file)])
        return status, capsys.readouterr().out

    def backwards(word: str) -> str:
        return re.sub("^[^a-z]", "q", word[::-1])

    expected = report(tree_of(plan))
    tree, materials, catalogue = with_materials(tree_of(plan), backwards)
    things = {n: backwards(n) for group in GROUPS for n in tree.get(group, {})}
    names = {**things, **materials}
    assert len(set(names.values())) == len(names) and not set(names) & set(names.values())
    monkeypatch.setattr("stovelint.catalogue.Catalogue", lambda: catalogue)
    status, told = report(things_renamed(tree, things))
    assert any(word in told for word in names.values())
    assert (status, re.sub(r"(?<=:)\d+:\d+", "", putting_back(names)(told))) == (
        expected[0], re.sub(r"(?<=:)\d+:\d+", "", expected[1]),
    )  # fmt: skip
