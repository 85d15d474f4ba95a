"""Outage checks of constructed hours: minutes to shutdown, limits, estimated extremes, unknown hours."""

import re
from dataclasses import replace

import numpy as np
import pytest
from heat_cases import CAPACITY, COLUMNS, POWER, bath, chiller
from series_cases import MILD, clean, heat_of, run, spell

from edgecheck.checks.declarations import check_of
from edgecheck.checks.outage import loss_of_cooling, losses, outage_check
from edgecheck.inputs.criteria import load_criteria

CRITERIA = load_criteria("full").outage  # 10 and 15 min with the pump running, 5 and 8 without
MINUTE = 60.0
STILL = clean(shell=replace(clean().shell, conductance=np.full(6, 1e-9)))  # nothing through the shell


def outage_of(heat, cause="cooling-lost", criteria=CRITERIA):
    found = losses(heat, pump_runs=cause == "cooling-lost")
    return outage_check(check_of(f"outage.{cause}"), found, heat, criteria)


def lasting(minutes, cause="cooling-lost", **changes):
    """A machine without shell whose bath warms from 42 to 70 degC in some minutes: t = C dT / Q."""
    if cause == "cooling-lost":
        capacity = minutes * MINUTE * 6153.0 / 28.0
        return replace(STILL, liquid_heat_capacity=capacity, hardware_heat_capacity=0.0, **changes)
    capacity = minutes * MINUTE * 6000.0 / 28.0
    return replace(STILL, liquid_heat_capacity=0.0, hardware_heat_capacity=capacity, **changes)


def test_by_hand_with_and_without_the_pump():
    """Q 6000 W, pump 153 W, C 205 + 45 kJ/K, of the liquid 0.4 without the pump; from 42 to 70 and 55 degC."""
    series = run([MILD] * 2, STILL)
    running = loss_of_cooling(series, STILL, pump_runs=True)
    stopped = loss_of_cooling(series, STILL, pump_runs=False)
    assert running.rise.start == pytest.approx([42.0, 42.0])
    assert running.to_shutdown / MINUTE == pytest.approx(
        [250e3 * 28.0 / 6153.0 / MINUTE] * 2, rel=1e-6
    )  # 19.0 min
    assert running.to_alarm / MINUTE == pytest.approx([250e3 * 13.0 / 6153.0 / MINUTE] * 2, rel=1e-6)
    assert stopped.to_shutdown / MINUTE == pytest.approx(
        [127e3 * 28.0 / 6000.0 / MINUTE] * 2, rel=1e-6
    )  # 9.9 min


def test_the_start_is_the_band_or_the_warmer_liquid_of_the_hour():
    machine = clean(it=9300.0, cooling=chiller(condensing_limit=99.0))
    series = run([MILD, 50.0, 50.0, 50.0, MILD], machine)
    found = loss_of_cooling(series, machine, pump_runs=True)
    assert series.course.liquid[3] > 44.0
    assert found.rise.start == pytest.approx(np.maximum(42.0, series.course.liquid))
    assert int(np.argmin(found.to_shutdown)) == int(np.argmax(series.course.liquid))
    no_band = loss_of_cooling(series, replace(machine, cycling=None), pump_runs=True)
    assert no_band.rise.start[0] == pytest.approx(max(40.0, series.course.liquid[0]))


def test_leakage_of_the_servers_shortens_the_time_and_the_shell_lengthens_it():
    machine = clean()
    series = run([MILD], machine)
    plain = loss_of_cooling(series, machine, pump_runs=True).to_shutdown[0]
    leaking = loss_of_cooling(series, replace(machine, leakage=0.01), pump_runs=True).to_shutdown[0]
    tight = loss_of_cooling(run([MILD], STILL), STILL, pump_runs=True).to_shutdown[0]
    assert leaking < plain
    assert tight < plain  # at 20 degC the shell gives heat away


def test_the_curve_reaches_the_limit_when_the_check_says_so():
    machine = clean(leakage=0.004)
    found = loss_of_cooling(run([MILD, 38.0], machine), machine, pump_runs=True)
    for hour in (0, 1):
        at = np.array([0.0, found.to_alarm[hour] / MINUTE, found.to_shutdown[hour] / MINUTE])
        assert found.curve(hour, at) == pytest.approx([42.0, 55.0, 70.0])


def test_a_rating_net_of_the_pump_does_not_take_the_pump_out_of_the_outage():
    gross, net = clean(), clean(pump_load=0.0)
    first, second = run([MILD], gross), run([MILD], net)
    assert second.load.at_setpoint[0] == pytest.approx(first.load.at_setpoint[0] - 153.0)
    one = loss_of_cooling(first, gross, pump_runs=True)
    other = loss_of_cooling(second, net, pump_runs=True)
    assert one.rise.heat == pytest.approx(other.rise.heat)


@pytest.mark.parametrize(
    "cause, minutes, status",
    [
        ("cooling-lost", 15.1, "pass"),
        ("cooling-lost", 14.9, "caution"),
        ("cooling-lost", 10.1, "caution"),
        ("cooling-lost", 9.9, "fail"),
        ("pump-lost", 8.1, "pass"),
        ("pump-lost", 7.9, "caution"),
        ("pump-lost", 5.1, "caution"),
        ("pump-lost", 4.9, "fail"),
    ],
)
def test_limits(cause, minutes, status):
    found = outage_of(heat_of(lasting(minutes, cause)), cause)
    assert found.demand == pytest.approx(minutes, abs=0.01)
    assert found.limit == {"cooling-lost": 10.0, "pump-lost": 5.0}[cause]
    assert found.utilisation == pytest.approx(found.limit / found.demand)
    assert found.status == status
    assert bool(found.conditions) == (status == "caution")


@pytest.mark.parametrize(
    "delay_min, limit, status",
    [(3.0, 10.0, "pass"), (3.5, 10.5, "pass"), (6.0, 18.0, "pass"), (6.5, 19.5, "fail")],
)
def test_three_restart_delays_where_they_are_longer(delay_min, limit, status):
    heat = heat_of(lasting(19.0, restart_delay=delay_min * MINUTE))
    found = outage_of(heat)
    assert (found.limit, found.status) == (limit, status)
    assert outage_of(heat, "pump-lost").limit == 5.0


def test_a_bath_that_never_gets_there_has_no_limit_of_time():
    shell = replace(clean().shell, conductance=np.full(6, 100.0))
    heat = heat_of(clean(shell=shell, it=200.0))
    found = outage_of(heat)
    assert (found.status, found.demand, found.utilisation) == ("pass", float("inf"), None)
    assert found.note == "The alarm is not reached."


def test_the_governing_hour_is_the_shortest_of_year_and_spells():
    machine = clean()
    hot = spell([MILD, 44.0], machine)
    found = outage_of(heat_of(machine, [MILD, 30.0], hot=hot))
    assert found.governed_by == "hot spell 2001-07-01 01:00"
    again = outage_of(heat_of(machine, [MILD, 44.5, MILD], hot=hot))
    assert again.governed_by == "year 2001-07-01 01:00"
    assert again.demand < found.demand


def stopping():
    """A machine that overheats at 50 degC of outdoor air and not at 40."""
    return clean(it=8700.0, bath=bath(heat_capacity=250e3), cooling=chiller(condensing_limit=99.0))


def test_too_short_only_with_an_estimated_extreme_is_not_assessed_and_says_where_it_would_fail():
    machine = stopping()
    week = [36.0, 40.0, 42.0, 40.0, 36.0]
    year = [MILD] * 5
    listed = outage_of(heat_of(machine, year, hot=spell(week, machine, extreme=50.0)))
    assert listed.status == "fail"
    guess = heat_of(machine, year, hot=spell(week, machine, source="estimate", extreme=50.0))
    found = outage_of(guess)
    assert (found.status, found.missing) == ("not assessed", ("extreme_dry_bulb_c",))
    assert found.demand == listed.demand < 10.0
    value = float(re.search(r"would fail from ([0-9.]+) degC", found.note).group(1))
    assert outage_of(heat_of(machine, year, hot=spell(week, machine, extreme=value + 0.1))).status == "fail"
    assert outage_of(heat_of(machine, year, hot=spell(week, machine, extreme=value - 0.1))).status != "fail"
    firm = outage_of(heat_of(machine, [MILD, 50.0, 50.0, 50.0], hot=guess.hot))
    assert firm.status == "fail"


def test_hours_past_the_table_leave_it_open_unless_it_is_short_anyway():
    ends = chiller(inlet_columns=COLUMNS[:5], capacity=CAPACITY[:, :5], power=POWER[:, :5])
    long, short = clean(cooling=ends), clean(cooling=ends, it=9000.0, liquid_heat_capacity=20e3)
    unknown = heat_of(long, [MILD, 48.0])
    assert unknown.unknown_hours == 1
    found = outage_of(unknown)
    assert (found.status, found.missing) == ("not assessed", ("unit: capacity_kw beyond the last column",))
    assert "unknown in 1 h" in found.note
    assert outage_of(heat_of(long, [MILD, 44.0])).status == "pass"
    assert outage_of(heat_of(short, [MILD, 48.0])).status == "fail"


def test_the_limits_of_the_criteria_are_used():
    criteria = CRITERIA.model_copy(
        update={"ride_through_min_minutes": 30.0, "pump_lost_caution_minutes": 20.0}
    )
    heat = heat_of(lasting(19.0))
    assert outage_of(heat, criteria=criteria).status == "fail"
    assert outage_of(heat_of(lasting(9.0, "pump-lost")), "pump-lost", criteria).status == "caution"
