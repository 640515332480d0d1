"""What lies beyond a cavity that a part faces.

The far side of a cavity is said in one of two ways: by a second part of the same chambers (a
facing before a wall, a base under a floor) whose layers begin with the gap, or by a surrounding
on that side, whose distance is the gap. Either way both become one stack. Nothing said: not
judged, for the far side decides how warm it gets.
"""

from __future__ import annotations

from dataclasses import dataclass

from stovelint.build import Build, Gap, Layer, Part, Surrounding
from stovelint.hotmap.patches import BOTTOM_KINDS, TOP_KINDS, UPRIGHT_KINDS, span_of
from stovelint.hotmap.cutting import Cutting

LEAST_M = 1e-3


@dataclass(frozen=True, kw_only=True, slots=True)
class Beyond:
    """What follows a part on its far side."""

    faces: str
    """What the last layer looks at."""
    parts: tuple[str, ...] = ()
    layers: tuple[tuple[str, Layer], ...] = ()
    """(part or surrounding, layer), the gap first."""
    surrounding: str | None = None
    """The surrounding that closes the cavity."""


def beyond(c: Cutting, part: Part) -> Beyond | None:
    """What follows a part; None, with a note of what to add, where a cavity is left open."""
    if part.faces != "cavity":
        return Beyond(faces=part.faces)
    for other in c.build.parts.values():
        if closes(part, other):
            if not _reaches(c, part, other):
                c.cannot(
                    part, f"{other.name} closes only a part of the cavity that it faces",
                    f"give {other.name} the same height and sides, or cut {part.name} in two",
                )  # fmt: skip
                return None
            return Beyond(
                faces=other.faces, parts=(other.name,),
                layers=tuple((other.name, layer) for layer in other.layers),
            )  # fmt: skip
    for surrounding in c.build.surroundings.values():
        if closed_by(part, surrounding):
            return Beyond(
                faces="room", surrounding=surrounding.name,
                layers=tuple(
                    (owner(surrounding), x) for x in (_gap(surrounding), *surrounding.layers)
                ),
            )  # fmt: skip
    if all(case.subject != part.name for case in c.unsolved):  # once, not for every chamber
        c.cannot(part, "it faces a cavity whose far side is not said", _remedy(part))
    return None


def closes(part: Part, other: Part) -> bool:
    """Whether another part is the far side of the cavity that a part faces: of the same chambers
    and lie, with the gap as its first layer."""
    return (
        part.faces == "cavity" and other.faces != "cavity" and other is not part
        and set(part.bounds) <= set(other.bounds) and other.layers[0].gap is not None
        and any(part.kind in kinds and other.kind in (*kinds, "facing")
                for kinds in (UPRIGHT_KINDS, TOP_KINDS, BOTTOM_KINDS))
        and (not other.sides or not part.sides or bool(set(part.sides) & set(other.sides)))
    )  # fmt: skip


def is_far_side(build: Build, other: Part) -> bool:
    """Whether a part is the far side of another's cavity, and so bounds no gas itself."""
    return any(closes(part, other) for part in build.parts.values())


def closed_by(part: Part, surrounding: Surrounding) -> bool:
    """Whether a surrounding is the far side of the cavity that a part faces."""
    if part.faces != "cavity" or surrounding.distance_m < LEAST_M:
        return False
    if part.kind in TOP_KINDS:
        return surrounding.at == "above"
    if part.kind in BOTTOM_KINDS:
        return surrounding.at == "below"
    return part.sides == (surrounding.at,)


def owner(surrounding: Surrounding) -> str:
    """Whose a surrounding's layers are in a stack; no part can be called so."""
    return f"surroundings/{surrounding.name}"


def _reaches(c: Cutting, part: Part, other: Part) -> bool:
    if part.kind not in UPRIGHT_KINDS:
        return True
    if other.sides and not (part.sides and set(part.sides) <= set(other.sides)):
        return False
    for name in part.bounds:
        if name not in c.rooms:
            continue
        low, high = span_of(part, c.rooms[name], c.gauges_m)
        from_m, to_m = span_of(other, c.rooms[name], c.gauges_m)
        if from_m > low + 0.05 * (high - low) or to_m < high - 0.05 * (high - low):
            return False
    return True


def _gap(surrounding: Surrounding) -> Layer:
    """The air between, as a layer."""
    gap = surrounding.gap
    if gap is None:
        gap = Gap(kind="closed", bottom_m2_m=None, top_m2_m=None, path=surrounding.path)
    return Layer(
        material=None, gap=gap, thickness_m=surrounding.distance_m, mortar=None, joint_m=None,
        set=None, cores=None, pieces_m=None, span_m=None, held=None, carried_by=None,
        reinforcement=None, role=None, path=surrounding.path,
    )  # fmt: skip


def _remedy(part: Part) -> str:
    if part.kind in BOTTOM_KINDS:
        kind, at = "base", "below"
    elif part.kind in TOP_KINDS:
        kind, at = part.kind, "above"
    else:
        kind, at = "facing", " or ".join(part.sides) or "its side (and say `sides`)"
    return (
        f"add what closes it: a {kind} that bounds {' and '.join(part.bounds)} too and whose "
        f"layers begin with {{gap: 40 mm, kind: closed}}, or a surrounding {at} with its distance"
    )
