"""The referee's own pieces against exact cases, before it judges anyone."""

from __future__ import annotations

import math

import numpy as np
import pytest

from tests.heat.close import close
from tests.referee.fire import Fire
from tests.referee.geometry import Wall
from tests.referee.march import Secant
from tests.referee.radiation import bell_exchange
from tests.referee.read import Layer, Part, number, read_plan
from tests.referee.stacks import leaves_of
from tests.referee.walls import Probe, Walls
from tests.tree import ROOT

PLAN = ROOT / "fixtures" / "plans" / "ferry-house.heater.yaml"


@pytest.mark.parametrize(
    ("text", "expected"),
    [("4 1/2 in", 0.1143), ('4-1/2"', 0.1143), ("3 ft 6 in", 1.0668), ("-5 degC", -5.0),
     ("50 degF", 10.0), ("600 cm2", 0.06), ("80 min", 4800.0), ("18 %", 0.18)],
)  # fmt: skip
def test_quantities(text: str, expected: float) -> None:
    assert number(text) == pytest.approx(expected, rel=1e-12)


def test_what_is_burned_is_what_was_laid() -> None:
    """Ten kilograms of pine at 18 %: lower heating value 16.71 MJ/kg by the formula of the notes,
    46.4 kWh."""
    plan = read_plan(PLAN)
    fire = Fire(plan, plan.firings["usual"])
    step = 10.0
    burned = sum(fire.rate(t + 0.5 * step) for t in np.arange(0.0, fire.period, step)) * step
    close(burned, 10.0, within=1e-3, because="a sum of ten-second steps over a curve with kinks",
          source="charge of the plan")  # fmt: skip
    close(fire.lower_J_kg / 1e6, 16.71, within=1e-3, because="written out to four digits",
          source="heating-value formula of the wood-fuel notes, by hand")  # fmt: skip


def test_all_that_leaves_a_band_meets_something() -> None:
    edges = np.array([1.65, 1.5, 1.2, 0.9, 0.6, 0.3, 0.0])
    bands = np.array([0.5, 1.0, 1.1, 1.6, 1.6, 1.2])
    exchange = bell_exchange(edges, 0.35, bands, 0.75, 0.33)
    whole = bands + np.array([0.75, 0.0, 0.0, 0.0, 0.0, 0.33])
    close(exchange.sum(axis=1), whole, within=1e-9, because="closed to rounding by construction",
          source="closure of an enclosure")  # fmt: skip
    np.testing.assert_allclose(exchange, exchange.T, rtol=1e-9)  # reciprocity
    assert (exchange > 0.0).all()


def brick_wall() -> Wall:
    """0.4 m of brick between a chamber and the room."""
    brick = Layer(material="clay-brick-common", thickness=0.4, filled=False)
    part = Part(
        name="wall", kind="wall", bounds=("bell",), faces="room", sides=(), low=None, high=None,
        along=None, area=1.0, layers=(brick,),
    )  # fmt: skip
    return Wall(
        parts=(part,), chamber="bell", low=0.0, high=1.0, along=None, hot=0, cold="room", area=1.0,
        growth=0.0, hot_film="upright", cold_film="upright", hot_length=1.0, cold_length=1.0,
        jet=False,
    )  # fmt: skip


def test_a_thick_wall_under_a_constant_flow() -> None:
    """Face T = 2 (q/k) sqrt(a t / pi), depth by ierfc (Carslaw and Jaeger): 1 kW/m2 for half an
    hour on brick, k 0.78, rho c 1760 * 800, the far face held."""
    wall = brick_wall()
    walls = Walls([wall], [leaves_of(wall)])
    walls.set_properties([np.array([20.0, 20.0])])
    cells, q = np.zeros((1, walls.n)), np.array([[1000.0, 0.0]])
    stage = walls.stage(10.0)
    for _ in range(180):
        cells = np.einsum("wij,wj->wi", stage.inverse, stage.store * cells)
        cells += stage.inverse[:, :, 0] * q[:, :1]
    t, k = 1800.0, 0.78
    root = math.sqrt(k / (1760.0 * 800.0) * t)
    faces = walls.faces(cells, q)
    within = Probe(walls, 0, 0.01)
    nodes = np.concatenate([faces[:, :1], cells, faces[:, 1:]], axis=1)[0]
    u = 0.01 / (2.0 * root)
    depth = 2.0 * 1000.0 / k * root * (math.exp(-u * u) / math.sqrt(math.pi) - u * math.erfc(u))
    close([faces[0, 0], within.weights @ nodes],
          [2.0 * 1000.0 / k * root / math.sqrt(math.pi), depth], within=5e-3,
          because="cells of 4 mm and first-order steps of 10 s; halving both halves it",
          source="Carslaw and Jaeger, semi-infinite solid under constant flux, recalled")


def test_the_secant_solves_a_line_in_two_looks() -> None:
    """x = 1 - 0.9 x by plain rounds takes fifty; a straight line is met at once."""
    secant, x = Secant(), np.array([5.0])
    for _ in range(3):
        x = secant.next(x, 1.0 - 0.9 * x)
    assert float(x[0]) == pytest.approx(1.0 / 1.9, rel=1e-9)


