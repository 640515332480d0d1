"""Small plans with something of everything that a report must be able to tell."""

from __future__ import annotations

from pathlib import Path

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


def misnamed() -> str:
    """What only the rulebook and the catalogue can tell."""
    text = agreed().replace("rule: wet-stone", "rule: wet-stown")
    return text.replace("perlite-loose", "perlit", 1)


def written(folder: Path, name: str, text: str) -> str:
    """The path of a plan written into a folder."""
    path = folder / f"{name}.heater.yaml"
    path.write_text(text, encoding="utf-8")
    return str(path)
