"""Compiled loops of the one-node balance against numpy and plain Python, hour by hour."""

import math
from dataclasses import replace

import numpy as np
import pytest
from failure_cases import bare_shell, steady_shell, winter_hours
from heat_cases import shell
from hypothesis import given, settings
from hypothesis import strategies as st
from series_cases import clean, run

from edgecheck.heat.one_node import temperature_after, time_to_rise
from edgecheck.heat.outage import Rise, rise_without_cooling
from edgecheck.heat.power_cut import LONGEST_SHORT_CUT, power_cut, worst_cut
from edgecheck.heat.shell_curve import ShellCurve, shell_curve
from edgecheck.heat.winter import LONGEST_WARM_UP, heat_needed, power_off, spans_of, warm_up
from edgecheck.heat.winter_bounds import starts_that_matter

C = 250e3
HOUR = 3600.0
seeds = st.integers(0, 10_000)


def closed_form(heat, k, capacity, rise):
    """Time of C dT/dt = Q - k (T - T0) by numpy, every case spelt out."""
    with np.errstate(all="ignore"):
        ratio = k * rise / heat
        time = np.where(np.abs(ratio) < 1e-9, capacity * rise / heat, -(capacity / k) * np.log1p(-ratio))
    time = np.where((heat <= 0.0) | (ratio >= 1.0), np.inf, time)
    time = np.where(rise <= 0.0, 0.0, time)
    return np.where(np.isnan(heat) | np.isnan(k) | np.isnan(rise), np.nan, time)


def some_rise(seed, hours=200, bend=math.inf):
    random = np.random.default_rng(seed)
    heat, k = random.uniform(-500.0, 9000.0, hours), random.choice([0.0, 1e-14, -30.0, 12.0, 250.0], hours)
    start = np.where(random.random(hours) < 0.6, 42.0, random.uniform(38.0, 75.0, hours))
    start[random.random(hours) < 0.02 * (seed % 3)] = np.nan
    if seed % 2:  # hours that are the same
        heat[::3], k[::3], start[::3] = 6000.0, 12.0, 42.0
    above = k + random.uniform(0.0, 300.0, hours)
    return Rise(start, heat, k, above, C, bend)


@given(seed=seeds, limit=st.sampled_from([42.0, 55.0, 70.0]))
def test_time_of_every_hour_is_the_closed_form(seed, limit):
    rise = some_rise(seed)
    right = closed_form(rise.heat, rise.conductance, C, limit - rise.start)
    np.testing.assert_allclose(rise.time_to(limit), right, rtol=1e-12)


@given(seed=seeds, limit=st.sampled_from([42.0, 55.0, 70.0]), bend=st.sampled_from([math.inf, 55.0, 44.0]))
def test_the_soonest_hour_is_the_first_of_the_least_times(seed, limit, bend):
    rise = some_rise(seed, bend=bend)
    assert rise.soonest(limit) == int(np.argmin(rise.time_to(limit)))


@given(seed=seeds, bend=st.sampled_from([math.inf, 55.0]))
def test_after_the_time_to_a_limit_the_liquid_is_there(seed, bend):
    rise = some_rise(seed, hours=12, bend=bend)
    times = rise.time_to(63.0)
    for hour in np.flatnonzero(np.isfinite(times) & (times > 0.0)):
        there = rise.at(int(hour)).after(np.array([0.0, times[hour]]))
        assert there == pytest.approx([rise.start[hour], 63.0], abs=1e-8)


def test_extremes_and_what_is_unknown():
    assert temperature_after(40.0, 0.0, 0.0, C, 1e9) == 40.0
    assert temperature_after(40.0, 1000.0, 1e4, 1e3, 1e9) == pytest.approx(40.1)
    assert temperature_after(40.0, 1000.0, 1e-300, C, 250.0) == pytest.approx(41.0)
    for unknown in ((math.nan, 1.0, 1.0), (1.0, math.nan, 1.0), (1.0, 1.0, math.nan)):
        assert math.isnan(time_to_rise(unknown[0], unknown[1], C, unknown[2]))
    assert math.isnan(temperature_after(math.nan, 1.0, 1.0, C, 60.0))


@settings(max_examples=25, deadline=None)
@given(
    share=st.floats(0.0, 1.0),
    leakage=st.floats(0.0, 0.02),
    it=st.floats(500.0, 9000.0),
    start=st.floats(20.0, 90.0),
)
def test_heat_at_the_start_is_that_of_the_servers_power(share, leakage, it, start):
    machine = clean(it=it, leakage=leakage, throttle_share=share)
    series = run([-10.0, 45.0], machine)
    around, servers = series.surroundings.envelope, machine.servers
    found = rise_without_cooling(series, machine, np.full(2, start), C, 153.0)
    right = machine.it_heat * servers.factor(start) + 153.0 + around.total
    right -= around.conductance * (start - machine.setpoint)
    np.testing.assert_allclose(found.heat, right, rtol=1e-12, atol=1e-9)
    np.testing.assert_allclose(found.conductance, around.conductance - machine.it_heat * leakage, rtol=1e-12)
    slope = machine.it_heat * servers.slope_above
    np.testing.assert_allclose(found.conductance_above, around.conductance - slope, rtol=1e-12)


@settings(max_examples=40, deadline=None)
@given(
    air=st.lists(st.floats(-30.0, 60.0), min_size=1, max_size=8),
    leakage=st.floats(0.0, 0.02),
    share=st.sampled_from([1.0, 0.4]),
)
def test_the_worst_cut_is_the_worse_of_both_in_every_hour(air, leakage, share):
    machine = clean(leakage=leakage, throttle_share=share)
    series = run(air, machine)
    worst, longer = worst_cut(series, machine)
    short, lasting = (power_cut(series, machine, seconds) for seconds in (0.0, LONGEST_SHORT_CUT))
    np.testing.assert_array_equal(longer, lasting.peak > short.peak)
    np.testing.assert_array_equal(worst.peak, np.maximum(short.peak, lasting.peak))
    np.testing.assert_array_equal(worst.at_return, np.where(longer, lasting.at_return, short.at_return))


def one_step(shell, hour, liquid, heat, capacity, span):
    """Net heat and mean conductance within an hour, by `ShellCurve` itself."""
    now = shell.during(np.array([hour % shell.coefficients.shape[1]]))
    into, here = now.at(np.array([liquid]))
    net = float(into[0]) + heat
    there = liquid + net * span / (capacity + float(here[0]) * span / 2.0)
    return net, (float(here[0]) + float(now.at(np.array([there]))[1][0])) / 2.0


def curve_of(seed, count=60):
    box = bare_shell() if seed % 2 else shell()
    return shell_curve(box, roof_emissivity=0.9, centre=8.0, **winter_hours(count, seed))


@settings(max_examples=12, deadline=None)
@given(seed=seeds, hours=st.sampled_from([0.0, 0.4, 5.0, 30.25]), begin=st.integers(0, 59))
def test_a_long_cut_is_followed_step_by_step(seed, hours, begin):
    around = curve_of(seed)
    liquid = lowest = 38.0
    for step, span in enumerate(spans_of(hours)):
        net, k = one_step(around, begin + step, liquid, 0.0, C, span)
        liquid += net * -math.expm1(-k * span / C) / k
        lowest = min(lowest, liquid)
    found = power_off(around, np.array([38.0]), C, hours, np.array([begin]))
    assert (found.at_return[0], found.coldest[0]) == pytest.approx((liquid, lowest), abs=1e-10)
    whole = power_off(around, np.full(60, 38.0), C, hours)
    assert whole.at_return[begin] == pytest.approx(liquid, abs=1e-10)


@settings(max_examples=20, deadline=None)
@given(
    seed=seeds,
    begin=st.floats(0.0, 90.0),
    heat=st.sampled_from([0.0, 400.0, 900.0, 5000.0]),
    limit=st.sampled_from([-20.0, -5.0, 10.0]),
    longest=st.sampled_from([None, 4.0, 0.3]),
)
def test_a_warm_up_is_followed_step_by_step(seed, begin, heat, limit, longest):
    around = curve_of(seed)
    end = LONGEST_WARM_UP if longest is None else longest * HOUR
    liquid = lowest = -16.0
    hour, passed, seconds = int(begin), 0.0, 0.0 if liquid >= limit else math.inf
    span = (1.0 - (begin - hour)) * HOUR
    for _ in range(math.ceil(end / HOUR) + 1):
        if liquid >= limit or seconds < math.inf:
            break
        net, k = one_step(around, hour, liquid, heat, C, span)
        needed = float(closed_form(net, k, C, limit - liquid))
        if needed <= span:
            seconds = passed + needed
            break
        liquid += net * -math.expm1(-k * span / C) / k
        lowest, hour, passed, span = min(lowest, liquid), hour + 1, passed + span, HOUR
    if seconds == math.inf and longest is None:
        days = around.coefficients[:, np.arange(hour - 24, hour) % 60].mean(axis=1, keepdims=True)
        mean = ShellCurve(around.centre, days)
        now, then = (float(mean.at(np.array([at]))[0][0]) + heat for at in (liquid, limit))
        seconds = passed + float(closed_form(now, (now - then) / (limit - liquid), C, limit - liquid))
    if longest is not None and seconds > end:
        seconds = math.inf
    found = warm_up(
        around, np.array([-16.0]), np.array([begin]), C, heat, limit, None if longest is None else end
    )
    assert found.seconds[0] == pytest.approx(seconds, rel=1e-9)
    assert found.coldest[0] == pytest.approx(lowest, abs=1e-10)


def test_an_hour_that_is_unknown_stays_unknown_and_rules_no_start_out():
    around = curve_of(3)
    broken = around.coefficients.copy()
    broken[:, 7] = np.nan
    around = replace(around, coefficients=broken)
    start = np.full(60, 38.0)
    assert starts_that_matter(around, start, C, [HOUR] * 3, -5.0).tolist() == list(range(60))
    cut = power_off(around, start, C, 3.0)
    assert np.isnan(cut.at_return[[5, 6, 7]]).all()
    assert np.isnan(cut.coldest[[5, 6, 7]]).all()
    assert np.isfinite(cut.at_return[8:]).all()


@pytest.mark.parametrize("change", [{"ua": -5.0}, {"ua": 0.0}, {"capacity": 1e3}, {"hours": 0.0}])
def test_where_the_bounds_do_not_hold_every_start_counts(change):
    case = {"ua": 12.0, "capacity": C, "hours": 24.0} | change
    start = np.full(48, 38.0)
    start[5] = 37.0
    around = steady_shell(-20.0, case["ua"])
    spans = spans_of(case["hours"])
    assert len(starts_that_matter(around, start, case["capacity"], spans, math.nan)) == 48
    assert starts_that_matter(steady_shell(-20.0, 12.0), start, C, [HOUR] * 24, math.nan).tolist() == [5]


def test_no_heat_is_needed_where_none_is_cold_and_none_helps_at_once():
    around = steady_shell(-30.0, 20.0)
    assert heat_needed(around, np.array([5.0]), np.array([0.0]), C, 0.0, HOUR) == 0.0
    assert heat_needed(around, np.array([-5.0]), np.array([0.0]), C, 0.0, 1e-3) == math.inf
