"""A bought core of which only two temperatures are known: its hottest outer face, and its gas.

What burns in it leaves with the gas at the declared temperature or through its outer face; nothing
else is known of it. The face follows the fire late and long: its rise over the room is that of the
declared peak times u^p, with u the heat of the fire smoothed by a body of `HOLD_S`, 1 at its crest.
The one free number p, how quickly the core lets go, is the one with which heat in and heat out of
the core agree over the cycle. So the peak and the heat are as declared, and only the hours between
are the model's. Where no p within its ends does it, heat goes before the leaflet: the rise of the
face is scaled as a whole, and `excess` tells by how much.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from stovelint.heat.bands import C_REF, Caloric

Floats = NDArray[np.float64]

HOLD_S = 5400.0
"""Time constant of the smoothing (judgement: half a finger of warmth through 5 to 10 cm of castable
takes an hour or two); p makes of it what the heat asks for."""
QUICKEST, SLOWEST = 6.0, 0.08
"""Ends of p: a face that cools with a quarter of an hour, as steel does, and one that takes 19 h, as
half a ton of castable behind a jacket does (judgement)."""
STEPS = 40


@dataclass(frozen=True, kw_only=True, eq=False)
class Core:
    """What is declared of a core and how its fire burns, over M cases and N samples."""

    wall_C: Floats
    exit_C: Floats
    """(M, 1) peaks of its outer face and of the gas that leaves it."""
    late: Floats
    """(M, N) u, above 0."""
    gas: Floats
    """(M, N) rise of the leaving gas over its peak: 1 at the height of the fire."""
    heat_W: Floats
    """(M, 1) mean over the cycle of what burns."""
    weight: Floats
    """(N,) of each sample in a mean over the cycle."""


def smoothed(heat_W: Floats, period_s: float) -> Floats:
    """The fire as a body of `HOLD_S` feels it, over its crest.

    Exact for heat that is even within each sample: y' = (x - y) / HOLD_S, periodic.

    heat_W: (M, N), >= 0, not all 0; period_s: of the N samples. Source: first-order lag.

    >>> smoothed(np.array([[1.0, 0.0, 0.0, 0.0]]), 4 * 5400.0).round(3).tolist()
    [[1.0, 0.368, 0.135, 0.05]]
    """
    n = heat_W.shape[1]
    step = period_s / n / HOLD_S
    fade = np.exp(-step * np.arange(n)) * (1.0 - np.exp(-step)) / (1.0 - np.exp(-step * n))
    lagged = np.fft.irfft(np.fft.rfft(heat_W, axis=1) * np.fft.rfft(fade), n=n, axis=1)
    floor = 1e-6 * lagged.max(axis=1, keepdims=True)
    return np.asarray(np.maximum(lagged, floor) / lagged.max(axis=1, keepdims=True))


def follows(heat_W: Floats, flow_kg_s: Floats) -> Floats:
    """Rise of the leaving gas over that at the height of the fire: heat per gas, (M, N)."""
    rise = heat_W / np.maximum(flow_kg_s, 1e-9)
    crest = np.take_along_axis(rise, heat_W.argmax(axis=1)[:, None], axis=1)
    return np.asarray(np.clip(rise / crest, 0.0, 1.0))


def leaving_C(core: Core, face_C: Floats) -> Floats:
    """Gas that leaves, (M, N): as declared at the height of the fire, as warm as the face (M, N)
    when it is out, and between them by its share w: w exit + (1 - w) face.

    >>> one = np.ones((1, 1))
    >>> core = Core(wall_C=260 * one, exit_C=650 * one, late=one, gas=0.5 * one, heat_W=one,
    ...             weight=one[0])
    >>> leaving_C(core, 250 * one).tolist()
    [[450.0]]
    """
    return np.asarray(core.gas * core.exit_C + (1.0 - core.gas) * face_C)


def core_pass(
    core: Core, flow_kg_s: Floats, room_C: Floats, tau_in: Floats, face_C: Floats, g: Floats,
    t_eq: Floats, gas: Caloric,
) -> tuple[Floats, Floats]:  # fmt: skip
    """Outer face (degC) and tau of the leaving gas, each (M, N).

    Gas leaves as `leaving_C` says. The face closes
    mean(g (face - t_eq)) = mean heat - mean(m c (tau_out - tau_in)) by its p, and past the ends of
    p by its scale.

    flow_kg_s (M, N); room_C (M, 1); tau_in of what it draws (M, N); face_C of the last pass (M, N);
    g (W/K) and t_eq (degC) of what touches the face (M, N). Source: first law.
    """
    tau = gas.tau(leaving_C(core, face_C))
    carried = (C_REF * flow_kg_s * (tau - tau_in)) @ core.weight
    kept = core.heat_W[:, 0] - carried
    log = np.log(core.late)
    rise = core.wall_C - room_C
    offered = (g * (t_eq - room_C)) @ core.weight + kept
    strength = g * rise * core.weight
    low = np.full(len(face_C), np.log(SLOWEST))
    high = np.full(len(face_C), np.log(QUICKEST))
    for _ in range(STEPS):
        middle = 0.5 * (low + high)
        given = (strength * np.exp(np.exp(middle)[:, None] * log)).sum(axis=1)
        more = given > offered
        low, high = np.where(more, middle, low), np.where(more, high, middle)
    course = np.exp(np.exp(0.5 * (low + high))[:, None] * log)
    scale = offered / (strength * course).sum(axis=1)
    return room_C + scale[:, None] * rise * course, tau


def excess(core: Core, face_C: Floats, room_C: Floats) -> Floats:
    """Peak rise of the face (M, N) over the declared one, (M,): 1 where both agree."""
    peak = face_C.max(axis=1) - room_C[:, 0]
    return np.asarray(peak / (core.wall_C - room_C)[:, 0])
