"""The survey's section on chimney and draught."""

from __future__ import annotations

from typing import TYPE_CHECKING, Sequence

from stovelint.hotmap.draught import INLET_SPEED_m_s
from stovelint.hotmap.draughtstart import MILD_C
from stovelint.hotmap.records import Unsolved
from stovelint.report import units as u
from stovelint.report.lines import table, wrap

if TYPE_CHECKING:
    from stovelint.hotmap.draught import ChimneyDraught
    from stovelint.hotmap.draughtstate import StateDraught
    from stovelint.hotmap.records import Spread
    from stovelint.quantity import Units

TITLE = "chimney and draught"
WATER_COLUMN_Pa = 249.0889
"""One inch of water at 4 degC, conventional (NIST SP 811, recalled)."""


def draught_lines(found: ChimneyDraught | Unsolved | None, units: Units) -> list[str]:
    """The section, or the one line that says why there is none; at most 100 columns wide.

    Args:
        found: what was reckoned; None: nothing was asked for, and nothing is said.
        units: `si` or `us`; pressures are Pa, or inches of water.
    """
    if found is None:
        return []
    if isinstance(found, Unsolved):
        return ["", *wrap(f"{TITLE}: not reckoned: {found.reason}; {found.remedy}", first="",
                          rest="  ")]  # fmt: skip
    lines = [""]
    states = list(found.states.values())
    if states:
        lines += table(_rows(states, units), right=frozenset(range(1, len(states) + 1)))
    for said in _sentences(found, states, units):
        lines += wrap(u.sentence(said, units), first="", rest="")
    return lines


def _rows(states: Sequence[StateDraught], units: Units) -> list[tuple[str, ...]]:
    pascal = "Pa" if units == "si" else "0.001 in of water"
    degrees = "degC" if units == "si" else "degF"
    kelvin = "K" if units == "si" else "Fahrenheit degrees"

    def pressure(spread: Spread) -> str:
        return _pressure(spread, units) if units == "si" else (
            _figures(spread, 1000.0 / WATER_COLUMN_Pa, 0)
        )

    return [
        (TITLE, *(one.state for one in states)),
        (f"draught over the burn, {pascal}", *(pressure(s.draught_Pa) for s in states)),
        (f"taken on the way, {pascal}", *(pressure(s.losses_Pa) for s in states)),
        (f"left over where least, {pascal}", *(pressure(s.margin_Pa) for s in states)),
        ("flow it can carry, % of that assumed", *(_percent(s.carries) for s in states)),
        (f"gas at the top, {degrees}", *(_temperature(s.top.gas_C, units) for s in states)),
        (f"face over dew point, {kelvin}",
         *(_step(s.top.over_dew_K, units) for s in states)),
        ("minutes under the dew point", *(_minutes(s.top.wet_min) for s in states)),
    ]  # fmt: skip


def _sentences(
    found: ChimneyDraught, states: Sequence[StateDraught], units: Units
) -> list[str]:
    pascal = "Pa" if units == "si" else "in of water"
    said = []
    for label in dict.fromkeys(one.takes_most for one in states):
        where = [one for one in states if one.takes_most == label]
        named = ", ".join(f"{_pressure(s.takes_most_Pa, units)} {pascal} {s.state}" for s in where)
        said.append(f"Most is taken by {label}: {named}.")
    if states:
        said.append(_outdoors(found, states, units))
    if any(one.margin_Pa.low < 0.0 for one in states):
        said.append(
            "Where less than 0 is left over, the chimney draws less than the flow assumed: the "
            "fire gets less air than was reckoned with, or smokes into the room."
        )
    said += [_wet(one) for one in states if one.top.wet_min.high > 0.0]
    if found.start:
        outdoors = ", ".join(
            f"{_pressure(one.margin_Pa, units)} {pascal} with {one.outdoors_C:g} degC outdoors"
            for one in found.start
        )
        said.append(
            f"Cold start, some kindling in a heater at room temperature: left over {outdoors}."
        )
    if any(one.margin_Pa.low < 0.0 for one in found.start):
        said.append(
            "Below 0 the first smoke comes into the room unless the chimney is warmed first."
        )
    if found.inlet_assumed:
        area = _inlet(found.inlet_m2, units)
        said.append(f"Assumed: the firebox gives no `air_inlet`, {area} in the usual firing.")
    said += [f"Assumed: {sentence}." for sentence in found.assumptions]
    said += [f"{case.subject}: not judged: {case.reason}; {case.remedy}" for case in found.unsolved]
    said.append("The room is taken at the pressure of outdoors: fans and a tall warm house take "
                "from the draught.")  # fmt: skip
    return said


def _outdoors(found: ChimneyDraught, states: Sequence[StateDraught], units: Units) -> str:
    """For what air outdoors the draught holds; a mild day takes from it."""
    less = found.mild_loss_Pa
    said = f"The draught is that of {found.outdoors_C:g} degC outdoors"
    if less <= 0.0:
        return f"{said}."
    figure = f"{less:.1f} Pa" if units == "si" else f"{less / WATER_COLUMN_Pa:.3f} in of water"
    short = [one.state for one in states if 0.0 <= one.margin_Pa.low < less]
    then = f", and in the {' and the '.join(short)} firing may fall short" if short else ""
    return f"{said}; at {MILD_C:g} degC it is {figure} less{then}."


def _inlet(area_m2: float, units: Units) -> str:
    if units == "si":
        return f"{1e4 * area_m2:.0f} cm2 is taken, air at {INLET_SPEED_m_s:.0f} m/s"
    inches, feet = area_m2 / 0.0254**2, INLET_SPEED_m_s / 0.3048
    return f"{inches:.1f} in2 is taken, air at {feet:.1f} ft/s"


def _wet(state: StateDraught) -> str:
    top = state.top
    if top.warmed_over_dew_K.low > 0.0:
        then = "dries once the wall has warmed through"
    elif top.warmed_over_dew_K.high > 0.0:
        then = "may not dry however long the fire burns"
    else:
        then = "does not dry however long the fire burns"
    settles = "settles" if top.wet_min.low > 0.0 else "may settle"
    return f"In the {state.state} firing water {settles} at the top of the chimney and {then}."


def _pressure(spread: Spread, units: Units) -> str:
    if units == "us":
        return _figures(spread, 1.0 / WATER_COLUMN_Pa, 3)
    return _figures(spread, 1.0, 1 if max(abs(spread.low), abs(spread.high)) < 10.0 else 0)


def _percent(spread: Spread) -> str:
    return _figures(spread, 100.0, 0)


def _minutes(spread: Spread) -> str:
    return _figures(spread, 1.0, 0)


def _figures(spread: Spread, scale: float, decimals: int) -> str:
    def text(value: float) -> str:
        shown = f"{scale * value:.{decimals}f}"
        return shown.lstrip("-") if float(shown) == 0.0 else shown

    return f"{text(spread.mid)} ({text(spread.low)} to {text(spread.high)})"


def _temperature(spread: Spread, units: Units) -> str:
    low, mid, high = (
        u.temperature(value, units).split(" ")[0] for value in (spread.low, spread.mid, spread.high)
    )
    return f"{mid} ({low} to {high})"


def _step(spread: Spread, units: Units) -> str:
    low, mid, high = (
        u.difference(value, units).split(" ")[0] for value in (spread.low, spread.mid, spread.high)
    )
    return f"{mid} ({low} to {high})"
