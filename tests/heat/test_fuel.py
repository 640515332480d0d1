"""Wood: heating value, air, gas, and the proportions of the burn curve."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from stovelint.heat import fuel
from tests.heat.close import close

CANTERA = "combustion table computed with Cantera 3.2.0, wood at 15 % moisture"
# air ratio, kg gas per kg fuel, x CO2, x H2O
GAS = np.array(
    [
        (1.0, 6.05, 0.171, 0.162),
        (1.2, 7.06, 0.146, 0.139),
        (1.5, 8.57, 0.120, 0.114),
        (2.0, 11.10, 0.093, 0.088),
        (2.5, 13.62, 0.076, 0.072),
        (2.95, 15.90, 0.065, 0.061),
        (3.5, 18.67, 0.055, 0.052),
        (4.0, 21.20, 0.049, 0.046),
    ]
).T


def test_compositions_are_whole() -> None:
    for wood in fuel.WOOD.values():
        assert abs(sum(wood) - 1.0) < 1e-12


def test_heating_value_rows() -> None:
    w = np.array([0.0, 0.10, 0.15, 0.18, 0.20, 0.25, 0.30])
    close(
        fuel.net_calorific_J_kg("hardwood", w) / 1e6,
        [18.78, 16.66, 15.60, 14.96, 14.54, 13.48, 12.42],
        within=0.0005,
        because="rounding of four printed digits",
        source="rows computed from the wood-fuel notes, dry oak",
    )
    close(
        fuel.net_calorific_J_kg("hardwood", 0.18) / 3.6e6,
        4.16,
        within=0.002,
        because="rounding of three printed digits",
        source="round number of the tile-stove trade (recalled)",
    )


def test_softwood_burns_hotter_and_needs_more_air() -> None:
    hard, soft = (fuel.net_calorific_J_kg(kind, 0.15) for kind in ("hardwood", "softwood"))
    assert 1.02 < soft / hard < 1.20
    hard, soft = (fuel.stoichiometric_air_kg_kg(kind, 0.15) for kind in ("hardwood", "softwood"))
    assert 1.02 < soft / hard < 1.20


def test_air_rows() -> None:
    close(
        fuel.stoichiometric_air_kg_kg("hardwood", np.array([0.0, 0.15, 0.20])),
        [5.96, 5.07, 4.77],
        within=0.001,
        because="rounding of three printed digits",
        source="rows computed by stoichiometry, dry oak",
    )


def test_gas_rows() -> None:
    ratio, mass, co2, h2o = GAS
    close(
        fuel.flue_gas_kg_kg("hardwood", 0.15, ratio),
        mass,
        within=0.005,
        because="the table's air has no argon: 28.85 instead of 28.965 g/mol",
        source=CANTERA,
    )
    x_co2, x_h2o = fuel.flue_gas_fractions("hardwood", 0.15, ratio)
    half_digit = "rounding of three decimals"
    close(x_co2, co2, within=0.0006, unit="mol/mol", because=half_digit, source=CANTERA)
    close(x_h2o, h2o, within=0.0006, unit="mol/mol", because=half_digit, source=CANTERA)


def test_oxygen_rule_of_the_flue_tester() -> None:
    """Air ratio 2.00 shows 10.51 % O2 in dry gas, 2.95 shows 13.88 %."""
    ratio = np.array([2.0, 2.95])
    x_co2, x_h2o = fuel.flue_gas_fractions("hardwood", 0.15, ratio)
    moles = 1.0 / x_co2  # wet gas per mole of carbon
    carbon, _, _, oxygen = fuel._moles_per_dry_kg("hardwood")
    dry_o2 = (ratio - 1.0) * oxygen / carbon / (moles * (1.0 - x_h2o))
    close(
        dry_o2,
        [0.1051, 0.1388],
        within=0.002,
        because="rounding of four printed digits and 20.9 or 20.95 % oxygen in air",
        source="combustion notes, Cantera dry oxygen",
    )


@given(w=st.floats(0.0, 0.6), ratio=st.floats(1.0, 10.0))
def test_gas_weighs_what_went_in(w: float, ratio: float) -> None:
    """Mole fractions and gas mass must tell the same carbon and water."""
    for kind, wood in fuel.WOOD.items():
        x_co2, x_h2o = fuel.flue_gas_fractions(kind, w, ratio)
        water = wood.hydrogen * (1 - w) * 18.015 / 2.016 + w
        carbon = wood.carbon * (1 - w)
        assert abs((x_h2o / x_co2) / ((water / 18.015) / (carbon / 12.011)) - 1.0) < 1e-3
        gas_moles = carbon / 12.011 / x_co2  # kmol per kg
        molar = fuel.flue_gas_kg_kg(kind, w, ratio) / gas_moles
        assert 26.0 < molar < 31.0


def released(samples: int = 36001) -> tuple[np.ndarray, np.ndarray]:
    tau = np.linspace(0.0, fuel.BURN_SUPPORT, samples)
    rate = fuel.burn_shape(tau * 3600.0, 3600.0) * 3600.0
    steps = 0.5 * (rate[1:] + rate[:-1]) * np.diff(tau)
    return tau, np.concatenate([[0.0], np.cumsum(steps)])


def test_burn_releases_all_of_its_energy() -> None:
    close(
        released()[1][-1],
        1.0,
        within=1e-6,
        because="trapezium rule over 36000 steps of a closed form",
        source="definition of the normalised burn rate",
    )


def test_burn_keeps_the_proportions_of_measured_cribs() -> None:
    tau, share = released()
    t10, t50, t90 = np.interp([0.1, 0.5, 0.9], share, tau)
    rate = fuel.burn_shape(tau, 1.0)
    source = "eleven open crib tests, computed from their curves"
    close(
        (t50 - t10) / (t90 - t10),
        0.35,
        within=0.05,
        because="mean of the tests, which range from 0.27 to 0.42",
        source=source,
    )
    close(
        rate.max() / (0.8 / (t90 - t10)),
        1.7,
        within=0.05,
        because="mean of the tests, which range from 1.5 to 2.1",
        source=source,
    )
    assert 0.5 <= 0.4 / (t90 - t10) <= 0.9  # e-fold of the tail over the 10-90 % time
    assert 0.20 <= 1.0 - np.interp(0.6, tau, share) <= 0.25  # energy of the coals
    close(
        np.interp(1.0, tau, share),
        0.93,
        within=0.005,
        because="the docstring prints two digits",
        source="meaning of burn_s in this project",
    )


def test_tail_is_an_exponential_of_the_stated_e_fold() -> None:
    early, late = fuel.burn_shape(np.array([0.7, 1.1]), 1.0)
    assert abs(early / late / np.e - 1.0) < 1e-12


def test_burn_is_continuous_and_bounded_by_its_support() -> None:
    tau = np.linspace(-0.5, 2.5, 30001)
    rate = fuel.burn_shape(tau, 1.0)
    assert np.all(rate >= 0.0)
    assert np.all(rate[(tau < 0.0) | (tau > fuel.BURN_SUPPORT)] == 0.0)
    inside = (tau >= 0.0) & (tau <= fuel.BURN_SUPPORT)
    assert np.max(np.abs(np.diff(rate[inside]))) < 0.002  # the steepest slope is 18 per burn
    assert rate[inside][-1] < 0.0155 * rate.max()


def test_burn_broadcasts_members_against_time() -> None:
    burn = np.array([[3600.0], [5400.0]])
    t = np.linspace(0.0, 9000.0, 50)
    both = fuel.burn_shape(t, burn)
    assert both.shape == (2, 50)
    assert np.array_equal(both[1], fuel.burn_shape(t, 5400.0))
    assert np.allclose(both[0] * 3600, fuel.burn_shape(t / 3600.0, 1.0))


def test_loads_follow_each_other() -> None:
    t = np.linspace(0.0, 20000.0, 200001)
    total = fuel.loads_shape(t, 3600.0, 3, 4000.0)
    close(
        np.sum(0.5 * (total[1:] + total[:-1]) * np.diff(t)),
        1.0,
        within=1e-5,
        because="trapezium rule over 0.1 s steps",
        source="definition of the normalised burn rate",
    )
    one = fuel.burn_shape(t, 3600.0)
    assert np.allclose(total[:40000] * 3.0, one[:40000])
    assert np.allclose(total[40000:80000] * 3.0, one[40000:80000] + one[:40000])
    assert np.array_equal(fuel.loads_shape(t, 3600.0, 1, 4000.0), one)


def test_no_load_is_refused() -> None:
    with pytest.raises(ValueError, match="at least one load"):
        fuel.loads_shape(0.0, 3600.0, 0, 100.0)


def test_heating_value_is_the_notes_formula_worked_by_hand() -> None:
    """Per cent of dry mass: oak 50.2 C, 6.0 H, 43.3 O, 0.1 N, 0.4 ash; pine 52.6, 7.0, 40.1, 0,
    0.3. Oak: 17.52482 + 7.06980 - 0.00151 - 4.47722 - 0.00844 = 20.10745 MJ/kg gross, less
    2.447 * 9.01 * 0.06 = 1.32285 for its water; pine 22.45809 less 1.54332."""
    close(
        [fuel.net_calorific_J_kg(kind, 0.0) for kind in ("hardwood", "softwood")],
        [18.784602e6, 20.914767e6], within=2e-7, because="worked to the last of eight digits",
        source="wood-fuel notes, gross value and water (read)",
    )  # fmt: skip


@given(w=st.floats(0.0, 0.6), ratio=st.floats(1.0, 10.0))
def test_gas_and_ash_weigh_what_wood_and_air_did(w: float, ratio: float) -> None:
    """Of a kilogram of moist wood only its ash does not go up the chimney: 0.4 and 0.3 % of dry."""
    ashes: dict[fuel.Kind, float] = {"hardwood": 0.004, "softwood": 0.003}
    for kind, ash in ashes.items():
        air = ratio * fuel.stoichiometric_air_kg_kg(kind, w)
        left = 1.0 + air - fuel.flue_gas_kg_kg(kind, w, ratio)
        assert abs(left - ash * (1.0 - w)) < 1e-12 * ratio * 10.0


def test_coals_glow_until_they_are_cut_off() -> None:
    """The rate is zero *after* the support, not at its end."""
    end, after = fuel.burn_shape(np.array([1.0, 1.0 + 1e-9]) * fuel.BURN_SUPPORT, 1.0)
    assert end > 0.0 == after
