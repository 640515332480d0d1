"""The 32 cases: a fixed set of points over the inputs nobody knows exactly.

Each input has a low, a middle and a high value; a case takes a place between them. The places are
spread evenly for every input (each of the 32 strata once) and in fixed irrational steps, so that
inputs do not move together. Nothing random: same plan, same cases. Results are never multiplied.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from stovelint.build import Build, Firing
from stovelint.heat.fuel import (
    flue_gas_fractions, loads_shape, net_calorific_J_kg, stoichiometric_air_kg_kg,
)  # fmt: skip
from stovelint.heat.network import Drive

Floats = NDArray[np.float64]

MEMBERS = 32
SAMPLES_IN_BURN = 24
SAMPLES_IN_LOAD = 18
"""Each load has a crest of its own. With 12 the second of two loads peaked up to 1.7 % off a solver
that steps through time, with 18 within 1 % (`tests/referee`)."""
FEWEST_SAMPLES = 96
LONGEST_PERIOD_S = 96 * 3600.0
"""A heater left alone this long is cold (its slowest layers fade within 20 h): a firing every week
is then a single firing from room temperature, and is computed as one every 96 h."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Input:
    """One uncertain input. `grade` as everywhere; `judgement` is ours, with its reason."""

    name: str
    low: float
    mid: float
    high: float
    grade: str
    reason: str


INPUTS = (
    Input(name="film", low=0.75, mid=1.0, high=1.3, grade="judgement",
          reason="free-convection correlations scatter by 15-25 % and the chambers are no plates"),
    Input(name="room_film", low=0.88, mid=1.0, high=1.12, grade="judgement",
          reason="outside films by four correlations differ by about 12 %"),
    Input(name="jet", low=1.5, mid=2.5, high=4.0, grade="computed",
          reason="ceiling-jet correlations give 2 to 4 times free convection at a crown"),
    Input(name="peclet", low=0.7, mid=2.0, high=6.0, grade="judgement",
          reason="measured vented chambers lie between mixed and plug flow"),
    Input(name="entrainment", low=0.1, mid=0.6, high=1.5, grade="judgement",
          reason="plume correlations over the height between a riser's mouth and the crown"),
    Input(name="riser_share", low=0.15, mid=0.3, high=0.5, grade="judgement",
          reason="how much of the gas burns behind the throat is not measured"),
    Input(name="charge", low=0.95, mid=1.0, high=1.05, grade="judgement",
          reason="wood weighed on a kitchen scale, or a wood of other make-up"),
    Input(name="moisture", low=-0.03, mid=0.0, high=0.04, grade="judgement",
          reason="seasoned wood varies within a stack"),
    Input(name="peak_air_ratio", low=1.5, mid=1.7, high=2.0, grade="computed",
          reason="a firebox of 1000 degC needs 1.5 to 2.0 at the height of the fire"),
    Input(name="burn_time", low=0.85, mid=1.0, high=1.2, grade="judgement",
          reason="splitting and stacking change the rate of burning"),
    Input(name="flame", low=0.1, mid=0.2, high=0.35, grade="recalled",
          reason="emissivity that soot adds to a wood flame"),
    Input(name="emissivity", low=0.0, mid=0.5, high=1.0, grade="read",
          reason="place between the catalogue's low and high value"),
    Input(name="damper", low=0.5, mid=1.0, high=1.6, grade="judgement",
          reason="flow left after the burn, as a factor on the share said or taken"),
    Input(name="still", low=0.02, mid=0.06, high=0.2, grade="judgement",
          reason="exchange between bands of a bell that stands still"),
    Input(name="room", low=-2.0, mid=0.0, high=2.0, grade="judgement",
          reason="room temperature over the year"),
    Input(name="heat", low=0.9, mid=1.0, high=1.1, grade="computed",
          reason="what the gas is known to bring and to lose: open fire tests close to a tenth"),
    Input(name="stored", low=0.0, mid=0.5, high=1.0, grade="read",
          reason="place between the catalogue's low and high density"),
)  # fmt: skip

# Classes of material each have a conductivity of their own to go wrong; the order is fixed here so
# that a plan's own order or names change nothing.
FAMILIES = (
    "aac", "board", "castable", "ceramic", "concrete-block", "earth", "fibre", "fired-clay-brick",
    "fireclay-brick", "insulating-firebrick", "loose-fill", "metal", "mortar", "natural-stone",
    "perlite-concrete", "plaster", "portland-concrete", "wood", "ground", "other",
)  # fmt: skip

FLAME_RAYS = (0.2, 0.3, 0.4)
"""Share of the heat of a fire that burns freely in a chamber that leaves its flames as rays; moves
with the emissivity of the flames, for both come from the soot (wood about 0.3, recalled; a few
tenths in the input files of the open fire tests, read)."""
PLUME = (0.8, 1.0, 1.2)
"""On what such a fire's plume draws along; moves with the entrainment of the jets (judgement: plume
correlations differ by a fifth)."""

OPEN_SHARE = 0.3
"""Flow left when nothing is shut after the burn: draught of a warm chimney against a cold fire,
0.15 to 0.5 of the burn's flow (judgement)."""
TIGHT_SHARE = 0.003
"""A damper called tight still leaks a little (judgement)."""


STEPS = (
    2, 3, 5, 7, 11, 13, 31, 37, 47, 67, 79, 131, 179, 197, 227, 337, 1399,
    307, 359, 967, 1069, 1171, 41, 73, 113, 521, 743, 1117, 53, 107, 157, 607, 1153, 1163, 137,
    139, 257,
)
"""Primes whose square roots are the steps of the inputs and classes above, in order: chosen so
that no two inputs correlate above 0.25 over the 32 cases, nor any other two above 0.45."""
WIDENING = ("heat", "stored")
"""Inputs whose steps grow from case to case, by the square of its number: more than fifteen even
sequences of 32 do not keep apart that far."""


def places(members: int = MEMBERS) -> dict[str, Floats]:
    """Place of every case between low (0) and high (1) of every input and material class.

    Kronecker sequence with steps sqrt(prime) (of Weyl, with steps that grow, for two), its ranks spread to the middles of `members` equal
    strata. With one member, the middle.
    """
    names = [item.name for item in INPUTS] + [f"k:{family}" for family in FAMILIES]
    if members == 1:
        return {name: np.array([0.5]) for name in names}
    index = np.arange(1, members + 1)
    result: dict[str, Floats] = {}
    for name, prime in zip(names, STEPS, strict=True):
        steps = index * index if name in WIDENING else index
        raw = np.mod(steps * math.sqrt(prime), 1.0)
        ranks = np.argsort(np.argsort(raw, kind="stable"), kind="stable")
        result[name] = (ranks + 0.5) / members
    return result


Value = Floats | float


def between(low: Value, mid: Value, high: Value, place: Floats) -> Floats:
    """Value at a place: 0 low, 0.5 middle, 1 high, straight in between."""
    up, down = np.maximum(2.0 * place - 1.0, 0.0), np.maximum(1.0 - 2.0 * place, 0.0)
    return np.asarray(mid + (high - mid) * up - (mid - low) * down, dtype=np.float64)


def inputs(at: dict[str, Floats]) -> dict[str, Floats]:
    """Values of all inputs, each of shape (members, 1)."""
    return {
        item.name: between(item.low, item.mid, item.high, at[item.name])[:, None] for item in INPUTS
    }


def period_s(firing: Firing) -> float:
    """The cycle that is computed."""
    return min(firing.every_s, LONGEST_PERIOD_S)


def sample_count(firing: Firing) -> int:
    """Samples of one cycle: at least 24 inside the burn and 18 inside each load, a number that
    transforms fast."""
    in_burn = max(SAMPLES_IN_BURN, SAMPLES_IN_LOAD * firing.loads)
    need = in_burn * period_s(firing) / (firing.loads * firing.burn_s)
    count = max(FEWEST_SAMPLES, math.ceil(need))
    while True:
        rest = count
        for factor in (2, 3, 5):
            while rest % factor == 0:
                rest //= factor
        if rest == 1 and count % 2 == 0:
            return count
        count += 1


def after_burn_shares(build: Build) -> tuple[float, ...]:
    """Flow after the burn over that of the burn; two ends when the plan does not say."""
    damper = build.damper
    if damper.after_burn is None:
        return (TIGHT_SHARE, OPEN_SHARE)
    if damper.after_burn == "ajar":
        return (damper.share if damper.share is not None else 0.03,)
    return (OPEN_SHARE if damper.after_burn == "open" else TIGHT_SHARE,)


def drive(
    build: Build, firing: Firing, at: dict[str, Floats], share: float, has_riser: bool
) -> Drive:
    """What the firing does, for the cases at these places and one damper share."""
    value = inputs(at)
    n = sample_count(firing)
    period = period_s(firing)
    step = period / n
    burn_s = firing.burn_s * value["burn_time"]
    moisture = np.clip(build.fuel.moisture + value["moisture"], 0.02, 0.6)
    kind = build.fuel.kind
    # four points inside each sample, and the tail of the coals wrapped to the next cycle
    fine: Floats = np.asarray((np.arange(4 * n) + 0.5) * (step / 4.0), dtype=np.float64)
    shape = np.zeros((len(burn_s), 4 * n))
    for turn in range(1 + math.ceil(firing.loads * 1.2 * firing.burn_s * 1.8 / period)):
        shape += loads_shape(fine + turn * period, burn_s, firing.loads, burn_s)
    rate = shape.reshape(len(burn_s), n, 4).mean(axis=2)
    rate = rate / (rate.sum(axis=1, keepdims=True) * step)
    wood_kg = firing.charge_kg * firing.loads * value["charge"]
    fuel_kg_s = rate * wood_kg
    heat_W = fuel_kg_s * net_calorific_J_kg(kind, moisture) * value["heat"]
    stoich = stoichiometric_air_kg_kg(kind, moisture)
    air_burn = value["peak_air_ratio"] * stoich * fuel_kg_s.max(axis=1, keepdims=True)
    lit = np.clip((firing.loads * burn_s - np.arange(n) * step) / step, 0.0, 1.0)
    leak = share * value["damper"]
    air = air_burn * (lit + (1.0 - lit) * leak)
    air_ratio = np.clip(air / np.maximum(stoich * fuel_kg_s, 1e-12), 1.2, 60.0)
    x_co2, x_h2o = flue_gas_fractions(kind, moisture, air_ratio)
    peak = fuel_kg_s.max(axis=1, keepdims=True)
    riser_share = value["riser_share"] if has_riser else np.zeros_like(value["riser_share"])
    room = build.site.room_C + value["room"]
    constant = np.ones_like(room)
    return Drive(
        period_s=period, heat_W=heat_W, flow_kg_s=air + fuel_kg_s, air_ratio=air_ratio,
        x_co2=x_co2, x_h2o=x_h2o,
        burning=np.asarray((fuel_kg_s > 0.02 * peak).any(axis=0) | (lit > 0.0).any(axis=0)),
        flame_emissivity=value["flame"] * fuel_kg_s / peak, riser_share=riser_share,
        film_factor=value["film"], room_film_factor=value["room_film"], jet_factor=value["jet"],
        peclet=value["peclet"], entrainment=value["entrainment"], still_exchange=value["still"],
        room_C=room, outdoors_C=build.site.outdoors_C * constant,
        ground_C=build.site.ground_C * constant,
        flame_rays=between(*FLAME_RAYS, at["flame"])[:, None],
        plume_factor=between(*PLUME, at["entrainment"])[:, None],
    )  # fmt: skip
