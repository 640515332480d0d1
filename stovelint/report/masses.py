"""What the heater weighs, the heat it holds, and how long it gives heat, for the survey."""

from __future__ import annotations

from typing import TYPE_CHECKING

from stovelint.hotmap.masses import USEFUL_SHARE, masses, output
from stovelint.report import units as u
from stovelint.report.lines import labelled, wrap

if TYPE_CHECKING:
    from stovelint.build import Build
    from stovelint.catalogue import Catalogue
    from stovelint.hotmap.masses import Masses, Output, Weight
    from stovelint.hotmap.records import CycleHeat, Spread
    from stovelint.quantity import Units

HEADINGS = ("mass and stored heat", "mass", "holds, kWh")


def masses_lines(build: Build, usual: CycleHeat, catalogue: Catalogue, units: Units) -> list[str]:
    """The section of the survey, for the usual firing.

    Args:
        build: the plan.
        usual: its heat in the usual firing.
        catalogue: the materials.
        units: `si` or `us`.
    """
    found = masses(build, usual, catalogue)
    rows: list[tuple[str, ...]] = [HEADINGS]
    for part in found.parts:
        held = "open" if part.held_kWh is None else _spread(part.held_kWh)
        rows.append((part.part, _mass(part.weight_kg.mid, units), held))
    rows.append(("whole heater", _weight(found.weight_kg, units), _spread(found.held_kWh)))
    lines = labelled(rows, right=frozenset({1, 2}))
    lines += wrap(_held(found), first="", rest="")
    for case in found.open:
        lines += wrap(
            u.sentence(f"not reckoned: {case.subject}: {case.reason}; {case.remedy}", units),
            first="  ", rest="    ",
        )  # fmt: skip
    return [*lines, *wrap(_given(output(usual), usual), first="", rest="")]


def _held(found: Masses) -> str:
    return (
        f"Usual firing, heat over the room when the whole holds most, "
        f"{_figure(found.fullest_at_h.mid)} h after lighting; at its least it holds "
        f"{_spread(found.least_kWh)} kWh. Masses by the middle of the density, that of the whole "
        "by its ends too; mortar is weighed as what it joins."
    )


def _given(given: Output, usual: CycleHeat) -> str:
    said = (
        f"To the room: {_spread(given.peak_kW)} kW at the peak, {_spread(given.mean_kW)} kW as a "
        f"mean. Useful heat: the masonry alone peaks at {_spread(given.masonry_peak_kW)} kW and "
    )
    cycle_h, cases, share = usual.period_s / 3600.0, given.useful_h.cases, f"{USEFUL_SHARE:.0%}"
    share = share.replace("%", " %")
    if given.all_cycle == cases:
        said += f"gives more than {share} of that for all the {cycle_h:g} h between two fires."
    else:
        said += f"gives more than {share} of that until {_spread(given.useful_h)} h after lighting"
        if given.all_cycle:
            some = f"{given.all_cycle} of {cases} cases"
            said += f", in {some} all the {cycle_h:g} h to the next fire"
        said += "."
    return said + (
        " (Half: as the storage test of EN 15250 does with a surface's excess, second-hand; for "
        "the heat given, judgement.)"
    )


def _weight(weight: Weight, units: Units) -> str:
    low, mid, high = (_mass(kg, units) for kg in (weight.low, weight.mid, weight.high))
    return f"{mid} ({low.split(' ')[0]} to {high.split(' ')[0]})"


def _mass(mass_kg: float, units: Units) -> str:
    """To three digits of the unit shown: nobody knows a heater's weight better.

    >>> _mass(1487.2, "si"), _mass(25.94, "si"), _mass(1487.2, "us")
    ('1490 kg', '25.9 kg', '3280 lb')
    """
    figure, unit = u.mass(mass_kg, units).split(" ")
    return f"{float(f'{float(figure):.3g}'):g} {unit}"


def _spread(spread: Spread) -> str:
    low, mid, high = (_figure(value) for value in (spread.low, spread.mid, spread.high))
    return mid if low == mid == high else f"{mid} ({low} to {high})"


def _figure(value: float) -> str:
    """To two digits or the unit; a nought has no sign.

    >>> _figure(53.2), _figure(3.44), _figure(0.134), _figure(-0.004), _figure(9.96)
    ('53', '3.4', '0.13', '0.0', '10')
    """
    size = abs(value)
    if size >= 9.95:
        return f"{value:.0f}"
    shown = f"{value:.1f}" if size >= 0.995 or size < 0.005 else f"{value:.2f}"
    return shown.lstrip("-") if float(shown) == 0.0 else shown
