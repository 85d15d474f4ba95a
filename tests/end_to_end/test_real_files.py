"""Real weather through the whole chain with the example unit, each site at its station.

The three files that pvlib ships (National Renewable Energy Laboratory) and typical years of hot, cold and high
places. The ranges are common practice, no source: a compressor unit takes 0.2 to 0.5 kW per kW of servers in the
hot hour, and a bath of this size lasts 10 to 30 minutes without cooling, about half of that without the pump.
"""

from functools import cache
from pathlib import Path

import numpy as np
import pytest
from command_line import EXAMPLES, edgecheck, verdicts, write_list
from real_weather import PVLIB_FILES, pvlib_file, real_epw

from edgecheck.base.variables import variables
from edgecheck.chain import qualify
from edgecheck.checks.result import Result
from edgecheck.inputs.sites import Site
from edgecheck.inputs.unit import load_unit
from edgecheck.weather.read import read_weather

EPW = ("tucson", "helsinki", "bogota", "sydney", "granada", "northway", "mount-shasta")
FILES = (*PVLIB_FILES, *EPW)
COLD = ("helsinki", "northway")


def path_of(name: str) -> Path:
    return pvlib_file(name) if name in PVLIB_FILES else real_epw(name)


@cache
def at_the_station(name: str) -> Result:
    weather = read_weather(path_of(name))
    position = {
        "latitude_deg": weather.latitude,
        "longitude_deg": weather.longitude,
        "elevation_m": weather.elevation,
    }
    site = Site(row=2, site_id=name, values={"site_id": name, **position})
    return qualify(site, load_unit(EXAMPLES / "unit.toml"), weather)


def hot_hour_input_share(result: Result) -> float:
    """Input of the whole unit over its IT load in the hottest hour."""
    hour = int(np.argmax(result.hourly["temp_air"].to_numpy()))
    return float(result.hourly["input"][hour] / result.hourly["it"][hour])


@pytest.mark.parametrize("name", FILES)
def test_every_hour_is_finite_and_plausible(name: str) -> None:
    result = at_the_station(name)
    for data in (result.hourly, result.hot_spell, result.cold_spell):
        for variable in data.data_vars:
            if variable == "binding":
                continue
            values = data[variable].to_numpy()
            assert np.isfinite(values).all(), variable
            known = variables()[str(variable)]
            assert known.low <= values.min() <= values.max() <= known.high, variable


@pytest.mark.parametrize("name", FILES)
def test_partial_pue_in_the_hot_hour(name: str) -> None:
    assert 1.2 <= hot_hour_input_share(at_the_station(name)) <= 1.5


@pytest.mark.parametrize("name", [name for name in FILES if name not in COLD])
def test_minutes_left_without_cooling(name: str) -> None:
    figures = at_the_station(name).figures
    assert 10.0 <= figures["ride_through_minutes"] <= 30.0
    assert 0.4 <= figures["pump_lost_minutes"] / figures["ride_through_minutes"] <= 0.65


def test_hotter_places_leave_less_headroom() -> None:
    share = {name: at_the_station(name).figures["headroom_share"] for name in ("tucson", "granada", "bogota")}
    assert share["tucson"] < share["granada"] < share["bogota"]


def test_hot_desert_is_worst_in_summer_after_noon() -> None:
    result = at_the_station("tucson")
    assert result.groups["heat"] == "go"
    month, hour = int(result.figures["worst_time"][5:7]), int(result.figures["worst_time"][11:13])
    assert month in (6, 7, 8, 9)
    assert 12 <= hour <= 17


def test_thin_air_of_a_high_place_shows_in_the_machine() -> None:
    # "Effects of altitude", Table 4-2, air-cooled condensers: 0.85 at 2285 m, 0.80 at 3050 m; Bogota lies at 2548 m.
    result = at_the_station("bogota")
    rise = (result.hourly["equivalent_inlet"] - result.hourly["inlet_air"]).to_numpy()
    split, fouling = 12.0, 0.10
    heat_share = 1.0 / ((rise / split + 1.0) * (1.0 - fouling))
    assert 0.80 < heat_share.min() <= heat_share.max() < 0.85


def test_no_capacity_below_the_low_ambient_limit() -> None:
    result = at_the_station("northway")
    found = {check.id: check for check in result.checks}
    assert result.groups["heat"] == "no-go"
    assert found["heat.operating-range"].status == "fail"
    assert result.worst_hours[0].binding == "inlet-low"
    cold = result.hourly["temp_air"].to_numpy() < -25.0
    assert cold.sum() > 100
    assert np.all(result.hourly["capacity"].to_numpy()[cold] == 0.0)
    assert np.all(result.hourly["capacity"].to_numpy()[~cold] > 0.0)


def test_list_of_real_places_finds_its_nearest_files(tmp_path: Path) -> None:
    folder = tmp_path / "weather"
    folder.mkdir()
    for name in ("tucson", "bogota", "helsinki"):
        (folder / f"{name}.epw").write_bytes(real_epw(name).read_bytes())
    write_list(
        tmp_path / "sites.csv",
        [
            {"site_id": "T", "latitude_deg": 32.22, "longitude_deg": -110.97, "elevation_m": 728},
            {"site_id": "B", "latitude_deg": 4.60, "longitude_deg": -74.08, "elevation_m": 2640},
            {"site_id": "H", "latitude_deg": 60.17, "longitude_deg": 24.94, "elevation_m": 15},
            {"site_id": "nowhere near", "latitude_deg": 48.2, "longitude_deg": 16.4},
        ],
    )
    words = ("--unit", EXAMPLES / "unit.toml", "--weather", "weather", "--report", "none")
    answer = edgecheck("screen", "sites.csv", *words, folder=tmp_path)
    assert answer.code == 4
    rows = verdicts(tmp_path / "reports" / "sites")
    assert [rows[key]["weather_file"] for key in "TBH"] == ["tucson.epw", "bogota.epw", "helsinki.epw"]
    assert all(0 < float(rows[key]["weather_distance_km"]) < 30 for key in "TBH")
    assert rows["nowhere near"]["verdict"] == "unusable"
    assert "no weather station within 100 km" in rows["nowhere near"]["reason"]
