"""Bar in cover: the rows of the notes, the limits of the ring, and its inverse."""

from __future__ import annotations

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from stovelint.heat import rebar
from tests.heat.close import close

NOTES = "stress rows: bar 12 mm, cover 30 mm, E 20 GPa, 5e-6/K, 150 K"


def test_rows_of_the_notes() -> None:
    e = rebar.mismatch_strain(12e-6, 170.0, 7e-6, 170.0, 20.0)
    stress = rebar.ring_stress(e, 0.012, 0.030, 20e9)
    close(
        np.array(stress) / 1e6,
        [11.3, 11.9],
        within=0.005,
        because="three printed digits",
        source=NOTES,
    )
    close(
        rebar.cracking_mismatch(3e6, 0.012, 0.030, 20e9) / 5e-6,
        38.0,
        within=0.015,
        because="two printed digits",
        source=NOTES + ", tensile strength 3 MPa",
    )


def test_stainless_doubles_the_difference() -> None:
    """Delta alpha 10e-6 instead of 5e-6 halves the temperature that cracks."""
    plain = rebar.cracking_mismatch(3e6, 0.012, 0.030, 20e9) / 5e-6
    stainless = rebar.cracking_mismatch(3e6, 0.012, 0.030, 20e9) / 10e-6
    assert stainless == plain / 2.0


def test_endless_cover_is_a_hole_in_a_plate() -> None:
    """c = 1: hoop equals pressure; rigid bar: p = e E / (1 + nu)."""
    p, hoop = rebar.ring_stress(1e-3, 0.01, 1e4, 20e9, 0.2, 1e30)
    close(
        [p, hoop],
        1e-3 * 20e9 / 1.2,
        within=1e-9,
        because="exact limit of the formula",
        source="pressurised hole in an endless plate",
    )


def test_thin_cover_is_a_barrel_hoop() -> None:
    """Thin ring, rigid bar: hoop strain is e, hoop stress E e, pressure E e t / a."""
    p, hoop = rebar.ring_stress(1e-4, 0.02, 0.0002, 20e9, 0.2, 1e30)
    close(
        [hoop, p],
        [20e9 * 1e-4, 20e9 * 1e-4 * 0.02],
        within=0.03,
        because="thickness is 2 % of the radius",
        source="thin hoop formula",
    )


def test_ring_keeps_equilibrium_and_compatibility() -> None:
    """Integrate the Lame field on a grid: hoop tension over the cover carries the pressure."""
    a, b = 0.006, 0.036
    p, hoop = rebar.ring_stress(5e-4, 2 * a, b - a, 25e9, 0.18, 190e9, 0.29)
    r = np.linspace(a, b, 200001)
    field = p * a**2 / (b**2 - a**2) * (1.0 + b**2 / r**2)
    close(
        [np.sum(0.5 * (field[1:] + field[:-1]) * np.diff(r)), field[0]],
        [p * a, hoop],
        within=1e-6,
        because="trapezium rule over 200000 steps",
        source="equilibrium of half a ring",
    )
    grown = a * (hoop + 0.18 * p) / 25e9  # of the hole
    squeezed = a * (1 - 0.29) * p / 190e9  # of the bar
    close(
        grown + squeezed,
        5e-4 * a,
        within=1e-9,
        because="closed form of the same condition",
        source="bar and hole end up equally large",
    )


@given(
    e=st.floats(1e-6, 1e-2), d=st.floats(0.004, 0.03), cover=st.floats(0.005, 0.2),
    stiff=st.floats(1e9, 60e9),
)
def test_more_cover_never_raises_the_tension_and_the_inverse_inverts(
    e: float, d: float, cover: float, stiff: float
) -> None:
    hoop = rebar.ring_stress(e, d, cover, stiff).hoop_Pa
    assert rebar.ring_stress(e, d, 1.3 * cover, stiff).hoop_Pa <= hoop
    assert abs(rebar.cracking_mismatch(hoop, d, cover, stiff) / e - 1.0) < 1e-9


def test_each_side_expands_from_its_own_temperature() -> None:
    hot_bar = rebar.mismatch_strain(12e-6, 220.0, 7e-6, np.array([220.0, 120.0]), 20.0)
    close(
        hot_bar,
        [5e-6 * 200.0, 12e-6 * 200.0 - 7e-6 * 100.0],
        within=1e-9,
        because="exact arithmetic of two products",
        source="linear expansion law",
    )
