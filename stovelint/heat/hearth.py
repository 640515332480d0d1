"""A chamber with a fire at its foot that does not fill it: bands of gas, stirred by the plume.

Fresh air comes in at one band, gas leaves from one or more. The plume draws from every band it passes,
gains the fire's heat and is let go at the top; from there gas sinks to where the plume takes it up
again. Part of the heat leaves the flames as rays and reaches the faces without warming the gas.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from stovelint.heat.bands import (
    C_REF, Caloric, Exchange, Flows, backflow, band_temperatures,
)  # fmt: skip
from stovelint.heat.network import Drive, Hearth
from stovelint.heat.plume import AIR_K, plume_flow_kg_s

Floats = NDArray[np.float64]

LEAST_SHARE = 0.02
"""Of the fresh air's flow: the plume and the sinking gas are never less, so that a hearth without
a fire stays a chamber that its draught passes through from foot to outlet."""


def fire_heat_W(drive: Drive) -> Floats:
    """Heat released in the hearth, (M, N) W."""
    return np.asarray(drive.heat_W * (1.0 - drive.riser_share))


def rays_W(drive: Drive) -> Floats:
    """The part of it that leaves the flames as rays, (M, N) W."""
    return np.asarray(fire_heat_W(drive) * drive.flame_rays)


def hearth_pass(
    way: Hearth, t_old: Floats, exchange: Exchange, m: Floats, tau_in: Floats, gas: Caloric,
    drive: Drive, still: Floats,
) -> tuple[dict[int, Floats], Floats]:  # fmt: skip
    """Temperatures of the bands and tau of what leaves.

    m (M, N): fresh air and fuel, with tau_in; t_old (M, Z, N); still (M, N): exchange of layers a
    whole height apart without flow, kg/s. The part of the fresh air that the plume does not reach
    rises by itself (a plume weaker than the draught).
    """
    n = len(way.zones)
    heat = fire_heat_W(drive)
    carried = heat - rays_W(drive)
    edges = [
        plume_flow_kg_s(heat, drive.flame_rays, height, way.diameter_m) for height in way.edges_m
    ]
    least = LEAST_SHARE * m
    # surroundings of one temperature, as the correlation knows them: the mean of the chamber
    kelvin = t_old[:, list(way.zones)].mean(axis=1) + 273.15
    thinner = drive.plume_factor * AIR_K / kelvin
    drawn = [np.zeros_like(m)]
    drawn.extend(thinner * (edges[i] - edges[i + 1]) for i in range(1, n))
    drawn[-1] = drawn[-1] + least
    top = sum(drawn, np.zeros_like(m))
    down: list[Floats] = []
    up: list[Floats] = []
    plume = top
    for i in range(n - 1):
        plume = plume - drawn[i]
        net_up = m * (float(way.inlet > i) - sum(way.leaving[i + 1 :]))
        sinking = plume - net_up
        mixing = np.maximum(
            backflow(way.reach[i] / drive.peclet) * np.abs(sinking) + way.reach[i] * still, least
        )
        down.append(np.maximum(sinking, 0.0) + mixing)
        up.append(np.maximum(-sinking, 0.0) + mixing)
    flows = Flows(
        top=top, own=carried / C_REF, drawn=drawn, down=down, up=up,
        fed={way.inlet: (m, tau_in)},
    )  # fmt: skip
    means, taus = band_temperatures(way.zones, flows, t_old, exchange, gas)
    return means, sum((share * tau for share, tau in zip(way.leaving, taus)), np.zeros_like(m))
