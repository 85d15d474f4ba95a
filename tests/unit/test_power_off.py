"""Power that goes and returns: the liquid's peak after a short cut, the start after a long one in winter."""

import re
from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import pytest
from asked import asked
from heat_cases import CAPACITY, COLUMNS, POWER, chiller
from series_cases import BARE, MILD, clean, heat_of, run, spell
from site_cases import UNIT, unit_with

from edgecheck.base.viscosity import Viscosity
from edgecheck.checks.failures import FAILURE_CHECKS
from edgecheck.checks.power_cut import RESTART, power_cuts, restart_check, restart_detail
from edgecheck.checks.winter_cuts import winter_start
from edgecheck.checks.winter_start import HEATER, POUR_POINT, VISCOSITY, WINTER_START, winter_detail
from edgecheck.checks.winter_start import winter_check as judged
from edgecheck.heat.power_cut import LONGEST_SHORT_CUT, power_cut, worst_cut
from edgecheck.heat.shell_curve import in_full_wind
from edgecheck.heat.start_limit import start_limit, temperature_at_viscosity
from edgecheck.heat.winter import course, power_off
from edgecheck.inputs.check_ids import CHECK_IDS
from edgecheck.inputs.criteria import load_criteria

CRITERIA = load_criteria("full").outage  # 24 h without power, 4 h to servers on
STILL = clean(shell=replace(clean().shell, conductance=np.full(6, 1e-9)))  # nothing through the shell
WORKS_IN_FROST = clean(cooling=chiller(inlet_min=-60.0))
FREEZING = [-30.0] * 48
LIQUID = SimpleNamespace(viscosity_curve=None, heat_capacity=lambda temperature: 2100.0, flows_above=-60.0)


def restart_of(heat):
    return restart_check(RESTART, power_cuts(heat), heat)


def winter_of(heat, unit=UNIT, liquid=LIQUID, criteria=CRITERIA):
    heat = replace(heat, place=SimpleNamespace(roof=BARE))
    found = winter_start(heat, unit, liquid, criteria)
    return judged(WINTER_START, found, heat, criteria), found


def at(year=FREEZING, cold=None, machine=None, **more):
    machine = machine or WORKS_IN_FROST
    return heat_of(machine, year, cold=cold or spell([MILD] * 6, machine, warm=False), **more)


def test_the_checks_are_known_by_their_ids():
    assert [check.id for check in FAILURE_CHECKS] == [
        name for name in CHECK_IDS if name.startswith("outage.")
    ][2:]


# ---------------------------------------------------------------------------------------------- a short power cut


def test_a_short_cut_by_hand():
    """Nothing through the shell: 42 degC and 6153 W for 180 s into 250 kJ/K."""
    cut = power_cut(run([MILD] * 2, STILL), STILL, 0.0)
    assert cut.start == pytest.approx([42.0, 42.0])
    assert cut.peak == pytest.approx([42.0 + 6153.0 * 180.0 / 250e3] * 2, abs=1e-6)
    found = restart_of(heat_of(STILL))
    assert (found.status, found.limit, found.governed_by) == ("pass", 55.0, "year 2001-07-01 00:00")
    assert found.demand == pytest.approx(46.43, abs=0.01)


def test_in_cold_air_the_moment_is_worse_and_in_hot_air_the_hour():
    machine = clean()
    cut, longer = worst_cut(run([MILD, 51.0], machine), machine)
    assert longer.tolist() == [False, True]
    assert cut.at_return[0] == cut.start[0] == 42.0
    assert cut.at_return[1] > cut.start[1]
    hour = power_cut(run([51.0], machine), machine, LONGEST_SHORT_CUT)
    assert cut.peak[1] == pytest.approx(hour.peak[0])
    half = power_cut(run([51.0], machine), machine, LONGEST_SHORT_CUT / 2.0)
    assert half.peak[0] < hour.peak[0]
    assert "a cut of 1 h" in restart_of(heat_of(machine, [51.0])).note
    assert "a momentary cut" in restart_of(heat_of(machine, [MILD])).note


def test_leaking_servers_and_a_longer_delay_raise_the_peak():
    plain, leaking = clean(), clean(leakage=0.01)
    slow = clean(restart_delay=360.0)
    series = run([MILD], plain)
    peaks = [power_cut(series, machine, 0.0).peak[0] for machine in (plain, leaking, slow)]
    assert peaks[0] < peaks[1] < peaks[2]


@pytest.mark.parametrize(
    "peak, status", [(49.9, "pass"), (50.1, "caution"), (54.9, "caution"), (55.1, "fail")]
)
def test_the_peak_against_the_alarm(peak, status):
    machine = replace(STILL, restart_delay=(peak - 42.0) * 250e3 / 6153.0)
    found = restart_of(heat_of(machine))
    assert (found.status, found.demand) == (status, pytest.approx(peak, abs=1e-6))
    assert bool(found.conditions) == (status == "caution")
    assert found.utilisation is None


def test_a_liquid_too_warm_for_the_pressure_switch_holds_the_machine():
    """The machine could run before the cut; 46.4 degC afterwards is above the 44 degC at which the switch opens."""
    heat = heat_of(STILL)
    curve = replace(heat.year.curve, trip=np.array([44.0, 44.0, 41.0, 99.0, 99.0, 99.0]))
    found = restart_of(replace(heat, year=replace(heat.year, curve=curve)))
    assert found.status == "caution"
    assert "In 2 h the liquid is then warmer" in found.note
    assert "somebody" in asked(found)


def test_too_warm_only_with_an_estimated_extreme():
    machine = clean(it=8700.0, cooling=chiller(condensing_limit=99.0))
    week = [36.0, 40.0, 42.0, 40.0, 36.0]
    listed = restart_of(heat_of(machine, hot=spell(week, machine, extreme=51.5)))
    assert listed.status == "fail"
    heat = heat_of(machine, hot=spell(week, machine, source="estimate", extreme=51.5))
    found = restart_of(heat)
    assert (found.status, found.missing) == ("not assessed", ("extreme_dry_bulb_c",))
    value = float(re.search(r"would fail from ([0-9.]+) degC", found.note).group(1))
    assert restart_of(heat_of(machine, hot=spell(week, machine, extreme=value + 0.1))).status == "fail"
    assert restart_of(heat_of(machine, hot=spell(week, machine, extreme=value - 0.1))).status != "fail"


def test_hours_past_the_rating_table_leave_it_open():
    ends = chiller(inlet_columns=COLUMNS[:5], capacity=CAPACITY[:, :5], power=POWER[:, :5])
    found = restart_of(heat_of(clean(cooling=ends), [MILD, 48.0]))
    assert (found.status, found.missing) == ("not assessed", ("unit: capacity_kw beyond the last column",))
    hot = clean(cooling=ends, restart_delay=900.0)
    assert restart_of(heat_of(hot, [MILD, 48.0])).status == "fail"


def test_record_of_a_short_cut():
    heat = heat_of(STILL)
    detail = restart_detail(power_cuts(heat), heat)
    assert detail["peak_c"] == pytest.approx(46.43, abs=0.01)
    assert (detail["cut_min"], detail["delay_min"], detail["hours_held"]) == (0.0, 3.0, 0)


# ------------------------------------------------------------------------------------------- a long one in winter


def test_a_bath_that_stays_warm_needs_no_heater():
    unit = unit_with(cooling={"heater_kw": None})
    found, start = winter_of(at(year=[MILD] * 48), unit)
    assert (found.status, found.missing) == ("pass", ())
    assert found.demand == pytest.approx(3.0 / 60.0)  # the restart delay alone
    assert start.year.at_return > -15.0
    assert start.needed == 0.0


def test_the_heat_that_is_asked_for_is_enough_and_not_much_too_much():
    found, start = winter_of(at(), unit_with(cooling={"heater_kw": 0.0}))
    assert (found.status, found.demand) == ("caution", float("inf"))
    kilowatt = float(re.search(r"fit heat of ([0-9.]+) kW", asked(found)).group(1))
    assert start.needed <= 1e3 * kilowatt < start.needed + 10.0
    enough, _ = winter_of(at(), unit_with(cooling={"heater_kw": kilowatt}))
    assert (enough.status, asked(enough)) == ("pass", "")
    assert enough.demand <= enough.limit == 4.0
    short, _ = winter_of(at(), unit_with(cooling={"heater_kw": 0.97 * kilowatt}))
    assert short.status == "caution"
    assert 4.0 < short.demand < 4.5
    assert "or accept" in asked(short)


def test_an_unknown_heater_leaves_it_open_and_says_what_would_do():
    found, start = winter_of(at(), unit_with(cooling={"heater_kw": None}))
    assert (found.status, found.missing, found.demand) == ("not assessed", (HEATER,), None)
    assert re.search(r"heater is unknown; [0-9.]+ kW would do within 4 h", found.note)
    assert winter_detail(start)["hours"] is None
    assert winter_detail(start)["heat_needed_w"] > 0.0


def test_servers_that_may_idle_in_the_cold_are_a_heater():
    idle, one = winter_of(at(), unit_with(servers={"idle_load_share": 0.25}, cooling={"heater_kw": 0.0}))
    heater, other = winter_of(at(), unit_with(cooling={"heater_kw": 1.5}))
    assert one.kit.idle == other.kit.heater == 1500.0
    assert idle.demand == pytest.approx(heater.demand)
    unknown, _ = winter_of(at(), unit_with(servers={"idle_load_share": 0.25}, cooling={"heater_kw": None}))
    assert unknown.status == idle.status == "pass"


def test_a_viscosity_that_is_unknown_leaves_it_open_and_a_known_one_may_set_the_limit():
    thick = unit_with(liquid={"start_viscosity_mm2_s": 50.0})
    found, start = winter_of(at(year=[MILD] * 48), thick)
    assert (found.status, found.missing, found.demand) == ("not assessed", (VISCOSITY,), None)
    assert "unknown" in found.note
    assert winter_detail(start)["start_limit_c"] is None
    known = Viscosity(((0.0, 100.0), (15.0, 50.0), (60.0, 8.0)), -20.0, 100.0)
    falling = SimpleNamespace(**{**vars(LIQUID), "viscosity_curve": known})
    _, start = winter_of(at(), thick, falling)
    assert start.kit.limit.by_viscosity
    assert start.kit.limit.temperature == pytest.approx(15.0, abs=2e-3)


def test_start_limit_is_the_warmer_of_both():
    def viscosity(temperature):
        return 100.0 * np.exp(-temperature / 20.0) if -40.0 <= temperature <= 100.0 else np.nan

    assert start_limit(-15.0, None, viscosity).temperature == -15.0
    assert not start_limit(5.0, 100.0, viscosity).by_viscosity
    assert start_limit(5.0, 100.0, viscosity).temperature == 5.0
    assert start_limit(-15.0, 100.0, viscosity).temperature == pytest.approx(0.0, abs=2e-3)
    # thin enough at the end of the known range already: that end, the colder part is not known
    assert temperature_at_viscosity(viscosity, 1000.0) == -40.0
    assert np.isnan(temperature_at_viscosity(viscosity, 0.1))
    assert np.isnan(start_limit(-15.0, 0.1, viscosity).temperature)


def test_liquid_that_sets_is_a_caution_and_an_unknown_pour_point_leaves_it_open():
    sets = SimpleNamespace(**{**vars(LIQUID), "flows_above": -20.0})
    unknown = SimpleNamespace(**{**vars(LIQUID), "flows_above": None})
    strong = unit_with(cooling={"heater_kw": 3.0})
    found, _ = winter_of(at(), strong, sets)
    assert (found.status, found.demand < 4.0) == ("caution", True)
    assert "sets" in asked(found)
    found, _ = winter_of(at(), strong, unknown)
    assert (found.status, found.missing) == ("not assessed", (POUR_POINT,))
    # the pumps start at -15 degC: a bath that stays above it flows, whatever its pour point
    assert winter_of(at(year=[MILD] * 48), strong, unknown)[0].status == "pass"


def test_beyond_only_with_an_estimated_cold_extreme():
    machine, unit = WORKS_IN_FROST, unit_with(cooling={"heater_kw": 0.3})
    week = [-12.0] * 48

    def cold(source, extreme):
        return at(year=[MILD] * 48, cold=spell(week, machine, warm=False, source=source, extreme=extreme))

    assert winter_of(cold("list", -40.0), unit)[0].status == "caution"
    found, _ = winter_of(cold("estimate", -40.0), unit)
    assert (found.status, found.missing) == ("not assessed", ("extreme_cold_dry_bulb_c",))
    value = float(re.search(r"beyond from (-[0-9.]+) degC", found.note).group(1))
    assert winter_of(cold("list", value - 0.1), unit)[0].status == "caution"
    assert winter_of(cold("list", value + 0.1), unit)[0].status == "pass"


def test_the_shell_stands_in_the_whole_wind():
    machine = clean()
    sheltered, open_roof = (
        run(FREEZING, machine, replace(BARE, wind_share=share)).surroundings for share in (0.1, 1.0)
    )
    one, other = (in_full_wind(around, machine.shell, BARE, 5.0) for around in (sheltered, open_roof))
    assert one.coefficients == pytest.approx(other.coefficients)
    # at the setpoint it is the shell of the year in the whole wind
    heat = other.at(np.full(48, 40.0))[0]
    assert heat == pytest.approx(open_roof.envelope.total, rel=1e-3)
    assert np.all(heat < sheltered.envelope.total - 5.0)


def test_a_series_repeats_after_its_last_hour_and_a_cut_may_end_within_one():
    machine = clean()
    around = run([-5.0] * 10 + [-40.0] * 2, machine).surroundings
    shell = in_full_wind(around, machine.shell, BARE, 0.0)
    cut = power_off(shell, np.full(12, 38.0), 250e3, 2.5)
    turned = in_full_wind(
        run([-40.0] + [-5.0] * 10 + [-40.0], machine).surroundings, machine.shell, BARE, 0.0
    )
    assert power_off(turned, np.full(12, 38.0), 250e3, 2.5).at_return == pytest.approx(
        np.roll(cut.at_return, 1)
    )
    assert int(np.argmin(cut.at_return)) == 10
    two, three = (power_off(shell, np.full(12, 38.0), 250e3, hours).at_return for hours in (2.0, 3.0))
    assert np.all((three < cut.at_return) & (cut.at_return < two))


def test_the_course_goes_through_what_the_check_says():
    found, start = winter_of(at(), unit_with(cooling={"heater_kw": 2.0}))
    worst = start.worst
    followed, air = worst.followed()
    assert (followed.hours[0], followed.liquid[0]) == (0.0, 38.0)
    assert float(np.interp(24.0, followed.hours, followed.liquid)) == pytest.approx(worst.at_return, abs=1e-6)
    assert followed.liquid[-1] == -15.0
    assert followed.hours[-1] == pytest.approx(24.0 + found.demand - 0.05, abs=1e-6)
    assert len(air) == len(followed.hours)
    assert set(air) == {-30.0}
    whole = course(
        in_full_wind(at().year.surroundings, clean().shell, BARE, 0.0),
        38.0, 3, 2.5, (250e3, 250e3), 0.0, float("nan"),
    )  # fmt: skip
    assert 2.5 in whole.hours
    assert whole.hours[-1] == pytest.approx(50.5)


def test_no_heater_is_quick_enough_where_the_delay_takes_the_whole_time():
    criteria = CRITERIA.model_copy(update={"restart_max_h": 0.04})
    found, start = winter_of(at(), criteria=criteria)
    assert (found.status, start.needed) == ("caution", float("inf"))
    assert "whatever the heater" in asked(found)


def test_the_length_of_the_cut_is_the_criteria_s():
    short = CRITERIA.model_copy(update={"power_off_hours": 2.0})
    _, two = winter_of(at(), criteria=short)
    _, day = winter_of(at())
    assert two.worst.at_return > day.worst.at_return
    assert two.off_hours == 2.0
