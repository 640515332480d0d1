"""The heat survey: every part by course or metre, layer by layer, and what may go there."""

from __future__ import annotations

from typing import TYPE_CHECKING, Iterable, Sequence

from stovelint.report import units as u
from stovelint.report.lines import both_ends, table, wrap

if TYPE_CHECKING:
    from stovelint.build import Build, Part
    from stovelint.catalogue import Catalogue, ClassVerdict
    from stovelint.hotmap.records import (
        CombustibleHeat,
        CycleHeat,
        HotMap,
        LayerHeat,
        PatchHeat,
        Spread,
    )
    from stovelint.report.units import Units

HEADINGS = ("place", "layer, hot side first", "peak", "mean", "swing", "peaks at")
FIGURES = frozenset({2, 3, 4, 5})


def survey_text(build: Build, hot: HotMap, catalogue: Catalogue, units: Units = "si") -> str:
    """The survey of one plan as text, at most 100 columns wide.

    Peaks are those of the hardest firing; means and swings those of the usual one.

    Args:
        build: the plan.
        hot: its heat, with the states `usual` and `hardest`.
        catalogue: the materials.
        units: `si` or `us`.
    """
    usual, hardest = hot.cycles["usual"], hot.cycles["hardest"]
    lines = _head(build, hardest, units)
    lines += ["", *_gas(build, hot, units)]
    for part in build.parts.values():
        lines += ["", *_part(part, usual, hardest, catalogue, units)]
    if hardest.combustibles:
        lines += ["", *_combustibles(usual, hardest, units)]
    lines += _foot(hot)
    return "\n".join(lines) + "\n"


def _head(build: Build, hardest: CycleHeat, units: Units) -> list[str]:
    title = build.title if build.drawing is None else f"{build.title}, {build.drawing}"
    lines = both_ends(title, "heat survey")
    for state in ("usual", "hardest"):
        firing = build.firings[state]
        said = (
            f"{state} firing: {firing.loads} x {u.mass(firing.charge_kg, units)} every "
            f"{u.hours(firing.every_s / 3600.0, units)}, each burning "
            f"{u.hours(firing.burn_s / 3600.0, units)}"
        )
        lines += wrap(said + (" (assumed)" if firing.assumed else ""), first="", rest="")
    cases = hardest.released_kWh.cases
    unit = "degC, swings in K" if units == "si" else "degF, swings in F deg"
    lines += wrap(
        f"Peaks: hardest firing. Means and swings: usual firing, day after day. Figures in {unit}: "
        f"middle of {cases} cases (lowest to highest), 10 mm under the hot face of the layer.",
        first="", rest="",
    )  # fmt: skip
    return lines


def _gas(build: Build, hot: HotMap, units: Units) -> list[str]:
    hardest, usual = hot.cycles["hardest"], hot.cycles["usual"]
    rows = [("gas in", "peak")]
    for chamber in build.chambers:
        if chamber in hardest.chamber_peak_C:
            rows.append((chamber, _degrees(hardest.chamber_peak_C[chamber], units)))
    lines = table(rows, right=frozenset({1}))
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


def _part(
    part: Part, usual: CycleHeat, hardest: CycleHeat, catalogue: Catalogue, units: Units
) -> list[str]:
    lines = both_ends(
        f"{part.name}", f"{part.kind} of {' and '.join(part.bounds)}, faces {part.faces}"
    )
    pairs = list(zip(hardest.of_part(part.name), usual.of_part(part.name), strict=True))
    if not pairs:
        return [*lines, "  not computed; see the open questions"]
    rows: list[tuple[str, ...]] = [HEADINGS]
    for hard, mild in pairs:
        rows += _rows(hard, mild, units)
    lines += ["  " + row for row in table(rows, right=FIGURES)]
    for place, layer, said in _may_go(pairs, catalogue):
        lines += wrap(
            f"{place}, in place of {layer}: {said}", first="  may go  ", rest=" " * 10
        )
    return lines


def _rows(hard: PatchHeat, mild: PatchHeat, units: Units) -> list[tuple[str, ...]]:
    rows: list[tuple[str, ...]] = []
    for index, (top, mean) in enumerate(zip(hard.layers, mild.layers, strict=True)):
        place = hard.where if index == 0 else ""
        if top.unjudged is not None:
            rows.append((place, _layer(top, units), "open", "open", "open", ""))
            continue
        rows.append(
            (
                place, _layer(top, units), _bare(top.hot_zone.peak_C, units),
                _bare(mean.hot_zone.mean_C, units), _swing(mean.hot_zone.swing_K, units),
                f"{top.hot_zone.peak_at_s / 3600.0:.1f} h",
            )
        )  # fmt: skip
    last, mild_last = hard.layers[-1].cold, mild.layers[-1].cold
    rows.append(
        (
            "", "cold face", _bare(last.peak_C, units), _bare(mild_last.mean_C, units),
            _swing(mild_last.swing_K, units), f"{last.peak_at_s / 3600.0:.1f} h",
        )
    )  # fmt: skip
    return rows


def _layer(heat: LayerHeat, units: Units) -> str:
    layer = heat.layer
    name = layer.material if layer.material is not None else (
        f"{layer.gap.kind if layer.gap is not None else 'closed'} gap"
    )
    return f"{name} {u.length(layer.thickness_m, units)}"


def _may_go(
    pairs: Sequence[tuple[PatchHeat, PatchHeat]], catalogue: Catalogue
) -> Iterable[tuple[str, str, str]]:
    """Place, layer and what may go there; neighbours with the same answer are told once."""
    count = len(pairs[0][0].layers)
    for index in range(count):
        run: list[str] = []
        before: tuple[str, str] | None = None
        for hard, mild in pairs:
            if index >= len(hard.layers) or index >= len(mild.layers):
                continue
            top, mean = hard.layers[index], mild.layers[index]
            if top.layer.material is None or top.layer.role is not None:
                continue
            if top.unjudged is not None:
                said = "open, as this place was not computed"
            else:
                said = classes_text(
                    catalogue.may_go(top.hot_zone.peak_C.high, mean.hot_zone.mean_C.high)
                )
            here = (top.layer.material, said)
            if before is not None and here != before:
                yield (_run(run), *before)
                run = []
            run.append(hard.where)
            before = here
        if before is not None:
            yield (_run(run), *before)


def _run(places: Sequence[str]) -> str:
    return places[0] if len(places) == 1 else f"{places[0]} to {places[-1]}"


def classes_text(verdicts: Iterable[ClassVerdict]) -> str:
    """`any fired clay brick; of natural stone: soapstone; no portland concrete`."""
    whole, some, none = [], [], []
    for verdict in verdicts:
        if not verdict.may_not:
            whole.append(verdict.title)
        elif verdict.may:
            some.append(f"of {verdict.title}: {', '.join(verdict.may)}")
        else:
            none.append(verdict.title)
    said = []
    if whole:
        said.append("any " + ", ".join(whole))
    said += some
    if none:
        said.append("no " + ", ".join(none))
    return "; ".join(said) + " (by temperature alone)"


def _combustibles(usual: CycleHeat, hardest: CycleHeat, units: Units) -> list[str]:
    means = {(c.surrounding, c.seen_part, c.seen_where): c.mean_C for c in usual.combustibles}
    rows: list[tuple[str, ...]] = [
        ("what can burn", "warmed by", "peak", "mean", "heater's skin there, peak")
    ]
    for heat in hardest.combustibles:
        mean = means.get((heat.surrounding, heat.seen_part, heat.seen_where), heat.mean_C)
        rows.append(
            (
                _combustible(heat), f"{heat.seen_part} {heat.seen_where}".strip(),
                _bare(heat.peak_C, units), _bare(mean, units), _bare(heat.skin_peak_C, units),
            )
        )  # fmt: skip
    return table(rows, right=frozenset({2, 3, 4}))


def _combustible(heat: CombustibleHeat) -> str:
    return f"{heat.surrounding}: {heat.layer.material}{' (covered)' if heat.covered else ''}"


def _foot(hot: HotMap) -> list[str]:
    lines: list[str] = []
    beyond = {
        said
        for cycle in hot.cycles.values()
        for patch in cycle.patches
        for layer in patch.layers
        for said in layer.beyond_table
    }
    if hot.unsolved:
        lines += ["", "open questions"]
        for case in hot.unsolved:
            lines += wrap(f"{case.subject}: {case.reason}; {case.remedy}", first="  ", rest="    ")
    for title, sentences in (("beyond a table", sorted(beyond)), ("assumed", hot.assumptions)):
        if sentences:
            lines += ["", title]
            for said in sentences:
                lines += wrap(said, first="  ", rest="    ")
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
    low, mid, high = (_number(u.difference(v, units)) for v in (spread.low, spread.mid, spread.high))
    return f"{mid} ({low} to {high})"


def _number(text: str) -> str:
    return text.split(" ")[0]
