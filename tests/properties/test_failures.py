"""What must hold of failures anywhere: more heat is never slower, longer cuts never end warmer, unknown is no pass."""

from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import pytest
from failure_cases import EMISSIVITY, steady_shell, winter_hours
from heat_cases import chiller, shell
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from series_cases import BARE, MILD, clean, heat_of, run, spell
from site_cases import LIQUID, UNIT, unit_with

from edgecheck.checks.condensation import CONDENSATION, condensation_check, wet_hours
from edgecheck.checks.winter_cuts import winter_start
from edgecheck.checks.winter_start import WINTER_START, winter_check
from edgecheck.heat.condensation import coldest_surface
from edgecheck.heat.power_cut import power_cut, worst_cut
from edgecheck.heat.shell_curve import shell_curve
from edgecheck.heat.winter import heat_needed, power_off, warm_up
from edgecheck.inputs.criteria import load_criteria

C = 250e3
HOUR = 3600.0
CRITERIA = load_criteria("full").outage
kelvin = st.floats(0.5, 60.0)
conductances = st.floats(1.0, 80.0)


@given(air=st.floats(-40.0, 30.0), shorter=st.floats(0.0, 40.0), more=st.floats(0.0, 40.0), ua=conductances)
def test_a_longer_cut_in_cold_air_never_ends_warmer(air, shorter, more, ua):
    around = steady_shell(air, ua)
    short, long = (power_off(around, np.full(48, 38.0), C, hours) for hours in (shorter, shorter + more))
    assert np.all(long.at_return <= short.at_return + 1e-9)
    assert np.all(long.coldest <= short.coldest + 1e-9)
    assert np.all(long.at_return >= air - 1e-9)


@given(air=st.floats(-40.0, 35.0), shorter=st.floats(0.0, 1800.0), more=st.floats(0.0, 1800.0))
def test_a_longer_short_cut_in_cold_air_never_ends_warmer(air, shorter, more):
    machine = clean()
    series = run([air], machine)
    short, long = (power_cut(series, machine, seconds) for seconds in (shorter, shorter + more))
    assert long.at_return[0] <= short.at_return[0] + 1e-9
    assert long.peak[0] <= short.peak[0] + 1e-9


@given(air=st.floats(-30.0, 52.0), seconds=st.floats(0.0, 3600.0), leakage=st.floats(0.0, 0.02))
def test_no_short_cut_is_worse_than_the_worst(air, seconds, leakage):
    machine = clean(leakage=leakage)
    series = run([air], machine)
    worst = worst_cut(series, machine)[0]
    assert power_cut(series, machine, seconds).peak[0] <= worst.peak[0] + 1e-9
    assert worst.peak[0] >= worst.start[0]


@settings(max_examples=30)
@given(
    seed=st.integers(0, 40),
    heat=st.floats(0.0, 4000.0),
    more=st.floats(0.0, 4000.0),
    limit=st.floats(-20.0, 20.0),
)
def test_a_stronger_heater_never_takes_longer(seed, heat, more, limit):
    hours = winter_hours(seed=seed)
    around = shell_curve(shell(), roof_emissivity=EMISSIVITY, centre=0.0, **hours)
    cold = power_off(around, np.full(96, 38.0), C, 24.0).at_return
    weak, strong = (
        warm_up(around, cold, np.arange(96) + 24.0, C, watt, limit) for watt in (heat, heat + more)
    )
    both = np.isfinite(weak.seconds)
    assert np.all(strong.seconds[both] <= weak.seconds[both] + 1e-6)
    assert np.all(strong.coldest >= weak.coldest - 1e-9)


@given(air=st.floats(-40.0, 0.0), rise=st.floats(1.0, 40.0), ua=conductances, share=st.floats(0.2, 3.0))
def test_hours_to_restart_are_infinite_exactly_when_the_heater_does_not_cover_the_loss(air, rise, ua, share):
    """In steady air: UA (limit - air) is what holds the limit; the closed form says when it is reached."""
    assume(abs(share - 1.0) > 1e-6)
    loss = ua * rise
    found = warm_up(steady_shell(air, ua), np.array([air]), np.array([0.0]), C, share * loss, air + rise)
    assert np.isinf(found.seconds[0]) == (share < 1.0)
    if share > 1.0:
        assert found.seconds[0] == pytest.approx(-(C / ua) * np.log1p(-1.0 / share), rel=1e-6)


@settings(max_examples=30)
@given(seed=st.integers(0, 20), limit=st.floats(-20.0, 15.0), hours=st.floats(0.5, 12.0))
def test_the_heat_that_is_needed_is_enough_and_a_little_less_is_not(seed, limit, hours):
    around = shell_curve(shell(), roof_emissivity=EMISSIVITY, centre=0.0, **winter_hours(seed=seed))
    cold = power_off(around, np.full(96, 38.0), C, 24.0).at_return
    returns = np.arange(96) + 24.0
    needed = heat_needed(around, cold, returns, C, limit, hours * HOUR)
    assert np.max(warm_up(around, cold, returns, C, needed, limit).seconds) <= hours * HOUR + 1e-6
    if needed > 0.0:
        less = warm_up(around, cold, returns, C, 0.97 * needed - 1.0, limit)
        assert np.max(less.seconds) > hours * HOUR


@settings(max_examples=30)
@given(
    dew=st.lists(st.floats(5.0, 30.0), min_size=6, max_size=6),
    approach=st.floats(0.0, 15.0),
    more=st.floats(0.0, 15.0),
)
def test_wet_hours_never_fall_when_the_approach_grows(dew, approach, more):
    heat = heat_of(clean(), [31.0] * 6)
    around = heat.year.surroundings
    air = replace(around.air, temp_dew=np.array(dew))
    heat = replace(heat, year=replace(heat.year, surroundings=replace(around, air=air)))
    small, large, unknown = (
        wet_hours(heat, unit_with(cooling={"evaporator_approach_k": kelvins}), LIQUID)
        for kelvins in (approach, approach + more, None)
    )
    assert large.hours >= small.hours >= unknown.hours
    assert condensation_check(CONDENSATION, unknown).status != "pass"


@given(air=st.lists(st.floats(-40.0, 60.0), min_size=1, max_size=6), approach=st.floats(0.0, 20.0))
def test_no_surface_is_warmer_than_the_liquid(air, approach):
    machine = clean()
    series = run(air, machine)
    found = coldest_surface(series, machine, 1900.0, approach)
    assert np.all(found <= series.course.lowest)
    assert np.all(coldest_surface(series, machine, 1900.0, None) <= series.course.lowest)


@settings(max_examples=20)
@given(
    air=st.floats(-45.0, 20.0),
    heater=st.floats(0.0, 3.0),
    start_min=st.floats(-25.0, 10.0),
    off=st.floats(1.0, 30.0),
)
def test_what_is_unknown_never_makes_a_pass(air, heater, start_min, off):
    """Without heater, viscosity or pour point the check is never better than with the worst that they could be."""
    machine = clean(cooling=chiller(inlet_min=-60.0))
    heat = replace(
        heat_of(machine, [air] * 30, cold=spell([MILD] * 6, machine, warm=False)),
        place=SimpleNamespace(roof=BARE),
    )
    criteria = CRITERIA.model_copy(update={"power_off_hours": off})

    def status(unit, **changes):
        known = {"viscosity_curve": None, "heat_capacity": lambda _: 2100.0, "flows_above": -60.0}
        found = winter_start(heat, unit, SimpleNamespace(**{**known, **changes}), criteria)
        return winter_check(WINTER_START, found, heat, criteria).status

    limits = {"start_min_c": start_min}
    none = status(unit_with(liquid=limits, cooling={"heater_kw": 0.0}))
    some = status(unit_with(liquid=limits, cooling={"heater_kw": heater}))
    assert status(unit_with(liquid=limits, cooling={"heater_kw": None})) == (
        "pass" if none == "pass" else "not assessed"
    )
    assert some == "pass" or none != "pass"
    unit = unit_with(liquid={**limits, "start_viscosity_mm2_s": 100.0}, cooling={"heater_kw": heater})
    assert status(unit) == "not assessed"
    pour = status(unit_with(liquid=limits, cooling={"heater_kw": heater}), flows_above=None)
    assert pour != "pass" or some == "pass"


def test_the_example_unit_has_what_these_tests_change():
    assert UNIT.cooling.heater_kw
    assert UNIT.cooling.evaporator_approach_k
