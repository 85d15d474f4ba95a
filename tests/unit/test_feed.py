"""Power feed: the hot hour, connection, rules, starting, drop, DC plant, and the section of the report."""

import json
from functools import cache

import numpy as np
import pytest
from asked import asked
from scipy.interpolate import RegularGridInterpolator
from site_cases import CRITERIA, EXAMPLES, UNIT, example_values, heat, site, unit_with

from edgecheck.checks.feed import FEED_CHECKS, feed_checks, running_ask
from edgecheck.checks.feed_record import feed_detail
from edgecheck.checks.hot_hour import SERVERS, WHOLE, hot_hours
from edgecheck.checks.survey_words import ELSEWHERE, LIMITS
from edgecheck.heat.section import InletAir
from edgecheck.inputs.columns import columns
from edgecheck.inputs.unit import load_unit
from edgecheck.outputs.page_template import page_template
from edgecheck.outputs.views.feed import feed
from edgecheck.services.connection import connections
from edgecheck.services.dc_plant import fits, lowest_volt
from edgecheck.services.feed import running_current
from edgecheck.services.peak_power import peak_power

CABLE = {"feed_cable_length_m": 20.0, "feed_cable_mm2": 10.0}
BOARD = {"electrical_rule": "iec", "feed_spare_ampere": 63.0, "feed_volt": 230.0, "feed_phases": 1.0}
THREE = unit_with(electrical={"volt": 400.0, "phases": 3})
ON_DC = unit_with(electrical={"servers_input": "dc48"})
WITHOUT = UNIT.model_copy(update={"electrical": None})
EXTREME = {"extreme_dry_bulb_c": 38.5, "extreme_return_years": 20.0}


@cache
def hot():
    return heat(EXTREME)


@cache
def guessed():
    """The same without a stated extreme: it is an estimate."""
    return heat()


@cache
def short_table():
    """A unit whose rating table ends at 35 degC."""
    cut = {
        "inlet_air_c": UNIT.cooling.inlet_air_c[:4],
        "capacity_kw": tuple(row[:4] for row in UNIT.cooling.capacity_kw),
        "power_kw": tuple(row[:4] for row in UNIT.cooling.power_kw),
    }
    unit = unit_with(cooling=cut)
    return unit, heat(EXTREME, unit=unit)


def judge(unit=UNIT, at=None, **cells):
    """Results of the three checks by the last part of their id."""
    found = feed_checks(site(cells), unit, at or hot(), CRITERIA)
    return {result.id.removeprefix("services."): result for result in found}


def running(unit=UNIT, at=None):
    return running_ask(unit, at or hot())


# ------------------------------------------------------------------------------------------ the hot hour


def test_the_hot_hour_is_read_in_the_rating_table_at_full_capacity():
    """scipy reads the same table at the equivalent inlet and the liquid of the hour."""
    hour = hot_hours(hot(), WHOLE).worst
    table = RegularGridInterpolator((UNIT.cooling.liquid_c, UNIT.cooling.inlet_air_c), UNIT.cooling.power_kw)
    by_scipy = 1e3 * table([[hour.liquid, hour.equivalent_inlet]])[0]
    assert hour.cooling == pytest.approx(by_scipy, rel=1e-9)
    assert hour.servers == 6000.0
    assert hour.pump == 180.0
    assert hour.when.startswith("hot spell ")
    assert running() == pytest.approx(hour.power / (230.0 * 0.95), rel=1e-12)


def test_the_table_gives_2330_watts_at_38_5_degrees():
    """The worked example: liquid at 40 degC, air at 38.5 degC without recirculation and derating."""
    air, one = np.array([38.5]), np.ones(1)
    curve = hot().machine.cooling.curve(InletAir(air, air, 1.13 * one, one, 1.0), hot().machine.span)
    power = 6000.0 + float(curve.power_at(40.0)[0]) + 180.0
    assert running_current(power, 230.0, 1, 0.95) == pytest.approx(38.9, abs=0.05)


def test_power_is_never_less_than_the_mean_of_the_hour():
    for _, series, _, _ in hot().all_series:
        whole = WHOLE.of(peak_power(series, hot().machine))
        assert np.all(whole >= series.input_power - 1e-6)
    year = hot().year
    assert np.max(WHOLE.of(peak_power(year, hot().machine))) > np.max(year.input_power)


def test_distribution_loss_is_in_the_servers_power():
    unit = unit_with(servers={"distribution_loss_share": 0.05})
    assert hot_hours(heat(EXTREME, unit=unit), WHOLE).worst.servers == pytest.approx(6300.0)


def test_leakage_is_taken_at_the_warmest_liquid_of_the_hour():
    """A load that the machine cannot carry: the bath floats, and servers and compressor draw more."""
    unit = unit_with(servers={"leakage_share_per_k": 0.01})
    hot_bath = heat({"extreme_dry_bulb_c": 44.0, "extreme_return_years": 20.0}, load=8200.0, unit=unit)
    hour = hot_hours(hot_bath, WHOLE).worst
    assert hour.liquid > 41.0
    assert hour.servers == pytest.approx(8200.0 * (1.0 + 0.01 * (hour.liquid - 40.0)))
    assert np.any(np.isclose(hot_bath.hot.series.course.peak, hour.liquid, rtol=0.0, atol=1e-9))


def test_servers_on_dc_draw_the_same_in_any_hour():
    assert hot_hours(hot(), SERVERS).worst.when == "any hour"
    unit, at = short_table()
    assert at.unknown_hours > 0
    assert hot_hours(at, SERVERS).unknown_hours == 0
    assert hot_hours(at, WHOLE).unknown_hours > 0
    assert running(unit, at) < running()  # the hours that are known are the milder ones


# ------------------------------------------------------------------------------------------ connection


@pytest.mark.parametrize(
    "unit_volt, unit_phases, feed_volt, feed_phases, volt, transformer",
    [
        (230.0, 1, 230.0, 1, 230.0, False),
        (230.0, 1, 240.0, None, 240.0, False),
        (230.0, 1, 208.0, 3, 208.0, False),  # between two phases
        (240.0, 1, 230.0, 3, 230.0, False),
        (230.0, 1, 400.0, 3, 400.0 / 3.0**0.5, False),
        (120.0, 1, 208.0, 3, 208.0 / 3.0**0.5, False),
        (230.0, 1, 480.0, 3, 480.0, True),
        (230.0, 1, 400.0, 1, 400.0, True),
        (400.0, 3, 415.0, 3, 415.0, False),
        (400.0, 3, 208.0, 3, 208.0, True),
        (230.0, 1, 207.0, 1, 207.0, False),  # just within 10 %
        (230.0, 1, 206.9, 1, 206.9, True),
    ],
)
def test_how_a_unit_lies_on_a_board(unit_volt, unit_phases, feed_volt, feed_phases, volt, transformer):
    found = connections(unit_volt, unit_phases, feed_volt, feed_phases)
    assert found.first.volt == pytest.approx(volt)
    assert found.first.transformer == transformer
    assert not found.missing


def test_what_leaves_a_connection_open():
    assert connections(230.0, 1, None, 1).missing == ("feed_volt",)
    assert connections(230.0, 1, 400.0, None).missing == ("feed_phases",)
    assert connections(400.0, 3, None, None).missing == ("feed_volt", "feed_phases")
    assert connections(400.0, 3, 400.0, None).missing == ("feed_phases",)
    assert connections(400.0, 3, None, 1).fault


def test_a_voltage_that_people_may_have_meant_otherwise():
    split = connections(230.0, 1, 120.0, 1).readings
    assert [link.board_volt for link in split] == [120.0, 240.0]
    neutral = connections(400.0, 3, 230.0, 3).readings
    assert [link.board_volt for link in neutral] == pytest.approx([230.0, 398.4], abs=0.1)


# ------------------------------------------------------------------------------------- running current


def test_the_example_site_passes_on_63_ampere_by_nec():
    values = dict(example_values())
    found = feed_checks(site(values), UNIT, heat(values), CRITERIA)[0]
    assert found.status == "pass"
    assert found.demand == pytest.approx(1.25 * running(at=heat(values)))
    assert found.limit == 63.0
    assert found.governed_by.startswith("hot spell ")
    assert "NEC 210.20(A), 215.3" in found.note


@pytest.mark.parametrize(
    "rule, spare, status",
    [
        ("iec", 32.0, "fail"),
        ("iec", 39.0, "fail"),
        ("iec", 40.0, "caution"),  # above 90 %
        ("iec", 50.0, "pass"),
        ("nec", 32.0, "fail"),
        ("nec", 45.0, "fail"),
        ("nec", 50.0, "caution"),  # enough by the rule, 99 % used
        ("nec", 63.0, "pass"),
        (None, 32.0, "fail"),  # by the milder rule
        (None, 45.0, "not assessed"),
        (None, 52.0, "not assessed"),  # enough by both, near by one of them
        (None, 63.0, "pass"),
    ],
)
def test_rule_and_spare_current(rule, spare, status):
    assert 39.0 < running() < 40.0
    found = judge(**{**BOARD, "electrical_rule": rule, "feed_spare_ampere": spare})["feed"]
    assert found.status == status
    assert found.missing == (("electrical_rule",) if status == "not assessed" else ())
    if rule is None and status == "pass":
        assert "IEC 60364-4-43" in found.note
        assert "NEC 210.20(A)" in found.note


def test_the_demand_is_what_the_rule_asks_for():
    assert judge(**BOARD)["feed"].demand == pytest.approx(running())
    assert judge(**{**BOARD, "electrical_rule": "nec"})["feed"].demand == pytest.approx(1.25 * running())
    unknown = judge()["feed"]
    assert unknown.status == "not assessed"
    assert set(unknown.missing) == {"feed_spare_ampere", "feed_volt"}
    assert unknown.demand == pytest.approx(1.25 * running())
    assert LIMITS["services.feed"] == "feed_spare_ampere"


@pytest.mark.parametrize(
    "cells, missing",
    [
        ({"feed_kva": 20.0}, {"feed_volt", "feed_phases"}),
        ({"feed_kva": 20.0, "feed_volt": 230.0}, {"feed_phases"}),
        ({"feed_kva": 20.0, "feed_phases": 1.0}, {"feed_volt"}),
        ({"feed_spare_ampere": 63.0}, {"feed_volt"}),
    ],
)
def test_apparent_power_needs_voltage_and_phases(cells, missing):
    found = judge(electrical_rule="iec", **cells)["feed"]
    assert found.status == "not assessed"
    assert set(found.missing) == missing
    assert found.demand == pytest.approx(running())


@pytest.mark.parametrize(
    "kva, volt, phases, ampere", [(11.5, 230.0, 1.0, 50.0), (34.64, 400.0, 3.0, 50.0), (18.01, 208.0, 3.0, 50.0)]
)  # fmt: skip
def test_spare_apparent_power(kva, volt, phases, ampere):
    found = judge(electrical_rule="iec", feed_kva=kva, feed_volt=volt, feed_phases=phases)["feed"]
    assert found.limit == pytest.approx(ampere, rel=1e-3)


def test_two_statements_that_differ_are_a_caution():
    found = judge(**BOARD, feed_kva=5.0)["feed"]
    assert found.status == "caution"
    assert "feed_kva says only 21.7 A" in asked(found)
    assert judge(**BOARD, feed_kva=14.5)["feed"].status == "pass"


def test_a_single_phase_unit_sits_on_one_phase():
    found = judge(**{**BOARD, "feed_volt": 400.0, "feed_phases": 3.0})["feed"]
    assert found.demand == pytest.approx(running() * 230.0 / (400.0 / 3.0**0.5))
    between = judge(**{**BOARD, "feed_volt": 208.0, "feed_phases": 3.0})["feed"]
    assert between.demand == pytest.approx(running() * 230.0 / 208.0)
    open_phases = judge(**{**BOARD, "feed_volt": 400.0, "feed_phases": None})["feed"]
    assert open_phases.missing == ("feed_phases",)


def test_three_phases():
    three = {**BOARD, "feed_volt": 400.0, "feed_phases": 3.0, "feed_spare_ampere": 16.0}
    found = judge(THREE, **three)["feed"]
    assert found.status == "pass"
    assert found.demand == pytest.approx(running() * 230.0 / (400.0 * 3.0**0.5))
    on_one = judge(THREE, **{**three, "feed_phases": 1.0})
    assert on_one["feed"].status == "fail"
    assert "three phases cannot be fed from one phase" in on_one["feed"].note
    assert {on_one[name].status for name in ("starting", "voltage-drop")} == {"not assessed"}
    unknown = judge(THREE, **{**three, "feed_phases": None})["feed"]
    assert (unknown.status, unknown.missing) == ("not assessed", ("feed_phases",))
    too_little = judge(THREE, **{**three, "feed_phases": None, "feed_spare_ampere": 10.0})["feed"]
    assert too_little.status == "fail"  # one phase would have to carry even more


def test_a_transformer_is_a_condition_and_the_current_is_the_boards():
    found = judge(**{**BOARD, "feed_volt": 480.0, "feed_phases": 3.0})["feed"]
    assert found.status == "caution"
    assert "a transformer from 480 to 230 V" in asked(found)
    assert found.demand == pytest.approx(running() * 230.0 / 480.0)
    step_up = judge(**{**BOARD, "feed_volt": 110.0, "feed_phases": 3.0})["feed"]
    assert step_up.status == "fail"


def test_a_split_phase_board_is_asked_about_before_it_fails():
    found = judge(**{**BOARD, "feed_volt": 120.0})["feed"]
    assert (found.status, found.missing) == ("not assessed", ("feed_volt",))
    assert "240 V" in found.note
    hopeless = judge(**{**BOARD, "feed_volt": 120.0, "feed_spare_ampere": 20.0})["feed"]
    assert hopeless.status == "fail"


# ------------------------------------------------------------------------- estimates and unknown hours


def test_an_estimated_extreme_fails_no_site():
    hours = hot_hours(guessed(), WHOLE)
    assert hours.worst.estimated
    firm, worst = (running_current(hour.power, 230.0, 1, 0.95) for hour in (hours.firm, hours.worst))
    assert worst > firm + 0.2
    between = judge(at=guessed(), **{**BOARD, "feed_spare_ampere": (firm + worst) / 2.0})["feed"]
    assert (between.status, between.missing) == ("not assessed", ("extreme_dry_bulb_c",))
    assert "would fail from" in between.note
    below = judge(at=guessed(), **{**BOARD, "feed_spare_ampere": firm - 0.1})["feed"]
    assert below.status == "fail"
    assert below.governed_by.startswith("year ")
    assert judge(at=guessed(), **BOARD)["feed"].status == "pass"


def test_the_extreme_from_which_it_would_fail():
    hours = hot_hours(guessed(), WHOLE)
    firm, worst = (running_current(hour.power, 230.0, 1, 0.95) for hour in (hours.firm, hours.worst))
    spare = (firm + worst) / 2.0
    note = judge(at=guessed(), **{**BOARD, "feed_spare_ampere": spare})["feed"].note
    found = float(note.split("would fail from ")[1].split(" degC")[0])
    for value, over in ((found - 0.2, False), (found + 0.2, True)):
        stated = heat({"extreme_dry_bulb_c": value, "extreme_return_years": 20.0})
        assert (running(at=stated) > spare) == over


def test_hours_past_the_rating_table_leave_it_open():
    unit, at = short_table()
    found = judge(unit, at, **BOARD, **CABLE)
    assert found["feed"].status == "not assessed"
    assert found["feed"].missing == ("unit: capacity_kw beyond the last column",)
    assert found["voltage-drop"].missing == ("unit: capacity_kw beyond the last column",)
    known = judge(unit, at, **{**BOARD, "feed_spare_ampere": 32.0})["feed"]
    assert known.status == "fail"  # the hours that are known are enough


def test_a_unit_file_without_its_supply():
    found = judge(WITHOUT, **BOARD, **CABLE, breaker_curve="C")
    assert {result.status for result in found.values()} == {"not assessed"}
    for result in found.values():
        assert all(key in ELSEWHERE for key in result.missing)
    assert running(WITHOUT) is None
    assert feed({"feed": feed_detail(site(), WITHOUT, hot(), CRITERIA)}).running == ()


# ------------------------------------------------------------------------------------------- starting


def test_a_start_is_held_against_the_magnetic_trip():
    """28.3 A run on (6.18 kW), 38 A more: 66.3 A against 3 x 40 A, though 40 A flow for hours at most."""
    found = judge(**BOARD, **CABLE, breaker_curve="B")["starting"]
    assert found.status == "pass"
    assert found.demand == pytest.approx(6180.0 / (230.0 * 0.95) + 38.0)
    assert found.demand > 40.0
    assert found.governed_by.endswith("B40")
    assert found.limit <= 120.0


def test_without_curve_or_cable():
    assert judge(**BOARD, **CABLE)["starting"].missing == ("breaker_curve",)
    found = judge(**BOARD, breaker_curve="C")["starting"]
    assert found.status == "caution"
    assert "once the cable is known" in asked(found)
    half = judge(**BOARD, breaker_curve="C", feed_cable_length_m=20.0)["starting"]
    assert half.status == "caution"


DIRECT = unit_with(electrical={"starting_ampere": 190.0, "compressor_start": "direct"})


@pytest.mark.parametrize(
    "curve, spare, status, word",
    [
        ("B", 63.0, "fail", "No standard breaker"),  # 218 A: B40 holds 120, B63 189
        ("B", 80.0, "caution", "B80"),
        ("B", None, "not assessed", "B80"),
        ("C", 40.0, "fail", "No standard breaker"),  # C40 holds 200
        ("C", 63.0, "caution", "C50"),
        ("D", 40.0, "pass", "D40"),
    ],
)
def test_a_direct_start(curve, spare, status, word):
    near = {"feed_cable_length_m": 2.0, "feed_cable_mm2": 16.0}
    cells = {**BOARD, "feed_spare_ampere": spare, "breaker_curve": curve, **near}
    found = judge(DIRECT, **cells)["starting"]
    assert found.demand == pytest.approx(218.3, abs=0.1)
    assert found.status == status
    assert word in found.note + asked(found)
    assert found.missing == (("feed_spare_ampere",) if status == "not assessed" else ())


def test_the_rule_matters_where_it_sets_the_breaker():
    """By NEC the breaker is one of 50 A and holds 150 A with curve B, by IEC of 40 A and holds 120."""
    unit = unit_with(electrical={"starting_ampere": 110.0})
    cells = {**BOARD, **CABLE, "breaker_curve": "B", "feed_cable_length_m": 2.0}
    assert judge(unit, **{**cells, "electrical_rule": "nec"})["starting"].status == "pass"
    assert judge(unit, **cells)["starting"].status == "caution"
    assert judge(unit, **{**cells, "electrical_rule": None})["starting"].missing == ("electrical_rule",)


@pytest.mark.parametrize("length, status", [(5.0, "pass"), (25.0, "caution"), (60.0, "fail")])
def test_the_dip_at_the_start(length, status):
    """190 A over 10 mm2: 2 x 190 x R; 4 % of 230 V are 9.2 V. R cos 0.35 for the mild, |Z| for the strict side."""
    cells = {**BOARD, "breaker_curve": "D", "feed_cable_mm2": 10.0, "feed_cable_length_m": length}
    found = judge(DIRECT, **cells)["starting"]
    mild = 2.0 * 190.0 * length * (0.00225 * 0.35 + 0.00008 * (1 - 0.35**2) ** 0.5) / 230.0
    strict = 2.0 * 190.0 * length * (0.00225**2 + 0.00008**2) ** 0.5 / 230.0
    expected = "pass" if strict <= 0.04 else "fail" if mild > 0.04 else "caution"
    assert (found.status, expected) == (status, status)
    assert (found.demand <= found.limit) == (status != "fail")


def test_an_inverter_draws_no_more_at_the_start():
    unit = unit_with(electrical={"starting_ampere": None, "compressor_start": "inverter"})
    found = judge(unit, **BOARD, **CABLE)["starting"]
    assert found.status == "pass"
    assert found.demand == pytest.approx(running(unit))
    silent = unit_with(electrical={"starting_ampere": None})
    assert judge(silent, **BOARD, **CABLE)["starting"].missing == ("unit: starting_ampere",)


# -------------------------------------------------------------------------------------- drop and DC


def test_the_drop_over_the_cable():
    found = judge(**BOARD, **CABLE)["voltage-drop"]
    current = running()
    by_hand = 2.0 * current * 20.0 * (0.0225 / 10.0 * 0.95 + 0.00008 * (1.0 - 0.95**2) ** 0.5) / 230.0
    assert found.demand == pytest.approx(by_hand)
    assert found.limit == 0.03
    assert found.status == "pass"
    long = judge(**BOARD, feed_cable_length_m=60.0, feed_cable_mm2=10.0)["voltage-drop"]
    assert long.status == "fail"
    assert "16 mm2 holds the limit" in long.note
    assert judge(**BOARD)["voltage-drop"].missing == ("feed_cable_length_m", "feed_cable_mm2")


def test_the_drop_with_three_phases():
    cells = {**BOARD, **CABLE, "feed_volt": 400.0, "feed_phases": 3.0, "feed_cable_mm2": 2.5}
    found = judge(THREE, **cells)["voltage-drop"]
    impedance = 20.0 * (0.0225 / 2.5 * 0.95 + 0.00008 * (1.0 - 0.95**2) ** 0.5)
    assert found.demand == pytest.approx(3.0**0.5 * running(THREE) * impedance / 400.0)


def test_behind_a_transformer_the_cable_may_carry_either_voltage():
    cells = {**BOARD, "feed_volt": 480.0, "feed_phases": 3.0, "feed_cable_mm2": 10.0}
    near = judge(**cells, feed_cable_length_m=10.0)["voltage-drop"]
    far = judge(**cells, feed_cable_length_m=50.0)["voltage-drop"]
    too_far = judge(**cells, feed_cable_length_m=250.0)["voltage-drop"]
    assert [found.status for found in (near, far, too_far)] == ["caution", "caution", "fail"]
    assert "higher voltage" in asked(far)
    assert "higher voltage" not in asked(near)
    assert near.demand == pytest.approx(judge(**BOARD, **CABLE)["voltage-drop"].demand / 2.0)


def test_servers_on_a_dc_plant():
    plant = {"dc_plant_volt": 48.0, "dc_spare_ampere": 200.0}
    found = judge(ON_DC, **BOARD, **plant)["feed"]
    assert found.status == "pass"
    assert found.demand == pytest.approx(6000.0 / (0.96 * 40.5))
    assert found.governed_by == "DC plant, any hour"
    assert running(ON_DC) == pytest.approx(running() - 6000.0 / (230.0 * 0.95))
    assert judge(ON_DC, **BOARD, **{**plant, "dc_spare_ampere": 150.0})["feed"].status == "fail"
    nec = {**BOARD, "electrical_rule": "nec"}
    assert judge(ON_DC, **nec, **plant)["feed"].status == "caution"  # 192.9 of 200 A
    for key in plant:
        assert judge(ON_DC, **BOARD, **{**plant, key: None})["feed"].missing == (key,)
    both = judge(ON_DC)["feed"]
    assert set(both.missing) >= {"feed_spare_ampere", "dc_plant_volt", "dc_spare_ampere"}
    assert both.demand == pytest.approx(1.25 * running(ON_DC))  # what feed_spare_ampere is compared with
    assert judge(ON_DC, **{**BOARD, "feed_spare_ampere": 6.0}, **plant)["feed"].status == "fail"


def test_a_plant_of_another_voltage():
    assert fits(48.0, 40.5)
    assert fits(54.0, 40.5)
    assert not fits(24.0, 40.5)
    assert lowest_volt(24.0, 40.5) == pytest.approx(20.25)
    found = judge(ON_DC, **BOARD, dc_plant_volt=24.0, dc_spare_ampere=400.0)["feed"]
    assert found.status == "caution"
    assert "converter from 24 to 48 V" in asked(found)


def test_dc_cells_do_not_touch_a_unit_on_ac():
    assert judge(**BOARD, dc_plant_volt=48.0, dc_spare_ampere=1.0)["feed"] == judge(**BOARD)["feed"]


# --------------------------------------------------------------------- declarations, files, the report


def test_declared_columns_feed_the_checks_and_are_used():
    for check in FEED_CHECKS:
        for key in {key for group in check.inputs for key in group}:
            assert check.id in columns()[key].feeds
            assert columns()[key].used
    assert [check.id for check in FEED_CHECKS] == [
        "services.feed",
        "services.starting",
        "services.voltage-drop",
    ]
    for key in ("it_load_kw", "recirculation", "elevation_m", "extreme_dry_bulb_c"):
        assert "services.feed" in columns()[key].feeds


def test_keys_of_the_unit_file(tmp_path):
    path = tmp_path / "unit.toml"
    text = (EXAMPLES / "unit.toml").read_text(encoding="utf-8")
    path.write_text(
        text.replace("[electrical]\n", '[electrical]\nservers_input = "dc48"\n'), encoding="utf-8"
    )
    unit = load_unit(path)
    assert unit.electrical.dc_min_volt == 40.5
    assert {used.key for used in unit.defaults_used} == {"electrical.dc_min_volt", "electrical.dc_efficiency"}
    assert UNIT.electrical.servers_input == "ac"
    assert not [used for used in UNIT.defaults_used if used.key.startswith("electrical.")]


def page(view):
    """The section as the report includes it."""
    text = '{% import "parts.html.j2" as parts %}{% include "feed.html.j2" %}'
    return page_template("parts.html.j2").environment.from_string(text).render(feed=view)


@pytest.mark.parametrize("unit", [UNIT, THREE, ON_DC, WITHOUT, DIRECT], ids=lambda unit: str(unit.electrical))
@pytest.mark.parametrize(
    "cells", [{}, {**BOARD, **CABLE, "breaker_curve": "C"}, {**BOARD, "feed_volt": 480.0}]
)
def test_the_section_of_the_report(unit, cells):
    detail = feed_detail(site(cells), unit, hot(), CRITERIA)
    assert json.loads(json.dumps(detail)) == detail
    outage = {"pump_lost_minutes": 7.5, "ride_through_minutes": 21.0}
    view = feed({"feed": detail, "outage": outage})
    text = page(view)
    assert "None" not in text
    assert "nan" not in text
    assert ("7.50 min with the pump stopped" in text) == (unit is ON_DC)


def test_the_worked_example_adds_up():
    detail = feed_detail(site({**BOARD, **CABLE, "breaker_curve": "C"}), UNIT, hot(), CRITERIA)
    steps = {step["what"]: step["value"] for step in detail["running"]}
    parts = steps["Servers"] + steps["Pump"] + steps["Cooling section at full capacity"]
    assert steps["Power with the cooling at full capacity"] == pytest.approx(parts)
    assert steps["Running current"] == pytest.approx(running())
    assert steps["Smallest standard breaker"] == 40.0
    drop = next(step for step in detail["cable"] if step["what"] == "Drop")
    assert drop["value"] == pytest.approx(100.0 * judge(**BOARD, **CABLE)["voltage-drop"].demand)
    assert feed({}) is None


def test_phase_to_neutral_written_for_a_three_phase_board_is_read_both_ways():
    """18 kVA at 230 V on three phases: 45.2 A between phases, 26.1 A where 230 V is phase to neutral of 400 V."""
    cells = {"electrical_rule": "iec", "feed_kva": 18.0, "feed_volt": 230.0, "feed_phases": 3.0}
    found = judge(**cells)["feed"]
    assert found.status == "not assessed"
    assert "feed_volt" in found.missing
    assert judge(**{**cells, "feed_volt": 400.0})["feed"].status == "fail"
    assert judge(**{**cells, "feed_kva": 40.0})["feed"].status == "pass"
