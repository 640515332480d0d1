"""Wood under the heater: covered and open limits, patch by patch."""

from __future__ import annotations

from typing import Callable

import pytest

from stovelint.build import Build, Layer, Part
from stovelint.hotmap.records import HotMap, Spread
from stovelint.rule import Insulate, Thicken
from stovelint.rulebook import Rule
from tests.rules import make
from tests.rules.make import combustible, layer, layer_heat, open_rule, patch, run, spread
from tests.rules.witness import Witness

RULE = open_rule("base-combustible")
COOL = spread(30.0)


def base(*above: Layer) -> Part:
    stack = [layer("clay-brick-common", 0.065), *above, layer("softwood", 0.028)]
    return make.part("base", "base", stack, bounds=("firebox", "bell"), faces="ground")


def heat(of: Part, peak_C: float = 40.0, mean_C: float = 30.0) -> HotMap:
    """The bench's patch cool, the firebox's as given."""

    def under(name: str, peak: float, mean: float):  # type: ignore[no-untyped-def]
        layers = [layer_heat(one, COOL, COOL) for one in of.layers[:-1]]
        layers.append(layer_heat(of.layers[-1], spread(peak), spread(mean)))
        return patch(of, layers, chamber=name, where=f"under {name}")

    return make.hot([under("firebox", peak_C, mean_C), under("bell", 35.0, 30.0)])


def plan(of: Part):  # type: ignore[no-untyped-def]
    rooms = [make.chamber("firebox", "firebox"), make.chamber("bell", "bell")]
    return make.build([of], chambers=rooms)


def keys(of: Part, map_: HotMap, rule: Rule = RULE) -> set[str]:
    findings = run(rule, plan(of), map_).findings
    return {m.limit.key for f in findings for m in f.measures if m.limit is not None and m.counts}


COVERED = base(layer("perlite-loose", 0.1))
OPEN = base(layer(gap="vented", thickness_m=0.05))


def witness(key: str, of: Part, at: Callable[[float], HotMap]) -> Witness:
    return Witness(says=lambda value, rule: key in keys(of, at(value), rule))


def below(key: str, covered: bool, mean: bool = False) -> Witness:
    """The same floor, drawn as a surrounding."""

    def says(value: float, rule: Rule) -> bool:
        done = run(rule, *floor_below(COOL if mean else spread(value), covered,
                                      spread(value) if mean else COOL))  # fmt: skip
        return any(m.limit is not None and m.limit.key == key and m.counts
                   for f in done.findings for m in f.measures)  # fmt: skip

    return Witness(says=says)


def floor_below(peak: Spread, covered: bool, mean: Spread = COOL) -> tuple[Build, HotMap]:
    floor = make.surrounding("floor", "below", 0.0, [layer("softwood", 0.03)])
    of = make.part("base", "base", [layer("clay-brick-common")], bounds=("bell",))
    case = combustible("floor", floor.layers[0], peak, mean, covered=covered, seen="base")
    return make.build([of], [floor]), make.hot(combustibles=[case])


WITNESSES = [
    ("covered-peak", witness("WD-RULE", COVERED, lambda t: heat(COVERED, t))),
    ("exposed-peak", witness("TR-85", OPEN, lambda t: heat(OPEN, t))),
    ("exposed-mean", witness("WD-MEAN", OPEN, lambda t: heat(OPEN, mean_C=t))),
    ("covered-peak", below("WD-RULE", covered=True)),
    ("exposed-peak", below("TR-85", covered=False)),
    ("exposed-mean", below("WD-MEAN", covered=False, mean=True)),
]


def test_the_firebox_is_judged_by_its_own_patch_and_never_averaged() -> None:
    # 75 under the firebox and 35 under the bell average to 55, which would pass.
    (finding,) = run(RULE, plan(COVERED), heat(COVERED, 75.0)).findings
    assert finding.walk_to == "firebox / base / top of the softwood"
    assert finding.path == ("parts", "base", "layers", 2, "material")
    assert (finding.stakes, finding.level) == ("danger", "error")


@pytest.mark.parametrize(
    ("above", "covered"),
    [
        (layer("perlite-loose"), True),
        (layer(gap="closed"), True),
        (layer(gap="vented"), False),
        (layer("hollow-block-normal", cores="level"), False),
        (layer("hollow-block-normal", cores="upright"), True),
        (layer("hollow-block-normal", cores="filled"), True),
    ],
)
def test_what_lies_over_the_wood_decides_its_limit(above: Layer, covered: bool) -> None:
    # 78 degC: too warm for covered wood, not for wood in moving air.
    assert ("WD-RULE" in keys(base(above), heat(base(above), 78.0))) is covered


def test_burn_out_card_is_no_combustible() -> None:
    stack = [layer("clay-brick-common"), layer("softwood", 0.003, role="sacrificial")]
    of = make.part("base", "base", stack, bounds=("firebox",), faces="ground")
    layers = [layer_heat(one, spread(200.0), spread(90.0)) for one in of.layers]
    assert keys(of, make.hot([patch(of, layers)])) == set()


def test_wood_without_heat_is_a_danger_that_cannot_be_judged() -> None:
    done = run(RULE, plan(COVERED), make.hot())
    assert [(q.subject, q.level) for q in done.unjudged] == [("base", "warning")]


def test_a_floor_below_without_heat_is_asked_about() -> None:
    floor = make.surrounding("floor", "below", 0.0, [layer("softwood", 0.03)])
    done = run(RULE, make.build([], [floor]), make.hot())
    assert [q.subject for q in done.unjudged] == ["floor"]


def test_wood_without_a_property_is_asked_about() -> None:
    layers = [layer_heat(one, COOL, COOL) for one in COVERED.layers[:-1]]
    layers.append(layer_heat(COVERED.layers[-1], COOL, COOL, unjudged="no conductivity"))
    done = run(RULE, plan(COVERED), make.hot([patch(COVERED, layers)]))
    assert [q.reason for q in done.unjudged] == ["no conductivity"]


def test_what_is_drawn_to_insulate_is_thickened_and_sand_is_not() -> None:
    def move(above: Layer) -> object:
        of = base(above)
        return run(RULE, plan(of), heat(of, 90.0)).findings[0].moves[0]

    assert move(layer("perlite-loose")) == Thicken(
        layer=("parts", "base", "layers", 1), use="fill"
    )
    assert move(layer("sand-dry")) == Insulate(part=("parts", "base"), index=1, use="fill")


def test_wood_at_the_very_top_is_insulated_over() -> None:
    of = make.part("base", "base", [layer("softwood", 0.03)], bounds=("firebox",), faces="ground")
    map_ = make.hot([patch(of, [layer_heat(of.layers[0], spread(300.0), spread(90.0))])])
    (finding,) = run(RULE, plan(of), map_).findings
    assert finding.moves == (Insulate(part=("parts", "base"), index=0, use="fill"),)
