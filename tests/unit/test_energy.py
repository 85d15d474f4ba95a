"""Energy of a site as a record and as a section of the report; the servers' options with a load profile."""

from dataclasses import replace

import numpy as np
import pytest
from heat_cases import chiller
from result_factory import make_result
from series_cases import air_at, clean, heat_of
from site_cases import decide, unit_with

from edgecheck.checks.energy import energy_record, worst_pue
from edgecheck.heat.microclimate import Microclimate
from edgecheck.heat.series import run_series, surroundings
from edgecheck.heat.server_power import ServerPower
from edgecheck.inputs.sites import Site
from edgecheck.outputs.figures.energy import energy_by_month
from edgecheck.outputs.views.energy import energy
from edgecheck.services.peak_power import peak_power

BARE = Microclimate(
    roof_absorptance=0.9, roof_emissivity=0.9, wind_share=0.5, recirculation=0.0, roof_mixing=0.0
)
PARTS = ("it_kwh", "distribution_kwh", "pump_kwh", "cooling_kwh", "standby_kwh")


def run_with(share, temp, machine):
    """A series without sun with a share of the load in each hour."""
    dark = np.zeros(len(temp))
    around = surroundings(
        air_at(temp), dark, np.zeros((6, len(temp))), machine, BARE, np.asarray(share, dtype=float)
    )
    return run_series(around, machine)


def row(**values):
    return Site(row=2, site_id="S", values=values)


def test_parts_make_the_input_and_months_make_the_year():
    found = energy_record(heat_of(clean(distribution_share=0.04)), row())
    assert sum(found[part] for part in PARTS) == pytest.approx(found["input_kwh"])
    assert found["distribution_kwh"] == pytest.approx(0.04 * found["it_kwh"])
    for part in (*PARTS, "input_kwh"):
        assert sum(month[part] for month in found["months"]) == pytest.approx(found[part])
    assert found["partial_pue"] == pytest.approx(found["input_kwh"] / found["it_kwh"])


def test_cost_and_carbon_need_their_cells():
    heat = heat_of(clean())
    bare = energy_record(heat, row())
    assert (bare["cost"], bare["carbon_kg"], bare["price_per_kwh"]) == (None, None, None)
    priced = energy_record(heat, row(electricity_price_per_kwh=0.3, grid_carbon_kg_per_kwh=0.0))
    assert priced["cost"] == pytest.approx(0.3 * bare["input_kwh"])
    assert priced["cost_beside_it"] == pytest.approx(0.3 * (bare["input_kwh"] - bare["it_kwh"]))
    assert priced["carbon_kg"] == 0.0


def test_hours_without_servers_have_no_partial_pue():
    series = run_with([0.0, 0.5, 1.0], [20.0] * 3, clean())
    ratio = series.power.partial_pue
    assert np.isnan(ratio[0])
    assert ratio[1] > ratio[2] > 1.0  # the pump runs whatever the load
    assert worst_pue(series) == (1, ratio[1])
    assert worst_pue(run_with([0.0] * 3, [20.0] * 3, clean())) is None


def test_standby_is_what_is_drawn_while_nothing_is_taken_out():
    series = run_with([0.0, 1.0], [-20.0, 20.0], clean(pump_load=0.0, pump_heat=0.0))
    power = series.power
    assert series.course.cooled[0] == 0.0
    assert (power.cooling[0], power.standby[0]) == (0.0, 60.0)
    assert power.standby[1] == 0.0
    assert power.cooling[1] > 500.0


def test_leakage_and_distribution_go_with_the_hours_load():
    machine = clean(leakage=0.01, distribution_share=0.05, it=9000.0, cooling=chiller(condensing_limit=99.0))
    share = np.array([1.0, 0.5, 1.0, 0.5])
    series = run_with(share, [20.0, 20.0, 50.0, 50.0], machine)
    running = 1.0 - series.course.servers_off / 3600.0
    expected = 9000.0 * share * running * (1.0 + 0.01 * (series.course.liquid - 40.0))
    assert series.course.liquid[2] > 41.0
    assert series.power.it == pytest.approx(expected)
    assert series.power.distribution == pytest.approx(0.05 * expected)
    assert series.load.at_setpoint - series.load.at_setpoint_off == pytest.approx(9450.0 * share)
    assert series.load.slope - series.load.slope_off == pytest.approx(94.5 * share)


def test_servers_stop_and_restart_with_their_hysteresis_under_a_profile():
    """Overload through the day stops the servers; they are back once the bath is below restart, not before."""
    machine = clean(it=12_000.0)
    share = np.array([1.0] * 8 + [0.2] * 8 + [1.0] * 8)
    series = run_with(share, [45.0] * 24, machine)
    course = series.course
    assert course.stops >= 2
    assert course.servers_off[:8].sum() > 0.0
    assert course.servers_off[10:16].sum() == 0.0  # a fifth of the load is carried
    assert course.peak[:8].max() == pytest.approx(70.0)
    off = course.servers_off > 0.0
    assert np.all(series.power.it[off] < 12_000.0 * share[off])
    late = replace(machine, bath=replace(machine.bath, restart=41.0))
    waiting = run_with(share, [45.0] * 24, late).course
    assert waiting.servers_off.sum() > course.servers_off.sum()
    assert waiting.stops < course.stops


def test_power_over_temperature_by_hand():
    """Leakage 0.01/K about 40: 1.15 at the alarm of 55; 0.6 x 1.30 = 0.78 at 70; half way 0.965."""
    power = ServerPower(40.0, 55.0, 70.0, 0.01, 0.6)
    assert power.factor(np.array([40.0, 55.0, 62.5, 70.0, 80.0])) == pytest.approx(
        [1.0, 1.15, 0.965, 0.78, 0.78]
    )
    assert ServerPower(40.0, 55.0, 70.0, 0.01).factor(70.0) == pytest.approx(1.30)
    assert ServerPower(40.0, 55.0, 70.0).bend == np.inf


def test_a_feed_carries_what_throttling_servers_draw_on_the_way_up():
    machine = clean(leakage=0.01, throttle_share=0.3)
    series = run_with([1.0], [20.0], machine)
    hot = replace(series, course=replace(series.course, peak=np.array([66.0])))
    assert peak_power(hot, machine).servers == pytest.approx([6000.0 * 1.15])


def test_the_unit_file_may_say_that_servers_throttle():
    assert decide().detail["unit"]["throttle_share"] == 1.0
    found = decide(unit=unit_with(servers={"throttle_share": 0.5}))
    plain = decide()
    assert found.figures["ride_through_minutes"] > plain.figures["ride_through_minutes"]
    assert found.figures["headroom_share"] == plain.figures["headroom_share"]
    note = next(check.note for check in found.checks if check.id == "outage.cooling-lost")
    assert "throttle to 50%" in note
    assert found.detail["outage"]["to_alarm_minutes"] == plain.detail["outage"]["to_alarm_minutes"]


def test_the_section_says_what_is_known_and_what_is_not():
    result = make_result()
    view = energy(result.detail)
    assert view is not None
    assert len(view.rows) == 12
    assert view.headings[-1] == "cost"
    assert len(view.total) == len(view.headings) == len(view.rows[0])
    text = " ".join(view.lines)
    assert "in the list's own currency" in text
    assert "the list gives no amount" in text
    assert "draw 6.00 kW in every hour" in view.load
    assert energy({}) is None
    assert energy_by_month({}) is None


def test_the_section_names_the_profile_and_the_throttling():
    result = make_result()
    shares = {"least_share": 0.4, "mean_share": 0.7, "greatest_share": 1.0}
    unit = {
        **result.detail["unit"],
        "load_profile": {"file": "week.csv", "form": "week", "in_kw": False, **shares},
        "throttle_share": 0.6,
    }
    view = energy({**result.detail, "unit": unit})
    assert view is not None
    assert "follows week.csv, by hour and day of the week: 40.0 % to 100 % of 6.00 kW, 70.0 %" in view.load
    assert "throttle evenly to 60.0 %" in view.load


def test_a_figure_of_unknown_ratios_is_still_drawn():
    result = make_result()
    months = [{**month, "partial_pue": None} for month in result.detail["energy"]["months"]]
    drawing = energy_by_month({"energy": {**result.detail["energy"], "months": months}})
    assert drawing is not None
    assert "Partial PUE" not in drawing.caption
