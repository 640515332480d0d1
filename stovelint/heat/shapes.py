"""Bodies through which heat does not run straight: their conduction shape factors.

A shape factor S (m) gives the steady heat flow between two surfaces, each at one temperature, in
a body of one conductivity: Q = k S (T1 - T2). Formulas: textbooks (Incropera; Carslaw and Jaeger;
recalled), each checked in the tests against an exact case, finite elements or another library.
"""

from __future__ import annotations

from math import log, pi
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

if TYPE_CHECKING:
    from stovelint.heat.arrays import Floats, Numbers

EDGE = 1.0 - 2.0 / pi * log(2.0)
"""Shape factor of the edge between two walls of equal thickness, per length of the edge (-): what
the flow is more than that of the two flat walls measured inside. Exact for long walls (conformal
mapping; recalled): 0.559; textbooks round to 0.54."""
CORNER_PER_THICKNESS = 0.15
"""Shape factor of the corner where three walls meet, over their thickness (-): textbook value for
0.54 t per edge (Incropera; recalled)."""
TURNS = 60
"""Images to either side; the last is below 1e-7 for a mass up to ten times as wide as high."""
STEP = 1e-4
"""Part of the nearest distance by which a pipe is moved to see how its radius changes: the error
of the slope is of the square of it."""


def edges_and_corners(thickness_m: Numbers, edges_m: Numbers, corners: Numbers = 0.0) -> Floats:
    """What the edges and corners of a box add to the shape factor of its flat walls, m.

    S = EDGE x (length of the edges inside) + 0.15 t x (corners where three walls meet).

    thickness_m: of the walls, m, > 0; edges_m: total, m, >= 0; corners: their number; all
    broadcast. For walls at least as long inside as they are thick (within 1 % then).

    >>> print(f"{edges_and_corners(0.1, 1.0, 0.0):.3f} {edges_and_corners(0.1, 0.0, 8.0):.3f}")
    0.559 0.120
    """
    return np.asarray(EDGE * np.asarray(edges_m) + CORNER_PER_THICKNESS * thickness_m * corners)


def cylinder_shell(inner_m: Numbers, outer_m: Numbers, around: Numbers = 1.0) -> Floats:
    """Shape factor of a round wall or vault per length, -: S = 2 pi / ln(b / a) x share. Exact.

    inner_m, outer_m: radii a, b, m, 0 < a < b; around: share of the full round (a barrel vault:
    0.5); all broadcast.

    >>> print(f"{cylinder_shell(0.5, 0.7):.3f}")
    18.674
    """
    return np.asarray(2.0 * pi * around / np.log(np.asarray(outer_m) / inner_m))


def sphere_shell(inner_m: Numbers, outer_m: Numbers, around: Numbers = 1.0) -> Floats:
    """Shape factor of a dome, m: S = 4 pi a b / (b - a) x share. Exact.

    inner_m, outer_m: radii a, b, m, 0 < a < b; around: share of the full sphere (a half dome: 0.5);
    all broadcast.

    >>> print(f"{sphere_shell(0.5, 0.7, 0.5):.3f}")
    10.996
    """
    a, b = np.asarray(inner_m, dtype=np.float64), np.asarray(outer_m, dtype=np.float64)
    return np.asarray(4.0 * pi * around * a * b / (b - a))


def pipe_under_plane(diameter_m: Numbers, depth_m: Numbers) -> Floats:
    """Shape factor of a long pipe under one face, per length, -: S = 2 pi / arcosh(2 z / D). Exact.

    diameter_m: D; depth_m: z of its axis under the face, > D / 2; m; both broadcast.

    >>> print(f"{pipe_under_plane(0.15, 0.30):.3f}")
    3.045
    """
    return np.asarray(2.0 * pi / np.arccosh(2.0 * np.asarray(depth_m) / diameter_m))


def pipe_in_slab(diameter_m: Numbers, thickness_m: Numbers) -> Floats:
    """Shape factor of a long pipe midway in a slab, per length, -: S = 2 pi / ln(4 s / pi D).

    diameter_m: D; thickness_m: s between the faces, m, > 2 D (within 1 % then); both broadcast.

    >>> print(f"{pipe_in_slab(0.15, 0.60):.3f}")
    3.860
    """
    return np.asarray(2.0 * pi / np.log(4.0 * np.asarray(thickness_m) / (pi * diameter_m)))


def pipe_row(diameter_m: Numbers, depth_m: Numbers, apart_m: Numbers) -> Floats:
    """Shape factor of each of many equal pipes in a row under a face, per length, -.

    S = 2 pi / ln[(2 w / pi D) sinh(2 pi z / w)]: with w large one pipe alone, with w small the flat
    wall of width w and thickness z.

    diameter_m: D; depth_m: z of the axes under the face; apart_m: w between axes; m, z > D, w > 2 D
    (within 1 % then); all broadcast.

    >>> print(f"{pipe_row(0.15, 0.30, 0.60):.3f}")
    1.858
    """
    apart = np.asarray(apart_m, dtype=np.float64)
    across = 2.0 * pi * depth_m / apart
    # ln sinh x = x + ln(1 - e^-2x) - ln 2 does not overflow for a deep row of near pipes
    sinh = across + np.log1p(-np.exp(-2.0 * across)) - log(2.0)
    return np.asarray(2.0 * pi / (np.log(2.0 * apart / (pi * diameter_m)) + sinh))


def eccentric_pipes(inner_m: Numbers, outer_m: Numbers, off_m: Numbers) -> Floats:
    """Shape factor of a pipe in a round mass, off its middle, per length, -. Exact.

    S = 2 pi / arcosh[(D^2 + d^2 - 4 e^2) / (2 D d)].

    inner_m, outer_m: diameters d, D; off_m: e between the axes, m, 2 e < D - d; all broadcast.

    >>> print(f"{eccentric_pipes(0.15, 0.60, 0.10):.3f}")
    4.991
    """
    d, big = np.asarray(inner_m, dtype=np.float64), np.asarray(outer_m, dtype=np.float64)
    inside = (big * big + d * d - 4.0 * np.asarray(off_m) ** 2) / (2.0 * big * d)
    return np.asarray(2.0 * pi / np.arccosh(inside))


class Mass(NamedTuple):
    """Distances of a pipe's axis to the four faces of the mass around it, m, > 0; inf: no face."""

    left: float
    right: float
    below: float
    above: float


class Buried(NamedTuple):
    """A pipe in a mass: shape factor per length (-), and the share of its heat that leaves through
    left, right, lower and upper face when all are equally cold."""

    factor: float
    shares: tuple[float, float, float, float]


def conformal_radius_m(mass: Mass) -> float:
    """Radius of the round mass that would hold a thin pipe's heat back as this one does, m.

    S = 2 pi / ln(rho / r) for r -> 0. Images of the pipe in the upright faces, each with the exact
    answer of the slab between the level ones; exact. Half space: 2 z; middle of a slab: 2 s / pi;
    middle of a square of side s: 0.5394 s. All faces at inf is no mass: ValueError.

    >>> print(f"{conformal_radius_m(Mass(0.3, 0.3, 0.3, 0.3)):.4f}")
    0.3236
    """
    sides, level = _across(mass)
    if min(sides) == np.inf and min(level) == np.inf:
        raise ValueError("a pipe without any face has no shape factor")
    near, far = min(sides), max(sides)
    if near == np.inf:
        away, signs = np.empty(0), np.empty(0)
    elif far == np.inf:
        away, signs = np.array([2.0 * near]), np.array([-1.0])
    else:
        turns = 2.0 * (near + far) * np.arange(-TURNS, TURNS + 1)
        away = np.concatenate([turns[turns != 0.0], turns - 2.0 * near])
        signs = np.repeat([1.0, -1.0], [2 * TURNS, 2 * TURNS + 1])
    images = float((signs * _slab_potential(away, level)).sum())
    return float(np.exp(log(_slab_radius_m(level)) + images))


def _across(mass: Mass) -> tuple[tuple[float, float], tuple[float, float]]:
    """The pair of faces to be mirrored in, and the pair the exact slab lies between: the nearer
    pair, whose images then fade fast."""
    upright, level = (mass.left, mass.right), (mass.below, mass.above)
    return (level, upright) if sum(upright) < sum(level) else (upright, level)


def _slab_radius_m(level: tuple[float, float]) -> float:
    near, far = min(level), max(level)
    if near == np.inf:
        return 1.0  # the unit of length cancels against that of the one image
    if far == np.inf:
        return 2.0 * near
    height = near + far
    return float(2.0 * height / pi * np.sin(pi * near / height))


def _slab_potential(away_m: Floats, level: tuple[float, float]) -> Floats:
    """Of a line source at a distance along the slab, at its own height: 2 pi k T / Q."""
    near, far = min(level), max(level)
    if near == np.inf:
        return np.asarray(-np.log(np.abs(away_m)))
    if far == np.inf:
        return np.asarray(0.5 * np.log1p((2.0 * near / away_m) ** 2))
    height = near + far
    rise = 1.0 - np.cos(2.0 * pi * near / height)
    along = np.minimum(pi * np.abs(away_m) / height, 300.0)
    return np.asarray(0.5 * np.log1p(rise / (np.cosh(along) - 1.0)))


def shares_of_source(mass: Mass) -> tuple[float, float, float, float]:
    """Shares of a thin pipe's heat that leave left, right, below and above (harmonic measure).

    Exact: a face between two others at right angles is mirrored in them, each image with the
    closed answer of the slab. Single faces of a pair take what the others leave.

    >>> print([round(x, 3) for x in shares_of_source(Mass(0.5, 0.5, 0.2, 0.4))])
    [0.08, 0.08, 0.584, 0.256]
    """
    upright, level = (mass.left, mass.right), (mass.below, mass.above)
    if max(upright) == np.inf and max(level) != np.inf:
        below, above = _through(level, upright), _through(level[::-1], upright)
        rest = 1.0 - below - above
        left, right = (rest, 0.0) if mass.left < mass.right else (0.0, rest)
        return left, right, below, above
    left, right = _through(upright, level), _through(upright[::-1], level)
    if max(level) == np.inf:
        rest = 1.0 - left - right
        below, above = (rest, 0.0) if mass.below < mass.above else (0.0, rest)
        return left, right, below, above
    return left, right, _through(level, upright), _through(level[::-1], upright)


def _through(pair: tuple[float, float], sides: tuple[float, float]) -> float:
    """Share through the first face of a pair; `sides`: the faces at right angles to it."""
    if pair[0] == np.inf:
        return 0.0

    def beside(x_m: Floats) -> Floats:
        """Share through the face from the foot of the pipe to x along it."""
        if pair[1] == np.inf:
            return np.asarray(np.arctan(x_m / pair[0]) / pi)
        half = 0.5 * pi / (pair[0] + pair[1])
        return np.asarray(np.arctan(np.tanh(half * x_m) / np.tan(half * pair[0])) / pi)

    near, far = min(sides), max(sides)
    if near == np.inf:
        return 2.0 * float(beside(np.array(np.inf)))
    if far == np.inf:
        return 2.0 * float(beside(np.array(near)))
    turns = np.arange(-TURNS, TURNS + 2, dtype=np.float64)
    steps = np.diff(beside(np.asarray(turns * (near + far) - near)))
    return max(float((np.where(turns[:-1] % 2.0 == 0.0, 1.0, -1.0) * steps).sum()), 0.0)


def buried_pipe(diameter_m: float, mass: Mass) -> Buried:
    """A long pipe anywhere in a rectangular mass, whose faces are all of one temperature.

    S = 2 pi / arcosh{[rho / r + (r / rho)(1 - g^2 / 4)] / 2} with rho the conformal radius and g
    its slope over the pipe's place. Exact for a round mass (eccentric too), a half space, and for
    every thin pipe; within 1 % of finite elements while the nearest face lies half a radius or more
    off the pipe. The shares are those of a line source that lies r^2 g / (2 rho) nearer to the near
    face than the axis.

    diameter_m: D = 2 r, m, > 0; mass: distances of the axis, m, > r. ValueError when a face cuts
    the pipe or there is none. Source: derived here from the exact cases named.

    >>> factor, shares = buried_pipe(0.15, Mass(0.3, 0.3, 0.3, 0.3))
    >>> print(f"{factor:.3f} {shares[0]:.3f}")
    4.298 0.250
    """
    r = 0.5 * diameter_m
    if min(mass) <= r:
        raise ValueError("a face of the mass cuts the pipe")
    rho = conformal_radius_m(mass)
    step = STEP * min(mass)
    x_slope, y_slope = (
        (conformal_radius_m(_moved(mass, x, y)) - conformal_radius_m(_moved(mass, -x, -y)))
        / (2.0 * step)
        for x, y in ((step, 0.0), (0.0, step))
    )
    steep = 1.0 - 0.25 * (x_slope**2 + y_slope**2)
    factor = 2.0 * pi / float(np.arccosh(0.5 * (rho / r + r / rho * steep)))
    nearer = -r * r / (2.0 * rho)
    source = _moved(mass, nearer * x_slope, nearer * y_slope)
    return Buried(factor, shares_of_source(source))


def _moved(mass: Mass, right_m: float, up_m: float) -> Mass:
    return Mass(mass.left + right_m, mass.right - right_m, mass.below + up_m, mass.above - up_m)
