"""The demo plan and a plain one, varied in memory and solved once per variation."""

from __future__ import annotations

import copy
import re
from typing import Any

from stovelint.assemble import assemble_tree, edited
from stovelint.build import Build, FiringState
from stovelint.catalogue.catalogue import Catalogue
from stovelint.hotmap.compute import hot_map
from stovelint.hotmap.records import CycleHeat, PatchHeat
from stovelint.place import Path
from stovelint.source import read_plan
from stovelint.source.yaml import parse
from tests.tree import DEMO, ROOT

Tree = dict[str, Any]

CATALOGUE = Catalogue()

PLAIN = """\
format: 1
title: Boat shed
site: {room: 20 degC, outdoors: 0 degC, ground: 10 degC}
by_others: {chimney: mason on site}
firing:
  wood: hardwood
  moisture: 15 %
  usual: {charge: 10 kg, burn: 80 min, every: 12 h}
  damper: {after_burn: tight}
chambers:
  firebox:
    kind: firebox
    size: {width: 400 mm, depth: 400 mm, height: 500 mm}
    bottom: 0 mm
    leads_to: {bell: {area: 250 cm2, at: 1.75 m}}
  bell:
    kind: bell
    size: {width: 900 mm, depth: 900 mm, height: 1.8 m}
    bottom: 0 mm
    leads_to: chimney
    leaves_at: 100 mm
  chimney:
    kind: chimney
    size: {diameter: 180 mm, height: 5 m}
parts:
  firebox-wall:
    kind: wall
    bounds: firebox
    faces: room
    layers:
      - {material: firebrick-medium-duty, thickness: 114 mm}
      - {material: clay-brick-common, thickness: 102 mm}
  firebox-cap:
    kind: cap
    bounds: firebox
    faces: room
    layers: [{material: castable-dense-fireclay, thickness: 100 mm}]
  bell-wall:
    kind: wall
    bounds: bell
    faces: room
    layers: [{material: clay-brick-common, thickness: 102 mm}]
  bell-cap:
    kind: cap
    bounds: bell
    faces: room
    bearing: {width: 100 mm, insulation: 12 mm}
    carried_by: bell-wall
    layers:
      - {material: ceramic-fibre-blanket-128, thickness: 25 mm}
      - {material: concrete-normal-siliceous, thickness: 60 mm}
  base:
    kind: base
    bounds: [firebox, bell]
    faces: room
    layers:
      - {material: clay-brick-common, thickness: 65 mm}
      - {material: perlite-loose, thickness: 100 mm}
      - {material: softwood, thickness: 28 mm}
"""
"""An empty bell of one brick, fed at its crown from a firebox beside it, over a wood floor."""

_DEMO = read_plan(str(ROOT / DEMO), DEMO)
_PLAIN = parse(PLAIN, "boat-shed.heater.yaml")


def demo() -> Tree:
    """A copy of the demo plan's tree."""
    return copy.deepcopy(dict(_DEMO.tree))


def plain() -> Tree:
    return copy.deepcopy(dict(_PLAIN.tree))


def with_(tree: Tree, *changes: tuple[Path, object]) -> Tree:
    """The tree with a value put at each path; `None` takes the entry out."""
    for path, value in changes:
        tree = edited(tree, path, value)
        if value is None:
            holder: Any = tree
            for step in path[:-1]:
                holder = holder[step]
            del holder[path[-1]]
    return tree


def inserted(tree: Tree, path: Path, value: object) -> Tree:
    """The tree with a new item before the one at the path."""
    return edited(tree, path, value, insert=True)


def built(tree: Tree) -> Build:
    return assemble_tree(tree, _DEMO.places)


def cycle(
    tree: Tree, state: FiringState = "usual", members: int = 1, catalogue: Catalogue = CATALOGUE
) -> CycleHeat:  # fmt: skip
    """One firing state of a plan, which must leave nothing unsolved."""
    found = hot_map(built(tree), catalogue, states=(state,), members=members)
    assert found.unsolved == ()
    return found.cycles[state]


def patch(heat: CycleHeat, part: str, where: str) -> PatchHeat:
    """The only patch of a part whose place begins so."""
    (found,) = [p for p in heat.of_part(part) if p.where.startswith(where)]
    return found


def stretch_m(one: PatchHeat) -> tuple[float, float]:
    """Where a patch lies: along its chamber if it says so, else its elevations."""
    found = re.search(r"([\d.]+) to ([\d.]+) m along", one.where)
    return (float(found[1]), float(found[2])) if found else (one.from_m, one.to_m)
