"""One typical year published in two formats decides the same.

Golden, Colorado, station 724666: the TMY3 file of the US national laboratory, and the EPW file converted from it by
its publisher, each out of a package of its own. The TMY3 file has no sky longwave; the program computes it from dew
point and cloud cover, the converter did so with the formula that both name.
"""

from pathlib import Path

import numpy as np
import pytest
from real_weather import real_file

from edgecheck.chain import qualify
from edgecheck.demo.files import demo_inputs
from edgecheck.inputs.sites import load_sites
from edgecheck.inputs.unit import load_unit
from edgecheck.weather.read import read_weather
from edgecheck.weather.series import Weather
from edgecheck.weather.site_air import site_air


@pytest.fixture(scope="module")
def files() -> tuple[Weather, Weather]:
    return read_weather(real_file("golden-epw")), read_weather(real_file("golden-tmy3"))


def test_readings_are_the_same_hour_by_hour(files: tuple[Weather, Weather]) -> None:
    """Labels of the end and of the start of the interval, mbar and Pa, missing codes: nothing is left of them."""
    (epw,), (tmy3,) = (weather.years for weather in files)
    for name in (
        "temp_air",
        "temp_dew",
        "pressure",
        "ghi",
        "dni",
        "dhi",
        "wind_speed",
        "opaque_cover",
        "source_year",
    ):
        assert np.array_equal(getattr(epw, name), getattr(tmy3, name)), name
    assert [weather.sun_offset_min for weather in files] == [30, 30]
    assert [weather.flags for weather in files] == [(), ()]


def test_computed_longwave_is_that_of_the_converter(files: tuple[Weather, Weather]) -> None:
    """The converter rounds to whole W/m2; both use Clark & Allen with Walton's cloud factor."""
    epw, tmy3 = (site_air(weather.years[0], weather.elevation, None).longwave_down for weather in files)
    assert tmy3 == pytest.approx(epw, abs=2.0)
    assert float(np.mean(tmy3 - epw)) == pytest.approx(0.0, abs=0.5)


def test_headroom_hours_agree(files: tuple[Weather, Weather], tmp_path: Path) -> None:
    """Hours with less than a given headroom, from the few worst to most of the year, within 1 %."""
    path = tmp_path / "sites.csv"
    path.write_text(
        "site_id,latitude_deg,longitude_deg,elevation_m\nG-1,39.742,-105.179,1829\n", encoding="utf-8"
    )
    (site,) = load_sites(path).sites
    unit = load_unit(demo_inputs().unit)
    epw, tmy3 = (qualify(site, unit, weather) for weather in files)
    assert epw.hourly is not None
    assert tmy3.hourly is not None
    one, other = (result.hourly["service_headroom"].to_numpy() for result in (epw, tmy3))
    for share in (0.02, 0.1, 0.25, 0.5, 0.75, 0.9):
        level = float(np.quantile(one, share))
        hours = int((one < level).sum())
        assert int((other < level).sum()) == pytest.approx(hours, rel=0.01), share
    assert float(other.min()) == pytest.approx(float(one.min()), rel=0.01)
    assert epw.worst_hours[0].time == tmy3.worst_hours[0].time
