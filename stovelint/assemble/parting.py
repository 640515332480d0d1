"""Chambers with several ways: stated shares throughout a plan, or none of them."""

from __future__ import annotations

from typing import Mapping

from stovelint.assemble.reader import Sheet
from stovelint.build import Chamber


def parts_itself(chamber: Chamber) -> bool:
    """Whether its gas has several ways and nothing says how much takes each."""
    return len(chamber.leads_to) > 1 and all(port.share is None for port in chamber.leads_to)


def check_parting(sheet: Sheet, chambers: Mapping[str, Chamber], by_others: str) -> None:
    """Note shares beside a split that is left to the gas, and two chimneys behind one.

    What a way costs decides the split; a share that somebody sets by hand behind or before it would
    need a damper that the plan does not draw, and another chimney's draught is not known.
    `by_others` is the name of a chimney that is no chamber of the plan.
    """
    free = [chamber for chamber in chambers.values() if parts_itself(chamber)]
    if not free:
        return
    for chamber in chambers.values():
        if len(chamber.leads_to) > 1 and not parts_itself(chamber):
            sheet.note(
                (*chamber.path, "leads_to"),
                f"`{chamber.name}` has shares, and the ways of `{free[0].name}` have none",
                "give shares at both, or areas without shares at both", True,
            )  # fmt: skip
    ends = sorted(
        {
            port.to for chamber in chambers.values() for port in chamber.leads_to
            if port.to == by_others or (port.to in chambers and chambers[port.to].kind == "chimney")
        }
    )  # fmt: skip
    if len(ends) > 1:
        sheet.note(
            (*free[0].path, "leads_to"),
            f"the ways of `{free[0].name}` have no shares, and the gas leaves by {', '.join(ends)}",
            "add `share` to each way: what two chimneys draw is not known", True,
        )  # fmt: skip
