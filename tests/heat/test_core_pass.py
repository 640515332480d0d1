"""A declared core: heat in is heat out, within the leaflet and past it."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray

from stovelint.heat.bands import C_REF, Caloric
from stovelint.heat.core import QUICKEST, SLOWEST, Core, core_pass, excess, follows, smoothed
from tests.heat.close import close

Floats = NDArray[np.float64]

N, PERIOD_S = 48, 43200.0
LIT = np.sin(np.pi * np.minimum(np.arange(N) / 8.0, 1.0)) ** 2
HEAT = np.array([[9e3], [1.2e4]]) * LIT + np.array([[0.0], [200.0]])
FLOW = 0.002 + 0.014 * LIT * np.ones((2, 1))
ROOM_C = np.array([[20.0], [23.0]])
GAS = Caloric(np.array([[1040.0]]), np.array([[0.18]]))
WEIGHT = np.full(N, 1.0 / N)


def declared(wall_C: float = 180.0, exit_C: float = 320.0, fire: float = 1.0) -> Core:
    ones = np.ones((2, 1))
    return Core(
        wall_C=wall_C * ones, exit_C=exit_C * ones, late=smoothed(HEAT, PERIOD_S),
        gas=follows(HEAT, FLOW), heat_W=fire * HEAT.mean(axis=1, keepdims=True), weight=WEIGHT,
    )  # fmt: skip


FACE = 60.0 + 40.0 * LIT * np.ones((2, 1))
TAU_IN = GAS.tau(ROOM_C + 0.0 * FLOW)
G = 12.0 + 3.0 * LIT * np.ones((2, 1))
T_EQ = 30.0 + 10.0 * LIT * np.ones((2, 1))


def passed(core: Core) -> tuple[Floats, Floats]:
    return core_pass(core, FLOW, ROOM_C, TAU_IN, FACE, G, T_EQ, GAS)


@pytest.mark.parametrize("fire", [0.6, 1.0, 1.6, 3.0])
def test_heat_that_does_not_leave_with_the_gas_leaves_through_the_face(fire: float) -> None:
    face, tau = passed(declared(fire=fire))
    gas = (FLOW * C_REF * (tau - TAU_IN)).mean(axis=1)
    through = (G * (face - T_EQ)).mean(axis=1)
    close(gas + through, fire * HEAT.mean(axis=1), within=1e-9,
          because="closed by its own scale, rounding left", source="first law")  # fmt: skip


def test_gas_is_as_declared_in_the_fire_and_as_the_face_after_it() -> None:
    core = declared()
    _, tau = passed(core)
    crest = HEAT[0].argmax()
    close(GAS.t(tau)[:, crest], [320.0, 320.0], within=1e-9, because="one linear mix",
          source="the declared temperature")  # fmt: skip
    close(GAS.t(tau)[0, 20:], FACE[0, 20:], within=1e-9, because="no fire, no heat but the core's",
          source="the face of the last pass")  # fmt: skip
    share = core.gas[1, 30]
    assert 0.0 < share < 0.2
    close(GAS.t(tau)[1, 30], 23.0 + share * 297.0 + (1.0 - share) * 37.0, within=1e-9,
          because="one linear mix", source="room and shares by hand")  # fmt: skip


def by_hand(core: Core, p: float, row: int) -> Floats:
    return np.asarray(ROOM_C[row] + (core.wall_C[row] - ROOM_C[row]) * core.late[row] ** p)


def kept_W(core: Core) -> Floats:
    return np.asarray(core.heat_W[:, 0] - (FLOW * C_REF * (passed(core)[1] - TAU_IN)).mean(axis=1))


def test_within_the_leaflet_the_peak_is_as_declared() -> None:
    """Take p = 0.7 and give the core just the heat that its face then sheds: both come back."""
    core = declared()
    for row, p in enumerate((0.7, 2.0)):
        face = by_hand(core, p, row)
        shed = float((G[row] * (face - T_EQ[row])).mean())
        fire = 1.0 + (shed - kept_W(core)[row]) / core.heat_W[row, 0]
        other = declared(fire=fire)
        found, _ = passed(other)
        close(found[row], face, within=1e-6, because="forty halvings of the range of log p",
              source="the law of the face, p chosen by hand")  # fmt: skip
        close(excess(other, found, ROOM_C)[row], 1.0, within=1e-6,
              because="forty halvings of the range of log p", source="the declared peak")  # fmt: skip


@pytest.mark.parametrize("slow", [True, False])
def test_past_the_leaflet_heat_goes_first(slow: bool) -> None:
    """Twice what the slowest face sheds at its declared peak, and half of what the quickest does:
    the course of that end, scaled as a whole."""
    core, p = declared(), SLOWEST if slow else QUICKEST
    for row in range(2):
        face = by_hand(core, p, row)
        shed = float((G[row] * (face - T_EQ[row])).mean())
        still = float((G[row] * (ROOM_C[row] - T_EQ[row])).mean())
        wanted = still + (2.0 if slow else 0.5) * (shed - still)
        other = declared(fire=1.0 + (wanted - kept_W(core)[row]) / core.heat_W[row, 0])
        found, _ = passed(other)
        close(found[row], ROOM_C[row] + (2.0 if slow else 0.5) * (face - ROOM_C[row]), within=1e-6,
              because="forty halvings towards the end", source="scaled by hand")  # fmt: skip
        close(excess(other, found, ROOM_C)[row], 2.0 if slow else 0.5, within=1e-6,
              because="forty halvings towards the end", source="scaled by hand")  # fmt: skip
