"""How much one search may compute."""

from __future__ import annotations

from stovelint.hotmap.cases import MEMBERS

MOST_THINGS = 4000
FEWEST_PLANS = 20
"""Changed plans times their parts and surroundings, and never fewer than so many plans: own choice. A
heater of twenty parts may be changed 200 times; the demo with nine findings takes less than thirty.
What has hundreds of parts and as many findings would otherwise keep a hook busy for hours."""


class Enough(Exception):
    """The search has computed what it may."""


class Budget:
    """What is left to compute, in plans with all their cases.

    It is a count and no clock, so that every run ends alike.
    """

    def __init__(self, things: int) -> None:
        """`things`: parts and surroundings of the plan."""
        self._left = float(max(FEWEST_PLANS, MOST_THINGS // max(1, things)))

    def take(self, cases: tuple[int, ...] | None) -> None:
        """Count a plan that is about to be computed.

        Args:
            cases: numbers of the cases; None: all.

        Raises:
            Enough: nothing is left.
        """
        if self._left <= 0.0:
            raise Enough
        self._left -= 1.0 if cases is None else len(cases) / MEMBERS

    def grant_one(self) -> None:
        """Let one plan more be computed: what is offered is always tried together."""
        self._left = max(self._left, 1.0)
