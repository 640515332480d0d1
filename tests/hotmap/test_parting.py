"""Splits that the plan leaves to the gas: each way from the split to the join costs the same."""

from __future__ import annotations

import copy
import subprocess
import sys
from typing import Any

import fluids
import numpy as np
import pytest
from scipy.optimize import brentq

from stovelint.assemble import assemble_tree
from stovelint.build import Build
from stovelint.catalogue.catalogue import Catalogue
from stovelint.errors import BuildFileError
from stovelint.hotmap.collect import energy
from stovelint.hotmap.compute import Solver, hot_map
from stovelint.hotmap.layerheat import Run
from stovelint.hotmap.parting import LOSS
from stovelint.hotmap.zones import rooms
from stovelint.place import Mistake
from stovelint.source import read_plan
from tests.heat.close import close
from tests.tree import ROOT

NAME = "tests/hotmap/gas/two-bells.heater.yaml"
PLAN = read_plan(str(ROOT / NAME), NAME)


def built(*changes: tuple[tuple[str, ...], object]) -> Build:
    tree: Any = copy.deepcopy(dict(PLAN.tree))
    for path, value in changes:
        holder = tree
        for step in path[:-1]:
            holder = holder[step]
        holder[path[-1]] = value
    return assemble_tree(tree, PLAN.places)


def middle(build: Build) -> Run:
    _, runs = Solver(Catalogue(), states=("usual",), members=1)._runs(build, None)
    (run,) = runs.values()
    return run


def burn_means(run: Run) -> tuple[Any, float]:
    """Zones (Z,), degC, and flow, kg/s, while the full flow passes."""
    flow = run.drive.flow_kg_s[0]
    lit = flow > 0.5 * flow.max()
    return run.solution.gas.t_C[0][:, lit].mean(axis=1), float(flow[lit].mean())


def test_the_split_is_that_of_a_hand_reckoning() -> None:
    """Both ways from the firebox (ports at 0.7 m) to the flue (ports at 0.1 m), written out.

    Pressures along a way: into the port and out of it (sharp edges), down the bell (friction), into
    the flue and out (and a right angle), less the weight of 0.6 m of the bell's gas, which presses
    downwards.
    """
    run = middle(built())
    t, m = burn_means(run)
    g, section = 9.80665, 0.7 * 0.7

    def rho(celsius: float) -> float:
        return 353.0 / (celsius + 273.15)

    fire = rho(t[0])

    def cost(share: float, first: int, edges: list[float], out_m2: float, height: float) -> float:
        flow = share * m
        bands = t[first : first + len(edges) - 1]
        weight = sum(
            g * rho(band) * max(0.0, min(high, 0.7) - max(low, 0.1))
            for band, high, low in zip(bands, edges, edges[1:])
        )
        into = 0.5 * (1.0 - 0.02 / 0.16) + (1.0 - 0.02 / section) ** 2
        pressure = into * (flow / 0.02) ** 2 / (2.0 * fire) - weight
        mean = float(bands.mean())
        nu = 1.5e-5 * ((mean + 273.15) / 293.15) ** 1.75  # air, to a few per cent
        f = fluids.friction_factor(Re=flow / section / rho(mean) * 0.7 / nu, eD=0.002 / 0.7)
        pressure += f * height / 0.7 * (flow / section) ** 2 / (2.0 * rho(mean))
        out = 0.5 * (1.0 - out_m2 / section) + (1.0 - out_m2 / 0.04) ** 2 + 1.2
        return float(pressure + out * (flow / out_m2) ** 2 / (2.0 * rho(bands[-1])))

    edges = {}
    for name in ("tall", "low"):
        zones = rooms(built())[name].zones
        edges[name] = (zones[0].index, [zones[0].high_m] + [z.low_m for z in zones])
    share = brentq(
        lambda s: cost(s, *edges["tall"], 0.02, 1.6) - cost(1.0 - s, *edges["low"], 0.01, 1.0),
        0.01, 0.99,
    )  # fmt: skip
    close(run.net.way_flow[1][0, 0], share, within=0.005,
          because="shares are found to 0.002, the bend is 1.2 by its formula to 0.3 %",
          source="balance of pressures written out for two ways")  # fmt: skip
    assert run.net.way_flow[2][0, 0] == pytest.approx(1.0 - run.net.way_flow[1][0, 0])
    assert run.net.way_flow[3][0, 0] == pytest.approx(1.0)  # the join


def test_heat_is_accounted_for_in_every_case() -> None:
    heat = hot_map(built(), Catalogue(), states=("usual",))
    cycle = heat.cycles["usual"]
    assert cycle.energy_gap <= 1e-3 and heat.unsolved == ()
    tall, low = cycle.way_shares["firebox", "tall"], cycle.way_shares["firebox", "low"]
    assert np.allclose(tall.values + low.values, 1.0)
    assert 0.05 > tall.high - tall.mid > 0.01  # what a port takes is not known better
    assert set(cycle.way_shares) == {("firebox", "tall"), ("firebox", "low")}


def test_heat_by_hand_at_the_join() -> None:
    """What the two bells hand over is what the flue gets: mixed by their flows."""
    run = middle(built())
    released, _, gap = energy(run)
    close(run.drive.heat_W.mean(), released[0], within=1e-9, because="the same sum taken twice",
          source="definition of the mean")  # fmt: skip
    assert gap[0] <= 1e-3
    into = run.net.ways[3]
    assert [tail for tail, _ in into.inlets] == [1, 2]  # type: ignore[union-attr]


TWIN = (
    (("chambers", "low", "size", "height"), "1.6 m"),
    (("chambers", "low", "leads_to", "flue", "area"), "200 cm2"),
)


def test_twins_share_evenly() -> None:
    run = middle(built(*TWIN))
    close(run.net.way_flow[1][0, 0], 0.5, within=1e-6, because="both ways are reckoned alike",
          source="symmetry of two equal bells")  # fmt: skip


def test_twins_are_two_halves() -> None:
    """The same plan with shares of one half stated has the same heat."""
    ways = {"tall": {"share": "50 %", "area": "200 cm2", "at": "700 mm"},
            "low": {"share": "50 %", "area": "200 cm2", "at": "700 mm"}}  # fmt: skip
    free = middle(built(*TWIN))
    said = middle(built(*TWIN, (("chambers", "firebox", "leads_to"), ways)))
    assert np.abs(free.solution.faces_C - said.solution.faces_C).max() < 0.25  # twice 0.1 K


def test_a_wider_port_draws_more() -> None:
    wide = middle(built((("chambers", "low", "leads_to", "flue", "area"), "200 cm2")))
    assert wide.net.way_flow[2][0, 0] > middle(built()).net.way_flow[2][0, 0] + 0.05


def test_hotter_gas_that_must_sink_is_held_back() -> None:
    """A bell with insulated walls keeps hot gas, which weighs less and presses less downwards."""
    keeps: tuple[tuple[tuple[str, ...], object], ...] = (
        (("parts", "tall-wall", "layers"),
         [{"material": "ceramic-fibre-blanket-128", "thickness": "50 mm"},
          {"material": "clay-brick-common", "thickness": "102 mm"}]),
    )  # fmt: skip
    assert middle(built(*TWIN, *keeps)).net.way_flow[1][0, 0] < 0.49


RISING: tuple[tuple[tuple[str, ...], object], ...] = tuple(
    change
    for name, out in (("tall", "200 cm2"), ("low", "30 cm2"))
    for change in (
        (("chambers", name, "kind"), "riser"),
        (("chambers", name, "size"),
         {"width": "300 mm", "depth": "300 mm", "height": "1.6 m"}),
        (("chambers", name, "leads_to", "flue"), {"area": out}),
        (("chambers", "firebox", "leads_to", name, "at"), "100 mm"),
    )
) + ((("chambers", "flue", "bottom"), "1600 mm"),)  # fmt: skip


def test_a_rising_way_that_the_other_starves_is_told() -> None:
    """In rising ways the hotter draws more: the lesser one cools and stands still."""
    heat = hot_map(built(*RISING), Catalogue(), states=("usual",), members=1)
    (told,) = heat.unsolved
    assert told.path == ("chambers", "firebox", "leads_to", "low")
    assert "no gas goes from firebox to low" in told.reason and "1 of 1 cases" in told.reason
    assert heat.cycles["usual"].way_shares["firebox", "low"].high <= 1.1e-3
    assert heat.cycles["usual"].energy_gap <= 1e-3


def test_what_is_not_known_of_ports_is_a_factor_and_its_inverse() -> None:
    low, mid, high = LOSS
    assert mid == 1.0 and low * high == pytest.approx(1.0, abs=0.03)


def test_from_the_command_line() -> None:
    done = subprocess.run(
        [sys.executable, "-m", "stovelint", "survey", NAME], cwd=ROOT, capture_output=True,
        text=True, check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    said = " ".join(done.stdout.split())
    assert "of the gas of firebox, 62 %" in said and "% (36 to 41) goes to low" in said


def faults(*changes: tuple[tuple[str, ...], object]) -> tuple[Mistake, ...]:
    with pytest.raises(BuildFileError) as caught:
        built(*changes)
    return tuple(one for one in caught.value.mistakes if isinstance(one, Mistake))


def test_shares_beside_a_free_split_are_refused() -> None:
    (told,) = faults(
        (("chambers", "tall", "leads_to"), {"flue": {"share": "50 %"}, "low": {"share": "50 %"}})
    )
    assert told.path == ("chambers", "tall", "leads_to")
    assert "`tall` has shares, and the ways of `firebox` have none" in told.message


def test_two_chimneys_behind_a_free_split_are_refused() -> None:
    second = {"kind": "chimney", "size": {"diameter": "180 mm", "height": "5 m"}}
    (told,) = faults(
        (("chambers", "second"), second), (("chambers", "low", "leads_to"), "second"),
    )  # fmt: skip
    assert told.path == ("chambers", "firebox", "leads_to")
    assert "leaves by chimney, second" in told.message and "add `share`" in told.remedy
