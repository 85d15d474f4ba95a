"""Site air, spells and the choice of the extreme."""

from dataclasses import replace
from types import MappingProxyType

import numpy as np
import pytest
from real_weather import real_epw
from weather_files import clear_year, epw_text

from edgecheck.base.constants import STEFAN_BOLTZMANN, standard_pressure
from edgecheck.weather.extremes import cold_extreme, hot_extreme
from edgecheck.weather.header import HeaderExtremes
from edgecheck.weather.read import read_weather
from edgecheck.weather.series import Weather, WeatherYear
from edgecheck.weather.site_air import SiteAir, site_air, site_air_notes, sky_longwave
from edgecheck.weather.spells import cold_window, hot_window


@pytest.fixture(scope="module")
def weather(tmp_path_factory: pytest.TempPathFactory) -> Weather:
    path = tmp_path_factory.mktemp("weather") / "clear.epw"
    path.write_text(epw_text(clear_year()), encoding="utf-8")
    return read_weather(path)


def test_site_at_the_station_changes_nothing(weather: Weather) -> None:
    year = weather.years[0]
    air = site_air(year, 1600.0, None)
    for name in ("temp_air", "temp_dew", "pressure", "longwave_down", "wind_speed"):
        assert np.array_equal(getattr(air, name), getattr(year, name)), name


def test_site_higher_than_the_station(weather: Weather) -> None:
    """ISO 2533 troposphere: 6.5 K per km; pressure by the ratio of standard pressures."""
    year = weather.years[0]
    air = site_air(year, 1600.0, 2000.0, warming=1.5)
    assert air.temp_air == pytest.approx(year.temp_air - 2.6 + 1.5)
    assert air.pressure == pytest.approx(83_500 * standard_pressure(2000) / standard_pressure(1600))
    ratio = (air.temp_air + 273.15) / (year.temp_air + 273.15)
    assert air.longwave_down == pytest.approx(year.longwave_down * ratio**4)
    assert air.temp_dew == pytest.approx(np.minimum(year.temp_dew, air.temp_air))
    assert {note.code for note in site_air_notes(year, 1600.0, 2000.0)} == {"elevation-lapse"}
    assert {note.code for note in site_air_notes(year, 1600.0, None)} == {"elevation-of-station"}


def test_dew_point_is_kept_and_capped(weather: Weather) -> None:
    year = weather.years[0]
    warm, cold = site_air(year, 0.0, 0.0, warming=20.0), site_air(year, 0.0, 0.0).shifted(-20.0)
    assert np.array_equal(warm.temp_dew, year.temp_dew)
    assert np.array_equal(cold.temp_dew, cold.temp_air)


def test_missing_pressure_and_infrared(weather: Weather) -> None:
    nothing = np.full(8760, np.nan)
    year = weather.years[0]
    bare = replace(year, pressure=nothing.copy(), longwave_down=nothing.copy(), opaque_cover=nothing.copy())
    air = site_air(bare, 1600.0, 1000.0)
    assert air.pressure == pytest.approx(float(standard_pressure(1000.0)))
    clear = sky_longwave(year.temp_air, year.temp_dew, 0.0)
    ratio = (air.temp_air + 273.15) / (year.temp_air + 273.15)
    assert air.longwave_down == pytest.approx(clear * ratio**4)
    assert "standard-pressure" in {note.code for note in site_air_notes(bare, 1600.0, 1000.0)}


def test_one_missing_hour_of_infrared_is_computed(weather: Weather) -> None:
    year = weather.years[0]
    holed = year.longwave_down.copy()
    holed[5] = np.nan
    air = site_air(replace(year, longwave_down=holed), 1600.0, None)
    assert air.longwave_down[5] == pytest.approx(float(sky_longwave(year.temp_air[5], year.temp_dew[5], 0.0)))
    assert air.longwave_down[6] == year.longwave_down[6]


def test_sites_broadcast_over_hours(weather: Weather) -> None:
    year = weather.years[0]
    air = site_air(year, 0.0, None, warming=np.array([[0.0], [2.0]]))
    assert air.temp_air.shape == (2, 8760)
    assert np.array_equal(air.temp_air[0], year.temp_air)
    assert air.window(slice(10, 20)).temp_air.shape == (2, 10)
    assert air.window(slice(10, 20)).pressure.shape == (10,)


def test_shift_of_a_black_sky() -> None:
    """A sky at air temperature stays one: sigma T^4 scales with (T_new/T_old)^4."""
    temp = np.array([10.0, 20.0])
    air = SiteAir(temp, temp - 5, temp, STEFAN_BOLTZMANN * (temp + 273.15) ** 4, temp)
    shifted = air.shifted(np.array([3.0, -4.0]))
    assert shifted.longwave_down == pytest.approx(STEFAN_BOLTZMANN * (shifted.temp_air + 273.15) ** 4)


def test_windows_hold_the_extreme_hours(weather: Weather) -> None:
    temp = weather.years[0].temp_air
    hot, cold = hot_window(temp), cold_window(temp)
    assert hot.stop - hot.start == cold.stop - cold.start == 168
    assert hot.start <= int(np.argmax(temp)) < hot.stop
    assert cold.start <= int(np.argmin(temp)) < cold.stop


def test_window_of_a_known_series() -> None:
    """A peak in a warm plateau that lies to its right: the window starts at the peak."""
    temp = np.zeros(8760)
    temp[1000:1200] = 10.0
    temp[1000] = 20.0
    assert hot_window(temp) == slice(1000, 1168)
    assert cold_window(-temp) == slice(1000, 1168)


def test_window_on_a_tie_is_the_earliest() -> None:
    temp = np.zeros(8760)
    temp[1000] = 1.0
    assert hot_window(temp) == slice(833, 1001)
    temp[0], temp[8759] = 3.0, 2.0
    assert hot_window(temp) == slice(0, 168)
    temp[0] = 0.0
    assert hot_window(temp) == slice(8592, 8760)


def test_window_needs_a_week() -> None:
    with pytest.raises(ValueError, match="168"):
        hot_window(np.zeros(167))


HEADER = HeaderExtremes(
    source="test",
    mean_max=34.6,
    mean_min=-10.0,
    sd_max=2.3,
    sd_min=3.0,
    hot=MappingProxyType({5: 36.2, 10: 37.5, 20: 38.8, 50: 40.5}),
    cold=MappingProxyType({5: -12.2, 10: -13.9, 20: -15.6, 50: -17.8}),
)


def with_header(weather: Weather) -> Weather:
    return replace(weather, header=HEADER)


def file_maximum(weather: Weather) -> float:
    return float(weather.years[0].temp_air.max())  # 28.0 degC at 1600 m


def test_listed_extreme_comes_first_and_is_at_the_site(weather: Weather) -> None:
    found = hot_extreme(with_header(weather), 600.0, 41.0, 50.0, 20.0)
    assert (found.value, found.source, found.return_years, found.credible) == (41.0, "list", 50.0, True)
    assert "50 years" in found.note
    assert "20" in found.note
    assert hot_extreme(weather, None, 41.0, 20.0, 20.0).note == ""
    assert "no return period" in hot_extreme(weather, None, 41.0, None, 20.0).note


def test_header_value_is_moved_to_the_site(weather: Weather) -> None:
    found = hot_extreme(with_header(weather), 600.0, None, None, 20.0)
    assert (found.source, found.return_years) == ("header", 20.0)
    assert found.value == pytest.approx(38.8 + 6.5)
    assert cold_extreme(with_header(weather), 2600.0, None, None, 50.0).value == pytest.approx(-17.8 - 6.5)


def test_header_value_of_years_that_are_not_printed(weather: Weather) -> None:
    """San Francisco's printed mean and deviation (34.6, 2.3): 25 years between the printed 38.8 and 40.5."""
    found = hot_extreme(with_header(weather), None, None, None, 25.0)
    assert 38.8 < found.value < 40.5
    assert found.value == pytest.approx(34.6 + 2.0438 * 2.3, abs=1e-3)


def test_estimate_without_anything_better(weather: Weather) -> None:
    hot = hot_extreme(weather, 600.0, None, None, 20.0)
    assert (hot.value, hot.source, hot.return_years) == (
        pytest.approx(file_maximum(weather) + 6.5 + 4.5), "estimate", None,
    )  # fmt: skip
    cold = cold_extreme(weather, None, None, None, 20.0, allowance=3.0)
    assert cold.value == pytest.approx(float(weather.years[0].temp_air.min()) - 3.0)
    assert cold.credible


def test_value_inside_the_file_is_not_credible(weather: Weather) -> None:
    top = file_maximum(weather)
    below = hot_extreme(weather, None, top - 0.1, 20.0, 20.0)
    assert (below.source, below.credible, below.value) == ("estimate", False, pytest.approx(top + 4.5))
    assert "not credible" in below.note
    assert hot_extreme(weather, None, top, 20.0, 20.0).source == "list"
    # 500 m lower the file itself is 3.25 K warmer: what was credible at the station is not there
    assert not hot_extreme(weather, 1100.0, top + 3.0, 20.0, 20.0).credible
    assert not cold_extreme(weather, None, 5.0, 20.0, 20.0).credible


def year_with_maximum(year: WeatherYear, value: float, number: int) -> WeatherYear:
    temp = year.temp_air.copy()
    temp[5000] = value
    return replace(year, temp_air=temp, source_year=np.full(8760, number))


def test_gumbel_from_five_years(weather: Weather) -> None:
    """Mean 39.0, sample deviation sqrt(2.5) K; F(20) = 1.8658 (Gumbel factor, ASHRAE Fundamentals)."""
    values = [37.0, 38.0, 39.0, 40.0, 41.0]
    years = tuple(year_with_maximum(weather.years[0], v, 2000 + i) for i, v in enumerate(values))
    found = hot_extreme(replace(weather, years=years), None, None, None, 20.0)
    assert (found.source, found.return_years) == ("years", 20.0)
    assert found.value == pytest.approx(39.0 + 1.8658 * 2.5**0.5, abs=1e-3)
    four = hot_extreme(replace(weather, years=years[:4]), None, None, None, 20.0)
    assert (four.source, four.value) == ("estimate", pytest.approx(40.0 + 4.5))


@pytest.mark.parametrize("name", ["tucson", "helsinki", "bogota"])
def test_spells_and_extremes_of_real_files(name: str) -> None:
    weather = read_weather(real_epw(name))
    temp = weather.years[0].temp_air
    hot = hot_extreme(weather, None, None, None, 20.0)
    cold = cold_extreme(weather, None, None, None, 20.0)
    assert hot.source == cold.source == "header"
    assert temp.max() <= hot.value < temp.max() + 8
    assert temp[hot_window(temp)].max() == temp.max()
    assert temp[cold_window(temp)].min() == temp.min() >= cold.value
