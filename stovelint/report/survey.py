"""The heat survey: every part by course or metre, layer by layer, and what may go there."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import TYPE_CHECKING, Callable, Iterable, Mapping, Sequence

from stovelint.hotmap.layerheat import judged_depth
from stovelint.hotmap.records import HOT_ZONE_M
from stovelint.report import units as u
from stovelint.report.beyond import beyond_lines
from stovelint.report.draught import draught_lines
from stovelint.report.lines import WIDTH, both_ends, table, wrap
from stovelint.report.masses import masses_lines
from stovelint.report.movement import movement_lines
from stovelint.rule.courses import place_name

if TYPE_CHECKING:
    from stovelint.build import Build, FiringState, Layer, Part
    from stovelint.catalogue import Catalogue, ClassVerdict
    from stovelint.hotmap.draught import ChimneyDraught
    from stovelint.hotmap.records import (
        CombustibleHeat,
        CycleHeat,
        DepthHeat,
        HotMap,
        LayerHeat,
        PatchHeat,
        Spread,
        Unsolved,
    )
    from stovelint.quantity import Units

Objects = Callable[["Part", "Layer", tuple[str, str], str], bool]
"""Part, layer, (chamber, where), material: whether a rule objects to it there."""

HEADINGS = ("layer, hot side first", "peak", "mean", "swing", "peaks at")
STATES: tuple[FiringState, ...] = ("usual", "hardest")
"""Told at the head, also that one was assumed."""
FIGURES = frozenset({1, 2, 3, 4})
# What can take each other's place: what a wall or cap is built of, and what keeps heat back.
KINDRED = (
    frozenset({
        "fired-clay-brick", "fireclay-brick", "castable", "natural-stone", "portland-concrete",
        "concrete-block", "earth", "ceramic",
    }),
    frozenset({
        "insulating-firebrick", "perlite-concrete", "aac", "board", "fibre", "loose-fill",
    }),
)  # fmt: skip
STRETCH = re.compile(r"(.*?)(\d+\.\d+) to (\d+\.\d+ m.*)")


def survey_text(
    build: Build, hot: HotMap, catalogue: Catalogue, objects: Objects, units: Units = "si",
    chimney: ChimneyDraught | Unsolved | None = None,
) -> str:  # fmt: skip
    """The survey of one plan as text, at most 100 columns wide.

    Peaks are those of the hardest firing; means and swings those of the usual one.

    Args:
        build: the plan.
        hot: its heat, with the states `usual` and `hardest`.
        catalogue: the materials.
        objects: whether a rule objects to a material at a layer, at the heat computed.
        units: `si` or `us`.
        chimney: its chimney and draught, or why they are not reckoned; None: not asked for.
    """
    usual, hardest = hot.cycles.get("usual"), hot.cycles.get("hardest")
    if usual is None and hardest is None:
        return "\n".join([*_title(build), "not computed", *_foot(hot, units)]) + "\n"
    lines = _head(build, hot, units)
    lines += ["", *_gas(build, usual, hardest, units)]
    told: dict[str, str] = {}
    for part in build.parts.values():
        lines += ["", *_part(part, usual, hardest, catalogue, objects, build.gauges_m, units,
                           told)]  # fmt: skip
    if any(cycle.combustibles for cycle in hot.cycles.values()):
        lines += ["", *_combustibles(usual, hardest, units)]
    if usual is not None:
        lines += ["", *masses_lines(build, usual, catalogue, units)]
    if hardest is not None:
        lines += ["", *movement_lines(build, hardest, catalogue, units)]
    lines += draught_lines(chimney, units)
    lines += _foot(hot, units)
    return "\n".join(lines) + "\n"


def _title(build: Build) -> list[str]:
    title = build.title if build.drawing is None else f"{build.title}, {build.drawing}"
    return both_ends(title, "heat survey")


def _head(build: Build, hot: HotMap, units: Units) -> list[str]:
    lines = _title(build)
    for state in STATES:
        firing = build.firings[state]
        said = (
            f"{state} firing: {firing.loads} x {u.mass(firing.charge_kg, units)} every "
            f"{u.duration(firing.every_s)}, each burning {u.duration(firing.burn_s)}"
        )
        said += " (assumed)" if firing.assumed else ""
        said += "" if state in hot.cycles else ": not computed, see the open questions"
        lines += wrap(said, first="", rest="")
    cases = next(iter(hot.cycles.values())).released_kWh.cases
    unit = "degC, swings in K" if units == "si" else "degF, swings in Fahrenheit degrees"
    lines += wrap(
        f"Peaks: hardest firing. Means and swings: usual firing, day after day. Figures in {unit}: "
        f"middle of {cases} cases (lowest to highest; the lowest let down by a fifth of its rise, as "
        f"far as the model itself is known to err), {u.length(HOT_ZONE_M, units)} under the hot "
        "face of the layer, wood at its face.",
        first="", rest="",
    )  # fmt: skip
    lines += wrap(
        "\"may go\" goes by temperature at the hot end of the range and by the rules, with the "
        "heat as drawn: a material that conducts more or less shifts it, so review the changed "
        "plan.",
        first="", rest="",
    )  # fmt: skip
    return lines


def _gas(
    build: Build, usual: CycleHeat | None, hardest: CycleHeat | None, units: Units
) -> list[str]:
    rows = [("gas in", "peak")]
    for chamber in build.chambers:
        if hardest is not None and chamber in hardest.chamber_peak_C:
            rows.append((chamber, _degrees(hardest.chamber_peak_C[chamber], units)))
    lines = table(rows, right=frozenset({1})) if hardest is not None else []
    if usual is None:
        return lines
    lines += _parted(usual)
    share = usual.to_room_share
    lines += wrap(
        f"Usual firing: {usual.released_kWh.mid:.1f} kWh released in a cycle, "
        f"{100 * share.mid:.0f} % ({100 * share.low:.0f} to {100 * share.high:.0f}) of it to the "
        f"room; gas leaves at {u.temperature(usual.exit_burn_mean_C.mid, units)} "
        f"({_ends(usual.exit_burn_mean_C, units)}) over the burn. Heat in and heat out differ by "
        f"{100 * abs(usual.energy_gap):.2g} %.",
        first="", rest="",
    )  # fmt: skip
    return lines


def _parted(usual: CycleHeat) -> list[str]:
    """How the gas parts where the plan leaves it to the gas, one sentence for each chamber."""
    lines: list[str] = []
    for chamber in dict.fromkeys(tail for tail, _ in usual.way_shares):
        ways = [
            f"{100 * share.mid:.0f} % ({100 * share.low:.0f} to {100 * share.high:.0f}) goes to {to}"
            for (tail, to), share in usual.way_shares.items() if tail == chamber
        ]  # fmt: skip
        said = f"Usual firing: of the gas of {chamber}, {', '.join(ways[:-1])} and {ways[-1]}."
        lines += wrap(said, first="", rest="")
    return lines


def _part(
    part: Part, usual: CycleHeat | None, hardest: CycleHeat | None, catalogue: Catalogue,
    objects: Objects, gauges_m: Mapping[str, float], units: Units, told: dict[str, str],
) -> list[str]:  # fmt: skip
    lines = both_ends(
        f"{part.name}", f"{part.kind} of {' and '.join(part.bounds)}, faces {part.faces}"
    )
    hards = () if hardest is None else hardest.of_part(part.name)
    milds = () if usual is None else usual.of_part(part.name)
    pairs = list(zip(hards or milds, milds or hards, strict=True))
    if not pairs:
        return [*lines, "  not computed; see the open questions"]
    known = (hardest is not None, usual is not None)
    blocks = [_rows(part, hard, mild, catalogue, units, known) for hard, mild in pairs]
    rows, above = _fitted([HEADINGS, *(row for block in blocks for row in block)])
    laid = [
        line if name is None else f"{name}\n    {line}"
        for line, name in zip(table(rows, right=FIGURES), above, strict=True)
    ]
    lines.append("    " + laid[0])
    row = 1
    for (hard, _), block in zip(pairs, blocks, strict=True):
        named = place_name(part, hard, gauges_m)
        where = named if named == hard.where else f"{named}, {hard.where}"
        lines += wrap(u.place(where, units), first="  ", rest="    ")
        lines += ["    " + line for line in laid[row : row + len(block)]]
        row += len(block)
    for place, layer, said in _may_go(part, pairs, catalogue, objects) if all(known) else ():
        here = f"{u.place(place, units)}, in place of {layer}"
        if said in told:
            said = f"as {told[said]}"
        else:
            told[said] = f"{part.name} {here}"
        lines += wrap(f"{here}: {said}", first="  may go  ", rest=" " * 10)
    return lines


def _fitted(
    rows: Sequence[tuple[str, ...]],
) -> tuple[list[tuple[str, ...]], list[str | None]]:
    """The rows, and for each the name that must stand on a line above it for want of room."""
    figures = sum(2 + max(len(row[column]) for row in rows) for column in FIGURES)
    room = WIDTH - 4 - figures
    fitted: list[tuple[str, ...]] = []
    above: list[str | None] = []
    for row in rows:
        name, _, size = row[0].partition(" ")
        long = len(row[0]) > room and row is not rows[0]
        fitted.append((f"  {size}", *row[1:]) if long else row)
        above.append(name if long else None)
    return fitted, above


def _rows(
    part: Part, hard: PatchHeat, mild: PatchHeat, catalogue: Catalogue, units: Units,
    known: tuple[bool, bool],
) -> list[tuple[str, ...]]:  # fmt: skip
    """One row for each layer and one for the cold face; what a firing that is not `known`
    (hardest, usual) would say stays open."""
    rows: list[tuple[str, ...]] = []
    for top, mean in zip(hard.layers, mild.layers, strict=True):
        if top.unjudged is not None:
            rows.append((_layer(top, units), "open", "open", "open", ""))
            continue
        peak, held = judged_depth(top, catalogue), judged_depth(mean, catalogue)
        rows.append((_layer(top, units), *_figures(peak, held, units, known)))
    cold, held = hard.layers[-1].cold, mild.layers[-1].cold
    rows.append((_far_face(hard, part), *_figures(cold, held, units, known)))
    return rows


def _far_face(patch: PatchHeat, part: Part) -> str:
    """What the last row is of: between joists that end a part, what lies between them is still
    to come."""
    joists = part.layers[-1].joists
    ends = patch.layers[-1].layer.path == part.layers[-1].path
    if joists is None or ends or joists.between == "open":
        return "cold face"
    return "face over the air" if joists.between == "closed" else f"face over {joists.between}"


def _figures(
    peak: DepthHeat, held: DepthHeat, units: Units, known: tuple[bool, bool]
) -> tuple[str, str, str, str]:
    """Peak, mean, swing and when it peaks."""
    hard, mild = known
    return (
        _bare(peak.peak_C, units) if hard else "open",
        _bare(held.mean_C, units) if mild else "open",
        _swing(held.swing_K, units) if mild else "open",
        f"{peak.peak_at_s / 3600.0:.1f} h" if hard else "",
    )


def _layer(heat: LayerHeat, units: Units) -> str:
    layer = heat.layer
    name = layer.material if layer.material is not None else (
        f"{layer.gap.kind if layer.gap is not None else 'closed'} gap"
    )
    return f"{name} {u.length(layer.thickness_m, units)}"


def _may_go(
    part: Part,
    pairs: Sequence[tuple[PatchHeat, PatchHeat]],
    catalogue: Catalogue,
    objects: Objects,
) -> Iterable[tuple[str, str, str]]:
    """Place, layer and what may go there; neighbours with the same answer are told once."""
    for layer in part.layers:
        if layer.material is None or layer.role is not None:
            continue
        family = catalogue.get(layer.material).family
        kin = next((kin for kin in KINDRED if family in kin), None)
        if kin is None:
            continue
        run: list[str] = []
        before = ""
        for hard, mild in pairs:
            top, mean = _of(hard, layer), _of(mild, layer)
            if top is None or mean is None:
                continue
            said = "open, as this place was not computed"
            if top.unjudged is None and mean.unjudged is None:
                peak, held = top.hot_zone.peak_C.high, mean.hot_zone.mean_C.high
                stands = [v for v in catalogue.may_go(peak, held) if v.family in kin]
                here = (hard.chamber, hard.where)
                said = classes_text(_unopposed(v, layer, part, here, objects) for v in stands)
            if run and said != before:
                yield _run(run), layer.material, before
                run = []
            run.append(hard.where)
            before = said
        if run:
            yield _run(run), layer.material, before


def _of(patch: PatchHeat, layer: Layer) -> LayerHeat | None:
    return next((heat for heat in patch.layers if heat.layer.path == layer.path), None)


def _unopposed(
    verdict: ClassVerdict, layer: Layer, part: Part, where: tuple[str, str], objects: Objects
) -> ClassVerdict:
    """The verdict less the materials to which a rule objects at that place."""
    may = tuple(name for name in verdict.may if not objects(part, layer, where, name))
    return replace(
        verdict,
        may=may,
        may_not=(*verdict.may_not, *(name for name in verdict.may if name not in may)),
    )


def _run(places: Sequence[str]) -> str:
    """`0.07 to 0.55 m` for `0.07 to 0.30 m` and `0.30 to 0.55 m`; other names stay whole."""
    first, last = STRETCH.fullmatch(places[0]), STRETCH.fullmatch(places[-1])
    if len(places) == 1:
        return places[0]
    if first is None or last is None or first[1] != last[1]:
        return f"{places[0]} to {places[-1]}"
    return f"{first[1]}{first[2]} to {last[3]}"


def classes_text(verdicts: Iterable[ClassVerdict]) -> str:
    """`any fired clay brick; of natural stone: soapstone; no Portland concrete`."""
    whole, some, none = [], [], []
    for verdict in verdicts:
        if not verdict.may_not:
            whole.append(verdict.title)
        elif verdict.may:
            some.append(f"of {verdict.title}: {', '.join(verdict.may)}")
        else:
            none.append(verdict.title)
    # Titles hold commas of their own, so classes are set off by semicolons.
    said = [f"any {'; any '.join(whole)}"] if whole else []
    said += some
    said += [f"no {'; no '.join(none)}"] if none else []
    return "; ".join(said) if said else "nothing of the catalogue"


def _combustibles(
    usual: CycleHeat | None, hardest: CycleHeat | None, units: Units
) -> list[str]:
    hards, milds = (
        {} if cycle is None
        else {(c.surrounding, c.seen_part, c.seen_where): c for c in cycle.combustibles}
        for cycle in (hardest, usual)
    )  # fmt: skip
    rows: list[tuple[str, ...]] = [
        ("what can burn", "warmed by", "peak", "mean", "skin's peak")
    ]
    if hardest is None:
        rows += [
            (_combustible(mild), mild.seen_part, "open", _bare(mild.mean_C, units), "open")
            for mild in milds.values()
        ]
    for key, heat in hards.items():
        # the warmest place of a part may be another in the milder firing
        mean = "open" if usual is None else _bare(milds.get(key, heat).mean_C, units)
        rows.append(
            (
                _combustible(heat), heat.seen_part,
                _bare(heat.peak_C, units), mean, _bare(heat.skin_peak_C, units),
            )
        )  # fmt: skip
    return table(rows, right=frozenset({2, 3, 4}))


def _combustible(heat: CombustibleHeat) -> str:
    return f"{heat.surrounding}: {heat.layer.material}{' (covered)' if heat.covered else ''}"


def _foot(hot: HotMap, units: Units) -> list[str]:
    lines: list[str] = []
    beyond = beyond_lines(
        (
            said
            for cycle in hot.cycles.values()
            for patch in cycle.patches
            for layer in patch.layers
            for said in layer.beyond_table
        ),
        units,
    )
    if hot.unsolved:
        lines += ["", "open questions"]
        for case in hot.unsolved:
            said = f"{case.subject}: {case.reason}; {case.remedy}"
            lines += wrap(u.sentence(said, units), first="  ", rest="    ")
    if beyond:
        lines += ["", *beyond]
    # Which firing was assumed, and how it was taken, stands at the head.
    assumed = [
        said for said in hot.assumptions
        if not any(said.startswith(f"firing {state} is not given") for state in STATES)
    ]  # fmt: skip
    if assumed:
        lines += ["", "assumed"]
        for said in assumed:
            lines += wrap(u.sentence(said, units), first="  ", rest="    ")
    lines += ["", "Estimates with a range; local code and licensed practice decide."]
    return lines


def _degrees(spread: Spread, units: Units) -> str:
    return f"{u.temperature(spread.mid, units)} ({_ends(spread, units)})"


def _bare(spread: Spread, units: Units) -> str:
    return f"{_number(u.temperature(spread.mid, units))} ({_ends(spread, units)})"


def _ends(spread: Spread, units: Units) -> str:
    low, high = u.temperature(spread.low, units), u.temperature(spread.high, units)
    return f"{_number(low)} to {_number(high)}"


def _swing(spread: Spread, units: Units) -> str:
    ends = (spread.low, spread.mid, spread.high)
    low, mid, high = (_number(u.difference(value, units)) for value in ends)
    return f"{mid} ({low} to {high})"


def _number(text: str) -> str:
    return text.split(" ")[0]
