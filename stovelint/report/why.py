"""Why a part gets as hot as it does: the inputs that move its peak, the strongest first."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Mapping, Sequence

from stovelint.hotmap.cases import INPUTS, OPEN_SHARE, TIGHT_SHARE, Input
from stovelint.hotmap.core import CORE_INPUTS
from stovelint.hotmap.influence import SHUT_OR_OPEN
from stovelint.report import units as u
from stovelint.report.lines import both_ends, table, wrap
from stovelint.rule.courses import place_name

if TYPE_CHECKING:
    from stovelint.build import Build, FiringState, Part
    from stovelint.catalogue import Catalogue
    from stovelint.hotmap.influence import Influence, Influenced
    from stovelint.hotmap.records import Spread
    from stovelint.quantity import Units

SMALL_SHARE = 0.01
"""Inputs with less of the variance than this are told together."""
FINE_K = 10.0
"""Where the peak scatters by less, changes are told to a tenth."""
FIGURES = frozenset({2, 3, 4})
TITLES = {
    "film": "convection inside",
    "room_film": "film between heater and room",
    "jet": "jet at the crown",
    "peclet": "gas passes as a plug, not mixed",
    "entrainment": "gas that a plume draws in",
    "riser_share": "gas that burns in the riser",
    "charge": "weight of the wood",
    "moisture": "moisture of the wood",
    "peak_air_ratio": "air ratio at the height of the fire",
    "burn_time": "length of the burn",
    "flame": "emissivity of soot in the flame",
    "emissivity": "emissivity of the faces",
    "damper": "flow after the burn",
    "still": "exchange in a bell standing still",
    "room": "room temperature",
    "heat": "heat that is not accounted for",
    "stored": "density of the masonry",
}
"""What an input is called on the page."""
CORE_TITLES = {
    "core_wall": "outer face of the core, as declared",
    "core_exit": "gas out of the core, as declared",
}
"""Likewise of a plan with a declared core."""
GRADES = ("read", "second-hand", "recalled", "judgement", "practice")
"""The strongest first."""
FACTORS = frozenset({"film", "room_film", "jet", "charge", "burn_time", "damper", "heat"})
"""Inputs that multiply what is computed or drawn."""


def why_text(
    build: Build, part: str, found: Mapping[FiringState, Influenced], catalogue: Catalogue,
    units: Units = "si",
) -> str:  # fmt: skip
    """What moves the peak of one part, as text of at most 100 columns.

    Args:
        build: the plan.
        part: name of one of its parts.
        found: what `hotmap.influence.influences` found for it.
        catalogue: the materials.
        units: `si` or `us`.
    """
    title = build.title if build.drawing is None else f"{build.title}, {build.drawing}"
    of = build.parts[part]
    lines = both_ends(title, "what moves the heat")
    lines += both_ends(part, f"{of.kind} of {' and '.join(of.bounds)}, faces {of.faces}")
    if not found:
        lines += ["", "Not computed: no layer of it could be judged; the whole survey says why."]
    else:
        depth, unit = u.length(0.010, units), "K" if units == "si" else "Fahrenheit degrees"
        lines += wrap(
            f"The hottest place, {depth} under the hot face of its layer, wood at its face. Each "
            "input is moved alone to its low and its high value, all others at their middle; "
            f"\"at low\" and \"at high\" are the change of the peak in {unit}. Share: of the "
            "variance that the inputs make one by one.",
            first="", rest="",
        )  # fmt: skip
    told: set[str] = set()
    declared = any(chamber.declared is not None for chamber in build.chambers.values())
    for state in ("hardest", "usual"):
        if state in found:
            moved = _of_core(found[state]) if declared else found[state]
            lines += ["", *_state(build, of, state, moved, catalogue, units, told)]
    lines += ["", "Estimates with a range; local code and licensed practice decide."]
    return "\n".join(lines) + "\n"


def _of_core(found: Influenced) -> Influenced:
    """With the inputs named for what they stand for in a plan with a declared core."""
    return replace(found, influences=tuple(
        replace(one, name=CORE_INPUTS[one.name].name) if one.name in CORE_INPUTS else one
        for one in found.influences
    ))  # fmt: skip


def _state(
    build: Build, part: Part, state: FiringState, of: Influenced, catalogue: Catalogue,
    units: Units, told: set[str],
) -> list[str]:  # fmt: skip
    firing, peak = build.firings[state], of.depth.peak_C
    lines = wrap(
        f"{state} firing: {firing.loads} x {u.mass(firing.charge_kg, units)} every "
        f"{u.duration(firing.every_s)}, each burning {u.duration(firing.burn_s)}"
        + (" (assumed)" if firing.assumed else ""),
        first="", rest="",
    )  # fmt: skip
    named = place_name(part, of.patch, build.gauges_m)
    where = named if named == of.patch.where else f"{named}, {of.patch.where}"
    layer = of.layer.layer
    what = layer.material if layer.material is not None else "gap"
    lines += wrap(
        f"{u.place(where, units)}, {what} {u.length(of.layer.thickness_m, units)}: peak "
        f"{_degrees(peak, units)}, mean {_degrees(of.depth.mean_C, units)}",
        first="  ", rest="    ",
    )  # fmt: skip
    whole, decimals = of.alone_K**2, 1 if of.alone_K < FINE_K else 0
    large = [one for one in of.influences if whole and one.variance_K2 / whole >= SMALL_SHARE]
    small = of.influences[len(large) :]
    rows: list[tuple[str, ...]] = [
        ("input, strongest first", "its range", "at low", "at high", "share", "grade")
    ]
    rows += [_row(one, whole, catalogue, units, decimals) for one in large]
    laid = table(rows, right=FIGURES)
    lines.append("    " + laid[0])
    for one, line in zip(large, laid[1:], strict=True):
        lines.append("    " + line)
        if one.name not in told:
            told.add(one.name)
            lines += wrap(u.sentence(_reason(one), units), first=" " * 6, rest=" " * 6)
    if small:
        share = sum(one.variance_K2 for one in small) / whole if whole else 0.0
        reach, one_left = max(one.reach_K for one in small), len(small) == 1
        moves = f"by {'' if one_left else 'more than '}{u.difference(reach, units, 1)}"
        who = "the other one moves" if one_left else f"{len(small)} others, none of which moves"
        lines += wrap(
            f"{who} the peak {moves} from end to end: share {100 * share:.1f} %",
            first=" " * 4, rest=" " * 6,
        )  # fmt: skip
    lines += wrap(
        f"One by one, added as independent, they make the peak scatter by "
        f"{u.difference(of.alone_K, units, decimals)}; over the {peak.cases} cases, in which all "
        f"move at once, it scatters by {u.difference(of.together_K, units, decimals)} "
        "(standard deviations).",
        first="  ", rest="  ",
    )  # fmt: skip
    return lines


def _row(
    one: Influence, whole_K2: float, catalogue: Catalogue, units: Units, decimals: int
) -> tuple[str, ...]:
    name, range_, grade = _told(one, catalogue, units)
    return (
        name, range_, _signed(one.low_K, units, decimals), _signed(one.high_K, units, decimals),
        f"{100 * one.variance_K2 / whole_K2:.0f} %", grade,
    )  # fmt: skip


def _told(one: Influence, catalogue: Catalogue, units: Units) -> tuple[str, str, str]:
    """Title, range and grade of an input."""
    if one.name == SHUT_OR_OPEN:
        return "damper after the burn, not said", "shut to open", "judgement"
    if one.name.startswith("k:"):
        return _conductivity(one.materials, catalogue)
    item = _input(one.name)
    return {**TITLES, **CORE_TITLES}[one.name], _range(item, units), item.grade


def _conductivity(materials: Sequence[str], catalogue: Catalogue) -> tuple[str, str, str]:
    """Title, range as a factor on the typical value within the tables, and grade."""
    known = [catalogue.get(name) for name in materials]
    classes = " and ".join(dict.fromkeys(material.family for material in known))
    curves = [m.conductivity for m in known if m.conductivity is not None]
    low = min((float(curve.low_factors.min()) for curve in curves), default=1.0)
    high = max((float(curve.high_factors.max()) for curve in curves), default=1.0)
    grade = max((curve.grade for curve in curves), key=_weakness, default="")
    return f"conductivity, {classes}", f"{low:.2g} to {high:.3g} x", grade


def _weakness(grade: str) -> int:
    """A mixed figure has the grade of its weakest part; one that is not known is weaker still."""
    return GRADES.index(grade) if grade in GRADES else len(GRADES)


def _input(name: str) -> Input:
    return next(item for item in (*INPUTS, *CORE_INPUTS.values()) if item.name == name)


def _range(item: Input, units: Units) -> str:
    if item.name == "emissivity":
        return "low to high"
    if item.name == "room":
        unit = "K" if units == "si" else "F deg"
        return f"{_signed(item.low, units)} to {_signed(item.high, units)} {unit}"
    if item.name == "moisture":
        return f"{100 * item.low:+.0f} to {100 * item.high:+.0f} points"
    if item.name == "riser_share":
        return f"{100 * item.low:.0f} to {100 * item.high:.0f} %"
    factor = item.name in FACTORS or item.name in CORE_TITLES
    return f"{item.low:g} to {item.high:g}{' x' if factor else ''}"


def _reason(one: Influence) -> str:
    if one.name == SHUT_OR_OPEN:
        return (
            f"the plan does not say: shut, {TIGHT_SHARE:.1%} of the burn's flow still passes, and "
            f"open {OPEN_SHARE:.0%}"
        )
    if one.name.startswith("k:"):
        return (
            f"spread of {', '.join(one.materials)}, or of its class, in the catalogue; more beyond "
            "a table"
        )
    return _input(one.name).reason


def _degrees(spread: Spread, units: Units) -> str:
    low, high = (_number(u.temperature(end, units)) for end in (spread.low, spread.high))
    return f"{u.temperature(spread.mid, units)} ({low} to {high})"


def _signed(value_K: float, units: Units, decimals: int = 0) -> str:
    text = _number(u.difference(value_K, units, decimals))
    return text if text.startswith("-") or float(text) == 0.0 else f"+{text}"


def _number(text: str) -> str:
    return text.split(" ")[0]
