"""The change that leaves all heat as it is: hold a casting together with something else."""

from __future__ import annotations

from stovelint.remedy.rows import Candidate, Edit, TradeRow, Tree, at, said_of
from stovelint.rule.barwords import SPANS
from stovelint.rule.moves import Reinforce


def reinforce(move: Reinforce, tree: Tree, row: TradeRow) -> tuple[Candidate, ...]:
    """What is mixed in instead of the reinforcement that is drawn; none when it is that already."""
    drawn = at(tree, move.layer).get("reinforcement")
    if not isinstance(drawn, dict) or drawn.get("kind") == row.material:
        return ()
    # A bar may have been put there to carry; the rules know nothing of loads.
    spans = at(tree, move.layer[:2]).get("kind") in SPANS
    caveat = " (what it must carry without that is for others to check)" if spans else ""
    edit = Edit(path=(*move.layer, "reinforcement"), value={"kind": row.material})
    return tuple(
        Candidate(
            text=f"{size} {row.title} mixed into {said_of(tree, move.layer)} instead of "
            f"{drawn['kind']}{caveat}",
            size=size, edits=(edit,),
        )
        for size in row.sizes
    )  # fmt: skip


def keeps_the_heat(edits: tuple[Edit, ...]) -> bool:
    """Whether these edits change nothing but reinforcement, of which the heat knows nothing."""
    return bool(edits) and all(edit.path[-1] == "reinforcement" for edit in edits)
