"""What the search tells of a change: the figures that it was recomputed to, or that none serves."""

from __future__ import annotations

from typing import TYPE_CHECKING, Iterable, Mapping

from stovelint.remedy.places import alike, moved
from stovelint.remedy.proposal import Proposal
from stovelint.rule.moves import Cut, Insulate, Loosen, Move, MoveAway, Reinforce, Swap
from stovelint.rule.scene import nearness

if TYPE_CHECKING:
    from stovelint.remedy.rows import Candidate, TradeRow
    from stovelint.review import Run
    from stovelint.rule.finding import Finding, Measure

MOST_PLACES = 3


def looks(run: Run, finding: Finding, candidate: Candidate) -> list[Measure]:
    """What a rule compared, with a change made, at the layer that a finding is about."""
    here = moved(finding.path, candidate.edits)
    return [m for m in run.looks.get(finding.subject, ()) if alike(m.path, here)]


def figures(finding: Finding, seen: Iterable[Measure]) -> tuple[Measure, ...]:
    """The judged values of a finding: all places where they are few, else the worst.

    Args:
        finding: the finding.
        seen: what its rule compared there with the change made.
    """
    names = {limit.name for limit in finding.judged}
    shown: dict[tuple[str, str], Measure] = {}
    for measure in seen:
        if measure.limit is None or measure.limit.name not in names:
            continue
        key = (measure.what, measure.where)
        if key not in shown or nearness(measure) > nearness(shown[key]):
            shown[key] = measure
    if len({where for _, where in shown}) <= MOST_PLACES:
        return tuple(shown.values())
    worst: dict[str, Measure] = {}
    for measure in shown.values():
        kept = worst.get(measure.what)
        if kept is None or nearness(measure) > nearness(kept):
            worst[measure.what] = measure
    return tuple(worst.values())


def none_passes(move: Move, last: str, trade: Mapping[str, TradeRow]) -> str:
    """That no size of a move serves.

    Args:
        move: what was tried.
        last: the last size of it.
        trade: the trade sizes.
    """
    if isinstance(move, MoveAway):
        return f"no distance up to {last} passes alone"
    if isinstance(move, Cut):
        return f"pieces down to {last} do not pass alone"
    if isinstance(move, Reinforce):
        return "what is mixed in instead does not pass either"
    if isinstance(move, Loosen):
        return "setting it loose does not pass alone"
    what = trade[move.use].title if isinstance(move, (Insulate, Swap)) else "thickness"
    return f"no {what} up to {last} passes alone"


def untried() -> Proposal:
    """That the search ended before all was tried."""
    return Proposal(
        text="nothing more, since so many changes were computed for this plan already: put the "
        "other findings right first, and review again",
        passes=False, edits=(), figures=(), effects=(), brings=(),
    )  # fmt: skip
