"""What must hold of any load profile, of energy and its cost, and of throttling servers."""

from dataclasses import dataclass, replace

import numpy as np
from heat_cases import chiller, dry_cooler, machine
from hypothesis import given
from hypothesis import strategies as st
from series_cases import clean, heat_of, run

from edgecheck.base.constants import STEFAN_BOLTZMANN
from edgecheck.checks.energy import PARTS, energy_record
from edgecheck.checks.outage import loss_of_cooling
from edgecheck.heat.headroom import headroom
from edgecheck.heat.machine import Machine
from edgecheck.heat.microclimate import Microclimate
from edgecheck.heat.series import cooling_curve, heat_load_of, run_series, surroundings
from edgecheck.inputs.sites import Site
from edgecheck.weather.site_air import SiteAir

HOURS = 24
shares = st.integers(0, 2**32 - 1)


@dataclass(frozen=True)
class Case:
    """Hours with a machine on a roof."""

    air: SiteAir
    ghi: np.ndarray
    irradiance: np.ndarray
    machine: Machine
    roof: Microclimate


@st.composite
def cases(draw, hottest=52.0):
    """Plausible hours of any climate under a chiller."""
    random = np.random.default_rng(draw(shares))
    middle = draw(st.floats(-30.0, hottest - 6.0))
    temp = random.uniform(middle - 6.0, middle + 6.0, HOURS)
    air = SiteAir(
        temp_air=temp,
        temp_dew=temp - 5.0,
        pressure=np.full(HOURS, draw(st.floats(62e3, 103e3))),
        longwave_down=STEFAN_BOLTZMANN * (temp + 273.15 - random.uniform(0.0, 28.0, HOURS)) ** 4,
        wind_speed=random.uniform(0.0, 12.0, HOURS),
    )
    made = machine(
        cooling=chiller(leaving_basis=draw(st.booleans()), inlet_max=80.0, condensing_limit=99.0),
        it=draw(st.floats(500.0, 12_000.0)),
        leakage=draw(st.sampled_from([0.0, 0.004])),
        distribution_share=draw(st.sampled_from([0.0, 0.05])),
    )
    roof = Microclimate(
        roof_absorptance=0.9,
        roof_emissivity=0.9,
        wind_share=0.5,
        recirculation=draw(st.floats(0.0, 0.3)),
        roof_mixing=draw(st.floats(0.0, 0.2)),
    )
    irradiance = random.uniform(0.0, 900.0, (6, HOURS))
    return Case(air, random.uniform(0.0, 1100.0, HOURS), irradiance, made, roof)


def around(case: Case, share: object):
    return surroundings(case.air, case.ghi, case.irradiance, case.machine, case.roof, share)


def least(case: Case, share: object) -> np.ndarray:
    made = around(case, share)
    load = heat_load_of(made.envelope.total, made.envelope.conductance, case.machine, made.load_share)
    return headroom(cooling_curve(made, case.machine), load, case.machine.service_max).bound


def drawn_share(seed: int, hours: int) -> np.ndarray:
    return np.random.default_rng(seed).uniform(0.0, 1.0, hours)


@given(cases(), shares)
def test_a_profile_never_above_one_never_lowers_headroom(case, seed):
    share = drawn_share(seed, case.ghi.size)
    assert np.all(least(case, share) >= least(case, 1.0) - 1e-6)
    # nor for a dry cooler, which breathes part of what it gives off
    dry = machine(
        cooling=dry_cooler(), it=case.machine.it, rejected=case.machine.it + 453.0, rejects_load=True,
        airflow=1.6, service_max=48.0, band=0.0,
    )  # fmt: skip
    case = replace(case, machine=dry)
    assert np.all(least(case, share) >= least(case, 1.0) - 1e-6)


@given(cases(), st.floats(0.0, 1.0))
def test_one_share_in_all_hours_is_that_load(case, share):
    """A profile that never changes is a constant load of that size; a compressor gives off what it is rated for."""
    smaller = replace(case, machine=replace(case.machine, it=case.machine.it * share))
    profiled = least(case, np.full(case.ghi.size, share))
    np.testing.assert_allclose(profiled, least(smaller, 1.0), atol=1e-6)


@given(cases(hottest=45.0), shares)
def test_parts_of_the_energy_add_up(case, seed):
    series = run_series(around(case, drawn_share(seed, case.ghi.size)), case.machine)
    power, spent = series.power, series.power.energy()
    assert np.all(power.it >= 0.0)
    assert np.all(power.standby >= 0.0)
    np.testing.assert_allclose(series.input_power, power.total)
    parts = spent.it + spent.distribution + spent.pump + spent.cooling + spent.standby
    np.testing.assert_allclose(parts, 3600.0 * np.sum(series.input_power), rtol=1e-12)
    known = power.it > 0.0
    assert np.all(power.partial_pue[known] >= 1.0)


@given(cases(hottest=45.0), shares, st.integers(1, 6))
def test_energy_by_group_is_that_of_plain_sums_over_masks(case, seed, groups):
    power = run_series(around(case, drawn_share(seed, case.ghi.size)), case.machine).power
    group = np.random.default_rng(seed).integers(0, groups, case.ghi.size)
    whole, each = power.energy_by(group, groups)
    np.testing.assert_allclose(whole.total, power.energy().total, rtol=1e-12)
    for one, spent in enumerate(each):
        for part in PARTS:
            hours = np.broadcast_to(power.pump_power if part == "pump" else getattr(power, part), group.shape)
            expected = 3600.0 * np.sum(hours[group == one])
            np.testing.assert_allclose(getattr(spent, part), expected, rtol=1e-12, atol=1e-6)


@given(st.floats(0.0, 5.0), st.floats(0.0, 2.0), st.floats(1.0, 3.0))
def test_cost_and_carbon_are_linear_in_their_rates(price, carbon, factor):
    heat = heat_of(clean())

    def record(price: float, carbon: float):
        values = {"electricity_price_per_kwh": price, "grid_carbon_kg_per_kwh": carbon}
        return energy_record(heat, Site(row=2, site_id="S", values=values))

    once, more = record(price, carbon), record(factor * price, factor * carbon)
    for key in ("cost", "cost_beside_it", "carbon_kg"):
        np.testing.assert_allclose(more[key], factor * once[key], rtol=1e-9, atol=1e-12)
    assert [once[f"{part}_kwh"] for part in PARTS] == [more[f"{part}_kwh"] for part in PARTS]


@given(
    st.floats(0.0, 1.0), st.floats(0.0, 1.0), st.floats(1000.0, 9000.0), st.booleans(), st.sampled_from([0.0, 0.004])
)  # fmt: skip
def test_throttling_never_shortens_the_time(one, other, load, pump_runs, leakage):
    low, high = sorted((one, other))
    times = []
    for share in (high, low):
        made = clean(it=load, throttle_share=share, leakage=leakage)
        times.append(loss_of_cooling(run([35.0], made), made, pump_runs=pump_runs))
    more, less = times
    assert less.to_shutdown[0] >= more.to_shutdown[0] * (1.0 - 1e-9)
    assert less.to_alarm[0] == more.to_alarm[0]
