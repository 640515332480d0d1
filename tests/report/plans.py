"""Small plans with something of everything that a report must be able to tell."""

from __future__ import annotations

from pathlib import Path
from typing import Mapping

from tests.tree import RULES

BARE = RULES / "cap-insulation" / "fails" / "bare-concrete.heater.yaml"
CLEAR = RULES / "cap-insulation" / "stands" / "concrete-over-two-inches.heater.yaml"

SURROUNDED = """
surroundings:
  stud-wall:
    at: back
    distance: 90 mm
    gap: {kind: vented, bottom: 100 cm2/m, top: 100 cm2/m}
    layers: [{material: softwood, thickness: 90 mm}]
"""
VARIANCES = """
variances:
  cap-for-now:
    {rule: cap-insulation, part: bell-cap, reason: relaid in spring, who: owner, until: 2027-04-30}
  studs:
    rule: combustible-clearance
    part: stud-wall
    reason: measured on two heaters of this drawing
    who: the authority
    until: 2026-01-31
  dried: {rule: wet-stone, part: bell-wall, reason: dried for a year, who: mason}
"""


def bare() -> str:
    return BARE.read_text(encoding="utf-8")


def agreed() -> str:
    """A bare cap and a near wall, both agreed to for a time, and a variance nobody needs."""
    return bare() + SURROUNDED + VARIANCES


def not_judged() -> str:
    """A near wall under no code: whether the distance will do is an open question."""
    text = bare() + SURROUNDED
    assert text.count("jurisdiction: IRC-2021\n") == 1
    return text.replace("jurisdiction: IRC-2021\n", "")


def mistaken() -> str:
    """Three mistakes: a material, a number without its unit, a rule that nobody wrote."""
    text = agreed().replace("rule: wet-stone", "rule: wet-stown")
    return text.replace("bearing: 100 mm", "bearing: 100").replace("perlite-loose", "perlit", 1)


EVERY_KIND: Mapping[str, tuple[str, str]] = {
    "the file": ("title: Kiln Cottage\n", "title: Kiln Cottage\ntitle: Kiln Cottage\n"),
    "site": ("format: 1\n", "format: 1\nsite: here\n"),
    "parts / firebox-wall / faces": (
        "bounds: firebox\n    faces: bell\n", "bounds: firebox\n    faces: bel\n",
    ),
    "parts / core-base / layers / no. 3 / material": ("perlite-loose, thickness: 100 mm}\n"
        "      - {material: concrete-normal-siliceous, thickness: 100 mm}\n  firebox-wall",
        "perlit, thickness: 100 mm}\n"
        "      - {material: concrete-normal-siliceous, thickness: 100 mm}\n  firebox-wall"),
    "parts / bell-wall / layers / no. 1 / mortar": (
        "thickness: 102 mm}", "thickness: 102 mm, mortar: granite}",
    ),
    "parts / bell-cap / bearing": ("bearing: 100 mm", "bearing: 100"),
    "parts / bell-cap / layers / no. 1 / reinforcement / kind": (
        "pieces: 1000 mm x 1100 mm}", "pieces: 1000 mm x 1100 mm, reinforcement: {kind: rebars}}",
    ),
    "surroundings / stud-wall / shield / kind": (
        "    distance: 90 mm\n",
        "    distance: 90 mm\n    shield: {kind: mild-steal, air: 25 mm}\n",
    ),
    "variances / studs / part": ("part: stud-wall", "part: stud-wal"),
    "variances / dried / rule": ("rule: wet-stone", "rule: wet-stown"),
}  # fmt: skip
"""One mistake of every kind: where it is told -> what makes it."""


def every_kind(*leave: str) -> str:
    """A plan with all of `EVERY_KIND`, without those named."""
    text = agreed()
    for where, (right, wrong) in EVERY_KIND.items():
        if where not in leave:
            assert text.count(right) == 1, f"{text.count(right)} times: {right}"
            text = text.replace(right, wrong)
    return text


def misnamed() -> str:
    """What only the rulebook and the catalogue can tell."""
    text = agreed().replace("rule: wet-stone", "rule: wet-stown")
    return text.replace("perlite-loose", "perlit", 1)


def written(folder: Path, name: str, text: str) -> str:
    """The path of a plan written into a folder."""
    path = folder / f"{name}.heater.yaml"
    path.write_text(text, encoding="utf-8")
    return str(path)
