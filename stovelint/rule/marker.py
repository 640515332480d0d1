"""`@rule`: marks the one function of a rule folder. It only sets an attribute."""

from __future__ import annotations

from typing import TYPE_CHECKING, Callable, Iterator

if TYPE_CHECKING:
    from stovelint.rule.finding import Outcome
    from stovelint.rule.level import Stakes
    from stovelint.rule.scene import Scene

RuleFunction = Callable[["Scene"], "Iterator[Outcome]"]

MARK = "stovelint_stakes"


def rule(*, stakes: Stakes) -> Callable[[RuleFunction], RuleFunction]:
    """Mark a generator as the rule of its folder.

    Args:
        stakes: what is at stake when the rule finds something: danger, breakage, performance
            or advice.

    Source: own contract.
    """

    def mark(function: RuleFunction) -> RuleFunction:
        setattr(function, MARK, stakes)
        return function

    return mark
