"""A move and a size -> the change of the plan's tree, and its words."""

from __future__ import annotations

import os
from typing import Any, Mapping

import tomli

from stovelint.assemble import edited
from stovelint.quantity import parse_length_m
from stovelint.remedy.mixing import reinforce
from stovelint.remedy.pieces import cut, loosen, swap
from stovelint.remedy.rows import Candidate, Edit, TradeRow, Tree, at, said_of
from stovelint.rule.moves import Cut, Insulate, Loosen, Move, MoveAway, Reinforce, Swap, Thicken

def trade_sizes() -> Mapping[str, TradeRow]:
    """The rows of `trade_sizes.toml`, by use."""
    path = os.path.join(os.path.dirname(__file__), "trade_sizes.toml")
    with open(path, "rb") as stream:
        tree = tomli.load(stream)
    return {
        use: TradeRow(
            title=row["title"],
            material=row.get("material", ""),
            sizes=tuple(row["sizes"]),
            squeezed=float(row.get("squeezed", 1.0)),
            held=row.get("held", ""),
            mortar=row.get("mortar", ""),
        )
        for use, row in tree.items()
    }


def candidates(
    move: Move, tree: Tree, trade: Mapping[str, TradeRow]
) -> tuple[Candidate, ...]:
    """All sizes of a move that go beyond what is drawn, smallest first.

    Args:
        move: what the rule holds worth trying.
        tree: the plan's plain tree; it is only read.
        trade: the trade sizes.
    """
    if isinstance(move, Insulate):
        return _insulate(move, tree, trade[move.use])
    if isinstance(move, Thicken):
        return _thicken(move, tree, trade[move.use])
    if isinstance(move, MoveAway):
        return _move_away(move, tree, trade["distance"])
    if isinstance(move, Cut):
        return cut(move, tree, trade["pieces"])
    if isinstance(move, Loosen):
        return loosen(move, tree)
    if isinstance(move, Reinforce):
        return reinforce(move, tree, trade[move.use])
    assert isinstance(move, Swap)
    return swap(move, tree, trade[move.use])


def apply(tree: Tree, edits: tuple[Edit, ...]) -> Tree:
    """A new tree with the edits made; the old one stays as it is.

    >>> apply({"a": {"b": 1}, "c": [1, 2]}, (Edit(path=("a", "b"), value=2),))
    {'a': {'b': 2}, 'c': [1, 2]}
    """
    for edit in edits:
        tree = edited(tree, edit.path, edit.value, insert=edit.insert)
    return tree


def _insulate(move: Insulate, tree: Tree, row: TradeRow) -> tuple[Candidate, ...]:
    part = at(tree, move.part)
    found = []
    for size in row.sizes:
        layer: dict[str, Any] = {"material": row.material, "thickness": size}
        if row.held:
            layer["held"] = row.held
        edits = [Edit(path=(*move.part, "layers", move.index), value=layer, insert=True)]
        where = "on the hot side of" if move.index == 0 else "inside"
        text = f"{size} {row.title} {where} {move.part[-1]}"
        if "bearing" in part and move.index == 0 and row.squeezed < 1.0:
            left = _mm(parse_length_m(size) * row.squeezed)
            width = part["bearing"]
            if isinstance(width, dict):
                width = width["width"]
            edits.append(
                Edit(path=(*move.part, "bearing"), value={"width": width, "insulation": left})
            )
            text += f", squeezed to {left} at the bearing"
        found.append(Candidate(text=text, size=size, edits=tuple(edits)))
    return tuple(found)


def _mm(length_m: float) -> str:
    """To a hundredth, as exact as half an inch is; `6.35 mm`, `12.7 mm`, `20 mm`."""
    return f"{length_m * 1000.0:.2f}".rstrip("0").rstrip(".") + " mm"


def _thicken(move: Thicken, tree: Tree, row: TradeRow) -> tuple[Candidate, ...]:
    layer = at(tree, move.layer)
    drawn = parse_length_m(layer["thickness"])
    said = said_of(tree, move.layer)
    found = []
    for size in row.sizes:
        if parse_length_m(size) <= drawn:
            continue
        edits = [Edit(path=(*move.layer, "thickness"), value=size)]
        text = f"{size} {layer['material']} in {said} instead of {layer['thickness']}"
        bearing = at(tree, move.layer[:2]).get("bearing")
        if isinstance(bearing, dict) and "insulation" in bearing and move.layer[-1] == 0:
            # What is squeezed keeps its drawn share of the thickness.
            share = parse_length_m(bearing["insulation"]) / drawn if drawn else row.squeezed
            left = _mm(parse_length_m(size) * share)
            edits.append(Edit(path=(*move.layer[:2], "bearing", "insulation"), value=left))
            text += f", squeezed to {left} at the bearing"
        found.append(Candidate(text=text, size=size, edits=tuple(edits)))
    return tuple(found)


def _move_away(move: MoveAway, tree: Tree, row: TradeRow) -> tuple[Candidate, ...]:
    drawn = parse_length_m(at(tree, move.surrounding)["distance"])
    name = move.surrounding[-1]
    # A clause may ask for a distance that is no round number of inches less its own rounding.
    return tuple(
        Candidate(
            text=f"set {name} {size} off",
            size=size,
            edits=(Edit(path=(*move.surrounding, "distance"), value=size),),
        )
        for size in row.sizes
        if parse_length_m(size) > drawn and parse_length_m(size) >= move.least_m - 1e-9
    )
