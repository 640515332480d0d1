"""Drawn damage to a plain tree: things deleted, doubled, renamed, retyped."""

from __future__ import annotations

import copy
from typing import Any

from hypothesis import strategies as st

from stovelint.place import Path
from stovelint.source.yaml import parse
from tests.format.plans import TEXT

TREE: dict[str, Any] = parse(TEXT, "plan").tree

JUNK = st.one_of(
    st.none(),
    st.booleans(),
    st.integers(-3, 3),
    st.integers(-(10**14), 10**14),
    st.floats(allow_nan=False, allow_infinity=False),
    st.text(max_size=8),
    st.sampled_from(
        [
            "bell", "chimney", "room", "firebox", "wall", "bench", "vented", "cap\n", "Bell",
            "0 mm", "-1 m", "60 mm", "99 m", "5 %", "100 %", "1 s", "block 1-99", "5-9 m",
            "900 degF", "1 kg", "4 cm2/m", "90 m2", "1 m x 1 m", 1, 2.0, 2.5, [], {}, [[]],
            ["bell"], ["bell", "bell"], {"bell": {}}, {"riser": {"share": "50 %"}}, "",
        ]
    ),
)  # fmt: skip


def paths(node: Any, here: Path = ()) -> list[Path]:
    """Every path of a tree but the root."""
    steps = node.items() if isinstance(node, dict) else enumerate(node)
    found: list[Path] = []
    for step, inner in steps:
        found.append((*here, step))
        if isinstance(inner, (dict, list)):
            found += paths(inner, (*here, step))
    return found


@st.composite
def damaged(draw: st.DrawFn, most: int = 3) -> dict[str, Any]:
    """The example with one to `most` things done to it."""
    tree = copy.deepcopy(TREE)
    for _ in range(draw(st.integers(1, most))):
        path = draw(st.sampled_from(paths(tree)))
        inner: Any = tree
        for step in path[:-1]:
            inner = inner[step]
        last: Any = path[-1]
        deed = draw(st.sampled_from(["delete", "set", "add", "move"]))
        if deed == "delete":
            del inner[last]
        elif deed == "set":
            inner[last] = copy.deepcopy(draw(JUNK))
        elif isinstance(inner, list):
            inner.append(copy.deepcopy(draw(JUNK)))
        elif deed == "add":
            known = ["gap", "between", "share", "along", "to", "loads", "diameter", "inside"]
            key = draw(st.one_of(st.sampled_from(known), st.text(max_size=5)))
            inner[key] = copy.deepcopy(draw(JUNK))
        else:
            inner[draw(st.sampled_from(["sides", "bell", "kinds", "layer"]))] = inner.pop(last)
        if not tree:
            break
    return tree
