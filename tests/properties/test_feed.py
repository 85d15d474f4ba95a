"""What must hold of the power feed for every load, voltage and row: monotone currents, empty cells."""

from functools import cache

import pytest
from hypothesis import Phase, given, settings
from hypothesis import strategies as st
from site_cases import CRITERIA, UNIT, heat, unit_with

from edgecheck.checks.feed import feed_checks, running_ask
from edgecheck.inputs.sites import Site
from edgecheck.services.connection import connections
from edgecheck.services.feed import (
    FEED_RULES,
    required_rating,
    running_current,
    spare_current,
    standard_rating,
)
from edgecheck.services.starting import LOWER_TRIP, dip_bounds, rating_that_holds
from edgecheck.services.voltage_drop import SECTIONS, greatest_voltage_drop, voltage_drop

NO_SHRINKING = (Phase.explicit, Phase.generate)  # rows are wide, and the failing key names itself
# Cells whose emptiness has a stated meaning: the dip at the start is then a condition
STATED_MEANING = {"services.starting": ("feed_cable_length_m", "feed_cable_mm2")}
UNITS = {
    "one phase": UNIT,
    "three phases": unit_with(electrical={"volt": 400.0, "phases": 3}),
    "no starting current": unit_with(electrical={"starting_ampere": None}),
    "inverter": unit_with(electrical={"starting_ampere": None, "compressor_start": "inverter"}),
    "direct": unit_with(electrical={"starting_ampere": 190.0, "compressor_start": "direct"}),
    "on DC": unit_with(electrical={"servers_input": "dc48"}),
    "without data": UNIT.model_copy(update={"electrical": None}),
}
volts = st.floats(100.0, 500.0)
phases = st.sampled_from([1, 3])
factors = st.floats(0.5, 1.0)

BOARD = {
    "electrical_rule": st.sampled_from(["nec", "iec"]),
    "feed_volt": st.sampled_from([110.0, 120.0, 133.0, 208.0, 230.0, 240.0, 277.0, 400.0, 415.0, 480.0]),
    "feed_phases": st.sampled_from([1.0, 3.0]),
    "breaker_curve": st.sampled_from(["B", "C", "D"]),
    "feed_cable_length_m": st.floats(1.0, 150.0),
    "feed_cable_mm2": st.sampled_from([2.5, 4.0, 6.0, 10.0, 16.0, 35.0]),
    "dc_plant_volt": st.sampled_from([24.0, 48.0, 60.0]),
    "dc_spare_ampere": st.floats(50.0, 400.0),
}
# One way of saying what is to spare: two that contradict each other are no question of empty cells
SPARE = ({"feed_spare_ampere": st.floats(5.0, 150.0)}, {"feed_kva": st.floats(2.0, 60.0)}, {})


@cache
def hot():
    """The sample year with a stated extreme, shared by all rows."""
    return heat({"extreme_dry_bulb_c": 38.5, "extreme_return_years": 20.0})


@st.composite
def rows(draw):
    """A row with most cells of the feed."""
    return draw(st.fixed_dictionaries(draw(st.sampled_from(SPARE)), optional=BOARD))


def results(row, unit):
    return feed_checks(Site(row=2, site_id="X", values=row), unit, hot(), CRITERIA)


@pytest.mark.parametrize("name", UNITS)
@settings(max_examples=30, deadline=None, phases=NO_SHRINKING)
@given(row=rows())
def test_emptying_a_cell_never_helps(name, row):
    unit = UNITS[name]
    before = results(row, unit)
    for key in row:
        after = results({other: cell for other, cell in row.items() if other != key}, unit)
        for was, becomes in zip(before, after, strict=True):
            if becomes.status == "pass":
                assert was.status == "pass", (key, was.id)
            if becomes.status == "caution" and key not in STATED_MEANING.get(was.id, ()):
                assert was.status == "caution", (key, was.id)
            assert becomes.status != "not applicable"


@settings(max_examples=30, deadline=None, phases=NO_SHRINKING)
@given(rows(), st.floats(1.0, 3.0), st.sampled_from(sorted(UNITS)))
def test_more_to_spare_never_hurts(row, times, name):
    more = {
        key: cell * times if key in ("feed_spare_ampere", "feed_kva", "dc_spare_ampere") else cell
        for key, cell in row.items()
    }
    order = {"fail": 0, "not assessed": 1, "caution": 2, "pass": 3}
    before, after = (results(values, UNITS[name])[0] for values in (row, more))
    assert order[after.status] >= order[before.status]


@settings(max_examples=30, deadline=None, phases=NO_SHRINKING)
@given(rows(), st.sampled_from(sorted(UNITS)))
def test_every_result_can_be_read(row, name):
    for found in results(row, UNITS[name]):
        assert (found.status == "not assessed") == bool(found.missing)
        assert (found.status == "caution") == bool(found.conditions)
        if found.status == "pass":
            assert found.spare >= -1e-6
        if (
            found.status in ("pass", "caution", "fail")
            and found.demand is not None
            and found.limit is not None
        ):
            assert found.demand > 0.0
            assert found.limit > 0.0
        if found.id == "services.feed" and UNITS[name].electrical is not None:
            assert found.demand > 0.0  # what the planner asks for is always there


@given(st.floats(100.0, 50_000.0), volts, volts, phases, factors)
def test_current_falls_with_voltage_and_rises_with_load(power, one, other, count, factor):
    low, high = sorted((one, other))
    assert running_current(power, high, count, factor) <= running_current(power, low, count, factor)
    assert running_current(1.1 * power, low, count, factor) > running_current(power, low, count, factor)
    assert running_current(power, low, 3, factor) < running_current(power, low, 1, factor)
    assert spare_current(power, low, count) <= running_current(power, low, count, factor)


@pytest.mark.parametrize("load", [2000.0, 4000.0])
def test_a_smaller_load_asks_for_less(load):
    asked = running_ask(UNIT, hot())
    less = running_ask(UNIT, heat({"extreme_dry_bulb_c": 38.5, "extreme_return_years": 20.0}, load=load))
    # the servers' share by Ohm; the rest differs only where the liquid is warmer than its setpoint
    assert asked - less == pytest.approx((6000.0 - load) / (230.0 * 0.95), rel=0.02)


@given(st.floats(0.5, 700.0), st.sampled_from(sorted(FEED_RULES)))
def test_a_standard_breaker_is_enough_and_the_next_smaller_one_is_not(current, rule):
    need = required_rating(current, rule)
    rating = standard_rating(need, rule)
    assert rating >= need - 1e-9
    assert not [smaller for smaller in FEED_RULES[rule].ratings if need <= smaller < rating]
    assert required_rating(current, "nec") >= required_rating(current, "iec")


@given(st.floats(1.0, 600.0), st.floats(1.0, 100.0), st.sampled_from(sorted(FEED_RULES)))
def test_a_slower_curve_never_needs_a_larger_breaker(current, least, rule):
    ratings = [rating_that_holds(current, curve, rule, least) or float("inf") for curve in sorted(LOWER_TRIP)]
    assert ratings == sorted(ratings, reverse=True)


@given(st.floats(1.0, 200.0), st.floats(1.0, 300.0), st.sampled_from(SECTIONS), phases, st.floats(0.01, 1.0))
def test_drop_lies_below_its_bound_and_grows_with_length(current, length, section, count, factor):
    drop = voltage_drop(current, length, section, count, factor)
    assert 0.0 < drop <= greatest_voltage_drop(current, length, section, count) * (1.0 + 1e-12)
    assert voltage_drop(current, 2.0 * length, section, count, factor) == pytest.approx(2.0 * drop)
    least, greatest = dip_bounds(current, length, section, count)
    assert 0.0 < least <= greatest


@given(volts, phases, st.none() | volts, st.sampled_from([None, 1.0, 3.0]))
def test_a_connection_is_a_reading_or_says_what_is_missing(unit_volt, unit_phases, feed_volt, feed_phases):
    found = connections(unit_volt, unit_phases, feed_volt, feed_phases)
    assert bool(found.readings) or bool(found.missing) or bool(found.fault)
    for link in found.readings:
        near = abs(link.volt / unit_volt - 1.0) <= 0.1 + 1e-9
        assert link.transformer != near
