"""Doubts about weather files: each is found where it is, and nothing is found in good files."""

from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
from real_weather import FILES, PVLIB_FILES, pvlib_weather, real_epw
from weather_files import Rows, clear_year, epw_text, real_year

from edgecheck.weather import hour_masks
from edgecheck.weather.quality import KINDS, LABELS, quality_table
from edgecheck.weather.read import read_weather
from edgecheck.weather.series import Weather

Reader = Callable[[Rows], Weather]
CLIMATES = sorted((Path(__file__).resolve().parents[2] / "climates").glob("*.epw"))
# Granada's file has 2.1 m/s in every hour of the year: its wind is made up, and the flag says so
RAISED = {"granada": ["stuck"]}


@pytest.fixture
def read(tmp_path: Path) -> Reader:
    def reader(rows: Rows) -> Weather:
        path = tmp_path / "weather.epw"
        path.write_text(epw_text(rows), encoding="utf-8")
        return read_weather(path)

    return reader


def raised(weather: Weather) -> list[str]:
    return [flag.code for flag in weather.flags]


# --- the functions that mark hours


def test_spikes_need_two_sides() -> None:
    values = np.array([10.0, 11.0, 30.0, 12.0, 12.0, 20.0, 21.0, np.nan, 40.0, 10.0, -20.0, 10.0])
    assert np.flatnonzero(hour_masks.spikes(values, 12.0)).tolist() == [2, 10]
    assert hour_masks.standing_out(values)[2] == 18.0  # the lesser of 19 and 18


def test_stuck_runs() -> None:
    values = np.array([1.0, 2.0, 2.0, 2.0, 2.0, 3.0, 0.0, 0.0, 0.0, 0.0, 0.0, np.nan, np.nan, np.nan, np.nan])
    assert np.flatnonzero(hour_masks.stuck(values, 3)).tolist() == [1, 2, 3, 4, 6, 7, 8, 9, 10]
    assert np.flatnonzero(hour_masks.stuck(values, 3, zero=False)).tolist() == [1, 2, 3, 4]
    assert not hour_masks.stuck(values, 5).any()
    assert hour_masks.run_lengths(values).tolist() == [1, 4, 4, 4, 4, 1, 5, 5, 5, 5, 5, 1, 1, 1, 1]
    assert hour_masks.run_lengths(np.zeros(0)).tolist() == []


def test_ranges_and_missing_hours() -> None:
    values = np.array([-5.0, 0.0, 10.0, 10.1, np.nan])
    assert hour_masks.outside(values, 0.0, 10.0).tolist() == [True, False, False, True, False]
    assert hour_masks.missing(values).tolist() == [False, False, False, False, True]


def test_dew_night_and_closure() -> None:
    air = np.array([10.0, 10.0, np.nan])
    assert hour_masks.dew_above_air(air, np.array([10.4, 10.6, 5.0]), 0.5).tolist() == [False, True, False]
    light, zenith = np.array([50.0, 50.0, 10.0]), np.array([97.0, 99.0, 120.0])
    assert hour_masks.night_sun(light, zenith, 98.0, 30.0).tolist() == [False, True, False]
    assert hour_masks.apart(np.array([10.0, 60.0]), 50.0).tolist() == [False, True]


def test_shifted_months() -> None:
    """Three months: in its place, an hour off, and bad wherever the sun stands."""
    month = np.repeat([4, 5, 6], 10)
    here = np.repeat([2.0, 20.0, 30.0], 10)
    aside = np.array([np.repeat([18.0, 3.0, 28.0], 10), np.repeat([18.0, 40.0, 29.0], 10)])
    assert np.unique(month[hour_masks.shifted(month, here, aside, 0.5, 5.0)]).tolist() == [5]


@pytest.mark.parametrize(
    ("longitude", "offset", "off"),
    [(0.0, 0.0, 0.0), (77.2, 5.5, 0.35), (-179.0, 12.0, -0.07), (100.0, 2.0, -4.67)],
)
def test_zone_against_longitude(longitude: float, offset: float, off: float) -> None:
    assert hour_masks.hours_off_sun(longitude, offset) == pytest.approx(off, abs=0.01)
    assert hour_masks.zone_off(3, longitude, offset, 2.5).tolist() == [abs(off) > 2.5] * 3


def test_pressure_against_elevation() -> None:
    """74520 Pa at 2548 m (Bogota, standard 74233 Pa) is right; 79260 Pa at 5 m is not."""
    assert not hour_masks.pressure_off(np.array([74_500.0, 74_540.0]), 2548.0, 0.03).any()
    assert hour_masks.pressure_off(np.array([79_260.0, np.nan]), 5.0, 0.03).tolist() == [True, False]
    assert not hour_masks.pressure_off(np.array([np.nan, np.nan]), 5.0, 0.03).any()


# --- good files


@pytest.mark.parametrize("name", PVLIB_FILES)
def test_nothing_is_raised_in_the_files_that_pvlib_ships(name: str) -> None:
    assert raised(pvlib_weather(name)) == []


@pytest.mark.parametrize("name", FILES)
def test_nothing_is_raised_in_real_epw_files(name: str) -> None:
    assert raised(read_weather(real_epw(name))) == RAISED.get(name, [])


@pytest.mark.parametrize("path", CLIMATES, ids=lambda path: path.stem)
def test_nothing_is_raised_in_the_demos_climates(path: Path) -> None:
    assert raised(read_weather(path)) == []


# --- damaged files: the change, the kind raised, its hours, its first hour


def changed(name: str, hours: slice, value: float, *, add: bool = False) -> Callable[[Rows], Rows]:
    def change(rows: Rows) -> Rows:
        values = rows.values[name].copy()
        values[hours] = values[hours] + value if add else value
        return rows.with_values(**{name: values})

    return change


def summer_time(rows: Rows) -> Rows:
    """April to June recorded an hour early, as clocks in summer time show it."""
    values = {name: one.copy() for name, one in rows.values.items()}
    for one in values.values():
        one[90 * 24 : 181 * 24] = np.roll(one[90 * 24 : 181 * 24], 1)
    return rows.with_values(**values)


def many_gaps(rows: Rows) -> Rows:
    wind = rows.values["wind_speed"].copy()
    wind[100:400:10] = 999.0
    return rows.with_values(wind_speed=wind)


DAMAGED: dict[str, tuple[Callable[[Rows], Rows], str, int, str]] = {
    "lost-sign": (changed("temp_air", slice(5000, 5001), -25.0), "spike", 1, "2001-07-28 08:00"),
    "lost-digit": (changed("temp_air", slice(4000, 4001), 2.0), "spike", 1, "2001-06-16 16:00"),
    "stuck-thermometer": (changed("temp_air", slice(1000, 1060), 8.0), "stuck", 60, "2001-02-11 16:00"),
    "stuck-anemometer": (changed("wind_speed", slice(1000, 1100), 4.0), "stuck", 100, "2001-02-11 16:00"),
    "stuck-pyranometer": (changed("ghi", slice(4017, 4026), 333.0), "stuck", 9, "2001-06-17 09:00"),
    "lamp-at-night": (changed("ghi", slice(4, 5), 200.0), "night-sun", 1, "2001-01-01 04:00"),
    "diffuse-too-much": (
        lambda rows: rows.with_values(dhi=1.1 * rows.values["dhi"]), "closure", 0, "",
    ),
    "summer-time": (summer_time, "hour-shift", 0, "2001-04-01"),
    "hot-hour": (changed("temp_air", slice(4880, 4900), 52.0), "unusual", 20, "2001-07-23 08:00"),
    "impossible": (changed("dni", slice(4000, 4001), 7000.0), "impossible", 1, "2001-06-16 16:00"),
    "wet-air": (changed("temp_dew", slice(2000, 2010), 25.0, add=True), "dew-above-air", 10, "2001-03-25 08:00"),
    "many-gaps": (many_gaps, "gaps", 30, "2001-01-05 04:00"),
    "no-beam": (
        lambda rows: rows.with_values(dni=0 * rows.values["dni"], ghi=rows.values["dhi"]),
        "alignment-unknown", 0, "",
    ),
    "mountain-pressure": (
        lambda rows: rows.with_values(pressure=0.9 * rows.values["pressure"]),
        "pressure-elevation", 8760, "2001-01-01 00:00",
    ),
}  # fmt: skip


@pytest.mark.parametrize("case", DAMAGED)
def test_each_doubt_is_found_in_a_damaged_real_year(case: str, read: Reader) -> None:
    damage, kind, hours, first = DAMAGED[case]
    flags = [flag for flag in read(damage(real_year())).flags if flag.code == kind]
    assert len(flags) == 1
    if hours:
        assert flags[0].count == hours
    assert flags[0].first.startswith(first)
    assert flags[0].text[0].isupper() or flags[0].text[0].isdigit()
    assert "{" not in flags[0].text


def test_zone_far_from_longitude_is_found(read: Reader) -> None:
    """Rows, zone and sun agree, but the zone is not that of the place: legal in some countries, worth a look."""
    spot = clear_year().spot
    far = clear_year(2001, type(spot)(40.0, -60.0, -7.0, 1600.0))
    assert raised(read(far)) == ["zone-longitude"]


def test_every_kind_has_a_damaged_file() -> None:
    assert {kind for _, kind, _, _ in DAMAGED.values()} | {"zone-longitude"} == set(KINDS)


def test_flags_are_the_raised_findings(read: Reader) -> None:
    weather = read(changed("temp_air", slice(5000, 5001), 20.0, add=True)(real_year()))
    assert [found.flag() for found in weather.findings if found.raised] == list(weather.flags)
    assert {found.kind for found in weather.findings} == set(KINDS)
    assert {found.variable for found in weather.findings} <= {"", *LABELS}
    (flag,) = weather.flags
    assert flag.to_dict() == {
        "code": "spike", "text": flag.text, "count": 1, "worst": flag.worst, "first": "2001-07-28 08:00",
    }  # fmt: skip
    assert flag.text.startswith("1 hour of air temperature more than 12 K away from both neighbours")


def test_the_table_names_everything_looked_at(read: Reader) -> None:
    weather = read(changed("temp_air", slice(5000, 5001), -25.0)(real_year()))
    rows = quality_table(weather)
    assert [row.raised for row in rows] == sorted((row.raised for row in rows), reverse=True)
    assert (rows[0].flag, rows[0].hours, rows[0].first) == (
        "air temperature: single hours that leap away from both neighbours", 1, "2001-07-28 08:00",
    )  # fmt: skip
    assert rows[0].worst.endswith(" K")
    words = " ".join(row.flag for row in rows)
    assert all(kind.title in words for kind in KINDS.values())
    good = quality_table(pvlib_weather(PVLIB_FILES[0]))
    assert not any(row.raised for row in good)
    assert [row.hours for row in good if row.hours] == [13]  # single hours with a residual above 50 W/m2


def test_few_gaps_stand_in_the_table_without_a_flag(read: Reader) -> None:
    weather = read(changed("temp_air", slice(5000, 5003), 99.9)(real_year()))
    assert raised(weather) == []
    assert ("air temperature: missing hours; interpolated in time", 3) in [
        (row.flag, row.hours) for row in quality_table(weather)
    ]


def test_gaps_are_counted_against_the_years(tmp_path: Path) -> None:
    """30 filled hours are many for one year and few for two."""
    for numbers, expected in (((2001,), ["gaps"]), ((2001, 2002), [])):
        years = [clear_year(number) for number in numbers]
        rows = many_gaps(years[0])
        for year in years[1:]:
            rows = rows.joined(year)
        path = tmp_path / "years.epw"
        path.write_text(epw_text(rows), encoding="utf-8")
        assert raised(read_weather(path)) == expected
