"""What must hold for any weather."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from edgecheck.base.errors import WeatherRefused
from edgecheck.base.humid_air import (
    dew_point,
    humidity_ratio,
    relative_humidity,
    saturation_pressure,
    wet_bulb,
)
from edgecheck.weather.alignment import Irradiance, align
from edgecheck.weather.gaps import filled
from edgecheck.weather.gumbel import return_value
from edgecheck.weather.hour_masks import spikes, stuck
from edgecheck.weather.site_air import SiteAir, sky_longwave
from edgecheck.weather.spells import cold_window, hot_window
from edgecheck.weather.station import distance_km
from edgecheck.weather.sun import true_zenith

LINE = np.arange(9, 9 + 400)
latitude = st.floats(-90, 90)
longitude = st.floats(-180, 180)
temp = st.floats(-60, 55)


@given(st.integers(0, 2**32 - 1), st.integers(200, 500))
def test_windows_are_the_best_of_all(seed: int, hours: int) -> None:
    """Against a plain search over every window that holds the extreme hour."""
    series = np.random.default_rng(seed).integers(-5, 6, hours).astype(float)
    for window, sign in ((hot_window(series), 1), (cold_window(series), -1)):
        peak = int(np.argmax(sign * series))
        candidates = [s for s in range(hours - 167) if s <= peak < s + 168]
        sums = [sign * series[s : s + 168].sum() for s in candidates]
        assert window == slice(candidates[sums.index(max(sums))], candidates[sums.index(max(sums))] + 168)


@given(st.integers(0, 2**32 - 1), st.integers(0, 390), st.integers(1, 12))
def test_gaps_are_filled_between_their_neighbours_or_refused(seed: int, first: int, length: int) -> None:
    whole = np.random.default_rng(seed).uniform(-20, 40, 400)
    holed = whole.copy()
    holed[first : first + length] = np.nan
    missing = int(np.isnan(holed).sum())
    if missing > 6:
        with pytest.raises(WeatherRefused, match=f"missing for {missing} hours"):
            filled("a.epw", "temp_air", holed, LINE, needed=True)
        kept, count = filled("a.epw", "temp_air", holed, LINE, needed=False)
        assert count == 0
        assert np.array_equal(kept, holed, equal_nan=True)
        return
    done, count = filled("a.epw", "temp_air", holed, LINE, needed=True)
    assert count == missing
    known = ~np.isnan(holed)
    assert np.array_equal(done[known], whole[known])
    ends = [whole[i] for i in (first - 1, first + length) if 0 <= i < 400]
    assert np.all((done[~known] >= min(ends)) & (done[~known] <= max(ends)))


@given(temp, st.floats(1, 100), st.booleans())
def test_dew_point_is_not_above_air_and_rises_with_humidity(air: float, humidity: float, water: bool) -> None:
    at = dew_point(np.array(air), np.array([humidity, min(humidity + 1, 100.0)]), over_water=water)
    assert at[0] <= at[1] <= air + 1e-9


@given(temp, st.floats(1, 100), st.floats(50_000, 105_000))
def test_measures_of_humidity_agree(air: float, humidity: float, pressure: float) -> None:
    """Back from the dew point; the wet bulb lies between dew point and air, and saturated air has all three equal."""
    dew = dew_point(air, humidity)
    assert float(relative_humidity(air, dew)) == pytest.approx(humidity, rel=1e-9)
    bulb = float(wet_bulb(air, dew, pressure))
    assert float(dew) - 1e-6 <= bulb <= air + 1e-6
    assert float(wet_bulb(air, air, pressure)) == pytest.approx(air, abs=1e-6)
    assert 0 < float(humidity_ratio(dew, pressure)) <= float(humidity_ratio(air, pressure)) + 1e-12


@given(st.floats(-80, 60), st.floats(-90, 89))
def test_pressure_of_water_rises_with_temperature(one: float, other: float) -> None:
    low, high = sorted((one, other))
    assert np.all(np.diff(saturation_pressure(np.array([low, high]))) >= 0)
    assert float(saturation_pressure(low)) <= float(saturation_pressure(low, over_water=True)) + 1e-9


@given(st.integers(0, 2**32 - 1), st.floats(0.5, 20), st.integers(1, 40))
def test_masks_do_not_depend_on_direction_or_level(seed: int, step: float, longest: int) -> None:
    series = np.random.default_rng(seed).integers(-4, 5, 400).astype(float)
    assert np.array_equal(spikes(series, step), spikes(series[::-1], step)[::-1])
    assert np.array_equal(spikes(series, step), spikes(100 - series, step))
    assert np.array_equal(stuck(series, longest), stuck(series[::-1] + 7.0, longest)[::-1])
    assert not stuck(series, 400).any()


@given(temp, st.floats(0, 30), st.floats(0, 9))
def test_sky_longwave_rises_with_dew_point_and_cover(air: float, spread: float, cover: float) -> None:
    dew = air - spread
    base = float(sky_longwave(air, dew, cover))
    assert float(sky_longwave(air, dew, cover + 1)) > base
    assert float(sky_longwave(air, min(dew + 1, air), cover)) >= base
    assert base > 0


@given(temp, st.floats(0, 30), st.floats(-10, 10), st.floats(-10, 10))
def test_shifts_add_up(air: float, spread: float, one: float, other: float) -> None:
    values = np.array([air])
    start = SiteAir(values, values - spread, values, np.array([300.0]), values)
    twice, once = start.shifted(abs(one)).shifted(abs(other)), start.shifted(abs(one) + abs(other))
    assert twice.temp_air == pytest.approx(once.temp_air)
    assert twice.longwave_down == pytest.approx(once.longwave_down)
    assert np.array_equal(twice.temp_dew, once.temp_dew)
    back = start.shifted(one).shifted(-one)
    assert back.longwave_down == pytest.approx(start.longwave_down)


@given(latitude, longitude, latitude, longitude)
def test_distance_is_symmetric_and_bounded(a: float, b: float, c: float, d: float) -> None:
    there, back = float(distance_km(a, b, c, d)), float(distance_km(c, d, a, b))
    assert there == pytest.approx(back, abs=1e-6)
    assert 0 <= there <= np.pi * 6371.0088 + 1e-6
    assert float(distance_km(a, b, a, b)) == 0


@given(st.floats(-30, 50), st.floats(0, 5), st.floats(1.5, 400), st.floats(1.01, 3))
def test_longer_return_periods_are_not_milder(mean: float, sd: float, years: float, more: float) -> None:
    assert return_value(mean, sd, years * more) >= return_value(mean, sd, years)
    assert return_value(mean, -sd, years * more) <= return_value(mean, -sd, years)


@given(
    st.floats(-55, 55), st.integers(-11, 12), st.sampled_from([0, 30, 60]), st.sampled_from([-120, 0, 120])
)
def test_alignment_finds_the_offset_a_file_was_made_with(
    north: float, zone: int, made: int, wrong_min: int
) -> None:
    """Irradiance built for one offset is placed there; moved by two hours it is refused."""
    time = np.arange(
        np.datetime64("2001-01-01T00:00"), np.datetime64("2002-01-01T00:00"), np.timedelta64(60, "m")
    )
    zenith = true_zenith(north, 15.0 * zone, zone, time, float(made + wrong_min))
    height = np.maximum(np.cos(np.radians(zenith)), 0.0)
    lit = height > 0.05
    dni = np.where(lit, 800.0, 0.0)[lit]
    hours = Irradiance(time[lit], dni * height[lit] + 80.0, dni, np.full(int(lit.sum()), 80.0))
    if wrong_min:
        with pytest.raises(WeatherRefused, match="shifted"):
            align("a.epw", north, 15.0 * zone, zone, hours)
        return
    found = align("a.epw", north, 15.0 * zone, zone, hours)
    assert found.offset_min == made
    assert found.closure < 0.5
    assert found.told_apart
