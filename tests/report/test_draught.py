"""The survey's section on chimney and draught: figures, units, and what is said when."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from stovelint.hotmap.chimneytop import ChimneyTop
from stovelint.hotmap.draught import ChimneyDraught
from stovelint.hotmap.draughtstart import StartDraught
from stovelint.hotmap.draughtstate import StateDraught
from stovelint.hotmap.records import Spread, Unsolved
from stovelint.quantity import Units
from stovelint.report.draught import draught_lines
from stovelint.report.survey import survey_text
from tests.rules import make
from tests.rules.make import CATALOGUE, layer, layer_heat, patch, spread


def ranged(low: float, mid: float, high: float) -> Spread:
    return spread(low, mid, mid, high)


TOP = ChimneyTop(
    gas_C=ranged(130.0, 150.0, 190.0), over_dew_K=ranged(12.0, 20.0, 31.0),
    wet_min=ranged(0.0, 0.0, 0.0), warmed_over_dew_K=ranged(60.0, 70.0, 80.0),
)  # fmt: skip
USUAL = StateDraught(
    state="usual", draught_Pa=ranged(20.4, 24.6, 31.2), losses_Pa=ranged(6.04, 7.08, 9.06),
    margin_Pa=ranged(8.0, 11.4, 14.0), carries=ranged(1.1, 1.318, 1.6),
    takes_most="the air inlet", takes_most_Pa=ranged(3.0, 4.44, 5.0), top=TOP,
)  # fmt: skip
START = (
    StartDraught(outdoors_C=0.0, margin_Pa=ranged(5.0, 7.1, 9.0), draught_Pa=spread(8.0)),
    StartDraught(outdoors_C=15.0, margin_Pa=ranged(0.2, 1.5, 3.0), draught_Pa=spread(2.0)),
)


def found(*states: StateDraught, **change: object) -> ChimneyDraught:
    whole = ChimneyDraught(
        chimney="chimney", states={one.state: one for one in states or (USUAL,)}, start=START,
        unsolved=(), inlet_m2=0.0094, inlet_assumed=False, outdoors_C=0.0, mild_loss_Pa=4.04,
        assumptions=(),
    )  # fmt: skip
    return replace(whole, **change)  # type: ignore[arg-type]


def lines(of: ChimneyDraught | Unsolved | None, units: Units = "si") -> list[str]:
    return draught_lines(of, units)


def told(of: ChimneyDraught, units: Units = "si") -> str:
    return " ".join(" ".join(lines(of, units)).split())


def test_every_figure_with_its_range() -> None:
    rows = [" ".join(line.split()) for line in lines(found())]
    assert rows[:9] == [
        "", "chimney and draught usual",
        "draught over the burn, Pa 25 (20 to 31)",
        "taken on the way, Pa 7.1 (6.0 to 9.1)",
        "left over where least, Pa 11 (8 to 14)",
        "flow it can carry, % of that assumed 132 (110 to 160)",
        "gas at the top, degC 150 (130 to 190)",
        "face over dew point, K 20 (12 to 31)",
        "minutes under the dew point 0 (0 to 0)",
    ]  # fmt: skip
    assert "Most is taken by the air inlet: 4.4 (3.0 to 5.0) Pa usual." in told(found())
    start = "left over 7.1 (5.0 to 9.0) Pa with 0 degC outdoors, 1.5 (0.2 to 3.0) Pa with 15 degC"
    assert start in told(found())
    assert "pressure of outdoors" in told(found())


def test_in_inches_of_water_and_degrees_fahrenheit() -> None:
    """24.6 Pa / 249.0889 = 0.0988 in; 150 degC = 302 degF; 20 K = 36 Fahrenheit degrees."""
    rows = [" ".join(line.split()) for line in lines(found(), "us")]
    assert "draught over the burn, 0.001 in of water 99 (82 to 125)" in rows
    assert "gas at the top, degF 302 (266 to 374)" in rows
    assert "face over dew point, Fahrenheit degrees 36 (22 to 56)" in rows
    said = told(found(inlet_assumed=True), "us")
    assert "0.018 (0.012 to 0.020) in of water usual" in said
    assert "in of water with 32 degF outdoors" in said and "with 59 degF outdoors" in said
    assert "14.6 in2 is taken, air at 9.8 ft/s" in said and " Pa" not in said and "degC" not in said


def test_three_states_fit_the_page() -> None:
    hardest = replace(USUAL, state="hardest", takes_most="friction in flue-run")
    long = replace(USUAL, state="least", margin_Pa=ranged(-100.4, -50.0, -20.3))
    for units in ("si", "us"):
        shown = lines(found(USUAL, hardest, long, inlet_assumed=True), units)
        assert max(map(len, shown)) <= 100
        assert shown[1].split() == ["chimney", "and", "draught", "usual", "hardest", "least"]
    said = told(found(USUAL, hardest, long))
    assert "by the air inlet: 4.4 (3.0 to 5.0) Pa usual, 4.4 (3.0 to 5.0) Pa least." in said
    assert "by friction in flue-run: 4.4 (3.0 to 5.0) Pa hardest." in said


def test_too_little_draught_is_explained() -> None:
    assert "draws less than" not in told(found()) and "warmed first" not in told(found())
    short = replace(USUAL, margin_Pa=ranged(-0.04, 3.0, 5.0))
    assert "draws less than the flow assumed" in told(found(short))
    assert "0.0 to 5.0" in told(found(short)) and "-0.0" not in told(found(short))
    cold = (START[0], replace(START[1], margin_Pa=ranged(-1.0, 0.5, 2.0)))
    assert "smoke comes into the room unless the chimney is warmed" in told(found(start=cold))


def test_a_wet_top_is_explained() -> None:
    assert "water" not in told(found())

    def wet(minutes: Spread, warmed: Spread) -> str:
        top = replace(TOP, wet_min=minutes, warmed_over_dew_K=warmed)
        return told(found(replace(USUAL, top=top)))

    some, always = ranged(0.0, 0.0, 4.0), ranged(5.0, 9.0, 12.0)
    dry, open_, never = ranged(1.0, 5.0, 9.0), ranged(-1.0, 5.0, 9.0), ranged(-9.0, -5.0, -1.0)
    assert "usual firing water may settle at the top" in wet(some, dry)
    assert "usual firing water settles at the top" in wet(always, dry)
    assert "dries once the wall has warmed through" in wet(always, dry)
    assert "may not dry however long" in wet(always, open_)
    assert "does not dry however long" in wet(always, never)


def test_assumptions_and_open_questions_are_told() -> None:
    case = Unsolved(
        path=("firing", "least"), subject="least firing", reason="no rest", remedy="burn"
    )
    said = told(found(inlet_assumed=True, assumptions=("the port is wide",), unsolved=(case,)))
    assert "Assumed: the firebox gives no `air_inlet`, 94 cm2 is taken, air at 3 m/s" in said
    assert "Assumed: the port is wide." in said
    assert "least firing: not judged: no rest; burn" in said
    assert "air_inlet" not in told(found())


def test_no_state_leaves_the_sentences() -> None:
    shown = lines(found(states={}))
    assert shown[0] == "" and "Cold start" in " ".join(shown)


def test_one_line_when_not_reckoned_and_none_when_not_asked() -> None:
    assert lines(None) == []
    case = Unsolved(path=("chambers",), subject="chimney and draught",
                    reason="`chimney` has no walls here",
                    remedy="add them from its foot to its top")  # fmt: skip
    assert lines(case) == [
        "",
        "chimney and draught: not reckoned: `chimney` has no walls here; add them from its foot to "
        "its top",
    ]


def test_the_survey_holds_the_section() -> None:
    wall = make.part("bell-wall", "wall", [layer("clay-brick-common", 0.102)])
    build = make.build([wall])
    hot = make.hot([patch(wall, [layer_heat(wall.layers[0], spread(120.0), spread(60.0))])])
    without = survey_text(build, hot, CATALOGUE, lambda *_: False)
    held = survey_text(build, hot, CATALOGUE, lambda *_: False, "si", found())
    assert "chimney and draught" not in without
    section = "\n".join(draught_lines(found(), "si"))
    assert held.replace(section + "\n", "") == without and section in held
    assert np.all([len(line) <= 100 for line in held.splitlines()])


def test_a_mild_day_takes_from_the_draught() -> None:
    """The plan's outdoors alone would flatter a chimney that is lit in spring."""
    said = told(found())
    assert "draught is that of 0 degC outdoors; at 15 degC it is 4.0 Pa less." in said
    near = replace(USUAL, margin_Pa=ranged(4.0, 9.0, 12.0))
    none = replace(USUAL, state="hardest", margin_Pa=ranged(4.1, 9.0, 12.0))
    past = replace(USUAL, state="least", margin_Pa=ranged(-0.1, 9.0, 12.0))
    said = told(found(near, none, past))
    assert "4.0 Pa less, and in the usual firing may fall short." in said
    assert "at 59 degF it is 0.016 in of water less" in told(found(), "us")
    warm = told(found(outdoors_C=18.0, mild_loss_Pa=0.0))
    assert "draught is that of 18 degC outdoors." in warm and "less" not in warm
    assert "draught is that" not in told(replace(found(), states={}))
