"""All parts of a build cut into patches, and the question whether they close its chambers."""

from __future__ import annotations

from typing import Mapping

from stovelint.build import Build
from stovelint.hotmap.cavity import is_far_side
from stovelint.hotmap.buried import bury
from stovelint.hotmap.cutting import Cutting
from stovelint.hotmap.level import cut_bottom, cut_top
from stovelint.hotmap.patches import TOP_KINDS, UPRIGHT_KINDS
from stovelint.hotmap.records import Unsolved
from stovelint.hotmap.upright import cut_upright
from stovelint.hotmap.zones import Room

CLOSED_WITHIN = 0.03
"""Share of a chamber's sides that may be missing or doubled before it is asked about."""
CLOSED_KINDS = ("firebox", "riser", "bell", "bench", "oven", "barrel", "flue-run")


def cut_parts(build: Build, rooms: Mapping[str, Room], families: Mapping[str, str]) -> Cutting:
    """Patches of every part, in the order of the file, floors last.

    `families`: class of every material named in a layer. What cannot be placed is in `unsolved`.
    """
    c = Cutting(build=build, rooms=rooms, families=families, gauges_m=build.gauges_m)
    for part in build.parts.values():
        if part.kind == "hearth-extension":
            continue  # lies outside the gas; judged by its outline, not by heat
        if is_far_side(build, part):
            continue  # cut with the part whose cavity it closes
        for name in part.bounds:
            room = rooms.get(name)
            if room is None:
                continue
            if part.kind in UPRIGHT_KINDS:
                cut_upright(c, part, room)
            elif part.kind in TOP_KINDS:
                cut_top(c, part, room)
    for room in rooms.values():
        cut_bottom(c, room)
        bury(c, room)
        _ask_if_open(c, room)
    return c


def _ask_if_open(c: Cutting, room: Room) -> None:
    """Ask about a chamber with a hole, or with walls twice.

    Where a wall's area is stated, its author has reckoned with openings and neighbours that this
    cannot see, and the sides are not added up.
    """
    name = room.chamber.name
    own = [p for p in c.build.parts.values() if name in p.bounds]
    if room.chamber.kind not in CLOSED_KINDS:
        return
    if room.chamber.kind != "riser" and not any(p.kind in TOP_KINDS for p in own):
        c.unsolved.append(
            Unsolved(
                path=room.chamber.path, subject=name,
                reason="no part closes its top, so heat upwards is not reckoned",
                remedy=f"add a part of kind cap that bounds {name}",
            )
        )  # fmt: skip
    if any(p.area_m2 is not None and p.kind in ("wall", "partition", "facing") for p in own):
        return
    if room.lying:
        need = sum(room.side_m(side) for side in room.sides) * room.height_m
    else:
        need = room.perimeter_m * room.height_m
    have = c.claimed.get(name, 0.0)
    if abs(have - need) <= CLOSED_WITHIN * need:
        return
    word = "leave open" if have < need else "overlap on"
    c.unsolved.append(
        Unsolved(
            path=room.chamber.path, subject=name,
            reason=f"its walls cover {have:.2f} m2 of {need:.2f} m2: they {word} "
            f"{abs(need - have):.2f} m2",
            remedy=f"give {name} walls for every side and height, once each, or state areas",
        )
    )  # fmt: skip
