"""Readers: real files come out whole and in SI, each format in its own conventions."""

import re
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pvlib
import pytest
from pvlib import iotools
from real_weather import FILES, PVLIB_FILES, pvlib_weather, real_epw
from weather_files import EPW_HEADER, WRITERS, clear_year, epw_rows, epw_text, tmy2_text, tmy3_text

from edgecheck.base.constants import standard_pressure
from edgecheck.weather.read import read_weather
from edgecheck.weather.series import Weather
from edgecheck.weather.sun import sun

NEEDED = ("temp_air", "temp_dew", "ghi", "dni", "dhi", "wind_speed")
Writer = Callable[[str, str], Weather]


@pytest.fixture
def read_text(tmp_path: Path) -> Writer:
    def read(text: str, name: str = "test.epw") -> Weather:
        path = tmp_path / name
        path.write_text(text, encoding="utf-8", newline="")
        return read_weather(path)

    return read


def codes(weather: Weather) -> set[str]:
    return {note.code for note in weather.notes}


def flags(weather: Weather) -> set[str]:
    return {flag.code for flag in weather.flags}


def check_whole(weather: Weather) -> None:
    (year,) = weather.years
    assert len(year.time) == 8760
    assert np.all(np.diff(year.time) == np.timedelta64(60, "m"))
    for name in NEEDED:
        assert np.isfinite(getattr(year, name)).all(), name
    assert np.all(year.temp_dew <= year.temp_air)
    assert np.nanmin(year.pressure) > 50_000
    assert weather.closure < 10
    assert len(weather.sha256) == 64
    assert not year.temp_air.flags.writeable


@pytest.mark.parametrize("name", PVLIB_FILES)
def test_files_that_pvlib_ships_are_whole(name: str) -> None:
    weather = pvlib_weather(name)
    check_whole(weather)
    assert weather.sun_offset_min == 30
    assert weather.years[0].time[0] == np.datetime64("2001-01-01T00:00")
    assert len(np.unique(weather.years[0].source_year)) > 5  # typical months of different years
    assert "no-longwave-down" in codes(weather)
    assert not weather.synthetic


@pytest.mark.parametrize("name", FILES)
def test_real_epw_files_are_whole(name: str) -> None:
    weather = read_weather(real_epw(name))
    check_whole(weather)
    assert weather.header is not None
    mean = float(np.mean(weather.years[0].pressure))
    assert mean == pytest.approx(float(standard_pressure(weather.elevation)), rel=0.03)
    assert not weather.filled


def test_miami_in_si() -> None:
    """First row of the shipped TMY2 file, decoded by hand from its fixed columns: opaque cover 03, dry bulb
    0200, dew point 0150, pressure 1017, wind 067; station N 25 48 W 80 16, 2 m."""
    weather = pvlib_weather("12839.tm2")
    year = weather.years[0]
    assert weather.latitude == pytest.approx(25.8)
    assert weather.longitude == pytest.approx(-80 - 16 / 60)
    assert (weather.elevation, weather.utc_offset_h, weather.place) == (2, -5, "MIAMI, FL")
    assert year.temp_air[0] == 20.0
    assert year.temp_dew[0] == 15.0
    assert year.pressure[0] == 101_700
    assert year.wind_speed[0] == 6.7
    assert year.opaque_cover[0] == 3
    assert year.source_year[0] == 1962


def test_sand_point_at_the_start_of_the_interval() -> None:
    """The shipped TMY3 file's first row, labelled 01:00, is the hour that begins at 00:00."""
    year = pvlib_weather("703165TY.csv").years[0]
    assert (year.temp_air[0], year.pressure[0], year.wind_speed[0]) == (4.0, 101_200, 2.1)
    assert year.source_year[0] == 1997
    assert year.temp_air[-1] == -6.0
    assert year.time[-1] == np.datetime64("2001-12-31T23:00")


@pytest.mark.parametrize(("name", "offset"), [("tucson", 30), ("granada", 60), ("mount-shasta", 0)])
def test_irradiance_is_given_its_own_place_in_the_hour(name: str, offset: float) -> None:
    """Measured on these files: the components close best at the middle, the end, the start of the hour."""
    assert read_weather(real_epw(name)).sun_offset_min == offset


@pytest.mark.parametrize("format", WRITERS)
def test_a_symmetric_clear_day_is_symmetric_on_east_and_west_walls(format: str, read_text: Writer) -> None:
    """13 June: equation of time 0, the station on its zone's meridian, so solar noon is 12:00."""
    weather = read_text(WRITERS[format](clear_year()), "clear.txt")
    assert weather.format == format
    assert weather.sun_offset_min == 30
    assert weather.closure < 1
    year = weather.years[0]
    position = sun(
        weather.latitude, weather.longitude, weather.elevation, weather.utc_offset_h, year.time, 30.0
    )
    walls = {
        azimuth: pvlib.irradiance.get_total_irradiance(
            90, azimuth, position.apparent_zenith, position.azimuth, year.dni, year.ghi, year.dhi,
            dni_extra=position.dni_extra, airmass=position.airmass_relative, albedo=0.2,
            model="perez-driesse",
        )["poa_global"]
        for azimuth in (90.0, 270.0)
    }  # fmt: skip
    day = slice(163 * 24, 164 * 24)
    assert str(year.time[day][0]) == "2001-06-13T00:00"
    east, west = (np.nan_to_num(np.asarray(walls[azimuth])[day]) for azimuth in (90.0, 270.0))
    assert east.max() > 600
    assert east.sum() == pytest.approx(west.sum(), rel=0.005)
    assert east == pytest.approx(west[::-1], abs=0.01 * east.max())
    assert int(np.argmax(east)) + int(np.argmax(west)) == 23


@pytest.mark.parametrize("format", ["EPW", "TMY3"])
def test_leap_day_is_dropped_and_counted(format: str, read_text: Writer) -> None:
    weather = read_text(WRITERS[format](clear_year(2004)), "leap.txt")
    year = weather.years[0]
    assert len(year.time) == 8760
    assert next(note.count for note in weather.notes if note.code == "leap-day") == 24
    assert str(year.time[59 * 24]) == "2004-03-01T00:00"  # a single real year keeps its calendar
    assert str(year.time[59 * 24 - 1]) == "2004-02-28T23:00"


def test_leap_day_in_a_year_that_has_none(read_text: Writer) -> None:
    text = epw_text(clear_year(2004)).replace("\n2004,", "\n2003,")
    assert len(read_text(text, "leap.epw").years[0].time) == 8760


def test_several_years_come_out_as_several(read_text: Writer) -> None:
    rows = [row for year in (2002, 2003, 2004) for row in epw_rows(clear_year(year))]
    weather = read_text("\n".join([*EPW_HEADER, *rows]), "years.epw")
    assert [int(year.source_year[0]) for year in weather.years] == [2002, 2003, 2004]
    assert [str(year.time[0]) for year in weather.years] == [f"{y}-01-01T00:00" for y in (2002, 2003, 2004)]
    assert all(len(year.time) == 8760 for year in weather.years)


def test_quarter_hours_are_averaged(read_text: Writer) -> None:
    rows = clear_year()
    quarters = [
        epw_rows(rows.with_values(temp_air=rows.values["temp_air"] + change))
        for change in (-0.3, -0.1, 0.1, 0.3)
    ]
    lines = [row for hour in zip(*quarters, strict=True) for row in hour]
    header = [line.replace("DATA PERIODS,1,1", "DATA PERIODS,1,4") for line in EPW_HEADER]
    weather = read_text("\n".join([*header, *lines]), "quarters.epw")
    assert "sub-hourly" in codes(weather)
    assert weather.years[0].temp_air == pytest.approx(rows.values["temp_air"], abs=1e-9)


def cell(rows: list[str], hours: slice, field: int, text: str) -> list[str]:
    changed = list(rows)
    for i in range(*hours.indices(len(rows))):
        fields = changed[i].split(",")
        fields[field] = text
        changed[i] = ",".join(fields)
    return changed


def epw_with(hours: slice, field: int, text: str) -> str:
    return "\n".join([*EPW_HEADER, *cell(epw_rows(clear_year()), hours, field, text)])


def test_short_gap_is_interpolated_and_counted(read_text: Writer) -> None:
    weather = read_text(epw_with(slice(4000, 4006), 6, "99.9"))
    whole = clear_year().values["temp_air"]
    assert dict(weather.filled) == {"temp_air": 6}
    assert weather.years[0].temp_air[4000:4006] == pytest.approx(
        np.interp(np.arange(4000, 4006), [3999, 4006], whole[[3999, 4006]])
    )
    assert "gaps" not in flags(weather)


def test_many_short_gaps_raise_a_flag(read_text: Writer) -> None:
    rows = epw_rows(clear_year())
    for start in range(100, 1100, 100):
        rows = cell(rows, slice(start, start + 3), 21, "999")
    weather = read_text("\n".join([*EPW_HEADER, *rows]))
    assert dict(weather.filled) == {"wind_speed": 30}
    assert "gaps" in flags(weather)


@pytest.mark.parametrize("text", ["9999", "1e400", "-120", "61.0"])
def test_impossible_value_is_no_hot_hour(text: str, read_text: Writer) -> None:
    weather = read_text(epw_with(slice(5000, 5001), 6, text))
    assert "impossible" in flags(weather)
    assert weather.years[0].temp_air.max() == clear_year().values["temp_air"].max()


def test_missing_dew_point_comes_from_humidity(read_text: Writer) -> None:
    """35 degC at 40 %: dew point 19.385 degC by psychrolib 2.5.0, 19.391 by CoolProp 8.0.0 (humid air)."""
    rows = clear_year().with_values(
        temp_air=np.full(8760, 35.0), relative_humidity=np.full(8760, 40.0), temp_dew=np.full(8760, 99.9)
    )
    weather = read_text(epw_text(rows))
    assert weather.years[0].temp_dew == pytest.approx(19.385, abs=0.05)
    assert "dew-from-humidity" in codes(weather)
    assert not weather.filled


def test_dew_point_above_air_is_capped_and_flagged(read_text: Writer) -> None:
    air = clear_year().values["temp_air"]
    dew = air - 8.0
    dew[100:103] = air[100:103] + 2.0
    weather = read_text(epw_text(clear_year().with_values(temp_dew=dew)))
    assert np.all(weather.years[0].temp_dew <= weather.years[0].temp_air)
    assert "dew-capped" in codes(weather)
    assert {flag.count for flag in weather.flags if flag.code == "dew-above-air"} == {3}


def test_without_pressure_infrared_and_cover(read_text: Writer) -> None:
    values = {"pressure": 999999.0, "longwave_down": 9999.0, "opaque_cover": 99.0}
    rows = clear_year().with_values(**{key: np.full(8760, value) for key, value in values.items()})
    weather = read_text(epw_text(rows))
    year = weather.years[0]
    assert np.isnan(year.pressure).all()
    assert np.isnan(year.longwave_down).all()
    assert np.isnan(year.opaque_cover).all()
    assert {"no-pressure", "no-longwave-down", "cover-unknown"} <= codes(weather)


def test_cover_is_not_interpolated(read_text: Writer) -> None:
    weather = read_text(epw_with(slice(10, 12), 23, "99"))
    assert np.isnan(weather.years[0].opaque_cover).sum() == 2
    assert not weather.filled


def test_pressure_that_does_not_fit_the_elevation_is_flagged(read_text: Writer) -> None:
    weather = read_text(epw_text(clear_year()).replace(",1600.0\n", ",5.0\n", 1))
    assert "pressure-elevation" in flags(weather)


def test_negative_night_offsets_become_zero(read_text: Writer) -> None:
    weather = read_text(epw_with(slice(0, 3), 13, "-4"))
    assert weather.years[0].ghi[:3].tolist() == [0, 0, 0]
    assert "negative-irradiance" in codes(weather)


def test_beam_below_the_horizon_is_taken_as_zero_and_counted(read_text: Writer) -> None:
    weather = read_text(epw_with(slice(24, 26), 14, "50"))
    assert weather.beam_below_horizon == 2
    assert weather.years[0].dni[24:26].tolist() == [0, 0]


def test_doubtful_closure_is_flagged(read_text: Writer) -> None:
    rows = clear_year()
    weather = read_text(epw_text(rows.with_values(dhi=rows.values["dhi"] + 15 * (rows.values["ghi"] > 0))))
    assert weather.closure == pytest.approx(15, abs=1)
    assert "closure" in flags(weather)


def test_irradiance_without_beam_cannot_tell_the_hour(read_text: Writer) -> None:
    rows = clear_year()
    weather = read_text(epw_text(rows.with_values(dni=0 * rows.values["dni"], ghi=rows.values["dhi"])))
    assert weather.sun_offset_min == 30
    assert "alignment-unknown" in flags(weather)


@pytest.mark.parametrize(
    "change",
    [
        lambda text: text.replace("\n", "\r\n"),
        lambda text: text.replace("\n", "\r"),
        lambda text: text.rstrip("\n"),
        lambda text: text + "\n\n\x1a",
        lambda text: "\ufeff" + text,
        lambda text: text.replace("Testing,-", '"Testing, north",-', 1),
        lambda text: text.replace("1,made up for a test", '1,"made up\nfor a test"', 1),
        lambda text: text.replace(",1600.0\n", ",1600.0,4A\n", 1),
        lambda text: re.sub(r"(?m)^(2001.*)$", r"\1,", text),
        lambda text: re.sub(r"(?m)^(2001.*)(,[^,]*){3}$", r"\1", text),
        lambda text: text.replace("\n2001,", "\n2001.0,"),
    ],
    ids=[
        "crlf", "cr", "no-last-newline", "blank-lines", "mark", "quoted-city", "broken-comment",
        "extra-field", "trailing-comma", "old-32-fields", "year-as-float",
    ],
)  # fmt: skip
def test_harmless_differences_are_read(change: Callable[[str], str], read_text: Writer) -> None:
    weather = read_text(change(epw_text(clear_year())))
    assert weather.years[0].temp_air.tolist() == clear_year().values["temp_air"].tolist()


def test_western_bytes_are_read(tmp_path: Path) -> None:
    path = tmp_path / "western.epw"
    path.write_bytes(epw_text(clear_year()).replace("Testing", "Sündhafen").encode("latin-1"))
    weather = read_weather(path)
    assert weather.place == "Sündhafen"
    assert "not-utf-8" in codes(weather)


def test_synthetic_data_say_so(read_text: Writer) -> None:
    weather = read_text(epw_text(clear_year()).replace("invented", "synthetic", 1))
    assert weather.synthetic
    assert "synthetic" in codes(weather)


def test_tmy3_midnight_at_the_start_of_the_day(read_text: Writer) -> None:
    """Some makers label the last hour of a day 00:00 of the next one."""
    lines = tmy3_text(clear_year()).rstrip("\n").split("\n")
    for i, line in enumerate(lines):
        date, time, *rest = line.split(",")
        if time == "24:00":
            day = np.datetime64(f"{date[6:]}-{date[:2]}-{date[3:5]}") + 1
            year, month, number = str(day).split("-")
            lines[i] = ",".join([f"{month}/{number}/{year}", "00:00", *rest])
    weather = read_text("\n".join(lines), "midnight.csv")
    assert weather.years[0].temp_air.tolist() == clear_year().values["temp_air"].tolist()


def test_tmy2_city_of_two_words(read_text: Writer) -> None:
    text = tmy2_text(clear_year()).replace("TESTING                ", "TESTING NORTH HARBOUR  ", 1)
    assert read_text(text, "city.tm2").place == "TESTING NORTH HARBOUR, CO"


def test_columns_agree_with_pvlib() -> None:
    """Untouched columns of a real file are pvlib's own numbers, row by row."""
    path = real_epw("tucson")
    frame, meta = iotools.read_epw(str(path))
    weather = read_weather(path)
    year = weather.years[0]
    assert (weather.latitude, weather.longitude, weather.elevation, weather.utc_offset_h) == (
        meta["latitude"], meta["longitude"], meta["altitude"], meta["TZ"],
    )  # fmt: skip
    pairs = {"temp_air": "temp_air", "ghi": "ghi", "dhi": "dhi", "pressure": "atmospheric_pressure"}
    for ours, theirs in (pairs | {"longwave_down": "ghi_infrared", "wind_speed": "wind_speed"}).items():
        assert np.array_equal(getattr(year, ours), frame[theirs].to_numpy(dtype=float)), ours
    assert year.source_year.tolist() == frame["year"].tolist()
