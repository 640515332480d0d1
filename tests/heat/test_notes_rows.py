"""Rows of the physics notes, section 8, that no other test holds: the libraries give what the notes
say, and the package what the libraries give."""

from __future__ import annotations

from typing import Callable

import cantera
import ht
import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI
from scipy.integrate import solve_ivp

from stovelint.catalogue.catalogue import Catalogue
from stovelint.heat import films
from stovelint.heat.gas import enthalpy_J_kg
from stovelint.heat.layers import chain, face_temperatures, harmonics_rad_s, layer_admittance
from tests.heat.close import close

ROWS = "physics notes 8"
DIGITS = "given to three or four digits"


def test_wood_gas_flame() -> None:
    """Gas of smouldering wood burnt at a ratio of 0.5: 1190 degC, and what it becomes holds as
    much heat by the package's polynomials as was set free."""
    mix = cantera.Solution("gri30.yaml")
    wood_gas = {"CO": 0.25, "H2": 0.18, "CH4": 0.03, "CO2": 0.12, "N2": 0.42}
    mix.set_equivalence_ratio(0.5, wood_gas, {"O2": 1.0, "N2": 3.76})
    mix.TP = 298.15, cantera.one_atm
    cold = mix.enthalpy_mass
    mix.equilibrate("HP")
    flame_C = float(mix.T) - 273.15
    close(flame_C, 1190.0, within=0.003, because=DIGITS, source=ROWS)
    # the burnt gas has CO2 and steam of wood at an air ratio near 2: heat content over 25 degC
    hot = mix.enthalpy_mass
    mix.TP = 298.15, cantera.one_atm
    freed = hot - mix.enthalpy_mass
    assert abs(hot - cold) < 1.0
    close(enthalpy_J_kg(flame_C, 1.6) - enthalpy_J_kg(25.0, 1.6), freed, within=0.03,
          because="gas of wood at 1.6 has a tenth less steam and carbon dioxide than this mixture",
          source="Cantera 3.2.0, gri30 species data")  # fmt: skip


@pytest.mark.parametrize(
    ("upwards", "lowest", "highest"), [(True, 5.6, 8.1), (False, 1.9, 2.6)]
)
def test_hot_plate_up_and_down(upwards: bool, lowest: float, highest: float) -> None:
    """A plate of 60 degC in 20: published forms spread as noted, and ours is one of them."""
    film = 40.0 + 273.15
    rho, cp, mu, k = (PropsSI(x, "T", film, "P", 101325.0, "Air") for x in "DCVL")
    length = 0.2
    prandtl = cp * mu / k
    grashof = 9.80665 / film * 40.0 * length**3 * (rho / mu) ** 2
    found = {}
    for method in ("McAdams", "VDI", "Rohsenow") if upwards else ("McAdams", "VDI"):
        nusselt = ht.Nu_free_horizontal_plate(prandtl, grashof, upwards, L=length, Method=method)
        found[method] = float(nusselt) * k / length
    close([min(found.values()), max(found.values())], [lowest, highest], within=0.05,
          because="noted to one digit after the point; a third form lies a tenth under the range",
          source=ROWS + ", ht.Nu_free_horizontal_plate")  # fmt: skip
    ours = films.horizontal_W_m2K(20.0, 60.0, length, "floor" if upwards else "ceiling")
    close(ours, found["McAdams"], within=0.01, because="the same law, properties fitted to 0.1 %",
          source="ht 1.2.0, McAdams")  # fmt: skip
    assert lowest - 0.05 <= float(ours) <= highest + 0.05


def test_fireclay_conducts_as_the_library_says() -> None:
    """1.05, 1.15, 1.22 W/mK at 400, 800, 1200 degC, and so does the catalogue."""
    conducts: Callable[[str, float], float] = ht.insulation.refractory_VDI_k
    found = [conducts("Fireclay", t + 273.15) for t in (400.0, 800.0, 1200.0)]
    close(found, [1.05, 1.15, 1.22], within=0.006, because="given to two digits after the point",
          source=ROWS)  # fmt: skip
    curve = Catalogue().get("firebrick-medium-duty").conductivity
    assert curve is not None
    close([float(curve.at(t)) for t in (400.0, 800.0, 1200.0)], found, within=0.006,
          because="given to two digits after the point", source="ht 1.2.0, refractory_VDI_k")


def test_a_stiff_solver_comes_to_the_same_days() -> None:
    """`solve_ivp(method="BDF")` on cells of 5 mm, day after day, against the periodic answer: the
    notes call it not needed, and it is not."""
    k, c, depth, cells, day_s = 1.0, 1.92e6, 0.12, 24, 43200.0
    dx = depth / cells
    inside, outside = 25.0, 9.5

    def gas_C(t_s: float) -> float:
        return 200.0 + 150.0 * float(np.cos(2.0 * np.pi * t_s / day_s))

    def slope(t_s: float, cell_C: np.ndarray) -> np.ndarray:
        flow = np.empty(cells + 1)
        flow[1:-1] = k / dx * (cell_C[:-1] - cell_C[1:])
        flow[0] = (gas_C(t_s) - cell_C[0]) / (1.0 / inside + 0.5 * dx / k)
        flow[-1] = (cell_C[-1] - 20.0) / (1.0 / outside + 0.5 * dx / k)
        return np.asarray((flow[:-1] - flow[1:]) / (c * dx))

    days, n = 8, 48
    times = (days - 1) * day_s + np.arange(n) * day_s / n
    run = solve_ivp(slope, (0.0, days * day_s), np.full(cells, 100.0), method="BDF", t_eval=times,
                    rtol=1e-7, atol=1e-6)  # fmt: skip
    skin = 20.0 + (run.y[-1] - 20.0) * (0.5 * dx / k + 1.0 / outside) ** -1 / outside
    omega = harmonics_rad_s(day_s, n)
    wall = chain([layer_admittance(np.array([depth / k]), np.array([depth * c]), omega)])
    gas = np.array([[gas_C(t) for t in np.arange(n) * day_s / n]])
    _, cold = face_temperatures(
        wall, np.array([inside]), np.fft.rfft(gas), np.array([outside]),
        np.fft.rfft(np.full((1, n), 20.0)),
    )  # fmt: skip
    close(np.fft.irfft(cold, n=n)[0], skin, within=0.15, unit="K",
          because="cells of 5 mm: 0.1 K, as halving them shows; eight days to be periodic",
          source="scipy.integrate.solve_ivp, BDF")  # fmt: skip
