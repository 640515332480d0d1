"""The survey's section on mass, stored heat and hours of useful heat."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from stovelint.build import Part
from stovelint.hotmap.records import CycleHeat, OutputHeat
from stovelint.quantity import Units
from stovelint.report.masses import masses_lines
from tests.rules import make


def wall(name: str = "bell-wall") -> Part:
    return make.part(name, "wall", [make.layer("clay-brick-common", 0.1)])


def usual(*parts: Part, unjudged: str | None = None) -> CycleHeat:
    return make.hot([
        make.patch(one, [make.layer_heat(one.layers[0], make.spread(90.0), make.spread(60.0),
                                         unjudged=unjudged)])
        for one in parts
    ]).cycles["usual"]  # fmt: skip


def lines(heat: CycleHeat, *parts: Part, units: Units = "si") -> list[str]:
    return masses_lines(make.build(parts), heat, make.CATALOGUE, units)


def text(heat: CycleHeat, *parts: Part, units: Units = "si") -> str:
    return " ".join(" ".join(lines(heat, *parts, units=units)).split())


def given(heat: CycleHeat, *rows: tuple[float, ...]) -> CycleHeat:
    """Half of the cases give the first row, the rest the last."""
    half = make.CASES // 2
    masonry = np.array([rows[0]] * half + [rows[-1]] * half)
    of = OutputHeat(masonry_W=masonry, openings_W=np.zeros_like(masonry))
    return replace(heat, output=lambda: (of,))


def test_parts_and_the_whole() -> None:
    """0.1 m3 of brick, 160 to 192 kg, 1 kWh each."""
    one, two = wall("one"), wall("two")
    said = [line.split() for line in lines(usual(one, two), one, two)]
    assert ["one", "176", "kg", "1.0"] in said and ["two", "176", "kg", "1.0"] in said
    assert ["whole", "heater", "352", "kg", "(320", "to", "384)", "2.0"] in said


def test_pounds() -> None:
    said = text(usual(wall()), wall(), units="us")
    assert "bell-wall 388 lb 1.0" in said and "whole heater 388 lb (353 to 423) 1.0" in said


def test_output_and_useful_hours() -> None:
    """2, 4, 3, 1 kW every 3 h: half of the peak at 7.5 h."""
    said = text(usual(wall()), wall())
    assert "To the room: 4.0 kW at the peak, 2.5 kW as a mean." in said
    assert "peaks at 4.0 kW and gives more than 50 % of that until 7.5 h after lighting." in said
    assert "EN 15250" in said and "second-hand" in said and "judgement" in said


def test_some_cases_and_all_cases_last_to_the_next_fire() -> None:
    heat = usual(wall())
    fast, slow = (2000.0, 4000.0, 3000.0, 1000.0), (3000.0, 4000.0, 3000.0, 3000.0)
    said = text(given(heat, fast, slow), wall())
    assert "until 9.8 (7.5 to 12) h after lighting, in 16 of 32 cases all the 12 h to" in said
    said = text(given(heat, slow), wall())
    assert "gives more than 50 % of that for all the 12 h between two fires." in said


def test_what_is_held_at_least() -> None:
    said = text(usual(wall()), wall())
    assert "when the whole holds most, 0.0 h after lighting; at its least it holds 1.0 kWh" in said


def test_what_is_not_reckoned_is_open_and_said() -> None:
    heat = usual(wall(), unjudged="it sees 900 degC")
    shown = lines(heat, wall())
    assert ["bell-wall", "176", "kg", "open"] in [line.split() for line in shown]
    assert "not reckoned: bell-wall, layer no. 1: it sees 900 degC;" in " ".join(shown)
    assert "it sees 1652 degF;" in text(heat, wall(), units="us")


@pytest.mark.parametrize("units", ["si", "us"])
def test_lines_stay_on_the_page(units: Units) -> None:
    long = wall("north-wall-" * 8 + "x")
    shown = lines(usual(long), long, units=units)
    assert max(map(len, shown)) <= 100
    assert long.name in shown


def test_figures_are_as_fine_as_a_mason_can_use() -> None:
    """A ton and more to three digits; small heats to two; never a nought with a sign."""
    many = [wall(f"w{i}") for i in range(9)]
    shown = text(usual(*many), *many)
    assert "whole heater 1580 kg (1440 to 1730) 9.0" in shown  # 9 times 160, 176, 192 kg
    heat = usual(wall())
    shown = text(given(heat, (134.0, 134.0, 30.0, 30.0), (134.0, 134.0, 30.0, 30.0)), wall())
    assert "0.13 kW at the peak, 0.08 kW as a mean" in shown
    cold = make.hot([make.patch(wall(), [
        make.layer_heat(wall().layers[0], make.spread(20.0), make.spread(20.0))
    ])]).cycles["usual"]  # fmt: skip
    assert "-0" not in " ".join(lines(cold, wall()))
