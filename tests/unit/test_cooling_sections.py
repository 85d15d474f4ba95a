"""Every kind of cooling section as the unit file states it: numbers by hand, several sections, checks and pages."""

import re
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from heat_cases import SPAN, air_in, chiller, dry_cooler, economiser
from series_cases import heat_of, run, spell, times
from site_cases import UNIT, decide, example_values, machine_at, unit_with

from edgecheck.base.errors import InputFaults
from edgecheck.checks.declarations import check_of
from edgecheck.checks.facts import free_cooling, sections_record
from edgecheck.checks.heat import cycling_check, operating_range_check
from edgecheck.heat.electricity import PartLoad
from edgecheck.heat.section import LiquidSpan
from edgecheck.inputs.unit import load_unit
from edgecheck.outputs.views.worst_hour import worked_hours

EXAMPLES = Path(__file__).parent.parent / "data" / "examples"
DRY = load_unit(EXAMPLES / "unit-dry-cooler.toml")
ECONOMISER_KEYS = """kind = "chiller-with-economiser"
coil_air = "{air}"
coil_conductance_kw_k = 0.6
coil_airflow_m3_s = 1.3
coil_fan_kw = 0.25
coil_air_side_share = 0.45
"""
WARM = LiquidSpan(45.0, 54.0, 70.0)


def unit_file(tmp_path, *changes, file="unit.toml"):
    """A changed example with the files it stands on."""
    for name in ("unit.toml", "unit-dry-cooler.toml"):
        (tmp_path / name).write_text((EXAMPLES / name).read_text(encoding="utf-8"), encoding="utf-8")
    text = (tmp_path / file).read_text(encoding="utf-8")
    for old, new in changes:
        text, count = re.subn(old, new, text)
        assert count == 1, old
    (tmp_path / file).write_text(text, encoding="utf-8")
    return tmp_path / file


def with_economiser(tmp_path, *changes, air="separate"):
    return load_unit(
        unit_file(tmp_path, (r'kind = "chiller" .*\n', ECONOMISER_KEYS.format(air=air)), *changes)
    )


def dry(**keys):
    return DRY.model_copy(update={"cooling": DRY.cooling.model_copy(update=keys)})


# ------------------------------------------------------------------------------------------ the dry cooler


def test_a_dry_cooler_in_si():
    made = machine_at(6000.0, DRY)
    assert (made.setpoint, made.service_max, made.alarm, made.bath.shutdown) == (45.0, 54.0, 58.0, 70.0)
    # what it rejects: servers, pump heat 0.85 x 220 W, fans
    assert made.rejected == pytest.approx(6000.0 + 187.0 + 300.0)
    assert made.rejects_load
    assert made.cycling is None
    assert made.band == 0.0
    assert made.bath.trip_delay == made.restart_delay == 60.0
    assert made.pump_load == pytest.approx(187.0)
    section = made.cooling
    assert (section.coil.conductance, section.fan_power, section.standby) == (750.0, 300.0, 30.0)
    assert section.fan_exponent == 3.0
    assert section.still_share == 0.0
    assert (section.inlet_max, section.inlet_min) == (60.0, -40.0)
    # 2070 + 3.7 x 25 = 2162.5 J/kgK at 45 degC, 3.7 J/kgK2 more for every kelvin
    assert float(section.coil.liquid.at(45.0)) == pytest.approx(0.9 * 2162.5)
    assert float(section.coil.liquid.at(55.0)) == pytest.approx(0.9 * (2162.5 + 37.0))
    assert machine_at(6000.0, dry(coil_bypass=False)).cooling.still_share == 0.05


def test_power_of_fans_goes_with_the_cube_or_with_the_share():
    for exponent, at_half in ((3.0, 30.0 + 300.0 / 8.0), (1.0, 30.0 + 150.0)):
        section = dry_cooler(fan_exponent=exponent)
        curve = section.curve(air_in([20.0] * 3), WARM)
        full = float(curve.capacity_at(45.0)[0])
        drawn = section.input_power(curve, np.full(3, 45.0), np.array([0.0, 0.5, 1.0]) * full)
        assert drawn == pytest.approx([30.0, at_half, 330.0])


def test_still_air_is_free_and_cannot_be_refused():
    section = dry_cooler(still_share=0.05)
    curve = section.curve(air_in([-20.0] * 2), WARM)
    full = float(curve.capacity_at(45.0)[0])
    assert section.input_power(curve, np.full(2, 45.0), np.array([0.05, 1.0]) * full) == pytest.approx(
        [30.0, 330.0]
    )
    unbypassed = machine_at(500.0, dry(coil_bypass=False))
    open_air = run([-25.0] * 48, unbypassed)
    bypassed = run([-25.0] * 48, machine_at(500.0, DRY))
    assert open_air.course.liquid[-1] < bypassed.course.liquid[-1] - 5.0
    assert open_air.course.lowest_on == pytest.approx(open_air.course.liquid[-1], abs=1e-9)
    # settled: 5 % of the coil's heat is the load
    settled = float(open_air.course.liquid[-1])
    passed = 0.05 * float(open_air.curve.capacity_at(settled)[-1])
    assert passed == pytest.approx(float(open_air.load.at(settled)[-1]), abs=5.0)


def test_a_slowed_fan_moves_less_air_for_the_cube_of_the_power():
    section = dry_cooler(air_share=1.0, fouling=0.0)
    slow = replace(air_in(25.0), fan_speed=0.5)
    density = float(slow.density[0])
    assert float(section.coil.air_rate(density, 0.5)) == pytest.approx(
        0.5 * float(section.coil.air_rate(density))
    )
    shares = float(section.coil.conductance_in(density, 0.5)) / float(section.coil.conductance_in(density))
    assert shares == pytest.approx(0.5**0.6)
    curve = section.curve(slow, WARM)
    assert float(curve.power_at(45.0)[0]) == pytest.approx(30.0 + 300.0 / 8.0)
    assert float(curve.capacity_at(45.0)[0]) < float(section.curve(air_in(25.0), WARM).capacity_at(45.0)[0])
    quiet = machine_at(6000.0, DRY).slowed(0.5)
    assert (quiet.airflow, quiet.fan_speed) == (0.8, 0.5)
    again = run([25.0, 35.0], machine_at(6000.0, DRY)).surroundings.around(quiet)
    direct = run([25.0, 35.0], quiet).surroundings
    np.testing.assert_allclose(again.inlet_air, direct.inlet_air)
    np.testing.assert_allclose(again.factor, direct.factor)
    assert np.all(run([25.0], quiet).headroom.service < run([25.0], machine_at(6000.0, DRY)).headroom.service)
    compressor = chiller()
    whole, less = (
        compressor.curve(air_in(35.0), SPAN),
        compressor.curve(replace(air_in(35.0), fan_speed=0.5), SPAN),
    )
    assert float(whole.power_at(40.0)[0] - less.power_at(40.0)[0]) == pytest.approx(320.0 * (1.0 - 0.125))


# ------------------------------------------------------------------------------------------ variable speed


def test_power_of_a_compressor_that_slows_by_hand():
    """35 degC, liquid 40: 8.8 kW for 2.12 kW, of which 0.32 the fan; at 60 % and, below the least 40 %, at 10 %."""
    law = PartLoad(least_share=0.4, offset=0.1, fan_exponent=3.0)
    section = chiller(part_load=law)
    curve = section.curve(air_in([35.0] * 4), SPAN)
    drawn = section.input_power(curve, np.full(4, 40.0), np.array([0.0, 0.1, 0.6, 1.0]) * 8800.0)
    at_60 = 1800.0 * (0.1 + 0.9 * 0.6) + 320.0 * 0.6**3
    stage = 1800.0 * (0.1 + 0.9 * 0.4) + 320.0 * 0.4**3
    # at its least speed for a quarter of the time, with Cc 0.9 of EN 14825
    assert drawn == pytest.approx([60.0, stage * (0.9 * 0.25 + 0.1), at_60, 2120.0])
    assert replace(law, fan_exponent=1.0).power(2120.0, 0.6, 320.0) == pytest.approx(
        1800.0 * 0.64 + 320.0 * 0.6
    )


def test_condensing_temperature_at_the_speed_that_the_load_asks_for():
    made = machine_at(4400.0, unit_with(cooling={"part_load": "variable-speed", "capacity_min_share": 0.3}))
    series = run([35.0], replace(made, fouling=0.0))
    share = float(series.load.at_setpoint[0]) / 8800.0
    given = share * 8800.0 + 320.0 + 1800.0 * (0.1 + 0.9 * share)
    assert float(series.condensing[0]) == pytest.approx(35.0 + 12.0 * given / 10_900.0, abs=1e-6)


def test_it_slows_where_an_on_off_machine_must_stop():
    hot = [49.5]
    limits = {"condensing_max_c": 62.0}
    stops = run(hot, machine_at(4000.0, unit_with(cooling=limits)))
    slowed = unit_with(cooling=limits | {"part_load": "variable-speed", "capacity_min_share": 0.3})
    runs = run(hot, machine_at(4000.0, slowed))
    assert stops.headroom.barred.all()
    assert not runs.headroom.barred.any()
    assert 0.3 * 7360.0 < float(runs.headroom.capacity[0]) < 7360.0
    assert float(runs.condensing[0]) <= 59.0 + 1e-6


# ------------------------------------------------------------------------------------------ the economiser


def test_a_leaving_table_takes_the_drop_of_the_coil_off_once():
    """At -5 degC: chiller alone, read at its own leaving temperature from the liquid behind the coil."""
    made = economiser(chiller=chiller(leaving_basis=True), before_condenser=False)
    curve = made.curve(air_in(-5.0), SPAN)
    coil = float(curve.free_cooling_at(40.0)[0])
    behind = 40.0 - coil / float(made.coil.liquid.at(40.0))
    leaving, capacity = behind, 0.0
    for _ in range(300):
        row = [np.interp(-5.0, made.chiller.inlet_columns, r) for r in made.chiller.capacity]
        capacity = float(np.interp(leaving, made.chiller.liquid_rows, row))
        leaving = behind - capacity / made.chiller.liquid_heat_rate
    assert coil > 10_000.0
    assert float(curve.capacity_at(40.0)[0]) - coil == pytest.approx(capacity, rel=2e-3)


def test_the_chillers_low_limit_does_not_bar_the_coil():
    section = economiser(coil_air_min=-35.0)
    curve = section.curve(air_in([-24.0, -26.0, -35.1]), SPAN)
    assert curve.allowed_at(40.0).tolist() == [True, True, False]
    coil = curve.free_cooling_at(40.0)
    assert float(curve.capacity_at(40.0)[0]) > float(coil[0]) + 5000.0
    assert float(curve.capacity_at(40.0)[1]) == pytest.approx(float(coil[1]))
    assert curve.trip[1] == np.inf
    assert curve.exceedance[2] == pytest.approx(0.1)
    # a coil that must stop earlier leaves the chiller alone
    tender = economiser(coil_air_min=-10.0).curve(air_in([-9.0, -11.0]), SPAN)
    assert (tender.free_cooling_at(40.0) > 0.0).tolist() == [True, False]
    alone = chiller().curve(air_in(-11.0), SPAN)
    assert float(tender.capacity_at(40.0)[1]) == pytest.approx(float(alone.capacity_at(40.0)[0]))


def test_it_comes_in_above_the_changeover_and_where_it_pays():
    section = economiser(coil_fan_power=0.0)
    curve = section.curve(air_in([34.9, 35.1, 30.0]), SPAN)
    assert (curve.free_cooling_at(40.0) > 0.0).tolist() == [True, False, True]
    # a fan that draws more than the compressor saves keeps it out: 0.9 x 1.6/9.73 W for each watt at 20 degC
    thirsty = economiser(coil_fan_power=2000.0)
    assert float(thirsty.curve(air_in(20.0), SPAN).free_cooling_at(40.0)[0]) == 0.0
    saved = 0.9 * 1550.0 / 9750.0 * float(section.curve(air_in(20.0), SPAN).free_cooling_at(40.0)[0])
    assert (
        float(economiser(coil_fan_power=0.98 * saved).curve(air_in(20.0), SPAN).free_cooling_at(40.6)[0])
        > 0.0
    )
    assert (
        float(economiser(coil_fan_power=1.02 * saved).curve(air_in(20.0), SPAN).free_cooling_at(40.0)[0])
        == 0.0
    )


def test_a_coil_before_the_condenser_warms_its_air():
    air = air_in(15.0)
    before = economiser().curve(air, SPAN)
    apart = economiser(before_condenser=False).curve(air, SPAN)
    heat = float(before.free_cooling_at(40.0)[0])
    rise = heat / (float(air.density[0]) * 1006.0 * 1.3)
    assert float(before.equivalent_inlet[0]) == pytest.approx(15.0 + rise, abs=0.02)
    assert float(apart.equivalent_inlet[0]) == 15.0
    assert float(before.capacity_at(40.0)[0]) < float(apart.capacity_at(40.0)[0])


def test_the_coil_comes_first_and_the_compressor_takes_the_rest():
    section = economiser(before_condenser=False)
    curve = section.curve(air_in([10.0] * 2), SPAN)
    coil = float(curve.free_cooling_at(40.0)[0])
    liquid, half = np.full(2, 40.0), np.array([0.5 * coil, coil + 2000.0])
    drawn = section.input_power(curve, liquid, half)
    assert drawn[0] == pytest.approx(0.5 * 250.0 + 60.0)  # fan and controls, the compressor at rest
    behind = float(curve.part("rest_capacity", 40.0)[0])
    full = float(curve.part("rest_power", 40.0)[0])
    assert drawn[1] == pytest.approx(250.0 + full * (0.9 * 2000.0 / behind + 0.1))
    shared = economiser(coil_fan_power=0.0)
    curve = shared.curve(air_in([10.0]), SPAN)
    lone = shared.input_power(curve, np.array([40.0]), 0.5 * curve.free_cooling_at(40.0))
    assert lone == pytest.approx([0.5 * 320.0 + 60.0])  # the condenser fan serves the coil


def test_an_economiser_from_the_file(tmp_path):
    unit = with_economiser(tmp_path, air="before-condenser")
    made = machine_at(6000.0, unit)
    assert made.cooling.coil_air_min == -25.0  # the chiller's own until the maker says more
    assert made.cooling.before_condenser
    assert made.cycling is not None
    assert made.rejected == pytest.approx(10_900.0)
    with pytest.raises(InputFaults, match="a coil with air of its own has a fan of its own"):
        with_economiser(tmp_path, ("coil_fan_kw = 0.25", "coil_fan_kw = 0.0"))


# ------------------------------------------------------------------------------------------ several sections


def test_sections_share_flow_and_heat_and_each_has_its_own_air():
    one = machine_at(6000.0, unit_with(cooling={"liquid_basis": "leaving"}))
    two = machine_at(6000.0, unit_with(cooling={"liquid_basis": "leaving", "sections": 2}))
    assert (two.sections, two.in_service, two.stands_by) == (2, 2, False)
    assert two.cooling.liquid_heat_rate == pytest.approx(one.cooling.liquid_heat_rate / 2.0)
    assert (two.airflow, two.rejected) == (2.6, pytest.approx(21_800.0))
    assert two.discharge_heat == pytest.approx(one.discharge_heat)
    assert two.pump_power == one.pump_power
    both, single = run([20.0, 40.0], two), run([20.0, 40.0], one)
    # twice a section that gets half of the flow
    half = replace(one, cooling=two.cooling)
    np.testing.assert_allclose(both.headroom.capacity, 2.0 * run([20.0, 40.0], half).headroom.capacity)
    assert np.all(both.headroom.capacity < 2.0 * single.headroom.capacity)


def test_a_standby_adds_nothing_but_its_controls_until_one_fails():
    made = machine_at(6000.0, unit_with(cooling={"sections": 2, "section_duty": "standby"}))
    one = machine_at(6000.0)
    assert (made.in_service, made.idle_power) == (1, 60.0)
    np.testing.assert_allclose(run([35.0], made).headroom.capacity, run([35.0], one).headroom.capacity)
    drawn = run([35.0], made).input_power - run([35.0], one).input_power
    assert drawn == pytest.approx([60.0])
    assert made.with_one_failed() is made


def test_what_is_left_with_one_of_several_failed():
    temps = [20.0, 35.0, 44.0]
    shared = heat_of(machine_at(6000.0, unit_with(cooling={"sections": 2})), temps)
    alone = run(temps, machine_at(6000.0))
    found = sections_record(shared)
    assert (found["count"], found["in_service"], found["stands_by"]) == (2, 2, False)
    assert found["share_one_failed"] == pytest.approx(float(alone.headroom.share.min()))
    assert found["hours_short_one_failed"] == 0
    assert found["worst_time_one_failed"].endswith("02:00")
    overloaded = heat_of(machine_at(9600.0, unit_with(cooling={"sections": 2})), temps)
    assert not overloaded.year.headroom.short.any()
    assert sections_record(overloaded)["hours_short_one_failed"] == 1
    single = sections_record(heat_of(machine_at(6000.0), temps))
    assert single["count"] == 1
    assert single["share_one_failed"] is single["hours_short_one_failed"] is None
    spare = heat_of(machine_at(6000.0, unit_with(cooling={"sections": 2, "section_duty": "standby"})), temps)
    assert sections_record(spare)["share_one_failed"] == pytest.approx(float(alone.headroom.share.min()))


def test_dry_coolers_left_breathe_the_heat_of_all():
    made = machine_at(6000.0, dry(sections=3))
    left = made.with_one_failed()
    assert left.in_service == 2
    assert left.airflow == pytest.approx(2.0 / 3.0 * made.airflow)
    assert left.discharge_heat == pytest.approx(1.5 * made.discharge_heat)
    compressors = machine_at(6000.0, unit_with(cooling={"sections": 3}))
    assert compressors.with_one_failed().discharge_heat == pytest.approx(compressors.discharge_heat)


def test_a_single_section_cannot_stand_by(tmp_path):
    path = unit_file(tmp_path, ("part_load = ", 'section_duty = "standby"\npart_load = '))
    with pytest.raises(InputFaults, match="standby needs at least two sections"):
        load_unit(path)


# ------------------------------------------------------------------------------------------ checks and pages


def cycling_of(made, temps):
    return cycling_check(check_of("heat.cycling"), run(temps, made), times(len(temps)), made)


def test_cycling_belongs_to_compressors_that_are_switched(tmp_path):
    assert cycling_of(machine_at(6000.0, DRY), [20.0]).status == "not applicable"
    slows = {"part_load": "variable-speed", "capacity_min_share": 0.5}
    above = cycling_of(machine_at(6000.0, unit_with(cooling=slows)), [35.0])
    assert (above.status, above.demand) == ("pass", 0.0)
    # at its least stage of half the capacity the swing is that of a machine half as large
    below = cycling_of(machine_at(2000.0, unit_with(cooling=slows)), [35.0])
    series = run([35.0], machine_at(2000.0, unit_with(cooling=slows)))
    heat, stage = float(series.load.at_setpoint[0]), 0.5 * float(series.headroom.capacity[0])
    band = machine_at(2000.0).bath.heat_capacity * 4.0
    assert below.demand == pytest.approx(3600.0 / (band / (stage - heat) + band / heat))
    unit = with_economiser(tmp_path)
    assert cycling_of(machine_at(6000.0, unit), [0.0]).demand == 0.0  # the coil carries it all
    assert cycling_of(machine_at(6000.0, unit), [38.0]).demand > 0.0


def test_operating_range_of_a_machine_without_a_condenser():
    made = machine_at(6000.0, DRY)
    fine = heat_of(made, [20.0, 45.0], hot=spell([20.0, 50.0], made), cold=spell([-30.0], made, warm=False))
    assert operating_range_check(check_of("heat.operating-range"), fine).status == "pass"
    barred = heat_of(made, [20.0, 61.0, -41.0], hot=spell([20.0], made), cold=spell([0.0], made, warm=False))
    found = operating_range_check(check_of("heat.operating-range"), barred)
    assert (found.status, found.demand) == ("fail", 2.0)
    assert "condensing" not in found.note


def words(result):
    rows = [row for hour in worked_hours(result) for row in (*hour.air, *hour.room)]
    return " | ".join(f"{row.what}: {row.result}" for row in rows)


def test_the_page_explains_the_kind_that_there_is(tmp_path):
    cell = dict(example_values())
    dry_result = decide(cell, DRY)
    text = words(dry_result)
    assert "Effectiveness, cross-flow" in text
    assert "not known" not in text
    for wrong in ("Condensing", "rating table", "Thin air and fouling"):
        assert wrong not in text
    values = dry_result.worst_hours[0].values
    heat = values["coil_effectiveness"] * values["coil_air_rate"] * (45.0 - values["inlet_air"])
    assert heat == pytest.approx(values["capacity"], rel=1e-3)
    assert np.isnan(dry_result.hourly["condensing"].to_numpy()).all()
    assert free_cooling(run([20.0], machine_at(6000.0, DRY))) is None

    economised = decide(cell, with_economiser(tmp_path))
    text = words(economised)
    for right in (
        "Effectiveness, cross-flow",
        "Condensing",
        "rating table",
        "Heat of the coil, which comes first",
    ):
        assert right in text
    assert economised.detail["free_cooling"]["heat_share"] > 0.8
    assert economised.detail["energy"]["input_kwh"] < decide(cell).detail["energy"]["input_kwh"]
    plain = words(decide(cell))
    assert "Effectiveness" not in plain
    assert UNIT.cooling.kind == "chiller"
