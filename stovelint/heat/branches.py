"""Layers that give heat away on the side, in the mean heat flow through a wall.

Only the mean needs more than `layers` has: what comes in with the air is the same all the time,
so every other harmonic sees the channel's A, B, D alone.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Callable, NamedTuple

import numpy as np

if TYPE_CHECKING:
    from stovelint.heat.arrays import Floats
    from numpy.typing import NDArray


class Steady(NamedTuple):
    """Mean heat flow of layers of which some give heat to air, (M,): q1 = a t1 - b t2 - s1,
    q2 = b t1 - d t2 + s2, W/m2."""

    a: Floats
    b: Floats
    d: Floats
    s1: Floats
    s2: Floats


def steady_layer(r_m2K_W: Floats) -> Steady:
    """A layer that gives nothing away."""
    g = 1.0 / r_m2K_W
    nothing = np.zeros_like(g)
    return Steady(g, g, g, nothing, nothing)


def steady_channel(a: Floats, b: Floats, d: Floats, in_C: Floats) -> Steady:
    """A channel whose air comes in at `in_C`."""
    return Steady(a, b, d, (a - b) * in_C, (d - b) * in_C)


def steady_joined(first: Steady, second: Steady) -> Steady:
    """Two layers in contact, `first` on the hot side.

    >>> two = steady_joined(steady_layer(np.array([0.5])), steady_layer(np.array([0.3])))
    >>> two.b.round(3).tolist()
    [1.25]
    """
    inverse = 1.0 / (first.d + second.a)
    give = (first.s2 + second.s1) * inverse
    return Steady(
        first.a - first.b * first.b * inverse, first.b * second.b * inverse,
        second.d - second.b * second.b * inverse, first.s1 + first.b * give,
        second.s2 + second.b * give,
    )  # fmt: skip


def between_C(before: Steady, after: Steady, t1_C: Floats, t2_C: Floats) -> Floats:
    """Mean temperature of the plane between two chains, from those of the outer faces."""
    return (before.b * t1_C + after.b * t2_C + before.s2 + after.s1) / (before.d + after.a)


def given_W_m2(wall: Steady, t1_C: Floats, t2_C: Floats) -> Floats:
    """Mean heat that the air in a wall takes, per unit of the wall's area."""
    return (wall.a - wall.b) * t1_C + (wall.d - wall.b) * t2_C - wall.s1 - wall.s2


def offsets_C(wall: Steady, film_1: Floats, film_2: Floats) -> tuple[Floats, Floats]:
    """What the channels' air adds to the mean of the two faces between films (Robin conditions),
    over the answer of `layers.face_response` to the drives."""
    left, right = wall.a + film_1, wall.d + film_2
    scale = 1.0 / (left * right - wall.b * wall.b)
    return (right * wall.s1 + wall.b * wall.s2) * scale, (
        wall.b * wall.s1 + left * wall.s2
    ) * scale


class Branches(NamedTuple):
    """All channels at given faces, each (M, K), per unit of hot-face area of their wall."""

    a: Floats
    b: Floats
    d: Floats
    in_C: Floats


@dataclass(frozen=True, kw_only=True, eq=False)
class Channels:
    """The layers of a network that are channels."""

    layers: NDArray[np.int64]
    """(K,) their running indices."""
    walls: NDArray[np.int64]
    """(K,) the wall of each."""
    reckon: Callable[[Floats, Floats, Floats], Branches]
    """(t_hot_C, t_cold_C (M, K), room_C (M, 1)) -> what they do."""
