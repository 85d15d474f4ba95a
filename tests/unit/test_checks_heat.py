"""Heat checks of constructed hours: limits of the maker, the end of the rating table, extremes, cycling.

The machine is that of `heat_cases`: table columns 5 to 54 degC, limits -25 and 52 degC, condensing 63 degC.
"""

import re
from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import pytest
from asked import asked
from heat_cases import CAPACITY, COLUMNS, POWER, bath, chiller
from series_cases import clean, heat_of, run, spell, times

from edgecheck.checks.declarations import check_of
from edgecheck.checks.heat import (
    cold_spell_check,
    cycling_check,
    headroom_check,
    hot_spell_check,
    operating_range_check,
    station_check,
    weather_check,
)
from edgecheck.heat.curve import BEYOND_TABLE, CONDENSING
from edgecheck.heat.microclimate import Microclimate
from edgecheck.inputs.criteria import load_criteria
from edgecheck.weather.quality import Flag

CRITERIA = load_criteria("full")  # headroom 10 %, caution 15 %; hot spell 3 K below alarm, caution 5 K more
SHORT_TABLE = chiller(
    inlet_columns=COLUMNS[:5], capacity=CAPACITY[:, :5], power=POWER[:, :5]
)  # ends at 45 degC


def headroom_of(machine, temps):
    return headroom_check(check_of("heat.headroom"), run(temps, machine), times(len(temps)), CRITERIA)


def hot_of(made, machine, criteria=CRITERIA):
    return hot_spell_check(check_of("heat.hot-spell"), made, machine, criteria)


def cold_of(made, machine):
    return cold_spell_check(check_of("heat.cold-spell"), made, machine)


def range_of(heat):
    return operating_range_check(check_of("heat.operating-range"), heat)


def cycling_of(machine, temps):
    return cycling_check(check_of("heat.cycling"), run(temps, machine), times(len(temps)), machine)


def named_extreme(note: str) -> float:
    """Temperature in "would fail from ... an extreme of 41.2 degC" or "... would fail from 41.2 degC"."""
    return float(re.search(r"would fail from (?:.*?extreme of )?(-?[0-9.]+) degC", note).group(1))


# ------------------------------------------------------------------------------------- weather and station


def test_a_quality_flag_is_a_caution():
    weather = SimpleNamespace(name="town.epw", flags=(), cycle=None)
    good = weather_check(check_of("heat.weather"), weather)
    assert (good.status, good.demand, good.limit, asked(good)) == ("pass", 0.0, 0.0, "")
    weather.flags = (
        Flag("closure", "The irradiance does not close."),
        Flag("pressure", "The pressure is odd."),
    )
    bad = weather_check(check_of("heat.weather"), weather)
    assert (bad.status, bad.demand) == ("caution", 2.0)
    assert bad.note == "The irradiance does not close. The pressure is odd."
    assert "town.epw" in asked(bad)


@pytest.mark.parametrize(
    "distance, difference, status, says",
    [
        (50.0, 300.0, "pass", ""),
        (50.0, -300.0, "pass", ""),
        (50.1, 0.0, "caution", "50 km"),
        (0.0, 301.0, "caution", "301 m of elevation"),
        (0.0, -301.0, "caution", "301 m of elevation"),
        (80.0, 400.0, "caution", "80 km and 400 m of elevation"),
        (10.0, None, "pass", "elevation is not given"),
        (60.0, None, "caution", "elevation is not given"),
    ],
)
def test_a_station_far_off_or_at_another_height(distance, difference, status, says):
    found = station_check(check_of("heat.station"), distance, difference)
    assert found.status == status
    assert says in found.note
    assert bool(found.conditions) == (status == "caution")
    assert (found.demand, found.limit) == (distance, 50.0)


# --------------------------------------------------------------------------------------------------- headroom


def test_headroom_of_the_worst_hour_against_the_least_share():
    """At 35 degC air and 48 degC liquid the table gives 10.0 kW (row 40: 8.8, row 50: 10.3)."""
    machine = clean(it=6000.0)
    series = run([20.0, 35.0, 20.0], machine)
    load = float(series.load.at(48.0)[1])
    found = headroom_of(machine, [20.0, 35.0, 20.0])
    assert found.demand == pytest.approx((10_000.0 - load) / max(load, 6153.0))
    assert found.governed_by == "2001-07-01 01:00"
    assert found.status == "pass"


@pytest.mark.parametrize("share, status", [(0.20, "pass"), (0.151, "pass"), (0.149, "caution"), (0.101, "caution"),
                                           (0.099, "fail"), (-0.2, "fail")])  # fmt: skip
def test_headroom_limits(share, status):
    """IT load for a wanted share of the 10.0 kW at 35 degC, with the envelope's heat of that hour."""
    probe = run([35.0], clean(it=6000.0))
    other = float(probe.load.at(48.0)[0]) - 6000.0
    it = 10_000.0 / (1.0 + share) - other
    if other < 153.0:  # the shell gives heat away: the divisor is IT and pump
        it = (10_000.0 - other - 153.0 * share) / (1.0 + share)
    found = headroom_of(clean(it=it), [35.0])
    assert found.demand == pytest.approx(share, abs=1e-6)
    assert found.status == status
    assert bool(found.conditions) == (status == "caution")


def test_a_cold_site_has_no_capacity_and_says_so():
    machine = clean()
    temps = [-20.0, -27.5, -25.0, -30.0, -20.0]
    assert run(temps, machine).headroom.capacity.tolist()[1] == 0.0
    found = headroom_of(machine, temps)
    assert found.status == "fail"
    assert found.governed_by == "2001-07-01 03:00"
    assert found.note == "No capacity in this hour: below the maker's low-ambient limit."
    span = range_of(heat_of(machine, temps))
    assert (span.status, span.demand) == ("fail", 2.0)  # at the limit itself it still runs
    assert "2 h below the maker's low-ambient limit" in span.note
    cold = cold_of(spell(temps, machine, warm=False), machine)
    assert cold.status == "fail"
    assert "2 h without capacity: below the maker's low-ambient limit" in cold.note


def test_an_hour_without_capacity_fails_the_cold_spell_even_where_the_bath_carries_it():
    machine = clean(bath=bath(heat_capacity=1e8))
    made = spell([-20.0, -26.0, -20.0], machine, warm=False)
    assert made.series.course.stops == 0
    assert cold_of(made, machine).status == "fail"


def test_the_low_limit_is_tested_on_outdoor_air_not_on_what_the_roof_makes_of_it():
    mixed = Microclimate(0.9, 0.9, 0.5, recirculation=0.3, roof_mixing=0.0)
    series = run([-26.0], clean(), mixed)
    assert series.surroundings.inlet_air[0] > -25.0
    assert series.headroom.capacity[0] == 0.0


# --------------------------------------------------------------------------------- past the end of the table


def test_past_the_table_but_inside_the_makers_limits_is_not_assessed_and_names_what_to_rate():
    machine = clean(cooling=SHORT_TABLE)
    temps = [30.0, 47.0, 48.04, 30.0]
    hot = spell(temps, machine)
    heat = heat_of(machine, temps, hot=hot)
    assert heat.year.headroom.binding.tolist()[1:3] == [BEYOND_TABLE, BEYOND_TABLE]
    for found in (
        headroom_of(machine, temps),
        hot_of(hot, machine),
        range_of(heat),
        cycling_of(machine, temps),
    ):
        assert found.status == "not assessed"
        assert "must rate 48.1 degC" in found.note  # rounded up: a table to 48.0 would still end too early
        assert "2 h" in found.note
        assert found.missing == ("unit: capacity_kw beyond the last column",)
    assert headroom_of(machine, [30.0, 45.0]).status == "pass"  # the last column itself is rated


def test_the_operating_range_names_the_hottest_of_all_series():
    machine = clean(cooling=SHORT_TABLE)
    heat = heat_of(machine, [46.0, 30.0], hot=spell([46.0, 30.0], machine, extreme=50.0))
    assert "must rate 50.0 degC" in range_of(heat).note


def test_past_the_table_the_check_fails_where_the_last_column_is_already_too_small():
    """At 45 degC and 48 degC liquid the table ends with 9.02 kW."""
    machine = clean(cooling=SHORT_TABLE, it=9500.0, service_max=48.0)
    found = headroom_of(machine, [30.0, 48.0])
    assert found.status == "fail"
    assert found.demand < 0.0
    series = run([30.0, 48.0], machine)
    assert series.headroom.service[1] == pytest.approx(9020.0 - float(series.load.at(48.0)[1]))


def test_past_the_table_a_share_below_the_margin_is_a_sure_failure():
    """The last column is an upper bound: 9.02 kW leave less than 10 % over 8.6 kW."""
    machine = clean(cooling=SHORT_TABLE, it=8450.0)
    series = run([48.0], machine)
    assert 0.0 < series.headroom.share_bound[0] < 0.10
    assert headroom_of(machine, [48.0]).status == "fail"


def test_unknown_hours_in_the_cold_spell_are_not_good_hours():
    machine = clean(cooling=chiller(inlet_columns=COLUMNS[:2], capacity=CAPACITY[:, :2], power=POWER[:, :2]))
    made = spell([20.0, 18.0], machine, warm=False)
    assert cold_of(made, machine).status == "not assessed"
    assert cold_of(spell([12.0, 10.0], machine, warm=False), machine).status == "pass"


# ------------------------------------------------------------------------------------- maker's limits


def test_the_condensing_limit_opens_before_the_ambient_limit():
    machine = clean(cooling=chiller(condensing_limit=60.0))
    temps = [30.0, 50.0]
    series = run(temps, machine)
    assert series.surroundings.inlet_air[1] < 52.0
    assert series.headroom.binding[1] == CONDENSING
    span = range_of(heat_of(machine, temps))
    assert (span.status, span.demand, span.limit) == ("fail", 1.0, 0.0)
    assert span.note == "year: 1 h above the condensing limit"
    head = headroom_of(machine, temps)
    assert (head.status, head.governed_by) == ("fail", "2001-07-01 01:00")
    assert "condensing limit" in head.note


def test_the_inlet_limit_counts_hours_of_year_and_spells():
    machine = clean(cooling=chiller(condensing_limit=99.0))
    hot = spell([40.0, 50.0, 49.0], machine, extreme=53.5)
    span = range_of(heat_of(machine, [52.0, 52.01, 30.0], hot=hot))
    assert (span.status, span.demand) == ("fail", 3.0)
    assert "year: 1 h above the maker's inlet air limit" in span.note
    assert "hot spell: 2 h above" in span.note


@pytest.mark.parametrize("limit, status", [(2.1, "pass"), (1.9, "caution")])
def test_the_condensing_limit_within_two_kelvin_is_a_caution(limit, status):
    """The bath is held at 40 degC; the margin counts from the hottest condensing temperature."""
    condensing = float(run([45.0], clean()).condensing[0])
    machine = clean(cooling=chiller(condensing_limit=condensing + limit))
    found = range_of(heat_of(machine, [45.0]))
    assert found.status == status
    assert bool(found.conditions) == (status == "caution")


def test_a_condensing_limit_that_only_a_warm_bath_opens_is_said_as_such():
    """At 45 degC air the limit holds at the setpoint and not at 46 degC liquid."""
    curve = run([45.0], clean()).curve
    cooling = chiller(condensing_limit=float(curve.condensing_at(46.0)[0]))
    machine = clean(it=9600.0, cooling=cooling, bath=bath(heat_capacity=60e3))
    heat = heat_of(machine, [45.0, 45.0])
    assert heat.year.course.trips > 0
    found = range_of(heat)
    assert found.status == "caution"
    assert "opens as the liquid warms, by" in found.note


def test_an_operating_range_that_only_an_estimated_extreme_leaves_is_not_assessed():
    machine = clean(cooling=chiller(condensing_limit=99.0))
    hot = spell([40.0, 49.0], machine, source="estimate", extreme=54.5)
    cold = spell([-10.0, -21.0], machine, warm=False, source="estimate", extreme=-26.5)
    found = range_of(heat_of(machine, [49.0, 30.0], hot=hot))
    assert (found.status, found.missing) == ("not assessed", ("extreme_dry_bulb_c",))
    assert named_extreme(found.note) == pytest.approx(52.0, abs=0.1)
    both = range_of(heat_of(machine, [49.0, 30.0], hot=hot, cold=cold))
    assert both.missing == ("extreme_dry_bulb_c", "extreme_cold_dry_bulb_c")
    assert "-25.0 degC" in both.note or "-25.1 degC" in both.note
    firm = range_of(heat_of(machine, [49.0, 53.0], hot=hot))
    assert firm.status == "fail"


# ------------------------------------------------------------------------------------------------- hot spell


def test_a_hot_spell_that_the_machine_carries_peaks_at_the_upper_edge_of_the_band():
    machine = clean(it=4000.0)
    found = hot_of(spell([30.0, 38.0, 30.0], machine), machine)
    assert found.status == "pass"
    assert (found.demand, found.limit) == (pytest.approx(42.0), 52.0)
    assert (found.spare, found.utilisation) == (pytest.approx(10.0), None)


@pytest.mark.parametrize(
    "alarm, status", [(50.2, "pass"), (49.8, "caution"), (45.2, "caution"), (44.8, "fail")]
)
def test_hot_spell_limits(alarm, status):
    """Peak 42 degC: 3 K below alarm is the limit, 5 K more the caution."""
    machine = clean(it=4000.0, alarm=alarm)
    assert hot_of(spell([30.0, 38.0, 30.0], machine), machine).status == status


def test_an_hour_short_of_capacity_is_a_caution_even_where_the_bath_carries_it():
    """At 45 degC the table gives at most 9.0 kW at 48 degC liquid."""
    temps = [20.0] * 4 + [45.0] + [20.0] * 8
    machine = clean(it=9050.0, cooling=chiller(condensing_limit=99.0), bath=bath(heat_capacity=5e6))
    made = spell(temps, machine)
    found = hot_of(made, machine)
    assert made.series.headroom.short.sum() == 1
    assert found.status == "caution"
    assert "1 h short of capacity" in found.note


def test_a_hot_spell_in_which_the_servers_stop_fails_whatever_the_peak():
    machine = clean(it=9000.0, alarm=500.0, cooling=chiller(inlet_max=43.0))
    made = spell([30.0, 30.0, 45.0, 45.0, 45.0, 30.0], machine)
    assert made.series.course.stops > 0
    found = hot_of(made, machine)
    assert found.demand < found.limit
    assert found.status == "fail"
    assert re.search(r"Servers stop for [1-9][0-9]* min", found.note)


def test_a_pass_on_an_estimated_extreme_is_a_caution():
    machine = clean(it=4000.0)
    listed = hot_of(spell([30.0, 34.0], machine, extreme=38.0), machine)
    guessed = hot_of(spell([30.0, 34.0], machine, source="estimate", extreme=38.0), machine)
    assert (listed.status, guessed.status) == ("pass", "caution")
    assert listed.demand == guessed.demand
    assert "38.0 degC is an estimate" in asked(guessed)
    cold = cold_of(spell([0.0, -5.0], machine, warm=False, source="estimate"), machine)
    assert cold.status == "caution"
    assert "cold extreme (-5.0 degC is an estimate)" in asked(cold)


def test_a_failure_on_an_estimated_extreme_is_not_assessed_and_says_where_it_would_fail():
    machine = clean(it=8800.0)
    week = [34.0, 38.0, 42.0, 44.0, 42.0, 38.0, 34.0] * 3
    assert hot_of(spell(week, machine, extreme=49.0), machine).status == "fail"
    found = hot_of(spell(week, machine, source="estimate", extreme=49.0), machine)
    assert (found.status, found.missing) == ("not assessed", ("extreme_dry_bulb_c",))
    value = named_extreme(found.note)
    assert 44.0 < value < 49.0
    assert hot_of(spell(week, machine, extreme=value + 0.1), machine).status == "fail"
    assert hot_of(spell(week, machine, extreme=value - 0.1), machine).status != "fail"


def test_a_failure_in_an_estimated_cold_spell_names_the_makers_limit():
    machine = clean()
    made = spell([-10.0, -22.0, -10.0], machine, warm=False, source="estimate", extreme=-26.5)
    found = cold_of(made, machine)
    assert (found.status, found.missing) == ("not assessed", ("extreme_cold_dry_bulb_c",))
    assert named_extreme(found.note) == pytest.approx(-25.0, abs=0.1)


def test_a_failure_with_the_files_own_extreme_rests_on_no_estimate():
    machine = clean()
    made = spell([-10.0, -27.0, -10.0], machine, warm=False, source="estimate", extreme=-31.5)
    found = cold_of(made, machine)
    assert found.status == "fail"
    assert "own extreme already" in found.note


def test_unknown_hours_of_an_estimated_spell_ask_for_the_table_first():
    machine = clean(cooling=SHORT_TABLE, it=4000.0)
    found = hot_of(spell([40.0, 44.0], machine, source="estimate", extreme=48.0), machine)
    assert found.status == "not assessed"
    assert found.missing == ("unit: capacity_kw beyond the last column",)


def test_the_limits_of_the_criteria_are_used():
    machine = clean(it=4000.0)
    made = spell([30.0, 38.0], machine)
    heat = CRITERIA.heat.model_copy(update={"hot_spell_liquid_margin_k": 13.5})
    strict = CRITERIA.model_copy(update={"heat": heat})
    assert hot_of(made, machine, strict).status == "fail"
    least = CRITERIA.heat.model_copy(update={"headroom_min_share": 0.9, "headroom_caution_share": 0.95})
    strict = CRITERIA.model_copy(update={"heat": least})
    found = headroom_check(check_of("heat.headroom"), run([35.0], clean()), times(1), strict)
    assert (found.status, found.limit) == ("fail", 0.9)


# ------------------------------------------------------------------------------------------------ cold spell


def test_the_bath_must_stay_above_the_start_limit_with_servers_on():
    """Nothing but a little IT heat and a big shell: the bath follows the air down."""
    cold_shell = replace(clean().shell, conductance=np.full(6, 40.0))
    small = {
        "shell": cold_shell,
        "it": 150.0,
        "pump_heat": 0.0,
        "pump_load": 0.0,
        "bath": bath(heat_capacity=60e3),
    }
    temps = [-20.0] * 24
    warm, cold = clean(**small, start_min=-30.0), clean(**small, start_min=-5.0)
    good, bad = cold_of(spell(temps, warm, warm=False), warm), cold_of(spell(temps, cold, warm=False), cold)
    assert good.demand == bad.demand
    assert -20.0 < good.demand < -5.0
    assert (good.status, bad.status) == ("pass", "fail")
    assert bad.spare == pytest.approx(bad.demand + 5.0)
    assert bad.utilisation is None


# -------------------------------------------------------------------------------------------------- cycling


def test_cycling_at_most_starts_and_shortest_run():
    """Hand calculation: C 250 kJ/K, band 4 K; starts are most where the load is half of the capacity."""
    machine = clean(it=4000.0)
    series = run([15.0, 35.0], machine)
    load, capacity = series.load.at_setpoint, np.array([10_000.0, 8800.0])
    run_time, pause = 250e3 * 4.0 / (capacity - load), 250e3 * 4.0 / load
    starts = 3600.0 / (run_time + pause)
    found = cycling_of(machine, [15.0, 35.0])
    assert found.demand == pytest.approx(starts.max())
    assert f"Shortest run {run_time.min():.0f} s" in found.note


def test_the_band_that_is_named_cures_the_cycling():
    machine = clean(it=4000.0, band=1.0)
    temps = [5.0, 20.0, 35.0]
    found = cycling_of(machine, temps)
    assert found.status == "caution"
    named = float(re.search(r"band of ([0-9.]+) K", found.note).group(1))
    assert cycling_of(clean(it=4000.0, band=named), temps).status == "pass"
    assert cycling_of(clean(it=4000.0, band=named - 0.1), temps).status == "caution"


@pytest.mark.parametrize(
    "changes", [{"starts_max": 8.0, "run_min": 0.0}, {"starts_max": 99.0, "run_min": 500.0}]
)
def test_either_limit_of_cycling_is_a_caution_and_never_a_failure(changes):
    assert cycling_of(clean(it=4000.0, **changes), [20.0]).status == "caution"


def test_a_machine_that_follows_the_load_does_not_cycle():
    found = cycling_of(clean(band=0.0), [20.0])
    assert found.status == "not applicable"
    assert found.note
