"""Sky longwave against a published example and the infrared column of published files."""

import numpy as np
import pytest
from pvlib import iotools
from real_weather import real_epw

from edgecheck.weather.read import read_weather
from edgecheck.weather.site_air import sky_longwave


def test_published_example() -> None:
    """Air 293 K, dew point 283 K, clear: 340.3 W/m2 (U.S. Department of Energy, Engineering Reference, climate
    calculations; it prints 340.6 with a logarithm rounded to 0.036)."""
    assert float(sky_longwave(293 - 273.15, 283 - 273.15, 0.0)) == pytest.approx(340.3, abs=0.1)
    assert float(sky_longwave(293 - 273.15, 283 - 273.15, np.nan)) == pytest.approx(340.3, abs=0.1)


def test_overcast_factor() -> None:
    """Walton (1983): 1 + 0.0224 N - 0.0035 N^2 + 0.00028 N^3 is 1.154 at ten tenths."""
    clear, covered = sky_longwave(20.0, 10.0, [0.0, 10.0])
    assert covered / clear == pytest.approx(1.154, abs=1e-9)


@pytest.mark.parametrize("name", ["tucson", "bogota", "helsinki", "sydney"])
def test_infrared_column_of_real_files(name: str) -> None:
    """The horizontal infrared of these files was filled by Clark & Allen with opaque cover; rms below 1 W/m2."""
    frame, _ = iotools.read_epw(str(real_epw(name)))
    computed = sky_longwave(frame["temp_air"], frame["temp_dew"], frame["opaque_sky_cover"])
    difference = computed - frame["ghi_infrared"].to_numpy()
    assert np.sqrt(np.mean(difference**2)) < 1.0
    assert abs(difference.mean()) < 0.5


def test_infrared_of_the_file_is_kept() -> None:
    weather = read_weather(real_epw("helsinki"))
    frame, _ = iotools.read_epw(str(real_epw("helsinki")))
    assert np.array_equal(weather.years[0].longwave_down, frame["ghi_infrared"].to_numpy(dtype=float))
