"""Changes to a layer of stone that leave its thickness: cut it, set it loose, take another."""

from __future__ import annotations

from stovelint.quantity import parse_length_m, parse_pieces_m
from stovelint.remedy.rows import Candidate, Edit, TradeRow, Tree, at, said_of
from stovelint.rule.moves import Cut, Loosen, Swap


LEAST_SHARE = 0.7
"""Of the old thickness: brick in place of block may be somewhat thinner, not half (judgement)."""


def cut(move: Cut, tree: Tree, row: TradeRow) -> tuple[Candidate, ...]:
    """Pieces whose longer side is shorter than drawn, largest first; all where none are drawn."""
    layer = at(tree, move.layer)
    drawn = max(parse_pieces_m(layer["pieces"])) if "pieces" in layer else 1e9
    found = []
    for size in row.sizes:
        if max(parse_pieces_m(size)) >= drawn - 1e-9:
            continue
        edits = [Edit(path=(*move.layer, "pieces"), value=size)]
        text = f"{layer['material']} of {said_of(tree, move.layer)} in pieces of {size}"
        if move.loosen:
            edits.append(Edit(path=(*move.layer, "set"), value="loose"))
            text += ", set loose"
        found.append(Candidate(text=text, size=size, edits=tuple(edits)))
    return tuple(found)


def loosen(move: Loosen, tree: Tree) -> tuple[Candidate, ...]:
    """The layer set loose."""
    layer = at(tree, move.layer)
    said = f"{layer['material']} of {said_of(tree, move.layer)}"
    text = f"{said} set loose, so that its pieces can bow and slide"
    return (
        Candidate(
            text=text, size="loose", edits=(Edit(path=(*move.layer, "set"), value="loose"),)
        ),
    )


def swap(move: Swap, tree: Tree, row: TradeRow) -> tuple[Candidate, ...]:
    """The other material: what is sawn as thick as the old one or thicker; units with mortar in their
    own sizes, from seven tenths of the old thickness up, as a layer of their own."""
    layer = at(tree, move.layer)
    if layer["material"] == row.material:
        return ()
    drawn = parse_length_m(layer["thickness"])
    if row.mortar:
        sizes = [size for size in row.sizes if parse_length_m(size) >= LEAST_SHARE * drawn - 1e-9]
    else:
        thicker = (size for size in row.sizes if parse_length_m(size) > drawn + 1e-9)
        sizes = [layer["thickness"], *thicker]
    said = said_of(tree, move.layer)
    return tuple(
        Candidate(
            text=f"{size} {row.title} instead of {layer['material']} in {said}",
            size=size, edits=_laid(move, row, layer, size), other_material=True,
        )
        for size in sizes
    )  # fmt: skip


def _laid(move: Swap, row: TradeRow, layer: Tree, size: str) -> tuple[Edit, ...]:
    if row.mortar:  # cores, joints and pieces of the old units mean nothing to the new ones
        unit = {"material": row.material, "thickness": size, "mortar": row.mortar}
        return (Edit(path=move.layer, value=unit),)
    edits = [Edit(path=(*move.layer, "material"), value=row.material)]
    if size != layer["thickness"]:
        edits.append(Edit(path=(*move.layer, "thickness"), value=size))
    return tuple(edits)
