"""Exchange of radiation in chambers that hold absorbing gas: zones, star in each, exchange between.

In zone z the faces k have areas A_k and emissivities e_k. With irradiation H and radiosity J:

    J_z  = sum(A_k e_k sigma T_k^4)/A_z + (1 - e_z) H_z        e_z the area mean of e_k
    H_z  = e_gas sigma T_gas^4 + (1 - a_gas) sum_j shares_zj J_j
    q_k  = e_k (H_z - sigma T_k^4)                              into the face
    loss = A_z (e_gas sigma T_gas^4 - a_gas sum_j shares_zj J_j)  from the gas

With reciprocal shares the sum of A_k q_k equals the sum of the losses exactly. (Grey gas in a grey
enclosure: Siegel & Howell, recalled; the network form is in the CFAST manual, read.)
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from stovelint.heat.network import Network

Floats = NDArray[np.float64]

SIGMA = 5.670374e-8  # W/m2K4


@dataclass(frozen=True, kw_only=True, eq=False)
class Radiation:
    """`q_W_m2` (M, gas faces, N) into each gas-side face; `loss_W` (M, Z, N) from the gas;
    `irradiation` (M, Z, N) to start the next pass from."""

    q_W_m2: Floats
    loss_W: Floats
    irradiation: Floats


def exchange_radiation(
    net: Network, faces: NDArray[np.int64], to_zone: Floats, areas_m2: Floats,
    emissivity: Floats, face_power: Floats, gas_emissivity: Floats, gas_absorptivity: Floats,
    gas_power: Floats, irradiation: Floats | None,
) -> Radiation:  # fmt: skip
    """Args: `faces` indices of the F gas-side faces; `to_zone` (Z, F) areas summed per zone;
    `areas_m2` (Z,); `emissivity` (M, F); `face_power` = sigma T^4 (M, F, N); the gas arrays
    (M, Z, N). The reflected part is iterated four times, from the last pass where given: with
    emissivities over 0.6 the rest is below 1 % of a reflection at once and nil at convergence.
    """
    weighted = emissivity[:, :, None] * face_power
    emitted = (to_zone @ weighted) / areas_m2[:, None]
    mean_e = (emissivity @ to_zone.T) / areas_m2
    reflectance = (1.0 - mean_e)[:, :, None]
    incoming = irradiation if irradiation is not None else emitted
    arriving = np.empty_like(emitted)
    for _ in range(2 if irradiation is not None else 4):
        radiosity = emitted + reflectance * incoming
        for enclosure in net.enclosures:
            arriving[:, enclosure.zones] = enclosure.shares @ radiosity[:, enclosure.zones]
        incoming = gas_emissivity * gas_power + (1.0 - gas_absorptivity) * arriving
    zones = net.face_zone[faces]
    q = emissivity[:, :, None] * (incoming[:, zones] - face_power)
    loss = areas_m2[:, None] * (gas_emissivity * gas_power - gas_absorptivity * arriving)
    return Radiation(q_W_m2=q, loss_W=loss, irradiation=incoming)
