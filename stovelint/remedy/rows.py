"""What the search works with: trade rows, edits of a plan's tree, and candidates to try."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from stovelint.place import Path

Tree = dict[str, Any]


@dataclass(frozen=True, kw_only=True, slots=True)
class TradeRow:
    """One thing that is bought, and the sizes it is sold in, smallest first."""

    title: str
    material: str
    sizes: tuple[str, ...]
    squeezed: float
    """Share of the thickness that is left under a bearing."""
    held: str
    mortar: str = ""
    """What its units are laid in; empty: it is sawn, poured or laid dry, in any thickness."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Edit:
    """One value of the tree to set, or a list entry to put in (`insert`)."""

    path: Path
    value: object
    insert: bool = False


@dataclass(frozen=True, kw_only=True, slots=True)
class Candidate:
    """One size of one move, ready to be tried."""

    text: str
    size: str
    edits: tuple[Edit, ...]
    other_material: bool = False
    """Whether it takes away what the rule objected to."""


def at(tree: Tree, path: Path) -> Any:
    """The node of a plain tree at a path."""
    node: Any = tree
    for step in path:
        node = node[step]
    return node


def said_of(tree: Tree, layer: Path) -> str:
    """How a layer is told from others: its part, with its number where the part has several of the
    same material.

    >>> plan = {"parts": {"wall": {"layers": [{"material": "slate"}, {"material": "slate"}]}}}
    >>> said_of(plan, ("parts", "wall", "layers", 1))
    'layer 2 of wall'
    """
    layers, index = at(tree, layer[:3]), int(layer[3])
    alike = [one for one in layers if one.get("material") == layers[index].get("material")]
    return f"layer {index + 1} of {layer[1]}" if len(alike) > 1 else str(layer[1])
