"""Who else had a hand in a finding, where several files make up the plan."""

from __future__ import annotations

from typing import TYPE_CHECKING

from stovelint.report.lines import way

if TYPE_CHECKING:
    from stovelint.review import Item

TAKEN_OVER = ("based_on",)


def hands_fields(item: Item) -> list[tuple[str, str]]:
    """`also set`: `core at kit-core.heater.yaml:31:3`, and which line took over what stands in a
    base; statements with their labels, none for a plan of one file."""
    said = []
    over = []
    for one in item.related:
        if one.path == TAKEN_OVER:
            over.append(("based on", f"taken over as it is at {one.span.label()}"))
            continue
        what = way(one.path[1:] or one.path)
        verb = "taken away " if one.words.startswith("taken away") else ""
        said.append(f"{what} {verb}at {one.span.label()}")
    return [*([("also set", "; ".join(said))] if said else ()), *over]
