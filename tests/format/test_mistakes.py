"""Seeded faults of sense: each told once, at its place, with its remedy, bringing no other."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from stovelint.errors import BuildFileError
from stovelint.source.text import decode
from tests.format.plans import TEXT, at, mistakes_of, swapped

RISER = "leads_to: {riser: {area: 180 cm2, at: 500 mm}}"
CHIMNEY = "  chimney: {kind: chimney, size: {diameter: 180 mm, height: 5.5 m}}\n"
BAR = "{kind: rebar, diameter: 10 mm, cover: 25 mm}"
LEAST = "  least:   {charge: 5 kg, burn: 60 min, every: 24 h}"
HARDEST = "  hardest: {charge: 10 kg, burn: 80 min, loads: 2, every: 12 h}"
COURSING = "coursing:\n  datum: top of base\n  gauges: {brick: 75 mm, block: 200 mm}\n"
PART = "  door: {bounds: firebox"
SLAB = "{material: concrete-normal-siliceous, thickness: 100 mm}"
GAP = "{gap: 10 mm, kind: closed}"
SHIELD = "distance: 90 mm, shield: {kind: steel, air: 95 mm}"



def joisted(rest: str) -> str:
    return f"{{material: softwood, thickness: 200 mm, joists: {{width: 45 mm, {rest}}}}}"


def metalled(metal: str) -> str:
    return f"{{material: concrete-normal-siliceous, thickness: 100 mm, {metal}}}"


FAULTS = [
    # quantities
    ("thickness: 4 mm", "thickness: 4 mil", "4 mil", "`4 mil` is not a length", "4 1/2 in"),
    ("charge: 5 kg", "charge: '5,5 kg'", "'5,5 kg'", "comma", "12 kg"),
    ("thickness: 2 1/2 in", "thickness: 21/2 in", "21/2 in", "between 0 and 1", "4 1/2 in"),
    ("room: 20 degC", "room: 20 C", "20 C", "not a temperature", "20 degC"),
    ("every: 24 h", "every: 1 d 2 h", "1 d 2 h", "not a duration", "12 h"),
    ("along: 0-1.8 m", "along: 1.8 m", "1.8 m", "one length, not a run", "0-2 m"),
    ("courses: block 1-5", "courses: block 5-1", "block 5-1", "downwards", "brick 1-12"),
    ("bottom: 100 cm2/m", "bottom: 100 cm2", "100 cm2", "not an area per length", "cm2/m"),
    # screening bounds, on their far side
    ("thickness: 4 mm", "thickness: 4 m", "4 m", "4 m cannot be meant", "0.1 mm to 2 m"),
    ("thickness: 4 mm", "thickness: 0 mm", "0 mm", "0 mm cannot be meant", "0.1 mm to 2 m"),
    ("thickness: 4 mm", "thickness: -4 mm", "-4 mm", "less than nothing", "114 mm"),
    ("charge: 5 kg", "charge: 5000 kg", "5000 kg", "cannot be meant", "0.1 kg to 300 kg"),
    ("moisture: 18 %", "moisture: 61 %", "61 %", "cannot be meant", "0 % to 60 %"),
    ("width: 800 mm", "width: 800 m", "800 m", "cannot be meant", "10 mm to 10 m"),
    ("pieces: 450 mm x 350 mm", "pieces: 450 m x 350 m", "450 m x 350 m", "cannot", "5 mm to"),
    ("outdoors: -5 degC", "outdoors: -5000 degC", "-5000 degC", "colder", "20 degC"),
    ("distance: 90 mm", "distance: 90 m", "90 m", "cannot be meant", "0 mm to 20 m"),
    # firing
    (HARDEST, HARDEST.replace("12 h", "2 h"), "2 h", "burns 160 min", "lengthen `every`"),
    (HARDEST, HARDEST.replace("10 kg", "4 kg"), "hardest", "milder than the usual", "both"),
    (LEAST, LEAST.replace("5 kg", "50 kg"), "least", "harder than the usual", "both"),
    (", share: 3 %", "", "ajar", "not said how far", "add `share`"),
    ("ajar, share", "tight, share", "share", "goes with a damper left ajar", "ajar"),
    # chambers
    (RISER, "leads_to: risr", "risr", "no chamber `risr`", "did you mean `riser`?"),
    (RISER, "leads_to: firebox", "firebox", "opens into itself", "another chamber"),
    (RISER, "", "firebox", "gas does not leave `firebox`", "leads_to: chimney"),
    (RISER, "leads_to: {riser: {share: 60 %}, bell: {share: 30 %}}", "leads_to", "90 %", "100 %"),
    (RISER, "leads_to: {riser: {share: 60 %}, bell: {}}", "bell", "no share", "add `share`"),
    (RISER, "leads_to: {riser: {share: 60 %}}", "leads_to", "60 % together", "100 %"),
    (RISER, "leads_to: {riser: {area: 90 cm2}, bell: {}}", "bell", "neither share nor area",
     "or `area` to each"),
    (RISER, RISER.replace("at: 500", "at: 5000"), "5000 mm", "above or below both", "elevation"),
    ("leaves_at: 1200 mm", "leaves_at: 12 m", "12 m", "above or below both", "elevation"),
    ("leads_to: bell,", "leads_to: firebox,", "firebox", "firebox -> riser -> firebox", "opens_to"),
    ("opens_to: {bell: {area", "leads_to: {bell: {area", "bench", "no gas comes to", "leads_to"),
    ("kind: firebox,", "kind: oven,", "chambers", "no firebox", "add a chamber"),
    ("inside: bell, size: {width", "inside: bel, size: {width", "bel", "no chamber `bel`",
     "`bell`"),
    ("inside: bell, size: {d", "inside: riser, size: {d", "riser", "stands in itself", "around"),
    ("{kind: bell,", "{kind: bell, inside: riser,", "*", "stand in one another", "delete one"),
    ("height: 900 mm}", "height: 9 m}", "bell", "out of `bell` (0 mm to 1.65 m)", "`height`"),
    ("width: 350 mm, depth: 450", "width: 850 mm, depth: 950", "bell", "as wide inside", "sizes"),
    ("{kind: bench, size: {length: 1800 mm, ", "{kind: bench, size: {", "size", "lacks `length`",
     "length, and width"),
    ("{diameter: 150 mm, h", "{diameter: 150 mm, width: 1 m, h", "width", "both `diameter`",
     "keep"),
    ("{diameter: 150 mm, h", "{diameter: 150 mm, length: 1 m, h", "length", "no `length`", "give"),
    ("kind: bell, size: {width: 800 mm, ", "kind: bell, size: {", "size", "lacks `width`", "depth"),
    ("bottom: 75 mm, ", "", "firebox", "`bottom` is missing", "0 mm"),
    (CHIMNEY, CHIMNEY.replace("5.5 m}}", "5.5 m}, leads_to: bell}"), "leads_to", "end of the way",
     "outdoors"),
    # parts
    (PART, "  door: {bounds: fire-box", "fire-box", "no chamber `fire-box`", "`firebox`"),
    ("[firebox, bell, bench]", "[firebox, bill, bench]", "bill", "no chamber `bill`", "`bell`"),
    ("between: [firebox, bell]", "between: [firebox, room]", "room", "no chamber `room`", "there"),
    ("faces: bell, layers: [{material: ifb", "faces: bel, layers: [{material: ifb", "bel",
     "no far side `bel`", "`bell`"),
    ("faces: bell, layers: [{material: ifb", "faces: riser, layers: [{material: ifb", "riser",
     "bounds and faces the same", "far side"),
    ("    to: 1650 mm", "    to: 900 mm", "900 mm", "ends at or below", "above `from`"),
    ("    from: 1000 mm\n    to: 1650 mm", "    from: 1.7 m", "1.7 m", "begins above", "check"),
    ("    from: 1000 mm\n    to: 1650 mm", "    to: -1 m", "-1 m", "ends below", "check"),
    ("courses: block 1-5", "courses: block 10-12", "block 10-12", "begins above", "check"),
    ("courses: block 1-5", "courses: blok 1-5", "blok 1-5", "no gauge `blok`", "`block`"),
    (COURSING, "", "block 1-5", "no gauge `block`", "coursing: {datum"),
    ("along: 0-1.8 m", "along: 0-2 m", "0-2 m", "ends beyond `bench`", "1.8 m long"),
    ("faces: room, area: 1050 cm2", "faces: room, along: 0-1 m", "along", "stands upright", "from"),
    ("area: 1050 cm2", "bearing: 40 mm", "bearing", "a glass has no `bearing`", "cap"),
    # layers
    ("  - {material: perlite-loose, thickness",
     "  - {material: perlite-loose, top: 1 cm2/m, thickness",
     "top", "belongs to a gap", "layer of its own"),
    (GAP, "{gap: 10 mm, kind: closed, mortar: mud}", "mortar", "belongs to a material", "delete"),
    (GAP, "{gap: 10 mm, kind: closed, joists: {width: 45 mm, spacing: 1 m, between: open}}",
     "joists", "belongs to a material", "delete"),
    (GAP, "{gap: 10 mm, kind: closed, top: 1 cm2/m}", "top", "closed gap has no", "vented"),
    ("[{material: ifb-23, thickness: 64 mm}]", "[{gap: 9 mm, kind: closed}]", "layers", "air only",
     "add a layer"),
    ("air_inlet: 120 cm2", "air_inlet: 1 dm2", "1 dm2", "not an area", "600 cm2"),
    ("bends: 2, bottom: 300 mm", "air_inlet: 80 cm2, bottom: 300 mm", "air_inlet",
     "only the firebox draws air", "move it to the firebox"),
    ("bends: 2, bottom: 300 mm", "fire: open, bottom: 300 mm", "fire",
     "only a firebox has one", "kind: firebox"),
    ("air_inlet: 120 cm2", "fire: low", "low", "cannot be `low`", "open"),
    ("air_inlet: 120 cm2", "bends: 1", "bends",
     "too slow in a firebox", "riser, flue-run, bench, buried-pipe or chimney"),
    ("air_inlet: 120 cm2", "air_inlet: 120 m2", "120 m2", "cannot be meant", "to 10 m2"),
    ("bends: 2,", "bends: -2,", "-2", "less than 0", "0"),
    (SLAB, joisted("spacing: 40 mm, between: open"), "40 mm", "wider than they stand", "middle"),
    (SLAB, joisted("spacing: 400 mm, between: closed"), "closed", "nothing closes it", "`open`"),
    (f"      - {SLAB}",
     f"      - {joisted('spacing: 400 mm, between: open')}\n      - {SLAB}", "open",
     "yet a layer follows", "`between: closed`"),
    ("{material: ifb-23, thickness: 64 mm}",
     joisted("spacing: 400 mm, between: open"), "joists", "a wall has no joists", "base"),
    (BAR, BAR.replace("25 mm", "55 mm"), "55 mm", "outside its layer of 60 mm", "`cover`"),
    (SLAB, metalled("ties: {material: mild-steel, diameter: 6 mm, each: 6 mm}"), "6 mm",
     "leave nothing between them", "middle to middle"),
    (SLAB, metalled("tees: {material: mild-steel, web: 110 mm, thick: 6 mm, each: 230 mm}"),
     "110 mm", "out of its layer of 100 mm", "`web`"),
    (SLAB, metalled("tees: {material: mild-steel, web: 50 mm, thick: 7 mm, each: 7 mm}"), "7 mm",
     "leave nothing between them", "middle to middle"),
    (SLAB, metalled("tees: {material: mild-steel, web: 50 mm, thick: 6 mm, each: 230 mm}, "
                    "ties: {material: mild-steel, diameter: 6 mm, each: 300 mm}"), "tees",
     "not both", "keep what leads"),
    (PART, "  door: {shape: dome, bounds: firebox", "shape", "has no `shape`", "cap"),
    # surroundings and variances
    ("at: back, distance: 90 mm", "at: back, on: bell-cop, distance: 90 mm", "bell-cop",
     "no part `bell-cop`", "`bell-cap`"),
    ("at: back, distance: 90 mm, gap: {kind: vented, bottom: 100 cm2/m, top: 100 cm2/m},",
     "at: back, on: bell-cap, distance: 90 mm,", "90 mm", "stands away from it", "distance: 0 mm"),
    ("at: back, distance: 90 mm", "at: back, on: bell-cap, distance: 0 mm", "gap",
     "has no gap before it", "or `on`"),
    ("distance: 90 mm", SHIELD, "95 mm", "farther out", "`distance`"),
    ("distance: 500 mm", f"on: bench-top, {SHIELD.replace('90', '0')}",
     "shield", "has no shield before it", "delete `shield`"),
    ("part: bell-cap,", "part: bell-cup,", "bell-cup", "no part or surrounding", "`bell-cap`"),
]  # fmt: skip


@pytest.mark.parametrize(("old", "new", "points_at", "says", "remedy"), FAULTS)
def test_a_fault_is_told_once(
    old: str, new: str, points_at: str, says: str, remedy: str
) -> None:
    text = swapped((old, new))
    found = mistakes_of(text)
    assert len(found) == 1, [(one.span.label(), one.message) for one in found]
    assert says in found[0].message
    assert remedy in found[0].remedy
    if points_at != "*":
        assert at(text, found[0]) == points_at


def test_a_comma_for_decimals_in_braces_is_explained() -> None:
    """YAML makes two entries of it before anyone can see a number."""
    found = mistakes_of(swapped(("charge: 5 kg", "charge: 5,5 kg")))
    assert [one.message for one in found] == [
        "`charge` has no unit: 5", "unknown key `5 kg` in `least`",
    ]  # fmt: skip
    assert "point" in found[1].remedy


def test_no_chimney_at_all() -> None:
    text = swapped((CHIMNEY, ""), ("by_others: {chimney: mason on site, ", "by_others: {"))
    (found,) = mistakes_of(text)
    assert at(text, found) == "chimney" and "no chimney in the plan" in found.message
    assert "by_others" in found.remedy


def test_dead_end_without_any_chimney() -> None:
    text = swapped(
        (CHIMNEY, ""), ("by_others: {chimney: mason on site, ", "by_others: {"),
        (", leads_to: chimney, leaves_at: 150 mm", ""),
    )  # fmt: skip
    assert mistakes_of(text) == ()  # a bell that only the blind bench opens to is itself blind
    text = text.replace(", opens_to: {bell: {area: 600 cm2, at: 160 mm}}", ", leads_to: bell")
    (found,) = mistakes_of(text)
    assert "does not leave `bell`" in found.message and "by_others" in found.remedy


def test_a_word_of_faces_cannot_name_a_chamber() -> None:
    oven = "  cavity: {kind: oven, size: {diameter: 0.4 m, height: 0.3 m}, bottom: 1 m}\n"
    text = swapped((CHIMNEY, oven + CHIMNEY))
    (found,) = mistakes_of(text)
    assert at(text, found) == "cavity" and "cannot name a chamber" in found.message


def test_two_usual_firings_that_do_not_fit() -> None:
    text = swapped((HARDEST + "\n", ""), (LEAST, LEAST.replace("24 h", "30 h")))
    text = text.replace("burn: 80 min, every: 12 h", "burn: 80 min, every: 2 h")
    (found,) = mistakes_of(text)
    assert at(text, found) == "usual" and "add `hardest`" in found.remedy


def test_mistakes_of_all_floors_come_in_one_list() -> None:
    """Of the file (a key twice), of shape (a misspelt key), of a figure and of a name."""
    text = swapped(
        ("drawing: FH-07 revision C", "title: again"),
        ("moisture: 18 %", "moistur: 18 %"),
        ("thickness: 4 mm", "thickness: 4 mil"),
        ("inside: bell, size: {d", "inside: bel, size: {d"),
    )
    found = mistakes_of(text)
    assert [at(text, one) for one in found] == ["title", "moistur", "bel", "4 mil"]


@pytest.mark.parametrize(
    ("old", "new", "count"),
    [
        ("coursing:\n", "coursings:\n", 1),
        ("chambers:\n", "chamber:\n", 1),
        ("firing:\n", "fire:\n", 1),
        ("  bell:    {kind: bell,", "  bell:    {knd: bell,", 1),
        ("  bell:    {", "  bell:    # {", 1),
        ("  bell:    {kind: bell, size", "  bell:    {kind: bell, sizes", 1),
        ("  bell:    {kind: bell", "  bell:    {kind: ball", 1),
        ("gauges: {brick: 75 mm, block: 200 mm}", "gauges: [75 mm]", 1),
        ("leads_to: chimney,", "lead_to: chimney,", 1),
        ("leads_to: chimney,", "leads_to: [chimney],", 1),
        ("faces: room, along", "face: room, along", 1),
        ("bounds: riser,", "bound: riser,", 1),
    ],
)
def test_one_fault_of_shape_brings_no_others(old: str, new: str, count: int) -> None:
    found = mistakes_of(swapped((old, new)))
    assert len(found) == count, [(one.span.label(), one.message) for one in found]


def test_the_list_is_in_the_order_of_the_file() -> None:
    text = TEXT.replace(" mm", "").replace("kind: wall", "kind: wal")
    found = mistakes_of(text)
    offsets = [one.span.start.offset for one in found]
    assert len(found) > 40 and offsets == sorted(offsets)


@settings(max_examples=300)
@given(
    st.lists(
        st.tuples(
            st.integers(0, len(TEXT) - 1),
            st.integers(0, 6),
            st.text(alphabet="{}[]:,-#&*!|>'\"%@ \t\n0123abmx\u00e9\U0001f525\x00\r", max_size=3),
        ),
        min_size=1,
        max_size=3,
    )
)
def test_any_typing_over_the_file_is_read_or_refused(strokes: list[tuple[int, int, str]]) -> None:
    """From bytes on, as `load` does it."""
    text = TEXT
    for place, length, typed in strokes:
        text = text[:place] + typed + text[place + length :]
    try:
        decoded, _ = decode(text.encode(), "plan")
    except BuildFileError as error:
        assert error.mistakes
        return
    for one in mistakes_of(decoded):
        assert one.message and one.remedy and "\n" not in one.message + one.remedy
        start, end = one.span.start, one.span.end
        assert 0 <= start.offset <= end.offset <= len(decoded)
        assert start.line == decoded.count("\n", 0, start.offset)
