"""Wood's gas against a general library of chemistry: composition, heat content, flame, transport.

The library is given elements and air and nothing of ours: it finds for itself what forms.
"""

from __future__ import annotations

from functools import cache

import cantera
import fluids
import ht
import numpy as np
import pytest

from stovelint.heat import films, fuel, gas
from tests.heat.close import close

CANTERA = "Cantera 3.2.0, gri30 species data"
AIR = {"O2": 0.20946, "N2": 0.78084, "AR": 0.0097}  # dry, mol/mol; its CO2 counted as argon
KELVIN = 273.15
KINDS: tuple[fuel.Kind, ...] = ("hardwood", "softwood")


@cache
def library() -> cantera.Solution:
    return cantera.Solution("gri30.yaml")


def elements(kind: fuel.Kind, moisture: float) -> dict[str, float]:
    """Mass shares of moist wood, ash left out, as atoms and water."""
    wood, dry = fuel.WOOD[kind], 1.0 - moisture
    return {"C": wood.carbon * dry, "H": wood.hydrogen * dry, "O": wood.oxygen * dry,
            "N": wood.nitrogen * dry, "H2O": moisture}  # fmt: skip


def by_mass(air: dict[str, float]) -> dict[str, float]:
    """Mass shares of dry air: the library takes fuel and air alike by mass, or both by moles."""
    mix = library()
    mix.TPX = 300.0, cantera.one_atm, air
    return {name: float(mix[name].Y[0]) for name in air}


def burnt(kind: fuel.Kind, moisture: float, air_ratio: float) -> cantera.Solution:
    """What wood and air become at 500 degC, where nothing is dissociated and all is burnt."""
    mix = library()
    mix.set_equivalence_ratio(
        1.0 / air_ratio, elements(kind, moisture), by_mass(AIR), basis="mass"
    )
    mix.TP = 773.15, cantera.one_atm
    mix.equilibrate("TP")
    return mix


def air_for(kind: fuel.Kind, moisture: float) -> float:
    """Air that burns one kilogram of moist wood, its ash included (kg/kg)."""
    wood = elements(kind, moisture)
    per_burnable = library().stoich_air_fuel_ratio(wood, by_mass(AIR), basis="mass")
    return float(per_burnable) * sum(wood.values())


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("moisture", [0.0, 0.15, 0.30])
def test_air_and_gas_of_wood(kind: fuel.Kind, moisture: float) -> None:
    wood = elements(kind, moisture)
    air = air_for(kind, moisture)
    exact = "the same stoichiometry; molar masses of air differ in the fourth digit"
    close(fuel.stoichiometric_air_kg_kg(kind, moisture), air, within=0.0005, because=exact,
          source=CANTERA)  # fmt: skip
    for ratio in (1.0, 1.2, 2.0, 2.95, 4.0):
        mix = burnt(kind, moisture, ratio)
        close(fuel.flue_gas_fractions(kind, moisture, ratio),
              [mix["CO2"].X[0], mix["H2O"].X[0]], within=0.001,
              because="4.774 mol of air per mol of oxygen; traces of CO and NO at a ratio of 1",
              source=CANTERA + ", equilibrium at 500 degC")  # fmt: skip
        close(fuel.flue_gas_kg_kg(kind, moisture, ratio), sum(wood.values()) + ratio * air,
              within=0.0005, because=exact, source=CANTERA)  # fmt: skip


@pytest.mark.parametrize("air_ratio", [1.0, 1.5, 2.0, 2.95, 4.0])
@pytest.mark.parametrize("moisture", [0.0, 0.15, 0.30])
@pytest.mark.parametrize("kind", KINDS)
def test_specific_heat_and_heat_content(
    kind: fuel.Kind, moisture: float, air_ratio: float
) -> None:
    t = np.linspace(-20.0, 1600.0, 28)
    far = np.abs(t) > 50.0  # heat content counts from 0 degC: near it nothing is left to compare
    soft = kind == "softwood"
    fit = "fitted to 0.3 % for hardwood; softwood differs by less than 0.5 % more, as stated"
    mix = burnt(kind, moisture, air_ratio)
    cp, heat = np.empty(len(t)), np.empty(len(t))
    mix.TP = KELVIN, cantera.one_atm
    zero = mix.enthalpy_mass
    for i, value in enumerate(t):
        mix.TP = value + KELVIN, cantera.one_atm
        cp[i], heat[i] = mix.cp_mass, mix.enthalpy_mass - zero
    within = 0.007 if soft else 0.003
    close(gas.cp_J_kgK(t, air_ratio, moisture), cp, within=within, because=fit, source=CANTERA)
    close(gas.enthalpy_J_kg(t[far], air_ratio, moisture), heat[far], within=within, because=fit,
          source=CANTERA)  # fmt: skip


def flame_C(kind: fuel.Kind, moisture: float, air_ratio: float, kept: float = 1.0) -> float:
    """The package's flame: temperature at which the gas holds this share of the heating value."""
    heat = kept * fuel.net_calorific_J_kg(kind, moisture) / fuel.flue_gas_kg_kg(
        kind, moisture, air_ratio
    )
    t = np.linspace(0.0, 2400.0, 24001)
    above_25 = gas.enthalpy_J_kg(t, air_ratio, moisture) - gas.enthalpy_J_kg(
        25.0, air_ratio, moisture
    )
    return float(np.interp(heat, above_25, t))


def library_flame_C(
    kind: fuel.Kind, moisture: float, air_ratio: float, *, dissociated: bool, kept: float = 1.0
) -> float:
    """Heat of combustion added to burnt gas of 25 degC at constant pressure."""
    mass = sum(elements(kind, moisture).values()) + air_ratio * air_for(kind, moisture)
    mix = burnt(kind, moisture, air_ratio)
    mix.TP = 298.15, cantera.one_atm
    heat = kept * float(fuel.net_calorific_J_kg(kind, moisture))
    mix.HP = mix.enthalpy_mass + heat / mass, cantera.one_atm
    if dissociated:
        mix.equilibrate("HP")
    return float(mix.T) - KELVIN


@pytest.mark.parametrize("air_ratio", [1.5, 2.0, 2.5, 2.95, 3.5, 4.0])
@pytest.mark.parametrize("moisture", [0.10, 0.15, 0.20, 0.30])
@pytest.mark.parametrize("kind", KINDS)
def test_flame_temperature(kind: fuel.Kind, moisture: float, air_ratio: float) -> None:
    close(flame_C(kind, moisture, air_ratio),
          library_flame_C(kind, moisture, air_ratio, dissociated=False), within=0.004,
          because="heat content fitted to 0.3 %, softwood 0.2 % more",
          source=CANTERA + ", burnt gas heated at constant pressure")  # fmt: skip
    close(flame_C(kind, moisture, air_ratio),
          library_flame_C(kind, moisture, air_ratio, dissociated=True), within=0.01,
          because="dissociation takes up to 0.7 % at 1.5, next to nothing from 2 up",
          source=CANTERA + ", equilibrium at constant enthalpy")  # fmt: skip


# air ratio, adiabatic degC, degC after 30 % of the heat is lost
ROWS = [(1.0, 1876, 1430), (1.2, 1720, 1269), (1.5, 1482, 1086), (2.0, 1202, 877),
        (2.5, 1013, 738), (2.95, 888, 646), (3.5, 774, 562), (4.0, 693, 503)]  # fmt: skip


@pytest.mark.parametrize(("air_ratio", "adiabatic_C", "lossy_C"), ROWS)
def test_flame_rows_of_the_notes(air_ratio: float, adiabatic_C: float, lossy_C: float) -> None:
    """The referee itself gives the rows that the package's own tests are held to."""
    found = [library_flame_C("hardwood", 0.15, air_ratio, dissociated=True, kept=kept)
             for kept in (1.0, 0.7)]  # fmt: skip
    close(found, [adiabatic_C, lossy_C], within=0.005,
          because="air with and without argon, 0.35 % in mass",
          source="physics notes 1.2 and 8, wood of 15 % moisture")  # fmt: skip


def test_how_much_too_hot_a_flame_without_dissociation_is() -> None:
    """With just enough air real gas dissociates and is 90 K colder than gas that cannot; a fifth
    more air leaves 20 K of it, half more 7 K."""
    excess = [flame_C("hardwood", 0.15, ratio)
              - library_flame_C("hardwood", 0.15, ratio, dissociated=True)
              for ratio in (1.0, 1.2, 1.5, 2.0)]  # fmt: skip
    close(excess, [90.0, 21.0, 7.0, 2.0], within=4.0, unit="K",
          because="heat content fitted to 0.3 %, of which 0.2 % (4 K) at 1960 degC",
          source=CANTERA + ", equilibrium and frozen flames")  # fmt: skip


def test_moles_of_gas_element_by_element() -> None:
    """Every mole that leaves, counted: CO2, H2O, N2 of wood and air, O2 left over."""
    carbon, hydrogen, oxygen, nitrogen = (
        share / cantera.Element(name).weight
        for share, name in zip((0.502, 0.060, 0.433, 0.001), "CHON")
    )
    need = carbon + hydrogen / 4.0 - oxygen / 2.0
    ratio = np.array([1.0, 2.0, 4.0])
    inert = nitrogen / 2.0 + ratio * need * (fuel._AIR_PER_O2 - 1.0)
    moles = carbon + hydrogen / 2.0 + inert + (ratio - 1.0) * need
    x_co2, x_h2o = fuel.flue_gas_fractions("hardwood", 0.0, ratio)
    close(x_co2, carbon / moles, within=2e-6, because="atomic weights of both have five digits",
          source=CANTERA + ", atomic weights, with oak as read")  # fmt: skip
    close(x_h2o, 0.5 * hydrogen / moles, within=2e-6,
          because="atomic weights of both have five digits",
          source=CANTERA + ", atomic weights, with oak as read")  # fmt: skip


def transport(air_ratio: float, t_C: float) -> tuple[float, float, float]:
    """Viscosity (Pa s), conductivity (W/mK) and Prandtl number, averaged over the mixture."""
    mix = burnt("hardwood", 0.15, air_ratio)
    mix.TP = t_C + KELVIN, cantera.one_atm
    prandtl = mix.viscosity * mix.cp_mass / mix.thermal_conductivity
    return mix.viscosity, mix.thermal_conductivity, prandtl


TEMPERATURES_C = (-20.0, 100.0, 400.0, 800.0, 1200.0)


@pytest.mark.parametrize("t_C", TEMPERATURES_C)
def test_slow_gas_in_a_flue_conducts(t_C: float) -> None:
    for ratio, within, because in (
        (2.95, 0.0025, "fitted to 0.2 % at this ratio"),
        (1.0, 0.07, "stated: at other ratios within 7 %"),
        (2.0, 0.07, "stated: at other ratios within 7 %"),
        (4.0, 0.07, "stated: at other ratios within 7 %"),
    ):
        close(films.duct_W_m2K(1e-5, 0.01, 0.1, t_C, 0.002),
              3.66 * transport(ratio, t_C)[1] / 0.1, within=within, because=because,
              source=CANTERA + ", mixture-averaged; laminar Nu 3.66")  # fmt: skip


@pytest.mark.parametrize("t_C", TEMPERATURES_C)
@pytest.mark.parametrize("flow_kg_s", [0.05, 0.1, 0.3])
def test_fast_gas_in_a_flue(flow_kg_s: float, t_C: float) -> None:
    mu, k, pr = transport(2.95, t_C)
    reynolds = flow_kg_s / (0.15 * mu)
    assert reynolds > 4000.0
    friction = fluids.friction_factor(Re=reynolds, eD=0.002 / 0.15)
    nusselt = ht.turbulent_Gnielinski(Re=reynolds, Pr=pr, fd=friction)
    close(films.duct_W_m2K(flow_kg_s, 0.15**2, 0.15, t_C, 0.002), nusselt * k / 0.15,
          within=0.02, because="Haaland is 2 % in f off Colebrook at most, Pr 0.701 to 0.713",
          source=CANTERA + ", with ht Gnielinski and fluids friction")  # fmt: skip


def test_flue_row_of_the_notes() -> None:
    """0.18 m square flue, 0.0525 kg/s, 2 mm rough, 400 degC: Re 9081, f 0.0447, Nu 39.7."""
    mu, k, _ = transport(2.95, 400.0)
    source = "physics notes 8, friction and flue rows"
    reynolds = 0.0525 / (0.18 * mu)
    digits = "given to three or four digits"
    close(reynolds, 9081.0, within=0.004, because="viscosity of air with argon is 0.3 % more",
          source=source)  # fmt: skip
    close(fluids.friction_factor(Re=9081.0, eD=0.0111), 0.0447, within=0.002, because=digits,
          source=source)  # fmt: skip
    close(films.duct_W_m2K(0.0525, 0.18**2, 0.18, 400.0, 0.002) * 0.18 / k, 39.7, within=0.01,
          because="Haaland for the implicit friction factor", source=source)  # fmt: skip
