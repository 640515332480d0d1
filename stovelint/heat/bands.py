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
    drawn: Sequence[Floats] | Floats
    """What each band gives to the jet or plume."""
    down: Sequence[Floats] | Floats
    up: Sequence[Floats] | Floats
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
    n, index = len(zones), list(zones)
    # bands first: what one band has over all members and samples then lies side by side
    t0, g, t_eq = (part.swapaxes(0, 1)[index] for part in (t_old, exchange.g, exchange.t_eq))
    above, below = np.empty_like(t0), np.empty_like(t0)
    above[0], below[-1] = flows.top, 0.0
    if n > 1:
        above[1:], below[:-1] = flows.down, flows.up
    through = above + below
    for i, (flow, _) in flows.fed.items():
        through[i] += flow
    cp = gas.cp(t0)
    left = np.exp(-g / (through * cp))
    source = (1.0 - left) * (gas.tau(t0) + (t_eq - t0) * cp / C_REF)
    left /= through
    for i, (flow, tau) in flows.fed.items():
        source[i] += left[i] * flow * tau
    from_above, from_below = left * above, left * below
    # what is left of each band's equation by elimination from the top: in place
    part, hom, upper = source, from_above.copy(), from_below
    for i in range(1, n):
        pivot = 1.0 / (1.0 - from_above[i] * upper[i - 1])
        part[i] = (source[i] + from_above[i] * part[i - 1]) * pivot
        hom[i] = from_above[i] * hom[i - 1] * pivot
        upper[i] *= pivot
    for i in range(n - 2, -1, -1):
        part[i] += upper[i] * part[i + 1]
        hom[i] += upper[i] * hom[i + 1]
    drawn = np.asarray(flows.drawn)
    top = (flows.own + (drawn * part).sum(axis=0)) / (flows.top - (drawn * hom).sum(axis=0))
    taus = part + hom * top
    brought = np.empty_like(t0)
    brought[0] = flows.top * top
    brought[1:] = above[1:] * taus[:-1]
    brought[:-1] += below[:-1] * taus[1:]
    for i, (flow, tau) in flows.fed.items():
        brought[i] += flow * tau
    loss = C_REF * (brought - through * taus)
    means = t_eq + loss / g
    return {z: means[i] for i, z in enumerate(zones)}, list(taus)
