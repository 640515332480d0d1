"""Who answers the plans of one call, by number: from what was kept, or by computing."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Sequence

from stovelint.cli.find import shown_name
from stovelint.cli.one import Desk, review_plan

if TYPE_CHECKING:
    from stovelint.report.answer import Answer
    from stovelint.store import Store


@dataclass(frozen=True, slots=True)
class Clerk:
    """Answers the plans of one call, by number."""

    plans: Sequence[str]
    desk: Desk
    store: Store | None

    def known(self, number: int) -> Answer | None:
        """The answer that was kept for a plan; None: it is to be computed."""
        if self.store is None:
            return None
        from stovelint.cli.kept import find
        from stovelint.source import DISK

        plan = self.plans[number]
        return find(plan, shown_name(plan), self.store, DISK)

    def work(self, number: int) -> Answer:
        """Compute the answer for a plan, and keep it."""
        plan = self.plans[number]
        if self.store is None:
            return review_plan(plan, shown_name(plan), self.desk)
        from stovelint.cli.kept import compute
        from stovelint.source import DISK

        return compute(
            plan, shown_name(plan), self.store, DISK,
            lambda shelf: review_plan(plan, shown_name(plan), self.desk, shelf),
        )  # fmt: skip


def store_for(desk: Desk) -> Store | None:
    """The kept answers of this program and desk; None where none can be kept."""
    from stovelint.store import make_mark, open_store

    asked = " ".join(rule.name for rule in desk.rules)
    left_out = " ".join(desk.left_out)
    return open_store(make_mark((asked, left_out, desk.hold, desk.on or "-")))
