"""One pass of the gas through the heater, for all members and samples at once (quasi-steady).

The gas is carried as its enthalpy divided by a fixed reference heat capacity (the *caloric
temperature* tau, K), so that mixing and splitting are exactly linear and energy closes whatever
cp(T) is. The heat capacity is a straight line in temperature, cp = a + b T, at each sample.

Within a zone the gas exchanges heat exponentially with an equilibrium temperature t_eq that
stands for all its faces and its radiation (linearised about the temperature of the last pass):

    tau_out = tau_eq + (tau_in - tau_eq) exp(-g / (m cp)),   loss = m c_ref (tau_in - tau_out)

and the zone's mean gas temperature is t_eq + loss / g, which makes the heat given to the faces
equal the loss exactly once the passes have converged.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from stovelint.heat.bands import (
    C_REF, Caloric, Exchange, Flows, backflow, band_temperatures,
)  # fmt: skip
from stovelint.heat.core import core_pass
from stovelint.heat.hearth import hearth_pass
from stovelint.heat.network import (
    Bell, Drive, Hearth, Network, Plug, Pocket, Share, Stirred,
)  # fmt: skip
from stovelint.heat.shortcut import hot_share

Floats = NDArray[np.float64]

LEAST_FLOW = 1e-6  # kg/s; keeps a shut heater's quotients finite and carries under 1 W
STILL_STEP = 0.2  # of the height: between layers this far apart `still_exchange` is counted
DISCHARGE = 0.7  # of a doorway-like opening (read: reference manual of a public zone model, after
# Emmons); measured doorways carry a seventh more still (tests/experiments)


@dataclass(frozen=True, kw_only=True, eq=False)
class GasPass:
    """Result of one pass. `t_C` (M, Z, N) zone means; `exit_C` and `exit_W` (M, N)."""

    t_C: Floats
    exit_C: Floats
    exit_W: Floats
    """Sensible heat leaving to the chimney, over gas at room temperature, W."""


def _inlet_tau(
    inlets: tuple[tuple[int, Share], ...], tau_out: list[Floats | None], flows: Floats, room: Floats
) -> Floats:
    """Mixed inlet of a way; `flows` are the ways' shares of the whole gas."""
    if not inlets:
        return room
    total = sum(flows[way] * share for way, share in inlets)
    mixed = np.zeros_like(room)
    for way, share in inlets:
        source = tau_out[way]
        assert source is not None  # ways come in the order of flow
        mixed = mixed + source * (flows[way] * share / total)
    return mixed


def _bell(
    way: Bell, t_old: Floats, exchange: Exchange, m: Floats, tau_in: Floats, gas: Caloric,
    drive: Drive,
) -> tuple[dict[int, Floats], Floats]:  # fmt: skip
    """Bands of a bell: the crown fed by the jet, descending flow, exchange between neighbours."""
    still = _still_kg_s(way, exchange, drive)
    # joints first; a band below the outlet still touches its neighbour
    reach = np.array(way.reach)[:, None, None]
    upward = np.maximum(backflow(reach / drive.peclet) * m + reach * still, LEAST_FLOW)
    carried = drive.entrainment * m
    drawn = np.array(way.drawn)[:, None, None] * carried
    total = m + sum(way.drawn) * carried
    short = _short_kg_s(way, t_old, m)
    below = sum(way.drawn) - np.cumsum(way.drawn[:-1])
    down = upward + below[:, None, None] * carried
    down[: way.outlet] += m - short
    flows = Flows(top=total, own=m * tau_in, drawn=drawn, down=down, up=upward, fed={})
    means, taus = band_temperatures(way.zones, flows, t_old, exchange, gas)
    return means, taus[way.outlet] + short / m * (taus[0] - taus[way.outlet])


def _short_kg_s(way: Bell, t_old: Floats, m: Floats) -> Floats:
    """What the port draws straight from the crown, (M, N); the crown's own port draws all there."""
    if way.outlet == 0 or math.isinf(way.drop_m):
        return np.zeros_like(m)
    cool_C = t_old[:, way.zones[way.outlet]]
    volume = m * (cool_C + 273.15) / 353.0
    return m * hot_share(volume, way.drop_m, t_old[:, way.zones[0]], cool_C)


def _still_kg_s(way: Bell | Hearth, exchange: Exchange, drive: Drive) -> Floats:
    """Exchange without flow between layers as far apart as the chamber is high, (M, N)."""
    convective = exchange.g_convective[:, list(way.zones)].sum(axis=1)
    return np.asarray(drive.still_exchange * STILL_STEP / C_REF * convective)


def _pocket(way: Pocket, t_old: Floats, exchange: Exchange, t_mouth: Floats) -> dict[int, Floats]:
    """Zones behind a two-way opening, each exchanging the opening's flow with its neighbours."""
    k = pocket_conductance_W_K(way, t_old)
    n = len(way.zones)
    ratio: list[Floats] = []
    value: list[Floats] = []
    for i, z in enumerate(way.zones):
        g, eq = exchange.g[:, z], exchange.t_eq[:, z]
        onward = k if i < n - 1 else np.zeros_like(k)
        diagonal = g + k + onward
        source = g * eq + (k * t_mouth if i == 0 else 0.0)
        if i:
            diagonal = diagonal - k * ratio[i - 1]
            source = source + k * value[i - 1]
        ratio.append(onward / diagonal)
        value.append(source / diagonal)
    for i in range(n - 2, -1, -1):
        value[i] = value[i] + ratio[i] * value[i + 1]
    return dict(zip(way.zones, value))


def pocket_conductance_W_K(way: Pocket, t_C: Floats) -> Floats:
    """Heat carried through a two-way opening per kelvin, W/K, shape (M, N).

    Doorway exchange m = (C/3) A rho sqrt(g H dT/T) (Incropera-type doorway law, recalled), at the
    temperatures of the last pass; air density at the mean temperature.
    """
    t_1, t_2 = t_C[:, way.from_zone], t_C[:, way.zones[0]]
    mean_K = 0.5 * (t_1 + t_2) + 273.15
    speed = np.sqrt(9.81 * way.height_m * (np.abs(t_1 - t_2) + 0.5) / mean_K)
    return np.asarray(DISCHARGE / 3.0 * way.area_m2 * (353.0 / mean_K) * speed * 1030.0)


def gas_pass(
    net: Network, drive: Drive, gas: Caloric, t_old: Floats, exchange: Exchange
) -> GasPass:
    """March the gas through every way in order. `t_old` (M, Z, N): zones of the last pass."""
    room_tau = gas.tau(np.broadcast_to(drive.room_C, drive.flow_kg_s.shape))
    outs: list[Floats | None] = []
    t_new = t_old.copy()
    for index, way in enumerate(net.ways):
        if isinstance(way, Pocket):
            for zone, value in _pocket(way, t_old, exchange, t_new[:, way.from_zone]).items():
                t_new[:, zone] = value
            outs.append(None)
            continue
        m = drive.flow_kg_s * net.way_flow[index]
        m = np.maximum(m, LEAST_FLOW)
        tau_in = _inlet_tau(way.inlets, outs, net.way_flow, room_tau)
        if isinstance(way, Stirred) and way.heat_share == "core":
            z = way.zone
            assert drive.core is not None  # whoever makes such a way declares the core
            t_new[:, z], tau = core_pass(
                drive.core, m, drive.room_C, tau_in, t_old[:, z], exchange.g[:, z],
                exchange.t_eq[:, z], gas,
            )  # fmt: skip
            outs.append(tau)
        elif isinstance(way, Stirred):
            z = way.zone
            t0 = t_old[:, z]
            cp = gas.cp(t0)
            g, eq = exchange.g[:, z], exchange.t_eq[:, z]
            lit = 1.0 if way.heat_share == "firebox" else 0.0
            heat = lit * drive.heat_W * (1.0 - drive.riser_share)
            gain = m * C_REF * (tau_in - gas.tau(t0)) + heat - g * (t0 - eq)
            t = t0 + gain / (m * cp + g)
            t_new[:, z] = t
            outs.append(gas.tau(t))
        elif isinstance(way, Plug):
            tau = tau_in
            for z, weight in zip(way.zones, way.heat_weights):
                t0 = t_old[:, z]
                cp = gas.cp(t0)
                g = exchange.g[:, z]
                eq = exchange.t_eq[:, z]
                if weight:
                    eq = eq + weight * drive.heat_W * drive.riser_share / g
                tau_eq = gas.tau(t0) + (eq - t0) * cp / C_REF
                out = tau_eq + (tau - tau_eq) * np.exp(-g / (m * cp))
                t_new[:, z] = eq + m * C_REF * (tau - out) / g
                tau = out
            outs.append(tau)
        else:
            if isinstance(way, Hearth):
                still = _still_kg_s(way, exchange, drive)
                means, tau = hearth_pass(way, t_old, exchange, m, tau_in, gas, drive, still)
            else:
                means, tau = _bell(way, t_old, exchange, m, tau_in, gas, drive)
            for zone, value in means.items():
                t_new[:, zone] = value
            outs.append(tau)
    leaving = np.zeros_like(drive.flow_kg_s)
    for index, share in net.exits:
        source = outs[index]
        assert source is not None
        leaving = leaving + source * (net.way_flow[index] * share)
    m = np.maximum(drive.flow_kg_s, LEAST_FLOW)
    return GasPass(
        t_C=t_new, exit_C=gas.t(leaving), exit_W=m * C_REF * (leaving - room_tau)
    )
