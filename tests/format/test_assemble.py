"""The example as records: every figure against the file, in SI, by hand."""

from __future__ import annotations

import copy
import math
from dataclasses import fields, is_dataclass
from typing import Any

import pytest
from hypothesis import given, settings

from stovelint.assemble import assemble, assemble_tree, edited, load
from stovelint.build import Bearing, Build, Courses, Gap, Port, Reinforcement, Site, Size
from stovelint.errors import BuildFileError
from stovelint.place import Mistake
from stovelint.schema import is_valid
from stovelint.source.yaml import parse
from tests.format.damage import TREE, damaged
from tests.format.plans import EXAMPLE, TEXT, mistakes_of, swapped

BUILD = assemble(parse(TEXT, "plan"))
PLACES = parse(TEXT, "plan").places
INCH = 0.0254


def test_identity_site_and_scope() -> None:
    assert BUILD.title == "Ferry House waiting room"
    assert BUILD.drawing == "FH-07 revision C" and BUILD.jurisdiction == "IRC-2021"
    assert BUILD.site == Site(room_C=20.0, outdoors_C=-5.0, ground_C=10.0, altitude_m=180.0)
    assert dict(BUILD.by_others) == {"chimney": "mason on site", "combustion-air": "owner"}
    assert BUILD.gauges_m == {"brick": 0.075, "block": 0.2}


def test_firing() -> None:
    assert (BUILD.fuel.kind, BUILD.fuel.moisture) == ("softwood", 0.18)
    usual, hardest, least = (BUILD.firings[s] for s in ("usual", "hardest", "least"))
    assert (usual.charge_kg, usual.burn_s, usual.every_s, usual.loads) == (10, 4800, 43_200, 1)
    assert (hardest.loads, hardest.assumed) == (2, False)
    assert (least.charge_kg, least.burn_s, least.every_s) == (5, 3600, 86_400)
    assert (BUILD.damper.after_burn, BUILD.damper.share) == ("ajar", 0.03)


def test_missing_states_are_derived_and_say_so() -> None:
    text = TEXT.replace("  hardest: {charge: 10 kg, burn: 80 min, loads: 2, every: 12 h}\n", "")
    text = text.replace("  least:   {charge: 5 kg, burn: 60 min, every: 24 h}\n", "")
    firings = assemble(parse(text, "plan")).firings
    hardest, least = firings["hardest"], firings["least"]
    assert (hardest.charge_kg, hardest.loads, hardest.every_s) == (10, 2, 43_200)
    assert (least.charge_kg, least.loads, least.every_s) == (5, 1, 86_400)
    assert hardest.burn_s == least.burn_s == 4800
    assert hardest.assumed and least.assumed and not firings["usual"].assumed
    assert hardest.path == ("firing", "hardest")


def test_missing_damper_and_site_mean_not_said() -> None:
    text = TEXT.replace("  damper: {after_burn: ajar, share: 3 %}\n", "")
    text = text.replace(TEXT[TEXT.index("site:") : TEXT.index("by_others")], "")
    build = assemble(parse(text, "plan"))
    assert (build.damper.after_burn, build.damper.share) == (None, None)
    assert build.site == Site()


def test_chambers() -> None:
    firebox, riser, bell = (BUILD.chambers[n] for n in ("firebox", "riser", "bell"))
    assert firebox.size == Size(width_m=0.35, depth_m=0.45, height_m=0.48)
    assert (firebox.kind, firebox.inside, firebox.bottom_m) == ("firebox", "bell", 0.075)
    way = ("chambers", "firebox", "leads_to", "riser")
    assert firebox.leads_to == (Port(to="riser", share=1.0, area_m2=0.018, at_m=0.5, path=way),)
    assert riser.size == Size(diameter_m=0.15, height_m=0.9)
    assert riser.leads_to[0].at_m == riser.leaves_at_m == 1.2
    assert (bell.leads_to[0].to, bell.leaves_at_m, bell.inside) == ("chimney", 0.15, None)
    (opening,) = BUILD.chambers["bench"].opens_to
    assert (opening.to, opening.area_m2, opening.at_m, opening.share) == ("bell", 0.06, 0.16, 0.0)


def test_turns_and_air_inlet() -> None:
    firebox, riser, bell = (BUILD.chambers[n] for n in ("firebox", "riser", "bell"))
    assert (firebox.air_inlet_m2, firebox.bends) == (0.012, None)
    assert (riser.bends, riser.air_inlet_m2) == (2, None)
    assert (bell.bends, bell.air_inlet_m2) == (None, None)
    straight = assemble(parse(swapped(("bends: 2", "bends: 0")), "plan")).chambers["riser"]
    assert straight.bends == 0


def test_a_chimney_begins_where_the_gas_enters_it() -> None:
    assert BUILD.chambers["chimney"].bottom_m == 0.15
    text = swapped(("{kind: chimney,", "{kind: chimney, bottom: 2 m,"))
    assert assemble(parse(text, "plan")).chambers["chimney"].bottom_m == 2.0
    text = swapped((", leads_to: chimney, leaves_at: 150 mm", ", leads_to: chimney"))
    assert assemble(parse(text, "plan")).chambers["chimney"].bottom_m == 0.0


def test_parts() -> None:
    wall = BUILD.parts["firebox-wall"]
    assert (wall.bounds, wall.faces, wall.sides) == (("firebox",), "bell", ())
    assert wall.layers[0].thickness_m == 4.5 * INCH
    low, high = BUILD.parts["bell-wall-low"], BUILD.parts["bell-wall-high"]
    path = ("parts", "bell-wall-low", "courses")
    assert low.courses == Courses(gauge="block", first=1, last=5, path=path)
    assert (high.from_m, high.to_m, high.courses) == (1.0, 1.65, None)
    assert low.layers[0].cores == "upright" and high.layers[0].set == "bonded"
    assert high.layers[0].pieces_m == (0.6, 0.4)
    gap = ("parts", "bell-wall-high", "layers", 1)
    assert high.layers[1].gap == Gap(kind="closed", bottom_m2_m=None, top_m2_m=None, path=gap)
    assert (high.layers[1].thickness_m, high.layers[1].material) == (0.01, None)
    assert BUILD.parts["bench-top"].along_m == (0.0, 1.8)
    assert BUILD.parts["bench-walls"].sides == ("front", "back", "end")
    assert BUILD.parts["door"].area_m2 == 0.105
    assert BUILD.parts["base"].bounds == ("firebox", "bell", "bench")
    assert BUILD.parts["base"].layers[1].held == "brick rim"


def test_bearing_and_reinforcement() -> None:
    cap = BUILD.parts["bell-cap"]
    path = ("parts", "bell-cap", "bearing")
    assert cap.bearing == Bearing(width_m=0.1, insulation_m=0.005, path=path)
    assert cap.carried_by == "bell walls"
    bar = ("parts", "bell-cap", "layers", 0, "reinforcement")
    assert cap.layers[0].reinforcement == Reinforcement(
        kind="rebar", diameter_m=0.01, cover_m=0.025, path=bar
    )
    bearing = BUILD.parts["bench-top"].bearing
    assert bearing is not None
    assert (bearing.width_m, bearing.insulation_m) == (4 * INCH, None)


def test_surroundings_and_variances() -> None:
    wall = BUILD.surroundings["stud-wall"]
    assert (wall.at, wall.distance_m, wall.shield) == ("back", 0.09, None)
    assert wall.gap is not None
    assert (wall.gap.kind, wall.gap.bottom_m2_m, wall.gap.top_m2_m) == ("vented", 0.01, 0.01)
    assert [layer.thickness_m for layer in wall.layers] == [0.0125, 0.09]
    assert BUILD.surroundings["ceiling"].gap is None
    variance = BUILD.variances["cap-for-now"]
    assert (variance.rule, variance.part, variance.until) == (
        "cap-insulation", "bell-cap", "2027-04-30",
    )  # fmt: skip


def test_every_path_leads_to_its_record() -> None:
    for name, part in BUILD.parts.items():
        assert part.path == ("parts", name)
        for place, layer in enumerate(part.layers):
            assert layer.path == ("parts", name, "layers", place)
            assert layer.path in PLACES.entries


def test_load_reads_the_file_itself() -> None:
    loaded = load(str(EXAMPLE), "example")
    assert loaded.build == BUILD and loaded.source.file == "example"


def test_shares_in_whole_percent_are_scaled_to_the_whole() -> None:
    way = "leads_to: {riser: {area: 180 cm2, at: 500 mm}}"
    split = "leads_to: {riser: {share: 33 %}, bell: {share: 66 %}}"
    ports = assemble(parse(swapped((way, split)), "plan")).chambers["firebox"].leads_to
    first, second = (port.share for port in ports)
    assert first is not None and second is not None
    assert math.isclose(first + second, 1.0, rel_tol=1e-15)
    assert math.isclose(first, 1 / 3, rel_tol=1e-15)


def test_ways_with_areas_alone_are_left_to_the_gas() -> None:
    way = "leads_to: {riser: {area: 180 cm2, at: 500 mm}}"
    split = "leads_to: {riser: {area: 100 cm2}, bell: {area: 50 cm2}}"
    ports = assemble(parse(swapped((way, split)), "plan")).chambers["firebox"].leads_to
    assert [port.share for port in ports] == [None, None]
    assert [port.area_m2 for port in ports] == [0.01, 0.005]


def test_a_declared_core_needs_no_size() -> None:
    size = "size: {width: 350 mm, depth: 450 mm, height: 480 mm}"
    said = "declared: {wall: 400 degC, exit: 900 degF, source: leaflet of the maker}"
    declared = assemble(parse(swapped((size, said)), "plan")).chambers["firebox"].declared
    assert declared is not None
    assert (declared.wall_C, declared.source) == (400.0, "leaflet of the maker")
    assert declared.exit_C == 5 * (900 - 32) / 9


def test_a_white_oven_has_no_gas_in_it() -> None:
    oven = "  oven: {kind: oven, size: {width: 4 dm, depth: 0.5 m, height: 0.3 m}, bottom: 1 m}\n"
    text = TEXT.replace("  chimney: {kind", oven.replace("4 dm", "0.4 m") + "  chimney: {kind")
    assert "oven" in assemble(parse(text, "plan")).chambers


def test_a_chimney_by_others_need_not_be_drawn() -> None:
    drawn = "  chimney: {kind: chimney, size: {diameter: 180 mm, height: 5.5 m}}\n"
    build = assemble(parse(swapped((drawn, "")), "plan"))
    assert build.chambers["bell"].leads_to[0].to == "chimney"
    assert "chimney" not in build.chambers


def test_edited_trees_assemble_and_leave_the_first_alone() -> None:
    before = copy.deepcopy(TREE)
    path = ("parts", "bell-cap", "layers", 0, "thickness")
    build = assemble_tree(edited(TREE, path, "80 mm"), PLACES)
    assert build.parts["bell-cap"].layers[0].thickness_m == 0.08
    blanket = {"material": "aes-blanket", "thickness": "1 in"}
    tree = edited(TREE, ("parts", "bell-cap", "layers", 0), blanket, insert=True)
    layers = assemble_tree(tree, PLACES).parts["bell-cap"].layers
    assert [layer.material for layer in layers] == ["aes-blanket", "concrete-normal-siliceous"]
    assert TREE == before and assemble_tree(TREE, PLACES) == BUILD


def test_mistakes_in_edited_trees_stand_at_the_nearest_parent() -> None:
    tree = edited(TREE, ("surroundings", "stud-wall", "shield"), {"kind": "tin", "air": "9 m"})
    with pytest.raises(BuildFileError) as refusal:
        assemble_tree(tree, PLACES)
    (mistake,) = refusal.value.mistakes
    assert isinstance(mistake, Mistake)
    assert mistake.span == PLACES.key(("surroundings", "stud-wall"))


@pytest.mark.parametrize(
    ("path", "insert"),
    [((), False), (("parts", "none", "kind"), False), (("parts", "bell-cap"), True),
     (("parts", "bell-cap", "layers", 5), True), (("parts", "bell-cap", "layers", 5), False)],
)  # fmt: skip
def test_edits_of_what_is_not_there_are_refused(path: tuple[Any, ...], insert: bool) -> None:
    with pytest.raises(LookupError):
        edited(TREE, path, "x", insert=insert)


def numbers(node: object) -> list[float]:
    if is_dataclass(node) and not isinstance(node, type):
        return [n for field in fields(node) for n in numbers(getattr(node, field.name))]
    if isinstance(node, dict):
        return [n for inner in node.values() for n in numbers(inner)]
    if isinstance(node, tuple):
        return [n for inner in node for n in numbers(inner)]
    return [node] if isinstance(node, float) else []


@settings(max_examples=500)
@given(damaged())
def test_damage_gives_a_build_or_located_mistakes(tree: dict[str, Any]) -> None:
    """Nothing else ever escapes; and no stand-in figure is left in a build."""
    try:
        build = assemble_tree(tree, PLACES)
    except BuildFileError as error:
        assert error.mistakes
        found = [one for one in error.mistakes if isinstance(one, Mistake)]
        assert len(found) == len(error.mistakes)
        assert found == sorted(found, key=Mistake.sort_key)
        for one in found:
            assert one.message and one.remedy and "nan" not in one.message.split()
            assert "\n" not in one.message + one.remedy
        return
    assert isinstance(build, Build) and is_valid(tree)
    figures = numbers(build)
    assert len(figures) > 50 and all(math.isfinite(figure) for figure in figures)


def test_units_and_order_change_nothing() -> None:
    """The same heater in inches, and with its parts listed the other way round."""
    text = swapped(("thickness: 2 1/2 in", "thickness: 63.5 mm"))
    assert assemble(parse(text, "plan")).parts == BUILD.parts
    tree = {**TREE, "parts": dict(reversed(list(TREE["parts"].items())))}
    assert assemble_tree(tree, PLACES).parts == BUILD.parts
    assert mistakes_of(TEXT) == ()
