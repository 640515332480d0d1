"""Still air between solids: closed gaps at the temperature they really have, hollow block."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

import numpy as np

from stovelint.heat.films import (
    GRAVITY,
    ZERO_C_K,
    air_film_properties,
    radiation_W_m2K,
)

if TYPE_CHECKING:
    from stovelint.heat.arrays import Floats, Numbers

Lie = Literal["vertical", "hot_below", "hot_above"]


def _nusselt_vertical(rayleigh: Floats, height_over_width: Numbers) -> Floats:
    """ISO 15099 for cavities between vertical planes; at least 1 (still air).

    Nu = max(Nu1, Nu2, 1); Nu1 = 1 + 1.7597e-10 Ra^2.2985 up to Ra 1e4, 0.028154 Ra^0.4134 up to
    5e4, 0.0673838 Ra^(1/3) beyond; Nu2 = 0.242 (Ra W/H)^0.272. The pieces of Nu1 meet within
    0.7 %, which moves the resistance of a gap by less than 0.3 %.
    """
    small = 1.0 + 1.7596678e-10 * np.minimum(rayleigh, 1.0e4) ** 2.2984755
    middle = 0.028154 * np.minimum(rayleigh, 5.0e4) ** 0.4134
    large = 0.0673838 * np.cbrt(rayleigh)
    low = 0.242 * (rayleigh / height_over_width) ** 0.272
    return np.maximum(
        np.where(rayleigh <= 1.0e4, small, np.where(rayleigh <= 5.0e4, middle, large)), low
    ).clip(min=1.0)


def _nusselt_heated_below(rayleigh: Floats) -> Floats:
    """Hollands (1976): Nu = 1 + 1.44 [1 - 1708/Ra]+ + [(Ra/5830)^(1/3) - 1]+."""
    some = np.maximum(rayleigh, 1.0)
    onset = np.maximum(1.0 - 1708.0 / some, 0.0)
    rolls = np.maximum(np.cbrt(rayleigh / 5830.0) - 1.0, 0.0)
    nusselt: Floats = 1.0 + 1.44 * onset + rolls
    return nusselt


def gap_convection_W_m2K(
    t_hot_C: Numbers, t_cold_C: Numbers, width_m: Numbers, height_m: Numbers, lie: Lie
) -> Floats:
    """What the air alone carries across a gap without flow through it (W/m2K).

    h_a = Nu k / width, Nu >= 1: ISO 15099 for a vertical gap, Hollands (1976) for a level gap with
    the hot side below, Nu = 1 with the hot side above. Properties at the mean temperature.

    t_hot_C, t_cold_C: faces, degC, mean -20..1200 (which one is hotter does not matter for
    "vertical"); width_m: m, > 0; height_m: m, > 0 (used for "vertical" only); all broadcast.
    Range: Ra up to 1e7. Source: recalled (ElSherbiny in ISO 15099; Hollands), checks in the tests.

    >>> print(f"{gap_convection_W_m2K(12.5, 7.5, 0.025, 2.0, 'vertical'):.2f}")
    1.25
    """
    hot = np.asarray(t_hot_C, dtype=np.float64)
    cold = np.asarray(t_cold_C, dtype=np.float64)
    mean_C = 0.5 * (hot + cold)
    nu, k, prandtl = air_film_properties(mean_C)
    width = np.asarray(width_m, dtype=np.float64)
    still = k / width
    if lie == "hot_above":
        return still
    step = np.abs(hot - cold)
    rayleigh = GRAVITY * prandtl * step * width**3 / ((mean_C + ZERO_C_K) * nu * nu)
    if lie == "vertical":
        return still * _nusselt_vertical(rayleigh, height_m / width)
    return still * _nusselt_heated_below(rayleigh)


def gap_resistance_m2K_W(
    t_hot_C: Numbers,
    t_cold_C: Numbers,
    width_m: Numbers,
    emissivity_hot: Numbers,
    emissivity_cold: Numbers,
    height_m: Numbers,
    orientation: Lie,
) -> Floats:
    """Thermal resistance of a closed air gap at its own temperature (m2K/W).

    R = 1 / (h_a + h_r); h_a by `gap_convection_W_m2K`; h_r = sigma (T1^2 + T2^2)(T1 + T2) /
    (1/e1 + 1/e2 - 1), exact. The tables of ISO 6946 hold for 10 degC: at 150 degC they are three
    times too high.

    emissivity_*: -, 0 < e <= 1; the rest as in `gap_convection_W_m2K`; all broadcast.
    Source: as there; ISO 6946 values in the tests.

    >>> print(f"{gap_resistance_m2K_W(165, 135, 0.010, 0.9, 0.9, 1.5, 'vertical'):.3f}")
    0.057
    """
    carried = gap_convection_W_m2K(t_hot_C, t_cold_C, width_m, height_m, orientation)
    pair = 1.0 / (1.0 / emissivity_hot + 1.0 / emissivity_cold - 1.0)
    return 1.0 / (carried + radiation_W_m2K(t_hot_C, t_cold_C, pair))


def hollow_core(
    k_solid_W_mK: Numbers,
    rho_kg_m3: Numbers,
    cp_J_kgK: Numbers,
    web_share: Numbers,
    cavity_depth_m: Numbers,
    r_gap_m2K_W: Numbers,
) -> tuple[Floats, Floats]:
    """Equivalent conductivity (W/mK) and heat capacity (J/m3K) of the cored part of a block.

    A hollow block is two face shells and, between them, a layer in which webs and cavities lie
    side by side: k_eff = web k + (1 - web) d / R_gap; (rho c)_eff = web rho c. The shells are
    separate layers of the solid material. Taking the shells as even in temperature is the bound
    with the higher heat flow; a 200 mm normal-weight block comes out 6 % below its handbook
    resistance.

    k_solid_W_mK: of the webs; rho_kg_m3, cp_J_kgK: of the webs; web_share: area share of the webs
    seen along the heat flow, 0..1; cavity_depth_m: along the heat flow, m; r_gap_m2K_W: of the
    cavity, from `gap_resistance_m2K_W`; all broadcast. With web_share 1 the solid comes back.
    Source: isothermal-planes method (ISO 6946 lower bound; ASHRAE; recalled).

    >>> k_eff, capacity = hollow_core(1.3, 2100.0, 900.0, 0.25, 0.130, 0.16)
    >>> print(f"{k_eff:.2f} {capacity / 1e6:.2f}")
    0.93 0.47
    """
    web = np.asarray(web_share, dtype=np.float64)
    k_eff = web * k_solid_W_mK + (1.0 - web) * cavity_depth_m / r_gap_m2K_W
    return k_eff, web * rho_kg_m3 * cp_J_kgK
