"""NSRDB, PVGIS and the open hourly form: read as their publishers mean them, in local standard time."""

from collections.abc import Callable
from pathlib import Path

import numpy as np
import pandas as pd
import pytest
from pvlib import iotools
from real_weather import real_file
from weather_files import (
    EVERY_WRITER,
    HERE,
    Rows,
    Spot,
    clear_year,
    epw_text,
    nsrdb_text,
    plain_text,
    pvgis_csv_text,
    pvgis_json_text,
    tmy2_text,
)

from edgecheck.base.errors import WeatherRefused
from edgecheck.weather.read import read_weather
from edgecheck.weather.series import Weather
from edgecheck.weather.station import read_station
from edgecheck.weather.sun import true_zenith

INDIA = Spot(latitude=28.6, longitude=77.2, zone=5.5, elevation=216.5)
EAST = Spot(latitude=35.7, longitude=139.7, zone=9.0, elevation=40.0)
WEST = Spot(latitude=-33.4, longitude=-70.6, zone=-5.0, elevation=520.0)
NEEDED = ("temp_air", "ghi", "dni", "dhi", "wind_speed")
Reader = Callable[[str], Weather]


@pytest.fixture
def read(tmp_path: Path) -> Reader:
    def reader(text: str) -> Weather:
        path = tmp_path / "weather.txt"
        path.write_text(text, encoding="utf-8", newline="")
        return read_weather(path)

    return reader


def codes(weather: Weather) -> set[str]:
    return {note.code for note in weather.notes}


def same_hours(weather: Weather, rows: Rows, tolerance: float = 1e-9) -> None:
    """Every needed variable equals the rows the file was made of; only beam at the horizon may differ."""
    (year,) = weather.years
    for name in ("temp_air", "ghi", "dhi", "wind_speed"):
        assert getattr(year, name) == pytest.approx(rows.values[name], abs=tolerance), name
    beam = rows.values["dni"]
    assert np.all((year.dni == beam) | (year.dni == 0))
    assert np.count_nonzero(year.dni != beam) < 600


@pytest.mark.parametrize("format", EVERY_WRITER)
def test_the_same_year_comes_out_of_every_format(format: str, read: Reader) -> None:
    weather = read(EVERY_WRITER[format](clear_year()))
    assert weather.format == format
    same_hours(weather, clear_year())
    assert (weather.latitude, weather.longitude, weather.utc_offset_h) == (40.0, -105.0, -7.0)
    assert weather.elevation == 1600
    assert weather.sun_offset_min == 30
    assert weather.closure < 1
    assert weather.flags == ()


@pytest.mark.parametrize("format", EVERY_WRITER)
def test_the_head_of_every_format_gives_its_station(format: str, tmp_path: Path) -> None:
    path = tmp_path / "weather.csv"
    path.write_text(EVERY_WRITER[format](clear_year()), encoding="utf-8", newline="")
    station = read_station(path)
    assert (station.latitude, station.longitude, station.elevation) == (40.0, -105.0, 1600.0)


# --- NSRDB


def test_golden_in_half_hours() -> None:
    """The real half-hourly year against pvlib's reader: hours are means of two records, at their middle."""
    path = real_file("golden-nsrdb")
    frame, meta = iotools.read_nsrdb_psm4(path)
    weather = read_weather(path)
    (year,) = weather.years
    assert (weather.latitude, weather.longitude, weather.utc_offset_h, weather.elevation) == (
        meta["latitude"], meta["longitude"], meta["Time Zone"], meta["altitude"],
    )  # fmt: skip
    assert weather.place == "NSRDB 479494"
    halves = frame["temp_air"].to_numpy().reshape(-1, 2)
    assert year.temp_air == pytest.approx(halves.mean(axis=1), abs=1e-3)
    assert year.temp_dew == pytest.approx(
        np.minimum(frame["temp_dew"].to_numpy().reshape(-1, 2).mean(axis=1), year.temp_air), abs=1e-3
    )
    assert year.pressure == pytest.approx(100 * frame["pressure"].to_numpy().reshape(-1, 2).mean(axis=1))
    assert year.time[0] == np.datetime64("2022-01-01T00:00")
    assert weather.sun_offset_min == 15
    assert weather.closure < 2.5
    assert weather.flags == ()
    # the file's own zenith, at each record, is that of the program's sun
    zenith = true_zenith(
        weather.latitude, weather.longitude, -7.0, frame.index.tz_localize(None).to_numpy(), 0.0
    )
    own = frame["solar_zenith"].to_numpy()
    high = own < 80  # below that the file's is refracted
    assert zenith[high] == pytest.approx(own[high], abs=0.15)


def test_zone_and_elevation_with_fractions(read: Reader) -> None:
    """What pvlib's reader cannot take: India, Iran, Adelaide, Newfoundland."""
    rows = clear_year(2019, INDIA)
    with pytest.raises(ValueError, match="int"):
        iotools.read_nsrdb_psm4(pd.io.common.StringIO(nsrdb_text(rows)))
    weather = read(nsrdb_text(rows))
    assert (weather.utc_offset_h, weather.elevation) == (5.5, 216.5)
    same_hours(weather, rows)
    assert weather.years[0].time[0] == np.datetime64("2019-01-01T00:00")


@pytest.mark.parametrize(
    ("minutes", "first", "offset"), [(60, 30, 30.0), (60, 0, 0.0), (30, 0, 15.0), (15, 0, 22.5), (5, 0, 27.5)]
)
def test_records_are_instantaneous_at_their_time(
    minutes: int, first: int, offset: float, read: Reader
) -> None:
    rows = clear_year(2001, HERE, minutes, float(first))
    text = nsrdb_text(rows)
    if first:
        text = nsrdb_text(Rows(rows.time + pd.Timedelta(minutes=first), rows.values, HERE))
    weather = read(text)
    assert weather.sun_offset_min == offset
    assert weather.closure < 2.5
    per_hour = 60 // minutes
    expected = rows.values["temp_air"].reshape(-1, per_hour).mean(axis=1)
    assert weather.years[0].temp_air == pytest.approx(expected, abs=1e-3)
    assert ("sub-hourly" in codes(weather)) == (per_hour > 1)


def test_a_file_downloaded_in_utc_is_brought_to_local_time(read: Reader) -> None:
    rows = clear_year(2019, EAST)
    text = nsrdb_text(rows.rolled(-9)).replace(",9,40,9,", ",0,40,0,")
    weather = read(text)
    assert weather.utc_offset_h == 9
    assert "utc-rows" in codes(weather)
    same_hours(weather, rows)


# --- PVGIS


@pytest.mark.parametrize("spot", [EAST, WEST, Spot(latitude=45.0, longitude=8.0, zone=1.0, elevation=250.0)])
@pytest.mark.parametrize("write", [pvgis_csv_text, pvgis_json_text])
def test_pvgis_is_rolled_to_local_time_and_its_offset_kept(
    write: Callable[[Rows, float], str], spot: Spot, read: Reader
) -> None:
    """0.1761 h is the offset that PVGIS publishes for 45 N 8 E; the sun of the file is made for it."""
    rows = clear_year(2001, spot, 60, 0.1761 * 60)
    weather = read(write(rows, 0.1761))
    assert weather.utc_offset_h == spot.zone
    assert weather.sun_offset_min == pytest.approx(10.566)
    assert weather.closure < 1
    same_hours(weather, rows)
    assert {"utc-rows", "dew-from-humidity"} <= codes(weather)
    year = weather.years[0]
    # solar noon of a clear day lies within the hour of its local time
    noon = 12 + spot.zone - spot.longitude / 15
    day = year.ghi[171 * 24 : 172 * 24] if spot.latitude > 0 else year.ghi[355 * 24 : 356 * 24]
    assert abs(float(np.average(np.arange(24) + 0.176, weights=day)) - noon) < 0.2


@pytest.mark.parametrize(("write", "format"), [(pvgis_csv_text, "csv"), (pvgis_json_text, "json")])
def test_pvgis_columns_agree_with_pvlib(write: Callable[[Rows], str], format: str, tmp_path: Path) -> None:
    path = tmp_path / f"tmy.{format}"
    path.write_text(write(clear_year(2001, EAST)), encoding="utf-8", newline="")
    frame, _ = iotools.read_pvgis_tmy(path)
    (year,) = read_weather(path).years
    names = {
        "temp_air": "temp_air",
        "ghi": "ghi",
        "dhi": "dhi",
        "wind_speed": "wind_speed",
        "pressure": "pressure",
    }
    for ours, theirs in (names | {"longwave_down": "IR(h)"}).items():
        assert getattr(year, ours) == pytest.approx(np.roll(frame[theirs].to_numpy(dtype=float), 9)), ours


def test_dew_point_of_pvgis_is_over_water(read: Reader) -> None:
    """Humidity and dew point of one published typical year (PVGIS, 45 N 8 E): the EPW file of the place prints
    the dew points, -1.18, 1.42, 4.51, -4.01 degC, that belong to the CSV file's humidity."""
    air, humidity = np.array([-1.10, 2.04, 7.80, 1.90]), np.array([99.4, 95.65, 79.7, 64.9])
    rows = clear_year(2001, Spot(latitude=45.0, longitude=8.0, zone=1.0, elevation=250.0))
    values = {key: rows.values[key].copy() for key in ("temp_air", "relative_humidity")}
    values["temp_air"][100:104], values["relative_humidity"][100:104] = air, humidity
    weather = read(pvgis_csv_text(rows.with_values(**values)))
    assert weather.years[0].temp_dew[100:104] == pytest.approx([-1.18, 1.42, 4.51, -4.01], abs=0.05)


def test_pvgis_series_of_whole_years(read: Reader) -> None:
    """Without a table of months; a leap year among them; the years keep their numbers."""
    spot = Spot(latitude=45.0, longitude=8.0, zone=1.0, elevation=250.0)
    rows = clear_year(2019, spot).joined(clear_year(2020, spot)).joined(clear_year(2021, spot))
    weather = read(pvgis_csv_text(rows, 0.5, typical=False))
    assert [int(year.source_year[0]) for year in weather.years] == [2019, 2020, 2021]
    assert [str(year.time[0]) for year in weather.years] == [f"{y}-01-01T00:00" for y in (2019, 2020, 2021)]
    assert weather.years[2].temp_air == pytest.approx(clear_year(2021, spot).values["temp_air"])
    assert "leap-day" in codes(weather)


def test_pvgis_without_offset_is_placed_by_its_irradiance(read: Reader) -> None:
    rows = clear_year(2001, EAST, 60, 0.0)
    assert read(pvgis_csv_text(rows, None)).sun_offset_min == 0


def test_pvgis_epw_rows_at_the_end_of_the_hour_are_placed(read: Reader) -> None:
    """The published EPW of zone 1 is one hour late: its sun is an hour after the row's start and ten minutes."""
    spot = Spot(latitude=45.0, longitude=8.0, zone=1.0, elevation=250.0)
    text = epw_text(clear_year(2001, spot, 60, 70.566))
    text = text.replace("DAYLIGHT SAVINGS", "DAYLIGHT SAVING")
    text = text.replace("COMMENTS 2,", "COMMENTS 2,Irradiance Time Offset (h):-0.8239")
    weather = read(text)
    assert weather.sun_offset_min == pytest.approx(70.566)
    assert weather.closure < 1
    assert "irradiance-time-offset" in codes(weather)
    # where the comment is wrong the irradiance decides
    moved = read(text.replace("(h):-0.8239", "(h):-0.3"))
    assert moved.sun_offset_min == 60
    assert [flag.code for flag in moved.flags] == ["closure"]


def test_pvgis_epw_in_utc_under_a_far_zone_is_refused(read: Reader) -> None:
    text = epw_text(clear_year(2001, EAST).rolled(-9))
    text = text.replace("COMMENTS 2,", "COMMENTS 2,Irradiance Time Offset (h):-8.8239")
    with pytest.raises(WeatherRefused, match=r"fit together nowhere.*UTC under a local zone"):
        read(text)


# --- the open hourly form


@pytest.mark.parametrize(
    ("label", "sun_min", "offset"), [("start", 30, 30), ("end", 30, 30), ("instant", 0, 0)]
)
def test_what_the_time_of_a_row_means(label: str, sun_min: float, offset: float, read: Reader) -> None:
    rows = clear_year(2001, HERE, 60, float(sun_min))
    weather = read(plain_text(rows, label))
    assert weather.sun_offset_min == offset
    same_hours(weather, rows)
    assert weather.place == "Testing"


def test_ten_minute_records(read: Reader) -> None:
    rows = clear_year(2001, HERE, 10, 5.0)
    weather = read(plain_text(rows, "end"))
    assert weather.years[0].ghi == pytest.approx(rows.values["ghi"].reshape(-1, 6).mean(axis=1), abs=1e-3)
    assert weather.sun_offset_min == 30
    instant = read(plain_text(clear_year(2001, HERE, 10, 0.0), "instant"))
    assert instant.sun_offset_min == 25


def test_real_years_of_the_open_form_keep_their_calendar(read: Reader) -> None:
    rows = clear_year(2023).joined(clear_year(2024))
    weather = read(plain_text(rows))
    assert [str(year.time[0])[:4] for year in weather.years] == ["2023", "2024"]
    assert all(len(year.time) == 8760 for year in weather.years)


def test_times_that_carry_their_offset(read: Reader) -> None:
    """As pandas writes them; then the comment may be left out."""
    text = plain_text(clear_year()).replace(":00,", ":00:00-07:00,").replace("# utc_offset_h: -7.0\n", "")
    weather = read(text)
    assert weather.utc_offset_h == -7
    same_hours(weather, clear_year())
    summer = text.replace("2001-07-01 05:00:00-07:00", "2001-07-01 05:00:00-06:00")
    with pytest.raises(WeatherRefused, match=r"line 4356: time .* local standard time, UTC-7 h"):
        read(summer)


def test_humidity_in_place_of_the_dew_point(read: Reader) -> None:
    """35 degC at 40 %: dew point 19.385 degC (psychrolib 2.5.0)."""
    rows = clear_year().with_values(temp_air=np.full(8760, 35.0) + np.arange(8760) % 2 * 0.0)
    text = plain_text(rows.with_values(temp_dew=np.full(8760, 40.0))).replace("temp_dew", "relative_humidity")
    assert read(text).years[0].temp_dew == pytest.approx(19.385, abs=1e-3)


def test_unknown_columns_and_keys_are_named(read: Reader) -> None:
    text = (
        plain_text(clear_year()).replace("# place", "# owner: me\n# place").replace("opaque_cover", "rain_mm")
    )
    weather = read(text)
    assert [note.text for note in weather.notes if note.code == "ignored"] == [
        "Not known, and not used: # owner, rain_mm."
    ]
    assert not weather.synthetic
    assert read("# synthetic: yes\n" + text).synthetic


def test_a_file_without_last_line_end_says_so(read: Reader) -> None:
    text = plain_text(clear_year())
    assert "no-last-line-end" not in codes(read(text))
    assert "no-last-line-end" in codes(read(text.rstrip("\n")))


# --- EPW and TMY2


@pytest.mark.parametrize("minutes", [10, 15, 30])
def test_epw_records_within_the_hour(minutes: int, read: Reader) -> None:
    rows = clear_year(2001, HERE, minutes, minutes / 2)
    weather = read(epw_text(rows))
    assert weather.years[0].ghi == pytest.approx(rows.values["ghi"].reshape(-1, 60 // minutes).mean(axis=1))
    assert weather.sun_offset_min == 30
    assert "sub-hourly" in codes(weather)
    silent = read(epw_text(rows).replace(f"PERIODS,1,{60 // minutes}", "PERIODS,1,"))
    assert silent.years[0].ghi.tolist() == weather.years[0].ghi.tolist()
    assert "records-per-hour" in codes(silent)


def test_several_years_of_tmy2_keep_their_numbers(read: Reader) -> None:
    text = tmy2_text(clear_year(1989)) + tmy2_text(clear_year(1990)).split("\n", 1)[1]
    assert [str(year.time[0])[:4] for year in read(text).years] == ["1989", "1990"]
