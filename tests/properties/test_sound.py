"""Sound: what holds for any distance, any load, any row."""

import math

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from sound_cases import LOUD, VARIABLE, days, results, with_keys

from edgecheck.inputs.cells import DOES_NOT_APPLY
from edgecheck.services.neighbour_level import (
    HourLevels,
    by_hour_of_day,
    day_levels,
    hour_levels,
    period_level,
)
from edgecheck.services.sound_propagation import Surveyed, distance_for, open_path, path
from edgecheck.services.sound_sources import SoundSources, energy_sum

level = st.floats(20.0, 100.0)
distance = st.floats(0.5, 2000.0)
height = st.floats(0.5, 150.0)
ORDER = {"pass": 0, "caution": 1, "fail": 2}


@given(distance, st.floats(1.0001, 10.0), st.booleans())
def test_half_space_never_rises_with_distance(d, factor, facade):
    near, far = open_path(d, facade=facade), open_path(d * factor, facade=facade)
    assert far.attenuation > near.attenuation


@given(distance, st.floats(1.0001, 10.0), height, height)
def test_over_ground_neither(d, factor, source, receiver):
    """Without a screen, whichever treatment of reflection either distance gets."""
    near = path(Surveyed(d, source, receiver), facade=False)
    far = path(Surveyed(d * factor, source, receiver), facade=False)
    assert far.attenuation >= near.attenuation - 1e-9


@given(distance, height, height, height, st.floats(0.0, 100.0))
def test_credit_is_never_negative_and_bounded(d, source, receiver, edge, away):
    """Ground at most 4.8 dB and 3 dB of reflection, screen at most 20 dB."""
    found, bare = path(Surveyed(d, source, receiver, edge, away), facade=False), open_path(d, facade=False)
    credit = found.attenuation - bare.attenuation
    assert -0.011 <= credit <= 20.0 + 3.0 + 1e-9  # D_Omega reaches 10 lg 2 = 3.0103 dB


@given(distance, height, height, st.floats(0.1, 30.0), st.floats(0.1, 3.0))
def test_a_higher_parapet_never_lets_more_through(d, roof, receiver, away, more):
    source = roof + 1.15
    low, high = (
        path(Surveyed(d, source, receiver, roof + top, away), facade=False) for top in (1.0, 1.0 + more)
    )
    assert high.attenuation >= low.attenuation - 1e-9


@given(level)
def test_two_equal_sources_are_three_decibels_more(one):
    assert float(energy_sum(one, one)) - one == pytest.approx(10.0 * math.log10(2.0))


@given(st.lists(level, min_size=1, max_size=24))
def test_an_average_lies_between_its_levels(levels):
    hours = HourLevels(100.0, 10.0 ** (np.array(levels) / 10.0))
    average = period_level(day_levels(hours, np.arange(len(levels))), np.ones(24, dtype=bool)).year
    assert min(levels) - 1e-9 <= average <= max(levels) + 1e-9


@given(level, level, st.floats(0.05, 1.0), st.floats(0.05, 1.0))
def test_a_slower_fan_is_never_louder(fan, compressor, one, other):
    sources = SoundSources(fan, compressor)
    slow, fast = sorted((one, other))
    assert sources.at_speed(slow) <= sources.at_speed(fast) + 1e-9
    assert sources.at_speed(slow) >= compressor


share = st.floats(0.0, 1.0)
shares = st.lists(share, min_size=24, max_size=24)


@settings(deadline=None)
@given(shares, st.sampled_from([{}, VARIABLE]))
def test_running_hour_and_year_stand_in_order(ratio, keys):
    """Year's average <= loudest hour's average <= running level."""
    assume(max(ratio[:7]) > 1e-6)
    unit, found = with_keys(**keys), {}
    for basis in ("maximum", "hour-average", "year-average"):
        row = {"neighbour_distance_m": 10.0, "neighbour_limit_night_dba": 40.0, "sound_limit_basis": basis}
        found[basis] = results(row, unit=unit, heat=days(ratio))["night"].demand
    assert found["year-average"] <= found["hour-average"] + 1e-9 <= found["maximum"] + 2e-9


@settings(deadline=None)
@given(st.floats(1e-4, 1.0), st.floats(1.0, 300.0))
def test_an_on_off_unit_is_judged_on_its_running_level_for_a_maximum(ratio, d):
    row = {"neighbour_distance_m": d, "neighbour_limit_night_dba": 40.0, "sound_limit_basis": "maximum"}
    found = results(row, heat=days(ratio))["night"]
    power = float(energy_sum(70.0, 70.0))
    assert found.demand == pytest.approx(power - open_path(d, facade=False).attenuation)


# ---------------------------------------------------------------------------------------- emptied cells

limit = st.floats(25.0, 70.0)
none = st.just(DOES_NOT_APPLY)
CELLS = {
    "neighbour_distance_m": st.one_of(st.floats(1.0, 300.0), none),
    "receiver_position": st.sampled_from(["free-field", "facade"]),
    "receiver_height_m": st.one_of(st.floats(0.5, 60.0), none),
    "sound_limit_basis": st.sampled_from(["hour-average", "year-average", "maximum"]),
    "sound_background_dba": st.one_of(limit, none),
    "roof_level_agl_m": st.floats(0.0, 60.0),
    "parapet_height_m": st.floats(0.0, 3.0),
    "edge_distance_m": st.floats(0.0, 10.0),
}


@st.composite
def rows(draw):
    """A row with some of the cells; by night the strictest limit, by day the mildest."""
    row = draw(st.fixed_dictionaries({}, optional=CELLS))
    for period, value in zip(
        ("night", "evening", "day"), sorted(draw(st.tuples(limit, limit, limit))), strict=True
    ):
        cell = draw(st.sampled_from([value, value, value, DOES_NOT_APPLY, None]))
        if cell is not None:
            row[f"neighbour_limit_{period}_dba"] = cell
    return row


UNITS = (LOUD, with_keys(tonal_db=None), with_keys(**VARIABLE))


@settings(max_examples=80, deadline=None)
@given(rows(), st.sampled_from(UNITS), share)
def test_an_emptied_cell_never_turns_into_pass(row, unit, ratio):
    """What is declared not to apply is a statement: without it the level decides."""
    heat = days(ratio)
    before = results(row, unit=unit, heat=heat)
    for key in row:
        after = results({name: cell for name, cell in row.items() if name != key}, unit=unit, heat=heat)
        for period, becomes in after.items():
            if becomes.status == "pass" and row[key] is not DOES_NOT_APPLY:
                assert before[period].status in ("pass", "not applicable"), (key, period)
            if becomes.status == "not applicable":
                assert before[period].status == "not applicable", (key, period)


@settings(max_examples=60, deadline=None)
@given(rows(), st.sampled_from(UNITS), share)
def test_every_result_says_what_it_needs(row, unit, ratio):
    for result in results(row, unit=unit, heat=days(ratio)).values():
        assert bool(result.missing) == (result.status == "not assessed")
        assert bool(result.conditions) == (result.status == "caution")
        assert result.note
        if result.demand is not None and result.status in ("pass", "fail"):
            assert (result.spare >= 0.0) == (result.status == "pass")


@settings(max_examples=60, deadline=None)
@given(rows(), st.sampled_from(UNITS), share, st.floats(1.0, 10.0))
def test_a_louder_unit_never_helps(row, unit, ratio, more):
    keys = {
        key: getattr(unit.cooling, key) + more
        for key in ("sound_power_fan_dba", "sound_power_compressor_dba")
    }
    louder = unit.model_copy(update={"cooling": unit.cooling.model_copy(update=keys)})
    before, after = (results(row, unit=one, heat=days(ratio)) for one in (unit, louder))
    for period, was in before.items():
        if was.status in ORDER:
            assert ORDER[after[period].status] >= ORDER[was.status]
            if was.demand is not None:
                assert after[period].demand == pytest.approx(was.demand + more)


@given(
    st.lists(st.tuples(share, st.booleans(), st.integers(0, 23)), min_size=1, max_size=60),
    st.sampled_from([(None, False, 1.0), (66.0, False, 1.0), (66.0, True, 0.3), (None, True, 0.3)]),
    st.sampled_from([1.0, 0.6, 0.2]),
    st.sets(st.integers(0, 23)),
)
def test_levels_are_those_of_plain_sums_over_the_hours(hours, kind, top, chosen):
    """Levels of every hour, added up by masks, against sums of power by hour of the day; identities, so 1e-9 dB."""
    compressor, follows, least = kind
    sources = SoundSources(70.0, compressor, 2, follows, least)
    ratio, unknown, hour = (np.array(values) for values in zip(*hours, strict=True))
    found = hour_levels(sources, ratio, unknown, top)
    used = np.where(unknown, 1.0, ratio)
    with np.errstate(divide="ignore"):
        average = sources.at_speed(sources.speed(used, top)) + 10.0 * np.log10(sources.duty(used))
        np.testing.assert_allclose(10.0 * np.log10(found.power), average, rtol=0.0, atol=1e-9)
    assert found.running == pytest.approx(float(sources.at_speed(top)), abs=1e-9)
    day, mask = day_levels(found, hour), np.isin(hour, list(chosen))
    one = period_level(day, np.isin(np.arange(24), list(chosen)))
    if not mask.any():
        assert one is None
        return
    at, power = np.flatnonzero(mask), found.power[mask]
    on = np.flatnonzero(power > 0.0)
    assert (one.hours, one.hours_running) == (len(at), len(on))
    assert one.hour_index == at[int(np.argmax(power))]
    assert one.running_hour == (at[on[0]] if len(on) else at[0])
    assert one.running == (found.running if len(on) else -np.inf)
    with np.errstate(divide="ignore"):
        assert one.hour == pytest.approx(10.0 * np.log10(power.max()), abs=1e-9)
        assert one.year == pytest.approx(10.0 * np.log10(power.mean()), abs=1e-9)
        running, mean = by_hour_of_day(day)
        for each in range(24):
            there = found.power[hour == each]
            assert (running[each] > -np.inf) == bool((there > 0.0).any())
            whole = there.mean() if len(there) else 0.0
            assert mean[each] == pytest.approx(10.0 * np.log10(whole), abs=1e-9)


@given(st.floats(1.0, 120.0), st.booleans())
def test_from_the_asked_distance_on_the_open_way_takes_enough_off(attenuation, facade):
    found = distance_for(attenuation, facade=facade)
    taken = open_path(found, facade=facade).attenuation
    assert taken >= attenuation - 1e-6
    assert found == 0.5 or taken <= attenuation + 1e-6


@given(shares)
def test_a_busier_hour_is_never_quieter(ratio):
    sources = SoundSources(70.0, 70.0, 1, True, 0.3)
    ordered = np.sort(np.asarray(ratio))
    running = sources.at_speed(sources.speed(ordered))
    assert np.all(np.diff(running) >= -1e-9)
    assert np.all(np.diff(sources.duty(ordered)) >= 0.0)
