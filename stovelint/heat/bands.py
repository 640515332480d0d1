"""Bands of gas one over another, fed at the top: what stirs them, and their temperatures.

Within a band the gas comes as near to its faces as its flow allows (exact exponential); between
bands it sinks, rises and mixes. What is carried to the top by a jet or a plume comes from the
bands it passes, so the solution is particular + homogeneous * tau_top, closed at the end.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

C_REF = 1100.0  # J/kgK, an arbitrary scale of tau


@dataclass(frozen=True, kw_only=True, eq=False)
class Exchange:
    """What the zones' faces offer the gas: g (W/K) and equilibrium t_eq (degC), both (M, Z, N),
    `g_convective` (M, Z, N) the part of g that is convection."""

    g: Floats
    t_eq: Floats
    g_convective: Floats


class Caloric:
    """The line cp = a + b T and its inverse, per member and sample."""

    def __init__(self, a: Floats, b: Floats) -> None:
        self.a, self.b = a, b
        self.t_from_a = a / b

    def cp(self, t_C: Floats) -> Floats:
        return self.a + self.b * t_C

    def tau(self, t_C: Floats) -> Floats:
        return t_C * (self.a + 0.5 * self.b * t_C) / C_REF

    def t(self, tau: Floats) -> Floats:
        root = self.t_from_a
        return np.sqrt(np.maximum(root * root + 2.0 * C_REF / self.b * tau, 0.0)) - root


def backflow(steps: Floats) -> Floats:
    """Upward flow between two bands, over the flow that descends, that mixes like a dispersion.

    Gas that wanders one band down with the share (1 + r) / (1 + 2 r) and one band up with the share
    r / (1 + 2 r) spreads like a dispersion D with D / (u dz) = 2 r (1 + r) / (1 + 2 r). For a given
    x = H / (Pe dz) = D / (u dz) that gives

        r = (x - 1 + (x^2 + 1)^(1/2)) / 2,

    which is x - 1/2 where mixing is strong and x / 2 where it is weak.

    steps: x, any shape, at least 0. Source: mean and variance of a random walk; what the bands make
    of it is held against Danckwerts' solution in the tests.

    >>> backflow(np.array([0.0, 3.0])).round(3).tolist()
    [0.0, 2.581]
    """
    return np.asarray(0.5 * (steps - 1.0 + np.sqrt(steps * steps + 1.0)))


@dataclass(frozen=True, kw_only=True, eq=False)
class Flows:
    """What moves between the bands, kg/s, each (M, N); bands and joints from the top down."""

    top: Floats
    """Into the top band from above: all that a jet or plume brings there, > 0."""
    own: Floats
    """Heat content of the part of `top` that no band gave, kg/s times tau, and heat put into it
    over `C_REF`."""
    drawn: Sequence[Floats]
    """What each band gives to the jet or plume."""
    down: Sequence[Floats]
    up: Sequence[Floats]
    """Through each joint between neighbouring bands; one of the two > 0."""
    fed: Mapping[int, tuple[Floats, Floats]]
    """Gas that comes into a band from outside: (flow, tau)."""


def band_temperatures(
    zones: tuple[int, ...], flows: Flows, t_old: Floats, exchange: Exchange, gas: Caloric
) -> tuple[dict[int, Floats], list[Floats]]:
    """Mean temperature of each zone (degC) and tau of what leaves each band.

    zones: indices of the bands from the top; t_old (M, Z, N) of the last pass. The heat that the
    faces get equals what the bands lose exactly. Source: balance of each band.
    """
    n = len(zones)
    none = np.zeros_like(flows.top)
    part: list[Floats] = []
    hom: list[Floats] = []
    upper: list[Floats] = []
    through: list[Floats] = []
    for i, z in enumerate(zones):
        from_above = flows.top if i == 0 else flows.down[i - 1]
        from_below = flows.up[i] if i < n - 1 else none
        f = from_above + from_below
        if i in flows.fed:
            f = f + flows.fed[i][0]
        t0 = t_old[:, z]
        cp = gas.cp(t0)
        a = np.exp(-exchange.g[:, z] / (f * cp))
        eq = gas.tau(t0) + (exchange.t_eq[:, z] - t0) * cp / C_REF
        through.append(f)
        lower_c = a * from_below / f
        source = (1.0 - a) * eq
        if i in flows.fed:
            flow, tau = flows.fed[i]
            source = source + a * flow * tau / f
        if i == 0:
            part.append(source)
            hom.append(a * from_above / f)
            upper.append(lower_c)
            continue
        above_c = a * from_above / f
        pivot = 1.0 / (1.0 - above_c * upper[i - 1])
        part.append((source + above_c * part[i - 1]) * pivot)
        hom.append(above_c * hom[i - 1] * pivot)
        upper.append(lower_c * pivot)
    for i in range(n - 2, -1, -1):
        part[i] = part[i] + upper[i] * part[i + 1]
        hom[i] = hom[i] + upper[i] * hom[i + 1]
    carried_p = sum((d * p for d, p in zip(flows.drawn, part)), none)
    carried_h = sum((d * h for d, h in zip(flows.drawn, hom)), none)
    top = (flows.own + carried_p) / (flows.top - carried_h)
    taus = [p + h * top for p, h in zip(part, hom)]
    means: dict[int, Floats] = {}
    for i, z in enumerate(zones):
        brought = flows.top * top if i == 0 else flows.down[i - 1] * taus[i - 1]
        if i < n - 1:
            brought = brought + flows.up[i] * taus[i + 1]
        if i in flows.fed:
            flow, tau = flows.fed[i]
            brought = brought + flow * tau
        loss = C_REF * (brought - through[i] * taus[i])
        means[z] = exchange.t_eq[:, z] + loss / exchange.g[:, z]
    return means, taus
