"""Damaged NSRDB, PVGIS and open hourly files are refused with file, place and reason."""

import re
from collections.abc import Callable
from pathlib import Path

import pytest
from weather_files import EVERY_WRITER, clear_year

from edgecheck.base.errors import WeatherRefused
from edgecheck.weather.read import read_weather

REFUSED: dict[str, tuple[str, Callable[[str], str], str, str]] = {
    "nsrdb-no-zone": ("NSRDB CSV", lambda x: x.replace(",-7,1600,", ",,1600,"), "Time Zone is not given", "line 2"),
    "nsrdb-column": ("NSRDB CSV", lambda x: x.replace("DNI", "Beam"), "column DNI is missing", "line 3"),
    "nsrdb-humidity": (
        "NSRDB CSV",
        lambda x: x.replace("Dew Point", "A").replace("Relative Humidity", "B"),
        "both missing",
        "line 3",
    ),
    "nsrdb-header-only": ("NSRDB CSV", lambda x: "\n".join(x.split("\n")[:3]), "no rows of data", "line 3"),
    "nsrdb-two-lines": ("NSRDB CSV", lambda x: "\n".join(x.split("\n")[:2]), "column names is missing", "line 3"),
    "nsrdb-text": (
        "NSRDB CSV",
        lambda x: x.replace("2001,1,1,5,0,", "2001,1,1,5,0,warm", 1),
        "Temperature is 'warm",
        "line 9",
    ),
    "nsrdb-no-minute": ("NSRDB CSV", lambda x: x.replace("2001,1,1,5,0,", "2001,1,1,5,,"), "Minute is empty", "line 9"),
    "nsrdb-uneven": (
        "NSRDB CSV",
        lambda x: x.replace("2001,1,1,5,0,", "2001,1,1,5,7,"),
        "not evenly spaced: minute 7",
        "line 9",
    ),
    "nsrdb-step": ("NSRDB CSV", lambda x: x.replace("2001,1,1,1,0,", "2001,1,1,0,7,"), "7 minutes apart", "line 5"),
    "pvgis-no-names": ("PVGIS CSV", lambda x: x.replace("time(UTC)", "hour"), "time(UTC), is missing", ""),
    "pvgis-radiation": ("PVGIS CSV", lambda x: x.replace("time(UTC)", "time"), "typical year (TMY)", "line 18"),
    "pvgis-column": ("PVGIS CSV", lambda x: x.replace("Gb(n)", "Gb"), "column Gb(n) (beam", ""),
    "pvgis-elevation": ("PVGIS CSV", lambda x: x.replace("Elevation (m): 1600.0", "-"), "elevation is not", "lines 1"),
    "pvgis-header-only": (
        "PVGIS CSV",
        lambda x: "\n".join(x.split("\r\n")[:18]),
        "no rows of data below",
        "line 18",
    ),
    "pvgis-offset": ("PVGIS CSV", lambda x: x.replace(": 0.5000", ": 5"), "offset '5'", ""),
    "pvgis-time": ("PVGIS CSV", lambda x: x.replace("20010101:0500", "20010101:0510"), "'20010101:0510'", "line 24"),
    "json-cut": ("PVGIS JSON", lambda x: x[:500000], "cut off or damaged", "line 1"),
    "json-no-records": ("PVGIS JSON", lambda x: x.replace("tmy_hourly", "rows"), "no records in tmy_hourly", ""),
    "json-key": (
        "PVGIS JSON",
        lambda x: x.replace('"20010101:0500", "T2m"', '"20010101:0500", "T"'),
        "T2m is missing",
        "record 6",
    ),
    "json-gap": (
        "PVGIS JSON",
        lambda x: x.replace('"T2m": ', '"T2m": null, "T": '),
        "air temperature is missing throughout",
        "",
    ),
    "json-text": (
        "PVGIS JSON",
        lambda x: x.replace('"20010101:0500", "T2m": ', '"20010101:0500", "T2m": "warm", "T": '),
        "air temperature is 'warm'",
        "record 6",
    ),
    "json-gap-of-a-day": (
        "PVGIS JSON",
        lambda x: re.sub(r'("20010102:0.00", "T2m": )', r'\1null, "T": ', x),
        "air temperature is missing for 10 hours",
        "records ",
    ),
    "plain-column": ("hourly CSV", lambda x: x.replace("dhi", "diffuse"), "column dhi is missing", "line 7"),
    "plain-humidity": ("hourly CSV", lambda x: x.replace("temp_dew", "t"), "both missing", "line 7"),
    "plain-latitude": ("hourly CSV", lambda x: x.replace("# latitude", "# lat"), "'# latitude: ...'", "line 7"),
    "plain-zone": ("hourly CSV", lambda x: x.replace("# utc_offset_h", "# zone"), "'# utc_offset_h", "line 7"),
    "plain-label": ("hourly CSV", lambda x: x.replace(": start", ": middle"), "'middle'; start, end", "lines 1 to 6"),
    "plain-header-only": ("hourly CSV", lambda x: "\n".join(x.split("\n")[:7]), "no rows of data", "line 7"),
    "plain-day-first": (
        "hourly CSV",
        lambda x: x.replace("2001-01-01 05:00", "01.01.2001 05:00"),
        "YYYY-MM-DD HH:MM",
        "line 13",
    ),
    "plain-twice": ("hourly CSV", lambda x: x.replace("pressure", "dhi"), "column dhi occurs twice", "line 7"),
    "plain-step": ("hourly CSV", lambda x: x.replace("2001-01-01 01:00", "2001-01-01 02:00"), "120 minutes", "line 9"),
    "plain-uneven": (
        "hourly CSV",
        lambda x: x.replace("2001-01-01 05:00", "2001-01-01 05:20"),
        "not evenly spaced",
        "line 13",
    ),
    "plain-text": ("hourly CSV", lambda x: x.replace("05:00,", "05:00,warm", 1), "air temperature is 'warm", "line 13"),
}  # fmt: skip


@pytest.mark.parametrize("case", REFUSED)
def test_refused(case: str, tmp_path: Path) -> None:
    format, damage, reason, where = REFUSED[case]
    path = tmp_path / "damaged.txt"
    path.write_text(damage(EVERY_WRITER[format](clear_year())), encoding="utf-8", newline="")
    with pytest.raises(WeatherRefused) as caught:
        read_weather(path)
    assert caught.value.file == "damaged.txt"
    assert reason in caught.value.reason
    assert caught.value.where.startswith(where)
