"""A declared core between two walls, solved: its heat closes, and soon."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from stovelint.heat.bands import C_REF
from stovelint.heat.core import Core, follows, leaving_C, smoothed
from stovelint.heat.heater import CONTACT_W_m2K, Heater
from stovelint.heat.network import Drive, Network, Stirred
from stovelint.heat.periodic import Solution, first_guess, solve
from tests.heat.close import close
from tests.heat.small import Wall, drive, network

N, PERIOD_S = 96, 43200.0
CORE = Stirred(zone=0, inlets=(), heat_share="core")


def posed() -> tuple[Network, Drive]:
    """Brick on one side, an insulating wall on the other: they answer unlike."""
    kinds = {"film": "contact", "emissivity": 0.0}
    walls = [
        Wall(layers=((0.15, 1.5e5),), area_m2=2.0, **kinds),  # type: ignore[arg-type]
        Wall(layers=((0.9, 5e4),), area_m2=0.5, **kinds),  # type: ignore[arg-type]
    ]
    net = network(walls, (CORE,), path_m=0.0, flame=0.0)
    lit = np.sin(np.pi * np.minimum(np.arange(N) / 14.0, 1.0)) ** 2
    what = drive(2e4 * lit, 0.001 + 0.02 * lit, PERIOD_S)
    core = Core(
        wall_C=np.array([[260.0]]), exit_C=np.array([[650.0]]),
        late=smoothed(what.heat_W, PERIOD_S), gas=follows(what.heat_W, what.flow_kg_s),
        heat_W=what.heat_W.mean(axis=1, keepdims=True), weight=np.full(N, 1.0 / N),
    )  # fmt: skip
    return net, replace(what, core=core)


def solved(monkeypatch: pytest.MonkeyPatch | None = None) -> Solution:
    net, what = posed()
    if monkeypatch is not None:
        monkeypatch.setattr(Heater, "_core_groups", lambda self, films: [])
    return solve(net, what, chosen=np.arange(N))


def test_heat_of_a_core_goes_to_its_walls_and_with_its_gas() -> None:
    net, what = posed()
    solution = solved()
    assert solution.converged
    taken = float((solution.q_W_m2[0, :2].mean(axis=1) * np.array([2.0, 0.5])).sum())
    released = float(what.heat_W.mean())
    gas = float(solution.gas.exit_W.mean())
    close(taken + gas, released, within=1e-3, because="the passes stop within that",
          source="first law over a cycle")  # fmt: skip
    assert what.core is not None
    face = solution.gas.t_C[:, 0]
    hot = leaving_C(what.core, face)
    assert float(hot.max()) == pytest.approx(650.0)
    # through the joint alone: 25 W/m2K, no rays and no gas between
    through = CONTACT_W_m2K * (face[0] - solution.faces_C[0, 0])
    close(solution.q_W_m2[0, 0].mean(), through.mean(), within=1e-3,
          because="faces rest within 0.1 K", source="law of the slip joint")  # fmt: skip


def test_a_slip_joint_is_that_of_the_notes() -> None:
    close(1.0 / CONTACT_W_m2K, 0.039, within=0.03, because="rounded to a whole W/m2K",
          source="physics notes 4.1: 3 mm at 150 degC, computed")  # fmt: skip


def test_what_hastens_it_does_not_move_it(monkeypatch: pytest.MonkeyPatch) -> None:
    """Limiting case: the correction is nil at rest, so with or without it the answer is one."""
    helped, plain = solved(), solved(monkeypatch)
    assert helped.converged and plain.converged and helped.passes <= plain.passes - 2
    assert np.abs(helped.gas.t_C - plain.gas.t_C).max() < 1.0


def test_what_a_core_gives_back_is_the_mean_by_area_and_film() -> None:
    net, what = posed()
    heater = Heater(net, what)
    state = first_guess(net, what)
    films = np.full((1, 4, N), 25.0)
    films[:, 1] = 50.0  # weights 2 m2 x 25 and 0.5 m2 x 50
    ((faces, weights, back),) = heater.groups(state, films)
    assert faces.tolist() == [0, 1] and back.shape == (N, N)
    close(weights, [2 / 3, 1 / 3], within=1e-12, because="worked by hand exactly",
          source="area times film")  # fmt: skip
    assert what.core is not None
    carried = float(((1.0 - what.core.gas) * what.flow_kg_s * C_REF).mean())
    close(back, np.full((N, N), 75.0 / (75.0 + carried) / N), within=1e-12,
          because="worked by hand exactly", source="share not carried off")  # fmt: skip


def test_a_heater_without_a_core_has_no_such_group() -> None:
    net, what = posed()
    bare = replace(what, core=None)
    assert Heater(net, bare).groups(first_guess(net, bare), np.full((1, 4, N), 25.0)) == []
