"""Who answers the plans of one call, by number: from what was kept, or by computing."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Sequence

from stovelint.cli.answers.one import Desk, review_plan
from stovelint.cli.find import shown_name

if TYPE_CHECKING:
    from stovelint.cli.older.since import Since
    from stovelint.report.answer import Answer
    from stovelint.store import Store


@dataclass(frozen=True, slots=True)
class Clerk:
    """Answers the plans of one call, by number."""

    plans: Sequence[str]
    desk: Desk
    store: Store | None
    since: Since | None = None
    """The older revision with which every answer is compared."""

    def known(self, number: int) -> Answer | None:
        """The answer that was kept for a plan; None: something is to be computed for it."""
        answer = self._kept(number)
        if answer is None or self.since is None:
            return answer
        from stovelint.cli.older.since import at_once

        return at_once(answer, self.plans[number], self.since, self.desk)

    def work(self, number: int) -> Answer:
        """Compute the answer for a plan, and keep it."""
        if self.since is None:
            return self._computed(number)
        from stovelint.cli.older.since import compared

        answer = self._kept(number) or self._computed(number)
        return compared(answer, self.plans[number], self.since, self.desk, self.store)

    def _kept(self, number: int) -> Answer | None:
        if self.store is None:
            return None
        from stovelint.cli.answers.kept import find
        from stovelint.source import DISK

        plan = self.plans[number]
        return find(plan, shown_name(plan), self.store, DISK)

    def _computed(self, number: int) -> Answer:
        plan = self.plans[number]
        if self.store is None:
            return review_plan(plan, shown_name(plan), self.desk)
        from stovelint.cli.answers.kept import compute
        from stovelint.source import DISK

        return compute(
            plan, shown_name(plan), self.store, DISK,
            lambda shelf: review_plan(plan, shown_name(plan), self.desk, shelf),
        )  # fmt: skip


def store_for(desk: Desk, plans: Sequence[str]) -> Store | None:
    """The kept answers of this program and desk; None where none can be kept, or where they would
    lie among the plans: whoever writes these could have put answers there too."""
    from stovelint.source.root import lies_among
    from stovelint.store import make_mark, open_store

    asked = " ".join(rule.name for rule in desk.rules)
    left_out = " ".join(desk.left_out)
    store = open_store(make_mark((asked, left_out, desk.hold, desk.on or "-", *desk.shop.marks)))
    return None if store is None or lies_among(store.folder, plans) else store
