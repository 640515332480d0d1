"""One pass over a heater: every flow by its own formula, and nothing gained or lost."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray

from stovelint.heat.emissivity import gas_absorptivity, gas_emissivity
from stovelint.heat.films import (
    STEFAN_BOLTZMANN, Orientation, duct_W_m2K, horizontal_W_m2K, outside_film_W_m2K,
    vertical_wall_W_m2K,
)  # fmt: skip
from stovelint.heat.gaps import gap_resistance_m2K_W
from stovelint.heat.gas import enthalpy_J_kg
from stovelint.heat.heater import Faces, Heater, Pass, State
from stovelint.heat.network import (
    GROUND, OUTDOORS, ROOM, Drive, Duct, Enclosure, Hearth, Network, Plug, Pocket, Stirred,
)  # fmt: skip
from tests.heat.close import close
from tests.heat.small import Wall, drive, network

Floats = NDArray[np.float64]

M, N = 2, 6
EXACT = "the same closed formula, written out"
DUCT = Duct(area_m2=0.03, hydraulic_diameter_m=0.16)
WALLS = (
    Wall(zone=0, area_m2=0.9, height_m=0.7, emissivity=0.85, cold_emissivity=0.92),
    Wall(zone=0, area_m2=0.3, film="floor", height_m=0.5, cold=GROUND, emissivity=0.95),
    Wall(zone=0, area_m2=0.35, film="ceiling", height_m=0.4, cold=OUTDOORS, cold_film="ceiling",
         cold_ratio=1.2, emissivity=0.8, cold_emissivity=0.7),
    Wall(zone=1, area_m2=1.1, film="duct", height_m=2.0, emissivity=0.9, cold_film="floor"),
    Wall(zone=1, area_m2=0.6, film="duct", height_m=1.0, emissivity=0.88, cold=2),
    Wall(zone=2, area_m2=0.5, film="vertical", height_m=0.6, cold=OUTDOORS),
)  # fmt: skip
WAYS = (
    Stirred(zone=0, inlets=(), heat_share="firebox"),
    Plug(zones=(1,), inlets=((0, 1.0),), heat_weights=(1.0,)),
    Pocket(zones=(2,), from_zone=0, area_m2=0.04, height_m=0.3),
)
GAS_FACES = [0, 1, 2, 3, 4, 5, 10]
"""Those that look at a zone; the cold side of the fifth wall looks into the pocket."""
ZONES = [0, 0, 0, 1, 1, 2, 2]


def small_heater() -> Network:
    """Firebox, a duct after it, and a niche beside it that a wall of the duct warms."""
    sees = np.array([[0.8, 0.2], [0.25, 0.75]])
    areas = np.array([1.55, 1.24])  # symmetric: 1.55 * 0.2 = 1.24 * 0.25
    assert np.isclose(areas[0] * sees[0, 1], areas[1] * sees[1, 0])
    net = network(
        WALLS, WAYS, zones=3, members=M, way_flow=(1.0, 1.0, 0.0), exits=((1, 1.0),),
        enclosures=[Enclosure(zones=np.array([z]), shares=np.ones((1, 1))) for z in range(3)],
    )  # fmt: skip
    return replace(
        net, zone_duct=(None, DUCT, None), jet_faces=(2,), zone_path_m=np.array([0.35, 0.15, 0.2])
    )


def firing(**other: Any) -> Drive:
    heat = np.array([[0.0, 6e3, 1.2e4, 9e3, 2e3, 0.0]]) * np.array([[1.0], [1.3]])
    values: dict[str, Any] = {
        "burning": np.array([False, True, True, True, True, False]),
        "x_co2": 0.09, "x_h2o": 0.08, "flame_emissivity": np.array([[0.2], [0.3]]),
        "riser_share": np.array([[0.1], [0.25]]), "film_factor": np.array([[0.8], [1.3]]),
        "room_film_factor": np.array([[1.1], [0.9]]), "jet_factor": np.array([[2.0], [3.5]]),
        "room_C": np.array([[20.0], [24.0]]), "outdoors_C": np.array([[-5.0], [3.0]]),
        "ground_C": np.array([[8.0], [11.0]]),
    }  # fmt: skip
    flow = np.array([[0.004, 0.012, 0.02, 0.018, 0.01, 0.004]]) * np.array([[1.0], [1.2]])
    flow = np.broadcast_to(other.pop("flow_kg_s", flow), heat.shape)
    return drive(heat, flow, **{**values, **other})


def some_state(seed: int = 2) -> State:
    random = np.random.default_rng(seed)
    faces = 60.0 + 300.0 * random.random((M, 12, N))
    faces[:, 6:] = 20.0 + 60.0 * random.random((M, 6, N))
    return State(faces, 300.0 + 500.0 * random.random((M, 3, N)), None)


def at_rest(heater: Heater, state: State) -> tuple[State, Pass]:
    """Passes with the faces held until gas and rays stand still."""
    for _ in range(200):
        found = heater.evaluate(state)
        step = np.abs(found.gas.t_C - state.zones_C).max()
        state = State(state.faces_C, found.gas.t_C, found.irradiation)
        if step < 1e-9:
            return state, found
    raise AssertionError("the gas does not come to rest")


def test_tables_of_faces() -> None:
    faces = Faces(small_heater())
    assert faces.gas.tolist() == GAS_FACES and faces.zone.tolist() == ZONES
    areas = [0.9, 0.3, 0.35, 1.1, 0.6, 0.5, 0.6]
    assert np.allclose(faces.to_zone.sum(axis=0), areas)
    assert np.allclose(faces.zone_area, [1.55, 1.7, 1.1])
    assert all(faces.to_zone[z, i] == a for i, (z, a) in enumerate(zip(ZONES, areas)))
    assert {kind: local.tolist() for kind, local in faces.by_film.items() if len(local)} == {
        "vertical": [0, 5, 6], "floor": [1], "ceiling": [2], "duct": [3, 4]
    }
    assert faces.jet.tolist() == [2] and faces.ground.tolist() == [7]
    assert {at: found.tolist() for at, found in faces.outer.items() if len(found)} == {
        (ROOM, "vertical"): [6], (ROOM, "floor"): [9], (OUTDOORS, "ceiling"): [8],
        (OUTDOORS, "vertical"): [11],
    }


def test_a_zone_without_faces_divides_by_nothing() -> None:
    faces = Faces(network([Wall(zone=0)], zones=2))
    assert 0.0 < faces.zone_area[1] < 1e-6 and faces.zone_area[0] == 1.0


def test_every_film_is_that_of_its_kind() -> None:
    net, what, (faces, zones, _) = small_heater(), firing(), some_state()
    found = Heater(net, what).films(faces, zones)
    factor = what.film_factor
    for row, (face, zone) in enumerate(zip(GAS_FACES, ZONES)):
        t, gas, height = faces[:, face], zones[:, zone], net.face_height_m[face]
        free = vertical_wall_W_m2K(gas, t, height)
        expected = {
            "vertical": free,
            "floor": horizontal_W_m2K(gas, t, height, "floor"),
            "ceiling": horizontal_W_m2K(gas, t, height, "ceiling"),
            "duct": np.maximum(free, duct_W_m2K(what.flow_kg_s, 0.03, 0.16, gas, 0.002)),
        }[net.face_film[face]]
        if face == 2:  # the crown: its own factor at the strongest flow, 1 without any
            share = what.flow_kg_s / what.flow_kg_s.max(axis=1, keepdims=True)
            expected = expected * (1.0 + (what.jet_factor - 1.0) * share)
        close(found[:, row], expected * factor, within=1e-12, because=EXACT,
              source="film functions, tested on their own")  # fmt: skip


def test_forced_flow_counts_the_share_of_the_gas_that_passes() -> None:
    net = replace(small_heater(), way_flow=np.array([1.0, 0.5, 0.0]))
    heater = Heater(net, firing())
    assert heater.way_flow_of_zone().tolist() == [1.0, 0.5, 0.0]
    faces, zones, _ = some_state()
    strong = firing(flow_kg_s=0.0)
    fast = replace(strong, flow_kg_s=np.full((M, N), 0.3))
    found = Heater(net, fast).films(faces, zones)[:, 3] / fast.film_factor
    forced = duct_W_m2K(np.full((M, N), 0.15), 0.03, 0.16, zones[:, 1], 0.002)
    assert (forced > 2.0 * vertical_wall_W_m2K(zones[:, 1], faces[:, 3], 2.0)).all()
    close(found, forced, within=1e-12, because=EXACT, source="film function with half the flow")
    still = Heater(net, strong).films(faces, zones)[:, 3] / strong.film_factor
    free = vertical_wall_W_m2K(zones[:, 1], faces[:, 3], 2.0)
    close(still, np.maximum(free, duct_W_m2K(0.0, 0.03, 0.16, zones[:, 1], 0.002)), within=1e-12,
          because=EXACT, source="film functions without flow")  # fmt: skip


def test_gas_and_flames_shine_only_while_it_burns() -> None:
    """Flames stand in front of the gas in the firebox alone: 1 - (1 - e_gas)(1 - e_flame)."""
    net, what = small_heater(), firing()
    walls_C, zones = np.full((M, 3, N), 250.0), some_state().zones_C
    e, a = Heater(net, what).gas_radiation(zones, walls_C)
    for zone, path in enumerate((0.35, 0.15, 0.2)):
        flame = np.array([[0.2], [0.3]]) * (zone == 0)
        e_gas = gas_emissivity(zones[:, zone], path, 0.09, 0.08)
        a_gas = gas_absorptivity(zones[:, zone], 250.0, path, 0.09, 0.08)
        for found, own in ((e, e_gas), (a, a_gas)):
            expected = (1.0 - (1.0 - own) * (1.0 - flame)) * what.burning
            assert np.allclose(found[:, zone], expected, rtol=1e-12)
            assert not found[:, zone, ~what.burning].any()


def test_gas_absorbs_no_more_than_all() -> None:
    """The square root in Hottel's rule would pass 1 for hot thick gas before a cold wall."""
    net = replace(small_heater(), zone_path_m=np.full(3, 60.0), zone_flame=np.zeros(3))
    _, a = Heater(net, firing()).gas_radiation(np.full((M, 3, N), 1900.0), np.full((M, 3, N), 0.0))
    assert gas_absorptivity(1900.0, 0.0, 60.0, 0.09, 0.08) > 1.0
    assert a.max() == 0.99


def test_the_gas_holds_what_the_line_of_its_heat_says() -> None:
    """cp is taken as a line over temperature with the true heat content at 400 and 1000 degC."""
    what = firing(air_ratio=np.linspace(1.2, 6.0, N))
    caloric = Heater(small_heater(), what).caloric
    for t in (400.0, 1000.0):
        close(caloric.cp(np.array(t / 2.0)) * t, enthalpy_J_kg(np.array(t), what.air_ratio),
              within=1e-12, because="the mean of a line is its value in the middle",
              source="heat content of the gas, tested on its own")  # fmt: skip


def test_faces_take_what_gas_and_rays_bring() -> None:
    """Each zone sees itself alone, so that J = E + rho H and H = e sigma Tg^4 + (1 - a) J close:
    H = (e sigma Tg^4 + (1 - a) E) / (1 - (1 - a) rho)."""
    net, what = small_heater(), firing()
    heater = Heater(net, what)
    state, found = at_rest(heater, some_state())
    h = heater.films(state.faces_C, state.zones_C)
    black = STEFAN_BOLTZMANN * (state.faces_C + 273.15) ** 4
    wall_C = np.stack(
        [sum(net.face_area_m2[f] * state.faces_C[:, f] for f, z in zip(GAS_FACES, ZONES) if z == k)
         / heater.faces.zone_area[k] for k in range(3)], axis=1,
    )  # fmt: skip
    e, a = heater.gas_radiation(state.zones_C, wall_C)
    for row, (face, zone) in enumerate(zip(GAS_FACES, ZONES)):
        members = [f for f, z in zip(GAS_FACES, ZONES) if z == zone]
        area, dull = net.face_area_m2[members], net.face_emissivity[0, members]
        own = sum(x * y * black[:, f] for x, y, f in zip(area, dull, members)) / area.sum()
        rho = 1.0 - (area @ dull) / area.sum()
        gas_black = STEFAN_BOLTZMANN * (state.zones_C[:, zone] + 273.15) ** 4
        through = 1.0 - a[:, zone]
        rays = (e[:, zone] * gas_black + through * own) / (1.0 - through * rho)
        emissivity = net.face_emissivity[0, face]
        carried = h[:, row] * (state.zones_C[:, zone] - state.faces_C[:, face])
        expected = emissivity * (rays - black[:, face]) + carried
        scale = np.abs(expected).max()
        assert np.abs(found.q_W_m2[:, face] - expected).max() < 1e-6 * scale
        assert np.allclose(found.irradiation[:, zone], rays, rtol=1e-6)
        slope = h[:, row] + 4.0 * emissivity * black[:, face] / (state.faces_C[:, face] + 273.15)
        assert np.allclose(found.films_W_m2K[:, face], slope, rtol=1e-6)


@pytest.mark.parametrize("jet", [1.0, 3.0])
def test_at_rest_all_heat_is_in_the_faces_or_the_chimney(jet: float) -> None:
    """At every sample: gas holds nothing. The niche behind the opening gets its share."""
    net, what = small_heater(), firing(jet_factor=jet)
    state, found = at_rest(Heater(net, what), some_state())
    taken = np.einsum("mfn,f->mn", found.q_W_m2[:, GAS_FACES], net.face_area_m2[GAS_FACES])
    close(taken + found.gas.exit_W, what.heat_W, within=1e-6 * float(what.heat_W.max()), unit="W",
          because="settled to 1e-9 K", source="the first law")  # fmt: skip
    niche = found.q_W_m2[:, [5, 10]].sum(axis=1)
    assert np.abs(niche).max() > 20.0


def test_outer_faces_meet_room_outdoors_and_ground() -> None:
    """A floor's underside looks down and a ceiling's top side up; the ground is a fixed one."""
    net, what, state = small_heater(), firing(), some_state()
    found = Heater(net, what).evaluate(state)
    cases: tuple[tuple[int, Floats, Orientation, float, float], ...] = (
        (6, what.room_C, "vertical", 0.92, 0.7), (8, what.outdoors_C, "up", 0.7, 0.4),
        (9, what.room_C, "down", 0.9, 2.0), (11, what.outdoors_C, "vertical", 0.9, 0.6),
    )  # fmt: skip
    for face, air, way, emissivity, height in cases:
        t = state.faces_C[:, face]
        film = outside_film_W_m2K(t, air, emissivity, height, way) * what.room_film_factor
        close(found.q_W_m2[:, face], film * (air - t), within=1e-12, because=EXACT,
              source="outside film, tested on its own")  # fmt: skip
        close(found.films_W_m2K[:, face], 1.25 * film, within=1e-12,
              because="free convection as dT^1.25 or so",
              source="slope of the outside flow, practice")  # fmt: skip
    ground = found.films_W_m2K[:, 7]
    assert (ground >= 500.0 * found.films_W_m2K[:, 6]).all()
    close(found.q_W_m2[:, 7], ground * (what.ground_C - state.faces_C[:, 7]), within=1e-12,
          because=EXACT, source="a film as good as a fixed temperature")  # fmt: skip


def test_the_slope_of_the_outside_flow_is_steeper_than_its_mean() -> None:
    """d(h dT)/dT over h at the skins of a heater in a room of 20 degC."""
    t = np.linspace(50.0, 90.0, 9)
    flow = [outside_film_W_m2K(t + d, 20.0, 0.9, 1.5, "vertical") * (t + d - 20.0)
            for d in (-0.5, 0.5)]  # fmt: skip
    slope = (flow[1] - flow[0]) / outside_film_W_m2K(t, 20.0, 0.9, 1.5, "vertical")
    close(slope, np.full(9, 1.25), within=0.045, because="one number for 50 to 90 degC",
          source="numeric slope of the outside film")  # fmt: skip


def closed(heater: Heater, state: State) -> tuple[Floats, Floats, Floats]:
    """The firebox's weights, kappa and films of its faces."""
    films = heater.evaluate(state).films_W_m2K
    (faces, weights, kappa), = heater.groups(state, films)
    assert faces.tolist() == [0, 1, 2]
    return weights, kappa, films[:, [0, 1, 2]]


def test_a_closed_zone_gives_everything_back() -> None:
    """Without flow every watt that leaves one face reaches another: kappa 1, whatever the gas."""
    for what in (firing(flow_kg_s=0.0), firing(flow_kg_s=0.0, x_co2=0.0, x_h2o=0.0)):
        weights, kappa, films = closed(Heater(small_heater(), what), some_state())
        assert np.allclose(kappa, 1.0, rtol=1e-12)
        strength = (films.mean(axis=0) * np.array([0.9, 0.3, 0.35])[:, None]).mean(axis=1)
        close(weights, strength / strength.sum(), within=1e-12, because=EXACT,
              source="areas times mean films")  # fmt: skip


def test_a_great_flow_leaves_only_the_direct_rays() -> None:
    """What reaches the gas is swept away: kappa is the share of rays that pass it."""
    state = some_state()
    heater = Heater(small_heater(), firing(flow_kg_s=1e6))
    _, kappa, films = closed(heater, state)
    area = np.array([0.9, 0.3, 0.35])[:, None]
    dull = np.array([0.85, 0.95, 0.8])[:, None]
    rays = 4.0 * STEFAN_BOLTZMANN * dull * (state.faces_C[:, [0, 1, 2]] + 273.15) ** 3
    wall_C = np.repeat((area * state.faces_C[:, [0, 1, 2]]).sum(axis=1, keepdims=True) / 1.55, 3, 1)
    _, a = heater.gas_radiation(state.zones_C, wall_C)
    passed = (area * rays * (1.0 - a[:, [0]])).sum(axis=1) / (area * films).sum(axis=1)
    close(kappa, passed.mean(axis=0), within=1e-4, because="the flow is great, not endless",
          source="limit of the share given back")  # fmt: skip


def test_a_flow_as_strong_as_the_faces_halves_what_the_gas_returns() -> None:
    """Clear gas, black-cold faces: with m cp = sum(h A) half of the convected heat comes back."""
    still = firing(x_co2=0.0, x_h2o=0.0, flame_emissivity=0.0, flow_kg_s=0.0)
    net = small_heater()
    net = replace(net, face_emissivity=np.full_like(net.face_emissivity, 1e-12))
    state = some_state()
    _, _, films = closed(Heater(net, still), state)
    total = (np.array([0.9, 0.3, 0.35])[:, None] * films).sum(axis=1)
    cp = Heater(net, still).caloric.cp(state.zones_C[:, 0])
    flowing = replace(still, flow_kg_s=total / cp, jet_factor=np.ones((M, 1)))
    heater = Heater(net, flowing)
    (_, _, kappa), = heater.groups(state, np.concatenate([films, np.zeros((M, 9, N))], axis=1))
    close(kappa, np.full(N, 0.5), within=1e-6, because="faces that emit next to nothing",
          source="two equal conductances from one node")  # fmt: skip


def test_a_slip_joint_is_a_gap_of_three_millimetres_at_150_degC() -> None:
    """What a core and the walls around it touch through, whatever gas is named between them."""
    net = replace(small_heater(), face_film=("contact", *small_heater().face_film[1:]))
    what = firing()
    film = Heater(net, what).films(*some_state()[:2])[:, 0] / what.film_factor
    joint = 1.0 / gap_resistance_m2K_W(165.0, 135.0, 0.003, 0.9, 0.9, 2.0, "vertical")
    close(film, np.full((M, N), float(joint)), within=0.03, because="rounded to 25",
          source="gap of 3 mm by the gap's own formula")  # fmt: skip


def test_a_heater_may_lack_any_kind_of_face() -> None:
    """No upright face towards the gas, and a zone with flames but without faces before the one
    that has some: what comes after is still reckoned."""
    net = network(
        [Wall(zone=1, film="ceiling"), Wall(zone=1, film="floor")],
        [Stirred(zone=1, inlets=(), heat_share="firebox")], zones=2, flame=1.0,
    )  # fmt: skip
    net = replace(net, zone_flame=np.ones(2))
    heater = Heater(net, drive(np.full((1, 4), 2e3), 0.01))
    assert heater.way_flow_of_zone().tolist() == [0.0, 1.0]
    state = State(np.full((1, 4, 4), 200.0), np.full((1, 2, 4), 500.0), None)
    film = heater.films(state.faces_C, state.zones_C)
    for row, facing in enumerate(("ceiling", "floor")):
        one = horizontal_W_m2K(500.0, 200.0, 1.0, "ceiling" if facing == "ceiling" else "floor")
        assert np.allclose(film[0, row], one, rtol=1e-12)
    found = heater.groups(state, heater.evaluate(state).films_W_m2K)
    assert [faces.tolist() for faces, _, _ in found] == [[0, 1]]


def test_each_member_may_have_its_own_share_of_the_flow() -> None:
    share = np.array([[[1.0], [1.0]], [[0.3], [0.6]], [[0.0], [0.0]]])
    net = replace(small_heater(), way_flow=share)
    flows = Heater(net, firing()).way_flow_of_zone()
    assert flows.shape == (3, M, 1)
    assert np.array_equal(flows[:, :, 0], [[1.0, 1.0], [0.3, 0.6], [0.0, 0.0]])


def test_half_the_gas_carries_half_away() -> None:
    """What a zone gives back depends on the flow that passes it: half of twice as much."""
    net, state = small_heater(), some_state()
    films = Heater(net, firing()).evaluate(state).films_W_m2K
    (_, _, one), = Heater(net, firing()).groups(state, films)
    halved = replace(net, way_flow=np.array([0.5, 1.0, 0.0]))
    (_, _, two), = Heater(halved, firing(flow_kg_s=2.0 * firing().flow_kg_s)).groups(state, films)
    assert np.allclose(one, two, rtol=1e-12) and one.max() < 0.99


@pytest.mark.parametrize("share", [0.0, 0.3])
def test_rays_of_a_free_fire_reach_its_chamber(share: float) -> None:
    """What the flames send out as rays the gas lacks and the faces get, each band by its area; the
    sum is the heat released all the same."""
    walls = [Wall(zone=0, area_m2=1.4, film="ceiling", emissivity=0.8), Wall(zone=1, area_m2=0.6)]
    hearth = Hearth(
        zones=(0, 1), inlets=(), edges_m=(1.2, 0.6, 0.0), diameter_m=0.3, reach=(2.0,), inlet=1,
        leaving=(1.0, 0.0),
    )  # fmt: skip
    net = network(walls, [hearth], zones=2)
    what = drive(np.full((1, 3), 6e3), 0.02, flame_rays=share)
    heater = Heater(net, what)
    state = State(np.full((1, 4, 3), 120.0), np.full((1, 2, 3), 400.0), None)
    state, found = at_rest(heater, state)
    taken = (found.q_W_m2[:, :2] * net.face_area_m2[:2, None]).sum(axis=1)
    close(taken + found.gas.exit_W, what.heat_W, within=1e-5 * 6e3, unit="W",
          because="settled to 1e-9 K", source="the first law")  # fmt: skip
    # faces alike in temperature exchange nothing: by rays each takes e share Q / sum(A), and what
    # it reflects in its own band again
    h = heater.films(state.faces_C, state.zones_C)
    carried = h * (state.zones_C - state.faces_C[:, :2])
    for row in range(2):
        rays = found.q_W_m2[:, row] - carried[:, row]
        assert np.abs(rays - share * 6e3 / 2.0).max() < 1e-3
