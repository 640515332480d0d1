"""Caps: each limit below, on and above, in the span and at the bearing edge."""

from __future__ import annotations

from typing import Callable

import pytest

from stovelint.build import Part
from stovelint.hotmap.records import HotMap
from stovelint.rule import Insulate, Thicken
from stovelint.rulebook import Rule
from tests.rules import make
from tests.rules.make import layer, layer_heat, open_rule, patch, run, spread
from tests.rules.witness import Witness

RULE = open_rule("cap-insulation")


def cap(*materials: str) -> Part:
    return make.part("bell-cap", "cap", [layer(m, 0.05) for m in materials])


def heat(slab: Part, peak_C: float = 60.0, mean_C: float = 40.0, *, edge_C: float = 60.0) -> HotMap:
    def at(peak: float, where: str):  # type: ignore[no-untyped-def]
        layers = [layer_heat(one, spread(peak), spread(mean_C)) for one in slab.layers]
        return patch(slab, layers, where=where, from_m=1.5, to_m=1.5)

    return make.hot([at(edge_C, "bearing edge"), at(peak_C, "span")])


def keys(slab: Part, map_: HotMap, rule: Rule = RULE) -> set[str]:
    findings = run(rule, make.build([slab]), map_).findings
    return {m.limit.key for f in findings for m in f.measures if m.limit is not None and m.counts}


SLATE, CONCRETE = "slate", "concrete-normal-siliceous"


def witness(key: str, material: str, at: Callable[[float], HotMap]) -> Witness:
    return Witness(says=lambda value, rule: key in keys(cap(material), at(value), rule))


def looked_at(service_C: float, rule: Rule) -> bool:
    """A brick that stands so much for long, as a cap that is far too hot for what is no
    refractory."""
    name, catalogue = make.standing("clay-brick-common", service_C)
    plan, map_ = make.build([cap(name)]), heat(cap(name), 400.0)
    return bool(run(rule, plan, map_, catalogue=catalogue).findings)


WITNESSES = [
    ("underside", witness("CAP-149", SLATE, lambda t: heat(cap(SLATE), t))),
    ("underside", witness("CAP-149", SLATE, lambda t: heat(cap(SLATE), edge_C=t))),
    ("underside", witness("CAP-149", CONCRETE, lambda t: heat(cap(CONCRETE), t))),
    ("excursion", witness("CON-175", CONCRETE, lambda t: heat(cap(CONCRETE), t))),
    ("mean", witness("CON-93", CONCRETE, lambda t: heat(cap(CONCRETE), mean_C=t))),
    ("refractory", Witness(says=looked_at)),
]


@pytest.mark.parametrize(
    "material",
    [
        "castable-dense-fireclay", "firebrick-medium-duty", "mild-steel", "aes-blanket-128",
        "soapstone",
    ],
)  # fmt: skip
def test_refractories_and_what_does_not_crack_are_left_alone(material: str) -> None:
    assert keys(cap(material), heat(cap(material), 400.0, 200.0)) == set()


def test_bare_concrete_is_asked_for_a_blanket_under_it() -> None:
    slab = cap(CONCRETE)
    (finding,) = run(RULE, make.build([slab]), heat(slab, 320.0, 99.0)).findings
    assert finding.path == ("parts", "bell-cap", "layers", 0, "material")
    assert finding.found == "bare concrete-normal-siliceous"
    assert finding.level == "error" and finding.lead.limit is not None
    assert finding.lead.limit.key == "CON-175"  # practice alone would stop at a warning
    assert finding.moves == (Insulate(part=slab.path, index=0, use="blanket"),)
    assert [m.where for m in finding.measures][:2] == ["span", "span"]


def test_a_thin_blanket_is_asked_to_be_thicker() -> None:
    slab = cap("aes-blanket-128", CONCRETE)
    (finding,) = run(RULE, make.build([slab]), heat(slab, 200.0, 50.0)).findings
    assert finding.path == ("parts", "bell-cap", "layers", 1, "material")
    assert finding.moves == (Thicken(layer=(*slab.path, "layers", 0), use="blanket"),)


def test_slate_stops_at_should_change_because_its_limit_is_practice() -> None:
    slab = cap(SLATE)
    (finding,) = run(RULE, make.build([slab]), heat(slab, 320.0)).findings
    assert (finding.lead.past, finding.level) == (32, "warning")


def test_a_cap_without_heat_is_asked_about() -> None:
    slab = cap(CONCRETE)
    done = run(RULE, make.build([slab]), make.hot())
    assert done.findings == () and [q.subject for q in done.unjudged] == ["bell-cap"]


def test_a_cap_without_a_property_is_asked_about() -> None:
    slab = cap(CONCRETE)
    layers = [layer_heat(slab.layers[0], spread(300.0), spread(90.0), unjudged="no k")]
    done = run(RULE, make.build([slab]), make.hot([patch(slab, layers)]))
    assert done.findings == () and [q.reason for q in done.unjudged] == ["no k"]
