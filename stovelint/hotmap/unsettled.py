"""Why a firing state could not be computed, at its line in the file."""

from __future__ import annotations

from stovelint.build import Firing
from stovelint.heat.passes import TOLERANCE_K
from stovelint.heat.periodic import Solution
from stovelint.hotmap.cutplan import Plan
from stovelint.hotmap.records import Unsolved


def unsettled(plan: Plan, firing: Firing, solution: Solution) -> Unsolved:
    """Why a state is not judged, at its line in the file. No figure of it is told: none means
    anything."""
    patch = plan.patches[solution.restless_face % len(plan.patches)]
    side = "hot" if solution.restless_face < len(plan.patches) else "far"
    name = patch.parts[-1]
    what = (
        f"temperatures still move after {solution.passes} passes, most at the {side} face of "
        f"{name} ({patch.where}, {patch.chamber})"
    )
    if solution.change_K <= TOLERANCE_K:
        what = f"after {solution.passes} passes heat in and heat out still differ"
    usual = " of the usual firing, or add this one," if firing.assumed else ""
    return Unsolved(
        path=(*firing.path[:-1], "usual") if firing.assumed else firing.path,
        subject=f"{firing.state} firing", state=firing.state,
        reason=f"the heat of the {firing.state} firing did not settle, so nothing is judged by it: "
        f"{what}",
        remedy=f"check charge, loads and interval{usual} and the stated areas; whether "
        f"{patch.chamber} has the walls that its size asks for: with too little wall its gas has "
        f"nowhere to leave its heat; and the layers of {name}",
    )  # fmt: skip


def too_short(firing: Firing) -> Unsolved:
    """Why a burn that is a blink of its interval is not judged, at its line in the file."""
    return Unsolved(
        path=(*firing.path[:-1], "usual") if firing.assumed else firing.path,
        subject=f"{firing.state} firing", state=firing.state,
        reason=f"the {firing.state} firing burns for so small a part of its interval that the two "
        "cannot be reckoned together, so nothing is judged by it",
        remedy="give the interval of the days on which it is fired, or check `burn` and `every`",
    )  # fmt: skip
