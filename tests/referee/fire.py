"""The fire: what a firing gives off, what flows, and of what the gas is made, at any moment.

Wood: ultimate analyses and heating-value formula of the project's physics notes 1.1 (read). Burn
curve: their 1.3 with the proportions of the design page: ramp over a tenth of the burn, parabolic
hump with its crest at 0.45, flames out at 0.6 at 0.3 of the crest, coals fading with an e-fold of
0.4 and cut off at 1.8. Air is constant while the damper is open, with an air ratio of 1.7 at the
height of the fire, then what the damper leaves.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import numpy as np

from tests.referee.gas import MOLAR, Caloric
from tests.referee.read import Firing, Plan

WOOD = {
    "hardwood": {"C": 0.502, "H": 0.060, "O": 0.433, "N": 0.001, "ash": 0.004},
    "softwood": {"C": 0.526, "H": 0.070, "O": 0.401, "N": 0.0, "ash": 0.003},
}
ATOM = {"C": 12.011e-3, "H": 1.008e-3, "O": 15.999e-3, "N": 14.007e-3}
AIR_PER_O2, AIR_MOLAR = 4.774, 28.965e-3
PEAK_AIR_RATIO, RISER_SHARE, FLAME = 1.7, 0.3, 0.2
LEFT = {"open": 0.3, "tight": 0.003}
LONGEST = 96 * 3600.0


def _curve(x: float) -> float:
    """Height of the burn curve at x burn times, crest 1."""
    if not 0.0 <= x <= 1.8:
        return 0.0
    if x < 0.1:
        return 4.0 * x
    if x < 0.45:
        return 1.0 - 0.6 * ((0.45 - x) / 0.35) ** 2
    if x < 0.6:
        return 1.0 - 0.7 * ((x - 0.45) / 0.15) ** 2
    return float(0.3 * np.exp(-(x - 0.6) / 0.4))


@cache
def _curve_area() -> float:
    edges = (0.0, 0.1, 0.45, 0.6, 1.8)
    node, weight = np.polynomial.legendre.leggauss(12)
    return float(
        sum(
            0.5 * (b - a) * w * _curve(0.5 * (a + b) + 0.5 * (b - a) * x)
            for a, b in zip(edges, edges[1:]) for x, w in zip(node, weight)
        )
    )  # fmt: skip


@dataclass(frozen=True, kw_only=True)
class Moment:
    """`flame`: emissivity that flames add where they burn; `vigour`: flow over that of the burn."""

    heat_W: float
    flow_kg_s: float
    vigour: float
    glows: bool
    p_co2_h2o: float
    flame: float
    caloric: Caloric


class Fire:
    def __init__(self, plan: Plan, firing: Firing) -> None:
        self.firing, self.period = firing, min(firing.every, LONGEST)
        self.lit_s = firing.loads * firing.burn
        wood, w = WOOD[plan.wood], plan.moisture
        gross = 34.91 * wood["C"] + 117.83 * wood["H"] - 1.51 * wood["N"]
        gross += -10.34 * wood["O"] - 2.11 * wood["ash"]
        self.lower_J_kg = 1e6 * (
            gross * (1.0 - w) - 2.447 * w - 2.447 * 9.01 * wood["H"] * (1.0 - w)
        )
        moles = {name: (1.0 - w) * wood[name] / ATOM[name] for name in ATOM}
        self.c, self.h2, self.n2 = moles["C"], moles["H"] / 2.0, moles["N"] / 2.0
        self.water = w / MOLAR["H2O"]
        self.o2 = self.c + self.h2 / 2.0 - moles["O"] / 2.0
        self.stoich = self.o2 * AIR_PER_O2 * AIR_MOLAR
        left = LEFT.get(plan.after_burn or "", plan.share)
        assert left is not None, "the plan must say how the damper stands after the burn"
        self.left = left
        crest = max(self.rate(t) for t in np.arange(0.0, self.lit_s, 5.0))
        self.crest = crest
        self.air = PEAK_AIR_RATIO * self.stoich * crest

    def rate(self, t: float) -> float:
        """Wood burned, kg/s, t seconds after the first load was lit, last cycle's coals too."""
        f = self.firing
        total = 0.0
        for load in range(f.loads):
            at = t - load * f.burn
            while at <= 1.8 * f.burn:
                total += _curve(at / f.burn)
                at += self.period
        return f.charge * total / (_curve_area() * f.burn)

    def at(self, t: float) -> Moment:
        """At t in (0, period]; a jump counts as not yet done at its own moment."""
        wood = self.rate(t)
        lit = t <= self.lit_s + 1e-6
        air = self.air if lit else self.left * self.air
        ratio = min(max(air / max(self.stoich * wood, 1e-12), 1.2), 60.0)
        o2 = self.o2 * (ratio - 1.0)
        moles = {
            "CO2": self.c, "H2O": self.h2 + self.water, "O2": o2,
            "N2": self.n2 + self.o2 * ratio * (AIR_PER_O2 - 1.0),
        }  # fmt: skip
        whole = sum(moles.values())
        return Moment(
            heat_W=wood * self.lower_J_kg, flow_kg_s=air + wood,
            vigour=(air + wood) / (self.air + self.crest), glows=lit or wood > 0.02 * self.crest,
            p_co2_h2o=(moles["CO2"] + moles["H2O"]) / whole, flame=FLAME * wood / self.crest,
            caloric=Caloric.of(moles),
        )  # fmt: skip
