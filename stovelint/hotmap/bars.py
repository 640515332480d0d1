"""How much a bar may outgrow its body before the cover over it cracks."""

from __future__ import annotations

from stovelint.catalogue import Material
from stovelint.heat.rebar import cracking_mismatch


def cover_takes(
    strain: float, body: Material, diameter_m: float, cover_m: float
) -> float | None:
    """Mismatch (-) at which the hoop strain of the cover, at the bar, reaches a cracking strain.

    The ring of `stovelint.heat.rebar` with a strength of E e: a soft body gives way before a bar,
    a thin cover does not.

    Args:
        strain: cracking strain e of the body, -.
        body: the layer; needs its modulus.
        diameter_m: of the bar, m, > 0.
        cover_m: from the bar to the nearer surface, m, > 0.

    None without a modulus. First cracking of an uncracked elastic ring, not spalling.
    Source: see `stovelint.heat.rebar`.
    """
    modulus = body.youngs_modulus_GPa
    if modulus is None or min(diameter_m, cover_m) <= 0.0:
        return None
    E = modulus.typical * 1e9
    nu = 0.2 if body.poisson is None else body.poisson.typical
    return float(cracking_mismatch(strain * E, diameter_m, cover_m, E, nu))
