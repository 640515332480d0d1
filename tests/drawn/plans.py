"""Whole plans drawn from the grammar of `schemas/build-1.json`: chambers, ways, parts, firing.

`plausible` plans are such as a mason might build; in `wild` ones single figures are out of all
proportion, any material stands anywhere, walls are missing or counted twice.
"""

from __future__ import annotations

from tests.drawn.pen import (
    BLANKETS, CORES, FILLS, FLOORS, MASONRY, SHEETS, SKINS, SLABS, Pen, Tree,
)  # fmt: skip

LYING = ("bench", "flue-run", "buried-pipe")
ON_THE_WAY = ("bell", "bell", "bell", "bench", "flue-run", "oven", "barrel", "buried-pipe")


def _firebox(pen: Pen) -> Tree:
    size = {"width": pen.mm(250, 500), "depth": pen.mm(300, 550), "height": pen.mm(350, 700)}
    return {"kind": "firebox", "size": size, "bottom": pen.elevation_mm(0, 200)}


def _riser(pen: Pen) -> Tree:
    if pen.chance(50):
        size = {"diameter": pen.mm(120, 220), "height": pen.mm(600, 1300)}
    else:
        size = {"width": pen.mm(120, 220), "depth": pen.mm(120, 220), "height": pen.mm(600, 1300)}
    return {"kind": "riser", "size": size, "bottom": pen.elevation_mm(0, 200)}


def _bell(pen: Pen, *, holds: bool) -> Tree:
    low = 750 if holds else 400
    if pen.chance(15):
        size = {"diameter": pen.mm(low + 100, 1400), "height": pen.mm(1500, 2300)}
    else:
        size = {"width": pen.mm(low, 1300), "depth": pen.mm(low, 1300),
                "height": pen.mm(1600, 2400) if holds else pen.mm(500, 2300)}  # fmt: skip
    return {"kind": "bell", "size": size, "bottom": "0 mm"}


def _on_the_way(pen: Pen, kind: str) -> Tree:
    if kind == "bell":
        return _bell(pen, holds=False)
    if kind in LYING:
        size = {"length": pen.mm(1000, 4000)}
        if kind != "bench" and pen.chance(50):
            size["diameter"] = pen.mm(120, 250)
        else:
            size |= {"width": pen.mm(150, 500), "height": pen.mm(150, 450)}
        return {"kind": kind, "size": size, "bottom": pen.elevation_mm(-100, 600)}
    if kind == "barrel":
        size = {"diameter": pen.mm(400, 650), "height": pen.mm(600, 1100)}
    else:
        size = {"width": pen.mm(300, 600), "depth": pen.mm(300, 700), "height": pen.mm(250, 500)}
    return {"kind": kind, "size": size, "bottom": pen.elevation_mm(0, 900)}


def _chambers(pen: Pen) -> Tree:
    """Firebox, perhaps a riser, one to four chambers on the way, perhaps a pocket, the chimney."""
    found: Tree = {"firebox": _firebox(pen)}
    last = "firebox"
    if pen.chance(50):
        found["riser"] = _riser(pen)
        found[last]["leads_to"] = "riser"
        last = "riser"
    nested = pen.chance(45)
    for number in range(pen.whole(1, 3)):
        kind = "bell" if number == 0 and nested else pen.of(ON_THE_WAY)
        name = f"{kind}-{number}"
        first = number == 0 and nested
        found[name] = _bell(pen, holds=True) if first else _on_the_way(pen, kind)
        if first:
            for core in [one for one in found if one != name]:
                found[core]["inside"] = name
        if pen.chance(12) and number:
            twin = f"{name}-too"
            found[twin] = _on_the_way(pen, kind)
            share = pen.whole(1, 99)
            found[last]["leads_to"] = {
                name: {"share": f"{share} %"}, twin: {"share": f"{100 - share} %"}
            }
            found[twin]["leads_to"] = "chimney"
        elif pen.chance(50):
            port: Tree = {"area": f"{pen.whole(80, 600)} cm2"}
            if pen.chance(40):
                port["at"] = pen.elevation_mm(100, 1000)
            found[last]["leads_to"] = {name: port}
        else:
            found[last]["leads_to"] = name
        if kind == "bell" and pen.chance(60):
            found[name]["leaves_at"] = pen.elevation_mm(50, 500)
        last = name
    found[last]["leads_to"] = "chimney"
    if pen.chance(30):
        kind = pen.of(("bench", "oven", "bell", "barrel"))
        opening: Tree = {"area": pen.between(100, 1500, 1, 90_000, "cm2")}
        if pen.chance(50):
            opening["at"] = pen.elevation_mm(50, 400)
        found["pocket"] = _on_the_way(pen, kind) | {
            "opens_to": {pen.of([one for one in found if one != "pocket"]): opening}
        }
    if pen.chance(70):
        found["chimney"] = {"kind": "chimney", "size": {
            "diameter": pen.mm(120, 250), "height": pen.mm(3000, 8000)}}  # fmt: skip
    return found


def _walls(pen: Pen, name: str, chamber: Tree, behind: str) -> Tree:
    """Walls of one chamber: all round, in two heights, or side by side."""
    core = chamber["kind"] in ("firebox", "riser")
    usual = CORES if core else SHEETS if chamber["kind"] == "barrel" else MASONRY

    def wall(**more: object) -> Tree:
        layers = pen.backed(usual, 50, 140, SKINS)
        return {"kind": pen.of(("wall", "wall", "wall", "facing")), "bounds": name,
                "faces": behind, "layers": layers, **more}  # fmt: skip

    way = pen.whole(0, 9)
    if way == 0 and chamber["kind"] not in LYING:
        cut = pen.elevation_mm(300, 500)
        return {f"{name}-low": wall(to=cut), f"{name}-high": wall(**{"from": cut})}
    if way == 1:
        sides = ("front", "back", "end") if chamber["kind"] in LYING else (
            "front", "back", "left", "right"
        )  # fmt: skip
        count = pen.whole(1, len(sides) - 1)
        return {f"{name}-some": wall(sides=list(sides[:count])),
                f"{name}-rest": wall(sides=list(sides[count:]))}  # fmt: skip
    return {f"{name}-wall": wall()}


def _top(pen: Pen, name: str, chamber: Tree, behind: str) -> Tree:
    kind = pen.of(("bench-top", "cap")) if chamber["kind"] == "bench" else pen.of(
        ("cap", "cap", "cap", "cook-plate")
    )  # fmt: skip
    usual = SHEETS if kind == "cook-plate" or chamber["kind"] == "barrel" else SLABS
    part: Tree = {"kind": kind, "bounds": name, "faces": behind,
                  "layers": pen.backed(usual, 30, 120, SKINS)}  # fmt: skip
    if pen.chance(40):
        part["bearing"] = pen.mm(40, 150) if pen.chance(60) else {
            "width": pen.mm(40, 150), "insulation": pen.between(3, 25, 1, 400, "mm")
        }  # fmt: skip
    if pen.chance(40):
        part["carried_by"] = f"{name}-wall"
    return {f"{name}-top": part}


def _bottom(pen: Pen, name: str | list[str], far: str) -> Tree:
    layers = [pen.layer(MASONRY, 30, 110)]
    if pen.chance(75):
        layers.append(pen.layer(FILLS, 25, 200))
    if pen.chance(20):
        layers.append(pen.gap())
    if pen.chance(70):
        layers.append(pen.layer(FLOORS, 15, 150))
    label = name if isinstance(name, str) else "-".join(name)
    kind = pen.of(("base", "base", "floor"))
    if all("gap" in layer for layer in layers):
        layers.append(pen.layer(FLOORS, 15, 150))
    return {f"{label}-base"[:60]: {"kind": kind, "bounds": name, "faces": far, "layers": layers}}


def _parts(pen: Pen, chambers: Tree) -> Tree:
    found: Tree = {}
    for name, chamber in chambers.items():
        kind = chamber["kind"]
        if kind == "chimney" and not pen.chance(30):
            continue
        behind = chamber.get("inside", "room")
        if pen.chance(4):
            behind = pen.of(("outdoors", "ground", "room", "cavity"))
        if pen.wild and pen.chance(4):
            behind = pen.of([one for one in chambers if one != name] or ["room"])
        found |= _walls(pen, name, chamber, behind)
        if kind not in ("chimney", "flue-run", "buried-pipe") or pen.chance(60):
            if kind != "riser" or pen.chance(20):
                found |= _top(pen, name, chamber, behind)
        if kind not in ("chimney", "riser") or pen.chance(20):
            far = pen.of(("ground", "ground", "room", "room", "outdoors"))
            found |= _bottom(pen, name, far)
    if pen.chance(70):
        found["door"] = {
            "kind": pen.of(("door", "glass")), "bounds": "firebox", "sides": ["front"],
            "faces": "room", "area": pen.between(300, 1500, 1, 20_000, "cm2"),
            "layers": [pen.layer(SHEETS, 3, 8)],
        }  # fmt: skip
    names = [one for one in chambers if one != "chimney" or pen.chance(10)]
    if len(names) > 1 and pen.chance(15):
        hot = pen.of(names)
        found["between"] = {
            "kind": pen.of(("partition", "wall")),
            "between": [hot, pen.of([one for one in names if one != hot])],
            "layers": pen.backed(MASONRY, 50, 140, SKINS),
        }  # fmt: skip
    if pen.chance(10):
        found["lintel"] = {"kind": "lintel", "bounds": pen.of(names), "faces": "room",
                           "layers": [pen.layer(SLABS, 40, 120)]}  # fmt: skip
    if pen.chance(10):
        found["hearth"] = {"kind": "hearth-extension", "bounds": "firebox", "faces": "room",
                           "layers": [pen.layer(SLABS, 20, 80)]}  # fmt: skip
    if pen.wild:
        for name in list(found):
            if pen.chance(6) and len(found) > 1:
                del found[name]
            elif pen.chance(6):
                found[name]["area"] = pen.between(0.05, 6, 0.0002, 150, "m2")
            elif pen.chance(4):
                found[f"{name}-2"[:60]] = dict(found[name])
    return found


def _state(pen: Pen, *, loads: int) -> Tree:
    state: Tree = {
        "charge": pen.between(3, 15, 0.1, 200, "kg"),
        "burn": pen.between(50, 130, 5, 720, "min"),
        "every": pen.of(("8 h", "12 h", "24 h")),
    }
    if pen.strange():
        state["every"] = pen.between(4, 48, 1, 2160, "h")
    if loads > 1:
        state["loads"] = loads
    return state


def _firing(pen: Pen) -> Tree:
    firing: Tree = {
        "wood": pen.of(("softwood", "hardwood")),
        "moisture": pen.percent(10, 25, most=60),
        "usual": _state(pen, loads=1),
    }
    if pen.wild and pen.chance(30):
        firing["hardest"] = _state(pen, loads=pen.whole(1, 5))
    if pen.wild and pen.chance(15):
        firing["least"] = _state(pen, loads=1)
    word = pen.of(("open", "ajar", "tight", None))
    if word == "ajar":
        firing["damper"] = {"after_burn": word, "share": pen.percent(1, 10)}
    elif word is not None:
        firing["damper"] = {"after_burn": word}
    return firing


def _surroundings(pen: Pen) -> Tree:
    found: Tree = {}
    for side in ("back", "right", "above", "below", "front", "end"):
        if not pen.chance(35):
            continue
        one: Tree = {
            "at": side, "distance": pen.mm(40, 1200),
            "layers": [pen.layer(("gypsum-board", "softwood", "osb", "plywood"), 10, 90)],
        }  # fmt: skip
        if pen.chance(40):
            one["layers"].append(pen.layer(("softwood", "mineral-wool"), 20, 150))
        if pen.chance(40):
            one["gap"] = {key: value for key, value in pen.gap().items() if key != "gap"}
        if pen.chance(15):
            one["shield"] = {"kind": pen.of(SHEETS), "air": pen.mm(10, 50)}
        found[f"near-{side}"] = one
    return found


def plan(pen: Pen) -> Tree:
    """A plan as the plain tree of its file."""
    chambers = _chambers(pen)
    tree: Tree = {
        "format": 1,
        "title": "Reed Island boat house",
        "firing": _firing(pen),
        "chambers": chambers,
        "parts": _parts(pen, chambers),
        "by_others": {"chimney": "mason on site"},
    }
    if pen.chance(60):
        tree["site"] = {
            "room": f"{pen.whole(10, 24)} degC", "outdoors": f"{pen.whole(-30, 15)} degC",
            "ground": f"{pen.whole(2, 15)} degC",
        }  # fmt: skip
    if pen.chance(30):
        tree["jurisdiction"] = pen.of(("IRC-2021", "FI-2017", "elsewhere"))
    near = _surroundings(pen)
    if near:
        tree["surroundings"] = near
    if pen.chance(15) and "bell-0" in chambers:
        tree["parts"]["bell-blanket"] = {
            "kind": "facing", "bounds": "bell-0", "faces": "room",
            "layers": [pen.layer(BLANKETS, 10, 50), pen.layer(SKINS, 20, 100)],
        }  # fmt: skip
    return tree
