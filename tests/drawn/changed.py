"""The plans of `fixtures/plans`, changed in one to four places: figures scaled, keys dropped, words
and kinds swapped, parts doubled."""

from __future__ import annotations

import copy
import re

from stovelint.place import Path
from stovelint.source import read_plan
from tests.drawn.pen import MATERIALS, Pen, Tree
from tests.tree import ROOT

NUMBER = re.compile(r"-?\d+(?:\.\d+)?")
KINDS = {
    "chambers": ("firebox", "riser", "bell", "bench", "flue-run", "oven", "barrel",
                 "buried-pipe", "chimney"),
    "parts": ("wall", "cap", "floor", "door", "glass", "cook-plate", "bench-top", "facing",
              "partition", "base", "lintel", "hearth-extension"),
}  # fmt: skip
PLANS = {
    path.name: dict(read_plan(str(path), path.name).tree)
    for path in sorted((ROOT / "fixtures" / "plans").glob("*.heater.yaml"))
}
WORDS = ("title", "drawing", "notes", "datum", "carried_by", "held")
"""Words that no solver reads."""


def _leaves(tree: object, path: Path = ()) -> list[tuple[Path, object]]:
    """Every value of the tree with its path, branches before what hangs on them."""
    found: list[tuple[Path, object]] = [(path, tree)] if path else []
    if isinstance(tree, dict):
        for key, value in tree.items():
            found += [] if key in WORDS else _leaves(value, (*path, key))
    elif isinstance(tree, list):
        for index, value in enumerate(tree):
            found += _leaves(value, (*path, index))
    return found


def _at(tree: Tree, path: Path) -> Tree:
    holder: Tree = tree
    for step in path:
        holder = holder[step]  # type: ignore[index]
    return holder


def _scaled(pen: Pen, text: str) -> str:
    """The first figure of a quantity times a factor from 0.01 to 100."""
    factor = 10.0 ** (pen.whole(-200, 200) / 100.0)
    return NUMBER.sub(lambda found: f"{float(found[0]) * factor:.4f}".rstrip("0").rstrip("."), text, 1)


def _change(pen: Pen, tree: Tree) -> None:
    leaves = _leaves(tree)
    way = pen.whole(0, 9)
    if way < 5:
        quantities = [(p, v) for p, v in leaves if isinstance(v, str) and NUMBER.match(v)]
        path, value = pen.of(quantities)
        _at(tree, path[:-1])[path[-1]] = _scaled(pen, str(value))  # type: ignore[index]
    elif way < 7:
        path, _ = pen.of([(p, v) for p, v in leaves if len(p) > 1])
        del _at(tree, path[:-1])[path[-1]]  # type: ignore[arg-type]
    elif way == 7:
        path, _ = pen.of([(p, v) for p, v in leaves if p[-1] == "material"])
        _at(tree, path[:-1])["material"] = pen.of(MATERIALS)
    elif way == 8:
        group = pen.of(("chambers", "parts"))
        name = pen.of(list(tree[group]))
        tree[group][name]["kind"] = pen.of(KINDS[group])
    else:
        group = pen.of(("parts", "surroundings"))
        if tree.get(group):
            name = pen.of(list(tree[group]))
            tree[group][f"{name}-too"[:60]] = copy.deepcopy(tree[group][name])


def changed(pen: Pen, most: int = 4) -> Tree:
    """A plan of `fixtures/plans` as the plain tree of its file, changed in up to `most` places."""
    tree: Tree = copy.deepcopy(PLANS[pen.of(list(PLANS))])
    for _ in range(pen.whole(1, most)):
        _change(pen, tree)
    return tree
