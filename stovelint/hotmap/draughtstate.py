"""Pressure balance of one firing state through its burn, over all cases."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Sequence

import numpy as np
from numpy.typing import NDArray

from stovelint.build import Build, FiringState, Port
from stovelint.heat.draught import air_pressure_Pa, carried_share, losses_Pa
from stovelint.heat.fuel import net_calorific_J_kg
from stovelint.hotmap.cases import between
from stovelint.hotmap.chimneytop import ChimneyTop, burn_mean, chimney_top, lit_samples
from stovelint.hotmap.cutplan import Plan
from stovelint.hotmap.core import zone_gas_C
from stovelint.hotmap.draughtway import DraughtWay, draught_way
from stovelint.hotmap.layerheat import Run
from stovelint.hotmap.parting import LOSS
from stovelint.hotmap.profile import spread
from stovelint.hotmap.records import Spread
from stovelint.hotmap.zones import Room

Floats = NDArray[np.float64]


@dataclass(frozen=True, kw_only=True, eq=False)
class StateDraught:
    """One firing state while its fire burns, over all cases."""

    state: FiringState
    draught_Pa: Spread
    """Static draught of the whole way, mean over the burn."""
    losses_Pa: Spread
    """What the way of the gas takes at the flow assumed, mean over the burn."""
    margin_Pa: Spread
    """Draught less losses, where it is least in the burn."""
    carries: Spread
    """Flow that the draught carries over the flow assumed, where it is least in the burn."""
    takes_most: str
    takes_most_Pa: Spread
    """The largest loss, and its mean over the burn."""
    top: ChimneyTop

    @property
    def finite(self) -> bool:
        """Whether every value is a number."""
        spreads = [one for one in (*vars(self).values(), *vars(self.top).values())
                   if isinstance(one, Spread)]  # fmt: skip
        return all(np.isfinite(one.values).all() and np.isfinite(one.floor).all()
                   for one in spreads)  # fmt: skip


@dataclass(frozen=True, kw_only=True, eq=False)
class Balance:
    """One way in one run; each (M,), losses by label as means over the burn."""

    draught: Floats
    losses: Floats
    margin: Floats
    carries: Floats
    by_label: dict[str, Floats]


def air_share(build: Build, run: Run) -> Floats:
    """Flow of air over flow of gas, (M, N): the rest is what the wood gave off."""
    fuel = run.drive.heat_W / net_calorific_J_kg(build.fuel.kind, build.fuel.moisture)
    return np.asarray(np.clip(1.0 - fuel / run.drive.flow_kg_s, 0.0, 1.0))


def balance(build: Build, run: Run, way: DraughtWay) -> Balance:
    """Draught against losses at every sample of the burn. What the way takes is known no better
    than at a split (`parting.LOSS`), and moves with the films inside as there."""
    pressure = float(air_pressure_Pa(build.site.altitude_m))
    lit, drive = lit_samples(run), run.drive
    zones = zone_gas_C(run.net, drive, run.solution)
    element_C = way.element_gas_C(zones, drive.room_C)
    resistances = way.resistances(air_share(build, run))
    static = way.static_Pa(zones, drive.outdoors_C, pressure)
    scatter = between(*LOSS, run.properties.at["film"])[:, None]
    losses = losses_Pa(resistances, drive.flow_kg_s, element_C, pressure) * scatter[:, None]
    total = losses.sum(axis=1)
    carries = carried_share(resistances, static / scatter, drive.flow_kg_s, element_C, pressure)
    by_label: dict[str, Floats] = {}
    for i, element in enumerate(way.elements):
        mean = burn_mean(losses[:, i], lit)
        by_label[element.label] = by_label.get(element.label, np.zeros_like(mean)) + mean
    return Balance(
        draught=burn_mean(static, lit), losses=burn_mean(total, lit),
        margin=np.where(lit, static - total, np.inf).min(axis=1),
        carries=np.where(lit, carries, np.inf).min(axis=1), by_label=by_label,
    )  # fmt: skip


def state_draught(
    plan: Plan, state: FiringState, runs: Sequence[Run], chains: Sequence[Sequence[Port]],
    inlet_m2: float, chimney: Room,
) -> StateDraught:  # fmt: skip
    """The balance of the way with the least left over, and the chimney's top."""
    balances = [
        [balance(plan.build, run, draught_way(plan.rooms, run.net, chain, inlet_m2))
         for run in runs]
        for chain in chains
    ]  # fmt: skip
    worst = min(balances, key=lambda of: spread([one.margin for one in of]).low)
    most = max(
        worst[0].by_label, key=lambda label: spread([one.by_label[label] for one in worst]).mid
    )
    return StateDraught(
        state=state, draught_Pa=spread([one.draught for one in worst]),
        losses_Pa=spread([one.losses for one in worst]),
        margin_Pa=spread([one.margin for one in worst]),
        carries=spread([one.carries for one in worst]), takes_most=most,
        takes_most_Pa=spread([one.by_label[most] for one in worst]),
        top=chimney_top(plan, runs, chimney),
    )  # fmt: skip
