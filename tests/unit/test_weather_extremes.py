"""Bands of extremes, and extremes of files of several years."""

from dataclasses import replace
from pathlib import Path
from types import MappingProxyType

import numpy as np
import pytest
from scipy.stats import gumbel_r
from weather_files import clear_year, epw_text

from edgecheck.weather.extremes import cold_extreme, hot_extreme
from edgecheck.weather.header import HeaderExtremes
from edgecheck.weather.read import read_weather
from edgecheck.weather.series import Weather, WeatherYear

MAXIMA = [37.0, 38.0, 38.5, 39.0, 39.5, 40.0, 41.5, 38.2]
HEADER = HeaderExtremes(
    "test", 36.0, -10.0, 1.0, 3.0, MappingProxyType({20: 37.9}), MappingProxyType({20: -15.6})
)


@pytest.fixture(scope="module")
def weather(tmp_path_factory: pytest.TempPathFactory) -> Weather:
    path: Path = tmp_path_factory.mktemp("weather") / "clear.epw"
    path.write_text(epw_text(clear_year()), encoding="utf-8")
    return read_weather(path)


def with_maximum(year: WeatherYear, value: float) -> WeatherYear:
    temp = year.temp_air.copy()
    temp[5000] = value
    return replace(year, temp_air=temp)


def of_years(weather: Weather, maxima: list[float]) -> Weather:
    return replace(weather, years=tuple(with_maximum(weather.years[0], value) for value in maxima))


def test_moments_and_their_band(weather: Weather) -> None:
    """Eight years: mean 38.9625, sample deviation 1.3616 K; F(20) = 1.8658; Kite's factor
    sqrt(1 + 1.1396 F + 1.1 F^2) = 2.6373."""
    found = hot_extreme(of_years(weather, MAXIMA), None, None, None, 20.0)
    mean, sd = float(np.mean(MAXIMA)), float(np.std(MAXIMA, ddof=1))
    assert found.source == "years"
    assert found.value == pytest.approx(mean + 1.8658 * sd, abs=1e-3)
    margin = 1.645 * 2.6373 * sd / np.sqrt(8)
    assert found.low is not None
    assert found.high is not None
    assert (found.low, found.high) == pytest.approx((found.value - margin, found.value + margin), abs=2e-3)
    location, scale = gumbel_r.fit(MAXIMA)
    likeliest = gumbel_r.ppf(0.95, location, scale)
    assert f"{likeliest:.1f} degC by maximum likelihood" in found.note
    assert "90 % confidence" in found.note


def test_a_longer_record_has_a_narrower_band(weather: Weather) -> None:
    short = hot_extreme(of_years(weather, MAXIMA), None, None, None, 20.0)
    long = hot_extreme(of_years(weather, MAXIMA * 4), None, None, None, 20.0)
    assert short.low is not None
    assert long.low is not None
    assert long.value - long.low == pytest.approx((short.value - short.low) / 2.0, rel=0.05)


def test_the_years_own_maximum_is_never_undercut(weather: Weather) -> None:
    maxima = [38.0] * 9 + [44.0]
    found = hot_extreme(of_years(weather, maxima), None, None, None, 5.0)
    assert found.value == 44.0
    assert found.credible
    assert "the years themselves reach 44.0 degC" in found.note
    assert found.high is not None
    assert found.high >= 44.0


def test_equal_years_have_no_band(weather: Weather) -> None:
    found = hot_extreme(of_years(weather, [38.0] * 6), None, None, None, 20.0)
    assert (found.value, found.low, found.high) == (38.0, 38.0, 38.0)
    assert "likelihood" not in found.note


def test_cold_years_mirror_hot_ones(weather: Weather) -> None:
    year = weather.years[0]
    mirrored = [
        replace(with_maximum(year, value), temp_air=-with_maximum(year, value).temp_air) for value in MAXIMA
    ]
    hot = hot_extreme(of_years(weather, MAXIMA), None, None, None, 20.0)
    cold = cold_extreme(replace(weather, years=tuple(mirrored)), None, None, None, 20.0)
    assert (cold.value, cold.low, cold.high) == pytest.approx((-hot.value, -hot.high, -hot.low))  # type: ignore[operator]


def test_estimate_carries_the_studys_scatter(weather: Weather) -> None:
    """Mean +4.5 K, standard deviation 4.9 K (doi 10.1177/01436244251339722); not below the file's own maximum."""
    top = float(weather.years[0].temp_air.max())
    hot = hot_extreme(weather, None, None, None, 20.0)
    assert (hot.low, hot.value, hot.high) == pytest.approx((top, top + 4.5, top + 9.4))
    least = float(weather.years[0].temp_air.min())
    cold = cold_extreme(weather, None, None, None, 20.0, allowance=6.0)
    assert (cold.low, cold.value, cold.high) == pytest.approx((least - 10.9, least - 6.0, least - 1.1))
    assert "one standard deviation" in cold.note


def test_list_and_header_have_no_band(weather: Weather) -> None:
    listed = hot_extreme(weather, None, 40.0, 20.0, 20.0)
    assert (listed.low, listed.high) == (None, None)
    printed = hot_extreme(replace(weather, header=HEADER), None, None, None, 20.0)
    assert (printed.value, printed.low, printed.high) == (37.9, None, None)


def test_header_below_the_years_gives_way_to_them(weather: Weather) -> None:
    """The header's 37.9 degC lies below the years' own 41.5: not credible; five years or more are better than the
    estimate."""
    found = hot_extreme(replace(of_years(weather, MAXIMA), header=HEADER), None, None, None, 20.0)
    assert (found.source, found.credible) == ("years", False)
    assert found.note.startswith("The 37.9 degC of the file's header is inside the file's own maximum")
    few = hot_extreme(replace(of_years(weather, MAXIMA[-4:]), header=HEADER), None, None, None, 20.0)
    assert (few.source, few.credible) == ("estimate", False)


def test_band_moves_with_the_sites_elevation(weather: Weather) -> None:
    here, below = (hot_extreme(of_years(weather, MAXIMA), z, None, None, 20.0) for z in (None, 600.0))
    assert below.value - here.value == pytest.approx(6.5)
    assert below.low is not None
    assert here.low is not None
    assert below.low - here.low == pytest.approx(6.5)
