"""What grows, bows and pulls in the heater, for the survey."""

from __future__ import annotations

from typing import TYPE_CHECKING, Iterable

from stovelint.hotmap.movement import movement
from stovelint.hotmap.ranges import Range
from stovelint.hotmap.slabs import slabs
from stovelint.report import units as u
from stovelint.report.lines import labelled, wrap

if TYPE_CHECKING:
    from stovelint.build import Build
    from stovelint.catalogue import Catalogue
    from stovelint.hotmap.joints import Joint
    from stovelint.hotmap.movement import Movement
    from stovelint.hotmap.records import CycleHeat, Unsolved
    from stovelint.hotmap.slabs import Slab
    from stovelint.quantity import Units

LEAST_M = 0.0005
"""What grows or moves less than this at most is not told: less than a joint is laid to."""


def movement_lines(
    build: Build, hardest: CycleHeat, catalogue: Catalogue, units: Units
) -> list[str]:
    """The section of the survey, for the hardest firing.

    Args:
        build: the plan.
        hardest: its heat in the hardest firing.
        catalogue: the materials.
        units: `si` or `us`.
    """
    moves, found = movement(build, hardest, catalogue), slabs(build, hardest, catalogue)
    small = u.length(LEAST_M, units, 1)
    rows: list[tuple[str, ...]] = [(
        "movement, hardest firing", "length", f"grows, {u.small_unit(units)}",
        f"at a mean of, {'degC' if units == 'si' else 'degF'}",
    )]  # fmt: skip
    for one in moves.growths:
        if one.grows_m.high >= LEAST_M:
            mean = (u.temperature(t, units).split(" ")[0] for t in _ends(one.mean_peak_C))
            rows.append((
                f"{one.part} {one.layer.material}", u.length(one.length_m, units),
                _small(one.grows_m, units), _range(*mean),
            ))  # fmt: skip
    lines = labelled(rows, right=frozenset({1, 2, 3}))
    lines += wrap(
        f"Free growth from the room's {u.temperature(build.site.room_C, units)} of the longest "
        "piece, or of the whole layer where none is drawn, at its hottest place. What grows less "
        f"than {small} is left out.",
        first="", rest="",
    )  # fmt: skip
    for said in _apart(moves, units):
        lines += wrap(said, first="  ", rest="    ")
    told = [said for one in found.slabs for said in [_slab(one, units)] if said]
    if told:
        lines += wrap(
            "Slabs (pull of an uncracked elastic slab, an upper bound; strength in bending at room "
            "temperature):",
            first="", rest="",
        )  # fmt: skip
    chills = _chills(found.slabs, units)
    for said in [*told, *([chills] if chills else [])]:
        lines += wrap(said, first="  ", rest="    ")
    for said in _reasons([*moves.open, *found.open]):
        lines += wrap(f"not reckoned: {u.sentence(said, units)}", first="  ", rest="    ")
    return lines


def _apart(moves: Movement, units: Units) -> Iterable[str]:
    for joint in moves.joints:
        if joint.drawn_m - joint.left_m.low >= LEAST_M:
            yield _joint(joint, units)
    for one in moves.slides:
        if one.moves_m.high >= LEAST_M:
            yield (
                f"{one.part} slides on {one.on} by {_small(one.moves_m, units)} "
                f"{u.small_unit(units)} at each end."
            )


def _joint(joint: Joint, units: Units) -> str:
    drawn = u.length(joint.drawn_m, units)
    left = f"{_small(joint.left_m, units)} {u.small_unit(units)}"
    said = (
        f"{joint.part}: between {joint.inner} and {joint.outer} the {joint.between} of {drawn} "
        f"keeps {left} on each side"
    )
    if joint.left_m.low < 0.0:
        said += "; below nothing the inner layer presses"
    if joint.needs_m is not None:
        least, most = (u.small_length(m, units) for m in joint.needs_m)
        said += (
            f"; a soft joint that gives 30 to 50 % needs {least} to {most} {u.small_unit(units)} "
            "(practice)"
        )
    return said + "."


def _slab(one: Slab, units: Units) -> str:
    """One slab in a sentence; empty where nothing of it is known."""
    parts = []
    unit = u.stress_unit(units)
    if one.carried is not None:
        way = "both ways" if one.carried.both_ways else "one way"
        over = u.length(one.carried.span_m, units)
        own = _stress(one.carried.stress_Pa, units)
        parts.append(f"own weight {own} {unit} over {over} {way}")
    if one.bow_m is not None and one.over_m is not None and one.bow_m.high >= LEAST_M:
        over = u.length(one.over_m, units)
        parts.append(f"bows {_small(one.bow_m, units)} {u.small_unit(units)} over {over}")
    pulls = [
        (one.free_Pa, "lying free"), (one.flat_Pa, "held flat"),
        (one.rim_Pa, "in one piece round its hot middle"),
    ]  # fmt: skip
    # A middle cooler than its rim (an insulated span) presses the rim: nothing pulls there.
    heat = [
        f"{_stress(_pull(pull), units)} {word}"
        for pull, word in pulls if pull is not None and pull.high > 0.0
    ]  # fmt: skip
    if heat:
        parts.append(f"heat pulls with {', '.join(heat)} ({unit})")
    if not parts:
        return ""
    if one.strength_Pa is not None:
        parts.append(f"strength {_stress(one.strength_Pa, units)} {unit}")
        over_it = [
            word for pull, word in pulls if pull is not None and pull.mid > one.strength_Pa.mid
        ]
        if over_it:
            parts.append(f"by the middle figures it could crack {' and '.join(over_it)}")
    return f"{one.part} {one.layer.material}: {'; '.join(parts)}."


def _chills(found: Iterable[Slab], units: Units) -> str:
    """What takes which chill; empty where nothing faces a fire."""
    said = []
    for one in found:
        if one.chill_K is not None:
            chill = u.difference(one.chill_K.mid, units)
            least = u.difference(one.chill_K.low, units).split(" ")[0]
            said.append(f"{one.part} {one.layer.material} {chill} ({least})")
    if not said:
        return ""
    return (
        "Sudden cold air on the face at the fire may start a crack from a chill of, typically (at "
        f"worst): {', '.join(said)}."
    )


def _reasons(cases: Iterable[Unsolved]) -> list[str]:
    """Each reason once, with the parts it holds for."""
    told: dict[tuple[str, str], list[str]] = {}
    for case in cases:
        parts = told.setdefault((case.reason, case.remedy), [])
        if case.subject not in parts:
            parts.append(case.subject)
    return [f"{', '.join(parts)}: {why}; {what}" for (why, what), parts in told.items()]


def _ends(values: Range) -> tuple[float, float, float]:
    return values.low, values.mid, values.high


def _small(values: Range, units: Units) -> str:
    return _range(*(u.small_length(value, units) for value in _ends(values)))


def _stress(values: Range, units: Units) -> str:
    return _range(*(u.stress(value, units) for value in _ends(values)))


def _pull(of: Range) -> Range:
    return Range(low=max(of.low, 0.0), mid=max(of.mid, 0.0), high=of.high)


def _range(low: str, mid: str, high: str) -> str:
    return mid if low == mid == high else f"{mid} ({low} to {high})"
