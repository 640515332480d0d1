"""Exchange of radiation in chambers that hold absorbing gas: zones, star in each, exchange between.

In zone z the faces k have areas A_k and emissivities e_k. With irradiation H and radiosity J:

    J_z  = sum(A_k e_k sigma T_k^4)/A_z + (1 - e_z) H_z        e_z the area mean of e_k
    H_z  = e_gas sigma T_gas^4 + (1 - a_gas) sum_j shares_zj J_j
    q_k  = e_k (H_z - sigma T_k^4)                              into the face
    loss = A_z (e_gas sigma T_gas^4 - a_gas sum_j shares_zj J_j)  from the gas

With reciprocal shares the sum of A_k q_k equals the sum of the losses exactly. (Grey gas in a grey
enclosure: Siegel & Howell, recalled; the network form is in the reference manual of a
public zone model, read.)
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
    """`loss_W` (M, Z, N) from the gas; `irradiation` (M, Z, N) of the faces, W/m2."""

    loss_W: Floats
    irradiation: Floats


def exchange_radiation(
    net: Network, areas_m2: Floats, reflectance: Floats, emitted: Floats, gas_emissivity: Floats,
    gas_absorptivity: Floats, gas_power: Floats, irradiation: Floats,
) -> Radiation:  # fmt: skip
    """Args: `areas_m2` (Z,); `reflectance` (M, Z, 1), one less the faces' mean emissivity;
    `emitted` (M, Z, N) the faces' own emission per area; the gas arrays (M, Z, N). The reflected
    part is iterated from `irradiation`, that of the last pass: what is left of it after each call
    is the square of the reflectance (a few per cent), and nil at convergence.
    """
    incoming = irradiation
    arriving = np.empty_like(emitted)
    through = 1.0 - gas_absorptivity
    own = gas_emissivity * gas_power
    for _ in range(2):
        radiosity = emitted + reflectance * incoming
        for enclosure in net.enclosures:
            arriving[:, enclosure.zones] = enclosure.shares @ radiosity[:, enclosure.zones]
        incoming = own + through * arriving
    loss = areas_m2[:, None] * (own - gas_absorptivity * arriving)
    return Radiation(loss_W=loss, irradiation=incoming)
