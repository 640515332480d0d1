"""Gas that goes short: a port near the hot gas under a crown draws some of that with it."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from stovelint.heat.films import GRAVITY, ZERO_C_K

if TYPE_CHECKING:
    from stovelint.heat.arrays import Floats, Numbers

UNHEEDED = 0.005
"""A share up to this is taken as none, and more as what is over it: every port draws a trace, and
that of a port well below the crown is no subject."""
LEAST_STEP_K = 0.5


def hot_share(volume_m3_s: Numbers, drop_m: Numbers, hot_C: Numbers, cool_C: Numbers) -> Floats:
    """Share of what a port draws that comes from the hot layer above it (-), 0..1.

    The law for a port in a ceiling that pulls up the layer under it, the other way up: a port that
    lies d below a layer warmer by dT takes exp(-(Fr/2)^2) of its gas from its own layer, with
    Fr = V / (g d^5 dT / T)^(1/2), and the rest from the hot one. Shares up to `UNHEEDED` count as
    none.

    volume_m3_s: what the port draws, at its own temperature; drop_m: from the underside of the hot
    layer down to the middle of the port, > 0; hot_C, cool_C: the two layers, degC; all broadcast.
    Found for smoke vents, 0.1 to 10 m; not tried in a bell. Where the layers are alike the share
    goes to 1, and means nothing.
    Source: reference manual of a public zone model (read), mirrored here (judgement).

    >>> print(f"{hot_share(0.05, 0.3, 450.0, 350.0):.3f} {hot_share(0.05, 1.3, 450.0, 350.0):.3f}")
    0.147 0.000
    """
    step = np.maximum(np.asarray(hot_C, dtype=np.float64) - cool_C, LEAST_STEP_K)
    kelvin = np.asarray(cool_C, dtype=np.float64) + ZERO_C_K
    drop = np.asarray(drop_m, dtype=np.float64)
    square = np.square(volume_m3_s) / (GRAVITY * drop**5 * step / kelvin)
    drawn = -np.expm1(-0.25 * square)
    return np.asarray(np.maximum(drawn - UNHEEDED, 0.0) / (1.0 - UNHEEDED))
