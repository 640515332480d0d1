"""What must change nothing: units, names, order of the file, a material's name, a second run."""

from __future__ import annotations

import re
from typing import Any

import numpy as np
import pytest

from stovelint.catalogue.catalogue import Catalogue
from stovelint.hotmap.compute import hot_map
from stovelint.hotmap.records import CycleHeat
from tests.hotmap.plans import CATALOGUE, Tree, built, cycle, demo, stretch_m

Numbers = dict[tuple[str, str, str], list[float]]


def numbers(heat: CycleHeat, names: dict[str, str] | None = None) -> Numbers:
    """Every number of the cycle by place, with names put back to the old ones."""

    def old(name: str) -> str:
        return (names or {}).get(name, name)

    found: Numbers = {}
    for one in heat.patches:
        where = f"{stretch_m(one)[0] + 1e-4:.3f}" + (" edge" if one.where == "bearing edge" else "")
        values = [one.area_m2, *one.heat_in_kWh.values]
        for layer in one.layers:
            for depth in (layer.hot, layer.hot_zone, layer.middle, layer.cold):
                values += [*depth.peak_C.values, *depth.mean_C.values, depth.peak_at_s]
        found[old(one.part), old(one.chamber), where] = values
    for wood in heat.combustibles:
        found[old(wood.surrounding), old(wood.seen_part), "wood"] = [
            *wood.peak_C.values, *wood.mean_C.values, *wood.surface_peak_C.values
        ]
    for name, peak in heat.chamber_peak_C.items():
        found["gas", old(name), ""] = [*peak.values]
    found["exit", "", ""] = [*heat.exit_burn_mean_C.values, *heat.to_room_share.values]
    return found


def assert_same(found: Numbers, expected: Numbers, within: float) -> None:
    assert found.keys() == expected.keys()
    for key, values in expected.items():
        assert np.abs(np.array(found[key]) - np.array(values)).max() <= within, key


@pytest.fixture(scope="module")
def drawn() -> Numbers:
    return numbers(cycle(demo(), members=4))


def renamed(tree: Any, names: dict[str, str]) -> Any:
    """Every key and text that is one of the names, replaced, at any depth."""
    if isinstance(tree, dict):
        return {names.get(key, key): renamed(value, names) for key, value in tree.items()}
    if isinstance(tree, list):
        return [renamed(value, names) for value in tree]
    return names.get(tree, tree) if isinstance(tree, str) else tree


def test_names_of_chambers_and_parts_change_nothing(drawn: Numbers) -> None:
    """Names that sort the other way round, and one that is also a kind."""
    plan = demo()
    names = {old: f"z{99 - i}-{old[::-1]}" for i, old in enumerate(plan["parts"])}
    names |= {"riser": "throat", "bench": "a-seat"}
    tree: Tree = {key: plan[key] for key in plan}
    for group in ("chambers", "parts", "surroundings"):
        # kinds carry the same words as names do, and stay
        tree[group] = {
            names.get(name, name): {
                key: value if key == "kind" else renamed(value, names)
                for key, value in record.items()
            }
            for name, record in plan[group].items()
        }
    back = {new: old for old, new in names.items()}
    # the same sums in the same order; only pockets are taken by name, and there is one
    assert_same(numbers(cycle(tree, members=4), back), drawn, within=1e-9)


def test_the_order_of_the_file_changes_nothing(drawn: Numbers) -> None:
    def turned(tree: Any, depth: int) -> Any:
        if isinstance(tree, dict) and depth:
            return {key: turned(tree[key], depth - 1) for key in reversed(tree)}
        return tree

    heat = cycle(turned(demo(), 4), members=4)
    # other sums in another order: rounding, which the passes may carry on but not beyond their end
    assert_same(numbers(heat), drawn, within=0.2)


def in_inches(value: Any) -> Any:
    """Every length in mm or m written in inches, whole tree."""
    if isinstance(value, dict):
        return {key: in_inches(entry) for key, entry in value.items()}
    if isinstance(value, list):
        return [in_inches(entry) for entry in value]
    if not isinstance(value, str):
        return value

    def inch(found: re.Match[str]) -> str:
        mm = float(found[1]) * {"mm": 1.0, "m": 1000.0}[found[2]]
        return f"{mm / 25.4:.9f} in"

    return re.sub(r"\b(\d+(?:\.\d+)?) (mm|m)\b", inch, value)


def test_units_change_nothing(drawn: Numbers) -> None:
    tree = in_inches(demo())
    tree["site"]["room"], tree["site"]["outdoors"] = "68 degF", "23 degF"
    tree["site"]["ground"] = "46.4 degF"
    tree["firing"]["usual"] = {"charge": "10000 g", "burn": "4800 s", "every": "720 min"}
    assert tree["chambers"]["bell"]["size"]["width"].endswith(" in")
    # nine digits of an inch; the passes end within 0.1 K of where both go
    assert_same(numbers(cycle(tree, members=4)), drawn, within=0.02)


def test_a_material_by_another_name_changes_nothing(drawn: Numbers) -> None:
    own = {
        f"own-{name}": dict(CATALOGUE.get(name).raw)
        for name in ("clay-brick-common", "hollow-block-normal", "softwood", "glass-ceramic")
    }
    tree = renamed(demo(), {old.removeprefix("own-"): old for old in own})
    tree["firing"] = demo()["firing"]  # softwood is also what burns
    heat = cycle(tree, members=4, catalogue=Catalogue(extra=own))
    assert_same(numbers(heat), drawn, within=1e-9)  # the same numbers in the same order


def test_the_same_plan_gives_the_same_bytes() -> None:
    runs = [
        hot_map(built(demo()), Catalogue(), states=("usual", "hardest"), members=4)
        for _ in range(2)
    ]
    for state in ("usual", "hardest"):
        one, two = (numbers(run.cycles[state]) for run in runs)
        assert_same(one, two, within=0.0)
