"""Periodic conduction against ISO 13786 examples and against exact solutions."""

from __future__ import annotations

import math
from typing import Sequence

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from stovelint.heat import layers
from tests.heat import iso13786
from tests.heat.close import close
from tests.heat.iso13786 import Film, Solid

DAY_S = 86400.0
COMPUTED = "ISO 13786 formulas (recalled), computed beforehand"


def admittance(
    build: Sequence[Solid | Film], omega: float | Sequence[float]
) -> layers.Admittance:
    """Chain of the package for layers of one patch, mean first."""
    rates = np.array([0.0, *np.atleast_1d(omega)])
    chain = []
    for layer in build:
        if isinstance(layer, Film):
            r, c = layer.r_m2K_W, 0.0
        else:
            r = layer.thickness_m / layer.k_W_mK
            c = layer.thickness_m * layer.rho_kg_m3 * layer.cp_J_kgK
        chain.append(layers.layer_admittance(np.array(r), np.array(c), rates))
    return layers.chain(chain)


CONCRETE: list[Solid | Film] = [Film(0.13), Solid(0.2, 1.8, 2400.0, 1000.0)]
BARE: list[Solid | Film] = [*CONCRETE, Film(0.04)]
INSULATED: list[Solid | Film] = [
    *CONCRETE, Solid(0.1, 0.04, 30.0, 1400.0), Solid(0.005, 1.0, 1200.0, 1500.0), Film(0.04)
]


def test_worked_wall_bare_concrete() -> None:
    a, b, d = admittance(BARE, 2.0 * math.pi / DAY_S)
    kappa = layers.areal_heat_capacity_J_m2K((a[1:], b[1:], d[1:]), 2.0 * math.pi / DAY_S)
    close(
        [b[0].real, abs(b[1]), abs(b[1]) / b[0].real, abs(a[1])],
        [3.557, 1.827, 0.514, 5.704],
        within=0.001,
        because="rounding of three or four printed digits",
        source=COMPUTED,
    )
    close(
        -np.angle(b[1]) / (2.0 * math.pi) * 24.0,
        5.68,
        within=0.002,
        because="rounding of three printed digits",
        source=COMPUTED,
    )
    close(
        [kappa[0][0] / 1e3, kappa[1][0] / 1e3],
        [86.2, 170.9],
        within=0.001,
        because="rounding of three printed digits",
        source=COMPUTED,
    )


def test_worked_wall_insulated_outside() -> None:
    _, b, _ = admittance(INSULATED, 2.0 * math.pi / DAY_S)
    close(
        [b[0].real, abs(b[1]), abs(b[1]) / b[0].real, -np.angle(b[1]) / (2 * math.pi) * 24.0],
        [0.359, 0.0606, 0.169, 8.11],
        within=0.002,
        because="rounding of three printed digits",
        source=COMPUTED,
    )


HEATER: list[Solid | Film] = [
    Film(1.0 / 30.0), Solid(0.12, 1.0, 2000.0, 960.0), Film(0.15), Solid(0.12, 0.7, 1700.0, 900.0),
    Film(1.0 / 9.5),
]


def test_steady_heater_wall() -> None:
    """Gas 400 degC, film 30; fireclay; gap; brick; film 9.5 to a room of 20 degC."""
    wall = admittance(HEATER[1:-1], 2.0 * math.pi / DAY_S)
    gas, room = np.array([400.0 + 0j, 0.0]), np.array([20.0 + 0j, 0.0])
    hot, skin = layers.face_temperatures(wall, np.array(30.0), gas, np.array(9.5), room)
    flux = 9.5 * (skin[0].real - 20.0)
    close(
        [flux / 380.0, flux, skin[0].real],
        [1.7241, 655.1, 88.96],
        within=0.0001,
        because="rounding of four printed digits",
        source="multilayer steady case of the notes, exact series of resistances",
    )
    close(
        30.0 * (400.0 - hot[0].real),
        flux,
        within=1e-12,
        because="one steady flux through both faces",
        source="energy conservation, exact",
    )


@pytest.mark.parametrize(
    ("hours", "swing", "decrement", "lag_h"),
    [(24.0, 0.7034, 0.408, 8.3), (12.0, 0.2620, 0.152, 6.3)],
)
def test_periodic_heater_wall(hours: float, swing: float, decrement: float, lag_h: float) -> None:
    """Fireclay 2000 kg/m3, 960 J/kgK; brick 1700, 900 (the values that return the row)."""
    _, b, _ = admittance(HEATER, 2.0 * math.pi / (hours * 3600.0))
    close(
        [abs(b[1]), abs(b[1]) / b[0].real],
        [swing, decrement],
        within=0.001,
        because="rounding of three printed digits",
        source="ISO 13786 row of the notes for the heater wall",
    )
    lag = (-np.angle(b[1]) / (2.0 * math.pi) * hours) % hours
    close(
        lag,
        lag_h,
        within=0.005,
        because="rounding of two printed digits",
        source="ISO 13786 row of the notes for the heater wall",
    )


@pytest.mark.parametrize(
    ("material", "depth_m"),
    [
        ((1.1, 2000.0, 1000.0), 0.0870),
        ((3.0, 2900.0, 980.0), 0.1205),
        ((0.6, 1700.0, 840.0), 0.0760),
        ((0.13, 500.0, 1600.0), 0.0473),
    ],
)
def test_swing_falls_by_e_over_the_penetration_depth(
    material: tuple[float, float, float], depth_m: float
) -> None:
    """In half-infinite ground the swing at depth x is exp(-x/delta), late by x/delta radians."""
    omega = 2.0 * math.pi / 43200.0
    near = admittance([Solid(depth_m, *material)], omega)
    beyond = admittance([Solid(60.0 * depth_m, *material)], omega)
    inside = layers.inner_temperature(
        near, beyond, np.array([0.0, 1.0 + 0j]), np.array([0.0, 0.0j])
    )[1]
    close(
        [abs(inside), -np.angle(inside)],
        [math.exp(-1.0), 1.0],
        within=0.001,
        because="the printed depth has three digits",
        source="penetration depths at 12 h, periodic half-infinite solid (exact)",
    )


@pytest.mark.parametrize(("hours", "swing", "lag_h"), [(24.0, 0.367, 3.83), (12.0, 0.242, 2.71)])
def test_swing_and_lag_at_a_fixed_depth(hours: float, swing: float, lag_h: float) -> None:
    omega = 2.0 * math.pi / (hours * 3600.0)
    brick = (1.0, 2000.0, 960.0)
    near, beyond = (admittance([Solid(x, *brick)], omega) for x in (0.12, 5.0))
    inside = layers.inner_temperature(
        near, beyond, np.array([0.0, 1.0 + 0j]), np.array([0.0, 0.0j])
    )[1]
    close(
        [abs(inside), -np.angle(inside) / (2.0 * math.pi) * hours],
        [swing, lag_h],
        within=0.003,
        because="rounding of three printed digits",
        source="periodic half-infinite solid, row of the notes (Carslaw and Jaeger)",
    )


solids = st.builds(
    Solid,
    thickness_m=st.floats(0.002, 0.4),
    k_W_mK=st.floats(0.03, 5.0),
    rho_kg_m3=st.floats(20.0, 3000.0),
    cp_J_kgK=st.floats(700.0, 1700.0),
)
walls = st.lists(st.one_of(solids, st.builds(Film, st.floats(0.01, 0.4))), min_size=1, max_size=5)


@given(build=walls, period_h=st.floats(2.0, 48.0))
def test_chain_is_the_transfer_matrix_of_the_standard(
    build: list[Solid | Film], period_h: float
) -> None:
    period = period_h * 3600.0
    z = iso13786.wall(build, period)
    # The referee's products cancel for thick walls; beyond this its own rounding shows.
    size = float(np.max(np.abs(z)))
    assume(size < 1e6)
    determinant = z[0, 0] * z[1, 1] - z[0, 1] * z[1, 0]
    assert abs(determinant - 1.0) < 1e-13 * size * size + 1e-12
    a, b, d = admittance(build, 2.0 * math.pi / period)
    expected = np.array([-z[0, 0] / z[0, 1], -1.0 / z[0, 1], -z[1, 1] / z[0, 1]])
    found = np.array([a[1], b[1], d[1]])
    assert np.all(np.abs(found - expected) < 1e-7 * np.abs(expected))


@given(build=walls, period_h=st.floats(2.0, 48.0))
def test_admittance_keeps_det_z_at_one(build: list[Solid | Film], period_h: float) -> None:
    """Z from (A, B, D) has determinant 1 if and only if the flows are reciprocal: turned round,
    the wall must swap A and D and keep B."""
    omega = 2.0 * math.pi / (period_h * 3600.0)
    a, b, d = admittance(build, omega)
    a2, b2, d2 = admittance(build[::-1], omega)
    for one, other in ((a, d2), (b, b2), (d, a2)):
        assert np.allclose(one, other, rtol=1e-9, atol=1e-14)


@given(build=walls)
def test_the_mean_is_a_series_of_resistances(build: list[Solid | Film]) -> None:
    a, b, d = admittance(build, 1e-4)
    total = sum(x.r_m2K_W if isinstance(x, Film) else x.thickness_m / x.k_W_mK for x in build)
    assert np.allclose([a[0], b[0], d[0]], 1.0 / total, rtol=1e-9)


@given(solid=solids, share=st.floats(0.05, 0.95), omega=st.floats(1e-6, 1e-1))
def test_a_cut_layer_is_the_whole_layer(solid: Solid, share: float, omega: float) -> None:
    whole = admittance([solid], omega)
    parts = [solid._replace(thickness_m=solid.thickness_m * x) for x in (share, 1.0 - share)]
    # A part with omega R C below 2e-8 is taken without its heat capacity: at most 2e-8 / R lost.
    thinnest = min(part.thickness_m for part in parts) / solid.k_W_mK
    for one, other in zip(whole, admittance(parts, omega), strict=True):
        assert np.allclose(one, other, rtol=1e-8, atol=4e-8 / thinnest)


def test_thick_and_fast_neither_overflows_nor_leaks() -> None:
    with np.errstate(all="raise", under="ignore"):
        a, b, d = admittance([Solid(10.0, 0.05, 500.0, 1000.0)], 2.0 * math.pi)
    gamma_k = math.sqrt(2.0 * math.pi * 0.05 * 500.0 * 1000.0)  # effusivity times sqrt(omega)
    close(
        [abs(a[1]), abs(d[1]), np.angle(a[1])],
        [gamma_k, gamma_k, math.pi / 4.0],
        within=1e-9,
        because="exact limit of a half-infinite solid",
        source="surface admittance of a half-infinite solid",
    )
    assert b[1] == 0.0


def test_a_light_layer_turns_into_a_resistance_without_a_step() -> None:
    """Either side of the switch the heat stored per kelvin is as good as nothing."""
    found = []
    for c in (1.9, 2.1):  # sqrt(0.5 * 1 * c * 1e-8) crosses 1e-4
        a, _, _ = layers.layer_admittance(np.array(1.0), np.array(c), np.array([0.0, 1e-8]))
        found.append(a[1])
    assert abs(found[0] - found[1]) < 1e-7


def test_robin_faces_satisfy_both_films() -> None:
    omega = 2.0 * math.pi / DAY_S
    wall = admittance(HEATER[1:-1], [omega, 7 * omega])
    drive_1 = np.array([300.0, 120.0 - 40.0j, 30.0 + 5.0j])
    drive_2 = np.array([20.0, 1.0 + 0.5j, 0.1j])
    t1, t2 = layers.face_temperatures(wall, np.array(25.0), drive_1, np.array(9.0), drive_2)
    a, b, d = wall
    assert np.allclose(25.0 * (drive_1 - t1), a * t1 - b * t2, rtol=1e-12)
    assert np.allclose(9.0 * (t2 - drive_2), b * t1 - d * t2, rtol=1e-12)


def test_patches_and_members_broadcast() -> None:
    r, c = np.array([[0.1, 0.2], [0.3, 0.4], [0.5, 0.6]]), np.full((3, 2), 2e5)
    rates = layers.harmonics_rad_s(DAY_S, 16)
    a, b, _ = layers.layer_admittance(r, c, rates)
    assert a.shape == (3, 2, 9)
    alone = layers.layer_admittance(r[1, 1:], c[1, 1:], rates)
    assert np.array_equal(a[1, 1], alone[0][0]) and np.array_equal(b[1, 1], alone[1][0])


def test_harmonics_follow_the_transform() -> None:
    t = np.arange(32) / 32 * DAY_S
    wave = np.cos(3 * 2.0 * np.pi * t / DAY_S)
    spectrum = np.abs(np.fft.rfft(wave))
    rates = layers.harmonics_rad_s(DAY_S, 32)
    assert rates.shape == spectrum.shape
    assert rates[np.argmax(spectrum)] == pytest.approx(3 * 2.0 * np.pi / DAY_S)


def test_the_plane_between_two_chains() -> None:
    """Steady: the fall divides as the resistances. Swung alike from both sides a slab cut in the
    middle has 1/cosh of a half's gamma there; from one side only, half of that."""
    omega = np.array([0.0, 2.0 * math.pi / DAY_S])
    thin = layers.layer_admittance(np.array(0.1), np.array(0.0), omega)
    thick = layers.layer_admittance(np.array(0.3), np.array(0.0), omega)
    steady = layers.inner_temperature(thin, thick, np.array([420.0, 0.0]), np.array([20.0, 0.0]))
    close(steady[0].real, 320.0, within=1e-9, because="exact by hand: a quarter of the resistance",
          source="resistances in series")
    half = layers.layer_admittance(np.array(0.12), np.array(2.3e5), omega)
    gamma = np.sqrt(1j * omega[1] * 0.12 * 2.3e5)
    t1, t2 = np.array([100.0, 80.0]), np.array([100.0, 80.0])
    for other, share in ((t2, 1.0), (0.0 * t2, 0.5)):
        found = layers.inner_temperature(half, half, t1.astype(complex), other.astype(complex))
        assert abs(found[1] - share * 80.0 / np.cosh(gamma)) < 1e-9 * 80.0
        assert abs(found[0] - share * 100.0) < 1e-9
