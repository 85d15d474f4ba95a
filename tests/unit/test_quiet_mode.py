"""Quiet mode: the speed that holds the night limit, and the headroom that is really left at it."""

from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from heat_cases import chiller
from heat_cases import machine as made
from scipy.optimize import brentq
from series_cases import clean, run
from site_cases import UNIT, heat, machine_at, site, unit_with
from sound_cases import CALM, CRITERIA, VARIABLE

from edgecheck.checks.result import plain
from edgecheck.checks.sound import sound_checks
from edgecheck.checks.sound_record import sound_detail
from edgecheck.heat.inlet import air_side_factor
from edgecheck.heat.section import InletAir
from edgecheck.outputs.views.sound import sound
from edgecheck.services.neighbour_level import (
    day_levels,
    hour_levels,
    hour_of_day,
    period_hours,
    period_level,
)
from edgecheck.services.quiet_mode import quiet_hours, quiet_speed
from edgecheck.services.sound_sources import SoundSources

QUIET_COMPRESSOR = {"sound_power_compressor_dba": 58.0, "tonal_db": 0.0}
ROW = {"neighbour_distance_m": 12.0, "neighbour_limit_night_dba": 34.0, "front_azimuth_deg": 180.0, **CALM}
NIGHT = period_hours(7.0, 19.0, 23.0)["night"]


# ---------------------------------------------------------------------------------------- the speed


@pytest.mark.parametrize("allowed", [61.0, 64.0, 68.0, 70.5])
@pytest.mark.parametrize("sections", [1, 2])
def test_speed_against_a_general_root(allowed, sections):
    sources = SoundSources(71.0, 56.0, sections)
    root = brentq(lambda n: float(sources.at_speed(n)) - allowed, 1e-3, 3.0, xtol=1e-12)
    found = quiet_speed(sources, allowed)
    assert found.exact == pytest.approx(root, rel=1e-9)
    assert found.speed == pytest.approx(np.floor(100.0 * root) / 100.0)
    assert float(sources.at_speed(found.speed)) <= allowed


def test_a_compressor_that_is_too_loud_alone():
    found = quiet_speed(SoundSources(71.0, 70.0), 70.0)
    assert (found.speed, found.exact, found.why_none) == (None, None, "compressor")


def test_a_fan_that_would_stall():
    found = quiet_speed(SoundSources(71.0, None), 40.0)
    assert (found.speed, found.why_none) == (None, "too slow")
    assert found.exact == pytest.approx(10.0 ** (-31.0 / 50.0))


def test_full_speed_that_is_quiet_enough():
    assert quiet_speed(SoundSources(60.0, 50.0), 75.0).speed == 1.0


# ---------------------------------------------------------------------------------------- the slowed machine


def test_what_a_slowed_fan_changes():
    """By hand: n 0.7: airflow 0.91 m3/s, X up by 0.7^-0.6 = 1.239, the fan's 320 W down to 110."""
    full = made(cooling=chiller(fan_power=320.0))
    slow = full.slowed(0.7)
    assert slow.airflow == pytest.approx(0.91)
    assert slow.fan_speed == 0.7
    assert replace(slow, airflow=full.airflow, fan_speed=1.0) == full
    assert slow.slowed(1.0) == full
    assert air_side_factor(101_325.0, 0.1, 0.7) / air_side_factor(101_325.0, 0.1) == pytest.approx(
        1.2386, abs=1e-4
    )
    air, one = np.array([30.0]), np.ones(1)
    fast, still = (
        machine.cooling.curve(InletAir(air, air, 1.2 * one, one, machine.fan_speed), machine.span)
        for machine in (full, slow)
    )
    saved = fast.power_at(40.0)[0] - still.power_at(40.0)[0]
    assert saved == pytest.approx(320.0 * (1.0 - 0.343))
    assert still.condensing_at(40.0)[0] == fast.condensing_at(40.0)[0]  # the condenser rejects the same


def test_capacity_at_the_slowed_speed_by_hand():
    """25 degC, no recirculation: T_eq = 25 + 12 (0.5^-0.6 - 1) = 31.19 degC; between 9.5 and 8.8 kW."""
    machine = clean(cooling=chiller(fan_power=320.0))
    series = run([25.0] * 6, machine)
    found = quiet_hours(series, machine, 0.5, np.ones(6, bool))
    equivalent = 25.0 + 12.0 * (0.5**-0.6 - 1.0)
    assert equivalent == pytest.approx(31.19, abs=0.005)
    at_setpoint = found.series.headroom.capacity[0]
    assert at_setpoint == pytest.approx(9500.0 - 70.0 * (equivalent - 25.0))
    assert found.least < series.headroom.service[0]
    assert found.series.input_power[0] < run([equivalent] * 6, machine).input_power[0]


def test_recirculation_grows_with_the_smaller_airflow():
    full = machine_at(6000.0)
    year = heat(ROW).year
    slow = year.surroundings.around(full.slowed(0.5))
    assert slow.recirculation_rise == pytest.approx(2.0 * year.surroundings.recirculation_rise)
    same = year.surroundings.around(full)
    assert np.array_equal(same.inlet_air, year.surroundings.inlet_air)


def test_past_the_table_the_headroom_is_not_known():
    machine = clean(cooling=chiller(condensing_limit=90.0))
    series = run([50.0] * 6, machine)
    assert not series.headroom.unknown.any()
    found = quiet_hours(series, machine, 0.5, np.ones(6, bool))
    assert (found.least, found.share) == (None, None)
    assert (found.unknown, found.short) == (6, 6)


# ---------------------------------------------------------------------------------------- the promise


def heat_place():
    return heat(ROW).place


@cache
def promised():
    unit = unit_with(cooling=QUIET_COMPRESSOR)
    return unit, plain(sound_detail(site(ROW), unit, heat(ROW, unit=unit), CRITERIA))


def test_the_slowed_unit_meets_the_limit_and_has_the_promised_headroom():
    """Another unit whose data sheet is that of the slowed fan, through the whole heat room.

    Its airflow is n V; its fouling makes X 1/((d n)^0.6 (1-f)); its power is less by the fan's part.
    """
    _, detail = promised()
    quiet = detail["quiet"]
    n = quiet["speed"]
    assert 0.3 < n < 0.9
    table = UNIT.cooling
    slowed = unit_with(
        cooling={
            **QUIET_COMPRESSOR,
            "airflow_m3_s": table.airflow_m3_s * n,
            "fouling": 1.0 - n**0.6 * (1.0 - table.fouling),
            "power_kw": tuple(
                tuple(power - table.condenser_fan_kw * (1.0 - n**3) for power in row)
                for row in table.power_kw
            ),
            "sound_power_fan_dba": table.sound_power_fan_dba + 50.0 * np.log10(n),
        }
    )
    again = heat(ROW, unit=slowed)
    night = NIGHT[hour_of_day(again.time)]
    share = again.year.headroom.share[night]
    worst = int(np.argmin(share))
    assert quiet["night"]["share"] == pytest.approx(float(share[worst]), abs=1e-12)
    assert quiet["night"]["headroom_kw"] == pytest.approx(
        float(again.year.headroom.service[night][worst]) / 1e3
    )
    spell = again.hot.series.headroom.share[NIGHT[hour_of_day(again.hot.time)]]
    assert quiet["hot_spell_night"]["share"] == pytest.approx(float(np.min(spell)), abs=1e-12)
    assert quiet["night"]["share"] < quiet["full_speed_night"]["share"]

    result = next(r for r in sound_checks(site(ROW), slowed, again, CRITERIA) if r.id.endswith("night"))
    assert result.demand == pytest.approx(quiet["running_dba"])
    assert result.demand <= 34.0 < detail["periods"][0]["running_dba"]
    assert result.status != "fail"
    assert 34.0 - result.demand < 50.0 * np.log10((n + 0.01) / n)  # one step faster would be too loud


def test_a_fan_that_cycles_needs_the_maker():
    _, detail = promised()
    assert detail["quiet"]["fan_can_slow"] is False
    view = sound({"sound": detail})
    assert "the maker would have to offer a slow speed" in view.quiet_text
    assert f"{100 * detail['quiet']['speed']:.0f} %" in view.quiet_text
    assert f"{detail['quiet']['night']['headroom_kw']:.2f} kW" in view.quiet_text
    assert view.quiet[-1].remark.endswith("its extreme is an estimate")


def test_a_fan_of_variable_speed_held_at_night_meets_the_limit():
    """The running level of every night hour of the re-run, with the fan capped."""
    row = {**ROW, "neighbour_limit_night_dba": 31.5}
    unit = unit_with(cooling={**QUIET_COMPRESSOR, **VARIABLE})
    detail = sound_detail(site(row), unit, heat(row, unit=unit), CRITERIA)
    quiet = detail["quiet"]
    assert detail["periods"][0]["running_dba"] > 31.5
    assert quiet["fan_can_slow"]
    found = heat(ROW, unit=unit)
    machine = found.machine
    slow = quiet_hours(found.year, machine, quiet["speed"], NIGHT[hour_of_day(found.time)])
    sources = SoundSources(71.0, 58.0, 1, True, 0.3)
    levels = hour_levels(
        sources, slow.series.capacity_ratio, slow.series.headroom.unknown, top_speed=quiet["speed"]
    )
    night = period_level(day_levels(levels, hour_of_day(found.time)), NIGHT)
    assert night.running - detail["path"]["attenuation_db"] <= 31.5


def test_a_limit_that_holds_anyway_asks_for_nothing():
    unit, _ = promised()
    row = {**ROW, "neighbour_limit_night_dba": 60.0}
    detail = sound_detail(site(row), unit, heat(ROW), CRITERIA)
    assert detail["quiet"]["needed"] is False
    assert sound({"sound": detail}).quiet_text == "The night limit needs no slower fan."


def test_what_stands_against_quiet_mode_is_said():
    loud = unit_with(cooling={"tonal_db": 0.0})  # compressor 70 dB(A)
    detail = sound_detail(site(ROW), loud, heat(ROW), CRITERIA)
    assert detail["quiet"]["why_none"] == "compressor"
    by_hand = 70.0 - 20.0 * np.log10(12.0) - 8.0
    assert detail["quiet"]["compressor_alone_dba"] == pytest.approx(by_hand, abs=0.03)
    assert "No fan speed helps" in sound({"sound": detail}).quiet_text
    hush = unit_with(cooling={"tonal_db": 0.0, "sound_power_compressor_dba": 20.0})
    near = sound_detail(site({**ROW, "neighbour_limit_night_dba": 15.0}), hush, heat(ROW), CRITERIA)
    assert near["quiet"]["why_none"] == "too slow"
    assert "slower than a fan" in sound({"sound": near}).quiet_text
