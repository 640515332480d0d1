"""Skin to wall across a gap: rows of the notes, balances, limits, directions."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import integrate

from stovelint.heat import clearance, films, gaps
from tests.heat.close import close

SKIN_C = np.array([60.0, 80.0, 100.0, 120.0, 150.0])
NOTES = "clearance rows computed for 1.8 m, emissivity 0.9, wall 0.3 W/m2K, room 20 degC"


def beside(skin: Any = SKIN_C, gap_m: Any = 0.05, **change: Any) -> clearance.Neighbour:
    usual: dict[str, Any] = dict(
        t_room_C=20.0,
        height_m=1.8,
        emissivity_skin=0.9,
        emissivity_wall=0.9,
        kind="vented",
        bottom_area_m2_m=None,
        top_area_m2_m=None,
        r_cover_m2K_W=0.0,
        r_behind_m2K_W=1.0 / 0.3,
    )
    return clearance.surrounding_face_C(skin, gap_m=gap_m, **(usual | change))


def test_rows_of_the_notes() -> None:
    close(
        beside().face_C - 20.0,
        np.array([46.8, 60.4, 74.6, 89.5, 113.1]) - 20.0,
        within=0.045,
        because="the rows do not state opening losses nor films; here the gap's own friction "
        "slows the air, which errs to the warm side",
        source=NOTES,
    )
    assert np.all(beside().face_C > [46.8, 60.4, 74.6, 89.5, 113.1])


def test_gap_width_hardly_matters() -> None:
    """25 mm is 2-4 K warmer than 50 mm and 200 mm 2-4 K cooler (to 5.7 K at the hottest skin)."""
    narrow = beside(gap_m=0.025).face_C - beside().face_C
    wide = beside(gap_m=0.200).face_C - beside().face_C
    assert np.all((narrow > 1.0) & (narrow < 6.0))
    assert np.all((wide < -2.0) & (wide > -6.0))


def test_a_skin_near_a_wall_runs_hotter() -> None:
    """A 90 mm vented gap lifts a skin at 50 degC by about 14 K.

    102 mm of brick and a film inside, 0.25 m2K/W, between a cavity and the skin; the cavity keeps
    the temperature that gives 50 degC in a free room.
    """
    inside = 0.25
    free = films.outside_film_W_m2K(50.0, 20.0, 0.9, 1.8, "vertical")
    cavity_C = 50.0 + 30.0 * free * inside
    skin: Any = 50.0
    for _ in range(50):
        film = clearance.effective_outside_film_W_m2K(
            skin, 20.0, 0.09, 1.8, 0.9, 0.9, "vented", None, None, 1.0 / 0.3
        )
        skin = (cavity_C / inside + film * 20.0) / (1.0 / inside + film)
    close(
        skin - 50.0,
        14.0,
        within=0.15,
        because="the reference heater's own wall and skin are not stated; 'about 14'",
        source="independent reference run of whole heaters (computed)",
    )


def test_passes_are_enough() -> None:
    skin = np.array([20.5, 60.0, 150.0, 300.0])
    found: list[Any] = []
    settled: list[Any] = []
    cases = [
        (kind, side, gap, r)
        for kind in ("vented", "closed")
        for side in ("beside", "above", "below")
        for gap in (0.003, 0.01, 0.05, 0.2, 1.0)
        for r in (0.1, 3.0)
    ]
    with pytest.MonkeyPatch.context() as patch:
        for passes, store in ((clearance._PASSES, found), (25 * clearance._PASSES, settled)):
            patch.setattr(clearance, "_PASSES", passes)
            for kind, side, gap, r in cases:
                store.append(
                    beside(skin, gap, kind=kind, side=side, r_behind_m2K_W=r, view=0.8,
                           top_area_m2_m=0.01).face_C
                )
    assert np.max(np.abs(np.array(found) - np.array(settled))) < 0.05


@pytest.mark.parametrize("gap_m", [0.01, 0.05, 0.3])
def test_vented_heat_balance_closes(gap_m: float) -> None:
    """What leaves the skin goes into the wall or up with the air."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(clearance, "_PASSES", 300)
        wall = beside(SKIN_C, gap_m)
    into_wall = 0.3 * (wall.face_C - 20.0)
    plates = 3.77 * films.air_film_properties(wall.air_C)[1] / gap_m
    hs = np.maximum(films.vertical_wall_W_m2K(wall.air_C, SKIN_C, 1.8), plates)
    hw = np.maximum(films.vertical_wall_W_m2K(wall.air_C, wall.face_C, 1.8), plates)
    # outlet temperature from the exponential law, independently of the mean
    rate = (hs + hw) * 1.8 / (1008.0 * wall.air_kg_s_m)
    far = (hs * SKIN_C + hw * wall.face_C) / (hs + hw)
    outlet = far + (20.0 - far) * np.exp(-rate)
    up = wall.air_kg_s_m * 1008.0 * (outlet - 20.0) / 1.8
    close(
        into_wall + up,
        wall.flux_W_m2,
        within=1e-4,
        because="fixed point after 300 passes",
        source="energy balance of the gap",
    )


def test_flow_balances_draught_and_losses() -> None:
    air, room, gap, height, bottom, top = 45.0, 18.0, 0.04, 2.1, 0.01, 0.03
    flow = float(clearance.vent_flow_kg_s_m(air, room, gap, height, bottom, top))
    rho = 353.0 / (air + 273.15)
    draught = 353.0 * 9.80665 * height * (1 / (room + 273.15) - 1 / (air + 273.15))
    holes = sum(flow**2 / (2 * rho * (0.65 * a) ** 2) for a in (bottom, top))
    nu = float(films.air_film_properties(air)[0])
    friction = 12.0 * nu * height * flow / gap**3
    close(
        holes + friction,
        draught,
        within=1e-9,
        because="closed form of the same balance",
        source="stack effect, orifice and plane Poiseuille laws",
    )


def test_measured_cavity_flow_is_underestimated_not_overestimated() -> None:
    """Bouchair's cavity: 2 m high, 1.5 m wide, both walls at one temperature, slot 0.1 x 1.4 m.

    Measured kg/s, rows by cavity width, columns by wall temperature (open data as filed, geometry
    from the public simulation input). The balance is known to give 45-70 % of it: a bias to the
    warm side for the neighbour, reported and not tuned away.
    """
    walls = np.array([30.0, 40.0, 50.0, 60.0])
    widths = np.array([[0.1], [0.2], [0.3], [0.5]])
    measured = np.array(
        [
            [0.0686, 0.0910, 0.1120, 0.1218],
            [0.0840, 0.1148, 0.1386, 0.1540],
            [0.0826, 0.1120, 0.1358, 0.1526],
            [0.0770, 0.1120, 0.1274, 0.1442],
        ]
    )
    cavity = beside(walls, widths, height_m=2.0, bottom_area_m2_m=0.1 * 1.4 / 1.5,
                    r_behind_m2K_W=1e-4, t_behind_C=walls)
    share = 1.5 * cavity.air_kg_s_m / measured
    assert np.all((share > 0.45) & (share < 0.70))
    # ... while the dependence on temperature, at each width, is right
    close(
        share / share.mean(axis=1, keepdims=True),
        np.ones_like(share),
        within=0.05,
        because="scatter of the measured flows along one row",
        source="Bouchair's cavity, open data as filed",
    )


def test_closed_gap_is_the_gap_of_the_walls() -> None:
    wall = beside(kind="closed", gap_m=0.02)
    r = gaps.gap_resistance_m2K_W(SKIN_C, wall.face_C, 0.02, 0.9, 0.9, 1.8, "vertical")
    close(
        wall.face_C,
        SKIN_C - (SKIN_C - 20.0) * r / (r + 1.0 / 0.3),
        within=1e-4,
        because="series resistances, fixed point after 8 passes",
        source="steady series of two resistances",
    )
    assert np.all(wall.air_kg_s_m == 0.0)


def test_shut_openings_are_nearly_a_closed_gap() -> None:
    shut = beside(top_area_m2_m=0.0).face_C
    assert np.all(shut > beside().face_C + 5.0)
    assert np.all(np.abs(shut - beside(kind="closed").face_C) < 0.05 * (SKIN_C - 20.0))


def test_cover_hides_the_combustible() -> None:
    wall = beside(r_cover_m2K_W=0.5, r_behind_m2K_W=1.5, t_behind_C=5.0)
    close(
        (wall.face_C - wall.covered_C) / (wall.covered_C - 5.0),
        0.5 / 1.5,
        within=1e-9,
        because="one flux through both resistances",
        source="steady series of two resistances",
    )


@pytest.mark.parametrize("change", [
    {"emissivity_skin": 0.3}, {"emissivity_wall": 0.3}, {"view": 0.5}, {"gap_m": 0.1},
    {"r_behind_m2K_W": 1.0}, {"t_room_C": 15.0}, {"t_behind_C": 0.0},
])
def test_what_cools_a_wall(change: dict[str, Any]) -> None:
    assert np.all(beside(**change).face_C < beside().face_C)


@pytest.mark.parametrize("change", [
    {"bottom_area_m2_m": 0.005}, {"top_area_m2_m": 0.005}, {"kind": "closed"},
    {"kind": "closed", "side": "above"},
])
def test_what_heats_a_wall(change: dict[str, Any]) -> None:
    assert np.all(beside(**change).face_C > beside().face_C)


def test_a_ceiling_gets_more_than_a_floor() -> None:
    above = beside(kind="closed", side="above").face_C
    below = beside(kind="closed", side="below").face_C
    assert np.all(above > below)


@settings(deadline=None)
@given(
    skin=st.floats(20.0, 400.0),
    gap=st.floats(0.002, 2.0),
    view=st.floats(0.0, 1.0),
    opening=st.one_of(st.none(), st.floats(0.0, 0.3)),
    r=st.floats(0.05, 10.0),
    kind=st.sampled_from(["vented", "closed"]),
    side=st.sampled_from(["beside", "above", "below"]),
)
def test_nothing_is_hotter_than_the_skin_or_colder_than_the_room(
    skin: float, gap: float, view: float, opening: float | None, r: float, kind: str, side: str
) -> None:
    wall = beside(skin, gap, view=view, bottom_area_m2_m=opening, top_area_m2_m=opening,
                  r_behind_m2K_W=r, kind=kind, side=side)
    for value in (wall.face_C, wall.covered_C, wall.air_C):
        assert 20.0 - 1e-9 <= value <= skin + 1e-9
    hotter = beside(skin + 5.0, gap, view=view, bottom_area_m2_m=opening,
                    top_area_m2_m=opening, r_behind_m2K_W=r, kind=kind, side=side)
    assert hotter.face_C > wall.face_C
    assert hotter.flux_W_m2 > wall.flux_W_m2


def test_film_far_from_a_wall_is_the_free_film() -> None:
    far = clearance.effective_outside_film_W_m2K(
        SKIN_C, 20.0, 3.0, 1.8, 0.9, 0.9, "vented", None, None, 3.0,
        clearance.view_share(3.0, 1.0, 1.8),
    )
    close(
        far,
        films.outside_film_W_m2K(SKIN_C, 20.0, 0.9, 1.8, "vertical"),
        within=0.04,
        because="the wall still fills 6 % of the view and the air warms by some tenths",
        source="limit of a wall far away",
    )


def test_film_of_a_cold_skin_is_finite() -> None:
    film = clearance.effective_outside_film_W_m2K(
        np.array([19.9, 20.0, 20.1, 20.5, 21.0]), 20.0, 0.05, 1.8, 0.9, 0.9, "vented", None, None,
        3.0,
    )
    assert np.all((film > 1.0) & (film < 10.0))


@pytest.mark.parametrize(("gap", "width", "height"), [(0.05, 1.0, 1.8), (0.5, 0.6, 2.0),
                                                      (3.0, 1.0, 1.8)])
def test_view_share_is_the_integral(gap: float, width: float, height: float) -> None:
    value, _ = integrate.dblquad(
        lambda y, x: gap**2 / (np.pi * (x * x + y * y + gap**2) ** 2),
        -width / 2, width / 2, -height / 2, height / 2, epsabs=1e-10,
    )
    close(
        clearance.view_share(gap, width, height),
        value,
        within=1e-6,
        because="numerical quadrature against a closed form",
        source="definition of the view factor of an element, scipy dblquad",
    )


def test_members_broadcast_against_time() -> None:
    wall = beside(np.linspace(40.0, 90.0, 6), np.array([[0.03], [0.1]]))
    assert wall.face_C.shape == (2, 6)
    assert wall.face_C[1, 3] == beside(np.float64(70.0), 0.1).face_C


@pytest.mark.parametrize("kind", ["vented", "closed"])
def test_the_skin_feels_all_that_leaves_it(kind: clearance.Kind) -> None:
    """The film in front of a surrounding is its flux over the step to the room, whatever is behind
    taken as one resistance and nothing more; a skin at the room's own temperature is taken as half
    a kelvin warmer."""
    film = clearance.effective_outside_film_W_m2K(
        70.0, 20.0, 0.06, 1.5, 0.9, 0.85, kind, None, None, 0.4
    )
    flux = clearance.surrounding_face_C(
        70.0, 20.0, 0.06, 1.5, 0.9, 0.85, kind, None, None, 0.0, 0.4
    ).flux_W_m2
    close(film * 50.0, flux, within=1e-12, because="the definition, rounding left",
          source="heat balance of the skin")  # fmt: skip
    warm, even, cold = clearance.effective_outside_film_W_m2K(
        np.array([20.5, 20.0, 19.8]), 20.0, 0.06, 1.5, 0.9, 0.85, kind, None, None, 0.4
    )
    assert warm == even == cold > 0.0


def test_a_surrounding_seen_in_part_is_in_balance() -> None:
    """Two fifths of what it sees is the heater, the rest the room; the air between is still:
    F h_r (Ts - Tw) + (1 - F) h_rr (Tr - Tw) + h_a (Ts - Tw) = (Tw - Tr) / R."""
    found = clearance.surrounding_face_C(
        150.0, 20.0, 0.08, 1.6, 0.9, 0.8, "closed", None, None, 0.1, 0.9, view=0.4
    )
    face = float(found.face_C)
    sigma, skin_K, face_K, room_K = 5.670374419e-8, 423.15, face + 273.15, 293.15
    heater = 0.4 * sigma * (skin_K**4 - face_K**4) / (1.0 / 0.9 + 1.0 / 0.8 - 1.0)
    room = 0.6 * 0.8 * sigma * (room_K**4 - face_K**4)
    air = gaps.gap_convection_W_m2K(150.0, face, 0.08, 1.6, "vertical") * (150.0 - face)
    close(heater + room + air, (face - 20.0) / 1.0, within=0.005,
          because="eight rounds of a fixed point", source="heat balance of the surface")  # fmt: skip
    assert room < -20.0  # it gives a good part of it to the room


def test_air_colder_than_the_room_sinks_through_the_gap() -> None:
    """A cold skin: the flow is as strong as under a hot one but for the density."""
    down = float(clearance.vent_flow_kg_s_m(10.0, 20.0, 0.05, 1.8, None, None))
    up = float(clearance.vent_flow_kg_s_m(20.0, 10.0, 0.05, 1.8, None, None))
    assert down > 0.0
    assert abs(down / up - 1.0) < 0.05
    assert float(clearance.vent_flow_kg_s_m(60.0, 20.0, 0.05, 1.8, 0.0, None)) == 0.0
    assert float(clearance.vent_flow_kg_s_m(60.0, 20.0, 0.05, 1.8, None, 0.0)) == 0.0


def test_a_cold_skin_has_a_film_too() -> None:
    """In an unheated season the room is the warmer: the flux changes its sign, the film does not."""
    film = clearance.effective_outside_film_W_m2K(
        10.0, 20.0, 0.06, 1.5, 0.9, 0.85, "closed", None, None, 0.4
    )
    flux = clearance.surrounding_face_C(
        10.0, 20.0, 0.06, 1.5, 0.9, 0.85, "closed", None, None, 0.0, 0.4
    ).flux_W_m2
    assert film > 0.0 > flux
    close(film * -10.0, flux, within=1e-12, because="the definition, rounding left",
          source="heat balance of the skin")  # fmt: skip
