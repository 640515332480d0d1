"""The way of the gas: every chamber on it, no circle, and an end."""

from __future__ import annotations

from typing import Mapping

from stovelint.assemble.parting import check_parting
from stovelint.assemble.reader import Record, Sheet
from stovelint.build import Chamber, Port

CHIMNEY = "chimney"
"""May be led to without being a chamber of the plan, when it is by others."""


def check_ways(plan: Record, chambers: Mapping[str, Chamber], by_others: Mapping[str, str]) -> None:
    """Note ways to nowhere, circles, dead ends and chambers that no gas reaches.

    Whether gas reaches a chamber is asked only where every way is in order, since one wrong
    name would cut off all that follows.
    """
    sheet, names = plan.sheet, plan.names("chambers")
    chimney_by_others = CHIMNEY in by_others and CHIMNEY not in names
    noted = len(sheet.mistakes)
    for chamber in chambers.values():
        for port in (*chamber.leads_to, *chamber.opens_to):
            _check_target(sheet, chamber, port, chambers, names, chimney_by_others)
        _check_end(sheet, chamber, chambers, chimney_by_others)
    _check_circles(sheet, chambers)
    check_parting(sheet, chambers, CHIMNEY)
    if len(sheet.mistakes) == noted and sheet.whole("chambers"):
        _check_reached(sheet, chambers)


def _check_target(
    sheet: Sheet,
    chamber: Chamber,
    port: Port,
    chambers: Mapping[str, Chamber],
    names: tuple[str, ...],
    chimney_by_others: bool,
) -> None:
    named = port.path[-1] == port.to
    if port.to == chamber.name:
        sheet.note(port.path, f"`{port.to}` opens into itself", "name another chamber", named)
    elif port.to == CHIMNEY and port.to not in names and port in chamber.leads_to:
        if not chimney_by_others:
            sheet.note(
                port.path, "there is no chimney in the plan",
                "add a chamber `chimney` of kind chimney, or say `by_others: {chimney: ...}`",
                named,
            )  # fmt: skip
    elif port.to not in names and port.to:
        others = [name for name in names if name != chamber.name]
        sheet.unknown(port.path, port.to, "chamber", others)
    elif port.at_m is not None and port.to in chambers:
        spans = [vertical_m(one) for one in (chamber, chambers[port.to])]
        if all(at is not None and not at[0] <= port.at_m <= at[1] for at in spans):
            own = (*port.path, "at")
            sheet.note(
                own if own in sheet.places.entries else (*chamber.path, "leaves_at"),
                f"the port to `{port.to}` lies above or below both chambers",
                "check its elevation; it counts from the datum",
            )


def vertical_m(chamber: Chamber) -> tuple[float, float] | None:
    """Elevations of the floor and the ceiling of a chamber; None when its size is not known."""
    height_m = chamber.size.height_m
    if height_m is None and chamber.kind in ("bench", "flue-run", "buried-pipe"):
        height_m = chamber.size.diameter_m
    if height_m is None:
        return None
    return chamber.bottom_m, chamber.bottom_m + height_m


def _blind(chamber: Chamber, chambers: Mapping[str, Chamber]) -> bool:
    """Whether gas drifts in and out of it by a two-way opening."""
    return bool(chamber.opens_to) or any(
        port.to == chamber.name for other in chambers.values() for port in other.opens_to
    )


def _check_end(
    sheet: Sheet, chamber: Chamber, chambers: Mapping[str, Chamber], chimney_by_others: bool
) -> None:
    if chamber.kind == "chimney":
        if chamber.leads_to:
            sheet.note(
                (*chamber.path, "leads_to"), f"`{chamber.name}` is the end of the way",
                "delete `leads_to`: a chimney leads outdoors", True,
            )  # fmt: skip
    elif not chamber.leads_to and chamber.kind != "oven" and not _blind(chamber, chambers):
        chimneys = [one.name for one in chambers.values() if one.kind == "chimney"]
        if chimneys or chimney_by_others:
            to = chimneys[0] if chimneys else CHIMNEY
            remedy = f"add `leads_to: {to}`, or `opens_to` for a two-way opening"
        else:
            remedy = "add `leads_to`, and a chimney: as a chamber, or in `by_others`"
        sheet.note((*chamber.path, "leads_to"), f"the gas does not leave `{chamber.name}`", remedy)


def _check_circles(sheet: Sheet, chambers: Mapping[str, Chamber]) -> None:
    """Note each way that closes a circle, once, at the chamber given last on it."""
    done: set[str] = set()
    for root in chambers:
        trail: list[tuple[str, int]] = [] if root in done else [(root, 0)]
        on_trail = {name for name, _ in trail}
        while trail:
            name, turn = trail.pop()
            ports = chambers[name].leads_to if chambers[name].kind != "chimney" else ()
            if turn == len(ports):
                done.add(name)
                on_trail.discard(name)
                continue
            trail.append((name, turn + 1))
            port = ports[turn]
            if port.to in on_trail:
                if port.to != name:
                    circle = [one for one, _ in trail]
                    shown = " -> ".join([*circle[circle.index(port.to) :], port.to])
                    sheet.note(
                        port.path, f"the gas goes in a circle: {shown}",
                        "lead one of them on to the chimney; two-way openings are `opens_to`",
                    )  # fmt: skip
            elif port.to in chambers and port.to not in done:
                trail.append((port.to, 0))
                on_trail.add(port.to)


def _check_reached(sheet: Sheet, chambers: Mapping[str, Chamber]) -> None:
    """Note chambers that gas from no firebox comes to. An oven may be heated through its wall."""
    fireboxes = [one.name for one in chambers.values() if one.kind == "firebox"]
    if not fireboxes:
        if all(one.kind for one in chambers.values()) and chambers:
            sheet.note(("chambers",), "there is no firebox", "add a chamber of kind firebox", True)
        return
    reached: set[str] = set()
    waiting = fireboxes
    while waiting:
        name = waiting.pop()
        if name in reached or name not in chambers:
            continue
        reached.add(name)
        chamber = chambers[name]
        waiting.extend(port.to for port in (*chamber.leads_to, *chamber.opens_to))
        waiting.extend(
            other.name
            for other in chambers.values()
            if any(port.to == name for port in other.opens_to)
        )
    for chamber in chambers.values():
        if chamber.name not in reached and chamber.kind != "oven":
            sheet.note(
                chamber.path, f"no gas comes to `{chamber.name}`",
                f"let a chamber that is on its way say `leads_to: {chamber.name}`", True,
            )  # fmt: skip
